//! What the ends of treads and kicks meet on either side: a skirt's face, the wall, or nothing.
//!
//! Plan lines give the offset `q` outward from y = 0 over x up the flight, mm.

use nalgebra::Vector3;

use crate::job::{Boards, Ground, Hand, Job, Meets, Side, StepReading};
use crate::setout::programme::Line;
use crate::site::{Site, Step, WallFace};

/// A wall further than this from the end of a tread, mm, is not what the tread meets: a foot.
const NEAR: f64 = 304.8;

/// A straight line in plan, or in elevation: the value over x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Straight {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
}

impl Straight {
    pub(super) fn at(&self, x: f64) -> f64 {
        self.at_zero + self.slope * x
    }

    /// The same line moved.
    pub(super) fn moved(&self, by: f64) -> Self {
        Self {
            at_zero: self.at_zero + by,
            ..*self
        }
    }

    /// The line with a slope through a point.
    pub(super) fn by(slope: f64, (x, value): (f64, f64)) -> Self {
        Self {
            at_zero: value - slope * x,
            slope,
        }
    }

    /// Nearest to all points (least squares); level where they do not give a slope.
    pub(super) fn through(points: &[(f64, f64)]) -> Self {
        let xs = points.iter().map(|point| point.0);
        let (low, high) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        });
        let long = high - low;
        let scaled: Vec<_> = points
            .iter()
            .map(|(x, value)| ((x - low) / long, *value))
            .collect();
        let level = || {
            let sum: f64 = points.iter().map(|point| point.1).sum();
            Self::by(0.0, (0.0, sum / points.len().max(1) as f64))
        };
        Line::through(&scaled).map_or_else(level, |line| {
            Self::by((line.upper - line.lower) / long, (low, line.lower))
        })
    }
}

/// One side of the flight.
#[derive(Clone, Debug)]
pub(super) struct SideFace {
    pub(super) meets: Meets,
    /// Straight, nearest to the ends of the treads that were read on this side.
    pub(super) line: Straight,
    /// These treads and their ends: x and q.
    read: Vec<(u32, (f64, f64))>,
}

impl SideFace {
    fn new(job: &Job, site: &Site, side: Side, meets: Meets) -> Self {
        let read: Vec<_> = treads(site)
            .iter()
            .filter(|step| is_read(job, step.number, side))
            // A shaped step reaches past the others and has no part in the straight face.
            .filter(|step| side == Side::Wall || !job.flight.reaches_beyond(step.number))
            .map(|step| (step.number, middle(step, side)))
            .collect();
        let places: Vec<_> = read.iter().map(|one| one.1).collect();
        let line = if places.is_empty() {
            let flight = &job.flight;
            let meant = match side {
                Side::Open => flight.edge.mm(),
                Side::Wall => flight.edge.mm() - flight.width.mm(),
            };
            Straight::by(0.0, (0.0, meant))
        } else {
            face_through(site, &places)
        };
        Self { meets, line, read }
    }

    /// The tread end read farthest off the straight face, and how far towards the open side it
    /// stands.
    pub(super) fn wander(&self) -> Option<(f64, u32)> {
        let off = self
            .read
            .iter()
            .map(|(step, (x, q))| (q - self.line.at(*x), *step));
        off.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
    }
}

/// The straight face nearest to tread ends that were read. Readings that span less than half of the
/// flight say how far out it stands, not how it runs: a hair between two neighbours would be an inch
/// at the other end.
fn face_through(site: &Site, places: &[(f64, f64)]) -> Straight {
    let extent = |xs: &mut dyn Iterator<Item = f64>| {
        let (low, high) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        });
        high - low
    };
    let read = extent(&mut places.iter().map(|place| place.0));
    let whole = extent(&mut treads(site).iter().map(|step| step.kick_x));
    if read * 2.0 >= whole {
        return Straight::through(places);
    }
    let count = places.len() as f64;
    let mean = places.iter().map(|place| place.1).sum::<f64>() / count;
    Straight::by(0.0, (0.0, mean))
}

