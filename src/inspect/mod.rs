//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack. Out: [`Inspection`].
//! Does not: call the chain, or say why (that is `explain`).

pub mod ball;
pub mod clash;
mod finding;
mod judge;
mod opening;
mod rail_end;
mod railing;
mod stair;
pub mod walls;

use crate::job::{Duty, Job};
use crate::measure::{Length, Tape};
use crate::rules::Pack;
use crate::setout::{Limits, SetOut};
use crate::site::Site;
use crate::solids::{PartKind, Solids};

pub use finding::*;
pub use judge::judge;
pub use railing::{LEAN_SEEN, REVEAL_DRIFT};

/// The limits of a pack that the set-out works to, for a rail of this duty.
#[must_use]
pub fn limits(pack: &Pack, duty: Duty) -> Limits {
    let (low, high) = railing::height_rules(duty);
    let lows = low.into_iter().filter_map(|quantity| pack.length(quantity));
    Limits {
        rail_low: lows.max_by(Length::total_cmp),
        rail_high: high.and_then(|quantity| pack.length(quantity)),
        gap_under: pack.length(crate::rules::Quantity::OpeningStair),
    }
}

/// Looks at everything.
#[must_use]
pub fn inspect(
    job: &Job,
    site: &Site,
    setout: &SetOut,
    solids: &Solids,
    pack: &Pack,
) -> Inspection {
    let railing = railing::Railing {
        job,
        site,
        setout,
        pack,
    };
    let (openings, of_openings) = opening::openings(job, site, setout, solids, pack);
    let clashes = clashes(solids);
    let mut findings = of_openings;
    findings.extend(railing.findings());
    findings.extend(railing.clearances(solids));
    findings.extend(
        clashes
            .iter()
            .filter_map(|clash| clash_finding(clash, solids, job.tape)),
    );
    findings.extend(stair::findings(site, pack, job.tape));
    Inspection {
        findings,
        openings,
        clashes,
    }
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
    let limit = Length::ZERO;
    let sense = Sense::AtMost;
    Some(Finding {
        key: Key {
            kind: Kind::Clash,
            parts: clash.parts.to_vec(),
        },
        lower: clash.depth,
        upper: clash.depth,
        limit,
        sense,
        verdict: judge(clash.depth, clash.depth, sense, limit, None),
        severity: Severity::Fix,
        source: "two parts cannot stand in one place".to_owned(),
        at: clash.at,
        says: format!(
            "{} and {} stand {} in each other",
            clash.parts[0],
            clash.parts[1],
            tape.print(clash.depth)
        ),
    })
}
