//! Graduated rulers that prove the scale of a sheet. Millimetres.

use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// Inches on the check ruler.
pub const CHECK_IN: f64 = 6.0;
/// Millimetres on it.
pub const CHECK_MM: f64 = 150.0;

/// Inches above a line and millimetres under it, with marks every sixteenth and every millimetre.
/// The line lies at `base` mm under the canvas's top.
#[must_use]
pub fn graduated(base: f64, inches: u16, millimetres: u16) -> Canvas {
    let mut canvas = Canvas::default();
    let pen = Pen::new(Shade::INK, 0.15);
    let small = Style::regular(6.0, Shade::GREY);
    let length = (f64::from(inches) * 25.4).max(f64::from(millimetres));
    canvas.line(&[(0.0, base), (length, base)], Pen::new(Shade::INK, 0.25));
    for sixteenth in 0..=16 * inches {
        let x = f64::from(sixteenth) * 25.4 / 16.0;
        let long = match sixteenth % 16 {
            0 => 3.0,
            8 => 2.2,
            4 | 12 => 1.7,
            2 | 6 | 10 | 14 => 1.2,
            _ => 0.8,
        };
        canvas.line(&[(x, base), (x, base - long)], pen);
        if sixteenth % 16 == 0 && sixteenth > 0 {
            let inches = (sixteenth / 16).to_string();
            canvas.text((x - 0.6, base - 2.3), Push::Right, &inches, small);
        }
    }
    for millimetre in 0..=millimetres {
        let x = f64::from(millimetre);
        let long = match millimetre % 10 {
            0 => 3.0,
            5 => 1.9,
            _ => 1.1,
        };
        canvas.line(&[(x, base), (x, base + long)], pen);
        if millimetre % 20 == 0 && millimetre > 0 {
            let text = millimetre.to_string();
            canvas.text((x - 0.6, base + 3.7), Push::Right, &text, small);
        }
    }
    canvas
}

/// The check ruler of a true-size sheet: 6 in above its line, 150 mm under it, and what to do with
/// it. 14 mm high.
#[must_use]
pub fn check_ruler() -> Canvas {
    let mut canvas = graduated(4.6, CHECK_IN as u16, CHECK_MM as u16);
    let words = "Measure this before you use the sheet: 6 in above the line, 150 mm under it. \
                 Printed at another scale it is waste.";
    canvas.fitted(
        (0.0, 12.2),
        Push::Left,
        words,
        Style::bold(7.5, Shade::INK),
        CHECK_IN * 25.4,
    );
    canvas
}