/// Both sides of a flight, and what else the boards are cut by.
pub(super) struct Sides<'a> {
    pub(super) job: &'a Job,
    pub(super) site: &'a Site,
    pub(super) boards: Boards,
    pub(super) open: SideFace,
    pub(super) wall: SideFace,
    /// The outside face of the skirt on the open side: under the ends, short by the overhang.
    pub(super) skirt_face: Straight,
}

impl<'a> Sides<'a> {
    pub(super) fn new(job: &'a Job, site: &'a Site) -> Self {
        let boards = job.boards.clone().unwrap_or_default();
        let has_skirt = |side| job.skirts.iter().any(|skirt| skirt.side == side);
        // The treads end in a closed string, or at a half wall, as at the face of a skirt.
        let shoe = matches!(job.design.balusters.on, Ground::Shoe { .. });
        let open = boards
            .open_end
            .unwrap_or(if shoe { Meets::Skirt } else { Meets::Return });
        let open_too = job.design.other.is_some();
        let wall = boards.wall_end.unwrap_or(if has_skirt(Side::Wall) {
            Meets::Skirt
        } else if open_too {
            Meets::Return
        } else {
            Meets::Wall
        });
        let face = |side, meets| SideFace::new(job, site, side, meets);
        let under: Vec<_> = treads(site)
            .iter()
            .filter(|one| !job.flight.reaches_beyond(one.number))
            .map(|one| (one.kick_x, one.open_q - one.overhang.max(0.0)))
            .collect();
        Self {
            job,
            site,
            open: face(Side::Open, open),
            wall: face(Side::Wall, wall),
            skirt_face: if under.is_empty() {
                let flight = &job.flight;
                let meant = flight.edge.value - flight.overhang.value;
                Straight::by(0.0, (0.0, meant.as_mm()))
            } else {
                Straight::through(&under)
            },
            boards,
        }
    }

    pub(super) fn of(&self, side: Side) -> &SideFace {
        match side {
            Side::Open => &self.open,
            Side::Wall => &self.wall,
        }
    }

    /// The side on this hand of one going up.
    pub(super) fn on(&self, hand: Hand) -> Side {
        if hand == open_hand(self.site) {
            Side::Open
        } else {
            Side::Wall
        }
    }

    /// True where neither end is open, so that a tread can only come in from above.
    pub(super) fn closed(&self) -> bool {
        self.open.meets != Meets::Return && self.wall.meets != Meets::Return
    }

    /// The end of a tread, in plan at its top: through the place that its own readings give it,
    /// turned as what it meets.
    pub(super) fn tread_end(&self, step: &Step, side: Side) -> Straight {
        let face = self.of(side);
        let (x, q) = middle(step, side);
        let wall = (face.meets == Meets::Wall)
            .then(|| self.wall_line(step, side))
            .flatten();
        // A reading of this very tread tells more than what it meets does.
        let read = face.meets == Meets::Return || is_read(self.job, step.number, side);
        let line = wall.unwrap_or(face.line);
        if read {
            Straight::by(line.slope, (x, q))
        } else {
            line
        }
    }

    /// Where a kick ends: between the ends of the treads below and above, at a place and height.
    pub(super) fn kick_end(&self, step: &Step, side: Side, x: f64, z: f64) -> f64 {
        let below = step.number.checked_sub(1).and_then(|at| self.site.step(at));
        let beside: Vec<&Step> = below
            .into_iter()
            .chain((!is_upper(self.site, step)).then_some(step))
            .collect();
        let sum: f64 = beside
            .iter()
            .map(|one| self.tread_end(one, side).at(x))
            .sum();
        let end = sum / beside.len().max(1) as f64;
        if self.of(side).meets != Meets::Wall {
            return end;
        }
        // The treads' ends are at the height of their tops; the wall goes on from there.
        let level: f64 = beside.iter().map(|one| one.top(x, end)).sum();
        let level = level / beside.len().max(1) as f64;
        let walls = [z, level].map(|z| self.wall_at(side, (x, end), z));
        match walls {
            [Some(here), Some(there)] => end + here - there,
            _ => end,
        }
    }

