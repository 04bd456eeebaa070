//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack; the survey, where readings carry doubt. Out:
//! [`Inspection`].
//!
//! What readings leave open is counted, at 95 %: a limit within it is too close to call, and what
//! rests on a rise, going, overhang, level or wall that nobody read is not shown. Reveals that wander are told with their doubt and judged by
//! their value. No doubt is claimed of what is cut and fitted, of winders, and of openings that are
//! not between uprights on treads.
//! Does not: call the chain, or say why (that is `explain`).

mod around;
pub mod ball;
mod bodies;
mod bore;
pub mod clash;
mod clash_told;
pub mod climb;
mod continuity;
mod doubtful;
mod extension;
mod finding;
mod fixings;
pub mod grip;
mod heading;
mod headroom;
mod judge;
mod knuckles;
mod landing;
mod loads;
mod newels;
mod one;
mod open_kick;
mod opening;
mod past_edge;
mod plough;
mod rail_end;
mod railing;
mod required;
mod reveals;
mod seats;
mod section;
mod slice;
pub mod span;
mod stair;
mod stand;
mod start;
mod stated;
pub mod walls;
mod whole;
mod width;
mod winders;
mod words;

use std::cell::OnceCell;

use crate::job::Job;
use crate::measure::Length;
use crate::rules::{Pack, Quantity};
use crate::setout::Limits;
use crate::site::Frame;
use crate::solids::{self, Solids};
use crate::survey::Survey;
use bodies::Bodies;
use opening::Look;

pub use opening::{Bounded, Care, Watched};

pub use crate::job::{LEAN_SEEN, REVEAL_DRIFT};
pub use finding::*;
pub use judge::judge;
pub use one::{one, one_with, rests_on_all};
pub use reveals::{Family, RevealAt, RevealChange, RevealRun, Seeing, SeenAt};
pub use stand::{Stands, let_stand, lets_stand, no_more_there, reason};
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
    /// Its readings adjusted, a railing's on the wall side its stair's. `None` where it stands on
    /// given estimates, such as a drawn sample: then nothing is in doubt.
    pub survey: Option<&'a Survey>,
    /// The rest.
    pub solid: solids::Run<'a>,
}

