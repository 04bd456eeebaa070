//! The drawings of a stair, each in a room that leaves it legible beside others. Millimetres.

use super::content::Figure;
use super::shelves::CAPTION;
use crate::chain::Chain;
use crate::measure::Tape;
use crate::publish::drawing::RunViews;

/// Every drawing of the stair, in the order of the sheets.
pub(super) fn figures(chain: &Chain, (width, height): (f64, f64), tape: Tape) -> Vec<Figure> {
    let _ = tape;
    let room = (width.min(WHOLE.0), (height - CAPTION).min(WHOLE.1));
    let views = (0..chain.runs.len()).filter_map(|run| Some((run, RunViews::of(chain, run)?)));
    views
        .flat_map(|(run, views)| {
            let both = views.both((room.0, 2.0 * room.1 - 40.0), &[], &[]);
            both.into_iter()
                .zip(["elevation", "plan"])
                .map(move |(drawing, name)| Figure {
                    name: format!("{name}-{}", run + 1),
                    title: drawing
                        .says
                        .split(';')
                        .next()
                        .unwrap_or_default()
                        .to_owned(),
                    scale: "1 : 20".to_owned(),
                    by: 20.0,
                    sheet: "Plans and elevations",
                    drawing,
                })
        })
        .filter(|one| one.drawing.height <= room.1)
        .collect()
}

/// A drawing of a run is no larger, mm: on a large sheet several stand beside one another.
const WHOLE: (f64, f64) = (560.0, 400.0);
