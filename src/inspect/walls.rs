//! The walls as found: lean, bow, splay and corners against published tolerances, and what they
//! mean where the rail and the skirts land.
//!
//! In: site, set-out and the survey's adjustment. Out: [`WallTold`] and [`CornerTold`]. Lengths in
//! the flight's frame; offsets are positive towards the room.

use nalgebra::Point2;

use crate::job::{Job, RailEnd, Side};
use crate::measure::{Angle, Length};
use crate::rules::Sense;
use crate::rules::as_built::{self, AsBuilt};
use crate::setout::SetOut;
use crate::site::{Site, WallFace};
use crate::survey::{Adjustment, LEVEL, Linear, WITHIN};

use super::{Verdict, judge};

/// The straightedge that a bow is told under, where the wall is long enough.
const STRAIGHTEDGE: Length = Length::mm(2000.0);
/// Places along and up that a bow is looked for at.
const PLACES: u32 = 12;
/// Two meant faces whose ends lie this near make a corner, mm.
const CORNER_NEAR: f64 = 60.0;
/// A skirt's wall stands this near the ends of the treads, mm.
const SKIRT_NEAR: f64 = 250.0;

/// A value held against a tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// The value, without its sign.
    pub value: Length,
    /// Its standard deviation.
    pub sd: Length,
    /// The tolerance.
    pub asked: AsBuilt,
    /// How it stands, its doubt counted.
    pub verdict: Verdict,
}

/// A wall as found.
#[derive(Clone, Debug, PartialEq)]
pub struct WallTold {
    /// Its name.
    pub name: String,
    /// How far it leans over a four-foot level; positive into the room.
    pub lean: Length,
    /// The standard deviation of that.
    pub lean_sd: Length,
    /// The same as an angle off plumb.
    pub lean_angle: Angle,
    /// How far it runs off its meant line over its length; positive into the room at its far end.
    pub splay: Length,
    /// The standard deviation of that.
    pub splay_sd: Length,
    /// The lean against its tolerance.
    pub plumb: Held,
    /// The greatest gap under a straightedge, and where its middle is: along and up.
    pub flat: Held,
    /// Whether the wall stands out there (a hump) or in.
    pub hump: bool,
    /// Where that is.
    pub flat_at: (Length, Length),
    /// What it means where the rail lands.
    pub rail: Vec<Landing>,
    /// What it means behind the skirts.
    pub skirts: Vec<Behind>,
}

/// A wall where a rail lands on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// The rail.
    pub rail: String,
    /// Along the wall and up it.
    pub at: (Length, Length),
    /// How far the face stands off its meant line there; positive into the room.
    pub off: Length,
    /// The standard deviation of that.
    pub sd: Length,
    /// How far it leans over the rail's depth there; positive into the room.
    pub over_depth: Length,
}

/// A wall behind a skirt.
#[derive(Clone, Debug, PartialEq)]
pub struct Behind {
    /// The skirt.
    pub skirt: String,
    /// The least and the greatest offset of the face behind it.
    pub off: (Length, Length),
}

impl Behind {
    /// The widest strip that is scribed off a straight board laid against it.
    #[must_use]
    pub fn scribe(&self) -> Length {
        self.off.1 - self.off.0
    }
}

/// A corner between two walls.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerTold {
    /// The walls.
    pub walls: (String, String),
    /// The angle found less the angle meant.
    pub off: Angle,
    /// The same as an offset over the shorter wall, against its tolerance.
    pub square: Held,
}

fn held(value: f64, sd: f64, asked: AsBuilt) -> Held {
    let (value, sd) = (Length::mm(value.abs()), Length::mm(sd));
    let verdict = judge(value, value, Sense::AtMost, asked.limit, Some(sd * WITHIN));
    Held {
        value,
        sd,
        asked,
        verdict,
    }
}

/// Tells of every wall.
#[must_use]
pub fn walls(job: &Job, site: &Site, setout: &SetOut, adjustment: &Adjustment) -> Vec<WallTold> {
    let teller = Teller {
        job,
        site,
        setout,
        adjustment,
    };
    (0..site.own_walls)
        .filter_map(|at| teller.wall(at))
        .collect()
}

