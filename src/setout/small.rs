//! Linear programmes in a handful of unknowns, solved by letting constraints in one at a time
//! (Seidel, Small-dimensional linear programming and convex hulls made easy, 1991): the time grows
//! as the number of constraints, where a simplex with its tables takes far longer on rails.

/// Most unknowns.
pub(super) const MOST_UNKNOWNS: usize = 4;

/// `sum(terms * unknowns) <= most`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) terms: [f64; MOST_UNKNOWNS],
    pub(super) most: f64,
}

/// No unknown is larger than this either way, mm: a hundred metres.
const BOX: f64 = 1e5;
/// A constraint counts as kept within this, of a row whose greatest term is 1: the arithmetic's own
/// noise on numbers up to [`BOX`] is a thousandth of it.
const NOISE: f64 = 1e-8;
/// A row with no greater term than this has none.
const NOTHING: f64 = 1e-12;

impl Row {
    /// The same constraint with its greatest term 1; a row without terms stays as it is.
    fn scaled(mut self) -> Self {
        let greatest = self
            .terms
            .iter()
            .fold(0.0_f64, |most, term| most.max(term.abs()));
        if greatest > NOTHING {
            self.terms = self.terms.map(|term| term / greatest);
            self.most /= greatest;
        } else {
            self.terms = [0.0; MOST_UNKNOWNS];
        }
        self
    }

    fn keeps(&self, point: &[f64; MOST_UNKNOWNS]) -> bool {
        dot(&self.terms, point) <= self.most + NOISE
    }

    /// The row with one unknown put in from a row that holds it to equality.
    fn without(&self, equality: &Self, unknown: usize) -> Self {
        let factor = self.terms[unknown] / equality.terms[unknown];
        let mut row = *self;
        for (term, taken) in row.terms.iter_mut().zip(&equality.terms) {
            *term -= factor * taken;
        }
        row.terms[unknown] = 0.0;
        row.most -= factor * equality.most;
        row.scaled()
    }
}

