//! Dense symmetric factors, in blocks: the sums are matrix products, which the library does at the
//! machine's speed, where its own factor goes column by column.

use nalgebra::{Cholesky, DMatrix, DVector};

/// Columns in a block: enough for a product to run at speed, few enough to stay in a cache.
const BLOCK: usize = 96;

/// The lower factor of a symmetric positive definite matrix.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    lower: DMatrix<f64>,
}

impl Factor {
    /// Factors a matrix, of which the lower half is read. `None` where it is not positive definite.
    pub(super) fn of(mut matrix: DMatrix<f64>) -> Option<Self> {
        let n = matrix.nrows();
        let mut at = 0;
        while at < n {
            let wide = BLOCK.min(n - at);
            let rest = n - at - wide;
            let corner = matrix.view((at, at), (wide, wide)).into_owned();
            let corner = Cholesky::new(corner)?.unpack();
            matrix.view_mut((at, at), (wide, wide)).copy_from(&corner);
            if rest > 0 {
                // below * corner^-T, as a product with the small inverse.
                let inverse = corner.solve_lower_triangular(&DMatrix::identity(wide, wide))?;
                let below = matrix.view((at + wide, at), (rest, wide)) * inverse.transpose();
                matrix
                    .view_mut((at + wide, at), (rest, wide))
                    .copy_from(&below);
                subtract_square(&mut matrix, at + wide, &below);
            }
            at += wide;
        }
        matrix.fill_upper_triangle(0.0, 1);
        Some(Self { lower: matrix })
    }

    /// Solves for one right hand side.
    pub(super) fn solve(&self, right: &DVector<f64>) -> DVector<f64> {
        let half = self.half(right);
        let mut whole = half;
        // The factor's diagonal is positive, so neither solution can fail.
        self.lower.tr_solve_lower_triangular_mut(&mut whole);
        whole
    }

    /// `lower^-1 right`: the inner product of two of these is `a^T matrix^-1 b`.
    pub(super) fn half(&self, right: &DVector<f64>) -> DVector<f64> {
        let mut half = right.clone();
        self.lower.solve_lower_triangular_mut(&mut half);
        half
    }

    /// The same for many right hand sides, in place.
    pub(super) fn halves(&self, mut right: DMatrix<f64>) -> DMatrix<f64> {
        self.lower.solve_lower_triangular_mut(&mut right);
        right
    }

    /// `lower^-1`.
    pub(super) fn inverse_lower(&self) -> DMatrix<f64> {
        let n = self.lower.nrows();
        let mut inverse = DMatrix::zeros(n, n);
        let starts: Vec<usize> = (0..n).step_by(BLOCK).collect();
        for &at in &starts {
            let wide = BLOCK.min(n - at);
            let mut corner = DMatrix::identity(wide, wide);
            self.lower
                .view((at, at), (wide, wide))
                .solve_lower_triangular_mut(&mut corner);
            // Block column by block column: above its own diagonal block a column is nought.
            for &from in starts.iter().take_while(|from| **from < at) {
                let across = BLOCK.min(at - from);
                let left = self.lower.view((at, from), (wide, at - from));
                let above = inverse.view((from, from), (at - from, across));
                let part = -&corner * (left * above);
                inverse
                    .view_mut((at, from), (wide, across))
                    .copy_from(&part);
            }
            inverse.view_mut((at, at), (wide, wide)).copy_from(&corner);
        }
        inverse
    }
}

/// Takes `below * below^T` from the lower half of the trailing square, block column by block column.
fn subtract_square(matrix: &mut DMatrix<f64>, from: usize, below: &DMatrix<f64>) {
    let rows = below.nrows();
    let mut at = 0;
    while at < rows {
        let wide = BLOCK.min(rows - at);
        let across = below.rows(at, wide).transpose();
        matrix
            .view_mut((from + at, from + at), (rows - at, wide))
            .gemm(-1.0, &below.rows(at, rows - at), &across, 1.0);
        at += wide;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A well-conditioned symmetric matrix with no special structure.
    fn sample(n: usize) -> DMatrix<f64> {
        let half = DMatrix::from_fn(n, n, |i, j| ((i * 37 + j * 61) as f64).sin());
        &half * half.transpose() + DMatrix::identity(n, n) * (n as f64)
    }

    #[test]
    fn agrees_with_the_library_on_every_size_about_a_block() {
        for n in [1, 2, 95, 96, 97, 200, 289] {
            let matrix = sample(n);
            let factor = Factor::of(matrix.clone()).unwrap();
            let library = Cholesky::new(matrix.clone()).unwrap();
            assert_relative_eq!(
                factor.lower,
                library.l(),
                max_relative = 1e-10,
                epsilon = 1e-10
            );
            let inverse = factor.inverse_lower();
            assert_relative_eq!(
                inverse.transpose() * &inverse,
                library.inverse(),
                max_relative = 1e-9,
                epsilon = 1e-12
            );
            let right = DVector::from_fn(n, |i, _| (i as f64).cos());
            let solved = factor.solve(&right);
            assert_relative_eq!(&matrix * solved, right, max_relative = 1e-9, epsilon = 1e-9);
        }
    }

    #[test]
    fn what_is_not_positive_has_no_factor() {
        assert!(Factor::of(DMatrix::from_element(3, 3, 1.0) - DMatrix::identity(3, 3)).is_none());
    }
}
