//! What is asked of a chain after it ran: how it stands when its wood is dry and when it is damp.

use std::sync::Arc;

use nalgebra::Point3;

use crate::inspect::{Finding, Kind, Severity, Verdict, judge};
use crate::job::{OneRun, Wood};
use crate::measure::Length;
use crate::setout::wood::{self, Moved, Season, ShiftKind};
use crate::site::Placed;

use super::{Chain, Laid, RunChain};

/// Something that is otherwise when the wood is dry, or damp.
#[derive(Clone, Debug)]
pub struct SeasonTold {
    /// When.
    pub season: Season,
    /// The moisture content as fitted, per cent of the dry weight.
    pub fitted_at: f64,
    /// The moisture content then, per cent of the dry weight.
    pub moisture: f64,
    /// The run, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// What it is.
    pub what: SeasonWhat,
    /// The parts concerned.
    pub parts: Vec<String>,
    /// As fitted.
    pub fitted: Length,
    /// Then.
    pub then: Length,
    /// The limit, of what has one.
    pub limit: Option<Length>,
    /// How it stands then against the limit, or in what it sits in; `None` of what has neither.
    pub verdict: Option<Verdict>,
    /// In words: of a trouble a sentence, else what the quantity is.
    pub says: String,
    /// Where to point at, mm in the first run's frame.
    pub at: Point3<f64>,
}

/// What is told of a season.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeasonWhat {
    /// A quantity that keeps its limit as fitted and not then.
    Trouble(Kind, Severity),
    /// A gap, seat or reveal that changes.
    Shift(ShiftKind),
}

impl SeasonTold {
    /// True for what is met as fitted and broken or too close to call then, and for a seat that its
    /// part comes out of.
    #[must_use]
    pub fn is_trouble(&self) -> bool {
        matches!(self.verdict, Some(Verdict::Broken | Verdict::TooClose))
    }
}

/// A run's parts as they are in a season; `None` where its job does not say what they are made of.
fn moved(run: &RunChain, season: Season) -> Option<(Moved, f64)> {
    let job = &run.run.job;
    let moisture = season.moisture(job.design.wood.as_ref()?);
    let moved = wood::moved(job, &run.site, &run.setout, moisture)?;
    Some((moved, moisture))
}

/// The chain at another moisture content: the set-out as fitted, its parts moved about what holds
/// them, and everything looked at again. `None` where no run says what it is made of.
#[must_use]
pub fn at_moisture(chain: &Chain, season: Season) -> Option<Chain> {
    let moved: Vec<Option<Moved>> = chain
        .runs
        .iter()
        .map(|run| moved(run, season).map(|(moved, _)| moved))
        .collect();
    moved
        .iter()
        .any(Option::is_some)
        .then(|| looked_at(chain, moved))
}

fn looked_at(chain: &Chain, moved: Vec<Option<Moved>>) -> Chain {
    let count = chain.runs.len();
    let mut runs: Vec<Arc<OneRun>> = Vec::with_capacity(count);
    let mut placed: Vec<Placed> = Vec::with_capacity(count);
    let mut setouts = Vec::with_capacity(count);
    for (run, moved) in chain.runs.iter().zip(moved) {
        let (one, site, setout) = match moved {
            Some(moved) => {
                let one = Arc::new(run.run.with(moved.job));
                (one, moved.site, moved.setout)
            }
            None => (run.run.clone(), run.site.clone(), run.setout.clone()),
        };
        runs.push(one);
        placed.push(Placed {
            frame: run.frame,
            site,
            turns: run.turns.clone(),
        });
        setouts.push(setout);
    }
    let laid = Laid { placed, setouts };
    let solids = laid.solids(&runs);
    let inspection = laid.inspection(&runs, &[], &solids, &chain.pack);
    let Laid { placed, setouts } = laid;
    let runs = chain
        .runs
        .iter()
        .zip(runs)
        .zip(placed.into_iter().zip(setouts))
        .map(|((before, run), (placed, setout))| RunChain {
            run,
            site: placed.site,
            setout,
            ..before.clone()
        })
        .collect();
    Chain {
        runs,
        solids,
        pack: chain.pack.clone(),
        inspection,
    }
}

