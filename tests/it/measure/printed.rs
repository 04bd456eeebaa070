//! Printed forms. Strong and scant as `+` and `-`: common practice, no source.

use rakewell::measure::{Length, Tape};

fn sixteenths(inches: f64) -> String {
    Tape::Sixteenths.print(Length::inches(inches))
}

#[test]
fn marks_in_lowest_terms() {
    assert_eq!(sixteenths(10.25), "10 1/4\"");
    assert_eq!(sixteenths(0.375), "3/8\"");
    assert_eq!(sixteenths(-0.3125), "-5/16\"");
    assert_eq!(sixteenths(-10.5), "-10 1/2\"");
    assert_eq!(sixteenths(10.0), "10\"");
    assert_eq!(sixteenths(0.0), "0\"");
    assert_eq!(sixteenths(-0.0), "0\"");
    assert_eq!(sixteenths(139.4375), "139 7/16\"");
    assert_eq!(
        Tape::ThirtySeconds.print(Length::inches(10.28125)),
        "10 9/32\""
    );
    assert_eq!(Tape::ThirtySeconds.print(Length::inches(10.25)), "10 1/4\"");
    assert_eq!(Tape::Millimetres.print(Length::mm(260.0)), "260 mm");
    assert_eq!(Tape::Millimetres.print(Length::mm(-0.2)), "0 mm");
}

#[test]
fn strong_and_scant_past_a_quarter_of_a_mark() {
    let mark = 1.0 / 16.0;
    assert_eq!(sixteenths(10.25 + 0.24 * mark), "10 1/4\"");
    assert_eq!(
        sixteenths(10.25 + 0.25 * mark),
        "10 1/4\"",
        "a quarter does not exceed a quarter"
    );
    assert_eq!(sixteenths(10.25 + 0.26 * mark), "10 1/4\"+");
    assert_eq!(sixteenths(10.25 + 0.49 * mark), "10 1/4\"+");
    assert_eq!(sixteenths(10.25 + 0.51 * mark), "10 5/16\"-");
    assert_eq!(sixteenths(10.25 + 0.74 * mark), "10 5/16\"-");
    assert_eq!(sixteenths(10.25 + 0.75 * mark), "10 5/16\"");
    assert_eq!(sixteenths(11.0 - 0.3 * mark), "11\"-");
    assert_eq!(Tape::Millimetres.print(Length::mm(260.3)), "260 mm+");
    assert_eq!(Tape::Millimetres.print(Length::mm(259.7)), "260 mm-");
}

#[test]
fn a_quarter_stays_a_quarter_whatever_its_last_digit() {
    for sixty_fourths in (1_u32..6400).step_by(4) {
        let text = sixteenths(f64::from(sixty_fourths) / 64.0);
        assert!(text.ends_with('"'), "{sixty_fourths}/64 printed {text}");
    }
}

#[test]
fn strong_is_by_magnitude() {
    let mark = 1.0 / 16.0;
    assert_eq!(sixteenths(-0.3125 - 0.3 * mark), "-5/16\"+");
    assert_eq!(sixteenths(-0.3125 + 0.3 * mark), "-5/16\"-");
    assert_eq!(sixteenths(0.3 * mark), "0\"+");
    assert_eq!(sixteenths(-0.3 * mark), "0\"-", "no negative zero");
}

#[test]
fn feet_and_inches() {
    let feet = |inches| Tape::Sixteenths.print_feet(Length::inches(inches));
    assert_eq!(feet(38.5), "3' 2 1/2\"");
    assert_eq!(feet(36.0), "3' 0\"");
    assert_eq!(feet(11.5), "11 1/2\"");
    assert_eq!(feet(0.0), "0\"");
    assert_eq!(feet(-38.5), "-3' 2 1/2\"");
    assert_eq!(feet(11.99), "1' 0\"", "rounded before feet are counted");
    assert_eq!(feet(47.975), "4' 0\"-");
    assert_eq!(feet(36.5 + 0.02), "3' 0 1/2\"+");
    assert_eq!(Tape::Millimetres.print_feet(Length::mm(2600.0)), "2600 mm");
}

#[test]
fn decimals() {
    assert_eq!(
        Tape::Sixteenths.print_exact(Length::inches(10.265_625)),
        "10.265625 in"
    );
    assert_eq!(
        Tape::Sixteenths.print_exact(Length::inches(100.0)),
        "100 in"
    );
    assert_eq!(
        Tape::Millimetres.print_exact(Length::mm(260.35)),
        "260.35 mm"
    );
    assert_eq!(Tape::Millimetres.print_exact(Length::mm(-1e-9)), "0 mm");
}

#[test]
fn no_number_prints_without_panic() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for tape in [Tape::Sixteenths, Tape::ThirtySeconds, Tape::Millimetres] {
            assert_eq!(tape.print(Length::mm(bad)), "no length");
            assert_eq!(tape.print_feet(Length::mm(bad)), "no length");
            assert_eq!(tape.print_exact(Length::mm(bad)), "no length");
        }
    }
}
