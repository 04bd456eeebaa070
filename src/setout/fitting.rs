//! Rails that pass over their newels: easings, level and raked cap pieces, goosenecks.
//!
//! All in the plumb plane over the baluster line, on the middle of the rail's top; mm. A bend is an
//! arc tangent to both straight lines, so its ends stand R tan(turn / 2) from their corner and it is
//! R turn long.

use nalgebra::{Point3, Unit, Vector3};

use crate::job::{CapPiece, Job, Rail, RailEnd, RailSystem};
use crate::measure::tolerance::SAME_POINT_MM;
use crate::measure::{Angle, Length, Pitch};
use crate::site::Site;

use super::rail::{Course, Face, newel_face};
use super::{
    CapSet, Fitting, FittingKind, NewelSet, OverNewel, RailSet, SetOutError, WindowReport,
};

/// How far the ends of an arc stand from the corner of the two lines that it is tangent to.
///
/// `turn` is the angle between the lines' ways, under half a turn.
#[must_use]
pub fn tangent(radius: Length, turn: Angle) -> Length {
    radius * (turn.as_radians() / 2.0).tan()
}

/// How one end of a rail passes over its newel.
#[derive(Clone, Debug)]
pub(super) struct Passing {
    /// What the straight rail is cut to.
    pub(super) face: Face,
    fittings: Vec<Fitting>,
    over: OverNewel,
    /// The newel's height along its own length.
    height: f64,
}

/// Adds what goes on past a straight rail, and makes its newels as high as carries it.
pub(super) fn fit(rail: &mut RailSet, newels: &mut [NewelSet], passings: [Option<Passing>; 2]) {
    for passing in passings.into_iter().flatten() {
        let name = &passing.over.newel;
        if let Some(newel) = newels.iter_mut().find(|newel| newel.name == *name) {
            newel.height = Length::mm(passing.height);
            newel.cap = CapSet::NONE;
        }
        rail.fittings.extend(passing.fittings);
        rail.over.push(passing.over);
    }
}

/// How both ends of the rail pass over their newels; `None` where an end is cut against what it
/// meets.
///
/// # Errors
/// [`SetOutError`] where the fittings have no room, with what would fit.
pub(super) fn passings(
    job: &Job,
    site: &Site,
    newels: &[NewelSet],
    course: &Course,
) -> Result<[Option<Passing>; 2], SetOutError> {
    let rail = &job.design.rail;
    let one = |end: &RailEnd, upper: bool| {
        let RailEnd::Newel(name) = end else {
            return Ok(None);
        };
        let newel = newels.iter().find(|newel| newel.name == *name);
        newel
            .and_then(|newel| End::new(site, rail, newel, course, upper))
            .map(|end| end.passing())
            .transpose()
    };
    if rail.system == RailSystem::PostToPost {
        return Ok([None, None]);
    }
    Ok([one(&rail.lower, false)?, one(&rail.upper, true)?])
}

/// One end of a rail over its newel. Distances `s` are level along the baluster line from the
/// course's start, up the flight; `inward` is the sign of the way from the newel along the rail.
struct End<'a> {
    site: &'a Site,
    newel: &'a NewelSet,
    course: &'a Course,
    upper: bool,
    inward: f64,
    /// Level way up the flight, unit vector.
    level: Vector3<f64>,
    /// Climb per level length.
    slope: f64,
    depth: f64,
    radius: f64,
    piece: f64,
    cap: CapPiece,
    landing: Option<f64>,
    near: f64,
    far: f64,
}

/// A rail that climbs less than this is level: no easing would be seen in it.
const LEAST_SLOPE: f64 = 1e-6;

/// The pieces past one end, from the straight rail outwards.
struct Pieces {
    upper: bool,
    made: Vec<Fitting>,
}