/// Looks at everything. `solids` is the whole stair in the first run's frame, in which all places
/// of what is found are given.
#[must_use]
pub fn inspect(runs: &[Run<'_>], solids: &Solids, pack: &Pack) -> Inspection {
    inspected(runs, solids, pack, Care::Measure)
}

/// What is found on a drawn stair: one of thousands, of which only what is found counts.
#[must_use]
pub fn drawn(runs: &[Run<'_>], solids: &Solids, pack: &Pack, care: Care<'_>) -> Vec<Finding> {
    inspected(runs, solids, pack, care).findings
}

/// Every opening that a ball is sought in, with what bounds it.
#[must_use]
pub fn bounded(runs: &[Run<'_>], solids: &Solids, pack: &Pack) -> Vec<Bounded> {
    let bodies = Bodies::of(runs, solids);
    Look::at(&bodies, pack, Care::Measure).bounded()
}

fn inspected(runs: &[Run<'_>], solids: &Solids, pack: &Pack, care: Care<'_>) -> Inspection {
    let mut inspection = Inspection::default();
    let bodies = Bodies::of(runs, solids);
    let look = Look::at(&bodies, pack, care);
    let required = required::asked(runs, pack);
    for (run, openings) in runs.iter().zip(look.openings()) {
        let not = required.not_of(run.solid.number);
        let lessened = (!not.is_empty()).then(|| pack.without(&not));
        let pack = lessened.as_ref().unwrap_or(pack);
        let mut all = Vec::new();
        // What bounds an opening is looked at once for all runs; a guard that is not asked has none.
        let asked = |finding: &Finding| {
            let mut rules = pack.rules.iter();
            rules.any(|rule| rule.clause == finding.source)
        };
        for (opening, finding) in openings.into_iter().filter(|(_, one)| asked(one)) {
            inspection.openings.push(opening);
            all.push(finding);
        }
        let mut findings = railing::Railing::of(run, pack).findings();
        findings.extend(clearances(run, pack, &bodies));
        findings.extend(of_stair_itself(runs, run, pack));
        findings.extend(of_turns(run, pack));
        let (drifts, of_drifts) = drifts(run);
        inspection.drifts.extend(drifts);
        findings.extend(of_drifts);
        let (between_treads, of_pack) = of_pack(runs, run, pack);
        findings.extend(of_pack);
        inspection.openings.extend(between_treads);
        all.extend(told(runs, run, findings));
        doubtful::judge_again(&mut all, run, runs);
        inspection.findings.extend(all);
    }
    inspection.findings.extend(required.findings);
    inspection.not_asked = required.not;
    if let Some(first) = runs.first() {
        let at = first.solid.setout.rail.lower;
        let loads = loads::loads(first.solid.job, pack, at);
        inspection.findings.extend(loads);
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

/// The rails' clearances from walls, in the run's frame.
fn clearances(run: &Run<'_>, pack: &Pack, bodies: &Bodies<'_>) -> Vec<Finding> {
    railing::Railing::of(run, pack).clearances(run, bodies)
}

/// What shows along a run, piece by piece, in the first run's frame; and what the eye finds in it, in
/// the run's.
fn drifts(run: &Run<'_>) -> (Vec<RevealRun>, Vec<Finding>) {
    let solids::Run {
        job, site, setout, ..
    } = run.solid;
    let mut drifts = reveals::of_run(job, site, setout);
    let eye = job.design.eye();
    let findings = drifts
        .iter()
        .flat_map(|along| along.findings(&eye, job.tape))
        .collect();
    for along in &mut drifts {
        along.run = run.solid.number;
        along.place(|at| run.frame.to_first(at));
    }
    (drifts, findings)
}

/// What is found on a run's own steps, in its frame. A railing on the wall side has none.
fn of_stair_itself(runs: &[Run<'_>], run: &Run<'_>, pack: &Pack) -> Vec<Finding> {
    if run.solid.beside.is_some() {
        return Vec::new();
    }
    let (below, goes_on) = before_and_after(runs, run);
    stair::findings(run.solid.site, pack, run.solid.job.tape, &below, goes_on)
}

/// What one climbs before a run without a landing, and whether winders follow it without one.
fn before_and_after(runs: &[Run<'_>], run: &Run<'_>) -> (stair::Below, bool) {
    let base = run.solid.turns.first().and_then(|turn| runs.get(turn.base));
    let below = base.map_or_else(stair::Below::default, |base| {
        let frames = [&base.frame, &run.frame];
        stair::Below::of(base.solid.site, frames, run.solid.turns)
    });
    let goes_on = runs.iter().any(|other| {
        let mut turns = other.solid.turns.iter();
        turns.any(|turn| turn.base == run.solid.number)
    });
    (below, goes_on)
}

/// What a pack asks of a run beyond its rises and its railing, findings in the run's frame, openings
/// in the first run's.
fn of_pack(runs: &[Run<'_>], run: &Run<'_>, pack: &Pack) -> (Vec<Opening>, Vec<Finding>) {
    let (below, goes_on) = before_and_after(runs, run);
    let around = around::Around {
        run,
        runs,
        about: &OnceCell::new(),
        pack,
        below: &below,
        goes_on,
    };
    let (mut openings, findings) = around.findings();
    for opening in &mut openings {
        opening.at = run.frame.to_first(&opening.at);
    }
    (openings, findings)
}

/// What is found on the winders before a run, in the run's frame.
fn of_turns(run: &Run<'_>, pack: &Pack) -> Vec<Finding> {
    let mut findings = Vec::new();
    for turn in run.solid.turns {
        let mut found = winder_findings(&turn.site, &turn.mark, pack, run.solid.job.tape);
        if !turn.has_first_kick {
            // That kick is judged with the flight that has it.
            let first = format!("{}K1", turn.mark);
            found.retain(|finding| !finding.key.parts.contains(&first));
        }
        for finding in &mut found {
            finding.at = run.frame.from_first(&turn.frame.to_first(&finding.at));
        }
        findings.extend(found);
    }
    findings
}

/// Findings of a run's frame as they are told: in the first run's, under the run's number.
fn told(runs: &[Run<'_>], run: &Run<'_>, mut findings: Vec<Finding>) -> Vec<Finding> {
    let several = runs.iter().filter(|run| run.solid.beside.is_none()).count() > 1;
    for finding in &mut findings {
        finding.at = run.frame.to_first(&finding.at);
        finding.run = run.solid.number;
        // What is about a run as a whole names it where there are several.
        if several && finding.key.parts.is_empty() {
            finding.key.parts.push(run.name.to_owned());
            finding.says = format!("run {}: {}", run.name, finding.says);
        }
    }
    findings
}
