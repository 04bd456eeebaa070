//! Bottom steps that reach past the others, as solids: the tread with its rounded end, and the kick
//! that goes round it and back to the end of the step above.
//!
//! In plan (x up the flight, q outward); mm in the flight's frame.

use nalgebra::{Point2, Rotation2};

use crate::job::{BottomStep, Job};
use crate::measure::tolerance::SAME_POINT_MM;
use crate::site::{Site, Step};

use super::winders::pieces;
use super::{Convex, Part, PartKind};

/// A quarter round is drawn in this many chords.
const CHORDS: u32 = 16;

/// The tread of a step whose open end is rounded; `None` for every other step.
#[must_use]
pub(super) fn tread_part(job: &Job, site: &Site, step: &Step) -> Option<Part> {
    let radius = job.flight.shaped(step.number)?.round.as_ref()?.mm();
    let corner = |x: f64, q: f64| Point2::new(x, q);
    let mut outline = vec![
        corner(step.nosing_at(step.wall_q), step.wall_q),
        corner(step.back_at(step.wall_q), step.wall_q),
    ];
    let mut end = exposed(step, step.wall_q, 0.0, radius);
    // The path runs from the front to the back, the outline the other way.
    end.reverse();
    outline.extend(
        end.iter()
            .filter(|point| point.y > step.wall_q + SAME_POINT_MM),
    );
    let top = |at: &Point2<f64>| step.top(at.x, site.outward * at.y);
    Some(Part {
        name: site.tread_name(step.number),
        kind: PartKind::Tread,
        pieces: pieces(
            &placed(site, &outline),
            |at| top(at) - step.thickness,
            |at| top(at),
        ),
    })
}

/// The kick of a step that reaches past the one above it; `None` for every other step.
#[must_use]
pub(super) fn kick_part(job: &Job, site: &Site, step: &Step) -> Option<Part> {
    let shaped = job.flight.shaped(step.number)?;
    let inset = step.overhang.max(0.0);
    let above = site.step(step.number + 1)?;
    let home = above.open_q - above.overhang.max(0.0);
    if step.open_q - inset <= home + SAME_POINT_MM {
        return None;
    }
    let face = |inset: f64| exposed(step, home, inset, radius(shaped) - inset);
    let (outer, inner) = (face(inset), face(inset + step.kick_thickness));
    let below = site.step(step.number - 1);
    let foot = |at: &Point2<f64>| {
        let q = site.outward * at.y;
        below.map_or_else(
            || site.lower_floor(at.x, q),
            |tread| tread.top(at.x, q) - tread.thickness,
        )
    };
    let head = |at: &Point2<f64>| step.top(at.x, site.outward * at.y) - step.thickness;
    let boards = outer.windows(2).zip(inner.windows(2));
    let pieces: Vec<Convex> = boards
        .flat_map(|(out, within)| {
            let ring = [out[0], within[0], within[1], out[1]];
            pieces(&placed(site, &ring), foot, head)
        })
        .collect();
    Some(Part {
        name: site.kick_name(step.number),
        kind: PartKind::Kick,
        pieces,
    })
}

fn radius(shaped: &BottomStep) -> f64 {
    shaped.round.as_ref().map_or(0.0, crate::job::Len::mm)
}

/// The edge of a tread that shows, so far in from it: along the front from the wall, round the open
/// end, and along the back to `home`.
fn exposed(step: &Step, home: f64, inset: f64, radius: f64) -> Vec<Point2<f64>> {
    let open = step.open_q - inset;
    let front = |q: f64| Point2::new(step.nosing_at(q) + inset, q);
    let back = |q: f64| Point2::new(step.back_at(q) - inset, q);
    let corners = [front(step.wall_q), front(open), back(open), back(home)];
    let mut path = vec![corners[0]];
    path.extend(rounded([corners[0], corners[1], corners[2]], radius));
    path.extend(rounded([corners[1], corners[2], corners[3]], radius));
    path.push(corners[3]);
    path
}

/// A corner rounded off, in chords between points on the round; always as many points.
fn rounded([before, corner, after]: [Point2<f64>; 3], radius: f64) -> Vec<Point2<f64>> {
    let radius = radius.max(0.0);
    let (back, on) = ((before - corner).normalize(), (after - corner).normalize());
    let half = back.angle(&on) / 2.0;
    let begins = corner + back * (radius / half.tan());
    let centre = corner + (back + on).normalize() * (radius / half.sin());
    let sweep = back.perp(&on).signum() * -(std::f64::consts::PI - 2.0 * half);
    (0..=CHORDS)
        .map(|step| {
            let share = f64::from(step) / f64::from(CHORDS);
            centre + Rotation2::new(sweep * share) * (begins - centre)
        })
        .collect()
}

/// The ring in the flight's frame, anticlockwise, without points that fall together.
fn placed(site: &Site, ring: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let same = |a: &Point2<f64>, b: &Point2<f64>| (a - b).norm() < SAME_POINT_MM;
    let mut placed: Vec<Point2<f64>> = ring
        .iter()
        .map(|point| Point2::new(point.x, site.outward * point.y))
        .collect();
    placed.dedup_by(|a, b| same(a, b));
    if placed.len() > 1 && same(&placed[0], &placed[placed.len() - 1]) {
        placed.pop();
    }
    if crate::setout::plan::area(&placed) < 0.0 {
        placed.reverse();
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_rounded_corner_takes_off_what_the_circle_leaves_of_its_square() {
        // A square corner rounded to r loses r^2 (1 - pi/4); chords lose what lies between them and
        // the circle as well, r^2/2 (pi/2 - n sin(pi/2n)).
        let (r, n) = (100.0, f64::from(CHORDS));
        let corner = rounded(
            [
                Point2::new(0.0, 0.0),
                Point2::new(200.0, 0.0),
                Point2::new(200.0, 200.0),
            ],
            r,
        );
        let mut ring = vec![Point2::new(0.0, 0.0)];
        ring.extend(&corner);
        ring.extend([Point2::new(200.0, 200.0), Point2::new(0.0, 200.0)]);
        let quarter = std::f64::consts::FRAC_PI_2;
        let lost =
            r * r * (1.0 - quarter / 2.0) + r * r / 2.0 * (quarter - n * (quarter / n).sin());
        assert_relative_eq!(
            crate::setout::plan::area(&ring),
            40_000.0 - lost,
            epsilon = 1e-6
        );
        for point in &corner {
            assert_relative_eq!(
                (point - Point2::new(100.0, 100.0)).norm(),
                r,
                epsilon = 1e-9
            );
        }
    }
}
