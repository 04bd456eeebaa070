//! Baluster centres on treads and floors, from two edges of each.

use crate::chain::{Chain, RunChain};
use crate::measure::Length;
use crate::setout::BalusterSet;
use crate::setout::dry_fit::Edge;
use crate::shop::cuts::{from_narrow, in_turn, winder_under};
use crate::site::Step;
use crate::site::winders::SideOf;

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
                part: run.site.surface_name(step),
                marks: here.iter().map(|one| mark(chain, run, one)).collect(),
            })
        })
        .collect()
}

/// A place on a surface, mm: off its first edge and its second, and how thick it is where that is told.
type OnSurface = ((Edge, f64), (Edge, f64), Option<f64>);

/// On a winder: square from its nosing, and square from its narrow end.
fn on_winder(chain: &Chain, run: &RunChain, one: &BalusterSet) -> Option<OnSurface> {
    let (turn, tread) = winder_under(chain, &run.site, one.step)?;
    let at = tread.plane.flat(&in_turn(turn, run, &one.foot));
    let (of, off) = from_narrow(&tread, &at);
    let edge = narrow_edge(of);
    let thick = tread.blank.thickness.as_mm();
    Some(((Edge::Nosing, at.y), (edge, off.as_mm()), Some(thick)))
}

/// The second edge of a mark on a winder: its narrow end, or where it has none its back.
pub(crate) const fn narrow_edge(of: SideOf) -> Edge {
    match of {
        SideOf::Back => Edge::NextKick,
        _ => Edge::NarrowEnd,
    }
}

fn mark(chain: &Chain, run: &RunChain, one: &BalusterSet) -> TreadMark {
    let site = &run.site;
    let q = site.outward * one.foot.y;
    let (along, across, thick) = match (site.step(one.step), site.level) {
        _ if let Some(found) = on_winder(chain, run, one) => found,
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
