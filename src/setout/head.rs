//! How high a newel is: from the rails that meet it, so that its head block shows alike above and
//! below them, or from the rail that lies on it.
//!
//! Heights are above the newel's foot, along the newel.

use crate::measure::Length;

use super::{BlockReveals, NewelHeight, NewelSet, RailMeets, RailSet};

/// Where a rail meets a newel with one of its ends. `None` for a rail of no length.
///
/// A rail that passes over the newel lies on it with its underside.
/// A raked rail meets the newel's face in a section that is taller than its depth is square.
#[must_use]
pub fn meets(newel: &NewelSet, rail: &RailSet, upper: bool) -> Option<RailMeets> {
    let mut over = rail.over.iter();
    if let Some(over) = over.find(|over| over.newel == newel.name && over.upper == upper) {
        return Some(RailMeets {
            rail: rail.name.clone(),
            top: over.over_ground / newel.axis.z,
            underside: (over.over_ground - over.thick) / newel.axis.z,
        });
    }
    let along = (rail.upper - rail.lower).try_normalize(f64::MIN_POSITIVE)?;
    let left = nalgebra::Vector3::z()
        .cross(&along)
        .try_normalize(f64::MIN_POSITIVE)?;
    let up = along.cross(&left);
    let (end, cut) = if upper {
        (rail.upper, rail.upper_cut)
    } else {
        (rail.lower, rail.lower_cut)
    };
    let half = rail.width.as_mm() / 2.0;
    let heights = [(-half, 0.0), (half, 0.0), (-half, 1.0), (half, 1.0)].map(|(across, down)| {
        let corner = end + left * across - up * (rail.depth.as_mm() * down);
        // Along the rail to the cut.
        let slide = (cut.point - corner).dot(&cut.normal) / along.dot(&cut.normal);
        let corner = corner + along * slide;
        (corner - newel.foot).dot(&newel.axis)
    });
    let most = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = heights.iter().copied().fold(f64::INFINITY, f64::min);
    (most.is_finite() && least.is_finite()).then(|| RailMeets {
        rail: rail.name.clone(),
        top: Length::mm(most),
        underside: Length::mm(least),
    })
}

/// The height of a newel from the rails that meet it. A newel that should show something of its
/// head block is made as high as that takes: with the block's length alone, as much above the
/// highest rail as below the lowest; else it keeps the height it has. `None` where no rail meets it.
#[must_use]
pub fn height_from_rails(newel: &NewelSet, meets: &[RailMeets]) -> Option<NewelHeight> {
    let top = meets.iter().map(|one| one.top).max_by(Length::total_cmp)?;
    let underside = meets
        .iter()
        .map(|one| one.underside)
        .min_by(Length::total_cmp)?;
    let cap = newel.cap.height();
    let head = newel.head;
    let block = head.and_then(|head| head.block);
    let wanted = head.and_then(|head| {
        let even = || Some((head.block? - (top - underside)) / 2.0);
        head.above.or_else(even)
    });
    let height = match wanted {
        Some(above) if newel.height_free => top + above + cap,
        _ => newel.height,
    };
    let above = height - cap - top;
    Some(NewelHeight {
        height,
        reveals: BlockReveals {
            above,
            below: block.map(|block| block - above - (top - underside)),
        },
    })
}
