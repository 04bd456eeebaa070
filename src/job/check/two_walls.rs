//! Checks of readings from one wall to another: across the room, and at a corner.

use super::lines::no_wall;
use super::wall_readings::{Place, height_on_wall};
use super::{Check, Meant, is_zero, walls};
use crate::job::limits::{BETWEEN, Bounds, LEG};
use crate::job::{Len, PlanPoint, Wall};
use crate::measure::{Length, tolerance};

/// Walls face each other where the cosine between the ways they look is under this: within 60
/// degrees of straight across. Our own choice.
const FACING: f64 = -0.5;

/// Walls make a corner where the sine of the angle between them is over this: 12 degrees.
/// Our own choice.
const CORNERED: f64 = 0.2;

/// Ends of walls nearer than this meet, in millimetres: the sizes of a plan are round ones.
const MEETING_MM: f64 = 25.4;

/// A way or a place in plan, in the flight's frame, in millimetres.
#[derive(Clone, Copy, Debug)]
struct Plan {
    x: f64,
    y: f64,
}

impl Plan {
    fn of(point: &PlanPoint) -> Self {
        Self {
            x: point.x.mm(),
            y: point.y.mm(),
        }
    }

    fn from(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
        }
    }

    fn long(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The same way, of length one.
    fn unit(self) -> Self {
        let long = self.long();
        Self {
            x: self.x / long,
            y: self.y / long,
        }
    }

    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// A quarter turn to the left.
    const fn left(self) -> Self {
        Self {
            x: -self.y,
            y: self.x,
        }
    }
}

/// The way along a wall's meant face.
fn way(wall: &Wall) -> Plan {
    Plan::of(&wall.to).from(Plan::of(&wall.from)).unit()
}

/// The other wall of a reading; `None`, and told, where there is none or it is the same one.
fn other_wall<'j>(check: &mut Check<'j>, path: &str, wall: &Wall, other: &str) -> Option<&'j Wall> {
    let at = format!("{path}.wall");
    if wall.name == other {
        let problem = format!("wall `{other}` is read against itself");
        check.tell(&at, problem, "name the other wall");
        return None;
    }
    let walls = &check.job.walls;
    let found = walls.iter().find(|known| known.name == other);
    if found.is_none() {
        no_wall(check, &at, other);
    }
    // Walls without a length have been told.
    found.filter(|found| !is_zero(walls::extent(found)) && !is_zero(walls::extent(wall)))
}

/// Checks the distance from a place on a wall square off to another one.
pub(super) fn between(
    check: &mut Check<'_>,
    path: &str,
    wall: &Wall,
    name: &str,
    (along, up, is): (&Len, &Len, &Len),
) {
    let at = format!("{path}.is");
    let what = "the distance between the walls";
    let Some(other) = other_wall(check, path, wall, name) else {
        check.length(&at, what, is, BETWEEN);
        return;
    };
    height_on_wall(check, path, other, &Place::point(along, up));
    let (run, far_run) = (way(wall), way(other));
    let (room, far_room) = (run.left(), far_run.left());
    if room.dot(far_room) >= FACING {
        let problem = format!("walls `{}` and `{name}` do not face each other", wall.name);
        let help =
            "the room lies on the left hand of a wall's `from` to `to`; name the wall across";
        check.tell(&format!("{path}.wall"), problem, help);
        return;
    }
    let start = Plan::of(&wall.from);
    let start = Plan {
        x: start.x + run.x * along.mm(),
        y: start.y + run.y * along.mm(),
    };
    let to_other = Plan::of(&other.from).from(start);
    // Faces that face each other are not square: the divisor is past one half.
    let distance = to_other.dot(far_room) / room.dot(far_room);
    let hit = Plan {
        x: room.x * distance - to_other.x,
        y: room.y * distance - to_other.y,
    };
    let along_other = Length::mm(hit.dot(far_run));
    let (near, extent) = (Length::mm(MEETING_MM), walls::extent(other));
    if distance <= 0.0 {
        let problem = format!("wall `{name}` stands behind wall `{}`", wall.name);
        check.tell(
            &format!("{path}.wall"),
            problem,
            "check where both were meant",
        );
    } else if along_other < -near || along_other > extent + near {
        let problem = format!("square off here it is past the end of wall `{name}`");
        let help = format!("wall `{name}` is {} long", check.print(extent));
        check.tell(&format!("{path}.along"), problem, help);
    } else {
        let meant = Meant::Firmly(Length::mm(distance));
        check.reading(&at, what, is, BETWEEN, meant);
    }
}