impl<'a> End<'a> {
    fn new(
        site: &'a Site,
        rail: &'a Rail,
        newel: &'a NewelSet,
        course: &'a Course,
        upper: bool,
    ) -> Option<Self> {
        let RailSystem::OverPost {
            easing,
            level: piece,
            cap,
            landing,
        } = &rail.system
        else {
            return None;
        };
        let level = Vector3::new(course.along.x, course.along.y, 0.0).try_normalize(0.0)?;
        let per_level = course.along.xy().norm();
        let towards = if upper { -course.along } else { course.along };
        let face = newel_face(newel, &towards)?;
        let near = course.meet(0.0, 0.0, &face)? * per_level;
        // The middle of the newel where the rail comes to it.
        let here = course.start + course.along * (near / per_level);
        let up = (here.z - newel.foot.z) / newel.axis.z;
        let middle = newel.foot + newel.axis.into_inner() * up;
        let middle = (middle - course.start).dot(&level);
        Some(Self {
            site,
            newel,
            course,
            upper,
            inward: if upper { -1.0 } else { 1.0 },
            level,
            slope: course.along.z / per_level,
            depth: rail.depth.mm(),
            radius: easing.mm(),
            piece: piece.mm(),
            cap: *cap,
            // A level rail has no rake to bring it to another height.
            landing: landing
                .as_ref()
                .map(crate::job::Len::mm)
                .filter(|_| upper && course.along.z > per_level * LEAST_SLOPE),
            near,
            far: middle * 2.0 - near,
        })
    }

    /// A point over a distance along the line, at a height.
    fn point(&self, s: f64, z: f64) -> Point3<f64> {
        let plan = self.course.start + self.level * s;
        Point3::new(plan.x, plan.y, z)
    }

    /// The height of the rake over a distance along the line.
    fn rake(&self, s: f64) -> f64 {
        self.course.start.z + self.slope * s
    }

    /// The rail's own way away from its middle.
    fn out_on_rake(&self) -> Vector3<f64> {
        self.course.along * -self.inward
    }

    fn out_level(&self) -> Vector3<f64> {
        self.level * -self.inward
    }

    fn fault(&self, problem: String, help: String) -> SetOutError {
        SetOutError {
            path: "design.rail.system".to_owned(),
            problem,
            help,
        }
    }

    fn passing(&self) -> Result<Passing, SetOutError> {
        if self.cap == CapPiece::Raked {
            return Ok(self.raked());
        }
        let pitch = Pitch::from_slope(self.slope.abs()).angle();
        let tangent_off = tangent(Length::mm(self.radius), pitch).as_mm();
        let corner = self.near + self.inward * (self.piece + tangent_off);
        let arrives = self.rake(corner);
        let Some(over_floor) = self.landing else {
            return self.eased(corner, pitch);
        };
        let wanted = self.landing_floor() + over_floor;
        let rise = wanted - arrives;
        if rise.abs() <= SAME_POINT_MM {
            self.eased(corner, pitch)
        } else if rise / self.slope <= self.piece {
            // The rake reaches the level rail's height further down, or so little further up that
            // the level piece can give it.
            self.eased(corner + rise / self.slope, pitch)
        } else {
            self.gooseneck(wanted, pitch)
        }
    }

    /// Height of the floor that the upper end comes to.
    fn landing_floor(&self) -> f64 {
        let q = self.site.outward * self.newel.foot.y;
        self.site.steps.last().map_or(self.newel.foot.z, |step| {
            step.top(self.newel.foot.x.max(step.kick_x), q)
        })
    }

    /// From rake to level by one bend about a corner.
    fn eased(&self, corner: f64, pitch: Angle) -> Result<Passing, SetOutError> {
        // Going up to level the rail's own thickness lies inside the bend.
        if self.upper && self.slope > 0.0 && self.radius <= self.depth {
            let least = Length::mm(self.depth);
            return Err(self.fault(
                format!(
                    "an easing of {} is too tight for a rail as deep as it",
                    self.newel_words(Length::mm(self.radius))
                ),
                format!(
                    "make its radius more than the rail's depth, {:.2} in",
                    least.as_inches()
                ),
            ));
        }
        let z = self.rake(corner);
        let mut pieces = Pieces::new(self.upper);
        let corner = self.point(corner, z);
        let start = if self.slope.abs() < LEAST_SLOPE {
            pieces.begin(corner);
            corner
        } else {
            pieces.bend(corner, [self.out_on_rake(), self.out_level()], self.radius)
        };
        let takes_off = tangent(Length::mm(self.radius), pitch);
        pieces.straight(
            FittingKind::Level,
            self.point(self.far, z),
            self.out_level(),
        );
        Ok(self.passed(pieces, start, z, (0.0, takes_off)))
    }

