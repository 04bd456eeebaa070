//! Where points lie against a wall's meant face.
//!
//! In: points in mm in the frame they were taken in, and the wall of the job. Out: along from its
//! `from` end, up above the datum, off the meant face towards the room; all mm.

use nalgebra::Point3;

use crate::job::Wall;
use crate::measure::{Angle, Length, tolerance};

/// The frame that points are given in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Frame {
    /// The wall's own: along from its `from` end, up above the datum, off the meant face towards
    /// the room.
    Wall,
    /// The flight's: x level up the flight, y level to the left of one going up, z up.
    #[default]
    Flight,
}

/// How the frame of the points lies.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Placement {
    /// The frame that they are given in, or that origin and turn carry them into.
    pub frame: Frame,
    /// Where the instrument's origin stands in that frame.
    pub origin: [Length; 3],
    /// The instrument's first axis from that frame's first axis, anticlockwise seen from above (in
    /// the wall's frame this must be zero).
    pub turn: Angle,
}

/// The meant face of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeantFace {
    from: (f64, f64),
    way: (f64, f64),
    length: f64,
    foot: f64,
    head: f64,
}

impl MeantFace {
    /// The face of a wall; `None` where it has no extent.
    #[must_use]
    pub fn of(wall: &Wall) -> Option<Self> {
        let from = (wall.from.x.mm(), wall.from.y.mm());
        let to = (wall.to.x.mm(), wall.to.y.mm());
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        let (foot, head) = (wall.foot.mm(), wall.head.mm());
        let extent = length > tolerance::SAME_POINT_MM && head - foot > tolerance::SAME_POINT_MM;
        extent.then(|| Self {
            from,
            way: ((to.0 - from.0) / length, (to.1 - from.1) / length),
            length,
            foot,
            head,
        })
    }

    /// Its level length, mm.
    #[must_use]
    pub const fn length(&self) -> f64 {
        self.length
    }

    /// Height of its foot above the datum, mm.
    #[must_use]
    pub const fn foot(&self) -> f64 {
        self.foot
    }

    /// From foot to head, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.head - self.foot
    }

    /// A function from points as given to (along, up, off).
    pub(super) fn placer(&self, placement: &Placement) -> impl Fn(&Point3<f64>) -> [f64; 3] + Sync {
        let face = *self;
        let frame = placement.frame;
        let [x0, y0, z0] = placement.origin.map(Length::as_mm);
        let (sin, cos) = placement.turn.as_radians().sin_cos();
        move |p| {
            if frame == Frame::Wall {
                return [p.x + x0, p.y + y0, p.z + z0];
            }
            let x = x0 + cos * p.x - sin * p.y - face.from.0;
            let y = y0 + sin * p.x + cos * p.y - face.from.1;
            // The room lies on the left of the way from -> to.
            let (along, off) = (
                x * face.way.0 + y * face.way.1,
                y * face.way.0 - x * face.way.1,
            );
            [along, z0 + p.z, off]
        }
    }

    /// Where a point lies against the wall.
    pub(super) fn where_is(&self, [along, up, off]: [f64; 3], band: f64) -> Whereabouts {
        if !(0.0..=self.length).contains(&along) {
            Whereabouts::BeyondAnEnd
        } else if !(self.foot..=self.head).contains(&up) {
            Whereabouts::AboveOrBelow
        } else if off.abs() > band {
            Whereabouts::OffTheFace
        } else {
            Whereabouts::OnTheWall
        }
    }
}

/// Where a point lies against the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Whereabouts {
    OnTheWall,
    BeyondAnEnd,
    AboveOrBelow,
    OffTheFace,
}
