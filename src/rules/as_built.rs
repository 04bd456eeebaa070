//! Published tolerances of what others built: how far a wall may be off plumb, flat and square.
//!
//! They say whether a wall is as good as a standard asks; none says that a rail will look straight
//! along it. A tolerance is not scaled down to a shorter length (BRANZ, Build magazine, "Within
//! tolerance").

use crate::measure::Length;

/// A tolerance with the length that it is read over, and where it was published.
#[derive(Clone, Debug, PartialEq)]
pub struct AsBuilt {
    /// At most this...
    pub limit: Length,
    /// ...over this length.
    pub over: Length,
    /// Where it was published.
    pub source: &'static str,
}

/// How far a framed wall may be out of plumb: 3/8 in over 32 in of height.
#[must_use]
pub fn plumb() -> AsBuilt {
    AsBuilt {
        limit: Length::inches(0.375),
        over: Length::inches(32.0),
        source: "NAHB Residential Construction Performance Guidelines",
    }
}

/// How flat a finished wall may be under a straightedge of a length.
///
/// DIN 18202, Table 3, row 6: between the standard distances interpolated, then rounded to whole
/// millimetres.
#[must_use]
pub fn flat(over: Length) -> AsBuilt {
    const ROW_6: [(f64, f64); 5] = [
        (0.1, 3.0),
        (1.0, 5.0),
        (4.0, 10.0),
        (10.0, 20.0),
        (15.0, 25.0),
    ];
    let metres = (over.as_mm() / 1000.0).clamp(ROW_6[0].0, ROW_6[4].0);
    let pair = ROW_6.windows(2).find(|pair| metres <= pair[1].0);
    let limit = pair.map_or(ROW_6[4].1, |pair| {
        let (a, b) = (pair[0], pair[1]);
        a.1 + (b.1 - a.1) * (metres - a.0) / (b.0 - a.0)
    });
    AsBuilt {
        limit: Length::mm(limit.round()),
        over,
        source: "DIN 18202, Table 3, row 6",
    }
}

/// How far off its meant angle a surface may stand, as an offset over its length.
///
/// DIN 18202, Table 2.
#[must_use]
pub fn square(over: Length) -> AsBuilt {
    const TABLE_2: [(f64, f64); 6] = [
        (0.5, 3.0),
        (1.0, 6.0),
        (3.0, 8.0),
        (6.0, 12.0),
        (15.0, 16.0),
        (30.0, 20.0),
    ];
    let metres = over.as_mm() / 1000.0;
    let row = TABLE_2.iter().find(|(most, _)| metres <= *most);
    AsBuilt {
        limit: Length::mm(row.map_or(30.0, |row| row.1)),
        over,
        source: "DIN 18202, Table 2",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finished_wall_is_as_flat_as_the_table_says() {
        // DIN 18202, Table 3, row 6: at 1, 4 and 10 m as printed, between them by the stated rule.
        for (metres, limit) in [
            (1.0, 5.0),
            (2.0, 7.0),
            (3.0, 8.0),
            (4.0, 10.0),
            (6.0, 13.0),
            (8.0, 17.0),
            (10.0, 20.0),
            (15.0, 25.0),
            (40.0, 25.0),
        ] {
            let found = flat(Length::mm(metres * 1000.0)).limit;
            assert!(
                (found.as_mm() - limit).abs() < 1e-9,
                "{metres} m: {found:?}"
            );
        }
    }

    #[test]
    fn angles_keep_the_offsets_of_the_table() {
        // DIN 18202, Table 2.
        for (metres, limit) in [
            (0.5, 3.0),
            (0.6, 6.0),
            (2.0, 8.0),
            (5.0, 12.0),
            (31.0, 30.0),
        ] {
            let found = square(Length::mm(metres * 1000.0)).limit;
            assert!(
                (found.as_mm() - limit).abs() < 1e-9,
                "{metres} m: {found:?}"
            );
        }
    }
}
