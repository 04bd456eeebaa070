//! Marks that tell severities and verdicts by their shape: the window's flags, and tick, cross,
//! waves and empty ring.

use super::Ink;
use crate::inspect::{Severity, Verdict};
use crate::publish::pdf::{Canvas, Pen, Push, Style};

/// The cloth of a flag: a swallowtail to stop, a pennant to fix, a ring to remark, with a number on
/// it where there is one. Its height in millimetres; it begins at its left middle.
pub(super) fn cloth(canvas: &mut Canvas, (x, y): (f64, f64), severity: Severity, number: &str) {
    let shade = Ink::severity(severity);
    let edge = Pen::new(Ink::PENCIL, 0.15);
    let wide = cloth_width(number);
    let half = CLOTH / 2.0;
    let (ink, push, at) = match severity {
        Severity::Stop => {
            let spots = [
                (x, y - half),
                (x + wide, y - half),
                (x + wide - half * 0.7, y),
                (x + wide, y + half),
                (x, y + half),
            ];
            canvas.area(&spots, Some(edge), Some(shade));
            (Ink::CARD, Push::Centre, x + (wide - half * 0.5) / 2.0)
        }
        Severity::Fix => {
            let spots = [(x, y - half), (x + wide * 1.25, y), (x, y + half)];
            canvas.area(&spots, Some(edge), Some(shade));
            (Ink::CARD, Push::Left, x + 0.4)
        }
        Severity::Remark => {
            let centre = (x + wide / 2.0, y);
            let radius = half.max(wide / 2.0 - 0.4);
            canvas.round(centre, radius, Some(Pen::new(shade, 0.45)), Some(Ink::CARD));
            (Ink::PENCIL, Push::Centre, centre.0)
        }
    };
    let style = Style::bold(6.2, ink);
    canvas.text((at, y + 0.36 * style.em()), push, number, style);
}

/// The height of a flag's cloth, mm.
pub(super) const CLOTH: f64 = 3.8;

/// Its width, mm; a pennant's tip reaches out a quarter of it.
pub(super) fn cloth_width(number: &str) -> f64 {
    Style::bold(6.2, Ink::CARD).width(number) + 2.6
}

/// The mark of a severity, `size` mm high and one and a half times as wide, from its upper left
/// corner.
#[must_use]
pub fn severity_mark(severity: Severity, size: f64) -> Canvas {
    let mut canvas = Canvas::default();
    let edge = Some(Pen::new(Ink::PENCIL, 0.15));
    let fill = Some(Ink::severity(severity));
    let (wide, half) = (1.5 * size, size / 2.0);
    match severity {
        Severity::Stop => {
            let spots = [
                (0.0, 0.0),
                (wide, 0.0),
                (wide - half, half),
                (wide, size),
                (0.0, size),
            ];
            canvas.area(&spots, edge, fill);
        }
        Severity::Fix => canvas.area(&[(0.0, 0.0), (wide, half), (0.0, size)], edge, fill),
        Severity::Remark => {
            let pen = Pen::new(Ink::severity(severity), size * 0.16);
            canvas.round((half, half), half * 0.84, Some(pen), None);
        }
    }
    canvas
}

/// The mark of a verdict in a square of `size` mm, from its upper left corner: a tick for met, a
/// cross for broken, two waves for too close to call, an empty ring for not shown.
#[must_use]
pub fn verdict_mark(verdict: Verdict, size: f64) -> Canvas {
    let mut canvas = Canvas::default();
    let pen = Pen::new(Ink::verdict(verdict), size * 0.16);
    let at = |x: f64, y: f64| (x * size, y * size);
    match verdict {
        Verdict::Met => canvas.line(&[at(0.08, 0.55), at(0.38, 0.88), at(0.92, 0.12)], pen),
        Verdict::Broken => {
            canvas.line(&[at(0.1, 0.1), at(0.9, 0.9)], pen);
            canvas.line(&[at(0.9, 0.1), at(0.1, 0.9)], pen);
        }
        Verdict::TooClose => {
            for down in [0.32, 0.68] {
                let wave: Vec<(f64, f64)> = (0..=12_u8)
                    .map(|step| {
                        let share = f64::from(step) / 12.0;
                        let lift = (share * std::f64::consts::TAU).sin();
                        at(0.04 + 0.92 * share, down - 0.12 * lift)
                    })
                    .collect();
                canvas.line(&wave, pen);
            }
        }
        Verdict::NotShown => {
            let pen = Pen::new(Ink::verdict(verdict), size * 0.1);
            canvas.round(at(0.5, 0.5), size * 0.4, Some(pen), None);
        }
    }
    canvas
}
