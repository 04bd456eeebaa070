//! [`Unknowns`]: everything that the readings are to tell, each with what was meant and how far
//! from it it may be before anything is read.
//!
//! In: a job. Out: numbered scalars, and the linear functions of them that readings are made of:
//! the height of a tread at a place, the face of a kick, the offset of a wall. Flight's frame, mm.

use crate::job::{Across, Flight, FloorKind, Hand, Job, LaserLine, Runs, Side, Surface, Wall};

use super::linear::Linear;
use super::prior;
use super::uncertainty::Instruments;

/// What a scalar is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// A quantity of a step: its number (0 is the lower floor) and the trade word for it.
    Step(u32, &'static str),
    /// A part of a wall: its name and the word for it.
    Wall(String, &'static str),
    /// A part of a landing: its name and the word for it.
    Landing(String, &'static str),
    /// A part of a laser line: its name and the word for it.
    Line(String, &'static str),
}

impl std::fmt::Display for What {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Step(0, what) => write!(out, "the lower floor's {what}"),
            Self::Step(number, what) => write!(out, "step {number}'s {what}"),
            Self::Wall(name, what) => write!(out, "wall {name}'s {what}"),
            Self::Landing(name, what) => write!(out, "landing {name}'s {what}"),
            Self::Line(name, what) => write!(out, "laser line {name}'s {what}"),
        }
    }
}

/// An unknown number.
#[derive(Clone, Debug, PartialEq)]
pub struct Scalar {
    /// What it is.
    pub what: What,
    /// As meant, mm (mm per mm for slopes).
    pub mean: f64,
    /// How far off that it may be before anything is read: a standard deviation.
    pub sd: f64,
}

/// The scalars of one step; numbers into [`Unknowns::scalars`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct StepIds {
    pub(super) rise: usize,
    pub(super) going: usize,
    pub(super) overhang: usize,
    pub(super) thickness: usize,
    pub(super) kick_thickness: usize,
    pub(super) width: usize,
    pub(super) edge: usize,
    pub(super) level: usize,
    pub(super) fall: usize,
    pub(super) skew: usize,
    pub(super) bed: usize,
    pub(super) kick_bed: usize,
}

/// The scalars of one wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct WallIds {
    pub(super) offset: usize,
    pub(super) splay: usize,
    pub(super) lean: usize,
    pub(super) middle: f64,
    pub(super) foot: f64,
}

/// The scalars of one landing, and its meant place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LandingIds {
    pub(super) height: usize,
    pub(super) uphill: usize,
    pub(super) outward: usize,
    pub(super) open: usize,
    pub(super) wall: usize,
    pub(super) across: usize,
    pub(super) shift: usize,
    /// Middle in plan: up the flight, outward.
    pub(super) middle: (f64, f64),
}

/// The scalars of one laser line, and the place that its slopes turn about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LineIds {
    pub(super) place: usize,
    /// Per length along the flight or along the wall.
    pub(super) run: usize,
    /// Per length across the flight, or per height.
    pub(super) cross: usize,
    pub(super) about: (f64, f64),
}

/// All unknowns of a job.
#[derive(Clone, Debug, Default)]
pub struct Unknowns {
    pub(super) scalars: Vec<Scalar>,
    pub(super) steps: Vec<StepIds>,
    pub(super) walls: Vec<WallIds>,
    /// One for each floor of the job; `None` where it is the lower or upper floor.
    pub(super) landings: Vec<Option<LandingIds>>,
    pub(super) lines: Vec<LineIds>,
    /// Level and fall of the lower floor.
    pub(super) lower: (usize, usize),
    meant: Meant,
}

/// The few meant sizes that places are reckoned with.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Meant {
    going: f64,
    rise: f64,
    overhang: f64,
    width: f64,
    edge: f64,
    floor_below: f64,
    outward: f64,
}

