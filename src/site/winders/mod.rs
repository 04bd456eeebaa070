//! Winders as found: each tread's outline in plan, its height and slope, and what it measures on a
//! walk line.
//!
//! In: [`crate::job::Winders`]. Out: [`WinderSite`], mm in the winders' frame: origin at the centre
//! of the turn, x level along the flight below, going up, y to its left, height 0 at what the first
//! kick rises from.
//! Does not: say which rule is kept.

mod build;
mod measured;
mod path;
mod rule_lines;

use nalgebra::{Point2, Point3, Vector2};

use super::Frame;
use crate::measure::{Angle, Length};

pub use build::build;
pub use measured::{NarrowDepth, WalkDepth};
pub use path::{Crossing, Path, Turn, walk_line};
pub use rule_lines::MeasuredAt;

/// A turn on winders as found.
#[derive(Clone, Debug)]
pub struct WinderSite {
    /// The way it turns.
    pub turn: Turn,
    /// From the centre out to the narrow side, where it is nearest: half a newel's side, or the
    /// radius of a well.
    pub narrow: f64,
    /// Clear width, from the narrow side to the wall.
    pub width: f64,
    /// From the narrow side to the line that depths are judged on, where the job gives it.
    pub walk_line: Option<Length>,
    /// From the narrow side in to the centre line of the rail on that side.
    pub handrail: Length,
    /// Thickness of the kicks.
    pub kick_thickness: f64,
    /// The faces of the kicks from the first; one more than there are treads, for the last is that
    /// of the flight above.
    pub kicks: Vec<EdgeAcross>,
    /// The leading edges, one for each kick.
    pub nosings: Vec<EdgeAcross>,
    /// The treads from the bottom.
    pub treads: Vec<Winder>,
    /// The narrow side.
    pub narrow_side: Path,
    /// The walls.
    pub wide_side: Path,
}

/// An edge from the narrow side to the wall, in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeAcross {
    /// Its end at the narrow side.
    pub narrow: Point2<f64>,
    /// Its end at the wall.
    pub wide: Point2<f64>,
    /// Station of its narrow end on the narrow side.
    pub narrow_at: f64,
    /// Station of its wide end on the walls.
    pub wide_at: f64,
}

impl EdgeAcross {
    /// Both ends, the narrow one first.
    #[must_use]
    pub const fn ends(&self) -> [Point2<f64>; 2] {
        [self.narrow, self.wide]
    }

    /// Unit vector from its narrow to its wide end.
    #[must_use]
    pub fn way(&self) -> Vector2<f64> {
        (self.wide - self.narrow).normalize()
    }
}

/// What a side of an outline between two edges lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SideOf {
    /// The front edge: of a tread its nosing.
    Front,
    /// The wall.
    Wide,
    /// The back edge: of a tread the face of the next kick.
    Back,
    /// The newel or the well.
    Narrow,
}

/// One side of an outline in plan: straight, or round about the centre of the turn.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineSide {
    /// What it lies on.
    pub of: SideOf,
    /// Its points, mm, both ends among them; those of a round one close enough together to draw it.
    pub points: Vec<Point2<f64>>,
    /// The radius of a round one, mm.
    pub radius: Option<f64>,
}

impl OutlineSide {
    /// Where it begins and where it ends.
    #[must_use]
    pub fn ends(&self) -> Option<[Point2<f64>; 2]> {
        Some([*self.points.first()?, *self.points.last()?])
    }

    /// The same the other way about.
    #[must_use]
    fn turned(mut self) -> Self {
        self.points.reverse();
        self
    }
}

/// True for points that only arithmetic parts.
fn same(a: &Point2<f64>, b: &Point2<f64>) -> bool {
    (a - b).norm() < crate::measure::tolerance::SAME_POINT_MM
}

/// What a path has between two stations on it, whose points are given; straight where the second
/// lies before the first.
fn along(
    path: &Path,
    of: SideOf,
    [(from, first), (to, last)]: [(f64, Point2<f64>); 2],
) -> Vec<OutlineSide> {
    let mut stretches = path.stretches(from, to);
    if stretches.is_empty() {
        stretches.push(path::Stretch {
            points: vec![first, last],
            radius: None,
        });
    }
    // Stations and points are worked out each by itself.
    if let Some(point) = stretches.first_mut().and_then(|one| one.points.first_mut()) {
        *point = first;
    }
    if let Some(point) = stretches.last_mut().and_then(|one| one.points.last_mut()) {
        *point = last;
    }
    let sides = stretches.into_iter().map(|one| OutlineSide {
        of,
        points: one.points,
        radius: one.radius,
    });
    sides.collect()
}

