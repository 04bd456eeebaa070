//! A rule to lay one's tape on: it shows whether the sheet was printed at its true size.

use crate::publish::paper::graduated;
use crate::publish::pdf::{Canvas, Push, Shade, Style};

/// Where the rule's line lies under the top of its canvas.
const LINE: f64 = 4.6;
/// The height of the whole.
pub(super) const TALL: f64 = 9.0;

/// Four inches above a line and a hundred millimetres under it, with marks every sixteenth and
/// every millimetre.
pub(super) fn rule(width: f64) -> Canvas {
    let mut canvas = graduated(LINE, 4, 100);
    let words = Style::regular(7.0, Shade::INK);
    let left = 4.0 * 25.4 + 5.0;
    canvas.fitted(
        (left, LINE - 0.6),
        Push::Left,
        "Print at 100 %, without fitting to the page.",
        words,
        width - left,
    );
    canvas.fitted(
        (left, LINE + 2.6),
        Push::Left,
        "Lay a tape on it: 4 in above the line, 100 mm under it.",
        Style::regular(7.0, Shade::GREY),
        width - left,
    );
    canvas
}
