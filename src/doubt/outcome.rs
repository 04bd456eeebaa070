//! The results that decide, and how each moves with what was measured.

use crate::chain::RunChain;
use crate::inspect;
use crate::job::{Job, RailEnd};
use crate::rules::Pack;
use crate::setout::{self, Joined, Limits, SetOut};
use crate::site;
use crate::survey::{Estimates, Linear, Shift, Spot, Survey};

/// A step of a length for the slope of a result, mm: small against any mark, large against the
/// noise of the linear programmes.
const STEP: f64 = 0.01;
/// A step of a wall's slope, mm per mm: what moves a storey's head by the same.
const SLOPE_STEP: f64 = STEP / 2500.0;
/// Slopes smaller than this are noise.
const NO_SLOPE: f64 = 1e-7;
/// What of a step moves a result.
const WORDS: [&str; 8] = [
    "rise",
    "going",
    "overhang",
    "width",
    "level",
    "fall",
    "skew",
    "tread end",
];

/// A result that decides.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What it is, in trade words.
    pub what: String,
    /// Its value, mm.
    pub value: f64,
    /// Its standard deviation, mm.
    pub sd: f64,
    /// What its variance comes from: each quantity with its share, largest first.
    pub sources: Vec<(String, f64)>,
}

/// A result and its tangent.
pub(super) struct Tangent {
    pub(super) what: String,
    pub(super) value: f64,
    pub(super) function: Linear,
    /// The parts of the tangent, by what they hang on.
    parts: Vec<(String, Linear)>,
}

impl Tangent {
    pub(super) fn outcome(self, survey: &Survey) -> Outcome {
        let variance = survey.adjustment.variance(&self.function);
        // A share is the covariance of a part with the whole: shares add up to one.
        let mut sources: Vec<(String, f64)> = self
            .parts
            .iter()
            .map(|(what, part)| {
                let shared = survey.adjustment.covariance(part, &self.function);
                (what.clone(), shared / variance.max(f64::MIN_POSITIVE))
            })
            .collect();
        sources.sort_by(|a, b| b.1.total_cmp(&a.1));
        Outcome {
            what: self.what,
            value: self.value,
            sd: variance.sqrt(),
            sources,
        }
    }
}

/// The values that decide, by name.
pub(super) fn values(job: &Job, setout: &SetOut) -> Vec<(String, f64)> {
    let mut all = Vec::new();
    let rail = &setout.rail;
    let ends = [
        (&job.design.rail.lower, &rail.lower),
        (&job.design.rail.upper, &rail.upper),
    ];
    for (end, at) in ends {
        if let RailEnd::Wall { wall, .. } = end {
            all.push((
                format!(
                    "height of {}'s top where it lands on wall {wall}",
                    rail.name
                ),
                at.z,
            ));
            all.push((
                format!("place of {}'s middle on wall {wall}", rail.name),
                at.y,
            ));
        }
    }
    all.push((format!("length of {}", rail.name), rail.long_points.as_mm()));
    for gap in &setout.gaps {
        let newel = |name: &str| job.design.newels.iter().any(|newel| newel.name == name);
        if newel(&gap.below) || newel(&gap.above) {
            all.push((
                format!("gap from {} to {}", gap.below, gap.above),
                gap.clear.as_mm(),
            ));
        }
    }
    for reveal in &setout.reveals {
        all.push((
            format!("reveal of {} on tread {}", reveal.part, reveal.step),
            reveal.value.as_mm(),
        ));
    }
    all
}

/// Of the values, those to follow: of the reveals only the least and the greatest.
fn deciding(all: Vec<(String, f64)>) -> Vec<(String, f64)> {
    let (reveals, mut rest): (Vec<_>, Vec<_>) = all
        .into_iter()
        .partition(|(what, _)| what.starts_with("reveal"));
    let least = reveals.iter().min_by(|a, b| a.1.total_cmp(&b.1)).cloned();
    let most = reveals.iter().max_by(|a, b| a.1.total_cmp(&b.1)).cloned();
    rest.extend(least.iter().cloned());
    rest.extend(most.filter(|most| least.as_ref() != Some(most)));
    rest
}