/// Checks the legs and the diagonal of a corner.
pub(super) fn corner(
    check: &mut Check<'_>,
    path: &str,
    wall: &Wall,
    name: &str,
    (up, leg, other_leg, is): (&Len, &Len, &Len, &Len),
) {
    height_on_wall(check, path, wall, &Place::point(leg, up));
    let other = other_wall(check, path, wall, name);
    let legs = [("leg", leg, Some(wall)), ("other_leg", other_leg, other)];
    let mut good = true;
    for (field, leg, wall) in legs {
        let at = format!("{path}.{field}");
        good &= check.length(&at, "the leg", leg, LEG);
        let extent = wall.map_or(leg.value, walls::extent);
        if leg.value > extent + Length::mm(tolerance::SAME_POINT_MM) && !is_zero(extent) {
            let long = check.print(extent);
            let problem = "the leg is longer than the wall".to_owned();
            let help = wall.map_or_else(String::new, |wall| {
                format!("wall `{}` is {long} long", wall.name)
            });
            check.tell(&at, problem, help);
            good = false;
        }
    }
    let at = format!("{path}.is");
    if let Some(other) = other {
        height_on_wall(check, path, other, &Place::point(leg, up));
        if way(wall).cross(way(other)).abs() < CORNERED {
            let problem = format!("walls `{}` and `{name}` make no corner", wall.name);
            check.tell(
                &format!("{path}.wall"),
                problem,
                "name the wall that it meets",
            );
            good = false;
        }
    }
    if good {
        let meant = other.and_then(|other| meant_diagonal(wall, other, leg, other_leg));
        triangle(check, &at, (leg, other_leg), is, meant);
    }
}

/// Checks that two legs and a diagonal make a triangle.
fn triangle(
    check: &mut Check<'_>,
    path: &str,
    (leg, other_leg): (&Len, &Len),
    is: &Len,
    meant: Option<Length>,
) {
    let bounds = Bounds {
        least: (leg.value - other_leg.value).abs(),
        most: leg.value + other_leg.value,
    };
    let meant = meant.map_or(Meant::Unsaid, Meant::Firmly);
    check.reading(path, "the diagonal", is, bounds, meant);
}

/// The diagonal as meant; `None` where the walls' ends do not meet in the plan.
fn meant_diagonal(wall: &Wall, other: &Wall, leg: &Len, other_leg: &Len) -> Option<Length> {
    let ends = [(&wall.from, 1.0), (&wall.to, -1.0)];
    let far_ends = [(&other.from, 1.0), (&other.to, -1.0)];
    let (apart, away) = ends
        .iter()
        .flat_map(|end| far_ends.iter().map(move |far| (end, far)))
        .map(|((end, sign), (far, far_sign))| {
            let apart = Plan::of(end).from(Plan::of(far)).long();
            (apart, sign * far_sign)
        })
        .min_by(|(one, _), (two, _)| one.total_cmp(two))?;
    // Both ways are turned to lead away from the corner.
    let cosine = way(wall).dot(way(other)) * away;
    let (leg, other_leg) = (leg.mm(), other_leg.mm());
    let square = leg.powi(2) + other_leg.powi(2) - 2.0 * leg * other_leg * cosine;
    (apart <= MEETING_MM).then(|| Length::mm(square.max(0.0).sqrt()))
}
