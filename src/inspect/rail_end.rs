//! What the rail's ends meet: blocking behind a rosette, the face of a newel; and how the newels
//! themselves stand.

use nalgebra::{Point3, Vector3};

use crate::job::RailEnd;
use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::{NewelSet, RailSet, WallLanding, landings};

use super::railing::{Limit, PRACTICE, Railing, exact};
use super::{Finding, Key, Kind, Severity};

/// A rail's end needs wood behind all of it.
const NEEDS_WOOD: &str = "the rail's end needs wood behind it (common practice)";

impl Railing<'_> {
    /// Each rosette against the blocking that it must stand on.
    pub(super) fn landings(&self) -> Vec<Finding> {
        let landings = landings(self.job, self.site, &self.setout.rail);
        landings
            .iter()
            .map(|landing| self.landing(landing))
            .collect()
    }

    fn landing(&self, landing: &WallLanding<'_>) -> Finding {
        let (blocking, rosette) = (landing.blocking, landing.rosette);
        let off_along = landing.along - blocking.along.mm();
        let off_up = landing.point.z - blocking.up.mm();
        let over = |off: f64, size: f64| off.abs() + (rosette.mm() - size) / 2.0;
        let over_along = over(off_along, blocking.width.mm());
        let over_up = over(off_up, blocking.height.mm());
        let value = Length::mm(over_along.max(over_up).max(0.0));
        let height = if off_up >= 0.0 { "above" } else { "below" };
        let wall = landing.wall;
        let beside = Length::mm(off_along.abs());
        // What the tape shows as nothing is not told.
        let beside = if beside < self.job.tape.mark() / 2.0 {
            String::new()
        } else {
            format!(
                " and {} {}",
                self.print(beside),
                self.side_of(wall, off_along)
            )
        };
        let says = format!(
            "{} lands on wall {wall} {} {height}{beside} the middle of its blocking; its rosette \
             stands off the blocking by {}",
            self.the_rail(),
            self.print(Length::mm(off_up.abs())),
            self.print(value)
        );
        let parts = vec![self.setout.rail.name.clone(), wall.to_owned()];
        let key = Key {
            kind: Kind::Landing,
            parts,
        };
        exact(
            key,
            value,
            no_more_than_zero(),
            Severity::Stop,
            landing.point,
            says,
        )
    }

    /// Which way along a wall, in the words of one going up.
    fn side_of(&self, wall: &str, along: f64) -> &'static str {
        let outward = self
            .site
            .wall(wall)
            .map_or(0.0, |face| (face.to - face.from).y)
            * along;
        if outward * self.site.outward > 0.0 {
            "outward of"
        } else {
            "inward of"
        }
    }

    /// Each end of the rail against the face of the newel that it meets.
    pub(super) fn newel_ends(&self) -> Vec<Finding> {
        let rail = &self.job.design.rail;
        let set = &self.setout.rail;
        let named = |end: &RailEnd| match end {
            // A rail that passes over its newel meets no face of it.
            RailEnd::Newel(name) if set.over.iter().any(|over| &over.newel == name) => None,
            RailEnd::Newel(name) => self.setout.newel(name),
            RailEnd::Wall { .. } | RailEnd::HalfNewel { .. } => None,
        };
        [
            (named(&rail.lower), set.lower),
            (named(&rail.upper), set.upper),
        ]
        .into_iter()
        .filter_map(|(newel, point)| Some(self.newel_end(newel?, point)))
        .collect()
    }

    fn newel_end(&self, newel: &NewelSet, point: Point3<f64>) -> Finding {
        let value = Length::mm(off_face(&self.setout.rail, newel, point).max(0.0));
        let says = format!(
            "the end of rail {} stands {} off the face of newel {}; it must meet wood all over, \
             below the cap",
            self.setout.rail.name,
            self.print(value),
            newel.name
        );
        let parts = vec![self.setout.rail.name.clone(), newel.name.clone()];
        let key = Key {
            kind: Kind::Landing,
            parts,
        };
        exact(key, value, no_more_than_zero(), Severity::Stop, point, says)
    }

    /// Where the rail passes over a newel it lies on its head, be the newel its own run's or not.
    pub(super) fn on_newels(&self) -> Vec<Finding> {
        let set = &self.setout.rail;
        let over = set.over.iter().filter_map(|over| {
            let newel = self.setout.newel(&over.newel)?;
            let off = over.over_ground - over.thick - newel.height * newel.axis.z;
            let how = if off > Length::ZERO { "over" } else { "into" };
            let says = format!(
                "rail {} passes {} {how} the head of newel {}; it must lie on it",
                set.name,
                self.print(off.abs()),
                newel.name
            );
            let key = Key {
                kind: Kind::Landing,
                parts: vec![set.name.clone(), newel.name.clone()],
            };
            let limit = no_more_than_zero();
            Some(exact(key, off.abs(), limit, Severity::Stop, over.top, says))
        });
        over.collect()
    }

    /// A newel out of plumb over its own height.
    pub(super) fn newel_lean(&self, newel: &NewelSet) -> Finding {
        let axis = newel.axis;
        let value = newel.height * (axis.xy().norm() / axis.z);
        let seen = self.job.design.eye().lean.value;
        let says = format!(
            "newel {} leans {} over its height; {} is seen",
            newel.name,
            self.print(value),
            self.print(seen)
        );
        let key = Key {
            kind: Kind::Lean,
            parts: vec![newel.name.clone()],
        };
        let limit = Limit {
            limit: seen,
            sense: Sense::AtMost,
            source: PRACTICE,
        };
        let at = newel.foot + axis.into_inner() * newel.height.as_mm();
        exact(key, value, limit, Severity::Remark, at, says)
    }
}

fn no_more_than_zero() -> Limit<'static> {
    Limit {
        limit: Length::ZERO,
        sense: Sense::AtMost,
        source: NEEDS_WOOD,
    }
}

/// How far the worst corner of a rail's end lies outside a newel's face: past its sides, or above
/// where its cap begins, mm. Negative where all of it meets wood.
fn off_face(rail: &RailSet, newel: &NewelSet, end: Point3<f64>) -> f64 {
    let along = rail.upper - rail.lower;
    let left = Vector3::z().cross(&along).normalize();
    let up = along.cross(&left).normalize();
    let (half, depth) = (rail.width.as_mm() / 2.0, rail.depth.as_mm());
    let turn = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), newel.twist.as_radians());
    let across = turn * Vector3::y();
    let reach = newel.across.as_mm() / 2.0;
    let cap_begins = (newel.height - newel.cap.height()).as_mm();
    let corners = [(-half, 0.0), (half, 0.0), (-half, -depth), (half, -depth)];
    corners
        .iter()
        .map(|&(l, u)| {
            // Corners slide along the rail to the end cut; across and height barely change.
            let corner = end + left * l + up * u;
            let height = (corner - newel.foot).dot(&newel.axis);
            let middle = newel.foot + newel.axis.into_inner() * height;
            let aside = (corner - middle).dot(&across).abs();
            (aside - reach).max(height - cap_begins).max(-height)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}
