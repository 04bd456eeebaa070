//! [`WallField`]: how a wall's face departs from its meant plumb plane.
//!
//! A plane with free offset, splay and lean plus a smooth bow, as the adjustment finds them.
//! Lengths are mm.

use super::prior;

/// The plane part of the field.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlanePart {
    /// Offset at the wall's foot, half way along, mm.
    pub offset: f64,
    /// Offset gained per length along, no unit.
    pub splay: f64,
    /// Offset gained per height, no unit; positive leans into the room.
    pub lean: f64,
}

/// Offset of a wall's face from the meant plumb plane, positive towards the room, as a smooth
/// field over (along, up).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallField {
    /// Half way along, where splay turns.
    middle: f64,
    /// The foot, where lean turns.
    foot: f64,
    plane: PlanePart,
    bow: Bow,
}

/// The bow as a sum of smooth bumps.
#[derive(Clone, Debug, Default, PartialEq)]
struct Bow {
    bumps: Vec<((f64, f64), f64)>,
}

impl Bow {
    fn at(&self, place: (f64, f64)) -> f64 {
        self.bumps
            .iter()
            .map(|&(at, weight)| weight * prior::bow(at, place))
            .sum()
    }
}

impl WallField {
    /// A field from its plane and the weights of its bow. `extent` is the wall's length, and the
    /// heights of its foot and head.
    pub(super) fn new(
        (length, (foot, _head)): (f64, (f64, f64)),
        plane: PlanePart,
        bow: &[((f64, f64), f64)],
    ) -> Self {
        Self {
            middle: length / 2.0,
            foot,
            plane,
            bow: Bow {
                bumps: bow.to_vec(),
            },
        }
    }

    /// The offset at a place, mm: `along` from the wall's beginning, `up` above the datum.
    #[must_use]
    pub fn offset(&self, along: f64, up: f64) -> f64 {
        let plane = self.plane.offset
            + self.plane.splay * (along - self.middle)
            + self.plane.lean * (up - self.foot);
        plane + self.bow(along, up)
    }

    /// What the bow adds at a place, mm.
    #[must_use]
    pub fn bow(&self, along: f64, up: f64) -> f64 {
        self.bow.at((along, up))
    }

    /// The plane part.
    #[must_use]
    pub const fn plane(&self) -> PlanePart {
        self.plane
    }

    /// The same wall with another plane part.
    #[must_use]
    pub fn with_plane(&self, plane: PlanePart) -> Self {
        Self {
            plane,
            ..self.clone()
        }
    }

    /// The same wall moved towards the room.
    pub(super) fn moved(&self, by: f64) -> Self {
        let mut plane = self.plane;
        plane.offset += by;
        self.with_plane(plane)
    }

    /// The same wall splayed more, about a place along it.
    pub(super) fn turned(&self, by: f64, along: f64) -> Self {
        let mut plane = self.plane;
        plane.splay += by;
        plane.offset -= by * (along - self.middle);
        self.with_plane(plane)
    }

    /// The same wall leaning more, about a height.
    pub(super) fn tipped(&self, by: f64, up: f64) -> Self {
        let mut plane = self.plane;
        plane.lean += by;
        plane.offset -= by * (up - self.foot);
        self.with_plane(plane)
    }

    /// The same wall without its bow.
    #[must_use]
    pub fn without_bow(&self) -> Self {
        Self {
            bow: Bow::default(),
            ..self.clone()
        }
    }

    /// True where it has a bow at all.
    #[must_use]
    pub fn is_bowed(&self) -> bool {
        let least = crate::measure::tolerance::SAME_POINT_MM / prior::BOW;
        self.bow
            .bumps
            .iter()
            .any(|(_, weight)| weight.abs() > least)
    }
}
