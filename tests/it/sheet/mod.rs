//! The survey sheet: where its blocks lie, what they ask in which order, and the file.

mod file;
mod order;
mod places;
mod report;

use rakewell::explain::{Because, Cure, Disturbance, Explanation, Makes, Method};
use rakewell::job::{Document, Job};
use rakewell::measure::Length;
use rakewell::publish::pdf::Spot;
use rakewell::publish::sheet::{Ask, MARGIN, Sheet};

pub(crate) const STARTER: &str = include_str!("../../../scenes/straight.ron");

pub(crate) fn starter() -> Job {
    Document::parse(STARTER, "straight.ron")
        .unwrap()
        .job()
        .clone()
}

pub(crate) fn demo() -> Job {
    let text = include_str!("../../../demo-scenes/quarry-lane.ron");
    Document::parse(text, "quarry-lane.ron")
        .unwrap()
        .job()
        .clone()
}

/// Everything that is asked, page by page from above.
pub(crate) fn asked(sheet: &Sheet) -> Vec<Ask> {
    let blocks = sheet.leaves.iter().flat_map(|leaf| &leaf.blocks);
    blocks
        .flat_map(|block| block.asks.iter().cloned())
        .collect()
}

/// A hair for lines that run along the very edge of their block, in millimetres.
const HAIR: f64 = 0.01;

/// Every block keeps to the margins and to itself, and what stands in it stays in it.
pub(crate) fn keeps_its_places(sheet: &Sheet) {
    let (width, height) = sheet.paper.size();
    let within =
        |(low, high): (Spot, Spot), (left, top): (f64, f64), (right, below): (f64, f64)| {
            low.x >= left - HAIR
                && low.y >= top - HAIR
                && high.x <= right + HAIR
                && high.y <= below + HAIR
        };
    for leaf in &sheet.leaves {
        assert!(!leaf.blocks.is_empty(), "an empty page");
        let paper = (width - MARGIN, height - MARGIN);
        for mark in leaf.marks() {
            assert!(
                within(mark.bounds(), (MARGIN, MARGIN), paper),
                "in the margin: {mark:?}"
            );
        }
        let mut free = MARGIN;
        for block in &leaf.blocks {
            assert!(block.top >= free - HAIR, "one block over another");
            free = block.top + block.height;
            let corner = (block.left + block.width, free);
            for mark in &block.marks {
                assert!(
                    within(mark.bounds(), (block.left, block.top), corner),
                    "outside its block: {mark:?} of {:?}",
                    block.asks
                );
            }
        }
        for mark in &leaf.foot {
            assert!(mark.bounds().0.y >= free, "the foot lies under the blocks");
        }
    }
}

/// An explanation with something in every place: made up, so that no test waits for real ones.
pub(crate) fn explanation(words: &str) -> Explanation {
    let share = |what: String, mm: f64| Because {
        what,
        parts: Vec::new(),
        share: Length::mm(mm),
        shapley: Some(Length::mm(mm + 0.5)),
        error: None,
        readings: Vec::new(),
        makes: Makes::default(),
    };
    Explanation {
        value: Length::mm(120.0),
        method: Method::Exact,
        unknown: Vec::new(),
        because: (0..8_i32)
            .map(|at| share(format!("wall W{at}'s {words}"), 9.0 - 2.5 * f64::from(at)))
            .collect(),
        remainder: Length::mm(4.0),
        when_true: Some(Length::mm(100.0)),
        cures: vec![Cure {
            what: format!("move it {words}"),
            edits: Vec::new(),
            value_after: Length::mm(99.0),
            disturbance: Disturbance::default(),
            breaks: (0..5).map(|at| format!("trouble {at} {words}")).collect(),
        }],
    }
}
