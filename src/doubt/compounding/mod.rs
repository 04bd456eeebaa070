//! Compounding: how a small error on each step becomes an offset at the top of a flight.
//!
//! In: a run that the chain was run on, and an error per step. Out: [`Compounding`]: for heights,
//! places up the flight and tread ends, step by step: the offset if every step is off the same way;
//! how far it falls by chance where each step is set off from the one before; what it would be with
//! every mark from one end of a tape; and this stair: what was found less what was meant, with what
//! its own readings leave open. Flight's frame; heights up, places up the flight, tread ends
//! outward positive.
//!
//! An error of which only its limits are known is rectangular (JCGM 100:2008, 4.3.7), so a sum of
//! them has a known law ([`super::sums`]). What readings leave open is normal, and comes from the
//! survey's covariance: rises read one by one leave the top open as the square root of their
//! number; a total rise read as well ties the top down, and the middle is left widest (a random
//! walk whose end is known: variance `k (n - k) / n` of a step's).
//! Does not: print.

use std::ops::RangeInclusive;

use super::sums::half_width;
use crate::chain::RunChain;
use crate::measure::Length;
use crate::survey::{Adjustment, Estimate, Linear, StepEstimates, Survey};

/// An error on each step that carpenters speak of, where none is named: a sixteenth.
pub const PER_STEP: Length = Length::inches(1.0 / 16.0);

/// Even chances.
const EVEN: f64 = 0.5;
/// Nineteen times in twenty.
const NEARLY: f64 = 0.95;
/// The same of a normal error, in standard deviations (any table of the normal distribution).
const NORMAL_EVEN: f64 = 0.674_489_750_196_081_7;
/// And nineteen times in twenty.
const NORMAL_NEARLY: f64 = 1.959_963_984_540_054;

/// How errors add up along one flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Compounding {
    /// The run's name.
    pub run: String,
    /// What each step is off, at most, either way.
    pub per_step: Length,
    /// Heights, places up the flight, tread ends.
    pub fans: Vec<Fan>,
}

/// What adds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sum {
    /// Rises, to the heights of the nosings.
    Heights,
    /// Goings, to the places of the kicks' faces up the flight. A nosing's overhang is left out: it
    /// is one length and does not add up.
    Goings,
    /// Tread ends, each set off from the one below; places outward from the baluster line. They do
    /// not add up where each is read from a string.
    TreadEnds,
}

/// One sum along the flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Fan {
    /// What adds up.
    pub of: Sum,
    /// From where it starts, step by step.
    pub steps: Vec<FanStep>,
    /// The step that departs most from what was meant; none where nobody read one.
    pub throws: Option<Throw>,
}

impl Fan {
    /// The last step: the upper floor, or the topmost tread for tread ends.
    #[must_use]
    pub fn last(&self) -> Option<&FanStep> {
        self.steps.last()
    }

    /// The step that this stair's own readings leave most open; the lowest of equals.
    #[must_use]
    pub fn widest(&self) -> Option<&FanStep> {
        let wider = |a: &&FanStep, b: &&FanStep| a.sd.total_cmp(&b.sd);
        self.steps.iter().rev().max_by(wider)
    }
}

/// One step of a sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanStep {
    /// Its number; 0 is the lower floor.
    pub step: u32,
    /// How many errors have added up there.
    pub errors: u32,
    /// How far off it is if every step is off by all of the error the same way; either way.
    pub same_way: Length,
    /// How far off it is by chance, each step set off from the one before.
    pub stepped: Band,
    /// How far off it is by chance with each mark put from one end of a tape: one mark's error,
    /// however far up.
    pub one_tape: Band,
    /// What was found on this stair less what was meant.
    pub found: Length,
    /// The standard deviation of what was found.
    pub sd: Length,
    /// How far off what was found the truth lies, by its readings.
    pub open: Band,
}

/// How far off, either way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Band {
    /// Within this with even chances (50 %).
    pub even: Length,
    /// Within this nineteen times in twenty (95 %).
    pub nearly: Length,
}

impl Band {
    /// Of a sum of so many errors that each lie anywhere within `limit`.
    #[must_use]
    pub fn of_errors(count: u32, limit: Length) -> Self {
        Self {
            even: limit * half_width(count, EVEN),
            nearly: limit * half_width(count, NEARLY),
        }
    }

    /// Of a normal error.
    #[must_use]
    pub fn of_normal(sd: Length) -> Self {
        Self {
            even: sd * NORMAL_EVEN,
            nearly: sd * NORMAL_NEARLY,
        }
    }
}

/// The step that departs most from what was meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Throw {
    /// Its number.
    pub step: u32,
    /// Its rise, going or tread end as found less as meant.
    pub by: Length,
    /// The standard deviation of that.
    pub sd: Length,
}

impl Throw {
    /// True where it is more than its own readings leave open, nineteen times in twenty.
    #[must_use]
    pub fn is_sure(&self) -> bool {
        self.by.abs() > Band::of_normal(self.sd).nearly
    }
}

