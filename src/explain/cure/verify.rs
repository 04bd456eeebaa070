//! Whether a change clears a trouble, and what else it does.

use crate::chain::Chain;
use crate::explain::Disturbance;
use crate::explain::again::absent;
use crate::inspect::{Finding, Verdict, judge};
use crate::measure::{Length, Tape};

use super::candidate::Candidate;
use super::search::excess;
use super::{Cure, Doctor};

impl Doctor<'_> {
    /// A quick look at the one quantity: whether a change may clear the trouble. Where parts are
    /// numbered anew by it, all is looked at.
    pub(super) fn clears(&self, candidate: &Candidate) -> bool {
        let Some(state) = self.state(candidate) else {
            return false;
        };
        let names = |setouts: &mut dyn Iterator<Item = usize>| setouts.collect::<Vec<usize>>();
        let now = names(&mut state.laid.setouts.iter().map(|one| one.balusters.len()));
        let before = names(&mut self.chain.runs.iter().map(|run| run.setout.balusters.len()));
        if now != before {
            let after = self.again.run_changed(&state.runs);
            return after.is_ok_and(|after| self.value_after(&after).is_some());
        }
        match state.finding(self.again.pack(), self.trouble) {
            // It must come as far within its limit as it is in doubt.
            Some(now) => {
                let doubt = self.trouble.doubt;
                judge(now.lower, now.upper, now.sense, now.limit, doubt) == Verdict::Met
            }
            None => absent(self.trouble).is_some(),
        }
    }

    /// Runs all of the chain on a change; `None` where the trouble stays.
    pub(super) fn verified(&self, candidate: &Candidate, disturbance: Disturbance) -> Option<Cure> {
        let own = &self.chain.runs.get(candidate.change.run)?.run;
        let state = self.state(candidate)?;
        let after = self.again.run_changed(&state.runs).ok()?;
        let value_after = self.value_after(&after)?;
        let edits = candidate.edits.iter();
        Some(Cure {
            what: candidate.what.clone(),
            edits: edits
                .map(|(field, value)| (own.path(field), value.clone()))
                .collect(),
            value_after,
            breaks: breaks(self.chain, &after, self.trouble, own.job.tape),
            disturbance,
        })
    }

    /// The worst value where the trouble was; `None` where one stays, or nothing tells that it has
    /// gone.
    fn value_after(&self, after: &Chain) -> Option<Length> {
        let findings = after.inspection.findings.iter();
        let here: Vec<&Finding> = findings
            .filter(|finding| finding.same_place(self.trouble))
            .collect();
        if here.iter().any(|finding| finding.verdict != Verdict::Met) {
            return None;
        }
        let worst = here.iter().max_by(|a, b| excess(a).total_cmp(&excess(b)));
        // A clash or a cut that has gone leaves no finding; any other quantity must still be there.
        worst
            .map(|finding| finding.value())
            .or_else(|| absent(self.trouble))
    }
}

/// The troubles that a change brings, and those that it worsens by more than a hair, worst first.
fn breaks(before: &Chain, after: &Chain, cured: &Finding, tape: Tape) -> Vec<String> {
    let hair = (tape.mark() / 8.0).as_mm();
    let told = after.inspection.troubles().into_iter().filter_map(|now| {
        let findings = before.inspection.findings.iter();
        let same = findings.filter(|old| old.same_place(now) && old.is_trouble());
        let worst = same.max_by(|a, b| excess(a).total_cmp(&excess(b)));
        match worst {
            None => Some(now.says.clone()),
            Some(old) if old.severity < now.severity => Some(now.says.clone()),
            Some(old) if old.same_place(cured) => None,
            Some(old) if excess(now) > excess(old) + hair => Some(format!("worsens: {}", now.says)),
            Some(_) => None,
        }
    });
    told.collect()
}
