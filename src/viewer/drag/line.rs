//! Where along its line of motion something is pulled to: from the eye's ray through the pointer.
//!
//! Pure; points in the first run's frame, mm.

use nalgebra::{Point3, Vector3};

/// A line seen nearer than this to end on is not pulled along: the square of the sine of 5 degrees.
const END_ON: f64 = 0.0076;

/// The eye's ray through a place of the picture. Its direction need not be a unit vector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ray {
    /// A point on it.
    pub(super) from: Point3<f64>,
    /// Into the picture.
    pub(super) into: Vector3<f64>,
}

/// How far along a line the point of it lies that is nearest to a ray, mm from `at`; `way` is a unit
/// vector. `None` where the line is seen end on.
pub(super) fn along(ray: &Ray, at: &Point3<f64>, way: &Vector3<f64>) -> Option<f64> {
    let into = ray.into.try_normalize(0.0)?;
    let share = into.dot(way);
    let square = 1.0 - share * share;
    if square < END_ON {
        return None;
    }
    // The least of |from + t into - at - s way| over both s and t.
    let between = at - ray.from;
    Some((share * into.dot(&between) - way.dot(&between)) / square)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Where a point lands in a picture: through one point, or along one direction.
    fn lands(at: &Point3<f64>, eye: &Point3<f64>, back: &Vector3<f64>, level: bool) -> [f64; 2] {
        let right = Vector3::z().cross(back).normalize();
        let up = back.cross(&right);
        let from = at - eye;
        let depth = if level { 1.0 } else { -from.dot(back) };
        [from.dot(&right) / depth, from.dot(&up) / depth]
    }

    #[test]
    fn a_plan_reads_its_line_off_the_picture() {
        // Straight down: a ray through (x, y) meets the line of x at x, whatever its height.
        let ray = Ray {
            from: Point3::new(120.0, 35.0, 5000.0),
            into: Vector3::new(0.0, 0.0, -3.0),
        };
        let at = Point3::new(20.0, 10.0, 700.0);
        approx::assert_relative_eq!(along(&ray, &at, &Vector3::x()).unwrap(), 100.0);
        assert_eq!(along(&ray, &at, &Vector3::z()), None);
    }

    proptest! {
        /// Taken through a point of the line, the ray gives that point back, so what is held stays
        /// under the pointer: at both lenses, from anywhere that does not see the line end on.
        #[test]
        fn what_is_held_stays_under_the_pointer(
            yaw in -3.1..3.1_f64,
            pitch in -0.3..1.4_f64,
            turn in -3.1..3.1_f64,
            climb in -1.5..1.5_f64,
            went in -800.0..800.0_f64,
            level in any::<bool>(),
        ) {
            let back = Vector3::new(pitch.cos() * yaw.cos(), pitch.cos() * yaw.sin(), pitch.sin());
            let way = Vector3::new(climb.cos() * turn.cos(), climb.cos() * turn.sin(), climb.sin());
            prop_assume!(back.dot(&way).abs() < 0.95);
            let at = Point3::new(300.0, -40.0, 900.0);
            let eye = at + back * 4000.0 + Vector3::new(210.0, -90.0, 35.0);
            let under = at + way * went;
            let ray = if level {
                let aside = (under - eye) - back * (under - eye).dot(&back);
                Ray { from: eye + aside, into: -back }
            } else {
                Ray { from: eye, into: under - eye }
            };
            let pulled = along(&ray, &at, &way).unwrap();
            prop_assert!((pulled - went).abs() < 1e-6, "{pulled} {went}");
            let (held, pointer) = (at + way * pulled, under);
            let [a, b] = [held, pointer].map(|point| lands(&point, &eye, &back, level));
            prop_assert!((a[0] - b[0]).abs() + (a[1] - b[1]).abs() < 1e-6);
        }

        /// Beside the line no point of it is nearer to the ray.
        #[test]
        fn beside_the_line_the_nearest_point_is_taken(
            x in -500.0..500.0_f64,
            z in -500.0..500.0_f64,
            step in prop::sample::select(vec![-5.0, -0.5, 0.5, 5.0]),
        ) {
            let ray = Ray {
                from: Point3::new(x, -3000.0, z),
                into: Vector3::new(0.1, 1.0, -0.2),
            };
            let (at, way) = (Point3::new(10.0, 20.0, 30.0), Vector3::x());
            let far = |s: f64| {
                let point = at + way * s - ray.from;
                point.cross(&ray.into.normalize()).norm()
            };
            let best = along(&ray, &at, &way).unwrap();
            prop_assert!(far(best) <= far(best + step));
        }
    }
}
