//! Bottom steps whose open end is not like the others.

use super::check;
use rakewell::job::Document;

#[test]
fn shaped_bottom_steps() {
    check(&[
        (
            "going: 10",
            "going: 10, bottom: [(step: 14, beyond: 2)]",
            "flight.bottom[0].step",
            "14",
            "there is no tread 14",
            "treads 1 to 13",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 1, beyond: -2)]",
            "flight.bottom[0].beyond",
            "-2",
            "the end beyond the others is negative",
            "write ",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 1, flare: 60)]",
            "flight.bottom[0].flare",
            "60",
            "the flare is more than",
            "write ",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 1, beyond: 4, round: 5)]",
            "flight.bottom[0].round",
            "5",
            "cuts into the line of the others",
            "reaches 4\" beyond them",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 1, beyond: 8, round: 6)]",
            "flight.bottom[0].round",
            "6",
            "more than half of the tread's depth",
            "half-round",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 2, beyond: 3)]",
            "flight.bottom[0].beyond",
            "3",
            "step 2 hangs over step 1",
            "let step 1 reach",
        ),
        (
            "going: 10",
            "going: 10, bottom: [(step: 1, beyond: 3), (step: 1, beyond: 3)]",
            "flight.bottom[1].step",
            "1",
            "step 1 is shaped twice",
            "leave one",
        ),
    ]);
}

#[test]
fn two_extended_steps_one_on_the_other_are_taken() {
    let bottom = "going: 10, bottom: [(step: 1, beyond: 6, round: 5), (step: 2, beyond: 3)]";
    let text = crate::job::with("going: 10", bottom);
    let document = Document::parse(&text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    let flight = &document.job().flight;
    assert!(flight.reaches_beyond(1) && flight.reaches_beyond(2) && !flight.reaches_beyond(3));
}
