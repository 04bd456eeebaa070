//! Measured drawings: what their dimensions say against the model, the paper and plain geometry.

mod figures;
mod paper;
mod section;

use std::sync::LazyLock;

use rakewell::chain::{self, Chain};
use rakewell::measure::Tape;
use rakewell::publish::measured::{Measured, View, draw, views};

use crate::shop::{SCENES, chain_of};

/// What remains of letter paper lying, and of A3, for a drawing: mm.
pub(super) const ROOMS: [(f64, f64); 2] = [(250.0, 165.0), (390.0, 245.0)];

/// Every scene's chain, with its name and its tape.
pub(super) static ALL: LazyLock<Vec<(&'static str, Chain, Tape)>> = LazyLock::new(|| {
    SCENES
        .iter()
        .map(|(name, text)| {
            let chain = chain_of(text);
            let tape = chain.first().run.job.tape;
            (*name, chain, tape)
        })
        .collect()
});

/// A drawing of a scene.
struct Drawn {
    what: String,
    scene: usize,
    view: View,
    room: (f64, f64),
    drawn: Measured,
}

static DRAWN: LazyLock<Vec<Drawn>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for (scene, (name, chain, tape)) in ALL.iter().enumerate() {
        for view in views(chain) {
            for room in ROOMS {
                let what = format!("{name}: {} in {room:?}", view.name());
                let drawn = draw(chain, &view, room, *tape);
                let drawn = drawn.unwrap_or_else(|| panic!("{what}: nothing is drawn"));
                all.push(Drawn {
                    what,
                    scene,
                    view: view.clone(),
                    room,
                    drawn,
                });
            }
        }
    }
    assert!(all.len() > 200, "{} drawings", all.len());
    all
});

/// Every drawing of every scene in both rooms.
pub(super) fn each(mut seen: impl FnMut(&str, &Chain, (f64, f64), &Measured)) {
    for one in DRAWN.iter() {
        seen(&one.what, &ALL[one.scene].1, one.room, &one.drawn);
    }
}

/// The same with what is drawn.
pub(super) fn each_view(mut seen: impl FnMut(&str, &Chain, &View, &Measured)) {
    for one in DRAWN.iter() {
        seen(&one.what, &ALL[one.scene].1, &one.view, &one.drawn);
    }
}

/// A stair as it was meant.
pub(super) fn meant(text: &str) -> Chain {
    chain::run_true(&chain_of(text)).unwrap()
}
