//! The set-out of a whole stair: run after run, each with the newels that the runs before it set.

use std::sync::Arc;

use nalgebra::Point3;

use crate::job::{Also, OneRun, RailEnd};
use crate::measure::{Angle, Length};
use crate::site::{Frame, Placed};

use super::newel::{along_by_rule, place};
use super::solve::{Joined, SetOutError, solve_worked};
use super::turn::turns;
use super::{Choices, Limits, NewelSet, SetOut, Worked};

/// Sets out every run, each in its own frame. `limits` and `held` are one for each run.
///
/// # Errors
/// [`SetOutError`] names the field of the file that stands in the way.
pub fn solve_stair(
    runs: &[Arc<OneRun>],
    placed: &[Placed],
    limits: &[Limits],
    held: &[Choices],
) -> Result<Vec<SetOut>, SetOutError> {
    work_stair(runs, placed, limits, held, &[])
}

/// The same as it is worked, one for each run; a run that has none is set out anew.
///
/// # Errors
/// As [`solve_stair`].
pub fn work_stair(
    runs: &[Arc<OneRun>],
    placed: &[Placed],
    limits: &[Limits],
    held: &[Choices],
    worked: &[Worked],
) -> Result<Vec<SetOut>, SetOutError> {
    let mut done: Vec<SetOut> = Vec::with_capacity(runs.len());
    let nothing = Choices::default();
    for (number, (run, here)) in runs.iter().zip(placed).enumerate() {
        let in_file = |error: SetOutError| SetOutError {
            path: run.path(&error.path),
            ..error
        };
        let joined = Joined {
            newels: met(run, number, placed, &done),
            aside: asides(number, runs, placed)?,
        };
        let limits = limits.get(number).copied().unwrap_or(Limits::NONE);
        let held = held.get(number).unwrap_or(&nothing);
        let worked = worked.get(number);
        let one =
            solve_worked(&run.job, &here.site, &limits, held, &joined, worked).map_err(in_file)?;
        done.push(one);
    }
    for turn in turns(runs, placed, &mut done) {
        let [owner, _] = turn.runs;
        done[owner].turns.push(turn);
    }
    Ok(done)
}

/// The newels of earlier runs that a run's rail ends on, in its own frame.
fn met(run: &OneRun, number: usize, placed: &[Placed], done: &[SetOut]) -> Vec<NewelSet> {
    let rail = &run.job.design.rail;
    let here = &placed[number].frame;
    let own = &run.job.design.newels;
    [&rail.lower, &rail.upper]
        .into_iter()
        .filter_map(|end| match end {
            RailEnd::Newel(name) if own.iter().all(|newel| newel.name != *name) => Some(name),
            _ => None,
        })
        .filter_map(|name| {
            done.iter().zip(placed).find_map(|(setout, from)| {
                let newel = setout.newels.iter().find(|newel| newel.name == *name)?;
                Some(newel.carried(&from.frame, here))
            })
        })
        .collect()
}

/// Where the runs that go on from a run put its newels across it.
fn asides(
    number: usize,
    runs: &[Arc<OneRun>],
    placed: &[Placed],
) -> Result<Vec<(String, Length)>, SetOutError> {
    let run = &runs[number];
    let mut asides = Vec::new();
    for (at, newel) in run.job.design.newels.iter().enumerate() {
        let Some(also) = &newel.also else { continue };
        let named = || (0..runs.len()).filter(|&at| runs[at].name == also.run);
        let ends = |at: &usize| {
            let rail = &runs[*at].job.design.rail;
            [&rail.lower, &rail.upper]
                .iter()
                .any(|end| matches!(end, RailEnd::Newel(name) if *name == newel.name))
        };
        let Some(other) = named().find(ends) else {
            return Err(SetOutError {
                path: run.path(&format!("design.newels[{at}].also")),
                problem: format!(
                    "no rail of run `{}` begins or ends at newel {}",
                    also.run, newel.name
                ),
                help: format!(
                    "let that run's rail meet it, `lower: Newel(\"{}\")`, or leave `also` out",
                    newel.name
                ),
            });
        };
        let aside = aside(
            run,
            at,
            also,
            (&runs[other], &placed[other]),
            &placed[number],
        )
        .map_err(|error| SetOutError {
            path: run.path(&format!("design.newels[{at}].also")),
            ..error
        })?;
        asides.push((newel.name.clone(), aside));
    }
    Ok(asides)
}

/// The offset outward, in its own run, that puts a newel where the other run's rule wants it along
/// that other run.
fn aside(
    run: &OneRun,
    at: usize,
    also: &Also,
    (other_run, other): (&OneRun, &Placed),
    here: &Placed,
) -> Result<Length, SetOutError> {
    let newel = &run.job.design.newels[at];
    let turned = here.frame.turn - other.frame.turn;
    let x = along_by_rule(&other_run.job, &other.site, newel, also, turned)?;
    let mut spots = super::spacing::per_tread(&here.site, &run.job.design.balusters);
    let own_x = place(&run.job, &here.site, at, &mut spots)?.x;
    // The other run's x over the plan of this one is a plane: y moves it by a constant share.
    let x_over = |y: f64| {
        let point = here.frame.to_first(&Point3::new(own_x, y, 0.0));
        other.frame.from_first(&point).x
    };
    let share = x_over(1.0) - x_over(0.0);
    if share.abs() < LEAST_SHARE {
        return Err(SetOutError {
            path: String::new(),
            problem: format!(
                "run `{}` goes the same way as this one, so its balusters do not place newel {} \
                 across",
                also.run, newel.name
            ),
            help: "leave `also` out; the newel stands by its own run's rule".to_owned(),
        });
    }
    let y = (x - x_over(0.0)) / share;
    Ok(Length::mm(here.site.outward * y))
}

/// A run turned by less than this sine says nothing about the place across: 30 degrees.
const LEAST_SHARE: f64 = 0.5;

impl NewelSet {
    /// The same newel in another frame, without what is cut for it in its own run's stair. Its
    /// sizes are given for the new frame's directions.
    #[must_use]
    pub fn carried(&self, from: &Frame, to: &Frame) -> Self {
        let plan = |point| to.plan_from_first(&from.plan_to_first(point));
        let turned = (self.twist + from.turn - to.turn).as_radians();
        let quarter = std::f64::consts::FRAC_PI_2;
        let quarters = (turned / quarter).round();
        let odd = quarters.rem_euclid(2.0) > 0.5;
        let (along, across) = if odd {
            (self.across, self.along)
        } else {
            (self.along, self.across)
        };
        let axis = to.way_from_first(&from.way_to_first(&self.axis));
        Self {
            foot: to.from_first(&from.to_first(&self.foot)),
            axis: nalgebra::Unit::new_normalize(axis),
            along,
            across,
            twist: Angle::radians(turned - quarters * quarter),
            footprint: self.footprint.iter().map(plan).collect(),
            notches: Vec::new(),
            cutouts: Vec::new(),
            behind: Vec::new(),
            fasteners: Vec::new(),
            bears_on: Vec::new(),
            needs: Vec::new(),
            face_from_kick: None,
            ..self.clone()
        }
    }
}
