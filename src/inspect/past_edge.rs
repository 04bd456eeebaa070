//! Leaning and turned parts past the edge of their tread, plumb over it, at any height from the
//! foot to the rail.
//!
//! mm in the run's frame.

use nalgebra::Point3;

use crate::measure::{Length, tolerance};
use crate::rules::Sense;
use crate::setout::{BalusterSet, NewelSet};
use crate::solids::{Part, Solids};

use super::railing::{Limit, Railing, exact};
use super::whole::by_name;
use super::{Finding, Key, Kind, Severity};

/// How far past an edge a point stands, and the point.
type Past = (f64, Point3<f64>);

impl Railing<'_> {
    /// How far every baluster that stands on a tread, and every newel that leans, reaches past that
    /// tread's open end or nosing.
    pub(super) fn past_edges(&self, solids: &Solids) -> Vec<Finding> {
        let parts = by_name(solids);
        let balusters = self.setout.balusters.iter().filter_map(|one| {
            if !self.setout.on_treads() {
                return None;
            }
            let (past, at) = self.baluster_past(one, parts.get(one.name.as_str())?)?;
            let tread = self.ground(one.step);
            Some(self.past_finding(&one.name, &tread, Length::mm(past), at))
        });
        let newels = self.setout.newels.iter().filter_map(|newel| {
            let (step, (past, at)) = self.newel_past(newel)?;
            let tread = self.ground(step);
            Some(self.past_finding(&newel.name, &tread, Length::mm(past), at))
        });
        balusters.chain(newels).collect()
    }

    fn ground(&self, step: u32) -> String {
        match step {
            0 => self.site.named("F0"),
            step if step as usize == self.site.steps.len() => self.site.named("F1"),
            step => self.site.named(format_args!("T{step}")),
        }
    }

    /// The furthest of a baluster's corners above its foot past its tread's open end or nosing.
    fn baluster_past(&self, one: &BalusterSet, part: &Part) -> Option<Past> {
        let open = self.site.open_end(one.step)?;
        let step = self.site.step(one.step);
        let corners = part.pieces.iter().flat_map(|piece| piece.corners());
        corners
            .map(|corner| {
                let q = self.site.outward * corner.y;
                let before = step.map_or(f64::NEG_INFINITY, |step| step.nosing_at(q) - corner.x);
                ((q - open).max(before), *corner)
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// What a newel's lean adds to how far it stands past the open end of the tread that it goes
    /// into or stands on: where its foot stands past that end by design, only what is beyond.
    fn newel_past(&self, newel: &NewelSet) -> Option<(u32, Past)> {
        let lean = newel.axis.xy().norm();
        if lean < tolerance::PARALLEL {
            return None;
        }
        let standing = self.site.tread_under(newel.foot.x);
        let notched = newel.notches.iter().map(|notch| notch.step).min();
        let step = notched.unwrap_or(standing);
        let open = self.site.open_end(step)?;
        let rail = &self.setout.rail;
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
                (self.site.outward * point.y - open, point)
            });
            ring.max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let ((at_foot, _), (at_rail, at)) = (past(0.0)?, past(up)?);
        Some((step, (at_rail - at_foot.max(0.0), at)))
    }

    fn past_finding(&self, part: &str, tread: &str, past: Length, at: Point3<f64>) -> Finding {
        let allowed = self.job.design.past_edge.as_ref();
        let limit = allowed.map_or(Length::ZERO, |allowed| allowed.value);
        let says = if past > Length::ZERO {
            format!(
                "{part} stands {} past the edge of {tread} between its foot and the rail, plumb \
                 over it; {} at most is asked",
                self.print(past),
                self.print(limit)
            )
        } else {
            format!(
                "{part} stays {} inside the edges of {tread} from its foot to the rail",
                self.print(past.abs())
            )
        };
        let key = Key {
            kind: Kind::PastEdge,
            parts: vec![part.to_owned(), tread.to_owned()],
        };
        let limit = Limit {
            limit,
            sense: Sense::AtMost,
            source: if allowed.is_some() {
                "the job's allowance past tread edges"
            } else {
                "common practice"
            },
        };
        exact(key, past, limit, Severity::Fix, at, says)
    }
}
