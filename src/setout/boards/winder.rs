//! Winders: what each tread and kick of a turn is cut to, on the turn as found.
//!
//! In: a turn on winders in its place, and the job's boards. Out: [`WinderSet`]s, lengths and angles of
//! outlines whose angles are their own. Frame of the outlines: the tread's own plane, u along its nosing
//! from the left end (of one going up) to the right, v back from it, mm; of the places: the turn's own
//! frame ([`crate::site::winders`]).
//!
//! A tread runs from its nosing to the face of the next kick, and from what it turns about to the
//! walls; a kick stands behind the tread below it and under its own. The walls are where the clear
//! width puts them: an end that meets one is scribed.

use nalgebra::{Point2, Point3, Unit, Vector2, Vector3};

use crate::job::{Boards, Meets};
use crate::measure::{Angle, Length, tolerance};
use crate::setout::plan;
use crate::site::PlacedTurn;
use crate::site::winders::{EdgeAcross, OutlineSide, SideOf, Winder, WinderSite};

use super::kick::{KickEnd, KickSet, ring};
use super::tread::Blank;

/// The boards of one turn.
#[derive(Clone, Debug, PartialEq)]
pub struct WinderSet {
    /// The treads, from the bottom.
    pub treads: Vec<WinderTread>,
    /// The kicks, from the bottom; the first is not among them where the flight before has it. Both
    /// ends go to what is there and are told as walls; `step` is the number in the turn.
    pub kicks: Vec<KickSet>,
}

/// One winder's tread as it is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct WinderTread {
    /// Its number in the turn.
    pub number: u32,
    /// The name that it has in the picture.
    pub name: String,
    /// Its own plane.
    pub plane: TreadPlane,
    /// Its sides, anticlockwise from above from the nosing on, which runs from its left end to its
    /// right end.
    pub sides: Vec<WinderSide>,
    /// Where the face of its own kick stands under it, in its own plane: left end, right end.
    pub kick: [Point2<f64>; 2],
    /// Nosing beyond the face of its own kick.
    pub overhang: Length,
    /// What to cut it from: its length lies along the nosing, and so does the grain.
    pub blank: Blank,
}

/// One side of a winder's tread.
#[derive(Clone, Debug, PartialEq)]
pub struct WinderSide {
    /// What it lies on.
    pub of: SideOf,
    /// Its points in the tread's own plane, both ends among them; two where it is straight.
    pub points: Vec<Point2<f64>>,
    /// Its length; of a round one along the round.
    pub length: Length,
    /// The inside angle at its beginning, with the side before it; past 180 degrees the corner looks
    /// inward. With a round side, that of its tangent.
    pub corner: Angle,
    /// The saw's tilt from square to the face, positive where it is under the show face: what the sides
    /// stand plumb to is not square to a tread that is out of level.
    pub tilt: Angle,
    /// The radius of a round one, in plan.
    pub radius: Option<Length>,
}

impl WinderSide {
    /// Where it begins and ends; a side has two points at least.
    #[must_use]
    pub fn ends(&self) -> [Point2<f64>; 2] {
        let at = |point: Option<&Point2<f64>>| point.copied().unwrap_or_else(Point2::origin);
        [at(self.points.first()), at(self.points.last())]
    }

    /// Straight from its beginning to its end.
    #[must_use]
    pub fn chord(&self) -> Length {
        let [from, to] = self.ends();
        Length::mm((to - from).norm())
    }
}

/// The plane of a tread's top with the frame of its outline, in the turn's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadPlane {
    /// The left end of the nosing.
    pub origin: Point3<f64>,
    /// Along the nosing.
    pub along: Vector3<f64>,
    /// Square back from it.
    pub back: Vector3<f64>,
    /// Up out of the wood.
    pub up: Vector3<f64>,
}

impl TreadPlane {
    /// A place in the plane's own frame; one off it falls square on it.
    #[must_use]
    pub fn flat(&self, at: &Point3<f64>) -> Point2<f64> {
        let from = at - self.origin;
        Point2::new(from.dot(&self.along), from.dot(&self.back))
    }

    /// The place of one in the plane's own frame.
    #[must_use]
    pub fn place(&self, at: &Point2<f64>) -> Point3<f64> {
        self.origin + self.along * at.x + self.back * at.y
    }

    /// The place of the plane over or under one in plan.
    #[must_use]
    pub fn over(&self, at: &Point2<f64>) -> Point3<f64> {
        let off = at - self.origin.xy();
        let fall = self.up.xy().dot(&off) / self.up.z;
        Point3::new(at.x, at.y, self.origin.z - fall)
    }
}

impl WinderTread {
    /// The outline of its show face in its own plane, anticlockwise.
    #[must_use]
    pub fn outline(&self) -> Vec<Point2<f64>> {
        let points = self
            .sides
            .iter()
            .flat_map(|side| side.points.iter().skip(1));
        points.copied().collect()
    }

