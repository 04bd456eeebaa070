//! The shapes of a job file: what the rules ask about a stair and no reading gives. Each is as it
//! was stated; what nobody stated is not known, and no rule is said to be met by it.

use serde::{Deserialize, Serialize};

use super::schema::Len;
use crate::measure::{Length, tolerance};

/// How the front edge of the nosings is worked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum NosingEdge {
    /// Rounded to this radius.
    Round(Len),
    /// Bevelled, so much off the edge.
    Bevel(Len),
    /// Left square.
    Square,
}

/// Whether kicks close the steps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Kicks {
    /// Every step has its kick.
    #[default]
    Closed,
    /// The stair has no kicks: one sees through between the treads.
    Open,
}

/// What hangs over a flight: a soffit, or the edge of a floor opening. Its underside is straight
/// between its ends and as wide as the stair.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Overhead {
    /// Its name, such as `soffit`.
    pub name: String,
    /// Where it begins: level distance up the flight from the face of the first kick.
    pub from: Len,
    /// Where it ends, further up the flight; the same place for an edge.
    pub to: Len,
    /// Height of its underside above the datum where it begins.
    pub low: Len,
    /// Height of its underside above the datum where it ends.
    pub high: Len,
}

/// The section of a rail to hold, square to its length.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Profile {
    /// A round of this diameter.
    Round(Len),
    /// Its corners in their order: level distance across from the middle of its top, and height
    /// above that (under it: negative). Curves as many short sides.
    Outline(Vec<(Len, Len)>),
}

impl Profile {
    /// How wide and how deep it is; `None` for an outline without corners.
    #[must_use]
    pub fn size(&self) -> Option<(Length, Length)> {
        match self {
            Self::Round(diameter) => Some((diameter.value, diameter.value)),
            Self::Outline(corners) => {
                let extent = |of: fn(&(Len, Len)) -> Length| {
                    let least = corners.iter().map(of).min_by(Length::total_cmp)?;
                    let most = corners.iter().map(of).max_by(Length::total_cmp)?;
                    Some(most - least)
                };
                Some((extent(|at| at.0.value)?, extent(|at| at.1.value)?))
            }
        }
    }

    /// True where two sides of an outline cross or touch, so that it bounds no section.
    #[must_use]
    pub fn crosses_itself(&self) -> bool {
        let Self::Outline(corners) = self else {
            return false;
        };
        let at = |i: usize| {
            let (across, up) = &corners[i % corners.len()];
            (across.mm(), up.mm())
        };
        let count = corners.len();
        (0..count).any(|i| {
            (i + 2..count)
                .filter(|j| (j + 1) % count != i)
                .any(|j| cross((at(i), at(i + 1)), (at(j), at(j + 1))))
        })
    }
}

type Plan = (f64, f64);

/// Whether two segments meet.
fn cross((a, b): (Plan, Plan), (c, d): (Plan, Plan)) -> bool {
    let turn = |p: Plan, q: Plan, r: Plan| {
        let area = (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
        let long = (q.0 - p.0).hypot(q.1 - p.1);
        // As a distance off the line, so that it is held against a length.
        if long > 0.0 { area / long } else { 0.0 }
    };
    let parts = |one: f64, other: f64| {
        let near = tolerance::SAME_POINT_MM;
        one > near && other > near || one < -near && other < -near
    };
    let apart = |low: f64, high: f64, other_low: f64, other_high: f64| {
        low.max(high) < other_low.min(other_high) || other_low.max(other_high) < low.min(high)
    };
    !parts(turn(a, b, c), turn(a, b, d))
        && !parts(turn(c, d, a), turn(c, d, b))
        && !apart(a.0, b.0, c.0, d.0)
        && !apart(a.1, b.1, c.1, d.1)
}
