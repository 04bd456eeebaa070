//! Written forms of lengths and the value each must have. One inch is exactly 25.4 mm
//! (international yard and pound agreement, 1959), so equality here is to the last bit.

use rakewell::measure::{Length, Tape, Unit, parse_length};

use super::inches;

#[track_caller]
fn reads(text: &str, expected: Length) {
    let read = inches(text);
    assert_eq!(
        read.as_mm().to_bits(),
        expected.as_mm().to_bits(),
        "{text:?} read as {read:?}"
    );
}

#[test]
fn one_number_in_many_hands() {
    let written = [
        "10 1/4",
        "10-1/4",
        "10 1/4\"",
        "10-1/4\"",
        "10-1/4 in",
        "10 1/4 in.",
        "10 1/4 inches",
        "10 1/4 INCHES",
        "10¼",
        "10 ¼",
        "10-¼\"",
        "10¼″",
        "10¼”",
        "10¼''",
        "10¼’’",
        "10 1⁄4",
        "10 1∕4",
        "10 ¹⁄₄",
        "10¹⁄₄",
        "10 4/16",
        "+10 1/4",
        "+ 10 1/4",
        "  10 1/4  ",
        "10\u{a0}1/4\u{a0}in",
        "10\u{202f}¼",
        "10\t1/4",
        "10.25",
        "10.25 in",
        "10.25in",
        "10.250\"",
        "010.25",
        "0' 10 1/4\"",
        "0 ft 10 1/4 in",
        "10 1 / 4",
        "10\u{2011}1/4",
        "10\u{2010}1/4",
    ];
    for text in written {
        reads(text, Length::inches(10.25));
    }
}

#[test]
fn feet_and_inches() {
    let written = [
        "3' 2 1/2\"",
        "3'-2 1/2\"",
        "3' - 2 1/2\"",
        "3'2 1/2\"",
        "3'-2-1/2\"",
        "3′ 2½″",
        "3’ 2½”",
        "3 ft 2 1/2 in",
        "3 ft. 2 1/2 in.",
        "3ft2.5in",
        "3 feet 2 1/2 inches",
        "3 FT 2.5 IN",
        "3' 2 1/2",
        "3 ft 2.5",
        "38 1/2",
        "38.5\"",
    ];
    for text in written {
        reads(text, Length::inches(38.5));
    }
    reads("5 ft", Length::inches(60.0));
    reads("5'", Length::inches(60.0));
    reads("1 foot", Length::inches(12.0));
    reads("7 ft 2 in", Length::inches(86.0));
    reads("3.5 ft", Length::inches(42.0));
    reads("3 1/2'", Length::inches(42.0));
    reads("-3' 2 1/2\"", Length::inches(-38.5));
    reads("3' 0\"", Length::inches(36.0));
    reads("3' 11 15/16\"", Length::inches(47.9375));
}

#[test]
fn parts_of_an_inch() {
    reads("3/8", Length::inches(0.375));
    reads("⅜", Length::inches(0.375));
    reads("-5/16", Length::inches(-0.3125));
    reads("−5/16\"", Length::inches(-0.3125));
    reads("–5/16", Length::inches(-0.3125));
    reads("- 5/16", Length::inches(-0.3125));
    reads(".5", Length::inches(0.5));
    reads("-.5 in", Length::inches(-0.5));
    reads("½", Length::inches(0.5));
    reads("⅛", Length::inches(0.125));
    reads("⅝", Length::inches(0.625));
    reads("⅞", Length::inches(0.875));
    reads("¾", Length::inches(0.75));
    reads("4 ¹¹⁄₁₆", Length::inches(4.6875));
    reads("1/3", Length::inches(1.0 / 3.0));
    reads("0/16", Length::ZERO);
    reads("10 0/16", Length::inches(10.0));
}

/// A general library of units is known to read the space as "times": 139 * 7/16 = 60.8125.
#[test]
fn a_space_is_and_not_times() {
    reads("139 7/16 in", Length::inches(139.4375));
}

