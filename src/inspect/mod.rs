//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack. Out: [`Inspection`].
//! Does not: call the chain, or say why (that is `explain`).

pub mod ball;
mod bodies;
pub mod clash;
mod continuity;
mod finding;
mod judge;
mod newels;
mod one;
mod opening;
mod rail_end;
mod railing;
mod stair;
pub mod walls;
mod winders;
mod words;

use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::rules::{Pack, Quantity};
use crate::setout::Limits;
use crate::site::Frame;
use crate::solids::{self, PartKind, Solids};
use bodies::Bodies;
use opening::Look;

pub use finding::*;
pub use judge::judge;
pub use one::one;
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
    let bodies = Bodies::of(runs, solids);
    let look = Look::at(&bodies, pack);
    for (run, openings) in runs.iter().zip(look.openings()) {
        for (opening, finding) in openings {
            inspection.openings.push(opening);
            inspection.findings.push(finding);
        }
        let mut findings = railing::Railing::of(run, pack).findings();
        findings.extend(clearances(run, pack, &bodies));
        findings.extend(of_stair_itself(runs, run, pack));
        findings.extend(of_turns(run, pack));
        inspection.findings.extend(told(runs, run, findings));
    }
    inspection.clashes = clashes(solids);
    if let Some(first) = runs.first() {
        let tape = first.solid.job.tape;
        let found = inspection
            .clashes
            .iter()
            .filter_map(|clash| clash_finding(clash, solids, tape));
        inspection.findings.extend(found);
    }
    inspection
}

/// The rails' clearances from walls, in the run's frame.
fn clearances(run: &Run<'_>, pack: &Pack, bodies: &Bodies<'_>) -> Vec<Finding> {
    railing::Railing::of(run, pack).clearances(run, bodies)
}

/// What is found on a run's own steps, in its frame. A railing on the wall side has none.
fn of_stair_itself(runs: &[Run<'_>], run: &Run<'_>, pack: &Pack) -> Vec<Finding> {
    if run.solid.beside.is_some() {
        return Vec::new();
    }
    let base = run.solid.turns.first().and_then(|turn| runs.get(turn.base));
    let below = base.map_or_else(stair::Below::default, |base| {
        let frames = [&base.frame, &run.frame];
        stair::Below::of(base.solid.site, frames, run.solid.turns)
    });
    let goes_on = runs.iter().any(|other| {
        let mut turns = other.solid.turns.iter();
        turns.any(|turn| turn.base == run.solid.number)
    });
    stair::findings(run.solid.site, pack, run.solid.job.tape, &below, goes_on)
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

fn clashes(solids: &Solids) -> Vec<ClashFound> {
    clash::clashes(solids)
        .into_iter()
        .map(|clash| ClashFound {
            parts: [clash.a, clash.b].map(|index| solids.parts[index].name.clone()),
            depth: Length::mm(clash.depth),
            clear_by: clash.direction,
            at: clash.at,
        })
        .collect()
}

/// The run of a clash's second part: the later one, which gives way to what stands.
fn run_of(clash: &ClashFound, solids: &Solids) -> usize {
    let mut parts = solids.parts.iter().zip(&solids.runs);
    parts
        .find(|(part, _)| part.name == clash.parts[1])
        .map_or(0, |(_, run)| *run)
}

/// A clash as a finding. A newel in a stringer is told by how deep it cuts, not here again.
fn clash_finding(clash: &ClashFound, solids: &Solids, tape: Tape) -> Option<Finding> {
    let kind = |name: &str| {
        solids
            .parts
            .iter()
            .find(|part| part.name == name)
            .map(|part| part.kind)
    };
    let kinds = clash.parts.each_ref().map(|name| kind(name));
    let is = |wanted: PartKind| kinds.contains(&Some(wanted));
    if is(PartKind::Newel) && is(PartKind::Stringer) {
        return None;
    }
    let crossing = kinds
        .iter()
        .all(|kind| kind.is_some_and(of_stair))
        .then(|| runs_that_cross(clash, solids))
        .flatten();
    let limit = Length::ZERO;
    let sense = Sense::AtMost;
    Some(Finding {
        key: Key {
            kind: Kind::Clash,
            parts: clash.parts.to_vec(),
        },
        run: run_of(clash, solids),
        lower: clash.depth,
        upper: clash.depth,
        limit,
        sense,
        verdict: judge(clash.depth, clash.depth, sense, limit, None),
        severity: if crossing.is_some() {
            Severity::Stop
        } else {
            Severity::Fix
        },
        source: "two parts cannot stand in one place".to_owned(),
        at: clash.at,
        says: format!(
            "{} and {} stand {} in each other{}",
            clash.parts[0],
            clash.parts[1],
            tape.print(clash.depth),
            crossing.unwrap_or_default()
        ),
    })
}

fn of_stair(kind: PartKind) -> bool {
    use PartKind::{Kick, Skirt, Stringer, Tread};
    matches!(kind, Tread | Kick | Skirt | Stringer)
}

/// What to do where the stairs of two runs stand in each other.
fn runs_that_cross(clash: &ClashFound, solids: &Solids) -> Option<String> {
    let run = |name: &String| {
        let at = solids.parts.iter().position(|part| &part.name == name)?;
        solids.runs.get(at).copied()
    };
    let [first, second] = clash.parts.each_ref().map(run);
    (first != second).then(|| {
        let way = clash.clear_by;
        format!(
            ": the runs cross; the upper one clears if its start is moved that far along \
             ({:.2}, {:.2}, {:.2}) of the first run's frame",
            way.x, way.y, way.z
        )
    })
}
