//! The ground under one who walks the stair: what is stood on, and what stands in the way.
//!
//! Coordinates are millimetres in the frame of the solids, the plumb line along z. Floors and treads
//! bear; walls, newels, balusters, half walls and panels are walked into. Everything is read off the
//! solids as found, so a tread out of level is felt as it lies.

use nalgebra::{Point2, Point3, Vector3};

use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;

use super::{Bounds, Convex, PartKind, Plane, Solids, slice};

/// A face this steep is nothing to stand on: the cosine of 45 degrees. Common practice, no source.
const LEAST_LEVEL: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Nobody steps up or down more than this at once, mm: well over any rise that a code allows, well
/// under a storey. Common practice, no source.
const STEP_MM: f64 = 300.0;
/// The foot must be borne this far around its middle, mm: half the length of a shoe is more, its
/// half width less. Common practice, no source.
const FOOT_MM: f64 = 90.0;
/// How far from a wall's face or a baluster the middle of a body stays, mm: half the depth of a
/// person. Common practice, no source.
const BODY_MM: f64 = 170.0;
/// Heights of a body above its feet that must be clear, mm: knee, hip, chest. Common practice, no
/// source.
const HEIGHTS_MM: [f64; 3] = [450.0, 900.0, 1350.0];
/// Directions in which a foot is looked at.
const AROUND: u32 = 8;
/// Rows of places that a mean of the ground is taken over.
const ROWS: u32 = 14;

/// What is stood on at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Footing {
    /// The part, such as `T4`.
    pub part: String,
    /// How high it is there, in the frame of the solids.
    pub height: Length,
}

/// A face that bears.
#[derive(Clone, Debug)]
struct Top {
    part: String,
    ring: Vec<Point2<f64>>,
    plane: Plane,
    bounds: Bounds,
}

impl Top {
    /// How high it is over a place; `None` beside it.
    fn at(&self, place: &Point2<f64>) -> Option<f64> {
        let (low, high) = (&self.bounds.low, &self.bounds.high);
        let beside = (0..2).any(|axis| {
            place[axis] < low[axis] - SAME_POINT_MM || place[axis] > high[axis] + SAME_POINT_MM
        });
        if beside {
            return None;
        }
        let count = self.ring.len();
        let inside = (0..count).all(|i| {
            let (from, to) = (self.ring[i], self.ring[(i + 1) % count]);
            (to - from).perp(&(place - from)) >= -SAME_POINT_MM * (to - from).norm()
        });
        let normal = &self.plane.normal;
        let over = normal.x * place.x + normal.y * place.y;
        inside.then(|| (self.plane.offset - over) / normal.z)
    }
}

/// Everything that is stood on or walked into.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    tops: Vec<Top>,
    bodies: Vec<(Convex, Bounds)>,
}

impl Ground {
    /// The ground of a stair.
    #[must_use]
    pub fn of(solids: &Solids) -> Self {
        let mut ground = Self::default();
        for part in &solids.parts {
            let bears = matches!(part.kind, PartKind::Floor | PartKind::Tread);
            let stops = matches!(
                part.kind,
                PartKind::Wall
                    | PartKind::Newel
                    | PartKind::Baluster
                    | PartKind::HalfWall
                    | PartKind::Panel
            );
            for piece in &part.pieces {
                if bears {
                    ground.tops.extend(tops(&part.name, piece));
                }
                if stops {
                    ground.bodies.push((piece.clone(), piece.bounds()));
                }
            }
        }
        ground
    }

    /// What one comes to stand on who is let down plumb from a point. `None` off the stair.
    #[must_use]
    pub fn under(&self, from: &Point3<f64>) -> Option<Footing> {
        let (top, height) = self.highest(self.tops.iter(), from)?;
        Some(Footing {
            part: top.part.clone(),
            height: Length::mm(height),
        })
    }

