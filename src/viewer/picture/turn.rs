//! Eyes of pictures that belong together: round about a stair, and on it with less drawn of it.

use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::solids::{PartKind, Solids};

use super::super::camera::{Eye, Free, Lens};
use super::super::lookout;
use super::Shot;

/// Points of a ring about the stair that are kept within the picture.
const RING: u32 = 24;

/// The eye of a picture, and `None` where its viewpoint names nothing.
pub(super) fn eye(shot: &Shot, (found, shown): (&Chain, &Solids), free: &Free) -> Option<Eye> {
    let from = lookout::eye(&shot.viewpoint, found, shown, free)?;
    let Some(round) = shot.round else {
        return Some(from);
    };
    let bounds = lookout::around_stair(shown)?;
    let (middle, half) = (bounds.centre(), (bounds.high - bounds.low) / 2.0);
    let far = half.x.hypot(half.y);
    // What is as wide on all sides is as large from all sides: the eye neither nears nor rocks.
    let ring = (0..RING).flat_map(|at| {
        let (y, x) = (std::f64::consts::TAU * f64::from(at) / f64::from(RING)).sin_cos();
        [-half.z, half.z].map(|z| Point3::from(middle.coords + Vector3::new(x * far, y * far, z)))
    });
    let ring: Vec<Point3<f64>> = ring.collect();
    let turned = Eye {
        yaw: from.yaw + round.as_radians(),
        lens: Lens::Perspective,
        ..from
    };
    Some(turned.framing(&ring, free))
}

/// What the carpenter finds: floors, walls, stringers, half walls and the steps.
pub(super) fn framing(whole: &Solids) -> Solids {
    let found = |kind: PartKind| {
        matches!(
            kind,
            PartKind::Floor
                | PartKind::Wall
                | PartKind::Stringer
                | PartKind::HalfWall
                | PartKind::Tread
                | PartKind::Kick
        )
    };
    let kept = |at: &usize| whole.parts.get(*at).is_some_and(|part| found(part.kind));
    let kept: Vec<usize> = (0..whole.parts.len()).filter(kept).collect();
    Solids {
        parts: kept.iter().map(|at| whole.parts[*at].clone()).collect(),
        runs: kept
            .iter()
            .filter_map(|at| whole.runs.get(*at).copied())
            .collect(),
        // No joint is drawn.
        joints: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Angle;
    use crate::viewer::Viewpoint;

    #[test]
    fn an_eye_that_goes_round_keeps_its_distance_and_its_height() {
        let document = crate::job::Document::parse(crate::viewer::drive::DEMO, "demo").unwrap();
        let found = crate::chain::run(document.job()).unwrap();
        let shot = |degrees: f64| Shot {
            round: Some(Angle::degrees(degrees)),
            ..Shot::from(Viewpoint::Front, 0)
        };
        let free = Free::whole(1.6);
        let eye = |degrees| eye(&shot(degrees), (&found, &found.solids), &free).unwrap();
        let first = eye(0.0);
        for degrees in [37.0, 90.0, 180.0, 341.0] {
            let other = eye(degrees);
            approx::assert_relative_eq!(other.reach, first.reach, max_relative = 0.02);
            approx::assert_relative_eq!(other.pitch, first.pitch);
            assert!((other.target - first.target).norm() < 0.02 * first.reach);
            let turned = other.yaw - first.yaw;
            approx::assert_relative_eq!(turned, degrees.to_radians(), epsilon = 1e-9);
        }
    }

    #[test]
    fn framing_has_no_railing_and_keeps_the_steps() {
        let document = crate::job::Document::parse(crate::viewer::drive::DEMO, "demo").unwrap();
        let found = crate::chain::run(document.job()).unwrap();
        let bare = framing(&found.solids);
        let count =
            |solids: &Solids, kind| solids.parts.iter().filter(|part| part.kind == kind).count();
        assert_eq!(
            count(&bare, PartKind::Tread),
            count(&found.solids, PartKind::Tread)
        );
        for kind in [
            PartKind::Rail,
            PartKind::Newel,
            PartKind::Baluster,
            PartKind::Skirt,
        ] {
            assert!(count(&found.solids, kind) > 0 || kind == PartKind::Skirt);
            assert_eq!(count(&bare, kind), 0);
        }
        assert_eq!(bare.parts.len(), bare.runs.len());
    }
}
