//! The wall beside a step, at the height of the rail.

use nalgebra::{Point3, Vector3};

use crate::measure::Length;
use crate::site::WallFace;

use super::{ClimbOf, ClimbStep, Stands, WallBeside};

/// A wall further than this from the nosing line is not beside it, mm: wider than any flight here.
const NEAR: f64 = 2500.0;
/// A wall runs along where its normal looks across by more than this, no unit: half a right angle.
const FACES: f64 = 0.7;

/// The nearest wall beside a step: on the wall side, or else on the open side.
pub(super) fn beside(of: &ClimbOf<'_>, step: &ClimbStep) -> Option<WallBeside> {
    let Stands { frame, site } = of.found;
    let foot = frame.from_first(&step.at);
    let height = step.rails.first().map(|rail| rail.most).or_else(|| {
        let railing = of.railings.first()?;
        Some(railing.job.design.rail.height.value)
    })?;
    let from = foot + Vector3::z() * height.as_mm();
    let inward = Vector3::y() * -site.outward;
    [inward, -inward].into_iter().find_map(|way| {
        let met = site.walls.iter().filter_map(|wall| meet(wall, &from, &way));
        let (_, at, along, wall) = met.min_by(|a, b| a.0.total_cmp(&b.0))?;
        let off = wall.off(along, at.z);
        // What lies below its foot is not known.
        let low = wall.off(along, foot.z.max(wall.foot));
        Some(WallBeside {
            wall: wall.name.clone(),
            off: Length::mm(off),
            lean: Length::mm(off - low),
            at: frame.to_first(&at),
        })
    })
}

/// How far away a wall is met, where, and how far along it; none where it does not run beside.
fn meet<'w>(
    wall: &'w WallFace,
    from: &Point3<f64>,
    way: &Vector3<f64>,
) -> Option<(f64, Point3<f64>, f64, &'w WallFace)> {
    // By its meant plane first: a tall stair has many walls, and a face takes longer.
    let run = (wall.to - wall.from) / wall.length();
    let normal = Vector3::new(-run.y, run.x, 0.0);
    let to = from.xy() - wall.from;
    let away = to.dot(&normal.xy());
    let may = normal.dot(way) < -FACES
        && away.abs() < NEAR
        && (-NEAR..wall.length() + NEAR).contains(&to.dot(&run))
        && (wall.foot..=wall.head).contains(&from.z);
    if !may {
        return None;
    }
    let (at, along, _) = wall.meet(from, way)?;
    let far = (at - from).dot(way);
    let on_it = (0.0..=wall.length()).contains(&along) && (0.0..NEAR).contains(&far);
    on_it.then_some((far, at, along, wall))
}