    fn highest<'a>(
        &self,
        tops: impl Iterator<Item = &'a Top>,
        from: &Point3<f64>,
    ) -> Option<(&'a Top, f64)> {
        let below = tops.filter_map(|top| Some((top, top.at(&from.xy())?)));
        below
            .filter(|(_, height)| *height <= from.z + SAME_POINT_MM)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The height at which one goes whose feet are on a point: the mean of the ground around it, so
    /// that it climbs along the nosing line and meets each tread in its middle. `around` is how far
    /// it is taken; at 0.61 of a going the steps leave no ripple in it (the first zero of J1, 3.832,
    /// over a whole turn). `None` off the stair.
    #[must_use]
    pub fn climbing(&self, feet: &Point3<f64>, around: Length) -> Option<Length> {
        let reach = around.as_mm();
        let square = Bounds {
            low: feet - Vector3::new(reach, reach, STEP_MM),
            high: feet + Vector3::new(reach, reach, STEP_MM),
        };
        let near = self.tops.iter();
        let near: Vec<&Top> = near.filter(|top| top.bounds.meets(&square, 0.0)).collect();
        let share = |i: u32| (f64::from(i) + 0.5) / f64::from(ROWS) * 2.0 - 1.0;
        let (mut sum, mut count) = (0.0, 0_u32);
        for (i, j) in (0..ROWS).flat_map(|i| (0..ROWS).map(move |j| (i, j))) {
            let (x, y) = (share(i), share(j));
            if x.hypot(y) > 1.0 {
                continue;
            }
            let from = feet + Vector3::new(x * reach, y * reach, STEP_MM);
            let height = self.highest(near.iter().copied(), &from);
            if let Some((_, height)) = height.filter(|(_, height)| *height >= feet.z - STEP_MM) {
                sum += height;
                count += 1;
            }
        }
        (count > 0).then(|| Length::mm(sum / f64::from(count)))
    }

    /// Where the feet come to stand that step to a place. `None` where there is no floor or tread
    /// within a step up or down, at its edge, and where something stands in the way.
    #[must_use]
    pub fn step(&self, feet: &Point3<f64>, to: &Point2<f64>) -> Option<Point3<f64>> {
        let height = |place: &Point2<f64>, feet: f64| {
            let from = Point3::new(place.x, place.y, feet + STEP_MM);
            let (_, height) = self.highest(self.tops.iter(), &from)?;
            (height >= feet - STEP_MM).then_some(height)
        };
        let stands = Point3::new(to.x, to.y, height(to, feet.z)?);
        let borne = (0..AROUND).all(|i| {
            let turn = f64::from(i) * std::f64::consts::TAU / f64::from(AROUND);
            let toe = to + nalgebra::Vector2::new(turn.cos(), turn.sin()) * FOOT_MM;
            height(&toe, stands.z).is_some()
        });
        (borne && self.clear(&stands)).then_some(stands)
    }

    /// Whether a body has room that stands on a point.
    fn clear(&self, feet: &Point3<f64>) -> bool {
        HEIGHTS_MM.iter().all(|up| {
            let at = feet + Vector3::new(0.0, 0.0, *up);
            let place = Bounds { low: at, high: at };
            let level = Plane::through(at, Vector3::z());
            let mut near = self
                .bodies
                .iter()
                .filter(|(_, bounds)| bounds.meets(&place, BODY_MM));
            near.all(|(body, _)| {
                let ring = level.and_then(|level| slice(body, &level));
                ring.is_none_or(|ring| beside(&ring, &at.xy()) >= BODY_MM)
            })
        })
    }
}

/// The faces of a piece that bear.
fn tops<'a>(name: &'a str, piece: &'a Convex) -> impl Iterator<Item = Top> + 'a {
    let faces = piece.planes().iter().enumerate();
    let upward = faces.filter(|(_, plane)| plane.normal.z > LEAST_LEVEL);
    upward.filter_map(move |(face, plane)| {
        let corners: Vec<Point3<f64>> = piece.ring(face).collect();
        Some(Top {
            part: name.to_owned(),
            ring: corners.iter().map(Point3::xy).collect(),
            plane: *plane,
            bounds: Bounds::around(&corners)?,
        })
    })
}

