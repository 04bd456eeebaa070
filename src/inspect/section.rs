//! The section of every rail to hold against what a hand closes on.

use nalgebra::Point3;

use crate::job::{Duty, Len, Profile};
use crate::measure::Length;
use crate::rules::{Limit, Quantity};

use super::around::{Around, on_rule};
use super::grip::{Fault, Grip, GripType, grip};
use super::{Finding, Kind};

/// A rail to hold.
struct Held<'a> {
    name: &'a str,
    profile: Profile,
    at: Point3<f64>,
}

impl Around<'_> {
    /// The section of each rail to hold; along a level run no handrail is asked.
    pub(super) fn grips(&self) -> Vec<Finding> {
        let Some(rule) = self.pack.rule(Quantity::Grip) else {
            return Vec::new();
        };
        let Limit::Grip(sizes) = &rule.limit else {
            return Vec::new();
        };
        let rails = self.held().into_iter();
        rails
            .map(|held| {
                let found = grip(&held.profile, sizes);
                let mut key = self.key(Kind::Grip, &[]);
                key.parts.push(held.name.to_owned());
                let says = self.told(held.name, &found);
                on_rule((rule, Length::ZERO), (key, found.off), held.at, says)
            })
            .collect()
    }

    fn held(&self) -> Vec<Held<'_>> {
        let design = &self.run.solid.job.design;
        let setout = self.run.solid.setout;
        let to_hold = design.rail.duty != Duty::Guard && !self.site().steps.is_empty();
        let main = to_hold.then(|| {
            let rail = &design.rail;
            let given = rail.profile.clone();
            Held {
                name: &setout.rail.name,
                profile: given.unwrap_or_else(|| rectangle(&rail.width, &rail.depth, &rail.bevel)),
                at: nalgebra::center(&setout.rail.lower, &setout.rail.upper),
            }
        });
        let beside = design.wall_rail.as_ref().zip(setout.wall_rail.as_ref());
        let beside = beside.map(|(rail, set)| {
            let given = rail.profile.clone();
            Held {
                name: &set.name,
                profile: given.unwrap_or_else(|| rectangle(&rail.width, &rail.depth, &rail.bevel)),
                at: nalgebra::center(&set.lower, &set.upper),
            }
        });
        main.into_iter().chain(beside).collect()
    }

    fn told(&self, name: &str, found: &Grip) -> String {
        let held_as = match found.held_as {
            GripType::Round => "a round",
            GripType::Other => "a shape other than a round",
            GripType::Recessed => "one with finger recesses",
        };
        if found.faults.is_empty() {
            return format!("a hand closes on rail {name}: its section will do as {held_as}");
        }
        let faults: Vec<String> = found.faults.iter().map(|fault| self.fault(fault)).collect();
        format!(
            "a hand does not close on rail {name}; held against {held_as}: {}",
            faults.join("; ")
        )
    }

    fn fault(&self, fault: &Fault) -> String {
        let side = if fault.at_least {
            "at least"
        } else {
            "at most"
        };
        format!(
            "{} is {}, {side} {} is asked",
            fault.what,
            self.print(fault.is),
            self.print(fault.asked)
        )
    }
}

/// A rectangle with its two upper edges bevelled, from the middle of its top.
fn rectangle(width: &Len, depth: &Len, bevel: &Len) -> Profile {
    let (half, deep, bevel) = (width.value / 2.0, depth.value, bevel.value);
    let at = |across: Length, up: Length| {
        let untyped = |value: Length| Len {
            value,
            text: String::new(),
        };
        (untyped(across), untyped(up))
    };
    let in_by = half - bevel;
    let none = Length::ZERO;
    Profile::Outline(vec![
        at(in_by, none),
        at(half, -bevel),
        at(half, -deep),
        at(-half, -deep),
        at(-half, -bevel),
        at(-in_by, none),
    ])
}
