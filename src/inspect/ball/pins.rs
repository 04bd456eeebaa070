//! [`Pins`]: where the next curtain has to hang.
//!
//! In: the tightest spots of the ways found so far, in the cell's frame, mm. Out: up to four
//! points. An opening that is as wide at its foot as at its head keeps a pin at each.

use nalgebra::Point3;

use super::scene::Scene;

/// A curtain has four heights to give, so it can be pinned at four points.
const PINS: usize = 4;

/// Pins closer than this, in half sides of the cell, would make the curtain steep between them.
const SPACING: f64 = 0.3;

/// A pin nearer an end of its bracket than this share of it goes to the middle instead.
const MARGIN: f64 = 0.1;

/// A pin, and between which v the tightest spot of the best way has been caught, mm.
#[derive(Clone, Copy, Debug)]
struct Pin {
    at: Point3<f64>,
    low: f64,
    high: f64,
}

/// The pins in force, the oldest first.
#[derive(Clone, Debug, Default)]
pub(super) struct Pins(Vec<Pin>);

impl Pins {
    /// Takes note of where a curtain was widest and where the way through there is tightest: a new
    /// pin, or a move of the one close by.
    ///
    /// From before the saddle the way is tightest behind it, and the other way round, so each pair
    /// narrows the bracket; a spot at or beyond its ends halves it.
    pub(super) fn add(&mut self, scene: &Scene, widest: Point3<f64>, spot: Point3<f64>) {
        let close = |pin: &Pin| {
            let apart = (spot - pin.at).component_div(&scene.half);
            apart.x.abs().max(apart.z.abs()) < SPACING
        };
        let old = self.0.iter().position(close).map(|old| self.0.remove(old));
        if self.0.len() == PINS {
            self.0.remove(0);
        }
        let mut pin = old.unwrap_or(Pin {
            at: spot,
            low: f64::NEG_INFINITY,
            high: f64::INFINITY,
        });
        if spot.y > widest.y {
            pin.low = widest.y;
        } else {
            pin.high = widest.y;
        }
        let margin = MARGIN * (pin.high - pin.low);
        let held = pin.low + margin < spot.y && spot.y < pin.high - margin;
        let caught = margin.is_finite() && margin > 0.0;
        let v = if caught && !held {
            f64::midpoint(pin.low, pin.high)
        } else {
            spot.y
        };
        pin.at = Point3::new(spot.x, v, spot.z);
        self.0.push(pin);
    }

    /// The points to hang the curtain through.
    pub(super) fn points(&self) -> Vec<Point3<f64>> {
        self.0.iter().map(|pin| pin.at).collect()
    }
}
