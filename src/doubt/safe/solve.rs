//! Which moves of the levers keep enough of the draws whole: on the rows, each lever's effect on each
//! margin taken as straight either way.
//!
//! Every sort of failure first gets an equal share of what may fail; what that leaves over is then
//! spent by stepping levers back, each time where the fewest draws are lost. Without any chance in
//! it: the same rows give the same moves.

use super::super::rows::Row;

/// What a mark of a lever does to each margin, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Effect {
    /// By a mark more.
    pub(super) more: Vec<f64>,
    /// By a mark less; `None` where it goes only one way.
    pub(super) less: Option<Vec<f64>>,
    /// What a mark of it costs beside a mark of another.
    pub(super) weight: f64,
    /// The most and the least marks that it has.
    pub(super) most: i32,
    pub(super) least: i32,
}

impl Effect {
    fn on(&self, key: usize, marks: i32) -> f64 {
        let by = f64::from(marks);
        if marks >= 0 {
            self.more[key] * by
        } else {
            self.less.as_ref().map_or(0.0, |less| less[key] * -by)
        }
    }

    fn holds(&self, marks: i32) -> bool {
        (self.least..=self.most).contains(&marks)
    }
}

/// The rows, and what is known of their margins.
pub(super) struct Bench<'a> {
    pub(super) rows: &'a [Row],
    /// For each margin its sort.
    pub(super) sort: &'a [usize],
    pub(super) sorts: usize,
    /// Sorts that are not counted: nothing brings them back.
    pub(super) out: Vec<bool>,
    pub(super) effects: &'a [Effect],
}

/// What the levers come to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Solved {
    /// Marks of each lever.
    pub(super) marks: Vec<i32>,
    /// Rows that fail then.
    pub(super) fails: u64,
}

/// Steps that are tried at once where no single mark helps.
const STRIDES: [i32; 4] = [1, 2, 4, 8];
/// So many of them at most.
const MOST_STRIDES: usize = 64;