    fn newel_words(&self, radius: Length) -> String {
        format!("{:.2} in at newel {}", radius.as_inches(), self.newel.name)
    }

    /// From rake to plumb by one bend, a plumb piece, and a mitred level piece.
    fn gooseneck(&self, z: f64, pitch: Angle) -> Result<Passing, SetOutError> {
        // The plumb piece's own depth lies on the newel's side of its face.
        let plumb_at = self.near + self.inward * self.piece.max(self.depth);
        let turn = Angle::degrees(90.0) - pitch;
        let takes_off = tangent(Length::mm(self.radius), turn);
        let rise = z - self.rake(plumb_at);
        if rise < takes_off.as_mm() {
            let most = rise.max(0.0) / (turn.as_radians() / 2.0).tan();
            return Err(self.fault(
                format!(
                    "the gooseneck at newel {} rises {:.2} in, too little for an easing of {:.2} in",
                    self.newel.name,
                    Length::mm(rise).as_inches(),
                    Length::mm(self.radius).as_inches()
                ),
                format!(
                    "an easing of {:.2} in at most fits, or a level rail {:.2} in higher",
                    Length::mm(most).as_inches(),
                    (takes_off - Length::mm(rise)).as_inches()
                ),
            ));
        }
        let mut pieces = Pieces::new(self.upper);
        let corner = self.point(plumb_at, self.rake(plumb_at));
        let start = pieces.bend(corner, [self.out_on_rake(), Vector3::z()], self.radius);
        pieces.straight(
            FittingKind::Gooseneck,
            self.point(plumb_at, z),
            Vector3::z(),
        );
        pieces.straight(
            FittingKind::Level,
            self.point(self.far, z),
            self.out_level(),
        );
        Ok(self.passed(pieces, start, z, (rise, takes_off)))
    }

    /// Straight over the newel on the rake.
    fn raked(&self) -> Passing {
        let mut pieces = Pieces::new(self.upper);
        let start = self.near + self.inward * self.piece;
        let start = self.point(start, self.rake(start));
        let out = self.out_on_rake();
        let end = self.point(self.far, self.rake(self.far));
        pieces.begin(start);
        pieces.straight(FittingKind::Raked, end, out);
        if let Some(piece) = pieces.made.last_mut() {
            // Its free end is cut plumb.
            piece.end_cut = self.out_level();
        }
        let z = self.rake(f64::midpoint(self.near, self.far));
        self.passed(pieces, start, z, (0.0, Length::ZERO))
    }

    fn passed(
        &self,
        pieces: Pieces,
        start: Point3<f64>,
        z: f64,
        (rise, takes_off): (f64, Length),
    ) -> Passing {
        let steps = &self.site.steps;
        let nosing = if self.upper {
            steps.last()
        } else {
            steps.first()
        };
        let ground = self.newel.foot.z;
        let over_nosing = nosing.map_or(ground, |step| {
            step.nosing_top(self.site.outward * self.newel.foot.y)
        });
        // Plumb under the middle of the rail's underside.
        let thick = if self.cap == CapPiece::Raked {
            self.depth * self.slope.hypot(1.0)
        } else {
            self.depth
        };
        Passing {
            face: Face {
                point: start,
                normal: Unit::new_normalize(-self.out_on_rake()),
            },
            fittings: pieces.made,
            over: OverNewel {
                newel: self.newel.name.clone(),
                upper: self.upper,
                over_nosing: Length::mm(z - over_nosing),
                over_ground: Length::mm(z - ground),
                top: self.point(f64::midpoint(self.near, self.far), z),
                thick: Length::mm(thick),
                held: self.landing.is_some() && self.cap == CapPiece::Level,
                rise: Length::mm(rise),
                takes_off,
            },
            height: (z - thick - ground) / self.newel.axis.z,
        }
    }
}

