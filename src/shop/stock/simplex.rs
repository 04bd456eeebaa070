//! The linear programme over the ways to cut boards: a revised simplex whose columns come one by one.
//!
//! In: a [`Problem`] and its patterns so far. Out: how often each pattern is used, fractions allowed,
//! and what a piece of each size is worth at that. The general solver among our dependencies gives no
//! such worths and takes no further columns, and both are what the method lives on.
//!
//! Rows: one for each size (at least the wanted), then one for each kind of board that is limited (at
//! most so many). A piece may be left without a board at a forbidding cost, which makes a first basis.

use super::problem::{Pattern, Problem};

/// A column of the programme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    /// A piece of this size without a board.
    Unmet(usize),
    /// What a row has to spare.
    Spare(usize),
    /// A pattern.
    Pattern(usize),
}

/// Costs are shares of the dearest board: a column must save more than this to come in.
pub(super) const SAVES: f64 = 1e-9;
/// A pivot smaller than this is noise.
const PIVOT: f64 = 1e-9;
/// After so many pivots the inverse is worked out anew.
const REFRESH: usize = 64;
/// So many boards of the dearest kind does a piece as long as a board cost that is left without one.
const FORBIDDING: f64 = 1000.0;

/// The programme in its present basis.
#[derive(Clone, Debug)]
pub(super) struct Simplex<'a> {
    problem: &'a Problem,
    /// The row of each limited kind.
    row_of: Vec<Option<usize>>,
    right: Vec<f64>,
    basis: Vec<Column>,
    inverse: Vec<f64>,
    values: Vec<f64>,
    pivots: usize,
}

impl<'a> Simplex<'a> {
    pub(super) fn new(problem: &'a Problem) -> Self {
        let sizes = problem.items.len();
        let mut right: Vec<f64> = problem
            .items
            .iter()
            .map(|item| f64::from(item.wanted))
            .collect();
        let mut basis: Vec<Column> = (0..sizes).map(Column::Unmet).collect();
        let mut row_of = Vec::new();
        for kind in &problem.kinds {
            row_of.push(kind.most.map(|most| {
                right.push(f64::from(most));
                basis.push(Column::Spare(right.len() - 1));
                right.len() - 1
            }));
        }
        let rows = right.len();
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        Self {
            problem,
            row_of,
            values: right.clone(),
            right,
            basis,
            inverse,
            pivots: 0,
        }
    }

    /// How many pivots it took so far.
    pub(super) const fn pivots(&self) -> usize {
        self.pivots
    }

    fn rows(&self) -> usize {
        self.right.len()
    }

    fn cost(&self, column: Column, patterns: &[Pattern]) -> f64 {
        let dearest = self.problem.dearest();
        match column {
            Column::Unmet(item) => {
                let share = self.problem.items[item].size as f64 / self.problem.greatest() as f64;
                FORBIDDING * (share + 1.0)
            }
            Column::Spare(_) => 0.0,
            Column::Pattern(at) => self.problem.kinds[patterns[at].kind].cost as f64 / dearest,
        }
    }

    /// The entries of a column, row by row; a row may come more than once.
    fn entries(&self, column: Column, patterns: &[Pattern]) -> Vec<(usize, f64)> {
        match column {
            Column::Unmet(item) => vec![(item, 1.0)],
            // A size has too many, a kind of board has some left.
            Column::Spare(row) if row < self.problem.items.len() => vec![(row, -1.0)],
            Column::Spare(row) => vec![(row, 1.0)],
            Column::Pattern(at) => {
                let pattern = &patterns[at];
                let gives = pattern.gives().map(|(item, n)| (item, f64::from(n)));
                let limited = self.row_of[pattern.kind].map(|row| (row, 1.0));
                gives.chain(limited).collect()
            }
        }
    }

    /// What one more of each row's right side would cost.
    pub(super) fn worths(&self, patterns: &[Pattern]) -> Vec<f64> {
        let rows = self.rows();
        let mut worths = vec![0.0; rows];
        for (column, row) in self.basis.iter().zip(self.inverse.chunks_exact(rows)) {
            let cost = self.cost(*column, patterns);
            if cost.abs() > 0.0 {
                for (worth, entry) in worths.iter_mut().zip(row) {
                    *worth += cost * entry;
                }
            }
        }
        worths
    }

    /// What a pattern of this kind with pieces worth so much would save, per use.
    pub(super) fn saves(&self, kind: usize, pieces: f64, worths: &[f64]) -> f64 {
        let limit = self.row_of[kind].map_or(0.0, |row| worths[row]);
        pieces + limit - self.problem.kinds[kind].cost as f64 / self.problem.dearest()
    }

    /// Brings in columns while any saves, or so many pivots are done. True where none saves.
    pub(super) fn improve(&mut self, patterns: &[Pattern], most: usize) -> bool {
        for _ in 0..most {
            let worths = self.worths(patterns);
            let Some(column) = self.entering(patterns, &worths) else {
                return true;
            };
            if !self.bring_in(column, patterns) {
                return true;
            }
        }
        false
    }

