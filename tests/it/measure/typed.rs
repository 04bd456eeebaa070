//! Typed measures through RON: the text survives, numbers keep every digit, errors say what would
//! do.

use rakewell::measure::{Angle, Length, Typed, Unit, default_unit, with_default_unit};

fn length(ron: &str) -> Result<Typed<Length>, ron::error::SpannedError> {
    ron::from_str(ron)
}

#[test]
fn text_is_kept_through_a_file() {
    let texts = [
        "34 7/16",
        "3' 2 1/2\"",
        "10½",
        "-5/16",
        "260 mm",
        "10 1/4\"+",
        " 10.250 ",
    ];
    for text in texts {
        let typed = Typed::<Length>::read(text).expect("readable");
        assert_eq!(typed.text, text);
        let written = ron::to_string(&typed).expect("writable");
        assert_eq!(length(&written).expect("readable again"), typed);
    }
    let angle = Typed::<Angle>::read("37° 30'").expect("readable");
    let written = ron::to_string(&angle).expect("writable");
    assert_eq!(
        ron::from_str::<Typed<Angle>>(&written).expect("readable again"),
        angle
    );
}

#[test]
fn numbers_keep_every_digit() {
    for (ron, inches) in [
        ("10.1", 10.1),
        ("34.4375", 34.4375),
        ("7", 7.0),
        ("-3", -3.0),
    ] {
        let typed = length(ron).unwrap_or_else(|error| panic!("{ron}: {error}"));
        assert_eq!(
            typed.value,
            Length::inches(inches),
            "{ron} kept as {:?}",
            typed.text
        );
    }
}

#[test]
fn bare_numbers_take_the_unit_of_the_file() {
    let metric = with_default_unit(Unit::Millimetres, || length("260")).expect("readable");
    assert_eq!(metric.value, Length::mm(260.0));
    assert_eq!(default_unit(), Unit::Inches, "the former unit is put back");
    let typed = with_default_unit(Unit::Millimetres, || length("\"10 in\"")).expect("readable");
    assert_eq!(typed.value, Length::inches(10.0));
}

#[test]
fn the_unit_is_put_back_after_a_panic() {
    let outcome = std::panic::catch_unwind(|| {
        with_default_unit(Unit::Millimetres, || panic!("a reader that fails"));
    });
    assert!(outcome.is_err());
    assert_eq!(default_unit(), Unit::Inches);
}

#[test]
fn errors_carry_problem_and_help() {
    let message = length("\"3/0\"").expect_err("no length").code.to_string();
    assert!(message.contains("a fraction over zero"), "{message}");
    assert!(
        message.contains("write a whole number of 1 or more"),
        "{message}"
    );
    let message = length("NaN").expect_err("no length").code.to_string();
    assert!(message.contains("`NaN`"), "{message}");
    let message = length("inf").expect_err("no length").code.to_string();
    assert!(message.contains("`inf`"), "{message}");
    let message = length("1e999").expect_err("no length").code.to_string();
    assert!(message.contains("inf"), "{message}");
    let message = length("true").expect_err("no length").code.to_string();
    assert!(message.contains("a length as text or number"), "{message}");
    let message = length("(1, 2)").expect_err("no length").code.to_string();
    assert!(message.contains("a length as text or number"), "{message}");
}

#[test]
fn what_nobody_typed_reads_back() {
    for inches in [0.75, 3.0, 1.0 / 3.0, -2.5] {
        let typed = Typed::inches(inches);
        assert_eq!(Typed::<Length>::read(&typed.text).expect("readable"), typed);
    }
}
