//! The chart of errors that add up, held against what it says.

use super::{LEFT, NAMES, RIGHT, WIDE, compounding};
use crate::chain;
use crate::doubt::compounding as errors;
use crate::job::Document;
use crate::measure::{Length, Tape};
use crate::publish::drawing::Drawing;
use crate::publish::pdf::{Mark, Spot};

/// The charts of the flights of a job, with an error per step in inches.
fn drawn(text: &str, tape: Tape, inches: f64) -> Vec<Drawing> {
    let document = Document::parse(text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    let chain = chain::run(document.job()).expect("it is sound");
    let told = chain
        .runs
        .iter()
        .filter_map(|run| errors::compounding(run, Length::inches(inches)));
    told.map(|told| compounding(&told, tape, "A flight"))
        .collect()
}

const STARTER: &str = include_str!("../../../../scenes/straight.ron");

/// Every kind of flight: long and short, read and not read, with readings that leave it wide open.
const FLIGHTS: [&str; 5] = [
    STARTER,
    include_str!("../../../../scenes/half-turn.ron"),
    include_str!("../../../../demo-scenes/quarry-lane.ron"),
    include_str!("../../../../demo-scenes/mill-row.ron"),
    include_str!("../../../../demo-scenes/weir-cottage.ron"),
];

fn texts(drawing: &Drawing) -> Vec<(&str, (Spot, Spot))> {
    let marks = drawing.canvas.marks.iter();
    marks
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some((text.as_str(), mark.bounds())),
            _ => None,
        })
        .collect()
}

/// The last places of the lines that end at the right of the plot.
fn ends(drawing: &Drawing) -> Vec<f64> {
    let marks = drawing.canvas.marks.iter();
    let last = marks.filter_map(|mark| match mark {
        Mark::Line {
            spots,
            closed: false,
            ..
        } if spots.len() == 15 => spots.last(),
        _ => None,
    });
    let right = last.filter(|spot| (spot.x - RIGHT).abs() < 1e-9);
    right.map(|spot| spot.y).collect()
}

#[test]
fn no_word_lies_over_another_and_all_of_it_is_on_the_paper() {
    for text in FLIGHTS {
        for (tape, inches) in [
            (Tape::Sixteenths, 1.0 / 16.0),
            (Tape::ThirtySeconds, 1.0 / 64.0),
            (Tape::Millimetres, 0.1),
            (Tape::Sixteenths, 2.0),
        ] {
            for drawing in drawn(text, tape, inches) {
                // Letter paper within 12 mm margins.
                assert!(drawing.height <= 11.0 * 25.4 - 24.0, "{}", drawing.height);
                let all = texts(&drawing);
                for (at, (one, (a, b))) in all.iter().enumerate() {
                    assert!(a.x >= 0.0 && b.x <= WIDE + 0.01, "{one}");
                    assert!(a.y >= 0.0 && b.y <= drawing.height + 1.0, "{one}");
                    for (other, (c, d)) in &all[at + 1..] {
                        let apart = b.x <= c.x || d.x <= a.x || b.y <= c.y || d.y <= a.y;
                        assert!(apart, "{one:?} lies over {other:?}");
                    }
                }
            }
        }
    }
}

/// Fourteen sixteenths are seven eighths: on the chart's own scale, told by its numbered marks.
#[test]
fn the_wedge_ends_where_its_name_says() {
    let all = drawn(STARTER, Tape::Sixteenths, 1.0 / 16.0);
    let drawing = &all[0];
    let all = texts(drawing);
    assert!(
        all.iter()
            .any(|(text, _)| *text == "all the same way: 7/8\"")
    );
    // Nobody read a rise, so that the stair itself may be off the most: 6 mm by root 14 by 1.96 is
    // 1 3/4 in, and the marks are inches and halves.
    let level = |word: &str| {
        let here = all
            .iter()
            .find(|(text, (_, end))| *text == word && end.x < LEFT);
        // Numbers stand a little under the line, by half the height of a digit.
        here.map(|(_, (from, to))| from.y + (to.y - from.y) * 0.72 / 0.94 - 0.95)
            .unwrap()
    };
    let (none, inch) = (level("0"), level("1/2\""));
    let wanted = none - (none - inch) * 0.875 / 0.5;
    let nearest = ends(drawing)
        .into_iter()
        .map(|y| (y - wanted).abs())
        .fold(f64::MAX, f64::min);
    assert!(nearest < 0.02, "{nearest}: {wanted} {:?}", ends(drawing));
}

#[test]
fn every_name_stands_beside_its_line() {
    for drawing in drawn(FLIGHTS[3], Tape::Sixteenths, 1.0 / 16.0) {
        let names = texts(&drawing)
            .into_iter()
            .filter(|(_, (a, _))| (a.x - NAMES).abs() < 0.01);
        let names: Vec<&str> = names.map(|(text, _)| text).collect();
        for start in [
            "all the same way",
            "by chance, 19",
            "by chance, half",
            "marked from",
        ] {
            let count = names.iter().filter(|name| name.starts_with(start)).count();
            assert_eq!(count, 3, "{start}: {names:?}");
        }
        assert!(
            drawing.says.contains("step 9 throws most"),
            "{}",
            drawing.says
        );
    }
}