impl Pieces {
    fn new(upper: bool) -> Self {
        Self {
            upper,
            made: Vec::new(),
        }
    }

    /// A piece of no length, for the next one to begin at; it is replaced by that one.
    fn begin(&mut self, at: Point3<f64>) {
        self.made.push(Fitting {
            kind: FittingKind::Raked,
            upper: self.upper,
            start: at,
            end: at,
            start_way: Vector3::zeros(),
            end_way: Vector3::zeros(),
            end_cut: Vector3::zeros(),
            centre: None,
            radius: None,
            turn: Angle::ZERO,
            length: Length::ZERO,
            tangent: Length::ZERO,
        });
    }

    /// A straight piece on from the last one's end; the joint between them is mitred where they
    /// run different ways.
    fn straight(&mut self, kind: FittingKind, end: Point3<f64>, way: Vector3<f64>) {
        let Some(before) = self.made.last_mut() else {
            return;
        };
        let start = before.end;
        let mitre = before.end_way + way;
        if before.end_way.norm_squared() > 0.0 {
            before.end_cut = mitre.normalize();
        } else {
            self.made.pop();
        }
        self.made.push(Fitting {
            kind,
            upper: self.upper,
            start,
            end,
            start_way: way,
            end_way: way,
            end_cut: way,
            centre: None,
            radius: None,
            turn: Angle::ZERO,
            length: Length::mm((end - start).norm()),
            tangent: Length::ZERO,
        });
    }

    /// A bend about the corner of two ways; gives where it begins.
    fn bend(&mut self, corner: Point3<f64>, ways: [Vector3<f64>; 2], radius: f64) -> Point3<f64> {
        let turn = ways[0].angle(&ways[1]);
        let off = tangent(Length::mm(radius), Angle::radians(turn)).as_mm();
        let (start, end) = (corner - ways[0] * off, corner + ways[1] * off);
        // The centre lies square to both ways, on the side that the bend turns to.
        let to_centre =
            (ways[1] - ways[0] * ways[0].dot(&ways[1])).try_normalize(f64::MIN_POSITIVE);
        self.made.push(Fitting {
            kind: FittingKind::Easing,
            upper: self.upper,
            start,
            end,
            start_way: ways[0],
            end_way: ways[1],
            end_cut: ways[1],
            centre: to_centre.map(|way| start + way * radius),
            radius: Some(Length::mm(radius)),
            turn: Angle::radians(turn),
            length: Length::mm(radius * turn),
            tangent: Length::mm(off),
        });
        start
    }
}

impl Fitting {
    /// The angle of its end's cut from square: half the turn where the next piece is mitred to it.
    #[must_use]
    pub fn mitre(&self) -> Angle {
        Angle::radians(self.end_way.angle(&self.end_cut))
    }

    /// A point of it on the middle of the rail's top, a share of its length from its start, and the
    /// unit vector square to it out of the rail's top.
    #[must_use]
    pub fn at(&self, share: f64) -> (Point3<f64>, Vector3<f64>) {
        // Square to its way in the plumb plane; outwards of the rail's top is what is upwards on
        // the rake, and it turns with the bend.
        let across = self.across();
        let Some(centre) = self.centre else {
            let point = self.start + (self.end - self.start) * share;
            return (point, self.start_way.cross(&across));
        };
        let turn = nalgebra::Rotation3::from_axis_angle(
            &Unit::new_normalize(self.start_way.cross(&self.end_way)),
            self.turn.as_radians() * share,
        );
        let point = centre + turn * (self.start - centre);
        (point, (turn * self.start_way).cross(&across))
    }

