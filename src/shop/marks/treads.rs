//! Baluster centres on treads and floors, from two edges of each.

use crate::chain::{Chain, RunChain};
use crate::measure::Length;
use crate::setout::BalusterSet;
use crate::setout::dry_fit::Edge;
use crate::site::Step;

use super::{BoreMark, TreadMark, TreadMarks};

/// The surfaces that balusters of a run stand on; none where a shoe, bottom rail or panels lie under
/// them.
pub(super) fn treads(chain: &Chain, run: &RunChain) -> Vec<TreadMarks> {
    if !run.setout.on_treads() {
        return Vec::new();
    }
    let balusters = &run.setout.balusters;
    balusters
        .chunk_by(|a, b| a.step == b.step)
        .filter_map(|here| {
            let step = here.first()?.step;
            Some(TreadMarks {
                step,
                part: part(chain, run, step),
                marks: here.iter().map(|one| mark(run, one)).collect(),
            })
        })
        .collect()
}

/// A railing on the wall side stands on its neighbour's treads.
fn part(chain: &Chain, run: &RunChain, step: u32) -> String {
    let stair = run.run.beside.as_ref();
    let site = stair
        .and_then(|(number, _)| chain.runs.get(*number))
        .map_or(&run.site, |run| &run.site);
    match step {
        0 => site.named("F0"),
        last if last == run.run.job.flight.count => site.named("F1"),
        step => site.named(format_args!("T{step}")),
    }
}

fn mark(run: &RunChain, one: &BalusterSet) -> TreadMark {
    let site = &run.site;
    let q = site.outward * one.foot.y;
    let (along, across, thick) = match (site.step(one.step), site.level) {
        (Some(step), _) => {
            let (along, across) = on_tread(step, one.foot.x, q);
            (along, across, Some(step.thickness))
        }
        (None, Some(level)) => (
            (Edge::RunStart, one.foot.x),
            (Edge::FloorEdge, level.open_q - q),
            Some(level.thickness),
        ),
        // On the lower floor, before the first kick: back from its face.
        (None, None) => {
            let first = site.steps.first();
            let face = first.map_or(0.0, |step| step.kick_at(q));
            let open = first.map_or(0.0, |step| step.open_q);
            (
                (Edge::KickFace, face - one.foot.x),
                (Edge::OpenEnd, open - q),
                None,
            )
        }
    };
    let (deep, diameter) = one.peg;
    TreadMark {
        part: one.name.clone(),
        along: (along.0, Length::mm(along.1)),
        across: (across.0, Length::mm(across.1)),
        bore: (deep > Length::ZERO).then(|| BoreMark {
            diameter,
            deep,
            left: thick.map(|thick| Length::mm(thick) - deep),
        }),
    }
}

/// Square from the nosing and from the open end, mm, along the tread's surface.
fn on_tread(step: &Step, x: f64, q: f64) -> ((Edge, f64), (Edge, f64)) {
    // A kick that runs askew turns the nosing, and square to it is shorter than along the flight.
    let square = 1.0 / step.skew.hypot(1.0);
    let back = (x - step.nosing_at(q)) * square * step.climb.hypot(1.0);
    let inward = (step.open_q - q) * step.tilt.hypot(1.0);
    ((Edge::Nosing, back), (Edge::OpenEnd, inward))
}
