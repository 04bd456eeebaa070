//! What a pack asks of a run beyond its rises and its railing: headroom, width, kicks, landings,
//! the section and the ends of a rail to hold. Each is found only where what it hangs on is stated
//! or stands as placed, so that what nobody stated is never said to be met.

use std::cell::OnceCell;

use nalgebra::Point3;

use crate::measure::{Length, Tape};
use crate::rules::{Pack, Quantity, Rule};
use crate::site::Site;
use crate::solids::{self, Solids};

use super::railing::{Limit, exact};
use super::stair::Below;
use super::{Finding, Key, Kind, Opening, Run, Severity};

/// A run with what stands about it.
#[derive(Clone, Copy)]
pub(super) struct Around<'a> {
    /// The run.
    pub(super) run: &'a Run<'a>,
    /// All runs of the stair.
    pub(super) runs: &'a [Run<'a>],
    /// The run's parts in its own frame, made when they are asked for.
    pub(super) about: &'a OnceCell<Solids>,
    /// The rules.
    pub(super) pack: &'a Pack,
    /// What one climbs before it without a landing.
    pub(super) below: &'a Below,
    /// Winders follow without a landing.
    pub(super) goes_on: bool,
}

impl Around<'_> {
    /// Every finding, places in the run's frame, and the openings that are among them.
    pub(super) fn findings(&self) -> (Vec<Opening>, Vec<Finding>) {
        let (openings, mut found) = if self.run.solid.beside.is_none() {
            self.open_kicks()
        } else {
            (Vec::new(), Vec::new())
        };
        if self.run.solid.beside.is_none() {
            let sides = self.sides();
            found.extend(self.headroom());
            found.extend(sides.iter().flat_map(|sides| self.widths(sides)));
            found.extend(self.nosing_shape());
            found.extend(self.kick_slope());
            found.extend(self.rises());
            found.extend(self.landings(sides.as_ref()));
        }
        found.extend(self.grips());
        found.extend(self.extensions());
        (openings, found)
    }

    /// The run's parts in its own frame.
    pub(super) fn about(&self) -> &'_ Solids {
        self.about.get_or_init(|| solids::of_run(&self.run.solid))
    }

    pub(super) fn site(&self) -> &Site {
        self.run.solid.site
    }

    pub(super) fn tape(&self) -> Tape {
        self.run.solid.job.tape
    }

    pub(super) fn print(&self, length: Length) -> String {
        self.tape().print(length)
    }

    /// The rule on a quantity that is a length, with that length.
    pub(super) fn length(&self, quantity: Quantity) -> Option<(&Rule, Length)> {
        let rule = self.pack.rule(quantity)?;
        Some((rule, rule.length()?))
    }

    pub(super) fn key(&self, kind: Kind, parts: &[&str]) -> Key {
        let named = parts.iter().map(|part| self.site().named(part));
        Key {
            kind,
            parts: named.collect(),
        }
    }
}

/// A finding of something that an inspector would reject.
pub(super) fn on_rule(
    (rule, limit): (&Rule, Length),
    (key, value): (Key, Length),
    at: Point3<f64>,
    says: String,
) -> Finding {
    let limit = Limit {
        limit,
        sense: rule.sense,
        source: &rule.clause,
    };
    exact(key, value, limit, Severity::Stop, at, says)
}
