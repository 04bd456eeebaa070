//! The loosest tolerances on the rows: each operation's errors taken as they were drawn, grown or
//! shrunk as its tolerance is.

use super::super::rows::Row;

/// The draws, once without any error of hand and saw, and once with those of each operation alone at
/// the reference tolerance.
pub(super) struct Apart {
    pub(super) none: Vec<Row>,
    pub(super) each: Vec<Vec<Row>>,
    /// A reveal may be off by so much, mm.
    pub(super) reveal: Option<f64>,
}

impl Apart {
    /// Draws that do not give the wanted result at these tolerances, each as a multiple of the
    /// reference.
    pub(super) fn fails(&self, times: &[f64]) -> u64 {
        let rows = self.none.iter().enumerate();
        rows.filter(|(at, row)| self.row_fails(*at, row, times))
            .count() as u64
    }

    fn row_fails(&self, at: usize, none: &Row, times: &[f64]) -> bool {
        if !none.stands || !none.others.is_empty() {
            return true;
        }
        let alone = || self.each.iter().map(|rows| &rows[at]).zip(times);
        // What comes about at the reference comes about beyond it.
        if alone().any(|(row, &times)| times >= 1.0 && (!row.stands || !row.others.is_empty())) {
            return true;
        }
        let grown = |base: f64, of: &dyn Fn(&Row) -> f64| {
            let parts = alone().filter(|(row, _)| row.stands).map(|(row, times)| {
                let by = of(row) - base;
                if by.is_finite() { by * times } else { 0.0 }
            });
            base + parts.sum::<f64>()
        };
        let broken = |key: usize| grown(none.margins[key], &|row| row.margins[key]) <= 0.0;
        let wanders =
            |limit: f64, one: usize| grown(none.off[one], &|row| row.off[one]).abs() > limit;
        (0..none.margins.len()).any(broken)
            || self
                .reveal
                .is_some_and(|limit| (0..none.off.len()).any(|one| wanders(limit, one)))
    }

    /// The most marks of one operation, the others as they are, that leave at most so many draws
    /// failing; `None` where not even nought does.
    pub(super) fn alone(
        &self,
        ladder: &Ladder,
        times: &[f64],
        operation: usize,
        allowed: u64,
    ) -> Option<u32> {
        let mut times = times.to_vec();
        let mut best = None;
        for marks in 0..=ladder.most {
            times[operation] = ladder.times(marks);
            if self.fails(&times) > allowed {
                break;
            }
            best = Some(marks);
        }
        best
    }

    /// One set of which none can be loosened by a mark: all from nought, in turn by a mark each while
    /// it holds. `None` where not even nought does.
    pub(super) fn together(&self, ladder: &Ladder, allowed: u64) -> Option<Vec<u32>> {
        let holds = |marks: &[u32]| self.fails(&ladder.all(marks)) <= allowed;
        let mut marks = vec![0; self.each.len()];
        if !holds(&marks) {
            return None;
        }
        let mut open: Vec<bool> = marks.iter().map(|_| true).collect();
        while open.iter().any(|open| *open) {
            for operation in 0..marks.len() {
                if !open[operation] {
                    continue;
                }
                marks[operation] += 1;
                if marks[operation] > ladder.most || !holds(&marks) {
                    marks[operation] -= 1;
                    open[operation] = false;
                }
            }
        }
        Some(marks)
    }

    /// The operation that is best taken back by a mark: where the most draws are won.
    pub(super) fn tighter(&self, ladder: &Ladder, marks: &[u32]) -> Option<usize> {
        let some = (0..marks.len()).filter(|&one| marks[one] > 0);
        some.min_by_key(|&one| {
            let mut marks = marks.to_vec();
            marks[one] -= 1;
            self.fails(&ladder.all(&marks))
        })
    }
}

/// Marks of a tape up to the greatest tolerance, as multiples of the reference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ladder {
    /// One mark as a multiple of the reference.
    pub(super) mark: f64,
    /// The most marks.
    pub(super) most: u32,
}

impl Ladder {
    pub(super) fn times(&self, marks: u32) -> f64 {
        self.mark * f64::from(marks)
    }

    pub(super) fn all(&self, marks: &[u32]) -> Vec<f64> {
        marks.iter().map(|&marks| self.times(marks)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doubt::stream::stream;

    fn row(margin: f64) -> Row {
        Row {
            stands: true,
            others: Vec::new(),
            margins: vec![margin],
            off: Vec::new(),
        }
    }

    /// A gap that is 4 inside its limit with nothing else in doubt, each operation adding to it an
    /// error within 1 either way.
    fn apart(operations: usize, count: u64) -> Apart {
        let drawn: Vec<Vec<f64>> = (0..count)
            .map(|number| {
                let mut stream = stream(7, number);
                let errors = (0..operations).map(|_| stream.rectangular() / 3f64.sqrt());
                errors.collect()
            })
            .collect();
        Apart {
            none: vec![row(4.0); drawn.len()],
            each: (0..operations)
                .map(|one| drawn.iter().map(|errors| row(4.0 - errors[one])).collect())
                .collect(),
            reveal: None,
        }
    }

    const FINE: Ladder = Ladder {
        mark: 0.02,
        most: 2_000,
    };

    #[test]
    fn one_rectangular_error_may_be_as_large_as_its_quantile_lets_it() {
        // Uniform within t either way fails a margin of 4 with 1 % where 0.98 t = 4: t = 4.0816.
        let apart = apart(1, 20_000);
        let marks = apart.alone(&FINE, &[0.0], 0, 200).expect("nought does");
        let loosest = FINE.times(marks);
        assert!((loosest - 4.0816).abs() < 0.03, "{loosest}");
        assert_eq!(apart.together(&FINE, 200), Some(vec![marks]));
    }

    #[test]
    fn two_alike_come_to_the_sum_of_two_uniforms() {
        // Irwin-Hall for two: P(U1 + U2 > s) = (2 - s)^2 / 8 for errors within 1, so 1 % at
        // s = 2 - sqrt(0.08) = 1.7172: t = 4 / 1.7172 = 2.3294 for both.
        let apart = apart(2, 20_000);
        let marks = apart.together(&FINE, 200).expect("nought does");
        let sum = FINE.times(marks[0]) + FINE.times(marks[1]);
        assert!((sum / 2.0 - 2.3294).abs() < 0.03, "{sum}");
        // None can be loosened by a mark.
        for one in 0..2 {
            let mut looser = marks.clone();
            looser[one] += 1;
            assert!(apart.fails(&FINE.all(&looser)) > 200);
        }
    }

    #[test]
    fn looser_fails_no_less() {
        let apart = apart(3, 2_000);
        let mut before = 0;
        for marks in 0..400 {
            let fails = apart.fails(&FINE.all(&[marks, marks, marks]));
            assert!(fails >= before);
            before = fails;
        }
        assert!(before > 0);
    }

    #[test]
    fn what_fails_without_any_error_has_no_tolerance() {
        let mut apart = apart(1, 100);
        for row in &mut apart.none {
            row.margins[0] = -1.0;
        }
        assert_eq!(apart.together(&FINE, 1), None);
        assert_eq!(apart.alone(&FINE, &[0.0], 0, 1), None);
    }

    #[test]
    fn what_never_matters_may_be_anything() {
        let mut apart = apart(1, 100);
        apart.each[0] = apart.none.clone();
        assert_eq!(apart.alone(&FINE, &[0.0], 0, 1), Some(FINE.most));
    }
}
