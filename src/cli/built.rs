//! What has been fitted beside its plan, as `setout` tells it.

use super::Outcome;
use super::page::{Page, Push};
use super::source::{self, Source};
use crate::chain::{self, Chain};
use crate::measure::Tape;
use crate::setout::built::{BuiltDifference, Measured};

/// What has been fitted beside the plan; the plan is set out only where something has been.
pub(super) fn differences(source: &Source, chain: &Chain) -> Result<Vec<BuiltDifference>, Outcome> {
    let job = source.job();
    if job.built.is_empty() && job.runs.iter().all(|run| run.built.is_empty()) {
        return Ok(Vec::new());
    }
    match chain::run_planned(job) {
        Ok(plan) => Ok(chain::as_built(chain, &plan)),
        Err(error) => Err(source::say_chain_fault(source, error)),
    }
}

/// Writes the differences as a table.
pub(super) fn write(page: &mut Page, built: &[BuiltDifference], tape: Tape) {
    if built.is_empty() {
        return;
    }
    page.heading("As built");
    page.wrapped("  ", NOTE);
    let heads = ["", "", "", "planned", "built", "off by"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(built.iter().map(|one| {
        let print = |length| tape.print(length);
        vec![
            one.part.clone(),
            one.place.clone(),
            word(one.of).to_owned(),
            one.plan.map_or_else(|| "-".to_owned(), print),
            print(one.built),
            one.difference().map_or_else(|| "-".to_owned(), print),
        ]
    }));
    let pushes = [
        Push::Left,
        Push::Left,
        Push::Left,
        Push::Right,
        Push::Right,
        Push::Right,
    ];
    page.table(2, &pushes, &rows);
    for one in built.iter().filter(|one| one.is_far()) {
        let part = if one.part.is_empty() {
            &one.place
        } else {
            &one.part
        };
        let says = match one.plan {
            Some(_) => format!("{part} is far from where it was planned: is the reading right?"),
            None => format!("{part} is not in the plan: is it counted right?"),
        };
        page.wrapped("  ", &says);
    }
}

const NOTE: &str = "What has been fitted stands as it was read, and the rest is set out around it. \
                    Off by: built less planned; sideways is outward from the part's own \
                    baluster line.";

/// What was measured, in a word.
const fn word(of: Measured) -> &'static str {
    match of {
        Measured::Forward => "forward",
        Measured::Outward => "sideways",
        Measured::Height => "height",
    }
}