    /// The side at its narrow end that one measures from, of several the longest: what it turns about may
    /// have a corner. Of a tread whose sides meet in a point, the face of the next kick.
    #[must_use]
    pub fn narrow_end(&self) -> Option<&WinderSide> {
        let longest = |of: SideOf| {
            let sides = self.sides.iter().filter(|side| side.of == of);
            sides.max_by(|a, b| a.length.total_cmp(&b.length))
        };
        longest(SideOf::Narrow).or_else(|| longest(SideOf::Back))
    }

    /// The area of its show face, mm^2.
    #[must_use]
    pub fn area(&self) -> f64 {
        plan::area(&self.outline())
    }

    /// Its length along the nosing and its depth square to it: the rectangle that just holds it.
    #[must_use]
    pub fn bounds(&self) -> [Length; 2] {
        let outline = self.outline();
        let along = plan::extent(&outline, |point| point.x);
        let back = plan::extent(&outline, |point| point.y);
        [along, back].map(|(low, high)| Length::mm(high - low))
    }

    /// How far along the nosing, from its left end, the rectangle begins: negative where the tread
    /// reaches past it.
    #[must_use]
    pub fn begins(&self) -> Length {
        Length::mm(plan::extent(&self.outline(), |point| point.x).0)
    }
}

/// Works out the boards of one turn.
#[must_use]
pub fn winders(turn: &PlacedTurn, boards: Option<&Boards>) -> WinderSet {
    let boards = boards.cloned().unwrap_or_default();
    let site = &turn.site;
    let each = site.treads.iter().enumerate();
    let treads = each.filter_map(|(at, tread)| {
        let (nosing, kick) = (site.nosings.get(at)?, site.kicks.get(at)?);
        let next = site.kicks.get(at + 1)?;
        let name = turn.tread_name(tread.number);
        one(site, tread, [nosing, kick, next], (name, &boards))
    });
    let first = usize::from(!turn.has_first_kick);
    let kicks = (first..site.treads.len()).filter_map(|at| kick(site, at, &boards));
    WinderSet {
        treads: treads.collect(),
        kicks: kicks.collect(),
    }
}

fn on_top(tread: &Winder, at: &Point2<f64>) -> Point3<f64> {
    Point3::new(at.x, at.y, tread.top(at))
}

fn one(
    site: &WinderSite,
    tread: &Winder,
    [nosing, own, next]: [&EdgeAcross; 3],
    (name, boards): (String, &Boards),
) -> Option<WinderTread> {
    let sides = site.sides(nosing, next);
    let [left, right] = sides.first()?.ends()?;
    let up = Vector3::new(-tread.climb.x, -tread.climb.y, 1.0).normalize();
    let along = on_top(tread, &right) - on_top(tread, &left);
    let along = along.try_normalize(f64::MIN_POSITIVE)?;
    let plane = TreadPlane {
        origin: on_top(tread, &left),
        along,
        back: up.cross(&along),
        up,
    };
    let count = sides.len();
    let ways: Option<Vec<_>> = sides.iter().map(|side| ways(side, tread)).collect();
    let ways = ways?;
    let told = sides.iter().enumerate().map(|(at, side)| {
        let before = ways[(at + count - 1) % count][1];
        side_of(side, tread, &plane, [before, ways[at][0]])
    });
    let mut kick = own.ends().map(|at| plane.flat(&on_top(tread, &at)));
    kick.sort_by(|a, b| a.x.total_cmp(&b.x));
    let mut set = WinderTread {
        number: tread.number,
        name,
        plane,
        sides: told.collect(),
        kick,
        overhang: Length::mm((own.narrow - nosing.narrow).dot(&site.uphill(own))),
        blank: Blank {
            length: Length::ZERO,
            depth: Length::ZERO,
            thickness: Length::mm(tread.thickness),
        },
    };
    let [long, deep] = set.bounds();
    set.blank.length = long + boards.blank.length.value;
    set.blank.depth = deep + boards.blank.depth.value;
    Some(set)
}

/// Which way a side runs on the tread's top at its beginning and at its end, unit vectors: of a round
/// one its tangents.
fn ways(side: &OutlineSide, tread: &Winder) -> Option<[Vector3<f64>; 2]> {
    let lift = |way: Vector2<f64>| {
        let lifted = Vector3::new(way.x, way.y, tread.climb.dot(&way));
        lifted.try_normalize(f64::MIN_POSITIVE)
    };
    let [from, to] = side.ends()?;
    if side.radius.is_none() {
        let way = lift(to - from)?;
        return Some([way, way]);
    }
    // The centre of the turn is that of the round.
    let tangent = |at: &Point2<f64>, on: Vector2<f64>| {
        let square = Vector2::new(-at.y, at.x);
        lift(if square.dot(&on) < 0.0 {
            -square
        } else {
            square
        })
    };
    let points = &side.points;
    let last = points.len().checked_sub(1)?;
    Some([
        tangent(&from, points.get(1)? - from)?,
        tangent(&to, to - points.get(last.checked_sub(1)?)?)?,
    ])
}

