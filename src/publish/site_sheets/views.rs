//! The drawings of a stair, each in a room that leaves it legible beside others. Millimetres.

use std::collections::BTreeSet;

use super::content::Figure;
use super::shelves::{CAPTION, GAP};
use crate::chain::Chain;
use crate::measure::Tape;
use crate::publish::full_size::own_name;
use crate::publish::measured::{Measured, View, draw, views};

/// Every drawing of the stair, in the order of the sheets, and the names of those for which even a whole
/// sheet of this paper is too small.
pub(super) fn figures(chain: &Chain, room: (f64, f64), tape: Tape) -> (Vec<Figure>, Vec<String>) {
    let whole = (room.0.min(WHOLE.0), (room.1 - CAPTION).min(WHOLE.1));
    let (mut figures, mut not_drawn) = (Vec::new(), Vec::new());
    let mut names = BTreeSet::new();
    for view in views(chain) {
        let drawn = draw(chain, &view, cell(chain, &view, room), tape);
        match drawn.or_else(|| draw(chain, &view, whole, tape)) {
            Some(drawn) => {
                let name = own_name(&mut names, &view.name());
                figures.push(figure(name, &view, drawn));
            }
            None => not_drawn.push(view.name()),
        }
    }
    (figures, not_drawn)
}

fn figure(name: String, view: &View, drawn: Measured) -> Figure {
    let mut title = drawn.title.chars();
    let first = title.next().map(char::to_uppercase);
    Figure {
        name,
        title: first.into_iter().flatten().chain(title).collect(),
        scale: drawn.scale.to_owned(),
        by: drawn.by,
        sheet: match view {
            View::Plan { .. } => "Plans",
            View::Elevation { .. } => "Elevations",
            View::Newel { .. } => "Sections at newels",
            View::Notch { .. } => "Notches",
            View::Reveals { .. } => "Reveals",
            View::Wall { .. } => "Walls as found",
        },
        drawing: drawn.drawing,
    }
}

/// A drawing is no larger: on a large sheet several stand beside one another.
const WHOLE: (f64, f64) = (520.0, 360.0);

/// The room of a drawing: the whole of a small sheet for what is large, a part of it for details.
fn cell(chain: &Chain, view: &View, (width, height): (f64, f64)) -> (f64, f64) {
    let level = |run: usize| chain.runs[run].run.job.level.is_some();
    let (wide, tall) = match view {
        // A level run is long and low: half a small sheet.
        View::Plan { run: Some(run) } if level(*run) => (WHOLE.0, 76.0),
        View::Plan { .. } | View::Elevation { .. } => WHOLE,
        View::Newel { .. } => (118.0, 170.0),
        View::Notch { .. } => (190.0, 100.0),
        View::Reveals { .. } => (240.0, 75.0),
        View::Wall { .. } => (118.0, 75.0),
    };
    // As many beside and over one another as find room, and what is left shared out among them.
    let part = |room: f64, wanted: f64, over: f64| {
        let count = ((room + GAP) / (wanted + over + GAP)).floor().max(1.0);
        ((room + GAP) / count - GAP - over).min(wanted * 1.3)
    };
    (part(width, wide, 0.0), part(height, tall, CAPTION))
}
