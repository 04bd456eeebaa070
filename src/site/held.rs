//! Where a reading is taken: what lies on which part of the stair as found, from where to where.
//!
//! In: a run as found and one of its readings. Out: [`ReadAt`], mm in the run's frame. The length of
//! a tape, and how much one end of a level stands above the other, are what all readings together
//! make of that reading.
//! Does not: judge it.

use nalgebra::{Point3, Vector3};

use crate::job::{
    Across, Floor, FloorKind, FloorReading, Job, LevelEnd, Lies, NosingEnd, Side, StepReading,
    TreadEdge, WallReading, Way,
};

use super::{Landing, Site, Step, WallFace};

/// What is held to a place, or marked on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Held {
    /// A tape or rule, from here to there.
    Tape(Point3<f64>, Point3<f64>),
    /// A level or straightedge, from here to there.
    Level(Point3<f64>, Point3<f64>),
    /// A cross of chalk, and the way that the face under it looks (a unit vector).
    Cross(Point3<f64>, Vector3<f64>),
}

/// Where a reading is taken.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadAt {
    /// The parts of the picture that it is about.
    pub parts: Vec<String>,
    /// What is held where.
    pub held: Vec<Held>,
}

impl ReadAt {
    /// Every place that is named, mm.
    #[must_use]
    pub fn points(&self) -> Vec<Point3<f64>> {
        let ends = |held: &Held| match held {
            Held::Tape(from, to) | Held::Level(from, to) => vec![*from, *to],
            Held::Cross(at, _) => vec![*at],
        };
        self.held.iter().flat_map(ends).collect()
    }

    fn tape(parts: Vec<String>, from: Point3<f64>, to: Point3<f64>) -> Self {
        let held = vec![Held::Tape(from, to)];
        Self { parts, held }
    }

    fn level(parts: Vec<String>, from: Point3<f64>, to: Point3<f64>) -> Self {
        let held = vec![Held::Level(from, to)];
        Self { parts, held }
    }
}

/// Where the reading at a path of a run is taken, as in `walls[1].readings[0]`; `None` where nothing
/// is read there, or what it is read on was not found.
#[must_use]
pub fn read_at(site: &Site, job: &Job, path: &str) -> Option<ReadAt> {
    let (list, at) = path.strip_suffix(']')?.rsplit_once('[')?;
    let at: usize = at.parse().ok()?;
    let number = |rest: &str| rest.strip_suffix("].readings")?.parse::<usize>().ok();
    if list == "flight.readings" {
        return of_step(site, job, job.flight.readings.get(at)?);
    }
    if let Some(wall) = list.strip_prefix("walls[").and_then(number) {
        let wall = job.walls.get(wall)?;
        return of_wall(site, &wall.name, wall.readings.get(at)?);
    }
    let floor = list.strip_prefix("floors[").and_then(number)?;
    let floor = job.floors.get(floor)?;
    of_floor(site, floor, floor.readings.get(at)?)
}

/// What is read of every step, or of the flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Usual {
    /// From the tread or floor below up to this one's nosing.
    Rise,
    /// From kick to kick.
    Going,
    /// From the string out to the tread's end.
    Edge,
    /// Over the length of the tread.
    Level,
    /// From the kick to the nosing.
    Overhang,
    /// From floor to floor.
    TotalRise,
    /// From the first kick to the last.
    TotalRun,
}

/// Where a usual reading of a step is taken, on the baluster line; of the flight, `step` is not asked.
#[must_use]
pub fn usual(site: &Site, what: Usual, step: u32) -> Option<ReadAt> {
    Steps { site, q: 0.0 }.usual(what, step)
}

/// Readings of the steps at an outward offset.
struct Steps<'a> {
    site: &'a Site,
    q: f64,
}

