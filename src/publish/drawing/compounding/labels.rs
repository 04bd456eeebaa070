//! Names beside the ends of lines: none over another, each with a thin line to where it belongs
//! where it had to give way.

use crate::publish::drawing::Ink;
use crate::publish::pdf::{Canvas, Pen, Push, Style};

/// From one line of a name to the next, mm.
const LEADING: f64 = 3.5;
/// A baseline under the middle of small letters.
const BASE: f64 = 0.95;

/// A name of one or more lines.
pub(super) struct Label {
    /// Where what it names ends, down the paper.
    at: f64,
    lines: Vec<(String, Style)>,
}

impl Label {
    pub(super) fn new(at: f64, lines: Vec<(String, Style)>) -> Self {
        Self { at, lines }
    }

    fn tall(&self) -> f64 {
        LEADING * self.lines.len() as f64
    }
}

/// Puts names down: lines end at `from`, names stand from `left` to `right`, from the top to the
/// bottom of a room.
pub(super) fn put(
    canvas: &mut Canvas,
    mut all: Vec<Label>,
    (from, left, right): (f64, f64, f64),
    room: (f64, f64),
) {
    all.sort_by(|a, b| a.at.total_cmp(&b.at));
    let wanted: Vec<(f64, f64)> = all.iter().map(|one| (one.at, one.tall())).collect();
    for (label, middle) in all.iter().zip(places(&wanted, room)) {
        let first = middle - (label.tall() - LEADING) / 2.0;
        let joint = from + (left - from) * 0.4;
        let line = [
            (from + 0.6, label.at),
            (joint, label.at),
            (left - 0.8, first),
        ];
        canvas.line(&line, Pen::new(Ink::SOFT, 0.15));
        let mut y = first;
        for (text, style) in &label.lines {
            canvas.fitted((left, y + BASE), Push::Left, text, *style, right - left);
            y += LEADING;
        }
    }
}

/// The middles of names that stand in their order and not over each other, as near to where they
/// are wanted as that allows: each is pushed down by the one above, then up by the bottom.
///
/// `wanted` holds where the middle of each is wanted and how tall it is, `(top, bottom)` the room;
/// all in one unit, downwards.
#[must_use]
pub fn places(wanted: &[(f64, f64)], (top, bottom): (f64, f64)) -> Vec<f64> {
    let mut places = Vec::with_capacity(wanted.len());
    let mut free = top;
    for (at, tall) in wanted {
        let middle = at.max(free + tall / 2.0);
        places.push(middle);
        free = middle + tall / 2.0;
    }
    let mut free = bottom;
    for (place, (_, tall)) in places.iter_mut().zip(wanted).rev() {
        *place = place.min(free - tall / 2.0);
        free = *place - tall / 2.0;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::places;

    #[test]
    fn names_keep_their_order_and_never_lie_over_each_other() {
        let wanted = [
            (2.0, 4.0),
            (10.0, 4.0),
            (11.0, 4.0),
            (11.5, 8.0),
            (30.0, 4.0),
        ];
        let found = places(&wanted, (0.0, 32.0));
        for (two, tall) in found.windows(2).zip(wanted.windows(2)) {
            let apart = (tall[0].1 + tall[1].1) / 2.0;
            assert!(two[1] - two[0] >= apart - 1e-9, "{found:?}");
        }
        // Who is in nobody's way stays.
        assert!((found[0] - 2.0).abs() < 1e-9 && (found[1] - 10.0).abs() < 1e-9);
        assert!(found[4] <= 30.0 + 1e-9);
    }
}
