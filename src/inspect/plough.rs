//! Balusters' heads against the plough in the rail's underside.
//!
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use nalgebra::Vector3;

use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::BalusterSet;
use crate::solids::{Part, Plane};

use super::railing::{Limit, exact};
use super::whole::Stair;
use super::{Finding, Key, Kind, Run, Severity};

/// How far each baluster's head reaches past the sides of its rail's plough. A head that does not
/// come up to the plough is told by its seat.
pub(super) fn findings(stair: &Stair<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for run in stair.runs {
        let Some(plough) = &run.solid.job.design.rail.plough else {
            continue;
        };
        let (width, depth) = (plough.width.value, plough.depth.mm());
        for one in &run.solid.setout.balusters {
            let part = stair.place(&one.name).and_then(|place| stair.part(place));
            let reach = part.and_then(|part| across(run, one, part, depth));
            let past = reach.map(|reach| Length::mm(reach) - width / 2.0);
            found.extend(past.map(|past| finding(run, one, past, width)));
        }
    }
    found
}

/// How far a head reaches from the rail's centre line within the plough's depth; `None` where
/// nothing of it is there.
fn across(run: &Run<'_>, one: &BalusterSet, part: &Part, depth: f64) -> Option<f64> {
    let (rail, frame) = (&run.solid.setout.rail, &run.frame);
    let along = (rail.upper - rail.lower).try_normalize(f64::MIN_POSITIVE)?;
    let left = Vector3::z()
        .cross(&along)
        .try_normalize(f64::MIN_POSITIVE)?;
    let (point, up) = rail.underside(one.top.x);
    let (point, up) = (frame.to_first(&point), frame.way_to_first(&up));
    let (centre, left) = (frame.to_first(&rail.lower), frame.way_to_first(&left));
    let mouth = Plane::through(point, -up)?;
    let bottom = Plane::through(point + up * depth, up)?;
    part.pieces
        .iter()
        .filter_map(|piece| piece.clip(&mouth)?.clip(&bottom))
        .flat_map(|head| {
            let corners = head.corners().iter();
            let reach = corners.map(|corner| (corner - centre).dot(&left).abs());
            reach.collect::<Vec<_>>()
        })
        .max_by(f64::total_cmp)
}

fn finding(run: &Run<'_>, one: &BalusterSet, past: Length, width: Length) -> Finding {
    let job = run.solid.job;
    let (limit, rail) = (job.design.fitting.value, &run.solid.setout.rail.name);
    let print = |length: Length| job.tape.print(length);
    let says = format!(
        "the head of {} reaches {} {} the side of the plough in {rail}, which is {} wide; fitting \
         takes {} at most",
        one.name,
        print(past.abs()),
        if past > Length::ZERO {
            "past"
        } else {
            "within"
        },
        print(width),
        print(limit)
    );
    let key = Key {
        kind: Kind::PloughMiss,
        parts: vec![one.name.clone(), rail.clone()],
    };
    let limit = Limit {
        limit,
        sense: Sense::AtMost,
        source: "the job's plough and fitting allowance",
    };
    let at = run.frame.to_first(&one.top);
    let mut found = exact(key, past, limit, Severity::Fix, at, says);
    found.run = run.solid.number;
    found
}