#[test]
fn metric() {
    reads("260 mm", Length::mm(260.0));
    reads("26 cm", Length::mm(260.0));
    reads("1.2 m", Length::mm(1200.0));
    reads("2 metres", Length::mm(2000.0));
    reads("10 1/2 mm", Length::mm(10.5));
    reads("½ cm", Length::mm(5.0));
    for text in [
        "260.35 mm",
        "260.35mm",
        "26.035 cm",
        "0.26035 m",
        "260.35 millimeters",
    ] {
        reads(text, Length::mm(260.35));
    }
    // 1.001 * 1000.0 is 1000.9999999999999 in doubles.
    reads("1.001 m", Length::mm(1001.0));
    reads("-0.5mm", Length::mm(-0.5));
}

#[test]
fn a_bare_number_takes_the_default() {
    let metric = |text| parse_length(text, Unit::Millimetres).expect("readable");
    assert_eq!(metric("260"), Length::mm(260.0));
    assert_eq!(metric("260.5"), Length::mm(260.5));
    assert_eq!(metric("10 in"), Length::inches(10.0));
    assert_eq!(
        metric("3' 2"),
        Length::inches(38.0),
        "inches follow feet in any job"
    );
    assert_eq!(inches("260"), Length::inches(260.0));
}

#[test]
fn zero_is_never_negative() {
    for text in ["-0", "0", "-0.0", "-0/8", "-0 mm", "-0' 0\""] {
        reads(text, Length::ZERO);
    }
}

#[test]
fn strong_and_scant_are_three_eighths_of_a_mark() {
    let sixteenth = 1.0 / 16.0;
    reads("10 1/4\"+", Length::inches(10.25 + 0.375 * sixteenth));
    reads("10 1/4+", Length::inches(10.25 + 0.375 * sixteenth));
    reads("10 1/4\"-", Length::inches(10.25 - 0.375 * sixteenth));
    reads("10¼−", Length::inches(10.25 - 0.375 * sixteenth));
    reads("3' 2\"+", Length::inches(38.0 + 0.375 * sixteenth));
    reads("-5/16\"+", Length::inches(-0.3125 - 0.375 * sixteenth));
    reads("0\"-", Length::inches(-0.375 * sixteenth));
    reads("9/32+", Length::inches(0.28125 + 0.375 / 32.0));
    reads("260 mm+", Length::mm(260.375));
    reads("260 mm-", Length::mm(259.625));
    let fine = Tape::ThirtySeconds.read("10 1/4\"+").expect("readable");
    assert_eq!(
        fine,
        Length::inches(10.25 + 0.375 / 32.0),
        "a tape judges by its own marks"
    );
}

/// Values of the characters: Unicode Character Database, the numeric value of each.
#[test]
fn every_fraction_character() {
    let characters = [
        ("½", 1.0, 2.0),
        ("⅓", 1.0, 3.0),
        ("⅔", 2.0, 3.0),
        ("¼", 1.0, 4.0),
        ("¾", 3.0, 4.0),
        ("⅕", 1.0, 5.0),
        ("⅖", 2.0, 5.0),
        ("⅗", 3.0, 5.0),
        ("⅘", 4.0, 5.0),
        ("⅙", 1.0, 6.0),
        ("⅚", 5.0, 6.0),
        ("⅛", 1.0, 8.0),
        ("⅜", 3.0, 8.0),
        ("⅝", 5.0, 8.0),
        ("⅞", 7.0, 8.0),
    ];
    for (text, top, bottom) in characters {
        reads(text, Length::inches(top / bottom));
        reads(&format!("3{text}\""), Length::inches(3.0 + top / bottom));
    }
    let raised = ["⁰⁄₈", "¹⁄₈", "²⁄₈", "³⁄₈", "⁴⁄₈", "⁵⁄₈", "⁶⁄₈", "⁷⁄₈"];
    for (top, text) in (0_u32..).zip(raised) {
        reads(text, Length::inches(f64::from(top) / 8.0));
    }
    // Each raised and each lowered digit.
    let others = [
        ("⁸⁄₁₀", 8.0 / 10.0),
        ("⁹⁄₁₆", 9.0 / 16.0),
        ("⁵⁄₃₂", 5.0 / 32.0),
        ("⁷⁄₆₄", 7.0 / 64.0),
        ("⁵⁄₉₆", 5.0 / 96.0),
        ("¹⁄₇₆₈", 1.0 / 768.0),
    ];
    for (text, inches) in others {
        reads(text, Length::inches(inches));
    }
    reads("⁹⁄₁₀", Length::inches(0.9));
    reads("1/1000", Length::inches(0.001));
}