fn dot(a: &[f64; MOST_UNKNOWNS], b: &[f64; MOST_UNKNOWNS]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The least cost over `unknowns` unknowns under rows; `None` where nothing keeps them all.
pub(super) fn minimise(
    cost: [f64; MOST_UNKNOWNS],
    unknowns: usize,
    rows: &[Row],
) -> Option<[f64; MOST_UNKNOWNS]> {
    let mut rows: Vec<Row> = rows.iter().map(|row| row.scaled()).collect();
    shuffle(&mut rows);
    let free: Vec<usize> = (0..unknowns.min(MOST_UNKNOWNS)).collect();
    descend(cost, &free, &rows)
}

/// A fixed order that no stair is likely to have: the time does not depend on the job's own order.
fn shuffle(rows: &mut [Row]) {
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    for last in (1..rows.len()).rev() {
        // xorshift64 (Marsaglia, Xorshift RNGs, 2003).
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        rows.swap(last, (state % (last as u64 + 1)) as usize);
    }
}

fn descend(
    cost: [f64; MOST_UNKNOWNS],
    free: &[usize],
    rows: &[Row],
) -> Option<[f64; MOST_UNKNOWNS]> {
    let [only] = *free else {
        return descend_several(cost, free, rows);
    };
    let (mut low, mut high) = (-BOX, BOX);
    for row in rows {
        let term = row.terms[only];
        if term > NOTHING {
            high = high.min(row.most / term);
        } else if term < -NOTHING {
            low = low.max(row.most / term);
        } else if row.most < -NOISE {
            return None;
        }
    }
    if low > high + NOISE {
        return None;
    }
    let mut point = [0.0; MOST_UNKNOWNS];
    point[only] = if low > high {
        f64::midpoint(low, high)
    } else if cost[only] > 0.0 {
        low
    } else if cost[only] < 0.0 {
        high
    } else {
        // Nothing to gain: as near to nothing as may be.
        0.0_f64.max(low).min(high)
    };
    Some(point)
}

fn descend_several(
    cost: [f64; MOST_UNKNOWNS],
    free: &[usize],
    rows: &[Row],
) -> Option<[f64; MOST_UNKNOWNS]> {
    let mut point = [0.0; MOST_UNKNOWNS];
    for &unknown in free {
        // The corner of the box that costs least.
        point[unknown] = match cost[unknown] {
            cost if cost > 0.0 => -BOX,
            cost if cost < 0.0 => BOX,
            _ => 0.0,
        };
    }
    for (index, row) in rows.iter().enumerate() {
        if row.keeps(&point) {
            continue;
        }
        // The best point under this row too lies on it.
        let pivot = *free
            .iter()
            .max_by(|&&a, &&b| row.terms[a].abs().total_cmp(&row.terms[b].abs()))?;
        if row.terms[pivot].abs() <= NOTHING {
            return None;
        }
        let bound = |sign: f64| {
            let mut terms = [0.0; MOST_UNKNOWNS];
            terms[pivot] = sign;
            Row { terms, most: BOX }
        };
        let former = rows[..index]
            .iter()
            .copied()
            .chain([bound(1.0), bound(-1.0)]);
        let fewer: Vec<Row> = former.map(|other| other.without(row, pivot)).collect();
        let rest: Vec<usize> = free.iter().copied().filter(|&one| one != pivot).collect();
        let factor = cost[pivot] / row.terms[pivot];
        let mut reduced = cost;
        for (part, term) in reduced.iter_mut().zip(&row.terms) {
            *part -= factor * term;
        }
        reduced[pivot] = 0.0;
        // What is left of a cost by rounding alone must not send the point to the box's end.
        for part in &mut reduced {
            if part.abs() < NOTHING {
                *part = 0.0;
            }
        }
        point = descend(reduced, &rest, &fewer)?;
        point[pivot] = 0.0;
        point[pivot] = (row.most - dot(&row.terms, &point)) / row.terms[pivot];
    }
    Some(point)
}

#[cfg(test)]
mod tests {
    use super::*;
    use microlp::{ComparisonOp, OptimizationDirection, Problem};
    use proptest::prelude::*;

    /// The same programme by another library's simplex.
    fn by_simplex(cost: &[f64; 4], unknowns: usize, rows: &[Row]) -> Option<f64> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let variables: Vec<_> = cost[..unknowns]
            .iter()
            .map(|&cost| problem.add_var(cost, (-BOX, BOX)))
            .collect();
        for row in rows {
            let terms = variables.iter().copied().zip(row.terms);
            problem.add_constraint(terms.collect::<Vec<_>>(), ComparisonOp::Le, row.most);
        }
        Some(problem.solve().ok()?.into_solution().ok()?.objective())
    }

    proptest! {
        #[test]
        fn costs_what_a_simplex_finds(
            unknowns in 2_usize..=4,
            cost in prop::array::uniform4(-1.0..1.0_f64),
            rows in prop::collection::vec(
                (prop::array::uniform4(-1.0..1.0_f64), -5.0..50.0_f64), 1..60),
        ) {
            let rows: Vec<Row> = rows
                .into_iter()
                .map(|(mut terms, most)| {
                    terms[unknowns..].fill(0.0);
                    Row { terms, most }
                })
                .collect();
            let mut cost = cost;
            cost[unknowns..].fill(0.0);
            let ours = minimise(cost, unknowns, &rows);
            let theirs = by_simplex(&cost, unknowns, &rows);
            match (ours, theirs) {
                (Some(point), Some(least)) => {
                    for row in &rows {
                        prop_assert!(dot(&row.terms, &point) <= row.most + 1e-5);
                    }
                    let found = dot(&cost, &point);
                    prop_assert!(
                        (found - least).abs() <= 1e-6 * (1.0 + least.abs()),
                        "{found} for {least}"
                    );
                }
                (None, None) => {}
                (ours, theirs) => prop_assert!(false, "{ours:?} for {theirs:?}"),
            }
        }
    }
}
