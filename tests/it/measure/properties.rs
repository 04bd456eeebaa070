//! Properties: what is printed reads back, every hand reads the same, and nothing panics.

use proptest::prelude::*;
use rakewell::measure::{Length, Tape, Typed, Unit, parse_angle, parse_length};

const TAPES: [Tape; 3] = [Tape::Sixteenths, Tape::ThirtySeconds, Tape::Millimetres];

fn tape() -> impl Strategy<Value = Tape> {
    prop::sample::select(TAPES.to_vec())
}

/// Text made of what measures are made of: far likelier to get deep into the grammar.
fn near_measure() -> impl Strategy<Value = String> {
    let pieces = [
        "1",
        "10",
        "7/16",
        "/",
        "0",
        ".5",
        ".",
        "-",
        "+",
        "−",
        " ",
        "\u{a0}",
        "'",
        "\"",
        "′",
        "″",
        "½",
        "¹¹⁄₁₆",
        "¹",
        "⁄",
        "₁₆",
        "in",
        "ft",
        "mm",
        "cm",
        "m",
        "e",
        "°",
        "min",
        ",",
        "x",
        "99999999999",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..9)
        .prop_map(|pieces| pieces.concat())
}

proptest! {
    #[test]
    fn marks_read_back_exactly(tape in tape(), marks in -40_000_i32..40_000) {
        let length = tape.mark() * f64::from(marks);
        for text in [tape.print(length), tape.print_feet(length)] {
            prop_assert_eq!(tape.read(&text).map(Length::as_mm), Ok(length.as_mm()), "{}", &text);
            let bare = parse_length(&text, tape.unit()).map(Length::as_mm);
            prop_assert_eq!(bare, Ok(length.as_mm()), "{}", &text);
        }
        prop_assert_eq!(tape.round(length), length);
    }

    #[test]
    fn print_reads_back_within_a_quarter_of_a_mark(tape in tape(), mm in -30_000.0..30_000.0_f64) {
        let length = Length::mm(mm);
        for text in [tape.print(length), tape.print_feet(length)] {
            let read = tape.read(&text).expect("what is printed is readable");
            let marks_off = (read - length) / tape.mark();
            prop_assert!(marks_off.abs() <= 0.25 + 1e-5, "{} is {} marks off", text, marks_off);
        }
    }

    #[test]
    fn print_is_steady(tape in tape(), mm in -30_000.0..30_000.0_f64) {
        for print in [Tape::print, Tape::print_feet] {
            let text = print(tape, Length::mm(mm));
            let read = tape.read(&text).expect("what is printed is readable");
            prop_assert_eq!(print(tape, read), text);
        }
    }

    #[test]
    fn common_marks_are_steady_without_the_tape(mm in -30_000.0..30_000.0_f64) {
        for tape in [Tape::Sixteenths, Tape::Millimetres] {
            let text = tape.print(Length::mm(mm));
            let read = parse_length(&text, tape.unit()).expect("what is printed is readable");
            prop_assert_eq!(tape.print(read), text);
        }
    }

    #[test]
    fn decimals_read_back(tape in tape(), mm in -900_000.0..900_000.0_f64) {
        let read = tape.read(&tape.print_exact(Length::mm(mm))).expect("readable");
        prop_assert!((read.as_mm() - mm).abs() <= 25.4 * 0.5e-6 + 1e-9);
    }

    #[test]
    fn every_hand_reads_the_same(
        negative: bool,
        feet in 0_u32..100,
        inches in 0_u32..12,
        over in 1_u32..16,
    ) {
        let sign = if negative { "-" } else { "" };
        let total = f64::from(feet * 12 + inches) + f64::from(over) / 16.0;
        let expected = Length::inches(if negative { -total } else { total }).as_mm();
        let whole = feet * 12 + inches;
        let written = [
            format!("{sign}{whole} {over}/16"),
            format!("{sign}{whole}-{over}/16\""),
            format!("{sign}{whole} {over}⁄16″"),
            format!("{sign}{whole} {}/32 in", over * 2),
            format!("{sign}{total}"),
            format!("{sign}{total} inches"),
            format!("{sign}{feet}' {inches} {over}/16\""),
            format!("{sign}{feet}'-{inches}-{over}/16\""),
            format!("{sign}{feet} ft {inches} {over}/16 in"),
            format!("{sign}{feet}′{inches} {over}/16″"),
            format!("{sign}{feet} feet {} in.", total - f64::from(feet * 12)),
        ];
        for text in written {
            let read = parse_length(&text, Unit::Inches).map(Length::as_mm);
            prop_assert_eq!(read, Ok(expected), "{}", &text);
        }
    }

    #[test]
    fn metric_hands_read_the_same(tenths in 0_u32..9_999_999) {
        let (mm, tenth) = (tenths / 10, tenths % 10);
        let expected: f64 = format!("{mm}.{tenth}").parse().expect("a decimal");
        let written = [
            format!("{mm}.{tenth}"),
            format!("{mm}.{tenth} mm"),
            format!("{}.{}{tenth} cm", mm / 10, mm % 10),
            format!("{}.{:03}{tenth} m", mm / 1000, mm % 1000),
        ];
        for text in written {
            let read = parse_length(&text, Unit::Millimetres).map(Length::as_mm);
            prop_assert_eq!(read, Ok(expected), "{}", &text);
        }
    }

    #[test]
    fn no_text_panics(text in prop_oneof![any::<String>(), near_measure()]) {
        for unit in [Unit::Inches, Unit::Millimetres] {
            match parse_length(&text, unit) {
                Ok(length) => prop_assert!(length.is_finite() && length.as_mm().abs() <= 1e6),
                Err(error) => {
                    prop_assert!(text.get(error.range.clone()).is_some(), "{:?}", error);
                    prop_assert!(!error.problem.is_empty() && !error.help.is_empty());
                }
            }
        }
        match parse_angle(&text) {
            Ok(angle) => prop_assert!(angle.is_finite() && angle.as_degrees().abs() <= 360.0 + 1e-9),
            Err(error) => prop_assert!(text.get(error.range).is_some()),
        }
    }

    #[test]
    fn no_length_panics_in_print(mm: f64, tape in tape()) {
        let length = Length::mm(mm);
        for text in [tape.print(length), tape.print_feet(length), tape.print_exact(length)] {
            prop_assert!(!text.is_empty());
            prop_assert!(!text.starts_with("-0\"") && !text.starts_with("-0 mm"));
        }
    }

    #[test]
    fn typed_survives_ron(text in near_measure()) {
        if let Ok(typed) = Typed::<Length>::read(&text) {
            prop_assert_eq!(&typed.text, &text);
            let written = ron::to_string(&typed).expect("a string is writable");
            let read: Typed<Length> = ron::from_str(&written).expect("what was written is readable");
            prop_assert_eq!(read, typed);
        }
    }
}