impl Steps<'_> {
    fn usual(&self, what: Usual, step: u32) -> Option<ReadAt> {
        let last = u32::try_from(self.site.steps.len()).ok()?;
        match what {
            Usual::Rise => self.height(step, step.checked_sub(1)?),
            Usual::Going if step >= last => None,
            Usual::Going => {
                let mut told = self.run(step + 1, step)?;
                told.parts.insert(0, self.site.surface_name(step));
                Some(told)
            }
            Usual::Edge => self.out(step, |_| 0.0, |one| one.open_q),
            Usual::Level => {
                let parts = vec![self.site.surface_name(step)];
                let [from, to] = self.across(step, |one| one.open_q, |one| one.wall_q)?;
                Some(ReadAt::level(parts, from, to))
            }
            Usual::Overhang => self.overhang(step),
            Usual::TotalRise => self.height(last, 0),
            Usual::TotalRun => self.run(last, 1),
        }
    }

    fn step(&self, number: u32) -> Option<&Step> {
        self.site.step(number)
    }

    /// Plumb at a nosing, from another surface up.
    fn height(&self, step: u32, above: u32) -> Option<ReadAt> {
        let one = self.step(step)?;
        let (x, q) = (one.nosing_at(self.q), self.q);
        // A surface is carried on to under the nosing as it lies across the flight; how it falls
        // from front to back is read by itself.
        let below = match self.step(above) {
            Some(below) => below.height + below.tilt * q,
            None => self.site.lower_floor(0.0, q),
        };
        let top = one.height + one.tilt * q;
        let parts = vec![
            self.site.kick_name(step),
            self.site.surface_name(step),
            self.site.surface_name(above),
        ];
        Some(ReadAt::tape(
            parts,
            self.site.at(x, q, below),
            self.site.at(x, q, top),
        ))
    }

    /// Level from the face of one kick to that of another, on the tread before the upper one.
    fn run(&self, step: u32, beyond: u32) -> Option<ReadAt> {
        let (one, from) = (self.step(step)?, self.step(beyond)?);
        let q = self.q;
        let (start, end) = (from.kick_at(q), one.kick_at(q));
        let under = step.checked_sub(1)?;
        let z = self.site.height_of(under, end, q);
        let parts = vec![self.site.kick_name(beyond), self.site.kick_name(step)];
        let at = |x| self.site.at(x, q, z);
        Some(ReadAt::tape(parts, at(start), at(end)))
    }

    /// Two places of a tread across the flight, in the middle of its depth.
    fn across(
        &self,
        step: u32,
        from: impl Fn(&Step) -> f64,
        to: impl Fn(&Step) -> f64,
    ) -> Option<[Point3<f64>; 2]> {
        let one = self.step(step)?;
        let x = f64::midpoint(one.nosing_x(), one.back_x());
        Some([from(one), to(one)].map(|q| self.site.at(x, q, one.top(x, q))))
    }

    /// A tape across a tread; it is held level.
    fn out(
        &self,
        step: u32,
        from: impl Fn(&Step) -> f64,
        to: impl Fn(&Step) -> f64,
    ) -> Option<ReadAt> {
        let [from, to] = self.across(step, from, to)?;
        let level = Point3::new(to.x, to.y, from.z);
        Some(ReadAt::tape(
            vec![self.site.surface_name(step)],
            from,
            level,
        ))
    }

    fn overhang(&self, step: u32) -> Option<ReadAt> {
        let one = self.step(step)?;
        let z = one.nosing_top(self.q) - one.thickness;
        let at = |x| self.site.at(x, self.q, z);
        let parts = vec![self.site.surface_name(step), self.site.kick_name(step)];
        Some(ReadAt::tape(
            parts,
            at(one.kick_at(self.q)),
            at(one.nosing_at(self.q)),
        ))
    }

    fn nosing(&self, step: u32, q: f64) -> Option<Point3<f64>> {
        let one = self.step(step)?;
        Some(self.site.at(one.nosing_at(q), q, one.nosing_top(q)))
    }

    fn end(&self, at: NosingEnd) -> Option<Point3<f64>> {
        let one = self.step(at.step)?;
        let q = match at.end {
            Side::Open => one.open_q,
            Side::Wall => one.wall_q,
        };
        self.nosing(at.step, q)
    }

    /// Up to a laser line that lies so much above the middle of a surface.
    fn under(&self, step: u32, above: f64) -> ReadAt {
        let x = self.step(step).map_or(0.0, |one| {
            f64::midpoint(one.nosing_x(), one.back_x().min(one.kick_x + one.going))
        });
        let from = self
            .site
            .at(x, self.q, self.site.height_of(step, x, self.q));
        let parts = vec![self.site.surface_name(step)];
        ReadAt::tape(parts, from, from + Vector3::z() * above)
    }
}

