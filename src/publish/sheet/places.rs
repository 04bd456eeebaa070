//! Where to hold the tool on a wall: a grid over what one can reach, and the place where a rail
//! lands. Millimetres: along the wall from its `from` end, and up from the datum.
//!
//! What is meant of the stair is enough for this: a place that is off by a hand is as good.

use crate::job::{Job, RailEnd, Wall};
use crate::measure::{Length, Unit};

/// A place on a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Level, from the wall's `from` end.
    pub along: Length,
    /// Above the datum.
    pub up: Length,
    /// Whether a rail lands here.
    pub rail: bool,
}

/// How low and high one reads without stooping to the floor or a ladder, above what one stands on
/// (common practice, no source).
const LOW: f64 = 150.0;
const HIGH: f64 = 1900.0;
/// Less than this between the low and the high reading says little about a lean.
const SHORT: f64 = 600.0;
/// How far from the ends of a wall one reads: a tape's case and a hand.
const END: f64 = 150.0;
/// A wall within this of the treads is one that the steps run beside.
const BESIDE: f64 = 600.0;

/// The places on a wall, in the order in which one comes by them going up, each from low to high;
/// where a rail lands comes last.
#[must_use]
pub fn places(job: &Job, wall: &Wall) -> Vec<Place> {
    let line = Plan::of(wall);
    let round = rounding(
        job.tape.unit(),
        line.length.min(wall.head.mm() - wall.foot.mm()),
    );
    let (foot, head) = (wall.foot.mm(), wall.head.mm());
    let mut columns = along(line.length);
    if line.way.0 < 0.0 {
        columns.reverse();
    }
    let place = |along: f64, up: f64, rail: bool| Place {
        along: Length::mm(nearest(along, round).clamp(0.0, line.length)),
        up: Length::mm(nearest(up, round).clamp(foot.min(head), head.max(foot))),
        rail,
    };
    let mut found = Vec::new();
    for column in columns {
        let stand = standing(job, wall, line.x(column));
        for up in heights(stand, foot, head) {
            found.push(place(column, up, false));
        }
    }
    let ends = [&job.design.rail.lower, &job.design.rail.upper];
    for end in ends {
        if let Some((along, up)) = landing(job, wall, &line, end) {
            found.push(place(along, up, true));
        }
    }
    found
}

/// A wall's line in plan.
pub(super) struct Plan {
    start: (f64, f64),
    /// The direction from `from` to `to`.
    pub(super) way: (f64, f64),
    pub(super) length: f64,
}

impl Plan {
    pub(super) fn of(wall: &Wall) -> Self {
        let start = (wall.from.x.mm(), wall.from.y.mm());
        let (x, y) = (wall.to.x.mm() - start.0, wall.to.y.mm() - start.1);
        let length = x.hypot(y);
        let way = if length > 0.0 {
            (x / length, y / length)
        } else {
            (1.0, 0.0)
        };
        Self { start, way, length }
    }

    /// How far up the flight a place along the wall lies.
    pub(super) fn x(&self, along: f64) -> f64 {
        self.start.0 + along * self.way.0
    }

    /// How far to the left of the baluster line.
    fn y(&self, along: f64) -> f64 {
        self.start.1 + along * self.way.1
    }

    /// Where along it another wall's end lies nearest, and how far off.
    pub(super) fn ends(&self) -> [(f64, f64); 2] {
        [0.0, self.length].map(|along| (self.x(along), self.y(along)))
    }
}

/// Columns of places: three, more on a long wall, fewer on a stub.
fn along(length: f64) -> Vec<f64> {
    let count: u8 = match length {
        short if short < 150.0 => return vec![length / 2.0],
        short if short < 700.0 => 2,
        usual if usual < 4500.0 => 3,
        long if long < 7000.0 => 4,
        _ => 5,
    };
    let end = END.min(length / 6.0);
    let apart = (length - 2.0 * end) / f64::from(count - 1);
    (0..count).map(|at| end + apart * f64::from(at)).collect()
}

/// Three heights over what one stands on.
fn heights(stand: f64, foot: f64, head: f64) -> [f64; 3] {
    let (low, high) = (stand + LOW, (stand + HIGH).min(head - LOW));
    if high - low < SHORT {
        let third = (head - foot) / 6.0;
        return [foot + third, foot + 3.0 * third, foot + 5.0 * third];
    }
    [low, f64::midpoint(low, high), high]
}

/// The height of what one stands on beside a wall, at a place up the flight.
pub(super) fn standing(job: &Job, wall: &Wall, x: f64) -> f64 {
    let foot = wall.foot.mm();
    if !beside(job, wall) {
        return foot;
    }
    let tread = tread(job, x);
    if tread > wall.head.mm() {
        foot
    } else {
        tread.max(foot)
    }
}

/// Whether the steps run beside a wall.
pub(super) fn beside(job: &Job, wall: &Wall) -> bool {
    let flight = &job.flight;
    let (open, inside) = (flight.edge.mm(), flight.edge.mm() - flight.width.mm());
    // y runs to the left: the treads lie to the right of a string on their left end.
    let (low, high) = match flight.open_side {
        crate::job::Hand::Left => (inside, open),
        crate::job::Hand::Right => (-open, -inside),
    };
    let (a, b) = (wall.from.y.mm(), wall.to.y.mm());
    a.max(b) >= low - BESIDE && a.min(b) <= high + BESIDE
}

/// The height of the tread or floor at a place up the flight.
pub(super) fn tread(job: &Job, x: f64) -> f64 {
    let flight = &job.flight;
    let going = flight.going.mm();
    if x < 0.0 || going <= 0.0 {
        return 0.0;
    }
    let kicks = ((x / going).floor() + 1.0).min(f64::from(flight.count));
    kicks * flight.rise.mm()
}

/// Where an end of the rail lands on a wall: where the baluster line meets it, at the height of the
/// middle of the rail; the blocking's place where it does not meet it.
fn landing(job: &Job, wall: &Wall, line: &Plan, end: &RailEnd) -> Option<(f64, f64)> {
    let RailEnd::Wall {
        wall: met,
        blocking,
        ..
    } = end
    else {
        return None;
    };
    if *met != wall.name {
        return None;
    }
    let meets = -line.start.1 / line.way.1;
    if !(0.0..=line.length).contains(&meets) {
        return Some((blocking.along.mm(), blocking.up.mm()));
    }
    let flight = &job.flight;
    let rail = &job.design.rail;
    let (rise, going) = (flight.rise.mm(), flight.going.mm());
    let nosings = rise + (line.x(meets) + flight.overhang.mm()) * rise / going;
    let plumb_depth = rail.depth.mm() * rise.hypot(going) / going;
    Some((meets, nosings + rail.height.mm() - plumb_depth / 2.0))
}

/// To what a place is rounded: a whole inch or centimetre, less where all is small.
fn rounding(unit: Unit, extent: f64) -> f64 {
    match (unit, extent < 400.0) {
        (Unit::Inches, false) => 25.4,
        (Unit::Inches, true) => 25.4 / 4.0,
        (Unit::Millimetres, false) => 10.0,
        (Unit::Millimetres, true) => 5.0,
    }
}

fn nearest(number: f64, step: f64) -> f64 {
    (number / step).round() * step
}
