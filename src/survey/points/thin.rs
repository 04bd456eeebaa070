//! A few hundred cells in place of millions of points, each with an honest doubt.
//!
//! A cell's value is Huber's location of its points about the whole wall's curved surface. Its
//! doubt is not noise / sqrt(points): neighbouring points of a scanner err together. How much they
//! do is read off the patches: `C(h)`, the covariance of two patches' departures from the surface
//! at a distance `h`, over all of the wall. Then
//!
//! `sd^2 = max(noise^2 / n, 2 sum_ij p_i p_j C(h_ij)) + bend^2 + floor^2`
//!
//! with `p_i` the share of the cell's points in patch `i`; `2`, because the surface that the
//! patches are held against has followed up to half of what errs together over more than a patch;
//! and `bend`, the cell's mean against the surface at its middle, a 24th of the second differences
//! to the cells beside it. What all points have in common, and what errs together over more than
//! about half a metre, no one wall can show: that is the instrument's own figure, which the laser
//! line shared by the readings carries.

use super::outliers::Sifted;
use super::patches::Patches;
use super::robust::huber;
use super::surface::Surface;
use crate::measure::{Length, tolerance};

/// Most cells of a wall.
pub const MOST_CELLS: f64 = 400.0;
/// A cell where more than this share of the points is left out is left out.
const LEFT_OUT: f64 = 0.5;
/// What the surface may have followed of errors in common: see above.
const FOLLOWED: f64 = 2.0;
/// A departure counts no more than so many spreads in the covariance, so that no one patch makes
/// it.
const CLIPPED: f64 = 4.0;

/// One cell: what its points say of the wall's face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// The middle of its points, from the wall's `from` end.
    pub along: Length,
    /// And above the datum.
    pub up: Length,
    /// The face off the meant plane, positive towards the room.
    pub off: Length,
    /// Standard uncertainty, without what is common to all points of the instrument.
    pub sd: Length,
    /// How many points it stands for.
    pub points: usize,
}

/// A cell as it is gathered.
struct Draft {
    along: f64,
    up: f64,
    /// Against the curved surface.
    away: f64,
    points: usize,
    variance: f64,
}

/// Cells of so many patches each way.
pub(super) fn thin(
    patches: &Patches,
    surface: &Surface,
    sifted: &Sifted,
    each_way: usize,
) -> Vec<Cell> {
    let (columns, rows) = (
        patches.grid.columns.div_ceil(each_way),
        patches.grid.rows.div_ceil(each_way),
    );
    let common = covariance(patches, surface, sifted, each_way);
    let drafts = super::parts::by_parts(columns * rows, 8, |range| {
        range
            .map(|cell| {
                let place = (cell % columns, cell / columns);
                draft(patches, surface, sifted, &common, place, each_way)
            })
            .collect::<Vec<_>>()
    });
    let drafts: Vec<Option<Draft>> = drafts.into_iter().flatten().collect();
    let bends = bends(&drafts, columns);
    let known: Vec<f64> = bends.iter().flatten().copied().collect();
    let usual =
        (known.iter().map(|bend| bend * bend).sum::<f64>() / known.len().max(1) as f64).sqrt();
    drafts
        .iter()
        .zip(&bends)
        .filter_map(|(draft, bend)| {
            let draft = draft.as_ref()?;
            let bend = bend.unwrap_or(usual).max(usual);
            let variance = draft.variance + bend.powi(2) + tolerance::POINT_NOISE_MM.powi(2);
            Some(Cell {
                along: Length::mm(draft.along),
                up: Length::mm(draft.up),
                off: Length::mm(draft.away + surface.curved.off(draft.along, draft.up)),
                sd: Length::mm(variance.sqrt()),
                points: draft.points,
            })
        })
        .collect()
}

