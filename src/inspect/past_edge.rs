//! Leaning and turned parts past the edge of their tread, plumb over it, at any height from the
//! foot to the rail.
//!
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use nalgebra::Point3;

use crate::measure::{Length, tolerance};
use crate::rules::Sense;
use crate::setout::{BalusterSet, NewelSet};
use crate::solids::{Convex, Part};

use super::railing::{Limit, PRACTICE, exact};
use super::whole::Stair;
use super::{Finding, Key, Kind, Run, Severity};

/// How far past an edge a point stands, mm, and the point in the run's frame.
type Past = (f64, Point3<f64>);

/// How far every baluster that stands on a tread, and every newel that leans, reaches past that
/// tread's open end or nosing.
pub(super) fn findings(stair: &Stair<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for run in stair.runs {
        let setout = run.solid.setout;
        if setout.on_treads() {
            let balusters = setout.balusters.iter();
            found.extend(balusters.filter_map(|one| {
                let part = stair.part(stair.place(&one.name)?)?;
                let past = baluster(run, one, part)?;
                Some(finding(run, &one.name, one.step, past))
            }));
        }
        found.extend(setout.newels.iter().filter_map(|one| {
            let (step, past) = newel(run, one)?;
            Some(finding(run, &one.name, step, past))
        }));
    }
    found
}

/// What a part stands on, by its name.
fn ground(run: &Run<'_>, step: u32) -> String {
    run.solid.site.surface_name(step)
}

/// The furthest of a baluster's corners past its tread's open end or nosing.
fn baluster(run: &Run<'_>, one: &BalusterSet, part: &Part) -> Option<Past> {
    let site = run.solid.site;
    let open = site.open_end(one.step)?;
    let step = site.step(one.step);
    let corners = part.pieces.iter().flat_map(Convex::corners);
    corners
        .map(|corner| {
            let corner = run.frame.from_first(corner);
            let q = site.outward * corner.y;
            let before = step.map_or(f64::NEG_INFINITY, |step| step.nosing_at(q) - corner.x);
            ((q - open).max(before), corner)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// What a newel's lean adds to how far it stands past the open end of the tread that it goes into
/// or stands on: where its foot stands past that end by design, only what is beyond.
fn newel(run: &Run<'_>, newel: &NewelSet) -> Option<(u32, Past)> {
    let site = run.solid.site;
    if newel.axis.xy().norm() < tolerance::PARALLEL {
        return None;
    }
    let notched = newel.notches.iter().map(|notch| notch.step).min();
    let step = notched.unwrap_or_else(|| site.tread_under(newel.foot.x));
    let open = site.open_end(step)?;
    let rail = &run.solid.setout.rail;
    let end = if newel.at_foot {
        rail.lower
    } else {
        rail.upper
    };
    let up = (end.z - newel.foot.z) / newel.axis.z;
    let past = |up: f64| {
        let ring = newel.footprint.iter().map(|corner| {
            let foot = Point3::new(corner.x, corner.y, newel.foot.z);
            let point = foot + newel.axis.into_inner() * up;
            (site.outward * point.y - open, point)
        });
        ring.max_by(|a, b| a.0.total_cmp(&b.0))
    };
    let ((at_foot, _), (at_rail, at)) = (past(0.0)?, past(up)?);
    Some((step, (at_rail - at_foot.max(0.0), at)))
}

fn finding(run: &Run<'_>, part: &str, step: u32, (past, at): Past) -> Finding {
    let (job, tread) = (run.solid.job, ground(run, step));
    let past = Length::mm(past);
    let print = |length: Length| job.tape.print(length);
    let allowed = job.design.past_edge.as_ref();
    let limit = allowed.map_or(Length::ZERO, |allowed| allowed.value);
    let newel = run
        .solid
        .setout
        .all_newels()
        .any(|newel| newel.name == part);
    let says = if newel && past > Length::ZERO {
        format!(
            "{part} leans {} further past the edge of {tread} by the rail than it stands at its \
             foot; {} at most is asked",
            print(past),
            print(limit)
        )
    } else if newel {
        format!("{part} leans no further past the edge of {tread} than it stands at its foot")
    } else if past > Length::ZERO {
        format!(
            "{part} stands {} past the edge of {tread} between its foot and the rail, plumb over \
             it; {} at most is asked",
            print(past),
            print(limit)
        )
    } else {
        format!(
            "{part} stays {} inside the edges of {tread} from its foot to the rail",
            print(past.abs())
        )
    };
    let key = Key {
        kind: Kind::PastEdge,
        parts: vec![part.to_owned(), tread],
    };
    let limit = Limit {
        limit,
        sense: Sense::AtMost,
        source: match allowed {
            Some(_) => "the job's allowance past tread edges",
            None => PRACTICE,
        },
    };
    let at = run.frame.to_first(&at);
    let mut found = exact(key, past, limit, Severity::Fix, at, says);
    found.run = run.solid.number;
    found
}