/// How far a place lies from a ring in plan, mm; nought inside it.
fn beside(ring: &[Point3<f64>], place: &Point2<f64>) -> f64 {
    let count = ring.len();
    let sides = || (0..count).map(|i| (ring[i].xy(), ring[(i + 1) % count].xy()));
    if sides().all(|(from, to)| (to - from).perp(&(place - from)) >= 0.0) {
        return 0.0;
    }
    let to_side = |(from, to): (Point2<f64>, Point2<f64>)| {
        let along = to - from;
        let share = (place - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE);
        (place - (from + along * share.clamp(0.0, 1.0))).norm()
    };
    sides().map(to_side).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::super::Part;
    use super::*;
    use approx::assert_relative_eq;

    const RISE: f64 = 190.0;
    const GOING: f64 = 254.0;
    const COUNT: i32 = 6;

    fn part(name: &str, kind: PartKind, low: [f64; 3], high: [f64; 3]) -> Part {
        Part {
            name: name.to_owned(),
            kind,
            pieces: Convex::cuboid(low.into(), high.into())
                .into_iter()
                .collect(),
        }
    }

    /// Six treads between two floors, a wall along their right, an upper floor over the lower.
    fn stair() -> Ground {
        let mut parts = vec![
            part(
                "F0",
                PartKind::Floor,
                [-900.0, -900.0, -25.0],
                [0.0, 600.0, 0.0],
            ),
            part(
                "W1",
                PartKind::Wall,
                [-900.0, -1015.0, 0.0],
                [3000.0, -900.0, 3000.0],
            ),
            part(
                "over",
                PartKind::Floor,
                [-900.0, -900.0, 2500.0],
                [-300.0, 0.0, 2525.0],
            ),
        ];
        for tread in 1..=COUNT {
            let (x, z) = (f64::from(tread - 1) * GOING, f64::from(tread) * RISE);
            let (low, high) = ([x, -900.0, z - 25.0], [x + GOING, 0.0, z]);
            parts.push(part(&format!("T{tread}"), PartKind::Tread, low, high));
        }
        let (x, z) = (f64::from(COUNT) * GOING, f64::from(COUNT + 1) * RISE);
        let (low, high) = ([x, -900.0, z - 25.0], [x + 1500.0, 0.0, z]);
        parts.push(part("F1", PartKind::Floor, low, high));
        Ground::of(&Solids {
            runs: vec![0; parts.len()],
            parts,
            joints: Vec::new(),
        })
    }

    /// The middle of a tread.
    fn on(tread: i32) -> Point3<f64> {
        let x = (f64::from(tread) - 0.5) * GOING;
        Point3::new(x, -450.0, f64::from(tread) * RISE)
    }

    #[test]
    fn each_tread_is_as_high_as_so_many_rises_and_off_the_stair_is_nothing() {
        let ground = stair();
        for tread in 1..=COUNT {
            let footing = ground
                .under(&(on(tread) + Vector3::new(0.0, 0.0, 40.0)))
                .unwrap();
            assert_eq!(footing.part, format!("T{tread}"));
            assert_relative_eq!(
                footing.height.as_mm(),
                f64::from(tread) * RISE,
                epsilon = 1e-9
            );
        }
        // Under the upper floor one stands on the lower.
        let low = ground.under(&Point3::new(-600.0, -450.0, 1600.0)).unwrap();
        assert_eq!(low.part, "F0");
        assert_eq!(ground.under(&Point3::new(400.0, 300.0, 3000.0)), None);
        assert_eq!(ground.under(&Point3::new(100.0, -450.0, 100.0)), None);
    }

    #[test]
    fn a_tread_out_of_level_is_stood_on_as_it_lies() {
        // The plane z = 500 + x / 50 - y / 100, by its closed form.
        let top = |x: f64, y: f64| 500.0 + x / 50.0 - y / 100.0;
        let corner = |x: f64, y: f64| Point3::new(x, y, top(x, y));
        let ring = [
            corner(0.0, 0.0),
            corner(270.0, 0.0),
            corner(270.0, 900.0),
            corner(0.0, 900.0),
        ];
        let tread = Part {
            name: "T3".to_owned(),
            kind: PartKind::Tread,
            pieces: Convex::prism(&ring, Vector3::new(0.0, 0.0, -25.0))
                .into_iter()
                .collect(),
        };
        let ground = Ground::of(&Solids {
            parts: vec![tread],
            runs: vec![0],
            joints: Vec::new(),
        });
        for (x, y) in [(10.0, 20.0), (135.0, 450.0), (260.0, 890.0)] {
            let footing = ground.under(&Point3::new(x, y, 600.0)).unwrap();
            assert_relative_eq!(footing.height.as_mm(), top(x, y), epsilon = 1e-9);
        }
    }

    #[test]
    fn one_climbs_along_the_nosing_line_and_meets_each_tread_in_its_middle() {
        let ground = stair();
        let around = Length::mm(0.61 * GOING);
        let mut last = f64::NEG_INFINITY;
        for at in 0..200 {
            // From the middle of the second tread to that of the fifth, on the line that the treads'
            // middles lie on.
            let share = f64::from(at) / 199.0;
            let x = (1.5 + 3.0 * share) * GOING;
            let feet = Point3::new(x, -450.0, ((x / GOING).floor() + 1.0) * RISE);
            let goes = ground.climbing(&feet, around).unwrap().as_mm();
            let line = (2.0 + 3.0 * share) * RISE;
            assert!((goes - line).abs() < 0.06 * RISE, "{x}: {goes} {line}");
            assert!(goes >= last - 0.02 * RISE, "{x}");
            last = goes;
        }
        // By symmetry exactly so in the middle of a tread.
        let middle = ground.climbing(&on(3), around).unwrap();
        assert_relative_eq!(middle.as_mm(), 3.0 * RISE, epsilon = 1e-9);
        // Nothing to climb on a floor, whatever floor is above it.
        let floor = ground.climbing(&Point3::new(-500.0, -450.0, 0.0), around);
        assert_relative_eq!(floor.unwrap().as_mm(), 0.0, epsilon = 1e-9);
    }

    #[test]
    fn a_step_goes_up_a_tread_and_not_up_two_nor_over_an_edge_nor_into_a_wall() {
        let ground = stair();
        let floor = Point3::new(-100.0, -450.0, 0.0);
        let up = ground.step(&floor, &on(1).xy()).unwrap();
        assert_relative_eq!(up, on(1), epsilon = 1e-9);
        let down = ground.step(&up, &floor.xy()).unwrap();
        assert_relative_eq!(down, floor, epsilon = 1e-9);
        assert_eq!(ground.step(&floor, &on(2).xy()), None, "two rises at once");
        assert_eq!(
            ground.step(&on(4), &Point2::new(on(4).x, -40.0)),
            None,
            "the open edge"
        );
        assert_eq!(
            ground.step(&on(4), &Point2::new(on(4).x, -800.0)),
            None,
            "the wall"
        );
        let beside = Point2::new(on(4).x, -900.0 + BODY_MM + 1.0);
        assert!(ground.step(&on(4), &beside).is_some());
    }
}
