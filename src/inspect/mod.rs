//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack. Out: [`Inspection`].
//! Does not: call the chain, or say why (that is `explain`).

pub mod ball;
pub mod clash;
mod continuity;
mod finding;
mod judge;
mod newels;
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
    let mut inspection = by_run(runs, pack, None);
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

/// The finding that has this key, as [`inspect`] would find it among all the others; `None` where
/// it would find none.
#[must_use]
pub fn one(runs: &[Run<'_>], pack: &Pack, key: &Key) -> Option<Finding> {
    let found = by_run(runs, pack, Some(key)).findings;
    found.into_iter().find(|finding| &finding.key == key)
}

fn by_run(runs: &[Run<'_>], pack: &Pack, only: Option<&Key>) -> Inspection {
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
        let (openings, findings) = one_run(run, several, pack, (&below, goes_on), only);
        inspection.openings.extend(openings);
        inspection.findings.extend(findings);
    }
    inspection
}

/// What is found on one run, its places in the first run's frame.
fn one_run(
    run: &Run<'_>,
    several: bool,
    pack: &Pack,
    (below, goes_on): (&stair::Below, bool),
    only: Option<&Key>,
) -> (Vec<Opening>, Vec<Finding>) {
    let solids::Run {
        job, site, setout, ..
    } = run.solid;
    let near = |kinds: &[Kind]| only.is_none_or(|key| kinds.contains(&key.kind));
    let openings = near(&[Kind::Opening, Kind::Triangle]);
    let clearances = near(&[Kind::WallClearance]);
    let about = if openings || clearances {
        solids::of_run(&run.solid)
    } else {
        Solids::default()
    };
    let railing = railing::Railing {
        job,
        site,
        setout,
        pack,
    };
    let (mut openings, mut findings) = if openings {
        opening::openings(job, site, setout, &about, pack, only)
    } else {
        (Vec::new(), Vec::new())
    };
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
