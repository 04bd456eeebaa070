//! What the site gives: plain data, millimetres in the flight's frame.

use nalgebra::{Point2, Point3, Vector3};

use crate::measure::tolerance::PARALLEL;

use crate::survey::WallField;

use super::Frame;

/// One run of the stair, and the walls, as found.
#[derive(Clone, Debug)]
pub struct Site {
    /// What stands before the names that the run's parts are given; empty where there is one run.
    pub mark: String,
    /// What its surfaces are called.
    pub surfaces: Surfaces,
    /// +1 where the open side is on the left going up (y > 0), -1 where it is on the right.
    pub outward: f64,
    /// The steps from the bottom; the last is the upper floor. None in a level run.
    pub steps: Vec<Step>,
    /// A level run: the edge of the floor that it stands on.
    pub level: Option<LevelEdge>,
    /// The walls: the run's own first, then those of the other runs.
    pub walls: Vec<WallFace>,
    /// How many of the walls are the run's own.
    pub own_walls: usize,
    /// Floor drawn beyond the open end of the upper floor, outward: a landing before a turn.
    pub floor_out: f64,
    /// True where the lower floor is drawn with this run; else the run before draws it.
    pub floor_drawn: bool,
    /// False where the last kick reaches a winder, and no floor.
    pub upper_drawn: bool,
    /// How the lower floor climbs: per length up the flight, per length outward; no unit. At the
    /// first kick, on the baluster line, it is the datum.
    pub lower: (f64, f64),
    /// The landings.
    pub landings: Vec<Landing>,
}

/// What the surfaces of a run are called in the picture, where the stair that it stands on, or what it
/// goes on from and to, names them otherwise than the run itself would.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surfaces {
    /// What stands before the names of its treads and kicks; for a railing on the wall side its
    /// stair's mark.
    pub stair: String,
    /// What lies under its first kick, where this run does not draw it: a landing, or a winder.
    pub lower: Option<String>,
    /// What its last kick reaches, where that is no floor of its own: a winder.
    pub upper: Option<String>,
}

/// A place over which a rail's height is measured: a nosing, or the floor along a level run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// The step; 0 for a floor.
    pub step: u32,
    /// x of the place.
    pub x: f64,
    /// Height there on the baluster line.
    pub height: f64,
    /// Heights at its open and at its wall end.
    pub sides: [f64; 2],
}

impl Station {
    /// The lower and the higher side.
    #[must_use]
    pub fn low_high(&self) -> (f64, f64) {
        let [a, b] = self.sides;
        (a.min(b), a.max(b))
    }
}

/// The edge of a floor that a level run stands on. The floor itself is the run's lower floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelEdge {
    /// Length along the baluster line, from x = 0.
    pub length: f64,
    /// The edge, outward from y = 0.
    pub open_q: f64,
    /// How far in the floor is drawn, outward from y = 0 (negative).
    pub wall_q: f64,
    /// Thickness of the edge.
    pub thickness: f64,
}

/// A landing as found: a tilted plane over four corners in plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// Its name.
    pub name: String,
    /// Corners: downhill open, uphill open, uphill wall, downhill wall.
    pub corners: [Point3<f64>; 4],
}

/// One step: kick and tread. The last step is the upper floor, reached by the last kick.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its number, from 1.
    pub number: u32,
    /// x of the face of its kick.
    pub kick_x: f64,
    /// Thickness of the kick.
    pub kick_thickness: f64,
    /// Rise from the tread or floor below, at the baluster line.
    pub rise: f64,
    /// Height of the tread at the baluster line above the datum.
    pub height: f64,
    /// Climb of the tread per length outward (towards the open side), no unit.
    pub tilt: f64,
    /// Climb of the tread per length up the flight, no unit.
    pub climb: f64,
    /// How much further up the flight the kick's face stands per length outward, no unit.
    pub skew: f64,
    /// The same of the kick behind the tread.
    pub back_skew: f64,
    /// Going to the next kick's face; for the upper floor how far it is drawn.
    pub going: f64,
    /// Nosing beyond the kick's face.
    pub overhang: f64,
    /// Thickness of the tread.
    pub thickness: f64,
    /// Open end of the tread, outward from y = 0.
    pub open_q: f64,
    /// Wall end of the tread, outward from y = 0 (negative).
    pub wall_q: f64,
}

impl Step {
    /// x of the nosing.
    #[must_use]
    pub fn nosing_x(&self) -> f64 {
        self.kick_x - self.overhang
    }

    /// x of the back of the tread: the next kick's face.
    #[must_use]
    pub fn back_x(&self) -> f64 {
        self.kick_x + self.going
    }

    /// Height of the tread's top at a distance up the flight and an outward offset.
    #[must_use]
    pub fn top(&self, x: f64, q: f64) -> f64 {
        self.height + self.tilt * q + self.climb * (x - self.kick_x)
    }

    /// Height of the tread's top at its nosing, at an outward offset.
    #[must_use]
    pub fn nosing_top(&self, q: f64) -> f64 {
        self.top(self.nosing_at(q), q)
    }

