//! The slots over and under panels, in closed form: two parallel edges stand their plumb distance
//! times the cosine of the pitch apart. Where a rail is bent over a newel the wider end counts.

use nalgebra::{Point3, Vector3};

use crate::inspect::ball::Ball;
use crate::setout::{PanelSet, SetOut};

/// A slot narrower than this lets nothing through, mm.
pub(super) const SLOT_LEAST: f64 = 1.0;

/// The ball that passes over a panel, under the rail. In the run's frame.
pub(super) fn over(setout: &SetOut, panel: &PanelSet) -> Option<Ball> {
    let rail = &setout.rail;
    let [_, _, upper, lower] = panel.corners;
    let cos = rail.pitch.angle().as_radians().cos();
    let top = |x: f64| {
        let rake = rail.lower.z + rail.pitch.slope() * (x - rail.lower.x);
        rail.top(x).map_or(rake, |point| point.z.max(rake))
    };
    let head = |corner: Point3<f64>| top(corner.x) - rail.depth.as_mm() / cos - corner.z;
    wider([lower, upper], head, 0.5, cos)
}

/// The ball that passes under a panel, over the bottom rail or shoe that it stands clear of.
pub(super) fn under(setout: &SetOut, panel: &PanelSet) -> Option<Ball> {
    let sill = setout.sill()?;
    let [lower, upper, ..] = panel.corners;
    let cos = sill.pitch.angle().as_radians().cos();
    let top =
        |x: f64| sill.lower.z + sill.pitch.slope() * (x - sill.lower.x) + sill.depth.as_mm() / cos;
    wider([lower, upper], |corner| corner.z - top(corner.x), -0.5, cos)
}

/// The slot at the wider of two ends, its plumb height given at each; `half` of that over the corner
/// is its middle.
fn wider(
    ends: [Point3<f64>; 2],
    plumb: impl Fn(Point3<f64>) -> f64,
    half: f64,
    cos: f64,
) -> Option<Ball> {
    let [first, second] = ends;
    let (at, other) = if plumb(first) > plumb(second) {
        (first, second)
    } else {
        (second, first)
    };
    let slot = plumb(at) * cos;
    // The ball touches both edges square to them, beside the corner's plumb line: it stands in from
    // the corner by as much, so that what it touches is there.
    let along = other - at;
    let share = (plumb(at) / 2.0 / along.norm()).min(0.5);
    let centre = at + along * share + Vector3::z() * (plumb(at) * half);
    (slot >= SLOT_LEAST).then_some(Ball {
        lower: slot,
        upper: slot,
        centre,
    })
}