/// What is otherwise when the wood is dry, then when it is damp: first what is met as fitted and not
/// then, worst first, then the gaps, seats and reveals that change most. Nothing where no run says
/// what it is made of.
#[must_use]
pub fn seasons(chain: &Chain) -> Vec<SeasonTold> {
    Season::BOTH
        .into_iter()
        .filter_map(|season| {
            let then = at_moisture(chain, season)?;
            let troubles = then.inspection.troubles().into_iter();
            let mut told: Vec<SeasonTold> = troubles
                .filter_map(|finding| trouble(chain, season, finding))
                .collect();
            told.extend(shifts(chain, season));
            Some(told)
        })
        .flatten()
        .collect()
}

/// A trouble of a season that is none as fitted. Of what was not there to be looked at as fitted,
/// such as a clash, there was nothing.
fn trouble(chain: &Chain, season: Season, then: &Finding) -> Option<SeasonTold> {
    let mut before = chain.inspection.findings.iter();
    let before = before.find(|one| {
        one.key == then.key
            && one.run == then.run
            && one.sense == then.sense
            && one.source == then.source
    });
    // What the wood does is told apart from what the readings leave in doubt.
    let met = |one: &Finding| {
        let verdict = judge(one.lower, one.upper, one.sense, one.limit, None);
        verdict == Verdict::Met
    };
    if before.is_some_and(|one| !met(one)) {
        return None;
    }
    // What a tape does not show is no trouble of the season; bolts keep a joint closed by as much.
    let mark = chain.first().run.job.own_tape().mark();
    let changed = (then.value() - before.map_or(Length::ZERO, Finding::value)).abs();
    let shows = match then.key.kind {
        Kind::SeatDeep if before.is_none() => mark / 2.0,
        _ => mark / 8.0,
    };
    if changed < shows {
        return None;
    }
    let wood = wood_of(chain, then.run)?;
    Some(SeasonTold {
        season,
        fitted_at: wood.fitted,
        moisture: season.moisture(wood),
        run: then.run,
        what: SeasonWhat::Trouble(then.key.kind, then.severity),
        parts: then.key.parts.clone(),
        fitted: before.map_or(Length::ZERO, Finding::value),
        then: then.value(),
        limit: Some(then.limit),
        verdict: Some(then.verdict),
        says: then.says.clone(),
        at: then.at,
    })
}

/// The wood of a run, or of whichever run has some.
fn wood_of(chain: &Chain, run: usize) -> Option<&Wood> {
    let own = chain.runs.get(run).into_iter();
    own.chain(&chain.runs)
        .find_map(|run| run.run.job.design.wood.as_ref())
}

fn shifts(chain: &Chain, season: Season) -> Vec<SeasonTold> {
    let runs = chain.runs.iter().enumerate();
    runs.filter_map(|(number, run)| {
        let (moved, moisture) = moved(run, season)?;
        let fitted_at = run.run.job.design.wood.as_ref()?.fitted;
        let shifts = wood::shifts(&run.run.job, &run.site, &run.setout, &moved, moisture);
        let told = shifts.into_iter().map(move |shift| SeasonTold {
            season,
            fitted_at,
            moisture,
            run: number,
            what: SeasonWhat::Shift(shift.kind),
            fitted: shift.fitted,
            then: shift.then,
            limit: shift.holds.map(|_| Length::ZERO),
            verdict: shift.holds.map(holds),
            says: shift.says(),
            at: run.frame.to_first(&shift.at),
            parts: shift.parts,
        });
        Some(told)
    })
    .flatten()
    .collect()
}

const fn holds(it: bool) -> Verdict {
    if it { Verdict::Met } else { Verdict::Broken }
}