    /// x of the kick's face at an outward offset.
    #[must_use]
    pub fn kick_at(&self, q: f64) -> f64 {
        self.kick_x + self.skew * q
    }

    /// x of the nosing at an outward offset.
    #[must_use]
    pub fn nosing_at(&self, q: f64) -> f64 {
        self.kick_at(q) - self.overhang
    }

    /// x of the back of the tread at an outward offset.
    #[must_use]
    pub fn back_at(&self, q: f64) -> f64 {
        self.back_x() + self.back_skew * q
    }
}

/// A wall's face as found.
#[derive(Clone, Debug)]
pub struct WallFace {
    /// Its name.
    pub name: String,
    /// Where the meant face begins, in plan.
    pub from: Point2<f64>,
    /// Where it ends, in plan.
    pub to: Point2<f64>,
    /// Height of its foot.
    pub foot: f64,
    /// Height of its head.
    pub head: f64,
    /// Height of the datum that its readings were taken from.
    pub lift: f64,
    /// How the face departs from the meant plumb plane.
    pub field: WallField,
}

impl WallFace {
    /// Length of the wall, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }

    /// How far the face stands off its meant plane at a distance along and a height, mm towards
    /// the room.
    #[must_use]
    pub fn off(&self, along: f64, up: f64) -> f64 {
        self.field.offset(along, up - self.lift)
    }

    /// The same wall with its places carried from one frame into another.
    #[must_use]
    pub fn carried(&self, from: &Frame, to: &Frame) -> Self {
        let plan = |point: &Point2<f64>| to.plan_from_first(&from.plan_to_first(point));
        let up = from.origin.z - to.origin.z;
        Self {
            from: plan(&self.from),
            to: plan(&self.to),
            foot: self.foot + up,
            head: self.head + up,
            lift: self.lift + up,
            ..self.clone()
        }
    }

    /// The point of the face at a distance along and a height.
    #[must_use]
    pub fn point(&self, along: f64, up: f64) -> Point3<f64> {
        let run = (self.to - self.from) / self.length();
        let plan = self.from + run * along;
        let off = self.off(along, up);
        // The room lies to the left hand of from -> to.
        Point3::new(plan.x - run.y * off, plan.y + run.x * off, up)
    }
}

impl Site {
    /// This run, estimated otherwise, as it stands among the others: its mark, what is drawn with it
    /// and the walls of the other runs are those of the run as found.
    #[must_use]
    pub fn among(mut self, found: &Self) -> Self {
        self.mark.clone_from(&found.mark);
        self.surfaces.clone_from(&found.surfaces);
        self.floor_drawn = found.floor_drawn;
        self.upper_drawn = found.upper_drawn;
        let others = found.walls.iter().skip(found.own_walls);
        self.walls.extend(others.cloned());
        self
    }

    /// The name of a part of this run, such as `T4`, or `2.T4` in a stair of several runs.
    #[must_use]
    pub fn named(&self, part: impl std::fmt::Display) -> String {
        format!("{}{part}", self.mark)
    }

    /// The name that a tread of the stair that the run stands on has in the picture.
    #[must_use]
    pub fn tread_name(&self, step: u32) -> String {
        format!("{}T{step}", self.surfaces.stair)
    }

    /// The name that a kick of that stair has in the picture.
    #[must_use]
    pub fn kick_name(&self, step: u32) -> String {
        format!("{}K{step}", self.surfaces.stair)
    }

    /// The name that what is stood on at a step has in the picture: 0 is the lower floor, the last step
    /// the upper floor, each by the name of what is there: a landing of the run before, or a winder.
    #[must_use]
    pub fn surface_name(&self, step: u32) -> String {
        let (drawn, floor) = match step {
            0 => (&self.surfaces.lower, "F0"),
            last if last as usize == self.steps.len() => (&self.surfaces.upper, "F1"),
            tread => return self.tread_name(tread),
        };
        let own = || format!("{}{floor}", self.surfaces.stair);
        drawn.clone().unwrap_or_else(own)
    }

    /// The places over which a rail's height is measured, from the bottom up: every nosing, or
    /// both ends and the middle of a level run.
    #[must_use]
    pub fn stations(&self) -> Vec<Station> {
        let nosing = |step: &Step| Station {
            step: step.number,
            x: step.nosing_x(),
            height: step.height,
            sides: [step.nosing_top(step.open_q), step.nosing_top(step.wall_q)],
        };
        let along = |level: &LevelEdge| {
            [0.0, 0.5, 1.0].map(|share| {
                let x = level.length * share;
                Station {
                    step: 0,
                    x,
                    height: self.lower_floor(x, 0.0),
                    sides: [level.open_q, level.wall_q].map(|q| self.lower_floor(x, q)),
                }
            })
        };
        let nosings = self.steps.iter().map(nosing);
        nosings.chain(self.level.iter().flat_map(along)).collect()
    }

