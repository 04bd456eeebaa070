//! Whether a tread can be tilted in between two faces.
//!
//! Plane geometry, seen along the going. One end of the board is set down against its face; the
//! other comes down last. With the board tilted by `a`, its reach across is the greater of
//! `L cos a` (the show edge) and `(L - t tan u) cos a + t sin a` (the edge under the end that comes
//! down last), for a show length `L`, a thickness `t` and an undercut `u` of that end. The second
//! is a cosine about `atan(t / (L - t tan u))` whose crest is `hypot(L - t tan u, t)`: the board
//! passes a gap `W` where neither `L` nor the crest is more than `W`. The undercut of the end set
//! down first does not matter.

use crate::measure::{Angle, Length};

/// The reach that the lower face may have, from the end set down first to the one that comes down
/// last; `None` where the board is thicker than the gap.
fn reach_under(gap: Length, thickness: Length) -> Option<f64> {
    let (gap, thickness) = (gap.as_mm(), thickness.as_mm());
    (gap > thickness).then(|| (gap * gap - thickness * thickness).sqrt())
}

/// The greatest show length of a board that tilts into a gap, its last end undercut by so much.
/// Zero where the board is thicker than the gap.
#[must_use]
pub fn greatest(gap: Length, thickness: Length, undercut: Angle) -> Length {
    let Some(reach) = reach_under(gap, thickness) else {
        return Length::ZERO;
    };
    Length::mm(reach + thickness.as_mm() * undercut.as_radians().tan()).min(gap)
}

/// The least undercut of the last end with which a board tilts into a gap; `None` for a board
/// longer than the gap, or thicker.
#[must_use]
pub fn least_undercut(length: Length, thickness: Length, gap: Length) -> Option<Angle> {
    let reach = reach_under(gap, thickness)?;
    if length > gap {
        return None;
    }
    let over = (length.as_mm() - reach).max(0.0);
    Some(Angle::radians(over.atan2(thickness.as_mm())))
}

/// True where a board tilts into a gap.
#[must_use]
pub fn tilts_in(length: Length, thickness: Length, gap: Length, undercut: Angle) -> bool {
    least_undercut(length, thickness, gap).is_some_and(|least| undercut >= least)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    /// By brute force: the board turned through every tilt, its corners' reach taken.
    fn widest(length: f64, thickness: f64, undercut: f64, other: f64) -> f64 {
        let under = |angle: f64| thickness * angle.to_radians().tan();
        let corners = [
            (0.0, 0.0),
            (length, 0.0),
            (length - under(undercut), -thickness),
            (under(other), -thickness),
        ];
        (0..=45_000)
            .map(|at| f64::from(at) * 0.001_f64.to_radians())
            .map(|tilt| {
                let xs = corners.map(|(x, z)| x * tilt.cos() - z * tilt.sin());
                let (low, high) = xs
                    .iter()
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
                        (low.min(*x), high.max(*x))
                    });
                high - low
            })
            .fold(0.0, f64::max)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn as_by_turning_the_board(
            gap in 24.0..60.0_f64,
            thickness in 0.75..2.0_f64,
            undercut in 0.0..6.0_f64,
            other in 0.0..6.0_f64,
        ) {
            let inches = Length::inches;
            let board = greatest(inches(gap), inches(thickness), Angle::degrees(undercut));
            let board = board.as_inches();
            prop_assert!(widest(board, thickness, undercut, other) <= gap + 1e-9);
            // A ten-thousandth longer does not pass.
            prop_assert!(widest(board + 1e-4, thickness, undercut, other) > gap);
            let least = least_undercut(inches(gap), inches(thickness), inches(gap));
            let least = least.map_or(f64::NAN, Angle::as_degrees);
            prop_assert!(widest(gap, thickness, least + 1e-3, other) <= gap + 1e-9);
            prop_assert!(widest(gap, thickness, least - 1e-3, other) > gap);
        }
    }

    #[test]
    fn a_square_end_passes_by_pythagoras() {
        // 5-12-13 and 8-15-17: a square board of 12 by 5 has the diagonal 13.
        for (length, thickness, gap) in [(12.0, 5.0, 13.0), (15.0, 8.0, 17.0)] {
            let told = greatest(Length::inches(gap), Length::inches(thickness), Angle::ZERO);
            assert_relative_eq!(told.as_inches(), length, epsilon = 1e-12);
        }
    }

    #[test]
    fn the_usual_undercut_tilts_in_the_usual_tread() {
        // Common practice, no source: about 1 1/2 degrees for treads of an inch.
        let (inch, usual) = (Length::inches(1.0), Angle::degrees(1.5));
        for width in [30.0, 36.0, 42.0] {
            let gap = Length::inches(width);
            assert!(tilts_in(gap, inch, gap, usual));
            assert!(!tilts_in(gap, inch, gap, Angle::ZERO));
        }
        let long = Length::inches(36.01);
        assert!(!tilts_in(long, inch, Length::inches(36.0), usual));
        assert!(least_undercut(long, inch, Length::inches(36.0)).is_none());
        assert!(least_undercut(inch, Length::inches(2.0), inch).is_none());
        assert_relative_eq!(greatest(inch, Length::inches(2.0), usual).as_mm(), 0.0);
    }
}