/// `C(h)` with `h` in whole patches.
fn covariance(patches: &Patches, surface: &Surface, sifted: &Sifted, reach: usize) -> Vec<f64> {
    let clip = CLIPPED * sifted.rough.max(tolerance::POINT_NOISE_MM);
    let aways: Vec<Option<f64>> = (0..patches.grid.count())
        .map(|at| surface.level_away(at).filter(|_| sifted.limits[at] > 0.0))
        .map(|away| away.map(|away| away.clamp(-clip, clip)))
        .collect();
    let bins = 2 * reach;
    let parts = patches.each(|at, _| {
        let mut sums = vec![(0.0, 0_u32); bins];
        let Some(here) = aways[at] else {
            return sums;
        };
        for other in patches.grid.around(at, reach) {
            let bin = distance(patches, at, other);
            if let (Some(there), Some(sum)) = (aways[other], sums.get_mut(bin)) {
                sum.0 += here * there;
                sum.1 += 1;
            }
        }
        sums
    });
    let mut sums = vec![(0.0, 0.0); bins];
    for part in parts {
        for (sum, (value, count)) in sums.iter_mut().zip(part) {
            sum.0 += value;
            sum.1 += f64::from(count);
        }
    }
    // Past the first distance at which it has gone, what is left is chance.
    let mut gone = false;
    sums.iter()
        .map(|(sum, count)| {
            let value = if *count > 0.0 { sum / count } else { 0.0 };
            gone |= value <= 0.0;
            if gone { 0.0 } else { value }
        })
        .collect()
}

/// Distance of two patches, in whole patches.
fn distance(patches: &Patches, one: usize, other: usize) -> usize {
    let ((a, b), (c, d)) = (patches.grid.place(one), patches.grid.place(other));
    (a.abs_diff(c) as f64).hypot(b.abs_diff(d) as f64).round() as usize
}

fn draft(
    patches: &Patches,
    surface: &Surface,
    sifted: &Sifted,
    common: &[f64],
    (column, row): (usize, usize),
    each_way: usize,
) -> Option<Draft> {
    let grid = patches.grid;
    let members: Vec<usize> = (row * each_way..grid.rows.min((row + 1) * each_way))
        .flat_map(|row| {
            let columns = column * each_way..grid.columns.min((column + 1) * each_way);
            columns.map(move |column| row * grid.columns + column)
        })
        .collect();
    let (mut aways, mut shares) = (Vec::new(), Vec::new());
    let (mut along, mut up, mut given) = (0.0, 0.0, 0);
    for at in members {
        let before = aways.len();
        for point in patches.of(at) {
            given += 1;
            if surface.away(at, *point).abs() <= sifted.limits[at] && sifted.limits[at] > 0.0 {
                aways.push(point[2] - surface.curved.off(point[0], point[1]));
                along += point[0];
                up += point[1];
            }
        }
        if aways.len() > before {
            shares.push((at, (aways.len() - before) as f64));
        }
    }
    let points = aways.len();
    if points == 0 || (points as f64) < (1.0 - LEFT_OUT) * f64::from(given) {
        return None;
    }
    let count = points as f64;
    let together: f64 = shares
        .iter()
        .flat_map(|(one, a)| shares.iter().map(move |(other, b)| (*one, *other, a * b)))
        .map(|(one, other, weight)| {
            let common = common.get(distance(patches, one, other)).unwrap_or(&0.0);
            weight / (count * count) * common
        })
        .sum();
    Some(Draft {
        along: along / count,
        up: up / count,
        away: huber(&mut aways)?,
        points,
        variance: (sifted.noise.powi(2) / count).max(FOLLOWED * together),
    })
}

/// The bend of every cell that has neighbours: its mean less its middle.
fn bends(drafts: &[Option<Draft>], columns: usize) -> Vec<Option<f64>> {
    let away = |at: Option<usize>| Some(drafts.get(at?)?.as_ref()?.away);
    (0..drafts.len())
        .map(|at| {
            let here = away(Some(at))?;
            let column = at % columns;
            let left = away(at.checked_sub(1).filter(|_| column > 0));
            let right = away(Some(at + 1).filter(|_| column + 1 < columns));
            let below = away(at.checked_sub(columns));
            let above = away(Some(at + columns));
            let level = left.zip(right).map(|(a, b)| a + b - 2.0 * here);
            let upright = below.zip(above).map(|(a, b)| a + b - 2.0 * here);
            if level.is_none() && upright.is_none() {
                return None;
            }
            Some((level.unwrap_or(0.0) + upright.unwrap_or(0.0)).abs() / 24.0)
        })
        .collect()
}
