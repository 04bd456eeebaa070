//! Marks on a tape: where each baluster's near face goes, read from one end, so that rounding
//! never adds up.

use crate::measure::tolerance::SAME_POINT_MM;
use crate::measure::{Length, Tape};

use super::spacing::Spot;

/// Where to make the mark for the near face of a baluster.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The baluster.
    pub part: String,
    /// From the face at the lower end of the run, level.
    pub level: Length,
    /// The same along the rail: its slope, and the fittings at its ends.
    pub rake: Length,
}

/// A place this far under half way between two marks still goes to the upper one, in marks: so that
/// the noise of arithmetic does not send evenly spaced halves now up, now down.
const HALF_NOISE: f64 = 1e-9;

fn to_mark(marks: f64) -> f64 {
    (marks + 0.5 + HALF_NOISE).floor()
}

/// The nearest mark to each running distance from one end.
#[must_use]
pub fn marks(running: &[Length], tape: Tape) -> Vec<Length> {
    let mark = tape.mark();
    running
        .iter()
        .map(|&place| mark * to_mark(place / mark))
        .collect()
}

/// Marks for the near faces of balusters with equal gaps in a clear length, from its lower end.
///
/// Every gap, read between marks with the widths as read on the tape, is one of two neighbouring
/// numbers of marks, and they take turns as evenly as can be: the greatest difference of any two is
/// one mark. Where the balusters are alike, or as wide as a whole number of marks, each mark is
/// within half a mark of its exact place; else their own rounding comes to that.
#[must_use]
pub fn even_marks(clear: Length, widths: &[Length], tape: Tape) -> Vec<Length> {
    let mark = tape.mark();
    let gaps = widths.len() as f64 + 1.0;
    let read: Vec<f64> = widths.iter().map(|&width| to_mark(width / mark)).collect();
    let mut taken = 0.0;
    if alike(widths) {
        // With one width the places themselves run evenly, so the nearest marks do too.
        let sum = widths.iter().fold(Length::ZERO, |sum, &width| sum + width);
        let gap = (clear - sum) / mark / gaps;
        (1..)
            .zip(widths)
            .map(|(number, &width)| {
                let place = f64::from(number) * gap + taken;
                taken += width / mark;
                mark * to_mark(place)
            })
            .collect()
    } else {
        let gap = (clear / mark - read.iter().sum::<f64>()) / gaps;
        (1..)
            .zip(&read)
            .map(|(number, &width)| {
                let place = to_mark(f64::from(number) * gap) + taken;
                taken += width;
                mark * place
            })
            .collect()
    }
}

fn alike(widths: &[Length]) -> bool {
    widths.first().is_none_or(|first| {
        widths
            .iter()
            .all(|width| (*width - *first).abs().as_mm() < SAME_POINT_MM)
    })
}

