//! The tightest bound that corner values allow: over a box, no point is farther from all pieces
//! than the value of a small matrix game.
//!
//! Each piece's signed distance `d_i` is convex. For weights `a_i >= 0` adding up to 1,
//! `min_i d_i <= sum a_i d_i`, which is convex too and therefore greatest at a corner. The best
//! weights make the least such bound: the value of the game in which one side picks a piece, the
//! other a corner, and the payment is the distance. Two parallel faces with weights 1/2, 1/2 give
//! half the gap exactly, three faces the incircle. Solved by the simplex method; whatever weights
//! it stops at, the bound is worked out from them afresh, so it holds.

/// Corners at most: a box has eight.
pub(super) const CORNERS: usize = 8;

/// Pieces considered at once: those that bound most; more would only tighten a bound that splitting
/// tightens anyway.
const PLAYERS: usize = 12;

const COLUMNS: usize = PLAYERS + CORNERS + 1;

/// Pivots at most; a game of this size takes about as many as it has corners.
const PIVOTS: usize = 40;

/// The distances from one piece to the corners.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) piece: usize,
    pub(super) at: [f64; CORNERS],
}

/// The bound, and what proves it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Value {
    /// No point of the hull of the corners has a greater clearance, mm.
    pub(super) upper: f64,
    /// Pieces and their weights; unused places have weight 0.
    pub(super) weights: [(usize, f64); CORNERS],
    /// Weights of the corners: where a point with that clearance would stand.
    pub(super) corners: [f64; CORNERS],
}

/// Solves the game over the first `corners` corners. `None` where there are no pieces.
pub(super) fn solve(rows: &[Row], corners: usize) -> Option<Value> {
    let highest = |row: &Row| {
        row.at[..corners]
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let lowest = |row: &Row| {
        row.at[..corners]
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    };
    let best = rows
        .iter()
        .min_by(|a, b| highest(a).total_cmp(&highest(b)))?;
    let simple = highest(best);
    // A piece nowhere nearer than the best one's farthest corner cannot improve on it.
    let mut players: Vec<&Row> = rows
        .iter()
        .filter(|row| row.piece == best.piece || lowest(row) < simple)
        .collect();
    if players.len() > PLAYERS {
        players.sort_by(|a, b| highest(a).total_cmp(&highest(b)));
        players.truncate(PLAYERS);
    }
    let shift = 1.0
        - players
            .iter()
            .map(|row| lowest(row))
            .fold(f64::INFINITY, f64::min);
    let mut table = Table::new(&players, corners, shift);
    for _ in 0..PIVOTS {
        if !table.pivot() {
            break;
        }
    }
    Some(table.value(&players, corners, simple))
}

/// The simplex table of: most `sum y_i` with `sum_i (d_i(k) + shift) y_i <= 1` at each corner k.
struct Table {
    cells: [[f64; COLUMNS]; CORNERS + 1],
    basis: [usize; CORNERS],
    players: usize,
    corners: usize,
}

impl Table {
    fn new(players: &[&Row], corners: usize, shift: f64) -> Self {
        let mut cells = [[0.0; COLUMNS]; CORNERS + 1];
        let mut basis = [0; CORNERS];
        let last = players.len() + corners;
        for corner in 0..corners {
            for (column, row) in players.iter().enumerate() {
                cells[corner][column] = row.at[corner] + shift;
            }
            cells[corner][players.len() + corner] = 1.0;
            cells[corner][last] = 1.0;
            basis[corner] = players.len() + corner;
        }
        for cell in &mut cells[corners][..players.len()] {
            *cell = -1.0;
        }
        Self {
            cells,
            basis,
            players: players.len(),
            corners,
        }
    }

    /// One step; false at the optimum.
    fn pivot(&mut self) -> bool {
        let last = self.players + self.corners;
        let goal = &self.cells[self.corners];
        // Rounding makes costs of 1e-16; stopping early only loosens the bound.
        let Some(entering) = (0..last)
            .filter(|&column| goal[column] < -1e-12)
            .min_by(|&a, &b| goal[a].total_cmp(&goal[b]))
        else {
            return false;
        };
        let Some(leaving) = (0..self.corners)
            .filter(|&row| self.cells[row][entering] > 1e-12)
            .min_by(|&a, &b| self.ratio(a, entering).total_cmp(&self.ratio(b, entering)))
        else {
            return false;
        };
        let scale = 1.0 / self.cells[leaving][entering];
        for cell in &mut self.cells[leaving][..=last] {
            *cell *= scale;
        }
        let pivot_row = self.cells[leaving];
        for row in (0..=self.corners).filter(|&row| row != leaving) {
            let factor = self.cells[row][entering];
            for (cell, pivot) in self.cells[row][..=last].iter_mut().zip(&pivot_row) {
                *cell -= factor * pivot;
            }
        }
        self.basis[leaving] = entering;
        true
    }

    fn ratio(&self, row: usize, column: usize) -> f64 {
        self.cells[row][self.players + self.corners] / self.cells[row][column]
    }

    fn value(&self, players: &[&Row], corners: usize, simple: f64) -> Value {
        let last = self.players + self.corners;
        let mut weights = [(players[0].piece, 0.0); CORNERS];
        let mut sums = [0.0; CORNERS];
        let total: f64 = (0..corners)
            .filter(|&row| self.basis[row] < self.players)
            .map(|row| self.cells[row][last].max(0.0))
            .sum();
        let mut upper = simple;
        if total > 0.0 {
            for row in (0..corners).filter(|&row| self.basis[row] < self.players) {
                let player = players[self.basis[row]];
                let weight = self.cells[row][last].max(0.0) / total;
                weights[row] = (player.piece, weight);
                for (sum, distance) in sums.iter_mut().zip(&player.at[..corners]) {
                    *sum += weight * distance;
                }
            }
            upper = upper.min(
                sums[..corners]
                    .iter()
                    .copied()
                    .fold(f64::NEG_INFINITY, f64::max),
            );
        } else {
            weights[0].1 = 1.0;
        }
        let mut at = [0.0; CORNERS];
        let prices = &self.cells[self.corners][self.players..last];
        let price: f64 = prices.iter().map(|price| price.max(0.0)).sum();
        for (corner, weight) in at[..corners].iter_mut().enumerate() {
            *weight = if price > 0.0 {
                prices[corner].max(0.0) / price
            } else {
                1.0 / corners as f64
            };
        }
        Value {
            upper,
            weights,
            corners: at,
        }
    }
}
