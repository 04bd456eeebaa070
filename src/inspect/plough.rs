//! Balusters' heads against the plough in the rail's underside.
//!
//! mm in the run's frame.

use nalgebra::Vector3;

use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::BalusterSet;
use crate::solids::{Convex, Part, Plane, Solids};

use super::railing::{Limit, Railing, exact};
use super::whole::by_name;
use super::{Finding, Key, Kind, Severity};

impl Railing<'_> {
    /// How far each baluster's head reaches past the sides of the rail's plough. A head that does
    /// not come up to the plough is told by its seat.
    pub(super) fn ploughs(&self, solids: &Solids) -> Vec<Finding> {
        let Some(plough) = &self.job.design.rail.plough else {
            return Vec::new();
        };
        let (width, depth) = (plough.width.value, plough.depth.mm());
        let parts = by_name(solids);
        let balusters = self.setout.balusters.iter();
        balusters
            .filter_map(|one| {
                let part = parts.get(one.name.as_str())?;
                let reach = self.across_plough(one, part, depth)?;
                Some(self.plough_finding(one, Length::mm(reach) - width / 2.0, width))
            })
            .collect()
    }

    /// How far the head reaches from the rail's centre line within the plough's depth; `None` where
    /// nothing of it is there.
    fn across_plough(&self, one: &BalusterSet, part: &Part, depth: f64) -> Option<f64> {
        let rail = &self.setout.rail;
        let along = (rail.upper - rail.lower).try_normalize(f64::MIN_POSITIVE)?;
        let left = Vector3::z()
            .cross(&along)
            .try_normalize(f64::MIN_POSITIVE)?;
        let (point, up) = rail.underside(one.top.x);
        let mouth = Plane::through(point, -up)?;
        let bottom = Plane::through(point + up * depth, up)?;
        part.pieces
            .iter()
            .filter_map(|piece| piece.clip(&mouth)?.clip(&bottom))
            .flat_map(|head: Convex| {
                let corners = head.corners().iter();
                let reach = corners.map(|corner| (corner - rail.lower).dot(&left).abs());
                reach.collect::<Vec<_>>()
            })
            .max_by(f64::total_cmp)
    }

    fn plough_finding(&self, one: &BalusterSet, past: Length, width: Length) -> Finding {
        let limit = self.job.design.fitting.value;
        let rail = &self.setout.rail.name;
        let says = format!(
            "the head of {} reaches {} {} the side of the plough in {rail}, which is {} wide; \
             fitting takes {} at most",
            one.name,
            self.print(past.abs()),
            if past > Length::ZERO {
                "past"
            } else {
                "within"
            },
            self.print(width),
            self.print(limit)
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
        exact(key, past, limit, Severity::Fix, one.top, says)
    }
}
