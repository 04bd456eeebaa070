//! Whether a hand closes on a rail: its section against the sizes that a code lists.
//!
//! In: a [`Profile`] and a pack's [`GripSizes`]. Out: a [`Grip`]: the type that the section comes
//! nearest to, what of it fails, and by how much. IRC R311.7.8.5 (R320.6 in 2024) and ADA 505.7: a
//! round by its diameter; any other shape by its perimeter and its greatest dimension, which is taken
//! between the two corners furthest apart; one with a greater perimeter by the finger recess on
//! either side, measured plumb and level with the rail laid level. The radius of edges is not looked
//! at: no outline shows it. Errors: exact for the outline as given; a curve is as good as its sides.
//! Does not: know where the rail stands.

mod recess;

use crate::job::{GripSizes, Profile};
use crate::measure::{Length, tolerance};

/// What a section is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GripType {
    /// A round: type I by its diameter.
    Round,
    /// Any other shape: type I by its perimeter and its greatest dimension.
    Other,
    /// One with finger recesses: type II.
    Recessed,
}

/// One size that is not kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault {
    /// What was measured, in trade words.
    pub what: &'static str,
    /// What it is.
    pub is: Length,
    /// What is asked of it.
    pub asked: Length,
    /// True where at least that is asked, false where at most.
    pub at_least: bool,
}

impl Fault {
    /// By how much it fails; nothing where it is kept.
    #[must_use]
    pub fn by(&self) -> Length {
        let over = if self.at_least {
            self.asked - self.is
        } else {
            self.is - self.asked
        };
        if over > Length::mm(tolerance::SAME_POINT_MM) {
            over
        } else {
            Length::ZERO
        }
    }
}

/// How a section stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Grip {
    /// The type that it keeps, or comes nearest to.
    pub held_as: GripType,
    /// How far it is off that type: the greatest of what fails; zero where a hand closes on it.
    pub off: Length,
    /// What fails; empty where a hand closes on it.
    pub faults: Vec<Fault>,
}

impl Grip {
    fn of(held_as: GripType, sizes: Vec<Fault>) -> Self {
        let mut faults = sizes;
        faults.retain(|fault| fault.by() > Length::ZERO);
        let by = faults.iter().map(Fault::by).max_by(Length::total_cmp);
        Self {
            held_as,
            off: by.unwrap_or_default(),
            faults,
        }
    }
}

/// Holds a section against the sizes of a code.
#[must_use]
pub fn grip(profile: &Profile, sizes: &GripSizes) -> Grip {
    let corners = match profile {
        Profile::Round(diameter) => return round(diameter.value, sizes),
        Profile::Outline(corners) => corners.iter().map(|(across, up)| (across.mm(), up.mm())),
    };
    let corners: Vec<(f64, f64)> = corners.collect();
    let (perimeter, greatest) = (perimeter(&corners), greatest(&corners));
    let other = Grip::of(
        GripType::Other,
        vec![
            least("its perimeter", perimeter, sizes.perimeter_least.value),
            most("its perimeter", perimeter, sizes.perimeter_most.value),
            most("its greatest dimension", greatest, sizes.section_most.value),
        ],
    );
    let Some(recess) = &sizes.recess else {
        return other;
    };
    // Recesses are for a section that is too great to close a hand on.
    if other.off <= Length::ZERO || perimeter <= sizes.perimeter_most.value {
        return other;
    }
    let recessed = recess::best(&corners, recess);
    if recessed.off < other.off {
        recessed
    } else {
        other
    }
}

fn round(diameter: Length, sizes: &GripSizes) -> Grip {
    Grip::of(
        GripType::Round,
        vec![
            least("its diameter", diameter, sizes.round_least.value),
            most("its diameter", diameter, sizes.round_most.value),
        ],
    )
}

const fn least(what: &'static str, is: Length, asked: Length) -> Fault {
    Fault {
        what,
        is,
        asked,
        at_least: true,
    }
}

const fn most(what: &'static str, is: Length, asked: Length) -> Fault {
    Fault {
        what,
        is,
        asked,
        at_least: false,
    }
}

fn perimeter(corners: &[(f64, f64)]) -> Length {
    let next = corners.iter().cycle().skip(1);
    let sides = corners.iter().zip(next);
    Length::mm(sides.map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1)).sum())
}

fn greatest(corners: &[(f64, f64)]) -> Length {
    let pairs = corners
        .iter()
        .enumerate()
        .flat_map(|(at, a)| corners[at..].iter().map(move |b| (a, b)));
    let across = pairs.map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1));
    Length::mm(across.fold(0.0, f64::max))
}

#[cfg(test)]
mod tests;