/// Outward offset of where a reading was taken.
fn outward(site: &Site, job: &Job, step: u32, across: &Across) -> f64 {
    let one = site.step(step).or_else(|| site.steps.first());
    let end = |pick: fn(&Step) -> f64| one.map_or(0.0, pick);
    match across {
        Across::Line => 0.0,
        Across::Open => end(|one| one.open_q),
        Across::Wall => end(|one| one.wall_q),
        Across::Stringer(name) => {
            let found = job.stringers.iter().find(|stringer| stringer.name == *name);
            found.map_or(0.0, |one| -(one.inset.mm() + one.thickness.mm() / 2.0))
        }
    }
}

/// Where a reading of the steps is taken.
#[must_use]
pub fn of_step(site: &Site, job: &Job, reading: &StepReading) -> Option<ReadAt> {
    let q = outward(site, job, reading.step().unwrap_or(0), reading.side());
    let steps = Steps { site, q };
    let usual = |what, step: &u32| steps.usual(what, *step);
    match reading {
        StepReading::Rise { step, .. } => usual(Usual::Rise, step),
        StepReading::Going { step, .. } => usual(Usual::Going, step),
        StepReading::Edge { step, .. } => usual(Usual::Edge, step),
        StepReading::Overhang { step, .. } => usual(Usual::Overhang, step),
        StepReading::TotalRise { .. } => usual(Usual::TotalRise, &0),
        StepReading::TotalRun { .. } => usual(Usual::TotalRun, &0),
        StepReading::Level { step, .. } => usual(Usual::Level, step),
        StepReading::Width { step, .. } => steps.out(*step, |one| one.wall_q, |one| one.open_q),
        StepReading::TreadThickness { step, .. } => {
            let one = site.step(*step)?;
            let top = steps.nosing(*step, one.open_q)?;
            let under = top - Vector3::z() * one.thickness;
            Some(ReadAt::tape(vec![site.surface_name(*step)], top, under))
        }
        StepReading::KickThickness { step, .. } => {
            let one = site.step(*step)?;
            let (x, z) = (one.kick_at(one.open_q), one.height - one.rise / 2.0);
            let at = |x| site.at(x, one.open_q, z);
            let parts = vec![site.kick_name(*step)];
            Some(ReadAt::tape(parts, at(x), at(x + one.kick_thickness)))
        }
        StepReading::Fall { step, low, .. } => {
            let one = site.step(*step)?;
            // Over the depth that it is reckoned over.
            let deep = job.flight.going.mm() + job.flight.overhang.mm();
            let front = steps.nosing(*step, q)?;
            let x = front.x + deep;
            let back = site.at(x, q, one.top(x, q));
            let (from, to) = match low {
                TreadEdge::Front => (back, front),
                TreadEdge::Back => (front, back),
            };
            Some(ReadAt::level(vec![site.surface_name(*step)], from, to))
        }
        StepReading::Height { step, above, .. } => steps.height(*step, *above),
        StepReading::Run { step, beyond, .. } => steps.run(*step, *beyond),
        StepReading::Under { step, is, .. } => Some(steps.under(*step, is.mm())),
        StepReading::Past { step, is, .. } => {
            let one = site.step(*step)?;
            let under = step.checked_sub(1)?;
            let x = one.kick_at(q);
            let face = site.at(x, q, site.height_of(under, x, q) + one.rise / 4.0);
            let line = face - Vector3::x() * is.mm();
            Some(ReadAt::tape(vec![site.kick_name(*step)], line, face))
        }
        StepReading::Pitch { from, to, .. } => {
            let parts = vec![site.surface_name(*from), site.surface_name(*to)];
            Some(ReadAt::level(
                parts,
                steps.nosing(*from, q)?,
                steps.nosing(*to, q)?,
            ))
        }
        StepReading::Diagonal { from, to, .. } => {
            let parts = vec![site.surface_name(from.step), site.surface_name(to.step)];
            Some(ReadAt::tape(parts, steps.end(*from)?, steps.end(*to)?))
        }
    }
}

impl WallFace {
    /// The way along it, level, and the way into the room, unit vectors.
    fn ways(&self) -> [Vector3<f64>; 2] {
        let run = (self.to - self.from) / self.length();
        [
            Vector3::new(run.x, run.y, 0.0),
            Vector3::new(-run.y, run.x, 0.0),
        ]
    }

