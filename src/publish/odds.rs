//! Chances in words that one bets by: "1 in 12".

use crate::measure::grouped;

/// A chance from 0 to 1 in words.
#[must_use]
pub fn odds(share: f64) -> String {
    if share <= 0.0 {
        "never".to_owned()
    } else if share >= 1.0 {
        "always".to_owned()
    } else if share < LEAST {
        format!("under 1 in {}", grouped((1.0 / LEAST).round() as u64))
    } else if share <= ONE_IN {
        format!("1 in {}", grouped((1.0 / share).round() as u64))
    } else if share < MOST {
        format!("{:.0} in 10", (share * 10.0).round().clamp(4.0, 9.0))
    } else {
        format!(
            "all but 1 in {}",
            grouped((1.0 / (1.0 - share)).round() as u64)
        )
    }
}

/// From what to what a chance (0 to 1) lies, in words; the odds once where both ends read alike.
#[must_use]
pub fn odds_within((low, high): (f64, f64)) -> String {
    match (low <= 0.0, high >= 1.0) {
        (true, true) => "nothing is known yet".to_owned(),
        (true, false) => format!("at most {}", odds(high)),
        (false, true) => format!("at least {}", odds(low)),
        (false, false) => {
            let (low, high) = (odds(low), odds(high));
            if low == high {
                low
            } else {
                format!("{low} to {high}")
            }
        }
    }
}

/// A share of a whole, 0 to 1, as `34 %`.
#[must_use]
pub fn per_cent(share: f64) -> String {
    let per_cent = share * 100.0;
    if per_cent > 0.0 && per_cent < 1.0 {
        "under 1 %".to_owned()
    } else {
        format!("{per_cent:.0} %")
    }
}

/// Chances under this are told as under it.
const LEAST: f64 = 1e-4;
/// Up to here one says "1 in so many".
const ONE_IN: f64 = 0.4;
/// From here on the rest is told.
const MOST: f64 = 0.95;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_told_as_one_bets() {
        let told = [
            (0.0, "never"),
            (0.000_01, "under 1 in 10,000"),
            (0.000_5, "1 in 2,000"),
            (0.083, "1 in 12"),
            (0.34, "1 in 3"),
            (0.5, "5 in 10"),
            (0.88, "9 in 10"),
            (0.98, "all but 1 in 50"),
            (1.0, "always"),
        ];
        for (share, words) in told {
            assert_eq!(odds(share), words);
        }
        assert_eq!(odds_within((0.07, 0.1)), "1 in 14 to 1 in 10");
        assert_eq!(odds_within((0.0, 0.01)), "at most 1 in 100");
        assert_eq!(odds_within((0.98, 1.0)), "at least all but 1 in 50");
    }
}