    /// Level and square to the plumb plane, so that its way crossed with it points out of the
    /// rail's top.
    fn across(&self) -> Vector3<f64> {
        let level = [self.start_way, self.end_way]
            .into_iter()
            .map(|way| Vector3::new(way.x, way.y, 0.0))
            .find_map(|way| way.try_normalize(LEVEL_LEAST));
        // Both plumb: a piece whose top looks back down the rail.
        let level = level.unwrap_or_else(|| self.riser_level());
        Vector3::z().cross(&level)
    }

    /// A plumb piece keeps no level way of its own: it goes on over the newel, away from its bend.
    fn riser_level(&self) -> Vector3<f64> {
        let out = self.end_cut - self.end_way * self.end_cut.dot(&self.end_way);
        out.try_normalize(f64::MIN_POSITIVE)
            .unwrap_or_else(Vector3::x)
    }
}

/// A way with less level in it than this is plumb.
const LEVEL_LEAST: f64 = 1e-9;

impl RailSet {
    /// The names that the pieces past the straight rail have of their own, in their order: the first
    /// past the upper end of R1 is `R1 upper 1`. In the picture they are one part with the rail.
    #[must_use]
    pub fn fitting_names(&self) -> Vec<String> {
        let mut counts = [0, 0];
        let fittings = self.fittings.iter();
        fittings
            .map(|one| {
                let (end, count) = if one.upper {
                    ("upper", &mut counts[1])
                } else {
                    ("lower", &mut counts[0])
                };
                *count += 1;
                format!("{} {end} {count}", self.name)
            })
            .collect()
    }
}

impl RailSet {
    /// The rail's underside plumb over or under a point in plan: a point of it (at that place up
    /// the flight), and its unit normal there, upwards. Fittings included; past them the straight
    /// rail's plane goes on.
    #[must_use]
    pub fn underside(&self, x: f64) -> (Point3<f64>, Vector3<f64>) {
        let along = (self.upper - self.lower).normalize();
        let up = along.cross(&Vector3::z().cross(&along).normalize());
        let depth = self.depth.as_mm();
        let found = self
            .fittings
            .iter()
            .filter_map(|fitting| under_fitting(fitting, x, depth))
            .next();
        found.unwrap_or((self.lower - up * depth, up))
    }
}

impl RailSet {
    /// The middle of its top over a place up the flight, mm: of what lies there, a fitting or the
    /// straight rail, which is drawn on past an end that no fitting goes on from. `None` past the
    /// end of the last fitting.
    #[must_use]
    pub fn top(&self, x: f64) -> Option<Point3<f64>> {
        let mut over = self.fittings.iter();
        let over = over.find_map(|one| Some(one.at(share_over(one, 0.0, x)?).0));
        over.or_else(|| {
            let along = self.upper - self.lower;
            self.straight_at(x)
                .then(|| self.lower + along * ((x - self.lower.x) / along.x))
        })
    }

    /// How far along the middle of its top a place up the flight lies, mm, from the straight rail's
    /// lower end; along its fittings, where it lies past an end that they go on from.
    pub(super) fn run_to(&self, x: f64) -> f64 {
        let along = self.upper - self.lower;
        if self.straight_at(x) {
            return (x - self.lower.x) / along.x * along.norm();
        }
        let upper = x > self.upper.x;
        let mut done = 0.0;
        let mut end = if upper { self.upper } else { self.lower };
        let mut reached = false;
        for one in self.fittings.iter().filter(|one| one.upper == upper) {
            let share = share_over(one, 0.0, x);
            done += one.length.as_mm() * share.unwrap_or(1.0);
            reached = share.is_some();
            if reached {
                break;
            }
            end = one.end;
        }
        if !reached {
            done += (x - end.x).abs();
        }
        if upper { along.norm() + done } else { -done }
    }