    /// The wall along the end of a tread, at the height of its top.
    fn wall_line(&self, step: &Step, side: Side) -> Option<Straight> {
        let (x, q) = middle(step, side);
        let z = step.top(x, q);
        let ends = [step.nosing_at(q), step.back_at(q)];
        let [Some(front), Some(back)] = ends.map(|x| self.wall_at(side, (x, q), z)) else {
            return None;
        };
        let slope = (back - front) / (ends[1] - ends[0]);
        slope
            .is_finite()
            .then(|| Straight::by(slope, (ends[0], front)))
    }

    /// The offset of the nearest wall face on this side, beside a place and at a height.
    fn wall_at(&self, side: Side, (x, q): (f64, f64), z: f64) -> Option<f64> {
        // Looked for from a foot inside the tread's end, so that a wall that leans in is met too.
        let out = match side {
            Side::Open => 1.0,
            Side::Wall => -1.0,
        };
        let from = self.site.at(x, q - out * NEAR, z);
        let way = Vector3::y() * (out * self.site.outward);
        let met = self.site.walls.iter().filter_map(|wall| {
            let (point, along, normal) = wall.meet(&from, &way)?;
            let far = (point - from).dot(&way);
            let on_wall = (0.0..=wall.length()).contains(&along) && holds(wall, z);
            let faces = normal.dot(&way) < -FACES;
            (on_wall && faces && (0.0..2.0 * NEAR).contains(&far))
                .then_some(self.site.outward * point.y)
        });
        met.min_by(|a, b| (a - q).abs().total_cmp(&(b - q).abs()))
    }
}

/// True where a reading tells where a tread ends on a side.
fn is_read(job: &Job, step: u32, side: Side) -> bool {
    job.flight.readings.iter().any(|reading| match reading {
        StepReading::Width { step: at, .. } => side == Side::Wall && *at == step,
        StepReading::Edge { step: at, .. } => side == Side::Open && *at == step,
        _ => false,
    })
}

/// A wall faces the flight where its normal looks at it by more than this, no unit: half a right
/// angle.
const FACES: f64 = 0.7;

fn holds(wall: &WallFace, z: f64) -> bool {
    (wall.foot..=wall.head).contains(&z)
}

/// The treads of a flight: all steps but the upper floor.
pub(super) fn treads(site: &Site) -> &[Step] {
    site.steps.split_last().map_or(&[], |(_, treads)| treads)
}

pub(super) fn is_upper(site: &Site, step: &Step) -> bool {
    step.number as usize == site.steps.len()
}

/// The hand that the open side is on, of one going up.
pub(super) fn open_hand(site: &Site) -> Hand {
    if site.outward > 0.0 {
        Hand::Left
    } else {
        Hand::Right
    }
}

/// The end of a tread half way between nosing and back: x and q.
fn middle(step: &Step, side: Side) -> (f64, f64) {
    let q = match side {
        Side::Open => step.open_q,
        Side::Wall => step.wall_q,
    };
    (f64::midpoint(step.nosing_at(q), step.back_at(q)), q)
}

#[cfg(test)]
mod tests {
    use super::Straight;

    #[test]
    fn a_straight_line_without_a_slope_is_level() {
        for points in [&[(3.0, 7.0)][..], &[(3.0, 6.0), (3.0, 8.0)]] {
            let line = Straight::through(points);
            assert!((line.at(-5.0) - 7.0).abs() < 1e-12 && line.slope.abs() < 1e-12);
        }
        let line = Straight::through(&[(-1.0, 1.0), (0.0, 3.0), (2.0, 7.0)]);
        assert!((line.at(10.0) - 23.0).abs() < 1e-9);
        assert!((line.moved(1.0).at(0.0) - 4.0).abs() < 1e-9);
    }
}
