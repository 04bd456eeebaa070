//! Where newels go through winders: what each takes out of a tread of a turn and of the kick under it.
//!
//! A newel goes through a winder where its foot stands lower than the middle of that tread's thickness
//! and its head higher than the underside; one that stands on a winder takes nothing out of it.

use nalgebra::{Point2, Point3};

use crate::measure::tolerance::SAME_POINT_MM;
use crate::setout::{NewelSet, plan};
use crate::site::winders::WinderSite;
use crate::site::{Frame, PlacedTurn};

use super::WinderTread;

/// A newel that reaches no further into a winder than this stands at its edge: 1/64 in.
const LEAST_MM: f64 = 0.4;

/// What is smaller than this is a scribe line.
const LEAST_MM2: f64 = 1.0;

/// A newel in the frame of the run that sets it.
#[derive(Clone, Copy, Debug)]
pub struct Stood<'a> {
    /// The newel.
    pub newel: &'a NewelSet,
    /// Its run's frame in the first run's.
    pub frame: &'a Frame,
}

impl Stood<'_> {
    /// A place of its run in the turn's frame.
    fn at(&self, turn: &PlacedTurn, at: &Point3<f64>) -> Point3<f64> {
        turn.frame.from_first(&self.frame.to_first(at))
    }

    /// Its section where it goes through the top of a winder, in the tread's own plane, anticlockwise.
    #[must_use]
    pub fn on(&self, turn: &PlacedTurn, tread: &WinderTread) -> Vec<Point2<f64>> {
        let plane = &tread.plane;
        self.section(turn, |foot, way| {
            (plane.origin - foot).dot(&plane.up) / way.dot(&plane.up)
        })
        .map(|at| plane.flat(&at))
        .collect::<Vec<_>>()
        .anticlockwise()
    }

    /// Its corners carried along its axis, each so far as is told, in the turn's frame.
    fn section<'s>(
        &'s self,
        turn: &'s PlacedTurn,
        reach: impl Fn(Point3<f64>, nalgebra::Vector3<f64>) -> f64 + 's,
    ) -> impl Iterator<Item = Point3<f64>> + 's {
        let way = self.frame.way_to_first(&self.newel.axis);
        let way = turn.frame.way_from_first(&way);
        self.newel.footprint.iter().map(move |at| {
            let foot = Point3::new(at.x, at.y, self.newel.foot.z);
            let foot = self.at(turn, &foot);
            foot + way * reach(foot, way)
        })
    }

    /// True where it comes up from under a winder's tread.
    #[must_use]
    pub fn passes(&self, turn: &PlacedTurn, tread: &WinderTread) -> bool {
        let newel = self.newel;
        let foot = self.at(turn, &newel.foot);
        let head = newel.foot + newel.axis.into_inner() * newel.height.as_mm();
        let head = self.at(turn, &head);
        let top = tread.plane.over(&foot.xy()).z;
        let thick = tread.blank.thickness.as_mm();
        foot.z < top - thick / 2.0 && head.z > top - thick
    }

    /// True where its foot stands on the top of a winder's tread: no further over it or in it than half the
    /// tread's thickness, and with some of its section.
    #[must_use]
    pub fn stands_on(&self, turn: &PlacedTurn, tread: &WinderTread) -> bool {
        let foot = self.at(turn, &self.newel.foot);
        let over = foot.z - tread.plane.over(&foot.xy()).z;
        over.abs() <= tread.blank.thickness.as_mm() / 2.0
            && common(&tread.outline(), &self.on(turn, tread)).is_some()
    }

    /// What it takes out of a winder's tread, in the tread's own plane, anticlockwise; `None` where it
    /// does not go through it.
    #[must_use]
    pub fn in_tread(&self, turn: &PlacedTurn, tread: &WinderTread) -> Option<Vec<Point2<f64>>> {
        if !self.passes(turn, tread) {
            return None;
        }
        common(&tread.outline(), &self.on(turn, tread))
    }

    /// What it takes out of the kick under a winder's tread, in plan in the turn's frame, at the height
    /// of that tread's underside; `None` where it does not go into it.
    #[must_use]
    pub fn in_kick(&self, turn: &PlacedTurn, tread: &WinderTread) -> Option<Vec<Point2<f64>>> {
        if !self.passes(turn, tread) {
            return None;
        }
        let outline = kick_outline(&turn.site, tread.number)?;
        let under = tread.plane.over(&plan::centre(&outline)).z - tread.blank.thickness.as_mm();
        let ring = self.section(turn, |foot, way| (under - foot.z) / way.z);
        let ring: Vec<Point2<f64>> = ring.map(|at| at.xy()).collect();
        common(&outline, &ring.anticlockwise())
    }
}

/// The outline in plan of the kick under a winder's tread, in the turn's frame, anticlockwise.
#[must_use]
pub fn kick_outline(site: &WinderSite, number: u32) -> Option<Vec<Point2<f64>>> {
    let face = site.kicks.get((number as usize).checked_sub(1)?)?;
    let back = site.parallel(face, site.kick_thickness)?;
    Some(site.outline(face, &back))
}

trait Ring {
    fn anticlockwise(self) -> Self;
}

impl Ring for Vec<Point2<f64>> {
    fn anticlockwise(mut self) -> Self {
        if plan::area(&self) < 0.0 {
            self.reverse();
        }
        self
    }
}

/// What a newel's ring takes out of an outline, if it reaches in further than its edge.
fn common(outline: &[Point2<f64>], ring: &[Point2<f64>]) -> Option<Vec<Point2<f64>>> {
    let cut = plan::common(outline, ring);
    if plan::area(&cut) < LEAST_MM2 {
        return None;
    }
    // Of what goes right through a kick every corner lies on its outline.
    let middle = plan::off_ring(outline, &plan::centre(&cut));
    let deep = plan::extent(&cut, |at| plan::off_ring(outline, at)).1;
    (deep.max(middle) > LEAST_MM).then(|| tidy(cut))
}

/// Clipping leaves corners twice.
fn tidy(mut ring: Vec<Point2<f64>>) -> Vec<Point2<f64>> {
    let same = |a: &Point2<f64>, b: &Point2<f64>| (a - b).norm() < SAME_POINT_MM;
    ring.dedup_by(|a, b| same(a, b));
    while ring.len() > 1 && same(&ring[0], &ring[ring.len() - 1]) {
        ring.pop();
    }
    ring
}
