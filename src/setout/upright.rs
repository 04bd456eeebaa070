//! Balusters: foot, top, lean, lengths and angles, one by one.

use nalgebra::{Point3, Unit, Vector3};

use crate::job::{Align, Job, Section, Top};
use crate::measure::{Angle, Length};
use crate::site::Site;

use super::base::Underfoot;
use super::rail::Course;
use super::spacing::Spot;
use super::{BalusterLine, BalusterSet, RailSet, Turned};

/// The outward offset of a foot at a share of the way from plumb to an even reveal, mm.
pub(super) fn foot_offset(plumb: f64, even: f64, share: f64) -> f64 {
    plumb + share * (even - plumb)
}

/// The reveal that even balusters keep, mm: the wanted one, or the mean of those that plumb ones
/// show.
pub(super) fn even_reveal(job: &Job, plumb: impl Iterator<Item = f64>) -> f64 {
    job.design.reveal.as_ref().map_or_else(
        || {
            let (sum, count) = plumb.fold((0.0, 0.0), |(sum, count), one| (sum + one, count + 1.0));
            sum / f64::max(count, 1.0)
        },
        crate::job::Len::mm,
    )
}

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
    pub(super) underfoot: Option<Underfoot<'a>>,
    /// The reveal that even balusters keep.
    pub(super) even_reveal: f64,
}

impl Between<'_> {
    /// The rail's underside over a place, or the bottom of the plough in it; under a fitting's bend
    /// the plane that touches it there.
    fn underside(&self, x: f64) -> Surface {
        let (point, up) = self.rail.0.underside(x);
        let plough = self.job.design.rail.plough.as_ref();
        let depth = plough.map_or(0.0, |plough| plough.depth.mm());
        Surface {
            point: point + up * depth,
            up,
        }
    }

    /// What a baluster stands on at a spot.
    fn ground(&self, spot: &Spot) -> Surface {
        if let Some(under) = &self.underfoot {
            let up = under.course.up();
            return Surface {
                point: under.piece.lower + up * (under.piece.depth.as_mm() - under.plough),
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
        // On a bottom rail or a shoe they stand in its middle: there is no tread end to follow.
        if self.underfoot.is_some() {
            return plumb;
        }
        let share = match self.job.design.balusters.align {
            Align::Plumb => 0.0,
            Align::EvenReveal => 1.0,
            Align::Share(share) => share,
        };
        // A tread that reaches past the others has no end to keep an even reveal to.
        let comparable = !self.job.flight.reaches_beyond(spot.step);
        let even = self
            .site
            .step(spot.step)
            .filter(|_| comparable)
            .map_or(plumb, |step| {
                step.open_q - self.even_reveal - spot.half_across
            });
        foot_offset(plumb, even, share)
    }

    /// Sets out one baluster.
    pub(super) fn baluster(&self, name: String, spot: &Spot) -> BalusterSet {
        let design = &self.job.design.balusters;
        let [foot_off, head_off] = [spot.off.foot, spot.off.head].map(|off| off.map(Length::as_mm));
        let top_x = spot.x - foot_off[0] + head_off[0];
        let (ground, underside) = (self.ground(spot), self.underside(top_x));
        let outward = self.site.outward;
        let foot_q = self.foot_offset(spot) + foot_off[1];
        let top_q = self.line.at(top_x) + head_off[1];
        let foot_y = outward * foot_q;
        let foot = Point3::new(spot.x, foot_y, ground.height(spot.x, foot_y));
        let top_y = outward * top_q;
        let top = Point3::new(top_x, top_y, underside.height(top_x, top_y));
        let axis = Unit::try_new(top - foot, f64::MIN_POSITIVE).unwrap_or(Vector3::z_axis());
        let section = design.section_at(spot.number);
        let (along, across) = (section.along(), section.across());
        let (turned, pin_top) = turning(section);
        let pegged = self.underfoot.is_none_or(|under| under.pegged);
        let peg = if pegged {
            (design.peg.value, design.peg_diameter.value)
        } else {
            (Length::ZERO, Length::ZERO)
        };
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
            marked: spot.number,
            name,
            step: spot.step,
            place: spot.place,
            foot,
            top,
            along,
            across,
            round: section.is_round(),
            of: design.of,
            turned,
            pin_top,
            lean: Length::mm(top_q - foot_q),
            long_point: Length::mm(lengths.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
            short_point: Length::mm(lengths.iter().copied().fold(f64::INFINITY, f64::min)),
            top_angle: angle(&underside),
            foot_angle: angle(&ground),
            peg,
            seat: design.seat.value,
            edge_distance: self.edge_distance(spot, foot_q),
        }
    }

    /// From the side of the peg to the nearest of the tread's open end, the joint of its return
    /// nosing and its nosing; none where there is no tread under it.
    fn edge_distance(&self, spot: &Spot, foot_q: f64) -> Option<Length> {
        let balusters = &self.job.design.balusters;
        let radius = balusters.peg_diameter.mm() / 2.0;
        let joint = |step: &crate::site::Step| {
            let joint = balusters.return_joint.as_ref();
            joint.map_or(f64::INFINITY, |joint| {
                (step.open_q - joint.mm() - foot_q).abs()
            })
        };
        let step = self.site.step(spot.step)?;
        let edge = (step.open_q - foot_q).min(spot.x - step.nosing_x());
        Some(Length::mm(edge.min(joint(step)) - radius))
    }
}

/// The turning of a section, and whether it ends in a pin.
fn turning(section: &Section) -> (Vec<Turned>, bool) {
    let Section::Turned { top, profile, .. } = section else {
        return (Vec::new(), false);
    };
    let place = |one: &crate::job::Turning| Turned {
        up: one.up.value,
        diameter: one.diameter.value,
    };
    (profile.iter().map(place).collect(), *top == Top::Pin)
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
