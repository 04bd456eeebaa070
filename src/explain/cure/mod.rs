//! Cures: single changes of the design that clear a trouble, each verified by running the chain
//! again, each saying what else it would break, least disturbance first.
//!
//! Families: lengths of the design moved along the tape ([`knobs`]), and choices taken otherwise
//! ([`choices`]). Pairs of changes are not looked for, nor changes of the house itself: nothing is
//! offered that an edit of the job could not verify.

mod candidate;
mod choices;
mod knobs;
mod knobs_infill;
mod lever;
mod search;
mod verify;

use crate::chain::Chain;
use crate::inspect::{Finding, Kind};
use crate::measure::Length;

use super::again::{Again, State};
use super::{Disturbance, cores};

use candidate::{Candidate, Change};
pub(super) use candidate::{read, typed};
pub(super) use choices::own_count;
pub(super) use lever::across;
pub use lever::{Lever, Pulled};

/// One change that clears a trouble.
#[derive(Clone, Debug)]
pub struct Cure {
    /// What to do, in trade words.
    pub what: String,
    /// The edits to the job: field path and the RON text of the new value.
    pub edits: Vec<(String, String)>,
    /// The value after it, measured again.
    pub value_after: Length,
    /// Troubles that it would bring or worsen, in one sentence each; empty where it breaks nothing.
    pub breaks: Vec<String>,
    /// What it does to the other parts.
    pub disturbance: Disturbance,
}

/// At most this many are offered: nobody reads on.
const MOST_CURES: usize = 6;

/// The verified cures of a trouble: those that break nothing first, each least disturbance first.
#[must_use]
pub fn cures(chain: &Chain, trouble: &Finding) -> Vec<Cure> {
    if of_the_house(trouble.key.kind) {
        return Vec::new();
    }
    let again = Again::free(chain);
    let doctor = Doctor {
        chain,
        trouble,
        again: &again,
    };
    let mut families: Vec<Family> = knobs::of(chain, trouble)
        .into_iter()
        .map(Family::Knob)
        .collect();
    families.extend(choices::of(chain, trouble).into_iter().map(Family::Choices));
    let found = cores::each(&families, |family| doctor.least(family));
    let mut found: Vec<(Candidate, Disturbance)> = found.into_iter().flatten().collect();
    found.sort_by(|(_, a), (_, b)| a.measure().total_cmp(&b.measure()));
    found.truncate(MOST_CURES);
    let cures = cores::each(&found, |(candidate, disturbance)| {
        doctor.verified(candidate, *disturbance)
    });
    let mut cures: Vec<Cure> = cures.into_iter().flatten().collect();
    // A stable sort keeps the order by disturbance.
    cures.sort_by_key(|cure| !cure.breaks.is_empty());
    cures
}

/// Ways of one kind, of which the least that clears is offered.
enum Family {
    /// A length that can be moved along the tape.
    Knob(knobs::Knob),
    /// Choices, the least change first.
    Choices(Vec<Candidate>),
}

/// What cures are looked for with.
struct Doctor<'a> {
    chain: &'a Chain,
    trouble: &'a Finding,
    again: &'a Again,
}

impl Doctor<'_> {
    /// The least change of a family that clears the trouble.
    fn least(&self, family: &Family) -> Option<(Candidate, Disturbance)> {
        let candidate = match family {
            Family::Knob(knob) => self.on_the_tape(knob)?,
            Family::Choices(candidates) => {
                let clears = |one: &&Candidate| self.clears(one);
                candidates.iter().find(clears)?.clone()
            }
        };
        let state = self.state(&candidate)?;
        let solids = state.laid.solids(&state.runs);
        let mut disturbance = Disturbance::between(&self.chain.solids, &solids);
        disturbance.opens_wall = candidate.opens_wall;
        Some((candidate, disturbance))
    }

    fn state(&self, candidate: &Candidate) -> Option<State> {
        let Change { run, job } = &candidate.change;
        let own = self.chain.runs.get(*run)?.run.with(job.clone());
        self.again.lay_changed(*run, own)
    }
}

/// Troubles of the stair as it was built: no change of the railing touches them.
#[must_use]
pub fn of_the_house(kind: Kind) -> bool {
    use Kind as K;
    matches!(
        kind,
        K::Rise
            | K::RiseVariation
            | K::RiseAdjacent
            | K::FlightRise
            | K::TreadDepth
            | K::TreadVariation
            | K::GoingAdjacent
            | K::TwoRisesAndGoing
            | K::Pitch
            | K::WinderWalkDepth
            | K::WinderLeastDepth
            | K::WinderVariation
            | K::Nosing
            | K::NosingVariation
            | K::TreadSlope
            | K::KickSlope
            | K::OpenKick
            | K::Risers
            | K::Headroom
            | K::NosingShape
            | K::LandingDepth
            | K::LandingWidth
            | K::Load
    )
}