/// Where the rail meets walls.
pub(super) fn spots(run: &RunChain) -> Vec<Spot> {
    let job = &run.run.job;
    inspect::walls::landings(job, &run.site, &run.setout)
        .into_iter()
        .map(|(wall, along, up)| (job.walls[wall].name.clone(), along, up))
        .collect()
}

/// Set-out again on estimates, with every choice held; `None` where it has none.
fn again(run: &RunChain, limits: &Limits, estimates: &Estimates) -> Option<Vec<(String, f64)>> {
    let job = &run.run.job;
    let site = site::build(job, estimates).among(&run.site);
    let joined = Joined::of(job, &run.site, &run.setout);
    let setout = setout::solve_joined(job, &site, limits, &run.setout.choices, &joined).ok()?;
    Some(values(job, &setout))
}

/// The results that decide with their tangents.
pub(super) fn tangents(run: &RunChain, pack: &Pack, survey: &Survey) -> Vec<Tangent> {
    let job = &run.run.job;
    let limits = inspect::limits(pack, job);
    let mut tangents: Vec<Tangent> = deciding(values(job, &run.setout))
        .into_iter()
        .map(|(what, value)| Tangent {
            what,
            value,
            function: Linear::constant(value),
            parts: Vec::new(),
        })
        .collect();
    let slopes = |shift: &Shift, step: f64| -> Vec<f64> {
        let at = |by: f64| again(run, &limits, &run.estimates.shifted(shift, by));
        let (up, down) = (at(step), at(-step));
        let value = |all: &Option<Vec<(String, f64)>>, what: &str| {
            let found = all.as_ref()?.iter().find(|one| one.0 == what);
            found.map(|one| one.1)
        };
        tangents
            .iter()
            .map(|one| {
                // Where there is no set-out on one side, the other side tells.
                match (value(&up, &one.what), value(&down, &one.what)) {
                    (Some(up), Some(down)) => (up - down) / (2.0 * step),
                    (Some(up), None) => (up - one.value) / step,
                    (None, Some(down)) => (one.value - down) / step,
                    (None, None) => 0.0,
                }
            })
            .collect()
    };
    let mut found: Vec<(String, Vec<f64>, Linear)> = Vec::new();
    for step in 1..=job.flight.count {
        for word in WORDS {
            let Some(function) = survey.adjustment.of_step(step, word) else {
                continue;
            };
            let shift = Shift::Step(step, word);
            let name = crate::survey::Fault::Step(step, word).to_string();
            found.push((name, slopes(&shift, STEP), function));
        }
    }
    for (wall, along, up) in spots(run) {
        found.extend(wall_parts(job, survey, &wall, (along, up), &slopes));
    }
    for (what, slopes, function) in found {
        for (tangent, slope) in tangents.iter_mut().zip(slopes) {
            if slope.abs() > NO_SLOPE {
                let part = function.times(slope);
                // The value is the tangent's own; the unknowns' means are in it already.
                let at = survey.adjustment.mean(&part);
                tangent.function = tangent
                    .function
                    .add(&part)
                    .plus(-at, &Linear::constant(1.0));
                tangent.parts.push((what.clone(), part));
            }
        }
    }
    tangents
}

/// How results move with a wall's face where the rail meets it: its offset, and its slopes there.
fn wall_parts(
    job: &Job,
    survey: &Survey,
    name: &str,
    (along, up): (f64, f64),
    slopes: &impl Fn(&Shift, f64) -> Vec<f64>,
) -> Vec<(String, Vec<f64>, Linear)> {
    let Some(wall) = job.walls.iter().position(|wall| wall.name == name) else {
        return Vec::new();
    };
    let adjustment = &survey.adjustment;
    let (Some(offset), Some([run, climb])) = (
        adjustment.of_wall(wall, along, up),
        adjustment.wall_slopes(wall, along, up),
    ) else {
        return Vec::new();
    };
    let parts = [
        ("face", Shift::WallOffset(name.to_owned()), STEP, offset),
        (
            "splay",
            Shift::WallSplay(name.to_owned(), along),
            SLOPE_STEP,
            run,
        ),
        (
            "lean",
            Shift::WallLean(name.to_owned(), up),
            SLOPE_STEP,
            climb,
        ),
    ];
    parts
        .into_iter()
        .map(|(word, shift, step, function)| {
            let what = format!("wall {name}'s {word} where the rail lands");
            (what, slopes(&shift, step), function)
        })
        .collect()
}
