//! Least squares by orthogonal factors, and the straight line through points that are uncertain
//! both ways.
//!
//! The adjustment has priors and works in the space of the readings; these have none: they fit a
//! plane or a line to points alone.

use nalgebra::{DMatrix, DVector, SMatrix, SVector};

/// Columns that hang together more closely than this cannot be told apart.
const RANK: f64 = 1e-13;

/// Coefficients that make the weighted squares of `values - rows * coefficients` least, with their
/// cofactor matrix (their covariance where weights are one over variances). `None` where the rows do
/// not settle every coefficient.
pub(super) fn least_squares<const N: usize>(
    rows: &[SVector<f64, N>],
    values: &[f64],
    weights: &[f64],
) -> Option<(SVector<f64, N>, SMatrix<f64, N, N>)> {
    if rows.len() < N {
        return None;
    }
    // Each column is scaled to length one, so that their sizes have no say in their rank.
    let root = |at: usize| weights[at].sqrt();
    let mut design = DMatrix::from_fn(rows.len(), N, |row, column| rows[row][column] * root(row));
    let right = DVector::from_fn(rows.len(), |row, _| values[row] * root(row));
    let scales = SVector::<f64, N>::from_fn(|column, _| design.column(column).norm());
    if scales.min() <= 0.0 {
        return None;
    }
    for column in 0..N {
        design.column_mut(column).unscale_mut(scales[column]);
    }
    let factors = design.qr();
    let upper = factors.r();
    if upper.diagonal().abs().min() < RANK {
        return None;
    }
    let turned = factors.q().transpose() * right;
    let solved = upper.solve_upper_triangular(&turned.rows(0, N).into_owned())?;
    let inverse = upper.solve_upper_triangular(&DMatrix::identity(N, N))?;
    let cofactor = &inverse * inverse.transpose();
    Some((
        SVector::from_fn(|row, _| solved[row] / scales[row]),
        SMatrix::from_fn(|row, column| cofactor[(row, column)] / (scales[row] * scales[column])),
    ))
}

/// A point with its standard uncertainties.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Uncertain {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) sd_x: f64,
    pub(super) sd_y: f64,
}

/// A straight line `y = at_zero + slope * x`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
}

/// Steps of the line's iteration; each gains a digit or more.
const STEPS: usize = 100;
/// The slope has settled when it moves by no more than this share.
const SETTLED: f64 = 1e-15;

