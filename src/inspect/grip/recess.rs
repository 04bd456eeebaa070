//! The finger recess on either side of a rail's section.
//!
//! Each side is the section's outermost place over the depth below its tallest point, mm. Going down
//! it, the recess begins where the side last stands as wide as it has been and then turns in; from
//! there it must be deep enough soon enough, and stay so far enough down.

use crate::job::Recess;
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;

use super::{Fault, Grip, GripType, least, most};

/// A stretch of a side between two depths, straight between them.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: f64,
    to: f64,
    /// How far out it stands at both.
    out: [f64; 2],
}

/// A recess as it is measured.
#[derive(Clone, Copy, Debug)]
struct Found {
    begins: f64,
    widest: f64,
    depth: f64,
    /// Where it is deep enough: from, to; nowhere where it never is.
    deep: Option<[f64; 2]>,
}

/// The section held against what is asked of recesses, its sides each with the recess that comes
/// nearest.
pub(super) fn best(corners: &[(f64, f64)], asked: &Recess) -> Grip {
    let sides = [1.0, -1.0].map(|sign| {
        let side = side(corners, sign);
        let found = recesses(&side, asked.depth.mm());
        let judged = found
            .into_iter()
            .map(|one| (Grip::of(GripType::Recessed, sizes(&one, asked)), one));
        judged.min_by(|a, b| a.0.off.total_cmp(&b.0.off))
    });
    let [Some(left), Some(right)] = sides else {
        // A section without any height has no recess either.
        let none = least("the depth of the recess", Length::ZERO, asked.depth.value);
        return Grip::of(GripType::Recessed, vec![none]);
    };
    let width = Length::mm(left.1.widest + right.1.widest);
    let mut faults = vec![
        least("its width above the recess", width, asked.width_least.value),
        most("its width above the recess", width, asked.width_most.value),
    ];
    let worse = if right.0.off > left.0.off {
        right.0
    } else {
        left.0
    };
    faults.extend(worse.faults);
    Grip::of(GripType::Recessed, faults)
}

fn sizes(found: &Found, asked: &Recess) -> Vec<Fault> {
    let mut faults = vec![
        most(
            "the depth below its top at which the recess begins",
            Length::mm(found.begins),
            asked.begins_within.value,
        ),
        least(
            "the depth of the recess",
            Length::mm(found.depth),
            asked.depth.value,
        ),
    ];
    if let Some([from, to]) = found.deep {
        faults.extend([
            most(
                "how far below its widest it is so deep",
                Length::mm(from - found.begins),
                asked.depth_within.value,
            ),
            least(
                "how far it stays so deep",
                Length::mm(to - from),
                asked.continues.value,
            ),
            least(
                "how far down from its top it stays so deep",
                Length::mm(to),
                asked.down_to.value,
            ),
        ]);
    }
    faults
}

/// One side of a section from its tallest point down; `sign` is 1 for the side of greater `across`.
fn side(corners: &[(f64, f64)], sign: f64) -> Vec<Stretch> {
    let top = corners
        .iter()
        .map(|at| at.1)
        .fold(f64::NEG_INFINITY, f64::max);
    let down: Vec<(f64, f64)> = corners.iter().map(|at| (sign * at.0, top - at.1)).collect();
    let mut depths: Vec<f64> = down.iter().map(|at| at.1).collect();
    depths.sort_by(f64::total_cmp);
    depths.dedup_by(|a, b| *a - *b < SAME_POINT_MM);
    let edges: Vec<[(f64, f64); 2]> = (0..down.len())
        .map(|at| [down[at], down[(at + 1) % down.len()]])
        .collect();
    // No two sides of the outline cross, so between two corners' depths one of them is outermost.
    let stretch = |pair: &[f64]| {
        let (from, to) = (pair[0], pair[1]);
        let middle = f64::midpoint(from, to);
        let over = |edge: &&[(f64, f64); 2]| {
            let [a, b] = edge;
            a.1.min(b.1) < middle && a.1.max(b.1) > middle
        };
        let at =
            |[a, b]: &[(f64, f64); 2], depth: f64| a.0 + (b.0 - a.0) * (depth - a.1) / (b.1 - a.1);
        let outermost = edges
            .iter()
            .filter(over)
            .max_by(|a, b| at(a, middle).total_cmp(&at(b, middle)))?;
        Some(Stretch {
            from,
            to,
            out: [at(outermost, from), at(outermost, to)],
        })
    };
    depths.windows(2).filter_map(stretch).collect()
}

/// Every place of a side at which a recess may begin, with the recess below it; at least one for a
/// side of any length.
fn recesses(side: &[Stretch], enough: f64) -> Vec<Found> {
    let mut found = Vec::new();
    let mut widest = f64::NEG_INFINITY;
    for (at, stretch) in side.iter().enumerate() {
        // Its upper end first: a side may step in there.
        let turns_in = |out: f64, below: Option<&Stretch>| {
            below.is_none_or(|next| {
                next.out[0] < out - SAME_POINT_MM || next.out[1] < next.out[0] - SAME_POINT_MM
            })
        };
        let [upper, lower] = stretch.out;
        if upper >= widest && lower < upper - SAME_POINT_MM {
            found.push(below((stretch.from, upper), &side[at..], enough));
        }
        widest = widest.max(upper).max(lower);
        let next = side.get(at + 1);
        if lower >= widest - SAME_POINT_MM && turns_in(lower, next) {
            found.push(below((stretch.to, lower), &side[at + 1..], enough));
        }
    }
    found
}

/// The recess under a place of a side.
fn below((begins, widest): (f64, f64), under: &[Stretch], enough: f64) -> Found {
    let mut depth = 0.0_f64;
    let mut deep: Option<[f64; 2]> = None;
    let asked = enough - SAME_POINT_MM;
    for stretch in under {
        let [upper, lower] = stretch.out.map(|out| widest - out);
        depth = depth.max(upper).max(lower);
        let crossing = || {
            let share = (enough - upper) / (lower - upper);
            stretch.from + (stretch.to - stretch.from) * share
        };
        match (upper >= asked, lower >= asked, &mut deep) {
            (true, true, None) => deep = Some([stretch.from, stretch.to]),
            (false, true, None) => deep = Some([crossing(), stretch.to]),
            (true, false, None) => deep = Some([stretch.from, crossing()]),
            (true, true, Some(known)) => known[1] = stretch.to,
            (true, false, Some(known)) => {
                known[1] = crossing();
                break;
            }
            (false, _, Some(_)) => break,
            (false, false, None) => {}
        }
    }
    Found {
        begins,
        widest,
        depth,
        deep,
    }
}