    /// Where the straight rail ends at its underside, as x: infinite where no fitting goes on from
    /// it.
    pub(super) fn straight_under(&self) -> [f64; 2] {
        let fitted = |upper: bool| self.fittings.iter().any(|one| one.upper == upper);
        let along = (self.upper - self.lower).normalize();
        let up = along.cross(&Vector3::z().cross(&along).normalize());
        // A square cut: the underside of a climbing rail stands further on than its top.
        let further = -up.x * self.depth.as_mm();
        [
            if fitted(false) {
                self.lower.x + further.max(0.0)
            } else {
                f64::NEG_INFINITY
            },
            if fitted(true) {
                self.upper.x + further.min(0.0)
            } else {
                f64::INFINITY
            },
        ]
    }

    /// True where the straight rail lies over a place up the flight, or is drawn on to it.
    pub(super) fn straight_at(&self, x: f64) -> bool {
        let fitted = |upper: bool| self.fittings.iter().any(|one| one.upper == upper);
        let below = x < self.lower.x - SAME_POINT_MM && fitted(false);
        let above = x > self.upper.x + SAME_POINT_MM && fitted(true);
        !below && !above
    }
}

/// The underside of a fitting at a place up the flight, where the fitting reaches it.
fn under_fitting(fitting: &Fitting, x: f64, depth: f64) -> Option<(Point3<f64>, Vector3<f64>)> {
    let (point, up) = fitting.at(share_over(fitting, depth, x)?);
    Some((point - up * depth, up))
}

/// The share of a fitting's length at which what lies a depth under its top stands over a place up
/// the flight; `None` where it does not reach it, and for a plumb piece.
fn share_over(fitting: &Fitting, depth: f64, x: f64) -> Option<f64> {
    if fitting.kind == FittingKind::Gooseneck {
        return None;
    }
    let off = |share: f64| {
        let (point, up) = fitting.at(share);
        (point - up * depth).x - x
    };
    let (first, last) = (off(0.0), off(1.0));
    if first * last > 0.0 {
        return None;
    }
    // x goes one way along a piece that turns less than a right angle.
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if off(middle) * first > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

/// Halvings until nothing is left of a share in f64.
const HALVINGS: u32 = 53;

/// Where a rail arrives at a newel, and how far it could be moved there within its window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Height of its top over the floor or landing, at the newel.
    pub height: Length,
    /// How far it can be lowered; `None` where nothing asks for a least height, or where the job
    /// gives the height of its level piece.
    pub down: Option<Length>,
    /// How far it can be raised; `None` where nothing asks for a greatest height, or likewise.
    pub up: Option<Length>,
}

impl Arrival {
    /// A rail's end over a floor of a given height in the rail's own frame: the end of the straight
    /// rail, or the rail over the newel where it passes over it.
    #[must_use]
    pub fn of(rail: &RailSet, upper: bool, floor: Length) -> Self {
        let over = rail.over.iter().find(|over| over.upper == upper);
        let straight = if upper { rail.upper } else { rail.lower };
        let end = over.map_or(straight, |over| over.top);
        let moves = !over.is_some_and(|over| over.held);
        let WindowReport {
            lowest,
            highest,
            asked,
            ..
        } = &rail.window;
        Self {
            height: Length::mm(end.z) - floor,
            down: asked.0.map(|least| lowest.0 - least).filter(|_| moves),
            up: asked.1.map(|most| most - highest.0).filter(|_| moves),
        }
    }
}

/// The rise between two rails that meet one newel, and what it may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandingRise {
    /// How much higher the rail that goes on arrives than the one that comes.
    pub rise: Length,
    /// The least that it can be made with both rails in their windows; `None`: no least.
    pub least: Option<Length>,
    /// The most.
    pub most: Option<Length>,
}

/// The rise at a landing's newel between the rail that comes up to it and the one that goes on:
/// what a gooseneck's plumb piece makes up, or what shows on the newel's head block between them.
#[must_use]
pub fn landing_rise(comes: &Arrival, goes_on: &Arrival) -> LandingRise {
    let rise = goes_on.height - comes.height;
    let both = |a: Option<Length>, b: Option<Length>| Some(a? + b?);
    LandingRise {
        rise,
        least: both(goes_on.down, comes.up).map(|by| rise - by),
        most: both(goes_on.up, comes.down).map(|by| rise + by),
    }
}
