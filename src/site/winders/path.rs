//! [`Path`]: a line in plan that goes round a turn, straight before it and after it.
//!
//! Stations run along the path, mm, from where the turn begins; before that they are negative.
//! Frame: origin at the centre of the turn, x along the way into it, mm.

use nalgebra::{Point2, Vector2};

use crate::measure::tolerance::{PARALLEL, SAME_POINT_MM};

/// The way a turn goes: its hand and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// +1 where it turns to the left of one going up, -1 to the right.
    pub hand: f64,
    /// How far, radians.
    pub angle: f64,
}

impl Turn {
    /// From the centre out to what stands at an angle from the first kick, a unit vector.
    #[must_use]
    pub fn out(&self, angle: f64) -> Vector2<f64> {
        Vector2::new(angle.sin(), -self.hand * angle.cos())
    }

    /// The way on there, a unit vector.
    #[must_use]
    pub fn on(&self, angle: f64) -> Vector2<f64> {
        Vector2::new(angle.cos(), self.hand * angle.sin())
    }

    /// The angle from the first kick of a point, from a quarter turn before it to three quarters
    /// after.
    fn angle_of(&self, point: &Point2<f64>) -> f64 {
        let angle = point.x.atan2(-self.hand * point.y);
        if angle < -std::f64::consts::FRAC_PI_2 {
            angle + std::f64::consts::TAU
        } else {
            angle
        }
    }

    /// Corners that walls about the turn make: one, or two past 120 degrees, where a single one
    /// would stand more than twice the width away.
    #[must_use]
    pub fn corners(&self) -> u32 {
        if self.angle > ONE_CORNER_MOST { 2 } else { 1 }
    }
}

/// The most that a turn with one corner turns: 120 degrees and the noise of its last digit.
const ONE_CORNER_MOST: f64 = 2.0 * std::f64::consts::FRAC_PI_3 + 1e-9;

/// A stretch of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Piece {
    Straight {
        from: Point2<f64>,
        to: Point2<f64>,
    },
    /// About the centre, from the beginning of the turn to its end.
    Arc {
        radius: f64,
    },
}

/// A line in plan round a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    turn: Turn,
    pieces: Vec<Piece>,
    /// Station of the path's beginning.
    start: f64,
}

/// Where a straight line meets a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Meet {
    /// Distance along the line from its given point.
    pub(super) reach: f64,
    /// Station on the path.
    pub(super) station: f64,
}

impl Path {
    /// A path that keeps a distance from the centre round the corners of walls, straight for
    /// `reach` before and after the turn.
    #[must_use]
    pub fn cornered(turn: Turn, off: f64, reach: f64) -> Self {
        let corners = turn.corners();
        let each = turn.angle / f64::from(corners);
        let to_corner = off / (each / 2.0).cos();
        let begins = Point2::from(turn.out(0.0) * off);
        let ends = Point2::from(turn.out(turn.angle) * off);
        let mut points = vec![begins - turn.on(0.0) * reach, begins];
        points
            .extend((0..corners).map(|corner| {
                Point2::from(turn.out((f64::from(corner) + 0.5) * each) * to_corner)
            }));
        points.extend([ends, ends + turn.on(turn.angle) * reach]);
        let straight = |pair: &[Point2<f64>]| Piece::Straight {
            from: pair[0],
            to: pair[1],
        };
        Self {
            turn,
            pieces: points.windows(2).map(straight).collect(),
            start: -reach,
        }
    }

    /// A path that keeps a distance from the centre as a circle does, straight for `reach` before
    /// and after the turn.
    #[must_use]
    pub fn round(turn: Turn, radius: f64, reach: f64) -> Self {
        let begins = Point2::from(turn.out(0.0) * radius);
        let ends = Point2::from(turn.out(turn.angle) * radius);
        Self {
            turn,
            pieces: vec![
                Piece::Straight {
                    from: begins - turn.on(0.0) * reach,
                    to: begins,
                },
                Piece::Arc { radius },
                Piece::Straight {
                    from: ends,
                    to: ends + turn.on(turn.angle) * reach,
                },
            ],
            start: -reach,
        }
    }

    fn length_of(&self, piece: &Piece) -> f64 {
        match piece {
            Piece::Straight { from, to } => (to - from).norm(),
            Piece::Arc { radius } => radius * self.turn.angle,
        }
    }

    /// Each piece with the stations of its ends.
    fn placed(&self) -> impl Iterator<Item = (&Piece, f64, f64)> {
        let mut station = self.start;
        self.pieces.iter().map(move |piece| {
            let from = station;
            station += self.length_of(piece);
            (piece, from, station)
        })
    }

    /// The station of the end of the turn.
    #[must_use]
    pub fn turn_ends(&self) -> f64 {
        let inside = self.pieces.len() - 1;
        self.placed()
            .take(inside)
            .last()
            .map_or(0.0, |(_, _, to)| to)
    }

