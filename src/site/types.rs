//! What the site gives: plain data, millimetres in the flight's frame.

use nalgebra::{Point2, Point3};

use crate::survey::WallField;

/// The stair and its walls as found.
#[derive(Clone, Debug)]
pub struct Site {
    /// +1 where the open side is on the left going up (y > 0), -1 where it is on the right.
    pub outward: f64,
    /// The steps from the bottom; the last is the upper floor.
    pub steps: Vec<Step>,
    /// The walls.
    pub walls: Vec<WallFace>,
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

    /// Height of the tread's top at an outward offset.
    #[must_use]
    pub fn top_at(&self, q: f64) -> f64 {
        self.height + self.tilt * q
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
    /// How the face departs from the meant plumb plane.
    pub field: WallField,
}

impl WallFace {
    /// Length of the wall, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }

    /// The point of the face at a distance along and a height.
    #[must_use]
    pub fn point(&self, along: f64, up: f64) -> Point3<f64> {
        let run = (self.to - self.from) / self.length();
        let plan = self.from + run * along;
        let off = self.field.offset(along, up);
        // The room lies to the left hand of from -> to.
        Point3::new(plan.x - run.y * off, plan.y + run.x * off, up)
    }
}