/// Where the rail lands on walls: the wall's number from 0, and where on it, mm along from its start
/// and up in its run's frame.
#[must_use]
pub fn landings(job: &Job, site: &Site, setout: &SetOut) -> Vec<(usize, f64, f64)> {
    let rail = &setout.rail;
    let ends = [
        (&job.design.rail.lower, &rail.lower),
        (&job.design.rail.upper, &rail.upper),
    ];
    ends.into_iter()
        .filter_map(|(end, at)| {
            let RailEnd::Wall { wall, .. } = end else {
                return None;
            };
            let number = site.walls.iter().position(|face| &face.name == wall)?;
            // Another run's wall is told with that run.
            if number >= site.own_walls {
                return None;
            }
            let face = &site.walls[number];
            let run = (face.to - face.from) / face.length();
            Some((number, (at.xy() - face.from).dot(&run), at.z))
        })
        .collect()
}

/// A gap under a straightedge: its ends and its middle, along and up.
struct Gap {
    gap: f64,
    long: f64,
    places: [(f64, f64); 3],
}

struct Teller<'a> {
    job: &'a Job,
    site: &'a Site,
    setout: &'a SetOut,
    adjustment: &'a Adjustment,
}

impl Teller<'_> {
    fn sd(&self, function: &Linear) -> f64 {
        self.adjustment.variance(function).sqrt()
    }

    fn wall(&self, at: usize) -> Option<WallTold> {
        let face = self.site.walls.get(at)?;
        let plane = face.field.plane();
        let middle = f64::midpoint(face.foot, face.head);
        let plane_at = |along: f64, up: f64| self.adjustment.of_wall_plane(at, along, up);
        let lean = plane_at(0.0, middle + 1.0)?.less(&plane_at(0.0, middle)?);
        let splay = plane_at(1.0, middle)?.less(&plane_at(0.0, middle)?);
        let (lean_sd, splay_sd) = (self.sd(&lean), self.sd(&splay));
        let asked = as_built::plumb();
        let over = asked.over.as_mm();
        let (flat, hump, flat_at) = self.flat(at, face)?;
        let of_rail = landings(self.job, self.site, self.setout);
        Some(WallTold {
            name: face.name.clone(),
            lean: LEVEL * plane.lean,
            lean_sd: LEVEL * lean_sd,
            lean_angle: Angle::radians(plane.lean.atan()),
            splay: Length::mm(plane.splay * face.length()),
            splay_sd: Length::mm(splay_sd * face.length()),
            plumb: held(plane.lean * over, lean_sd * over, asked),
            flat,
            hump,
            flat_at,
            rail: of_rail
                .into_iter()
                .filter(|(wall, ..)| *wall == at)
                .filter_map(|(_, along, up)| self.landing(at, face, (along, up)))
                .collect(),
            skirts: self.skirts(face),
        })
    }

    /// The greatest gap under a straightedge, laid level or upright anywhere on the wall.
    fn flat(&self, at: usize, face: &WallFace) -> Option<(Held, bool, (Length, Length))> {
        let (length, height) = (face.length(), face.head - face.foot);
        // A shorter straightedge has a tighter limit, so gaps are told by their part of it.
        let part = |gap: f64, long: f64| gap.abs() / as_built::flat(Length::mm(long)).limit.as_mm();
        let mut worst: Option<Gap> = None;
        for (reach, level) in [(length, true), (height, false)] {
            let long = STRAIGHTEDGE.as_mm().min(reach);
            let room = if level {
                (length - long, height)
            } else {
                (length, height - long)
            };
            for i in 0..=PLACES {
                for j in 0..=PLACES {
                    let share = |number: u32| f64::from(number) / f64::from(PLACES);
                    let along = room.0 * share(i);
                    let up = face.foot + room.1 * share(j);
                    let step = |part: f64| match level {
                        true => (along + part * long, up),
                        false => (along, up + part * long),
                    };
                    let places = [step(0.0), step(0.5), step(1.0)];
                    let [a, middle, b] = places.map(|(along, up)| face.off(along, up));
                    let gap = f64::midpoint(a, b) - middle;
                    if worst
                        .as_ref()
                        .is_none_or(|one| part(gap, long) > part(one.gap, one.long))
                    {
                        worst = Some(Gap { gap, long, places });
                    }
                }
            }
        }
        let Gap { gap, long, places } = worst?;
        let [a, middle, b] = places;
        let off = |place: (f64, f64)| self.adjustment.of_wall(at, place.0, place.1);
        let function = off(a)?.add(&off(b)?).times(0.5).less(&off(middle)?);
        let asked = as_built::flat(Length::mm(long));
        let place = (Length::mm(middle.0), Length::mm(middle.1));
        Some((held(gap, self.sd(&function), asked), gap < 0.0, place))
    }

    fn landing(&self, at: usize, face: &WallFace, (along, up): (f64, f64)) -> Option<Landing> {
        let rail = &self.setout.rail;
        let depth = rail.depth.as_mm() / rail.pitch.angle().as_radians().cos();
        let off = face.off(along, up);
        Some(Landing {
            rail: rail.name.clone(),
            at: (Length::mm(along), Length::mm(up)),
            off: Length::mm(off),
            sd: Length::mm(self.sd(&self.adjustment.of_wall(at, along, up)?)),
            over_depth: Length::mm(off - face.off(along, up - depth)),
        })
    }

    /// The skirts on the wall side that this wall stands behind.
    fn skirts(&self, face: &WallFace) -> Vec<Behind> {
        let mut behind = Vec::new();
        let of_wall = self.job.skirts.iter().filter(|one| one.side == Side::Wall);
        for skirt in of_wall {
            let offsets: Vec<f64> = self
                .site
                .steps
                .iter()
                .filter_map(|step| {
                    let foot = self.site.at(step.kick_x, step.wall_q, 0.0).xy();
                    let along = near(face, &foot)?;
                    let up = step.nosing_top(step.wall_q) + skirt.above.mm();
                    let edges = [up, up - skirt.width.mm()];
                    Some(edges.map(|up| face.off(along, up.clamp(face.foot, face.head))))
                })
                .flatten()
                .collect();
            let least = offsets.iter().copied().reduce(f64::min);
            let most = offsets.iter().copied().reduce(f64::max);
            if let (Some(least), Some(most)) = (least, most) {
                behind.push(Behind {
                    skirt: skirt.name.clone(),
                    off: (Length::mm(least), Length::mm(most)),
                });
            }
        }
        behind
    }
}