    /// The point at a station; past its ends the path goes on straight.
    #[must_use]
    pub fn point(&self, station: f64) -> Point2<f64> {
        let found = self.placed().find(|(_, _, to)| station <= *to);
        let Some((piece, from, to)) = found.or_else(|| self.placed().last()) else {
            return Point2::origin();
        };
        match piece {
            Piece::Straight { from: a, to: b } if to > from => {
                a + (b - a) * ((station - from) / (to - from))
            }
            Piece::Straight { from: a, .. } => *a,
            Piece::Arc { radius } => {
                Point2::from(self.turn.out((station - from) / radius) * *radius)
            }
        }
    }

    /// Every place where a line meets the path.
    pub(super) fn meets(&self, through: Point2<f64>, way: Vector2<f64>) -> Vec<Meet> {
        let mut meets = Vec::new();
        for (piece, from, to) in self.placed() {
            match piece {
                Piece::Straight { from: a, to: b } => {
                    let along = (b - a) / (to - from).max(f64::MIN_POSITIVE);
                    let across = way.perp(&along);
                    if to - from < SAME_POINT_MM || across.abs() < PARALLEL {
                        continue;
                    }
                    let gap = a - through;
                    let reach = gap.perp(&along) / across;
                    let station = from + gap.perp(&way) / across;
                    if station > from - SAME_POINT_MM && station < to + SAME_POINT_MM {
                        meets.push(Meet { reach, station });
                    }
                }
                Piece::Arc { radius } => {
                    let middle = -through.coords.dot(&way);
                    let nearest = through + way * middle;
                    let half = radius.powi(2) - nearest.coords.norm_squared();
                    if half < 0.0 || *radius < SAME_POINT_MM {
                        continue;
                    }
                    for reach in [middle - half.sqrt(), middle + half.sqrt()] {
                        let station = from + radius * self.turn.angle_of(&(through + way * reach));
                        if station > from - SAME_POINT_MM && station < to + SAME_POINT_MM {
                            meets.push(Meet { reach, station });
                        }
                    }
                }
            }
        }
        meets
    }

    /// The path between two stations, stretch by stretch in order: straight ones with their two ends,
    /// round ones with points close enough together to draw them. What lies past the path's ends goes
    /// on straight.
    pub(super) fn stretches(&self, low: f64, high: f64) -> Vec<Stretch> {
        let mut found: Vec<Stretch> = Vec::new();
        let last = self.pieces.len() - 1;
        for (at, (piece, from, to)) in self.placed().enumerate() {
            let a = if at == 0 { low } else { low.max(from) };
            let b = if at == last { high } else { high.min(to) };
            if b - a < SAME_POINT_MM {
                continue;
            }
            let radius = match piece {
                Piece::Straight { .. } => None,
                Piece::Arc { radius } => Some(*radius),
            };
            let chords = radius.map_or(1.0, |radius| ((b - a) / radius / ARC_STEP).ceil());
            let each = (b - a) / chords;
            let points = (0..=chords as u32).map(|step| self.point(a + f64::from(step) * each));
            let next = Stretch {
                points: points.collect(),
                radius,
            };
            match found.last_mut() {
                Some(before) if before.goes_on_as(&next) => {
                    before.points.truncate(1);
                    before.points.extend(next.points.last());
                }
                _ => found.push(next),
            }
        }
        found
    }
}

/// A stretch of a path: straight, or round about the centre of the turn.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stretch {
    /// Its points, both ends among them.
    pub(super) points: Vec<Point2<f64>>,
    /// The radius of a round one.
    pub(super) radius: Option<f64>,
}

impl Stretch {
    /// True where both are straight and one line.
    fn goes_on_as(&self, next: &Self) -> bool {
        let way = |one: &Self| {
            let (first, last) = (one.points.first()?, one.points.last()?);
            (last - first).try_normalize(f64::MIN_POSITIVE)
        };
        let straight = self.radius.is_none() && next.radius.is_none();
        straight
            && way(self)
                .zip(way(next))
                .is_some_and(|(a, b)| a.perp(&b).abs() < PARALLEL && a.dot(&b) > 0.0)
    }
}

/// An arc is drawn in chords of at most this angle: on a yard's radius they stand 1/64 in off it.
const ARC_STEP: f64 = std::f64::consts::PI / 90.0;

/// Where an edge in plan crosses a line that is walked along.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Station on the path, mm.
    pub station: f64,
    /// The point, mm.
    pub at: Point2<f64>,
}

/// Where the edges of treads cross a line that is walked along: a winder's, or a straight tread's
/// before or after the turn. Each edge is given by its two ends; `None` where it does not reach the
/// path. Where an edge crosses it twice, the crossing nearer to its first end counts.
#[must_use]
pub fn walk_line(edges: &[[Point2<f64>; 2]], path: &Path) -> Vec<Option<Crossing>> {
    edges.iter().map(|edge| crossing(edge, path)).collect()
}

fn crossing([from, to]: &[Point2<f64>; 2], path: &Path) -> Option<Crossing> {
    let length = (to - from).norm();
    if length < SAME_POINT_MM {
        return None;
    }
    let way = (to - from) / length;
    let on_edge = -SAME_POINT_MM..=length + SAME_POINT_MM;
    path.meets(*from, way)
        .into_iter()
        .filter(|meet| on_edge.contains(&meet.reach))
        .min_by(|a, b| a.reach.total_cmp(&b.reach))
        .map(|meet| Crossing {
            station: meet.station,
            at: from + way * meet.reach,
        })
}