    /// The way into the room, level, a unit vector.
    #[must_use]
    pub fn into_room(&self) -> Vector3<f64> {
        self.ways()[1]
    }

    /// A place of the meant plane.
    fn meant(&self, along: f64, up: f64) -> Point3<f64> {
        let [run, _] = self.ways();
        Point3::new(self.from.x, self.from.y, up) + run * along
    }
}

/// Where a reading of a wall is taken.
#[must_use]
pub fn of_wall(site: &Site, name: &str, reading: &WallReading) -> Option<ReadAt> {
    let wall = site.wall(name)?;
    let up = reading.up().mm() + wall.lift;
    let parts = vec![name.to_owned()];
    let [_, room] = wall.ways();
    let cross = |along: f64, up: f64| Held::Cross(wall.point(along, up), wall.normal(along, up));
    match reading {
        WallReading::Offset {
            along, line, is, ..
        } => {
            let (along, at) = (along.mm(), wall.point(along.mm(), up));
            // From a laser plane it is the distance to the face; else what it stands off its plane.
            let from = match line {
                Some(_) => at + room * is.mm(),
                None => wall.meant(along, up),
            };
            let held = vec![cross(along, up), Held::Tape(from, at)];
            Some(ReadAt { parts, held })
        }
        WallReading::Plumb {
            along,
            level,
            at,
            touch,
            ..
        } => {
            let (along, long) = (along.mm(), level.mm());
            let (off, other) = match at {
                LevelEnd::Top => (up + long, up),
                LevelEnd::Bottom => (up, up + long),
            };
            let touching = touch.as_ref().map_or(other, |from| up + from.mm());
            let rest = wall.off(along, touching);
            let plumb = |up: f64| wall.meant(along, up) + room * rest;
            let gap = Held::Tape(wall.point(along, off), plumb(off));
            let held = vec![Held::Level(plumb(up), plumb(up + long)), gap];
            Some(ReadAt { parts, held })
        }
        WallReading::Straight {
            along,
            length,
            lies,
            ..
        } => {
            let (along, long) = (along.mm(), length.mm());
            let at = |share: f64| match lies {
                Lies::Level => wall.point(along + share * long, up),
                Lies::Upright => wall.point(along, up + share * long),
            };
            let edge = Held::Level(at(0.0), at(1.0));
            let middle = nalgebra::center(&at(0.0), &at(1.0));
            let held = vec![edge, Held::Tape(at(0.5), middle)];
            Some(ReadAt { parts, held })
        }
        WallReading::Between {
            along, wall: other, ..
        } => {
            let from = wall.point(along.mm(), up);
            let (to, ..) = site.wall(other)?.meet(&from, &room)?;
            let parts = vec![name.to_owned(), other.clone()];
            Some(ReadAt::tape(parts, from, to))
        }
        WallReading::Corner {
            wall: other,
            leg,
            other_leg,
            ..
        } => diagonal(wall, site.wall(other)?, (leg.mm(), other_leg.mm()), up),
    }
}

/// A diagonal over a corner, between marks on both walls.
fn diagonal(wall: &WallFace, far: &WallFace, legs: (f64, f64), up: f64) -> Option<ReadAt> {
    let met = corner(wall, far, up)?;
    let marks = [(wall, met[0], legs.0), (far, met[1], legs.1)].map(|(wall, at, leg)| {
        let into = if at < wall.length() / 2.0 { 1.0 } else { -1.0 };
        wall.point(at + into * leg, up)
    });
    let ([_, room], [_, other_room]) = (wall.ways(), far.ways());
    let held = vec![
        Held::Cross(marks[0], room),
        Held::Cross(marks[1], other_room),
        Held::Tape(marks[0], marks[1]),
    ];
    let parts = vec![wall.name.clone(), far.name.clone()];
    Some(ReadAt { parts, held })
}

/// How far along each of two walls their faces meet at a height; `None` where they run side by side.
fn corner(here: &WallFace, there: &WallFace, up: f64) -> Option<[f64; 2]> {
    let ([run, _], [other_run, room]) = (here.ways(), there.ways());
    let facing = room.dot(&run);
    if facing.abs() < crate::measure::tolerance::PARALLEL {
        return None;
    }
    // Faces are all but flat: each step is nearer by the square of what they stand off their planes.
    let (mut along, mut beyond) = (0.0, 0.0);
    for _ in 0..8 {
        let from = here.point(along, up) - there.meant(0.0, up);
        beyond = from.dot(&other_run);
        along -= (from.dot(&room) - there.off(beyond, up)) / facing;
    }
    Some([along, beyond])
}

