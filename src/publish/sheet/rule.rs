//! A rule to lay one's tape on: it shows whether the sheet was printed at its true size.

use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// Where the rule's line lies under the top of its canvas.
const LINE: f64 = 4.6;
/// The height of the whole.
pub(super) const TALL: f64 = 9.0;

/// Four inches above a line and a hundred millimetres under it, with marks every sixteenth and
/// every millimetre.
pub(super) fn rule(width: f64) -> Canvas {
    let mut canvas = Canvas::default();
    let pen = Pen::new(Shade::INK, 0.15);
    let small = Style::regular(6.0, Shade::GREY);
    canvas.line(
        &[(0.0, LINE), (4.0 * 25.4, LINE)],
        Pen::new(Shade::INK, 0.25),
    );
    for sixteenth in 0..=64_u16 {
        let x = f64::from(sixteenth) * 25.4 / 16.0;
        let long = match sixteenth % 16 {
            0 => 3.0,
            8 => 2.2,
            4 | 12 => 1.7,
            2 | 6 | 10 | 14 => 1.2,
            _ => 0.8,
        };
        canvas.line(&[(x, LINE), (x, LINE - long)], pen);
        if sixteenth % 16 == 0 && sixteenth > 0 {
            let inches = (sixteenth / 16).to_string();
            canvas.text((x - 0.6, LINE - 2.3), Push::Right, &inches, small);
        }
    }
    for millimetre in 0..=100_u16 {
        let x = f64::from(millimetre);
        let long = match millimetre % 10 {
            0 => 3.0,
            5 => 1.9,
            _ => 1.1,
        };
        canvas.line(&[(x, LINE), (x, LINE + long)], pen);
        if millimetre % 20 == 0 && millimetre > 0 {
            canvas.text(
                (x - 0.6, LINE + 3.7),
                Push::Right,
                &millimetre.to_string(),
                small,
            );
        }
    }
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