impl Bench<'_> {
    /// How far each margin moves.
    pub(super) fn shifts(&self, marks: &[i32]) -> Vec<f64> {
        let keys = 0..self.sort.len();
        keys.map(|key| {
            let pulled = self.effects.iter().zip(marks);
            pulled.map(|(effect, &marks)| effect.on(key, marks)).sum()
        })
        .collect()
    }

    /// True where a row fails whatever is set.
    pub(super) fn lost(row: &Row) -> bool {
        !row.stands || !row.others.is_empty()
    }

    /// Rows in which anything fails.
    pub(super) fn fails(&self, marks: &[i32]) -> u64 {
        self.count(marks, |sort| !self.out[sort], true)
    }

    /// Rows in which one sort fails.
    pub(super) fn fails_of(&self, marks: &[i32], sort: usize) -> u64 {
        self.count(marks, |one| one == sort, false)
    }

    /// Rows that fail, and those of each sort: less of it is better even while others fail in the same
    /// rows.
    fn pain(&self, marks: &[i32]) -> u64 {
        let sorts = (0..self.sorts).filter(|&sort| !self.out[sort]);
        let each: u64 = sorts.map(|sort| self.fails_of(marks, sort)).sum();
        self.fails(marks) + each
    }

    /// True where some lever alone brings a sort within what is allowed.
    pub(super) fn is_curable(&self, sort: usize, allowed: u64) -> bool {
        let still = vec![0; self.effects.len()];
        self.fails_of(&still, sort) <= allowed
            || (0..self.effects.len()).any(|lever| {
                let ways = [1, -1].into_iter();
                ways.into_iter()
                    .any(|way| self.first(&still, (lever, way), (sort, allowed)).is_some())
            })
    }

    fn count(&self, marks: &[i32], of: impl Fn(usize) -> bool, with_lost: bool) -> u64 {
        let shifts = self.shifts(marks);
        let failing = |row: &&Row| {
            (with_lost && Self::lost(row))
                || row
                    .margins
                    .iter()
                    .zip(&shifts)
                    .zip(self.sort)
                    .any(|((margin, shift), &sort)| of(sort) && margin + shift <= 0.0)
        };
        self.rows.iter().filter(failing).count() as u64
    }

    fn cost(&self, marks: &[i32]) -> f64 {
        let pulled = self.effects.iter().zip(marks);
        pulled
            .map(|(effect, marks)| effect.weight * f64::from(marks.abs()))
            .sum()
    }

    fn with(&self, marks: &[i32], lever: usize, by: i32) -> Option<Vec<i32>> {
        let mut moved = marks.to_vec();
        moved[lever] += by;
        self.effects[lever].holds(moved[lever]).then_some(moved)
    }

    /// The least moves that leave at most so many rows failing; where none do, those that leave the
    /// fewest.
    pub(super) fn solve(&self, allowed: u64) -> Solved {
        let mut marks = vec![0; self.effects.len()];
        let mut fails = self.fails(&marks);
        if fails > allowed {
            marks = self.shared(marks, allowed);
            marks = self.improved(marks, allowed);
            // What cannot be had is not paid for: as few as there are, for the least.
            let pain = self.pain(&marks);
            fails = self.fails(&marks);
            marks = self.trimmed(marks, |moved| {
                let now = self.fails(moved);
                now <= allowed || (fails > allowed && now <= fails && self.pain(moved) <= pain)
            });
            fails = self.fails(&marks);
        }
        Solved { marks, fails }
    }

    /// Each sort by itself within an equal share of what may fail.
    fn shared(&self, mut marks: Vec<i32>, allowed: u64) -> Vec<i32> {
        let mut needy: Vec<(u64, usize)> = (0..self.sorts)
            .map(|sort| (self.fails_of(&marks, sort), sort))
            .filter(|(fails, sort)| *fails > 0 && !self.out[*sort])
            .collect();
        needy.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let share = allowed / (needy.len() as u64).max(1);
        for (_, sort) in needy {
            if self.fails_of(&marks, sort) <= share {
                continue;
            }
            let now = self.pain(&marks);
            let mut best: Option<(u64, f64, Vec<i32>)> = None;
            for lever in 0..self.effects.len() {
                for way in [1, -1] {
                    let Some(moved) = self.first(&marks, (lever, way), (sort, share)) else {
                        continue;
                    };
                    let (pain, cost) = (self.pain(&moved), self.cost(&moved));
                    // A few rows more or less are not worth a mark.
                    let much = allowed.max(1);
                    let better = best.as_ref().is_none_or(|(least, price, _)| {
                        pain + much < *least || (pain < *least + much && cost < *price)
                    });
                    if better {
                        best = Some((pain, cost, moved));
                    }
                }
            }
            if let Some((pain, _, moved)) = best
                && pain < now
            {
                marks = moved;
            }
        }
        marks
    }

    /// The first mark at which a sort keeps within its share.
    fn first(
        &self,
        marks: &[i32],
        (lever, way): (usize, i32),
        (sort, share): (usize, u64),
    ) -> Option<Vec<i32>> {
        let effect = &self.effects[lever];
        let helps = (0..self.sort.len())
            .filter(|&key| self.sort[key] == sort)
            .any(|key| effect.on(key, way) > NO_EFFECT_MM);
        if !helps {
            return None;
        }
        (1..=effect.most - effect.least).find_map(|by| {
            let moved = self.with(marks, lever, way * by)?;
            (self.fails_of(&moved, sort) <= share).then_some(moved)
        })
    }

    /// Steps that help most for what they cost, until it is enough or none helps.
    fn improved(&self, mut marks: Vec<i32>, allowed: u64) -> Vec<i32> {
        for _ in 0..MOST_STRIDES {
            if self.fails(&marks) <= allowed {
                break;
            }
            let now = self.pain(&marks);
            let mut best: Option<(f64, Vec<i32>)> = None;
            for lever in 0..self.effects.len() {
                for by in STRIDES.iter().flat_map(|&stride| [stride, -stride]) {
                    let Some(moved) = self.with(&marks, lever, by) else {
                        continue;
                    };
                    let saved = now.saturating_sub(self.pain(&moved));
                    let gain = saved as f64 / (self.effects[lever].weight * f64::from(by.abs()));
                    if saved > 0 && best.as_ref().is_none_or(|(most, _)| gain > *most) {
                        best = Some((gain, moved));
                    }
                }
            }
            let Some((_, moved)) = best else {
                break;
            };
            marks = moved;
        }
        marks
    }

    /// Steps back while it holds, each time where the fewest do.
    fn trimmed(&self, mut marks: Vec<i32>, holds: impl Fn(&[i32]) -> bool) -> Vec<i32> {
        loop {
            let mut best: Option<(u64, Vec<i32>)> = None;
            for lever in (0..marks.len()).filter(|&lever| marks[lever] != 0) {
                let Some(moved) = self.with(&marks, lever, -marks[lever].signum()) else {
                    continue;
                };
                let fails = self.fails(&moved);
                if holds(&moved) && best.as_ref().is_none_or(|(least, _)| fails < *least) {
                    best = Some((fails, moved));
                }
            }
            let Some((_, moved)) = best else {
                return marks;
            };
            marks = moved;
        }
    }

    /// How far a lever may be moved, the others as they are: marks from and to.
    pub(super) fn room(&self, marks: &[i32], lever: usize, allowed: u64) -> (i32, i32) {
        let end = |way: i32| {
            let mut at = marks.to_vec();
            while let Some(moved) = self.with(&at, lever, way) {
                if self.fails(&moved) > allowed {
                    break;
                }
                at = moved;
            }
            at[lever]
        };
        (end(-1), end(1))
    }

    /// How far the margins of a sort must move, all alike, so that at most so many rows fail of it;
    /// `None` where no length does.
    pub(super) fn alone(&self, sort: usize, allowed: u64) -> Option<f64> {
        let mut worst: Vec<f64> = self
            .rows
            .iter()
            .map(|row| {
                let of = row.margins.iter().zip(self.sort);
                of.filter(|(_, one)| **one == sort)
                    .map(|(margin, _)| *margin)
                    .fold(f64::INFINITY, f64::min)
            })
            .collect();
        worst.sort_by(f64::total_cmp);
        let next = worst.get(usize::try_from(allowed).ok()?)?;
        (*next > f64::NEG_INFINITY).then(|| (-next).max(0.0))
    }
}

