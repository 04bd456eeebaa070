//! The shapes of a job file: bottom steps that reach past the others or run out towards the foot.

use serde::{Deserialize, Serialize};

use super::schema::{Flight, Len, zero};
use crate::measure::Length;

/// A step at the bottom of a flight whose open end is not like the others.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BottomStep {
    /// Step number.
    pub step: u32,
    /// How far its tread reaches past the open ends of the others.
    #[serde(default = "zero")]
    pub beyond: Len,
    /// The radius that both corners of its open end are rounded to; half the tread's depth makes a
    /// half-round end. Square if not given.
    #[serde(default)]
    pub round: Option<Len>,
    /// How much further down the flight its kick stands at the open end than at the wall end.
    #[serde(default = "zero")]
    pub flare: Len,
}

impl Flight {
    /// What is shaped about a step, where anything is.
    #[must_use]
    pub fn shaped(&self, step: u32) -> Option<&BottomStep> {
        self.bottom.iter().find(|shaped| shaped.step == step)
    }

    /// True where the tread of a step reaches past those of the others, so that its end tells
    /// nothing about the line of their ends.
    #[must_use]
    pub fn reaches_beyond(&self, step: u32) -> bool {
        self.shaped(step).is_some_and(|shaped| {
            shaped.beyond.mm().abs() > crate::measure::tolerance::SAME_POINT_MM
        })
    }

    /// The meant distance from the baluster line out to the open end of a step's tread.
    #[must_use]
    pub fn edge_of(&self, step: u32) -> Length {
        self.edge.value + self.beyond(step)
    }

    /// The meant length of a step's tread.
    #[must_use]
    pub fn width_of(&self, step: u32) -> Length {
        self.width.value + self.beyond(step)
    }

    /// The meant going of a step at the baluster line: a kick that runs out towards the foot stands
    /// further down there.
    #[must_use]
    pub fn going_of(&self, step: u32) -> Length {
        self.going.value + self.down_at_line(step) - self.down_at_line(step.saturating_add(1))
    }

    fn beyond(&self, step: u32) -> Length {
        self.shaped(step)
            .map_or(Length::ZERO, |shaped| shaped.beyond.value)
    }

    /// How far down from its place a flared kick stands at the baluster line: its wall end stays.
    fn down_at_line(&self, step: u32) -> Length {
        let width = self.width_of(step);
        let share = (width - self.edge_of(step)) / width;
        self.shaped(step)
            .map_or(Length::ZERO, |shaped| shaped.flare.value * share)
    }
}
