//! Numbered flags on a picture, none over another while there is room.

use nalgebra::Point3;

use super::Ink;
use super::flat::Box2;
use super::mark::{CLOTH, cloth, cloth_width};
use crate::inspect::Severity;
use crate::publish::pdf::{Canvas, Pen};

/// A trouble to point at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flagged {
    /// Its number in the list.
    pub number: usize,
    /// How much it matters.
    pub severity: Severity,
    /// Where, mm in the first run's frame.
    pub at: Point3<f64>,
}

/// Lengths of pins that are tried, mm.
const PINS: [f64; 7] = [7.0, 12.0, 17.0, 22.0, 27.0, 32.0, 37.0];

/// Flies flags with their feet at places on the paper, within a box of it.
pub(super) fn fly(canvas: &mut Canvas, flags: &[(usize, Severity, (f64, f64))], room: &Box2) {
    let mut taken: Vec<Box2> = Vec::new();
    for (number, severity, foot) in flags {
        let text = number.to_string();
        let wide = cloth_width(&text) * 1.25;
        let tried = PINS.iter().flat_map(|pin| {
            // Up first, then down; the cloth to the right, then to the left.
            [(-pin, 0.0), (-pin, -wide), (*pin, 0.0), (*pin, -wide)]
        });
        let place = |(rise, left): (f64, f64)| {
            let at = (foot.0 + left, foot.1 + rise);
            let low = (at.0 - 0.4, at.1 - CLOTH / 2.0 - 0.4);
            Box2 {
                low,
                high: (low.0 + wide + 0.8, low.1 + CLOTH + 0.8),
            }
        };
        let free = |tried: &(f64, f64)| {
            let cloth = place(*tried);
            room.holds(cloth.low)
                && room.holds(cloth.high)
                && taken.iter().all(|other| !other.meets(&cloth))
        };
        let within = |tried: &(f64, f64)| {
            let cloth = place(*tried);
            room.holds(cloth.low) && room.holds(cloth.high)
        };
        // Where all is taken they lie over one another rather than leave the picture.
        let all: Vec<(f64, f64)> = tried.collect();
        let found = all.iter().find(|one| free(one));
        let Some(shift) = found.or_else(|| all.iter().find(|one| within(one))) else {
            continue;
        };
        taken.push(place(*shift));
        let head = (foot.0, foot.1 + shift.0);
        canvas.line(&[*foot, head], Pen::new(Ink::PENCIL, 0.25));
        canvas.round(*foot, 0.6, None, Some(Ink::PENCIL));
        cloth(canvas, (head.0 + shift.1, head.1), *severity, &text);
    }
}