/// Where a reading of a floor or landing is taken.
#[must_use]
pub fn of_floor(site: &Site, floor: &Floor, reading: &FloorReading) -> Option<ReadAt> {
    let last = u32::try_from(site.steps.len()).ok()?;
    let landing = site.landings.iter().find(|one| one.name == floor.name);
    let name = match floor.is {
        FloorKind::Lower => site.surface_name(0),
        FloorKind::Upper => site.surface_name(last),
        FloorKind::Landing { .. } => floor.name.clone(),
    };
    let height = |x: f64, q: f64| match (&floor.is, landing) {
        (FloorKind::Landing { .. }, Some(landing)) => Some(landing.height(site.at(x, q, 0.0))),
        (FloorKind::Landing { .. }, None) => None,
        (FloorKind::Lower, _) => Some(site.height_of(0, x, q)),
        (FloorKind::Upper, _) => Some(site.height_of(last, x, q)),
    };
    let place = |x: f64, q: f64| Some(site.at(x, q, height(x, q)?));
    let corners = || landing.map(|landing| landing.corners);
    let parts = vec![name];
    match reading {
        FloorReading::Level { over, high, .. } => {
            let half = over.mm() / 2.0;
            let (x, q) = middle(site, floor, landing, half);
            let (by_x, by_q) = match high {
                Way::Uphill => (half, 0.0),
                Way::Downhill => (-half, 0.0),
                Way::Open => (0.0, half),
                Way::Wall => (0.0, -half),
            };
            let (low, high) = (place(x - by_x, q - by_q)?, place(x + by_x, q + by_q)?);
            Some(ReadAt::level(parts, low, high))
        }
        FloorReading::Under { x, y, is, .. } => {
            let at = place(x.mm(), y.mm() * site.outward)?;
            let held = vec![
                Held::Cross(at, Vector3::z()),
                Held::Tape(at, at + Vector3::z() * is.mm()),
            ];
            Some(ReadAt { parts, held })
        }
        FloorReading::Edge { edge, .. } => {
            let [downhill_open, uphill_open, uphill_wall, downhill_wall] = corners()?;
            let (from, to) = match edge {
                Way::Open => (downhill_open, uphill_open),
                Way::Wall => (downhill_wall, uphill_wall),
                Way::Uphill => (uphill_open, uphill_wall),
                Way::Downhill => (downhill_open, downhill_wall),
            };
            Some(ReadAt::tape(parts, from, to))
        }
        FloorReading::Diagonal { from, .. } => {
            let [downhill_open, uphill_open, uphill_wall, downhill_wall] = corners()?;
            let (from, to) = match from {
                Side::Open => (downhill_open, uphill_wall),
                Side::Wall => (downhill_wall, uphill_open),
            };
            Some(ReadAt::tape(parts, from, to))
        }
    }
}

/// Where a level lies on a floor, which nobody stated: beside the flight's foot or head by half its
/// own length, or in the middle of a landing. Up the flight and outward.
fn middle(site: &Site, floor: &Floor, landing: Option<&Landing>, half: f64) -> (f64, f64) {
    match (&floor.is, landing) {
        (FloorKind::Landing { .. }, Some(landing)) => {
            let [a, _, c, _] = landing.corners;
            let middle = nalgebra::center(&a, &c);
            (middle.x, middle.y * site.outward)
        }
        (FloorKind::Upper, _) => {
            let kick = site.steps.last().map_or(0.0, |step| step.kick_x);
            (kick + half, 0.0)
        }
        _ => (-half, 0.0),
    }
}

impl Landing {
    /// Its height under or over a place in plan: that of the plane over its middle.
    fn height(&self, at: Point3<f64>) -> f64 {
        let [a, b, c, d] = self.corners;
        let normal = (c - a).cross(&(d - b));
        let middle = nalgebra::center(&nalgebra::center(&a, &c), &nalgebra::center(&b, &d));
        if normal.z.abs() < f64::MIN_POSITIVE {
            return middle.z;
        }
        let off = (at.x - middle.x) * normal.x + (at.y - middle.y) * normal.y;
        middle.z - off / normal.z
    }
}
