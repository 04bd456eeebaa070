//! How deep winders are: on a walk line, at their narrow ends, anywhere. Places are mm in plan, in the
//! winders' frame.

use nalgebra::{Point2, Vector2};

use crate::measure::Length;
use crate::measure::tolerance::PARALLEL;

use super::path::{Path, walk_line};
use super::{EdgeAcross, WinderSite};

/// Treads are drawn past the walk line's ends by so much straight flight.
const REACH: f64 = 1000.0;

/// How deep a winder is on a walk line, nosing to nosing, level.
///
/// Codes have the depth of a winder measured on the walk line, between the plumb planes of
/// neighbouring leading edges; of a straight tread they add: at a right angle to the leading edge
/// (IRC R311.7.5.2; of winders, R311.7.5.2.1, the words are as remembered: where those planes cross
/// the walk line). On treads that taper this can be read in more than one way, so all are given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WalkDepth {
    /// The tread's number in the turn.
    pub step: u32,
    /// Where its own leading edge crosses the walk line, mm.
    pub from: Point2<f64>,
    /// Where the next one does, mm.
    pub to: Point2<f64>,
    /// Along the walk line from the one to the other.
    pub arc: Length,
    /// Straight from the one to the other.
    pub chord: Length,
    /// From its own leading edge on the walk line, at a right angle to that edge, to the plumb
    /// plane of the next; nothing where the two run apart so that it is never met.
    pub square: Option<Length>,
}

impl WalkDepth {
    /// What a limit is held against: straight between the crossings, or square to the leading
    /// edge where that is less.
    #[must_use]
    pub fn depth(&self) -> Length {
        self.square
            .map_or(self.chord, |square| square.min(self.chord))
    }
}

/// How deep a winder is where it is narrowest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NarrowDepth {
    /// The tread's number in the turn.
    pub step: u32,
    /// The least level distance between its leading edge and the next one, anywhere within the
    /// clear width.
    pub least: Length,
    /// Where, on one of the edges, mm.
    pub at: Point2<f64>,
    /// Straight between the narrow ends of the two edges.
    pub narrow_end: Length,
}

impl WinderSite {
    /// The line that keeps a distance from the narrow side: a circle about the centre of the turn,
    /// and straight on into the flights before and after it.
    #[must_use]
    pub fn walk_path(&self, from_narrow: Length) -> Path {
        Path::round(self.turn, self.narrow + from_narrow.as_mm(), REACH)
    }

    /// How deep each winder is on the walk line at a distance from the narrow side. A tread that
    /// does not reach it is left out.
    #[must_use]
    pub fn depths(&self, from_narrow: Length) -> Vec<WalkDepth> {
        let edges: Vec<_> = self.nosings.iter().map(EdgeAcross::ends).collect();
        let crossings = walk_line(&edges, &self.walk_path(from_narrow));
        let pairs = self.nosings.windows(2).zip(crossings.windows(2));
        (1..)
            .zip(pairs)
            .filter_map(|(step, (edges, crossings))| {
                let (from, to) = (crossings[0]?, crossings[1]?);
                let square = self.square(&edges[0], from.at, &edges[1]);
                Some(WalkDepth {
                    step,
                    from: from.at,
                    to: to.at,
                    arc: Length::mm(to.station - from.station),
                    chord: Length::mm((to.at - from.at).norm()),
                    square: square.map(Length::mm),
                })
            })
            .collect()
    }

    /// From a point of an edge, square to it and up the stair, to the plane of the next.
    fn square(&self, edge: &EdgeAcross, from: Point2<f64>, next: &EdgeAcross) -> Option<f64> {
        let (up, along) = (self.uphill(edge), next.way());
        let across = up.perp(&along);
        if across.abs() < PARALLEL {
            return None;
        }
        let reach = (next.narrow - from).perp(&along) / across;
        (reach >= 0.0).then_some(reach)
    }

    /// How deep each winder is where it is narrowest.
    #[must_use]
    pub fn narrowest(&self) -> Vec<NarrowDepth> {
        (1..)
            .zip(self.nosings.windows(2))
            .map(|(step, pair)| {
                let (least, at) = apart(&pair[0], &pair[1]);
                NarrowDepth {
                    step,
                    least: Length::mm(least),
                    at,
                    narrow_end: Length::mm((pair[1].narrow - pair[0].narrow).norm()),
                }
            })
            .collect()
    }
}

/// The least distance between two edges that do not cross, and the end of one of them where it is:
/// that of straight edges always lies at an end. Edges that cross are no distance apart.
fn apart(a: &EdgeAcross, b: &EdgeAcross) -> (f64, Point2<f64>) {
    if let Some(at) = crossed(a, b) {
        return (0.0, at);
    }
    let from = |point: Point2<f64>, edge: &EdgeAcross| (to_edge(&point, edge), point);
    let ends = [
        from(a.narrow, b),
        from(a.wide, b),
        from(b.narrow, a),
        from(b.wide, a),
    ];
    ends.into_iter()
        .fold((f64::INFINITY, a.narrow), |least, one| {
            if one.0 < least.0 { one } else { least }
        })
}

fn to_edge(point: &Point2<f64>, edge: &EdgeAcross) -> f64 {
    let along: Vector2<f64> = edge.wide - edge.narrow;
    let share = (point - edge.narrow).dot(&along) / along.norm_squared();
    (edge.narrow + along * share.clamp(0.0, 1.0) - point).norm()
}

fn crossed(a: &EdgeAcross, b: &EdgeAcross) -> Option<Point2<f64>> {
    let (u, v) = (a.wide - a.narrow, b.wide - b.narrow);
    let across = u.perp(&v);
    if across.abs() < PARALLEL {
        return None;
    }
    let gap = b.narrow - a.narrow;
    let (on_a, on_b) = (gap.perp(&v) / across, gap.perp(&u) / across);
    let inside = 0.0..=1.0;
    (inside.contains(&on_a) && inside.contains(&on_b)).then(|| a.narrow + u * on_a)
}