    /// The open end of what lies under a baluster, outward: of its tread, or of a level run's floor.
    #[must_use]
    pub fn open_end(&self, step: u32) -> Option<f64> {
        self.step(step)
            .map(|step| step.open_q)
            .or_else(|| self.level.map(|level| level.open_q))
    }

    /// The floors' and treads' extents across the flight, outward: the least of the wall ends and
    /// the greatest of the open ends. `None` where there is neither step nor level run.
    #[must_use]
    pub fn across(&self) -> Option<(f64, f64)> {
        let steps = self.steps.iter().map(|step| (step.wall_q, step.open_q));
        let level = self.level.iter().map(|level| (level.wall_q, level.open_q));
        steps
            .chain(level)
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    /// The point at a distance up the flight, an outward offset and a height.
    #[must_use]
    pub fn at(&self, x: f64, q: f64, z: f64) -> Point3<f64> {
        Point3::new(x, self.outward * q, z)
    }

    /// The surface that lies under a place: the lower floor (0), a tread, or the upper floor, told
    /// by the kick faces.
    #[must_use]
    pub fn surface_under(&self, x: f64) -> u32 {
        self.steps
            .iter()
            .filter(|step| step.kick_x <= x)
            .map(|step| step.number)
            .max()
            .unwrap_or(0)
    }

    /// The step with this number; `None` for the lower floor.
    #[must_use]
    pub fn step(&self, number: u32) -> Option<&Step> {
        (number as usize)
            .checked_sub(1)
            .and_then(|at| self.steps.get(at))
    }

    /// Height of a surface (0 is the lower floor) at a distance up the flight and an outward offset.
    #[must_use]
    pub fn height_of(&self, number: u32, x: f64, q: f64) -> f64 {
        self.step(number)
            .map_or_else(|| self.lower_floor(x, q), |step| step.top(x, q))
    }

    /// How a surface (0 is the lower floor) climbs up the flight and outward, no unit.
    #[must_use]
    pub fn slopes(&self, number: u32) -> (f64, f64) {
        self.step(number)
            .map_or(self.lower, |step| (step.climb, step.tilt))
    }

    /// Height of the lower floor at a distance up the flight and an outward offset.
    #[must_use]
    pub fn lower_floor(&self, x: f64, q: f64) -> f64 {
        self.lower.0 * x + self.lower.1 * q
    }

    /// The wall with this name.
    #[must_use]
    pub fn wall(&self, name: &str) -> Option<&WallFace> {
        self.walls.iter().find(|wall| wall.name == name)
    }
}

impl WallFace {
    /// Where a line meets the face: the point, the distance along the wall, and the outward
    /// normal of the face there (towards the room). `None` where the line runs along the wall or
    /// the face is not met.
    ///
    /// The face is a gentle surface over its meant plane, so a few steps of the tangent plane land
    /// on it.
    #[must_use]
    pub fn meet(
        &self,
        from: &Point3<f64>,
        direction: &Vector3<f64>,
    ) -> Option<(Point3<f64>, f64, Vector3<f64>)> {
        let run = (self.to - self.from) / self.length();
        let plumb_normal = Vector3::new(-run.y, run.x, 0.0);
        let approach = plumb_normal.dot(direction);
        if approach.abs() < PARALLEL {
            return None;
        }
        let off_plane = |point: &Point3<f64>| (point.xy() - self.from).dot(&plumb_normal.xy());
        let along_of = |point: &Point3<f64>| (point.xy() - self.from).dot(&run);
        let mut distance = -off_plane(from) / approach;
        for _ in 0..MEET_STEPS {
            let point = from + direction * distance;
            let gap = self.off(along_of(&point), point.z) - off_plane(&point);
            distance += gap / approach;
        }
        let point = from + direction * distance;
        let along = along_of(&point);
        let normal = self.normal(along, point.z);
        point
            .coords
            .iter()
            .all(|value| value.is_finite())
            .then_some((point, along, normal))
    }

    /// The unit normal of the face at a place, towards the room.
    #[must_use]
    pub fn normal(&self, along: f64, up: f64) -> Vector3<f64> {
        let along_face =
            self.point(along + NORMAL_REACH, up) - self.point(along - NORMAL_REACH, up);
        let up_face = self.point(along, up + NORMAL_REACH) - self.point(along, up - NORMAL_REACH);
        // Left of the way along, seen with up upwards.
        let normal = up_face.cross(&along_face);
        normal / normal.norm()
    }
}

/// Steps of the tangent plane: each divides the error by the wall's slope, a hundred or so, so this
/// many reach the arithmetic's limit.
const MEET_STEPS: usize = 8;
/// Half the base over which the face's slope is taken: a level's bearing, mm.
const NORMAL_REACH: f64 = 10.0;

impl Site {
    /// The tread that a small foot at x stands on, told by the nosings: 0 is the lower floor.
    #[must_use]
    pub fn tread_under(&self, x: f64) -> u32 {
        self.steps
            .iter()
            .filter(|step| step.nosing_x() <= x)
            .map(|step| step.number)
            .max()
            .unwrap_or(0)
    }
}
