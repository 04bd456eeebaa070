//! Balusters: foot, top, lean, lengths and angles, one by one.

use nalgebra::{Point3, Unit, Vector3};

use crate::job::{Align, Job, Section};
use crate::measure::{Angle, Length};
use crate::site::Site;

use super::rail::Course;
use super::spacing::Spot;
use super::{BalusterLine, BalusterSet, RailSet};

/// A plane by a point and its upward normal.
#[derive(Clone, Copy, Debug)]
struct Surface {
    point: Point3<f64>,
    up: Vector3<f64>,
}

impl Surface {
    /// Distance along a direction from a point to this plane.
    fn reach(&self, from: &Point3<f64>, direction: &Vector3<f64>) -> f64 {
        (self.point - from).dot(&self.up) / direction.dot(&self.up)
    }

    /// Height of the plane over a place.
    fn height(&self, x: f64, y: f64) -> f64 {
        let place = Point3::new(x, y, 0.0);
        self.reach(&place, &Vector3::z())
    }
}

/// What balusters stand between.
pub(super) struct Between<'a> {
    pub(super) job: &'a Job,
    pub(super) site: &'a Site,
    pub(super) line: &'a BalusterLine,
    pub(super) rail: (&'a RailSet, Course),
    pub(super) bottom: Option<(&'a RailSet, Course)>,
    /// The reveal that even balusters keep.
    pub(super) even_reveal: f64,
}

impl Between<'_> {
    /// The rail's underside over a place; under a fitting's bend the plane that touches it there.
    fn underside(&self, x: f64) -> Surface {
        let (point, up) = self.rail.0.underside(x);
        Surface { point, up }
    }

    /// What a baluster stands on at a spot.
    fn ground(&self, spot: &Spot) -> Surface {
        if let Some((rail, course)) = &self.bottom {
            let up = course.up();
            return Surface {
                point: rail.lower + up * rail.depth.as_mm(),
                up,
            };
        }
        let (climb, tilt) = self.site.slopes(spot.step);
        let up = Vector3::new(-climb, -tilt * self.site.outward, 1.0).normalize();
        Surface {
            point: self
                .site
                .at(spot.x, 0.0, self.site.height_of(spot.step, spot.x, 0.0)),
            up,
        }
    }

    fn foot_offset(&self, spot: &Spot) -> f64 {
        if let Some(built) = spot.q {
            return built;
        }
        let plumb = self.line.at(spot.x);
        let share = match self.job.design.balusters.align {
            Align::Plumb => 0.0,
            Align::EvenReveal => 1.0,
            Align::Share(share) => share,
        };
        let half = self.job.design.balusters.section.across().as_mm() / 2.0;
        // A tread that reaches past the others has no end to keep an even reveal to.
        let comparable = !self.job.flight.reaches_beyond(spot.step);
        let even = self
            .site
            .step(spot.step)
            .filter(|_| comparable)
            .map_or(plumb, |step| step.open_q - self.even_reveal - half);
        plumb + share * (even - plumb)
    }

    /// Sets out one baluster.
    pub(super) fn baluster(&self, name: String, spot: &Spot) -> BalusterSet {
        let design = &self.job.design.balusters;
        let (ground, underside) = (self.ground(spot), self.underside(spot.x));
        let outward = self.site.outward;
        let (foot_q, top_q) = (self.foot_offset(spot), self.line.at(spot.x));
        let foot_y = outward * foot_q;
        let foot = Point3::new(spot.x, foot_y, ground.height(spot.x, foot_y));
        let top_y = outward * top_q;
        let top = Point3::new(spot.x, top_y, underside.height(spot.x, top_y));
        let axis = Unit::try_new(top - foot, f64::MIN_POSITIVE).unwrap_or(Vector3::z_axis());
        let (along, across) = (design.section.along(), design.section.across());
        let lengths = corner_lengths(
            &foot,
            &axis,
            along.as_mm(),
            across.as_mm(),
            &ground,
            &underside,
        );
        let angle = |surface: &Surface| Angle::radians(axis.angle(&surface.up));
        BalusterSet {
            name,
            step: spot.step,
            place: spot.place,
            foot,
            top,
            along,
            across,
            round: matches!(design.section, Section::Round(_)),
            lean: Length::mm(top_q - foot_q),
            long_point: Length::mm(lengths.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
            short_point: Length::mm(lengths.iter().copied().fold(f64::INFINITY, f64::min)),
            top_angle: angle(&underside),
            foot_angle: angle(&ground),
            peg: (design.peg.value, design.peg_diameter.value),
            seat: design.seat.value,
            edge_distance: self.edge_distance(spot, foot_q),
        }
    }

    /// From the side of the peg to the nearer of the tread's open end and its nosing.
    fn edge_distance(&self, spot: &Spot, foot_q: f64) -> Length {
        let radius = self.job.design.balusters.peg_diameter.mm() / 2.0;
        let nearest = self.site.step(spot.step).map_or(f64::INFINITY, |step| {
            (step.open_q - foot_q).min(spot.x - step.nosing_x())
        });
        Length::mm(nearest - radius)
    }
}

/// Lengths along the piece at its four corners, from the ground to the underside.
fn corner_lengths(
    foot: &Point3<f64>,
    axis: &Unit<Vector3<f64>>,
    along: f64,
    across: f64,
    ground: &Surface,
    underside: &Surface,
) -> [f64; 4] {
    let (x, y) = (Vector3::x(), axis.cross(&Vector3::x()));
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(i, j)| {
        let corner = foot + x * (i * along) + y * (j * across);
        underside.reach(&corner, axis) - ground.reach(&corner, axis)
    })
}