    /// The column that saves most.
    fn entering(&self, patterns: &[Pattern], worths: &[f64]) -> Option<Column> {
        let sizes = self.problem.items.len();
        let spare = worths.iter().enumerate().map(|(row, worth)| {
            let saves = if row < sizes { -worth } else { *worth };
            (saves, Column::Spare(row))
        });
        let cut = patterns.iter().enumerate().map(|(at, pattern)| {
            let pieces = pattern
                .gives()
                .map(|(item, copies)| worths[item] * f64::from(copies))
                .sum();
            let saves = self.saves(pattern.kind, pieces, worths);
            (saves, Column::Pattern(at))
        });
        let mut best: Option<(f64, Column)> = None;
        for (saves, column) in spare.chain(cut) {
            if saves > best.map_or(SAVES, |(most, _)| most) {
                best = Some((saves, column));
            }
        }
        best.map(|(_, column)| column)
    }

    /// Puts a column into the basis. False where nothing limits it or the numbers have run out.
    fn bring_in(&mut self, column: Column, patterns: &[Pattern]) -> bool {
        let rows = self.rows();
        let entries = self.entries(column, patterns);
        let way: Vec<f64> = self
            .inverse
            .chunks_exact(rows)
            .map(|row| entries.iter().map(|(at, entry)| row[*at] * entry).sum())
            .collect();
        let mut leaving: Option<(f64, usize)> = None;
        for (row, step) in way.iter().enumerate() {
            if *step <= PIVOT {
                continue;
            }
            let far = self.values[row].max(0.0) / step;
            let better = leaving.is_none_or(|(least, other)| {
                far < least - 1e-12 || (far <= least + 1e-12 && *step > way[other])
            });
            if better {
                leaving = Some((far, row));
            }
        }
        let Some((far, row)) = leaving else {
            return false;
        };
        self.pivot(row, &way);
        for (at, value) in self.values.iter_mut().enumerate() {
            *value = if at == row {
                far
            } else {
                *value - far * way[at]
            };
        }
        self.basis[row] = column;
        self.pivots += 1;
        !self.pivots.is_multiple_of(REFRESH) || self.refresh(patterns)
    }

    fn pivot(&mut self, row: usize, way: &[f64]) {
        let rows = self.rows();
        let scale = 1.0 / way[row];
        let pivot: Vec<f64> = self.inverse[row * rows..(row + 1) * rows]
            .iter()
            .map(|entry| entry * scale)
            .collect();
        for (at, line) in self.inverse.chunks_exact_mut(rows).enumerate() {
            if at == row {
                line.copy_from_slice(&pivot);
            } else if way[at].abs() > 0.0 {
                for (entry, from) in line.iter_mut().zip(&pivot) {
                    *entry -= way[at] * from;
                }
            }
        }
    }

    /// Works the inverse out anew from the basis, which sheds what rounding has put on it.
    fn refresh(&mut self, patterns: &[Pattern]) -> bool {
        let rows = self.rows();
        let mut wide = vec![0.0; rows * rows * 2];
        for (at, column) in self.basis.iter().enumerate() {
            for (row, entry) in self.entries(*column, patterns) {
                wide[row * rows * 2 + at] += entry;
            }
            wide[at * rows * 2 + rows + at] = 1.0;
        }
        for column in 0..rows {
            let size = |row: usize| wide[row * rows * 2 + column].abs();
            let mut best = column;
            for row in column + 1..rows {
                if size(row) > size(best) {
                    best = row;
                }
            }
            if size(best) <= PIVOT {
                return false;
            }
            for at in 0..rows * 2 {
                wide.swap(best * rows * 2 + at, column * rows * 2 + at);
            }
            let scale = 1.0 / wide[column * rows * 2 + column];
            let line: Vec<f64> = wide[column * rows * 2..(column + 1) * rows * 2]
                .iter()
                .map(|entry| entry * scale)
                .collect();
            for (row, other) in wide.chunks_exact_mut(rows * 2).enumerate() {
                let by = other[column];
                if row == column {
                    other.copy_from_slice(&line);
                } else if by.abs() > 0.0 {
                    for (entry, from) in other.iter_mut().zip(&line) {
                        *entry -= by * from;
                    }
                }
            }
        }
        for row in 0..rows {
            let from = &wide[row * rows * 2 + rows..(row + 1) * rows * 2];
            self.inverse[row * rows..(row + 1) * rows].copy_from_slice(from);
            self.values[row] = from.iter().zip(&self.right).map(|(a, b)| a * b).sum();
        }
        true
    }

    /// How often each pattern is used.
    pub(super) fn uses(&self, patterns: usize) -> Vec<f64> {
        let mut uses = vec![0.0; patterns];
        for (column, value) in self.basis.iter().zip(&self.values) {
            if let Column::Pattern(at) = column {
                uses[*at] = value.max(0.0);
            }
        }
        uses
    }

    /// What all boards cost, as a share of the dearest; pieces without a board cost forbiddingly.
    pub(super) fn costs(&self, patterns: &[Pattern]) -> f64 {
        self.basis
            .iter()
            .zip(&self.values)
            .map(|(column, value)| self.cost(*column, patterns) * value)
            .sum()
    }

    /// How many pieces are left without a board.
    pub(super) fn unmet(&self) -> f64 {
        let left = self.basis.iter().zip(&self.values);
        left.filter(|(column, _)| matches!(column, Column::Unmet(_)))
            .map(|(_, value)| value.max(0.0))
            .sum()
    }
}