impl Unknowns {
    /// The unknowns of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let flight = &job.flight;
        let mut all = Self {
            meant: Meant {
                going: flight.going.mm(),
                rise: flight.rise.mm(),
                overhang: flight.overhang.mm(),
                width: flight.width.mm(),
                edge: flight.edge.mm(),
                floor_below: flight.floor_below.mm(),
                outward: match flight.open_side {
                    Hand::Left => 1.0,
                    Hand::Right => -1.0,
                },
            },
            ..Self::default()
        };
        all.lower = (
            all.add(What::Step(0, "level"), 0.0, prior::LEVEL),
            all.add(What::Step(0, "fall"), 0.0, prior::FALL),
        );
        for number in 1..=flight.count {
            let step = all.step_of(flight, number);
            all.steps.push(step);
        }
        for wall in &job.walls {
            let wall = all.wall_of(wall);
            all.walls.push(wall);
        }
        for floor in &job.floors {
            let landing = all.landing_of(&floor.name, &floor.is);
            all.landings.push(landing);
        }
        let tools = Instruments::of(job);
        for line in &job.lines {
            let line = all.line_of(job, line, &tools);
            all.lines.push(line);
        }
        all
    }

    fn add(&mut self, what: What, mean: f64, sd: f64) -> usize {
        self.scalars.push(Scalar { what, mean, sd });
        self.scalars.len() - 1
    }

    fn step_of(&mut self, flight: &Flight, number: u32) -> StepIds {
        let last = number == flight.count;
        let flare = flight.shaped(number).map_or(0.0, |one| one.flare.mm());
        let mut one = |word, mean, sd| self.add(What::Step(number, word), mean, sd);
        // What lies on the upper subfloor is a floor, not a tread.
        let (thickness, bed) = if last {
            (flight.floor_above.mm(), prior::FLOOR)
        } else {
            (flight.tread_thickness.mm(), prior::THICKNESS)
        };
        StepIds {
            rise: one("rise", flight.rise.mm(), prior::RISE),
            going: one("going", flight.going_of(number).as_mm(), prior::GOING),
            overhang: one("overhang", flight.overhang.mm(), prior::OVERHANG),
            thickness: one("tread thickness", thickness, bed),
            kick_thickness: one(
                "kick thickness",
                flight.kick_thickness.mm(),
                prior::THICKNESS,
            ),
            width: one("width", flight.width_of(number).as_mm(), prior::WIDTH),
            edge: one("tread end", flight.edge_of(number).as_mm(), prior::EDGE),
            level: one("level", 0.0, prior::LEVEL),
            fall: one("fall", 0.0, prior::FALL),
            skew: one("skew", -flare, prior::SKEW),
            bed: one("bed", 0.0, prior::BED),
            kick_bed: one("kick bed", 0.0, prior::BED),
        }
    }

    fn wall_of(&mut self, wall: &Wall) -> WallIds {
        let mut one = |word, sd| self.add(What::Wall(wall.name.clone(), word), 0.0, sd);
        WallIds {
            offset: one("distance", prior::WALL_OFFSET),
            splay: one("splay", prior::WALL_SLOPE),
            lean: one("lean", prior::WALL_SLOPE),
            middle: length(wall) / 2.0,
            foot: wall.foot.mm(),
        }
    }

    fn landing_of(&mut self, name: &str, kind: &FloorKind) -> Option<LandingIds> {
        let FloorKind::Landing { from, to, height } = kind else {
            return None;
        };
        let outward = self.meant.outward;
        let long = (to.x.mm() - from.x.mm()).abs();
        let wide = (to.y.mm() - from.y.mm()).abs();
        let mut one = |word, mean, sd| self.add(What::Landing(name.to_owned(), word), mean, sd);
        Some(LandingIds {
            height: one("height", height.mm(), prior::LANDING_HEIGHT),
            uphill: one("fall", 0.0, prior::LANDING_SLOPE),
            outward: one("level", 0.0, prior::LANDING_SLOPE),
            open: one("open edge", long, prior::LANDING_EDGE),
            wall: one("wall edge", long, prior::LANDING_EDGE),
            across: one("width", wide, prior::LANDING_EDGE),
            shift: one("square", 0.0, prior::LANDING_EDGE),
            middle: (
                f64::midpoint(from.x.mm(), to.x.mm()),
                outward * f64::midpoint(from.y.mm(), to.y.mm()),
            ),
        })
    }

    fn line_of(&mut self, job: &Job, line: &LaserLine, tools: &Instruments<'_>) -> LineIds {
        let by = line.by.as_ref();
        let slope = tools.line_slope(by);
        // A place that is given was set with a tape; one that is not is left to the readings.
        let placed = |given: Option<f64>| match given {
            Some(place) => (place, tools.setting(by, place)),
            None => (0.0, prior::LINE_ANYWHERE),
        };
        let mut add = |(mean, sd): (f64, f64), run: f64, cross: f64, about| {
            let mut one = |word, mean, sd| self.add(What::Line(line.name.clone(), word), mean, sd);
            LineIds {
                place: one("place", mean, sd),
                run: one("slope", 0.0, run),
                cross: one("other slope", 0.0, cross),
                about,
            }
        };
        match &line.runs {
            Runs::Level { height } => {
                let height = height.as_ref().map(crate::job::Len::mm);
                add(placed(height), slope, slope, (0.0, 0.0))
            }
            Runs::Across { x } => {
                let x = x.as_ref().map(crate::job::Len::mm);
                // It is set square across by eye along a kick: as good as a kick is.
                let turn = prior::SKEW / job.flight.width.mm();
                add(placed(x), turn, slope, (0.0, 0.0))
            }
            Runs::Beside { wall, off } => {
                let off = off.as_ref().map(crate::job::Len::mm);
                let found = job.walls.iter().find(|one| &one.name == wall);
                let (long, foot) = found.map_or((1.0, 0.0), |one| (length(one), one.foot.mm()));
                // It is set parallel to the meant face by a mark at either end of the wall.
                let turn = tools.setting(by, off.unwrap_or(0.0)) * 2f64.sqrt() / long.max(1.0);
                add(placed(off), turn, slope, (long / 2.0, foot))
            }
        }
    }

    /// Meant length of a tread, open end to wall end; of the lower floor that of the others.
    fn wide(&self, step: u32) -> f64 {
        self.step(step)
            .map_or(self.meant.width, |ids| self.scalars[ids.width].mean)
    }

    /// Meant distance outward from the baluster line of a place on a step.
    pub(super) fn outward(&self, job: &Job, step: Option<u32>, across: &Across) -> f64 {
        match across {
            Across::Line => 0.0,
            Across::Open => self.end(step.unwrap_or(0), Side::Open),
            Across::Wall => self.meant.edge - self.meant.width,
            Across::Stringer(name) => {
                let found = job.stringers.iter().find(|stringer| &stringer.name == name);
                found.map_or(0.0, |one| -(one.inset.mm() + one.thickness.mm() / 2.0))
            }
        }
    }

    /// The same for an end of a nosing.
    pub(super) fn end(&self, step: u32, side: Side) -> f64 {
        match side {
            Side::Open => self
                .step(step)
                .map_or(self.meant.edge, |ids| self.scalars[ids.edge].mean),
            Side::Wall => self.meant.edge - self.meant.width,
        }
    }

    /// Outward distance of a point in plan.
    pub(super) fn outward_of(&self, y: f64) -> f64 {
        self.meant.outward * y
    }

    /// Meant height of a surface, for places on laser lines.
    pub(super) fn meant_height(&self, step: u32) -> f64 {
        self.meant.rise * f64::from(step)
    }

    /// Meant place of a kick up the flight.
    pub(super) fn meant_kick(&self, step: u32) -> f64 {
        self.meant.going * f64::from(step.saturating_sub(1))
    }

    /// Meant depth of a tread, nosing to the next kick.
    pub(super) fn meant_depth(&self) -> f64 {
        self.meant.going + self.meant.overhang
    }

    fn step(&self, number: u32) -> Option<&StepIds> {
        (number as usize)
            .checked_sub(1)
            .and_then(|at| self.steps.get(at))
    }

    /// Height of a surface (0 is the lower floor) at the face of its kick, so far outward.
    pub(super) fn height(&self, step: u32, outward: f64, on: Surface) -> Linear {
        let across = outward / self.wide(step);
        let Some(ids) = self.step(step) else {
            let under = if on == Surface::Rough {
                self.meant.floor_below
            } else {
                0.0
            };
            return Linear::constant(-under).plus(across, &Linear::scalar(self.lower.0, 1.0));
        };
        let mut sum = Linear {
            scalars: self.steps[..step as usize]
                .iter()
                .map(|ids| (ids.rise, 1.0))
                .collect(),
            ..Linear::default()
        };
        sum = sum.plus(across, &Linear::scalar(ids.level, 1.0));
        let is_floor = step as usize == self.steps.len();
        // A finished tread lies on its bed on the cut; dry it lies on the cut.
        match on {
            Surface::Finished => sum,
            Surface::DryFitted if is_floor => sum,
            Surface::DryFitted => sum.less(&Linear::scalar(ids.bed, 1.0)),
            Surface::Rough if is_floor => sum.less(&Linear::scalar(ids.thickness, 1.0)),
            Surface::Rough => sum
                .less(&Linear::scalar(ids.thickness, 1.0))
                .less(&Linear::scalar(ids.bed, 1.0)),
        }
    }

    /// Place up the flight of the face of a kick, so far outward. On rough framing it is the riser
    /// cut that the kick is fixed to.
    pub(super) fn kick(&self, step: u32, outward: f64, on: Surface) -> Linear {
        let Some(ids) = self.step(step) else {
            return Linear::default();
        };
        let mut sum = Linear {
            scalars: self.steps[..step as usize - 1]
                .iter()
                .map(|ids| (ids.going, 1.0))
                .collect(),
            ..Linear::default()
        };
        sum = sum.plus(outward / self.wide(step), &Linear::scalar(ids.skew, 1.0));
        // Each kick stands its thickness, and its bed, downhill of its cut.
        match on {
            Surface::Finished => sum,
            Surface::DryFitted => sum.add(&Linear::scalar(ids.kick_bed, 1.0)),
            Surface::Rough => sum
                .add(&Linear::scalar(ids.kick_thickness, 1.0))
                .add(&Linear::scalar(ids.kick_bed, 1.0)),
        }
    }

    /// Place up the flight of a nosing, so far outward.
    pub(super) fn nosing(&self, step: u32, outward: f64) -> Linear {
        let kick = self.kick(step, outward, Surface::Finished);
        match self.step(step) {
            Some(ids) => kick.less(&Linear::scalar(ids.overhang, 1.0)),
            None => kick,
        }
    }

    /// Height of a tread's surface at its nosing.
    pub(super) fn nosing_height(&self, step: u32, outward: f64) -> Linear {
        let height = self.height(step, outward, Surface::Finished);
        match self.step(step) {
            // `fall` is how far the front stands above the back, over the depth of the tread.
            Some(ids) => height.plus(
                self.meant.overhang / self.meant_depth(),
                &Linear::scalar(ids.fall, 1.0),
            ),
            None => height,
        }
    }

    /// Offset of a wall's face at a place: plane and bow.
    pub(super) fn wall(&self, wall: usize, along: f64, up: f64) -> Linear {
        self.wall_plane(wall, along, up)
            .add(&Linear::bow(wall, (along, up)))
    }

    /// Offset of a wall's plane at a place.
    pub(super) fn wall_plane(&self, wall: usize, along: f64, up: f64) -> Linear {
        let ids = self.walls[wall];
        Linear {
            scalars: vec![
                (ids.offset, 1.0),
                (ids.splay, along - ids.middle),
                (ids.lean, up - ids.foot),
            ],
            ..Linear::default()
        }
    }

    /// Place of a laser line (height, distance up the flight, or distance off a wall) at a place:
    /// so far along it, and so far across it (or up).
    pub(super) fn line(&self, line: usize, run: f64, cross: f64) -> Linear {
        let ids = self.lines[line];
        Linear {
            scalars: vec![
                (ids.place, 1.0),
                (ids.run, run - ids.about.0),
                (ids.cross, cross - ids.about.1),
            ],
            ..Linear::default()
        }
    }
}

/// Level length of a wall's meant face.
pub(super) fn length(wall: &Wall) -> f64 {
    (wall.to.x.mm() - wall.from.x.mm()).hypot(wall.to.y.mm() - wall.from.y.mm())
}