/// How far along a wall a point in plan lies, where it lies close before it.
fn near(face: &WallFace, point: &Point2<f64>) -> Option<f64> {
    let run = (face.to - face.from) / face.length();
    let from = point - face.from;
    let (along, off) = (from.dot(&run), run.perp(&from));
    ((0.0..=face.length()).contains(&along) && off.abs() < SKIRT_NEAR).then_some(along)
}

/// Tells of every corner between walls.
#[must_use]
pub fn corners(site: &Site, adjustment: &Adjustment) -> Vec<CornerTold> {
    let mut found = Vec::new();
    let own = site.walls.iter().take(site.own_walls);
    for (i, one) in own.clone().enumerate() {
        for (j, other) in own.clone().enumerate().skip(i + 1) {
            found.extend(corner((i, one), (j, other), adjustment));
        }
    }
    found
}

fn corner(
    (i, one): (usize, &WallFace),
    (j, other): (usize, &WallFace),
    adjustment: &Adjustment,
) -> Option<CornerTold> {
    // The end of each wall that the corner is at: into the wall from there is with its run or
    // against it.
    let ends = |face: &WallFace| [(face.from, 1.0), (face.to, -1.0)];
    let (into_one, into_other) = ends(one)
        .into_iter()
        .flat_map(|a| ends(other).map(|b| (a, b)))
        .find(|(a, b)| (a.0 - b.0).norm() < CORNER_NEAR)
        .map(|(a, b)| (a.1, b.1))?;
    let run = |face: &WallFace, into: f64| (face.to - face.from) / face.length() * into;
    let (a, b) = (run(one, into_one), run(other, into_other));
    let signed = a.perp(&b).atan2(a.dot(&b));
    // A face that gains offset along its run turns anticlockwise, seen from above.
    let turn = |wall: usize, face: &WallFace| {
        let up = f64::midpoint(face.foot, face.head);
        let at = |along: f64| adjustment.of_wall_plane(wall, along, up);
        Some(at(1.0)?.less(&at(0.0)?))
    };
    let off = turn(j, other)?.less(&turn(i, one)?).times(signed.signum());
    let (angle, sd) = (adjustment.mean(&off), adjustment.variance(&off).sqrt());
    let shorter = one.length().min(other.length());
    let asked = as_built::square(Length::mm(shorter));
    Some(CornerTold {
        walls: (one.name.clone(), other.name.clone()),
        off: Angle::radians(angle),
        square: held(angle * shorter, sd * shorter, asked),
    })
}
