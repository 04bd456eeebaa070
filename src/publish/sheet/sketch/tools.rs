//! What the sketches are put together from. Millimetres, right and down.

use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// A place in a sketch.
pub(super) type At = (f64, f64);

/// Outlines of the stair and the walls.
pub(super) const OUTLINE: Pen = Pen::new(Shade::INK, 0.3);
/// Lesser lines.
pub(super) const THIN: Pen = Pen::new(Shade::GREY, 0.18);
/// What would be true: plumb, level.
pub(super) const TRUE: Pen = Pen::new(Shade::GREY, 0.18).dashed(1.0, 0.8);
/// A laser line.
pub(super) const BEAM: Pen = Pen::new(Shade::CHALK, 0.3).dashed(1.8, 0.9);
/// What is read.
const READ: Pen = Pen::new(Shade::CHALK, 0.5);

/// The direction from one place to another, and how far it is.
fn toward(from: At, to: At) -> (At, f64) {
    let (x, y) = (to.0 - from.0, to.1 - from.1);
    let far = x.hypot(y);
    if far > 0.0 {
        ((x / far, y / far), far)
    } else {
        ((1.0, 0.0), 0.0)
    }
}

/// A place so far along and so far to the right of a direction.
fn off(from: At, (x, y): At, along: f64, right: f64) -> At {
    (
        from.0 + x * along - y * right,
        from.1 + y * along + x * right,
    )
}

/// What is read: from here to there, arrows at both ends.
pub(super) fn read(canvas: &mut Canvas, from: At, to: At) {
    let (way, far) = toward(from, to);
    let head = 1.7_f64.min(far / 2.0);
    canvas.line(
        &[
            off(from, way, head * 0.8, 0.0),
            off(to, way, -head * 0.8, 0.0),
        ],
        READ,
    );
    for (tip, back) in [(from, head), (to, -head)] {
        canvas.area(
            &[tip, off(tip, way, back, 0.55), off(tip, way, back, -0.55)],
            None,
            Some(Shade::CHALK),
        );
    }
}

/// A small gap that is read: arrows from outside towards it.
pub(super) fn gap(canvas: &mut Canvas, from: At, to: At) {
    let (way, far) = toward(from, to);
    for (tip, back) in [(from, -1.0), (to, 1.0)] {
        canvas.line(
            &[off(tip, way, back, 0.0), off(tip, way, back * 3.6, 0.0)],
            READ,
        );
        canvas.area(
            &[
                tip,
                off(tip, way, back * 1.7, 0.55),
                off(tip, way, back * 1.7, -0.55),
            ],
            None,
            Some(Shade::CHALK),
        );
    }
    canvas.line(
        &[from, off(from, way, far, 0.0)],
        Pen::new(Shade::CHALK, 0.25),
    );
}

/// A level: its lower edge from here to there, its body to the left of that way, with its bubble.
pub(super) fn level(canvas: &mut Canvas, from: At, to: At) {
    let deep = 2.4;
    let (way, far) = toward(from, to);
    board(canvas, from, to, deep, Shade::TONE);
    let middle = off(from, way, far / 2.0, -deep / 2.0);
    let vial = [(-1.9, -0.6), (1.9, -0.6), (1.9, 0.6), (-1.9, 0.6)];
    let spots = vial.map(|(along, right)| off(middle, way, along, right));
    canvas.area(&spots, Some(THIN), Some(Shade::PAPER));
    canvas.round(middle, 0.42, Some(THIN), Some(Shade::CHALK));
    for along in [-0.75, 0.75] {
        canvas.line(
            &[off(middle, way, along, -0.6), off(middle, way, along, 0.6)],
            THIN,
        );
    }
}

/// A board with its lower edge from here to there, its body to the left of that way.
pub(super) fn board(canvas: &mut Canvas, from: At, to: At, deep: f64, fill: Shade) {
    let (way, _) = toward(from, to);
    let spots = [
        from,
        to,
        off(to, way, 0.0, -deep),
        off(from, way, 0.0, -deep),
    ];
    canvas.area(&spots, Some(OUTLINE), Some(fill));
}

/// A line laser on its stand; the place its beam leaves from.
pub(super) fn laser(canvas: &mut Canvas, (x, y): At, ground: f64) {
    let head = y + 1.6;
    for foot in [-2.2, 0.0, 2.2] {
        canvas.line(&[(x, head), (x + foot, ground)], THIN);
    }
    canvas.rect(
        (x - 1.5, y - 1.6),
        (3.0, 3.2),
        Some(OUTLINE),
        Some(Shade::TONE),
    );
    canvas.round((x + 0.6, y), 0.45, None, Some(Shade::CHALK));
}

/// Strokes that say: this goes on as solid wall. Along a line, on the right of its way.
pub(super) fn hatch(canvas: &mut Canvas, from: At, to: At) {
    let (way, far) = toward(from, to);
    let mut along = 0.9;
    while along < far {
        canvas.line(
            &[off(from, way, along, 0.0), off(from, way, along - 0.9, 1.3)],
            THIN,
        );
        along += 1.5;
    }
}

/// A word in a sketch.
pub(super) fn word(canvas: &mut Canvas, at: At, push: Push, text: &str) {
    canvas.text(at, push, text, Style::regular(6.2, Shade::GREY));
}

/// The word of what is read.
pub(super) fn name(canvas: &mut Canvas, at: At, push: Push, text: &str) {
    canvas.text(at, push, text, Style::bold(6.4, Shade::CHALK));
}

/// A mark in pencil on a wall: a small cross stroke.
pub(super) fn mark(canvas: &mut Canvas, (x, y): At) {
    canvas.line(&[(x - 1.1, y), (x + 1.1, y)], Pen::new(Shade::INK, 0.5));
}

/// A run of steps seen from the side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    /// The foot of the first kick's face.
    pub(super) foot: At,
    /// Height of a kick.
    pub(super) rise: f64,
    /// Kick to kick.
    pub(super) going: f64,
    /// Nosing beyond the kick.
    pub(super) nosing: f64,
    /// Thickness of a tread.
    pub(super) thick: f64,
}

impl Run {
    /// The face of kick `step`, at the height of the tread on it.
    pub(super) fn kick(self, step: u8) -> At {
        let step = f64::from(step);
        (
            self.foot.0 + (step - 1.0) * self.going,
            self.foot.1 - step * self.rise,
        )
    }

    /// The nosing of tread `step`.
    pub(super) fn nose(self, step: u8) -> At {
        let (x, y) = self.kick(step);
        (x - self.nosing, y)
    }

    /// Draws steps, the last tread running to `right`.
    pub(super) fn draw(self, canvas: &mut Canvas, steps: u8, right: f64) {
        for step in 1..=steps {
            let (x, y) = self.kick(step);
            let back = if step == steps { right } else { x + self.going };
            canvas.line(&[(x, y + self.rise), (x, y + self.thick)], OUTLINE);
            canvas.rect(
                (x - self.nosing, y),
                (back - x + self.nosing, self.thick),
                Some(OUTLINE),
                Some(Shade::TONE),
            );
        }
    }
}
