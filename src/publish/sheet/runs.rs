//! The head over what is asked of a further run.

use super::layout::{Block, Flow, HEADING, heading, lines};
use super::paper::GRID;
use crate::job::OneRun;
use crate::publish::pdf::{Canvas, Shade, Style};

/// Begins a run on a new page: its name, and what its places are measured from.
pub(super) fn lay(flow: &mut Flow, run: &OneRun) {
    flow.turn();
    let width = flow.width();
    let (what, from) = if run.job.level.is_some() {
        ("a level run", "its start")
    } else {
        ("a flight", "the face of its first kick")
    };
    let mut canvas = Canvas::default();
    heading(&mut canvas, width, &format!("Run {}: {what}", run.name), "");
    let words = format!(
        "All that follows is read as if this run stood alone: along it from {from}, across it from \
         its own baluster line, up from the floor or landing that it starts on."
    );
    let small = Style::regular(7.0, Shade::GREY);
    canvas.lines(
        (0.0, lines(HEADING) + 3.2),
        &words,
        small,
        width,
        0.65 * GRID,
    );
    flow.block(Block {
        lines: HEADING + 2,
        asks: Vec::new(),
        canvas,
    });
}
