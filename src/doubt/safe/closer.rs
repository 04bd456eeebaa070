//! Gaps kept smaller by more balusters: where one is wider than it may be, one baluster more on that
//! tread, or along the rail.

use std::sync::Arc;

use crate::chain::{self, Chain};
use crate::inspect::{Care, Finding, Kind};
use crate::job::{Job, OneRun, Spacing, TreadCount};
use crate::measure::Length;
use crate::setout::spacing::count_on;

use super::super::model::Model;
use super::pull::Made;

/// So often one baluster more is tried.
const ROUNDS: usize = 3;
/// A gap wider by less than this is not, mm: what a ball is gauged to.
const HAIR_MM: f64 = 0.1;

/// The runs with balusters enough for every gap to keep within a length, and the edits for it; `None`
/// where a few more do not do it.
pub(super) fn closer(
    model: &Model,
    chain: &Chain,
    (mut runs, mut edits): Made,
    keep: Length,
) -> Option<Made> {
    for _ in 0..ROUNDS {
        let laid = chain::lay(&runs, &chain.estimates(), &[], model.pack()).ok()?;
        let findings = laid.findings(&runs, model.pack(), Care::Gauge);
        let wide = |one: &&Finding| {
            one.key.kind == Kind::Opening && (one.value() - keep).as_mm() > HAIR_MM
        };
        let wide: Vec<&Finding> = findings.iter().filter(wide).collect();
        if wide.is_empty() {
            return Some((runs, edits));
        }
        for (number, run) in runs.iter_mut().enumerate() {
            let here: Vec<&&Finding> = wide.iter().filter(|one| one.run == number).collect();
            if here.is_empty() {
                continue;
            }
            let placed = laid.placed.get(number)?;
            let mut treads: Vec<u32> = here
                .iter()
                .map(|one| {
                    placed
                        .site
                        .surface_under(placed.frame.from_first(&one.at).x)
                })
                .filter(|&step| step > 0 && (step as usize) < placed.site.steps.len())
                .collect();
            treads.sort_unstable();
            treads.dedup();
            let along = laid.setouts.get(number)?.choices.along_rail;
            let (job, edit) = more(run, &treads, along)?;
            edits.retain(|one: &(String, String)| one.0 != edit.0);
            edits.push(edit);
            *run = Arc::new(run.with(job));
        }
    }
    None
}

/// The job of a run with one baluster more where it is asked, and the edit.
fn more(run: &OneRun, treads: &[u32], along: Option<u32>) -> Option<(Job, (String, String))> {
    let mut job = run.job.clone();
    let spacing = job.design.balusters.spacing.clone();
    match &mut job.design.balusters.spacing {
        Spacing::PerTread { count, but, .. } => {
            if treads.is_empty() {
                return None;
            }
            for &step in treads {
                let more = count_on(&spacing, step) + 1;
                but.retain(|one| one.step != step);
                if more != *count {
                    but.push(TreadCount { step, count: more });
                }
            }
            but.sort_by_key(|one| one.step);
            let text: Vec<String> = but
                .iter()
                .map(|one| format!("(step: {}, count: {})", one.step, one.count))
                .collect();
            let field = run.path("design.balusters.spacing.PerTread.but");
            let value = format!("[{}]", text.join(", "));
            Some((job, (field, value)))
        }
        Spacing::AlongRail { count } => {
            let more = along? + 1;
            *count = Some(more);
            let field = run.path("design.balusters.spacing");
            Some((job, (field, format!("AlongRail(count: Some({more}))"))))
        }
        Spacing::Panels { .. } => None,
    }
}
