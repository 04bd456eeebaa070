//! The one place where a value becomes a verdict.

use crate::measure::Length;
use crate::measure::tolerance::{BALL_AT_LIMIT_MM, SAME_POINT_MM};
use crate::rules::Sense;

use super::Verdict;

/// Judges a value known to lie between two bounds against a limit. `doubt` widens both bounds
/// where readings carry it; a drawn sample or an exact job has none.
///
/// "Under" is strict: an opening of exactly the limit lets the ball pass and is broken. Bounds that
/// close on the limit from both sides to within the ball search's last step cannot show that it is
/// kept, so they count as broken too.
#[must_use]
pub fn judge(
    lower: Length,
    upper: Length,
    sense: Sense,
    limit: Length,
    doubt: Option<Length>,
) -> Verdict {
    let doubt = doubt.map_or(0.0, Length::as_mm);
    let (low, high) = (lower.as_mm() - doubt, upper.as_mm() + doubt);
    let limit = limit.as_mm();
    let (met, broken) = match sense {
        Sense::AtMost => (high <= limit + SAME_POINT_MM, low > limit + SAME_POINT_MM),
        Sense::AtLeast => (low >= limit - SAME_POINT_MM, high < limit - SAME_POINT_MM),
        Sense::Under => (high < limit, low + BALL_AT_LIMIT_MM >= limit),
    };
    match (met, broken) {
        (true, _) => Verdict::Met,
        (false, true) => Verdict::Broken,
        (false, false) => Verdict::TooClose,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(value: f64, sense: Sense, limit: f64) -> Verdict {
        let value = Length::inches(value);
        judge(value, value, sense, Length::inches(limit), None)
    }

    #[test]
    fn a_ball_of_exactly_the_limit_passes() {
        // IRC R312.1.3: the opening must not let the sphere pass, so it must be under it.
        assert_eq!(exact(3.999, Sense::Under, 4.0), Verdict::Met);
        assert_eq!(exact(4.0, Sense::Under, 4.0), Verdict::Broken);
    }

    #[test]
    fn a_rise_of_exactly_the_limit_is_met() {
        assert_eq!(exact(7.75, Sense::AtMost, 7.75), Verdict::Met);
        assert_eq!(exact(7.76, Sense::AtMost, 7.75), Verdict::Broken);
        assert_eq!(exact(10.0, Sense::AtLeast, 10.0), Verdict::Met);
        assert_eq!(exact(9.99, Sense::AtLeast, 10.0), Verdict::Broken);
    }

    #[test]
    fn a_limit_within_the_doubt_is_too_close_to_call() {
        let value = Length::inches(3.99);
        let verdict = judge(
            value,
            value,
            Sense::Under,
            Length::inches(4.0),
            Some(Length::mm(1.0)),
        );
        assert_eq!(verdict, Verdict::TooClose);
    }
}
