//! Room for anything else, on lines to write on.

use super::Ask;
use super::layout::{Block, Flow, HEADING, heading, lines};
use super::paper::{GRID, ROW};
use crate::publish::pdf::{Canvas, Pen, Shade, Style};

/// Lines to write on, at the least.
const FEWEST: usize = 5;
/// And at the most.
const MOST: usize = 14;

/// Lays the notes on what is left of the page, or on a new one.
pub(super) fn lay(flow: &mut Flow) {
    let over = HEADING + 2;
    let room = flow.left().saturating_sub(over) / 2;
    let count = if room < FEWEST { MOST } else { room.min(MOST) };
    let width = flow.width();
    let mut canvas = Canvas::default();
    heading(
        &mut canvas,
        width,
        "Notes",
        "What is loose, out of square, proud, patched; pipes and wires; photographs taken.",
    );
    let words = "Readings of other kinds go here too, with their step and value: Height (above \
                 another step), Run and Past (from another kick, or a plumb laser line), Diagonal \
                 (between two ends of nosings), Pitch.";
    let small = Style::regular(7.0, Shade::GREY);
    canvas.lines(
        (0.0, lines(HEADING) + 3.2),
        words,
        small,
        width,
        0.65 * GRID,
    );
    let mut y = lines(over);
    for _ in 0..count {
        y += ROW;
        canvas.line(&[(0.0, y), (width, y)], Pen::new(Shade::HAIR, 0.15));
    }
    flow.block(Block {
        lines: over + 2 * count,
        asks: vec![Ask::Notes],
        canvas,
    });
}
