//! From estimates to places: goings and rises run up the flight from the datum.

use nalgebra::{Point2, Point3};

use crate::job::{FloorKind, Hand, Job, Level};
use crate::survey::{Estimates, LandingEstimate};

use super::{Landing, LevelEdge, Site, Step, Surfaces, WallFace};

/// Places the stair and its walls. Running sums start at the datum, so a fault low on the flight
/// carries to everything above it, as it does on site.
#[must_use]
pub fn build(job: &Job, estimates: &Estimates) -> Site {
    let flight = &job.flight;
    // What levels and falls are reckoned over, as in the survey.
    let (wide, deep) = (flight.width.mm(), flight.going.mm() + flight.overhang.mm());
    let mut kick_x = 0.0;
    let mut height = 0.0;
    let last = estimates.steps.len();
    let steps = (1..)
        .zip(&estimates.steps)
        .map(|(number, found)| {
            height += found.rise.found;
            let going = if number as usize == last {
                job.flight.reaches.drawn_on().as_mm()
            } else {
                found.going.found
            };
            let width = found.width.found;
            let next = estimates.steps.get(number as usize);
            let step = Step {
                number,
                kick_x,
                kick_thickness: found.kick_thickness.found,
                rise: found.rise.found,
                height,
                tilt: found.level.found / width,
                // `fall` is the front above the back.
                climb: -found.fall.found / deep,
                skew: found.skew.found / width,
                back_skew: next.map_or(0.0, |next| next.skew.found / width),
                going,
                overhang: found.overhang.found,
                thickness: found.thickness.found,
                open_q: found.edge.found,
                wall_q: found.edge.found - width,
            };
            kick_x += going;
            step
        })
        .collect();
    let walls = job
        .walls
        .iter()
        .zip(&estimates.walls)
        .map(|(wall, found)| WallFace {
            name: wall.name.clone(),
            from: Point2::new(wall.from.x.mm(), wall.from.y.mm()),
            to: Point2::new(wall.to.x.mm(), wall.to.y.mm()),
            foot: wall.foot.mm(),
            head: wall.head.mm(),
            lift: 0.0,
            field: found.field.clone(),
        })
        .collect::<Vec<_>>();
    let outward = match job.flight.open_side {
        Hand::Left => 1.0,
        Hand::Right => -1.0,
    };
    let landings = job.floors.iter().filter_map(|floor| {
        let found = estimates
            .landings
            .iter()
            .find(|one| one.name == floor.name)?;
        landing(&floor.is, found, outward)
    });
    Site {
        mark: String::new(),
        surfaces: Surfaces::default(),
        outward,
        steps,
        level: job.level.as_ref().map(level_edge),
        own_walls: walls.len(),
        walls,
        floor_out: job.flight.reaches.out.mm(),
        floor_drawn: true,
        upper_drawn: true,
        lower: (
            -estimates.lower.1.found / deep,
            estimates.lower.0.found / wide,
        ),
        landings: landings.collect(),
    }
}

fn level_edge(level: &Level) -> LevelEdge {
    LevelEdge {
        length: level.length.mm(),
        open_q: level.edge.mm(),
        wall_q: level.edge.mm() - level.width.mm(),
        thickness: level.thickness.mm(),
    }
}

/// Places a landing's corners: its downhill open corner stands where it was meant to.
fn landing(kind: &FloorKind, found: &LandingEstimate, outward: f64) -> Option<Landing> {
    let FloorKind::Landing { from, to, .. } = kind else {
        return None;
    };
    let (x0, q0) = (from.x.mm(), outward * from.y.mm());
    let (middle_x, middle_q) = (
        f64::midpoint(x0, to.x.mm()),
        f64::midpoint(q0, outward * to.y.mm()),
    );
    let corner = |along: f64, in_by: f64| {
        let (x, q) = (x0 + along, q0 - in_by);
        let z = found.height.found
            + found.uphill.found * (x - middle_x)
            + found.outward.found * (q - middle_q);
        Point3::new(x, outward * q, z)
    };
    let (shift, across) = (found.shift.found, found.across.found);
    Some(Landing {
        name: found.name.clone(),
        corners: [
            corner(0.0, 0.0),
            corner(found.open.found, 0.0),
            corner(shift + found.wall.found, across),
            corner(shift, across),
        ],
    })
}