/// The marks of a run: level, and along a slope on which a level length is `stretch` times as long.
/// `even` is the run's one gap, where it has one; `from` is x of the lower end's face.
pub(super) fn of_run(
    names: impl Iterator<Item = String>,
    spots: &[Spot],
    even: Option<f64>,
    from: f64,
    stretch: f64,
    tape: Tape,
) -> Vec<Mark> {
    let along = |stretch: f64| match even {
        Some(gap) => {
            let widths: Vec<Length> = spots
                .iter()
                .map(|spot| Length::mm(2.0 * spot.half * stretch))
                .collect();
            let gaps = Length::mm(gap * stretch) * (spots.len() as f64 + 1.0);
            let clear = widths.iter().fold(gaps, |sum, &width| sum + width);
            even_marks(clear, &widths, tape)
        }
        None => {
            let running: Vec<Length> = spots
                .iter()
                .map(|spot| Length::mm((spot.near() - from) * stretch))
                .collect();
            marks(&running, tape)
        }
    };
    names
        .zip(along(1.0).into_iter().zip(along(stretch)))
        .map(|(part, (level, rake))| Mark { part, level, rake })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Gaps read in marks, with the widths read on the tape.
    fn gaps(clear: Length, widths: &[Length], tape: Tape, marked: &[Length]) -> Vec<f64> {
        let count = |length: Length| (length / tape.mark() + 0.5 + 1e-9).floor();
        let mut at = 0.0;
        let mut found = Vec::new();
        for (&place, &width) in marked.iter().zip(widths) {
            found.push(count(place) - at);
            at = count(place) + count(width);
        }
        found.push(count(clear) - at);
        found
    }

    fn tapes() -> impl Strategy<Value = Tape> {
        prop_oneof![
            Just(Tape::Sixteenths),
            Just(Tape::ThirtySeconds),
            Just(Tape::Millimetres)
        ]
    }

    proptest! {
        // The properties are those of an even spread of a whole number over places (Bresenham,
        // Algorithm for computer control of a digital plotter, 1965).
        #[test]
        fn equal_gaps_differ_by_a_mark_at_most(
            tape in tapes(),
            width in 8.0..60.0_f64,
            gap in 30.0..120.0_f64,
            count in 1_usize..60,
        ) {
            let widths = vec![Length::mm(width); count];
            let clear = Length::mm(gap * (count as f64 + 1.0) + width * count as f64);
            let marked = even_marks(clear, &widths, tape);
            let read = gaps(clear, &widths, tape, &marked);
            let least = read.iter().copied().fold(f64::INFINITY, f64::min);
            let most = read.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(most - least < 1.5, "{read:?}");
            // The sum is conserved: gaps and widths come to the length as read.
            let widths_read = (width / tape.mark().as_mm() + 0.5 + 1e-9).floor() * count as f64;
            let sum: f64 = read.iter().sum::<f64>() + widths_read;
            prop_assert!((sum - (clear / tape.mark() + 0.5).floor()).abs() < 1e-6);
            for (index, place) in marked.iter().enumerate() {
                let exact = gap * (index as f64 + 1.0) + width * index as f64;
                let off = (place.as_mm() - exact).abs() / tape.mark().as_mm();
                prop_assert!(off <= 0.5 + 1e-6, "mark {index} is {off} of a mark off");
            }
        }

        #[test]
        fn patterns_on_the_marks_do_too(
            tape in tapes(),
            turns in prop::collection::vec(4_u32..40, 1..4),
            gap in 20.0..90.0_f64,
            count in 1_usize..60,
        ) {
            let mark = tape.mark();
            let widths: Vec<Length> =
                (0..count).map(|at| mark * f64::from(turns[at % turns.len()])).collect();
            let sum: f64 = widths.iter().map(|width| *width / mark).sum();
            let clear = mark * (gap * (count as f64 + 1.0) + sum);
            let marked = even_marks(clear, &widths, tape);
            let read = gaps(clear, &widths, tape, &marked);
            for pair in read.windows(2) {
                prop_assert!((pair[0] - pair[1]).abs() < 1.5, "{read:?}");
            }
            for one in &read {
                prop_assert!((one - gap).abs() < 1.0 + 1e-6, "{one} for {gap}");
            }
            let last = marked.last().copied().unwrap_or_default() / mark;
            let exact = gap * count as f64 + sum - f64::from(turns[(count - 1) % turns.len()]);
            prop_assert!((last - exact).abs() <= 0.5 + 1e-6);
        }

        #[test]
        fn patterns_off_the_marks_keep_neighbours_a_mark_apart(
            tape in tapes(),
            turns in prop::collection::vec(8.0..50.0_f64, 2..4),
            gap in 30.0..120.0_f64,
            count in 2_usize..60,
        ) {
            let widths: Vec<Length> =
                (0..count).map(|at| Length::mm(turns[at % turns.len()])).collect();
            let sum: f64 = widths.iter().map(|width| width.as_mm()).sum();
            let clear = Length::mm(gap * (count as f64 + 1.0) + sum);
            let marked = even_marks(clear, &widths, tape);
            let read = gaps(clear, &widths, tape, &marked);
            for pair in read.windows(2) {
                prop_assert!((pair[0] - pair[1]).abs() < 1.5, "{read:?}");
            }
        }
    }

    #[test]
    fn a_common_run_by_hand() {
        // 72 in clear, thirteen of 1 1/2 in: gap 3 3/4 (ehow.com how_6210555), on the marks.
        let widths = vec![Length::inches(1.5); 13];
        let marked = even_marks(Length::inches(72.0), &widths, Tape::Sixteenths);
        for (index, place) in (0..).zip(&marked) {
            let exact = 3.75 + 5.25 * f64::from(index);
            assert!((place.as_inches() - exact).abs() < 1e-9);
        }
        // 52 in clear, ten of 1 1/2 in: 37/11 in = 53.8 sixteenths (ironfurnit.blogspot.com
        // 2011-11): nine gaps of 54 and two of 53 make 592 sixteenths.
        let widths = vec![Length::inches(1.5); 10];
        let clear = Length::inches(52.0);
        let marked = even_marks(clear, &widths, Tape::Sixteenths);
        let read = gaps(clear, &widths, Tape::Sixteenths, &marked);
        let of = |wanted: f64| {
            read.iter()
                .filter(|one| (*one - wanted).abs() < 0.1)
                .count()
        };
        assert_eq!((of(54.0), of(53.0)), (9, 2));
    }
}