/// The line that makes the weighted squares of the distances least, each point uncertain both ways
/// (York, Evensen, Lopez Martinez and De Basabe Delgado, American Journal of Physics 72, 2004, with
/// uncorrelated errors). With equal uncertainties it is the line of least perpendicular distances
/// (Pearson, 1901). `None` of fewer than two points, or where they stand above each other.
pub(super) fn line(points: &[Uncertain]) -> Option<Line> {
    let rows: Vec<SVector<f64, 2>> = points.iter().map(|p| SVector::from([1.0, p.x])).collect();
    let values: Vec<f64> = points.iter().map(|p| p.y).collect();
    let start = least_squares(&rows, &values, &vec![1.0; points.len()])?.0;
    let mut slope = start[1];
    let mut at_zero = start[0];
    for _step in 0..STEPS {
        let weight = |p: &Uncertain| 1.0 / (p.sd_y.powi(2) + (slope * p.sd_x).powi(2));
        let sum = |of: &dyn Fn(&Uncertain) -> f64| points.iter().map(of).sum::<f64>();
        let all = sum(&|p| weight(p));
        let (x, y) = (
            sum(&|p| weight(p) * p.x) / all,
            sum(&|p| weight(p) * p.y) / all,
        );
        // Where each point lies along the line, from the middle, by both of its coordinates.
        let along = |p: &Uncertain| {
            weight(p) * ((p.x - x) * p.sd_y.powi(2) + slope * (p.y - y) * p.sd_x.powi(2))
        };
        let next =
            sum(&|p| weight(p) * along(p) * (p.y - y)) / sum(&|p| weight(p) * along(p) * (p.x - x));
        if !next.is_finite() {
            return None;
        }
        let moved = (next - slope).abs();
        slope = next;
        at_zero = y - slope * x;
        if moved <= SETTLED * slope.abs() {
            break;
        }
    }
    Some(Line { at_zero, slope })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// NIST Statistical Reference Datasets, Norris (y, x).
    const NORRIS: [(f64, f64); 36] = [
        (0.1, 0.2),
        (338.8, 337.4),
        (118.1, 118.2),
        (888.0, 884.6),
        (9.2, 10.1),
        (228.1, 226.5),
        (668.5, 666.3),
        (998.5, 996.3),
        (449.1, 448.6),
        (778.9, 777.0),
        (559.2, 558.2),
        (0.3, 0.4),
        (0.1, 0.6),
        (778.1, 775.5),
        (668.8, 666.9),
        (339.3, 338.0),
        (448.9, 447.5),
        (10.8, 11.6),
        (557.7, 556.0),
        (228.3, 228.1),
        (998.0, 995.8),
        (888.8, 887.6),
        (119.6, 120.2),
        (0.3, 0.3),
        (0.6, 0.3),
        (557.6, 556.8),
        (339.3, 339.1),
        (888.0, 887.2),
        (998.5, 999.0),
        (778.9, 779.0),
        (10.2, 11.1),
        (117.6, 118.3),
        (228.9, 229.2),
        (668.4, 669.1),
        (449.2, 448.9),
        (0.2, 0.5),
    ];

    /// Coefficients, their standard deviations and the residual standard deviation.
    fn fitted<const N: usize>(
        rows: &[SVector<f64, N>],
        values: &[f64],
    ) -> (SVector<f64, N>, SVector<f64, N>, f64) {
        let (found, cofactor) = least_squares(rows, values, &vec![1.0; rows.len()]).unwrap();
        let squares: f64 = rows
            .iter()
            .zip(values)
            .map(|(row, value)| (value - row.dot(&found)).powi(2))
            .sum();
        let spread = (squares / (rows.len() - N) as f64).sqrt();
        (
            found,
            cofactor.diagonal().map(|one| spread * one.sqrt()),
            spread,
        )
    }

    #[test]
    fn norris_as_certified() {
        let rows: Vec<_> = NORRIS
            .iter()
            .map(|(_, x)| SVector::from([1.0, *x]))
            .collect();
        let values: Vec<f64> = NORRIS.iter().map(|(y, _)| *y).collect();
        let (found, sds, spread) = fitted(&rows, &values);
        // NIST StRD, Norris: certified values.
        assert_relative_eq!(found[0], -0.262_323_073_774_029, max_relative = 1e-9);
        assert_relative_eq!(found[1], 1.002_116_818_020_45, max_relative = 1e-10);
        assert_relative_eq!(sds[0], 0.232_818_234_301_152, max_relative = 1e-10);
        assert_relative_eq!(sds[1], 4.297_968_481_999_37e-4, max_relative = 1e-10);
        assert_relative_eq!(spread, 0.884_796_396_144_373, max_relative = 1e-10);
    }

    #[test]
    fn no_intercept_as_certified() {
        // NIST StRD, NoInt1: x 60 to 70, y 130 to 140.
        let rows: Vec<_> = (60..=70).map(|x| SVector::from([f64::from(x)])).collect();
        let values: Vec<f64> = (130..=140).map(f64::from).collect();
        let (found, sds, spread) = fitted(&rows, &values);
        assert_relative_eq!(found[0], 2.074_380_165_289_26, max_relative = 1e-10);
        assert_relative_eq!(sds[0], 0.016_528_925_619_834_7, max_relative = 1e-10);
        assert_relative_eq!(spread, 3.567_530_340_063_38, max_relative = 1e-10);
        // NoInt2: certified coefficient and sum of squares.
        let rows = [4.0, 5.0, 6.0].map(|x| SVector::from([x]));
        let (found, _, spread) = fitted(&rows, &[3.0, 4.0, 4.0]);
        assert_relative_eq!(found[0], 0.727_272_727_272_727, max_relative = 1e-10);
        assert_relative_eq!(
            spread.powi(2) * 2.0,
            0.272_727_272_727_273,
            max_relative = 1e-10
        );
    }

    #[test]
    fn longley_as_certified() {
        // NIST StRD, Longley: y, then six columns. The data are from memory; the certified
        // coefficients would not come out of wrong ones.
        const DATA: [[f64; 7]; 16] = [
            [60323.0, 83.0, 234_289.0, 2356.0, 1590.0, 107_608.0, 1947.0],
            [61122.0, 88.5, 259_426.0, 2325.0, 1456.0, 108_632.0, 1948.0],
            [60171.0, 88.2, 258_054.0, 3682.0, 1616.0, 109_773.0, 1949.0],
            [61187.0, 89.5, 284_599.0, 3351.0, 1650.0, 110_929.0, 1950.0],
            [63221.0, 96.2, 328_975.0, 2099.0, 3099.0, 112_075.0, 1951.0],
            [63639.0, 98.1, 346_999.0, 1932.0, 3594.0, 113_270.0, 1952.0],
            [64989.0, 99.0, 365_385.0, 1870.0, 3547.0, 115_094.0, 1953.0],
            [63761.0, 100.0, 363_112.0, 3578.0, 3350.0, 116_219.0, 1954.0],
            [66019.0, 101.2, 397_469.0, 2904.0, 3048.0, 117_388.0, 1955.0],
            [67857.0, 104.6, 419_180.0, 2822.0, 2857.0, 118_734.0, 1956.0],
            [68169.0, 108.4, 442_769.0, 2936.0, 2798.0, 120_445.0, 1957.0],
            [66513.0, 110.8, 444_546.0, 4681.0, 2637.0, 121_950.0, 1958.0],
            [68655.0, 112.6, 482_704.0, 3813.0, 2552.0, 123_366.0, 1959.0],
            [69564.0, 114.2, 502_601.0, 3931.0, 2514.0, 125_368.0, 1960.0],
            [69331.0, 115.7, 518_173.0, 4806.0, 2572.0, 127_852.0, 1961.0],
            [70551.0, 116.9, 554_894.0, 4007.0, 2827.0, 130_081.0, 1962.0],
        ];
        let rows: Vec<SVector<f64, 7>> = DATA
            .iter()
            .map(|line| SVector::from_fn(|at, _| if at == 0 { 1.0 } else { line[at] }))
            .collect();
        let values: Vec<f64> = DATA.iter().map(|line| line[0]).collect();
        let (found, sds, spread) = fitted(&rows, &values);
        let certified = [
            (-3_482_258.634_595_82, 890_420.383_607_373),
            (15.061_872_271_373_3, 84.914_925_774_766_9),
            (-0.035_819_179_292_591_0, 0.033_491_007_772_243_2),
            (-2.020_229_803_816_83, 0.488_399_681_651_699),
            (-1.033_226_867_173_59, 0.214_274_163_161_675),
            (-0.051_104_105_653_580_7, 0.226_073_200_069_370),
            (1_829.151_464_613_55, 455.478_499_142_212),
        ];
        for (at, (value, sd)) in certified.into_iter().enumerate() {
            assert_relative_eq!(found[at], value, max_relative = 1e-7);
            assert_relative_eq!(sds[at], sd, max_relative = 1e-7);
        }
        assert_relative_eq!(spread, 304.854_073_561_965, max_relative = 1e-8);
    }

    /// Pearson's points (1901), as York (1966) uses them.
    const PEARSON: [(f64, f64); 10] = [
        (0.0, 5.9),
        (0.9, 5.4),
        (1.8, 4.4),
        (2.6, 4.6),
        (3.3, 3.5),
        (4.4, 3.7),
        (5.2, 2.8),
        (6.1, 2.8),
        (6.5, 2.4),
        (7.4, 1.5),
    ];

    #[test]
    fn the_line_of_least_perpendicular_distances() {
        let points = PEARSON.map(|(x, y)| Uncertain {
            x,
            y,
            sd_x: 1.0,
            sd_y: 1.0,
        });
        let found = line(&points).unwrap();
        // Pearson, Philosophical Magazine 2, 1901: y = 5.784 - 0.546 x (from memory; more digits
        // from the closed form by principal axes).
        assert!((found.slope + 0.545_561).abs() < 1e-6, "{found:?}");
        assert!((found.at_zero - 5.784_044).abs() < 1e-6, "{found:?}");
    }

    #[test]
    fn the_line_with_weights_of_both_coordinates() {
        let x = [
            1000.0, 1000.0, 500.0, 800.0, 200.0, 80.0, 60.0, 20.0, 1.8, 1.0_f64,
        ];
        let y = [1.0, 1.8, 4.0, 8.0, 20.0, 20.0, 70.0, 70.0, 100.0, 500.0_f64];
        let points: Vec<Uncertain> = PEARSON
            .iter()
            .zip(x.iter().zip(&y))
            .map(|(&(at_x, at_y), (wx, wy))| Uncertain {
                x: at_x,
                y: at_y,
                sd_x: wx.sqrt().recip(),
                sd_y: wy.sqrt().recip(),
            })
            .collect();
        let found = line(&points).unwrap();
        // York, Canadian Journal of Physics 44, 1966, to the digits that later suites carry.
        assert_relative_eq!(found.slope, -0.480_533_407_446_20, max_relative = 1e-9);
        assert_relative_eq!(found.at_zero, 5.479_910_224_032_86, max_relative = 1e-9);
    }

    #[test]
    fn what_the_rows_do_not_settle_is_refused() {
        let rows = [SVector::from([1.0, 2.0]), SVector::from([2.0, 4.0])];
        assert!(least_squares(&rows, &[1.0, 2.0], &[1.0, 1.0]).is_none());
        assert!(least_squares(&rows[..1], &[1.0], &[1.0]).is_none());
    }
}