fn side_of(
    side: &OutlineSide,
    tread: &Winder,
    plane: &TreadPlane,
    [before, on]: [Vector3<f64>; 2],
) -> WinderSide {
    let turned = before.cross(&on).dot(&plane.up).atan2(before.dot(&on));
    // What it meets stands plumb; the nosing is worked square to the face.
    let tilt = if side.of == SideOf::Front {
        0.0
    } else {
        tilt(&on, plane)
    };
    let points = side.points.iter().map(|at| plane.flat(&on_top(tread, at)));
    let points: Vec<Point2<f64>> = points.collect();
    let chords: f64 = points
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).norm())
        .sum();
    // Chords are shorter than the round that they stand for.
    let swept = side
        .ends()
        .map_or(0.0, |[from, to]| from.coords.angle(&to.coords));
    let round = side.radius.map(|radius| {
        let half = swept / 2.0 / (points.len() - 1) as f64;
        (Length::mm(radius), chords * half / half.sin())
    });
    WinderSide {
        of: side.of,
        length: Length::mm(round.map_or(chords, |(_, long)| long)),
        points,
        corner: Angle::radians(std::f64::consts::PI - turned),
        tilt: Angle::radians(tilt),
        radius: round.map(|(radius, _)| radius),
    }
}

/// The tilt from square to the face of a plumb cut along a way, positive where the show face is the
/// longer.
fn tilt(on: &Vector3<f64>, plane: &TreadPlane) -> f64 {
    // Anticlockwise the wood lies to the left.
    let out = Vector3::new(on.y, -on.x, 0.0);
    Unit::try_new(out, tolerance::PARALLEL).map_or(0.0, |out| -out.dot(&plane.up).asin())
}

/// The kick under a tread, counted from 0.
fn kick(site: &WinderSite, at: usize, boards: &Boards) -> Option<KickSet> {
    let (face, above) = (site.kicks.get(at)?, site.treads.get(at)?);
    let below = at.checked_sub(1).and_then(|at| site.treads.get(at));
    let back = site.parallel(face, site.kick_thickness)?;
    // What the first kick rises from is as thick as a tread, and level.
    let foot = |at: &Point2<f64>| {
        let thick = below.map_or(above.thickness, |tread| tread.thickness);
        below.map_or(0.0, |tread| tread.top(at)) - thick
    };
    let head = |at: &Point2<f64>| above.top(at) - above.thickness;
    let shown = |at: &Point2<f64>| below.map_or(0.0, |tread| tread.top(at));
    // From left to right of one going up.
    let ordered = |edge: &EdgeAcross| {
        let [narrow, wide] = edge.ends();
        if site.turn.hand > 0.0 {
            [narrow, wide]
        } else {
            [wide, narrow]
        }
    };
    let (front, hidden) = (ordered(face), ordered(&back));
    let lift = |at: Point2<f64>, height: &dyn Fn(&Point2<f64>) -> f64| {
        Point3::new(at.x, at.y, height(&at))
    };
    let [left, right] = front;
    let ring = ring([
        lift(left, &foot),
        lift(right, &foot),
        lift(right, &head),
        lift(left, &head),
    ]);
    let widths = plan::sides(&ring);
    let angles = plan::angles(&ring);
    let along = (right - left).normalize();
    // How much further in the hidden face ends than the show face.
    let further = [
        (hidden[0] - left).dot(&along),
        (right - hidden[1]).dot(&along),
    ];
    let further = further.map(Length::mm);
    let thickness = Length::mm(site.kick_thickness);
    let end = |at: usize| KickEnd {
        meets: Meets::Wall,
        angle: angles[at],
        tilt: Angle::radians(further[at].as_mm().atan2(site.kick_thickness)),
        mitred: false,
    };
    let off: Length = further.into_iter().sum();
    let longer: Length = further.iter().map(|one| (-*one).max(Length::ZERO)).sum();
    let (low, high) = plan::extent(&ring, |point| point.x);
    let (bottom, top) = plan::extent(&ring, |point| point.y);
    Some(KickSet {
        step: above.number,
        bottom: widths[0],
        top: widths[2],
        short: (widths[0] - off, widths[2] - off),
        left: end(0),
        right: end(1),
        height: (widths[3], widths[1]),
        shows: (
            Length::mm(head(&left) - shown(&left)),
            Length::mm(head(&right) - shown(&right)),
        ),
        top_undercut: Angle::ZERO,
        lean: Angle::ZERO,
        blank: Blank {
            length: Length::mm(high - low) + longer + boards.blank.length.value,
            depth: Length::mm(top - bottom) + boards.blank.depth.value,
            thickness,
        },
    })
}