/// One winder.
#[derive(Clone, Debug, PartialEq)]
pub struct Winder {
    /// Its number in the turn, from 1.
    pub number: u32,
    /// Its outline in plan, anticlockwise: nosing, wall, face of the next kick, narrow side.
    pub outline: Vec<Point2<f64>>,
    /// Rise from the tread or floor below.
    pub rise: f64,
    /// Height at `about`.
    pub height: f64,
    /// Where its height is given: its nosing on the walk line.
    pub about: Point2<f64>,
    /// Its climb per length along x and along y, no unit.
    pub climb: Vector2<f64>,
    /// Thickness.
    pub thickness: f64,
}

impl Winder {
    /// Height of its top over a place.
    #[must_use]
    pub fn top(&self, at: &Point2<f64>) -> f64 {
        self.height + self.climb.dot(&(at - self.about))
    }
}

impl WinderSite {
    /// Height of the last tread above what the first kick rises from.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.treads.last().map_or(0.0, |last| last.height)
    }

    /// The frame of the flight above in the winders' own: its origin on the centre of the turn at
    /// the height of the last tread, so that its first kick stands at x = 0. Its baluster line runs
    /// through the centre where that of kites does, and beside a well so much to one side of it.
    #[must_use]
    pub fn above(&self) -> Frame {
        Frame {
            origin: Point3::new(0.0, 0.0, self.height()),
            turn: Angle::radians(self.turn.hand * self.turn.angle),
        }
    }

    /// The outline of what lies between two edges, anticlockwise.
    #[must_use]
    pub fn outline(&self, front: &EdgeAcross, back: &EdgeAcross) -> Vec<Point2<f64>> {
        let sides = self.sides(front, back);
        let mut ring: Vec<Point2<f64>> = sides
            .iter()
            .flat_map(|side| side.points.iter().skip(1).copied())
            .collect();
        ring.dedup_by(|a, b| same(a, b));
        if ring.len() > 1 && same(&ring[0], &ring[ring.len() - 1]) {
            ring.pop();
        }
        ring
    }

    /// The sides of what lies between two edges, anticlockwise from the front one, which runs from its
    /// left end, as one going up sees it, to its right end. A side without length is left out.
    #[must_use]
    pub fn sides(&self, front: &EdgeAcross, back: &EdgeAcross) -> Vec<OutlineSide> {
        let straight = |of: SideOf, points: [Point2<f64>; 2]| OutlineSide {
            of,
            points: points.into(),
            radius: None,
        };
        let wide = along(
            &self.wide_side,
            SideOf::Wide,
            [(front.wide_at, front.wide), (back.wide_at, back.wide)],
        );
        let narrow = along(
            &self.narrow_side,
            SideOf::Narrow,
            [
                (front.narrow_at, front.narrow),
                (back.narrow_at, back.narrow),
            ],
        );
        let turned = |sides: Vec<OutlineSide>| sides.into_iter().rev().map(OutlineSide::turned);
        let front_side = straight(SideOf::Front, front.ends());
        let back_side = straight(SideOf::Back, back.ends());
        let mut sides = Vec::new();
        if self.turn.hand > 0.0 {
            sides.push(front_side);
            sides.extend(wide);
            sides.push(back_side.turned());
            sides.extend(turned(narrow));
        } else {
            sides.push(front_side.turned());
            sides.extend(narrow);
            sides.push(back_side);
            sides.extend(turned(wide));
        }
        sides.retain(|side| side.ends().is_some_and(|[from, to]| !same(&from, &to)));
        sides
    }

    /// The edge parallel to one, so far up the stair from it. `None` where it no longer reaches
    /// from side to side.
    #[must_use]
    pub fn parallel(&self, edge: &EdgeAcross, up: f64) -> Option<EdgeAcross> {
        build::across(
            &self.narrow_side,
            &self.wide_side,
            nalgebra::center(&edge.narrow, &edge.wide) + self.uphill(edge) * up,
            edge.way(),
        )
    }

    /// Square to an edge, up the stair, a unit vector.
    #[must_use]
    pub fn uphill(&self, edge: &EdgeAcross) -> Vector2<f64> {
        let way = edge.way();
        // Left of the way out from the centre is up the stair where it turns to the left.
        Vector2::new(-way.y, way.x) * self.turn.hand
    }
}
