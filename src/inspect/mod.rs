//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack. Out: [`Inspection`].
//! Does not: call the chain, or say why (that is `explain`).

pub mod ball;
mod bore;
pub mod clash;
mod clash_told;
mod continuity;
mod finding;
mod fixings;
mod heading;
mod judge;
mod knuckles;
mod newels;
mod opening;
mod past_edge;
mod plough;
mod rail_end;
mod railing;
mod seats;
mod stair;
mod start;
pub mod walls;
mod whole;
mod winders;

use crate::job::Job;
use crate::measure::Length;
use crate::rules::{Pack, Quantity};
use crate::setout::Limits;
use crate::site::Frame;
use crate::solids::{self, Solids};

pub use finding::*;
pub use judge::judge;
pub use railing::{LEAN_SEEN, REVEAL_DRIFT};
pub use winders::winder_findings;

/// The limits of a pack that the set-out of a run works to.
#[must_use]
pub fn limits(pack: &Pack, job: &Job) -> Limits {
    let (low, high) = railing::height_rules(job);
    let opening = if job.level.is_some() {
        Quantity::OpeningLevel
    } else {
        Quantity::OpeningStair
    };
    let lows = low.into_iter().filter_map(|quantity| pack.length(quantity));
    Limits {
        rail_low: lows.max_by(Length::total_cmp),
        rail_high: high.and_then(|quantity| pack.length(quantity)),
        gap_under: pack.length(opening),
        handrail_low: pack.length(Quantity::HandrailLow),
        handrail_high: pack.length(Quantity::HandrailHigh),
    }
}

/// One run with what was solved for it, and where it stands.
#[derive(Clone, Copy, Debug)]
pub struct Run<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its frame in the first run's.
    pub frame: Frame,
    /// The rest.
    pub solid: solids::Run<'a>,
}

/// Looks at everything. `solids` is the whole stair in the first run's frame, in which all places
/// of what is found are given.
#[must_use]
pub fn inspect(runs: &[Run<'_>], solids: &Solids, pack: &Pack) -> Inspection {
    let mut inspection = Inspection::default();
    let several = runs.iter().filter(|run| run.solid.beside.is_none()).count() > 1;
    for run in runs {
        let below = match run.solid.turns.first() {
            Some(turn) => runs
                .get(turn.base)
                .map_or_else(stair::Below::default, |base| {
                    let frames = [&base.frame, &run.frame];
                    stair::Below::of(base.solid.site, frames, run.solid.turns)
                }),
            None => stair::Below::default(),
        };
        let goes_on = runs.iter().any(|other| {
            let mut turns = other.solid.turns.iter();
            turns.any(|turn| turn.base == run.solid.number)
        });
        let (openings, findings) = one_run(run, several, pack, (&below, goes_on));
        inspection.openings.extend(openings);
        inspection.findings.extend(findings);
    }
    let stair = whole::Stair::of(runs, solids);
    let (clashes, findings) = clash_told::clashes(&stair);
    inspection.clashes = clashes;
    inspection.findings.extend(findings);
    let (deep, findings) = seats::findings(&stair, &inspection.clashes);
    inspection.clashes.extend(deep);
    inspection.findings.extend(findings);
    inspection.findings.extend(plough::findings(&stair));
    inspection.findings.extend(past_edge::findings(&stair));
    inspection.findings.extend(knuckles::findings(&stair));
    inspection.findings.extend(fixings::findings(&stair));
    inspection
}

/// What is found on one run, its places in the first run's frame.
fn one_run(
    run: &Run<'_>,
    several: bool,
    pack: &Pack,
    (below, goes_on): (&stair::Below, bool),
) -> (Vec<Opening>, Vec<Finding>) {
    let solids::Run {
        job, site, setout, ..
    } = run.solid;
    let about = solids::of_run(&run.solid);
    let railing = railing::Railing {
        job,
        site,
        setout,
        pack,
    };
    let (mut openings, mut findings) = opening::openings(job, site, setout, &about, pack);
    findings.extend(railing.findings());
    findings.extend(railing.clearances(&about));
    if run.solid.beside.is_none() {
        findings.extend(stair::findings(site, pack, job.tape, below, goes_on));
    }
    for turn in run.solid.turns {
        let mut found = winder_findings(&turn.site, &turn.mark, pack, job.tape);
        if !turn.has_first_kick {
            // That kick is judged with the flight that has it.
            let first = format!("{}K1", turn.mark);
            found.retain(|finding| !finding.key.parts.contains(&first));
        }
        for finding in &mut found {
            // All others are in the run's frame until they are brought into the first run's.
            finding.at = run.frame.from_first(&turn.frame.to_first(&finding.at));
        }
        findings.extend(found);
    }
    for opening in &mut openings {
        opening.at = run.frame.to_first(&opening.at);
    }
    for finding in &mut findings {
        finding.at = run.frame.to_first(&finding.at);
        finding.run = run.solid.number;
        // What is about a run as a whole names it where there are several.
        if several && finding.key.parts.is_empty() {
            finding.key.parts.push(run.name.to_owned());
            finding.says = format!("run {}: {}", run.name, finding.says);
        }
    }
    (openings, findings)
}
