//! [`Limit`] and [`Sense`]: how much a rule allows, as a rule pack writes it and as a job's local
//! amendments do.

use serde::{Deserialize, Serialize};

use super::schema::Len;
use crate::measure::{Angle, Force, Length, Typed, tolerance};

/// Which side of a limit is right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sense {
    /// The value may be at most the limit.
    AtMost,
    /// The value must be at least the limit.
    AtLeast,
    /// The value must be under the limit: exactly the limit is broken.
    Under,
}

impl Sense {
    /// Whether an exactly known value keeps the limit.
    ///
    /// Values that differ by less than [`tolerance::SAME_POINT_MM`] count as equal, so that a
    /// difference of two readings such as 7 3/4 less 7 3/8 is not broken by its last binary digit.
    #[must_use]
    pub fn holds(self, value: Length, limit: Length) -> bool {
        let over = (value - limit).as_mm();
        match self {
            Self::AtMost => over <= tolerance::SAME_POINT_MM,
            Self::AtLeast => over >= -tolerance::SAME_POINT_MM,
            Self::Under => over < -tolerance::SAME_POINT_MM,
        }
    }
}

/// How much a rule allows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Limit {
    /// A length.
    Length(Len),
    /// A slope: so many parts of climb in so many parts of level run.
    Slope(f64, f64),
    /// A pitch: an angle above level (of a kick: from plumb).
    Pitch(Typed<Angle>),
    /// A number of things.
    Count(u32),
    /// So many tread depths.
    Treads(f64),
    /// The sections of a rail that a hand closes on.
    Grip(Box<GripSizes>),
    /// What something carries.
    Load {
        /// The force, at a point, along a length or over an area.
        force: Typed<Force>,
        /// A force at a point may be spread over a patch of these sides.
        #[serde(default)]
        on: Option<(Len, Len)>,
    },
    /// No number: somebody must look.
    ByEye,
}

/// Sections of a rail that a hand closes on. A section that keeps any one of them will do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GripSizes {
    /// Least outside diameter of a round one.
    pub round_least: Len,
    /// Greatest outside diameter of a round one.
    pub round_most: Len,
    /// Least perimeter of one of any other shape.
    pub perimeter_least: Len,
    /// Greatest perimeter of one of any other shape; one with more needs finger recesses.
    pub perimeter_most: Len,
    /// Greatest dimension across the section of one of any other shape.
    pub section_most: Len,
    /// What finger recesses a greater section must have; absent: none will do.
    #[serde(default)]
    pub recess: Option<Recess>,
}

/// The finger recess on both sides of a rail too great to close a hand on. All is plumb or level,
/// with the rail laid level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recess {
    /// It begins within this below the tallest point of the profile.
    pub begins_within: Len,
    /// It is at least this deep.
    pub depth: Len,
    /// It is that deep within this below the widest point of the profile.
    pub depth_within: Len,
    /// It stays that deep for at least this.
    pub continues: Len,
    /// It goes on down to at least this below the tallest point.
    pub down_to: Len,
    /// Least width of the rail above the recess.
    pub width_least: Len,
    /// Greatest width of the rail above the recess.
    pub width_most: Len,
}

impl GripSizes {
    /// Every size, and the pairs of a least and a most among them.
    fn sizes(&self) -> (Vec<&Len>, Vec<(&Len, &Len)>) {
        let mut all = vec![
            &self.round_least,
            &self.round_most,
            &self.perimeter_least,
            &self.perimeter_most,
            &self.section_most,
        ];
        let mut pairs = vec![
            (&self.round_least, &self.round_most),
            (&self.perimeter_least, &self.perimeter_most),
        ];
        if let Some(recess) = &self.recess {
            all.extend([
                &recess.begins_within,
                &recess.depth,
                &recess.depth_within,
                &recess.continues,
                &recess.down_to,
                &recess.width_least,
                &recess.width_most,
            ]);
            pairs.push((&recess.width_least, &recess.width_most));
            pairs.push((&recess.begins_within, &recess.down_to));
        }
        (all, pairs)
    }
}

impl Limit {
    /// The limit as a length; a slope or pitch gives its climb over the level `run`. Nothing where
    /// it is no length at all.
    #[must_use]
    pub fn over(&self, run: Length) -> Length {
        match self {
            Self::Length(length) => length.value,
            Self::Slope(climb, parts) => run * (climb / parts),
            Self::Pitch(angle) => run * angle.value.as_radians().tan(),
            Self::Count(_) | Self::Treads(_) | Self::Grip(_) | Self::Load { .. } | Self::ByEye => {
                Length::ZERO
            }
        }
    }

    /// The limit as a slope, rise over run (no unit), where it is one; that of a pitch is its tangent.
    #[must_use]
    pub fn slope(&self) -> Option<f64> {
        match self {
            Self::Slope(climb, parts) => Some(climb / parts),
            Self::Pitch(angle) => Some(angle.value.as_radians().tan()),
            _ => None,
        }
    }

    /// The limit as a length, where it is one.
    #[must_use]
    pub fn length(&self) -> Option<Length> {
        match self {
            Self::Length(length) => Some(length.value),
            _ => None,
        }
    }

    /// The limit as a number of things, where it is one.
    #[must_use]
    pub fn count(&self) -> Option<u32> {
        match self {
            Self::Count(count) => Some(*count),
            _ => None,
        }
    }

    /// What it is written as.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        match self {
            Self::Length(_) => "Length",
            Self::Slope(..) => "Slope",
            Self::Pitch(_) => "Pitch",
            Self::Count(_) => "Count",
            Self::Treads(_) => "Treads",
            Self::Grip(_) => "Grip",
            Self::Load { .. } => "Load",
            Self::ByEye => "ByEye",
        }
    }

    /// True where every number in it is more than zero, and no least is above its most.
    #[must_use]
    pub fn is_positive(&self) -> bool {
        let positive = |number: f64| number.is_finite() && number > 0.0;
        match self {
            Self::Length(length) => positive(length.mm()),
            Self::Slope(climb, parts) => positive(*climb) && positive(*parts),
            Self::Pitch(angle) => {
                let degrees = angle.value.as_degrees();
                positive(degrees) && degrees < 90.0
            }
            Self::Count(count) => *count > 0,
            Self::Treads(treads) => positive(*treads),
            Self::Grip(sizes) => {
                let (all, pairs) = sizes.sizes();
                all.into_iter().all(|size| positive(size.mm()))
                    && pairs.into_iter().all(|(low, high)| low.mm() <= high.mm())
            }
            Self::Load { force, on } => {
                let sides = on
                    .as_ref()
                    .is_none_or(|(a, b)| positive(a.mm()) && positive(b.mm()));
                positive(force.value.as_newtons()) && sides
            }
            Self::ByEye => true,
        }
    }
}