/// How errors of `per_step` add up along a run, beside what its own readings say. `None` where the
/// chain ran without a survey, for a railing that stands on another run's stair, for a level run,
/// and where `per_step` is no number. It is taken either way, so that its sign is of no account.
#[must_use]
pub fn compounding(run: &RunChain, per_step: Length) -> Option<Compounding> {
    let survey = run.survey.as_deref()?;
    let per_step = per_step.abs();
    if !per_step.is_finite() {
        return None;
    }
    Some(Compounding {
        run: run.run.name.clone(),
        per_step,
        fans: fans(survey, per_step)?,
    })
}

/// What adds up by a survey; `None` where it is of no steps.
fn fans(survey: &Survey, per_step: Length) -> Option<Vec<Fan>> {
    let steps = u32::try_from(survey.estimates.steps.len()).ok()?;
    (steps > 0).then(|| {
        vec![
            heights(survey, steps, per_step),
            goings(survey, steps, per_step),
            tread_ends(survey, steps, per_step),
        ]
    })
}

fn heights(survey: &Survey, steps: u32, per_step: Length) -> Fan {
    let of = |step: u32| survey.adjustment.of_nosing_height(step, 0.0);
    let mut meant = Length::ZERO;
    let rows = (0..=steps).filter_map(|step| {
        meant += of_step(survey, step).map_or(Length::ZERO, |one| meant_of(&one.rise));
        let place = Place::of(&survey.adjustment, &of(step)?, meant);
        Some(row(step, step, per_step, place))
    });
    let steps_of_it = rows.collect();
    Fan {
        of: Sum::Heights,
        steps: steps_of_it,
        throws: throws(survey, 1..=steps, |one| &one.rise),
    }
}

fn goings(survey: &Survey, steps: u32, per_step: Length) -> Fan {
    let of = |step: u32| survey.adjustment.of_kick(step);
    let mut meant = Length::ZERO;
    let rows = (1..=steps).filter_map(|step| {
        let place = Place::of(&survey.adjustment, &of(step)?, meant);
        meant += of_step(survey, step).map_or(Length::ZERO, |one| meant_of(&one.going));
        Some(row(step, step - 1, per_step, place))
    });
    let steps_of_it = rows.collect();
    Fan {
        of: Sum::Goings,
        steps: steps_of_it,
        throws: throws(survey, 1..=steps - 1, |one| &one.going),
    }
}

fn tread_ends(survey: &Survey, steps: u32, per_step: Length) -> Fan {
    let treads = 1..=steps - 1;
    let rows = treads.clone().filter_map(|step| {
        let of = survey.adjustment.of_step(step, "tread end")?;
        let meant = meant_of(&of_step(survey, step)?.edge);
        let place = Place::of(&survey.adjustment, &of, meant);
        Some(row(step, step, per_step, place))
    });
    let steps_of_it = rows.collect();
    Fan {
        of: Sum::TreadEnds,
        steps: steps_of_it,
        throws: throws(survey, treads, |one| &one.edge),
    }
}

fn of_step(survey: &Survey, step: u32) -> Option<&StepEstimates> {
    let at = (step as usize).checked_sub(1)?;
    survey.estimates.steps.get(at)
}

fn meant_of(one: &Estimate) -> Length {
    Length::mm(one.meant)
}

/// Where something was found.
#[derive(Clone, Copy)]
struct Place {
    found: Length,
    sd: Length,
}

impl Place {
    fn of(adjustment: &Adjustment, function: &Linear, meant: Length) -> Self {
        Self {
            found: Length::mm(adjustment.mean(function)) - meant,
            sd: Length::mm(adjustment.variance(function).sqrt()),
        }
    }
}

fn row(step: u32, errors: u32, per_step: Length, place: Place) -> FanStep {
    FanStep {
        step,
        errors,
        same_way: per_step * f64::from(errors),
        stepped: Band::of_errors(errors, per_step),
        // What one starts from is no mark.
        one_tape: Band::of_errors(errors.min(1), per_step),
        found: place.found,
        sd: place.sd,
        open: Band::of_normal(place.sd),
    }
}

/// The step that departs most, of those that were read; the lowest of equals.
fn throws(
    survey: &Survey,
    steps: RangeInclusive<u32>,
    pick: fn(&StepEstimates) -> &Estimate,
) -> Option<Throw> {
    let read = steps.filter_map(|step| {
        let one = pick(of_step(survey, step)?);
        (!one.readings.is_empty()).then(|| Throw {
            step,
            by: Length::mm(one.found) - meant_of(one),
            sd: Length::mm(one.sd),
        })
    });
    let mut most: Option<Throw> = None;
    for one in read {
        if most.is_none_or(|before| one.by.abs() > before.by.abs()) {
            most = Some(one);
        }
    }
    most
}

#[cfg(test)]
mod tests;