/// Less than this is no effect of a mark, mm.
pub(super) const NO_EFFECT_MM: f64 = 0.02;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doubt::stream::stream;

    fn rows(margins: impl Fn(u64) -> Vec<f64>, count: u64) -> Vec<Row> {
        (0..count)
            .map(|number| Row {
                stands: true,
                others: Vec::new(),
                margins: margins(number),
                off: Vec::new(),
            })
            .collect()
    }

    fn lever(more: Vec<f64>) -> Effect {
        let less = more.iter().map(|by| -by).collect();
        Effect {
            more,
            less: Some(less),
            weight: 1.0,
            most: 4_000,
            least: -4_000,
        }
    }

    #[test]
    fn one_rectangular_error_needs_its_quantile() {
        // Uniform within 100 mm either way about a margin of nought: 1 in 100 lies under -98.
        let drawn = |number: u64| vec![100.0 * stream(3, number).rectangular() / 3f64.sqrt()];
        let rows = rows(drawn, 20_000);
        let effects = [lever(vec![0.1])];
        let bench = Bench {
            rows: &rows,
            sort: &[0],
            sorts: 1,
            out: vec![false],
            effects: &effects,
        };
        let alone = bench.alone(0, 200).expect("a length does");
        // The standard error of the quantile: sqrt(p q / n) / density = 0.14.
        assert!((alone - 98.0).abs() < 0.6, "{alone}");
        let solved = bench.solve(200);
        assert!((f64::from(solved.marks[0]) * 0.1 - alone).abs() < 0.21);
        assert!(solved.fails <= 200);
    }

    #[test]
    fn two_independent_sorts_share_as_the_greatest_of_two() {
        // Errors of 100 mm, both shifted by 100 s: P(neither fails) = F(s)^2 for normal errors, so for 99 % together each
        // needs the quantile of sqrt(0.99): 2.5746 (standard normal), against 2.3263 alone.
        let drawn = |number: u64| {
            let mut stream = stream(4, number);
            vec![100.0 * stream.normal(), 100.0 * stream.normal()]
        };
        let rows = rows(drawn, 40_000);
        let effects = [lever(vec![1.0, 0.0]), lever(vec![0.0, 1.0])];
        let bench = Bench {
            rows: &rows,
            sort: &[0, 1],
            sorts: 2,
            out: vec![false; 2],
            effects: &effects,
        };
        // The same error of a quantile: 1.8 mm at this density.
        for sort in [0, 1] {
            let alone = bench.alone(sort, 400).expect("a length does");
            assert!((alone - 232.63).abs() < 6.0, "{alone}");
        }
        let solved = bench.solve(400);
        let sum = f64::from(solved.marks[0] + solved.marks[1]);
        assert!(solved.fails <= 400);
        // Equal shares are the least sum; what is left is spent within a mark or two of it.
        assert!((sum - 2.0 * 257.46).abs() < 12.0, "{sum}");
    }

    #[test]
    fn a_window_narrower_than_the_spread_has_no_room_and_the_middle_is_the_best() {
        // Height within 1 either way of the middle, as planned 0.5 too low, normal with sd 1: best at
        // the middle, where 1 - (2 Phi(1) - 1) = 31.7 % fail.
        let drawn = |number: u64| {
            let error = stream(5, number).normal();
            vec![0.5 + error, 1.5 - error]
        };
        let rows = rows(drawn, 10_000);
        let effects = [lever(vec![0.05, -0.05])];
        let bench = Bench {
            rows: &rows,
            sort: &[0, 1],
            sorts: 2,
            out: vec![false; 2],
            effects: &effects,
        };
        let solved = bench.solve(100);
        let share = solved.fails as f64 / 10_000.0;
        assert!((share - 0.3173).abs() < 0.015, "{share}");
        let by = f64::from(solved.marks[0]) * 0.05;
        assert!((by - 0.5).abs() < 0.2, "{by}");
    }

    #[test]
    fn what_nothing_moves_stays_and_draws_without_a_rail_are_counted() {
        let mut rows = rows(|_| vec![-1.0], 100);
        for row in &mut rows[..3] {
            row.stands = false;
        }
        let still = [lever(vec![0.0])];
        let bench = |effects| Bench {
            rows: &rows,
            sort: &[0],
            sorts: 1,
            out: vec![false],
            effects,
        };
        let solved = bench(&still).solve(1);
        assert_eq!((solved.fails, solved.marks[0]), (100, 0));
        let moves = [lever(vec![0.5])];
        let solved = bench(&moves).solve(1);
        assert_eq!(solved.fails, 3);
    }
}
