//! From estimates to places: goings and rises run up the flight from the datum.

use nalgebra::Point2;

use crate::job::{Hand, Job};
use crate::survey::Estimates;

use super::{Site, Step, WallFace};

/// How much of the upper floor is drawn beyond its nosing: a yard, enough to stand on in a picture.
const UPPER_FLOOR_DRAWN: f64 = 914.4;

/// Places the stair and its walls. Running sums start at the datum, so a fault low on the flight
/// carries to everything above it, as it does on site.
#[must_use]
pub fn build(job: &Job, estimates: &Estimates) -> Site {
    let mut kick_x = 0.0;
    let mut height = 0.0;
    let last = estimates.steps.len();
    let steps = (1..)
        .zip(&estimates.steps)
        .map(|(number, found)| {
            height += found.rise.found;
            let going = if number as usize == last {
                UPPER_FLOOR_DRAWN
            } else {
                found.going.found
            };
            let width = found.width.found;
            let step = Step {
                number,
                kick_x,
                kick_thickness: found.kick_thickness.found,
                rise: found.rise.found,
                height,
                tilt: found.level.found / width,
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
            field: found.field.clone(),
        })
        .collect();
    let outward = match job.flight.open_side {
        Hand::Left => 1.0,
        Hand::Right => -1.0,
    };
    Site {
        outward,
        steps,
        walls,
    }
}
