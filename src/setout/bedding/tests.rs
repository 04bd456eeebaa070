//! The programme against closed forms, worked by hand: every filling is bounded from below by a
//! limit that only it can keep.

use approx::assert_relative_eq;

use super::programme::{Board, Boards, Laid, Limit, Point, StepLimits};

const RISE: f64 = 190.0;

/// Level cuts on stringers at places across, as so many rises that come out even, with floors at
/// either end; `off` is what each cut is off, by tread and stringer.
fn flight(across: &[f64], treads: usize, off: impl Fn(usize, usize) -> f64) -> Boards {
    let at = |tread: usize, one: usize| RISE * (tread as f64 + 1.0) + off(tread, one);
    let points = |tread: usize| {
        let point = |(one, across): (usize, &f64)| Point {
            across: *across,
            along: 0.0,
            at: at(tread, one),
            weight: 1.0,
        };
        across.iter().enumerate().map(point).collect()
    };
    let board = |tread: usize| Board {
        points: points(tread),
        half_depth: None,
        edge: 0.0,
    };
    Boards {
        boards: (0..treads).map(board).collect(),
        half_width: 450.0,
        below: Some([0.0; 2]),
        above: Some([RISE * (treads as f64 + 1.0); 2]),
        limits: StepLimits {
            range: Some(10.0),
            tilt: Some(1.0 / 48.0),
            ..StepLimits::default()
        },
        relieve_most: 3.0,
        relieve_cost: 4.0,
        level_cost: 0.0,
    }
}

const THREE: [f64; 3] = [-0.9, 0.0, 0.9];

fn gaps(boards: &Boards, laid: &[Laid]) -> Vec<Vec<f64>> {
    let all = boards.boards.iter().zip(laid);
    all.map(|(board, laid)| board.points.iter().map(|p| laid.gap(p)).collect())
        .collect()
}

fn filling(boards: &Boards) -> f64 {
    boards.filling(&boards.lay().expect("it can be laid")).0
}

#[test]
fn true_stringers_need_nothing() {
    let boards = flight(&THREE, 6, |_, _| 0.0);
    let laid = boards.lay().expect("it can be laid");
    for (number, one) in laid.iter().enumerate() {
        assert_relative_eq!(one.level, RISE * (number as f64 + 1.0), epsilon = 1e-5);
        assert_relative_eq!(one.tilt, 0.0, epsilon = 1e-5);
    }
    assert_relative_eq!(boards.filling(&laid).0, 0.0, epsilon = 1e-4);
}

#[test]
fn one_stringer_low_at_one_tread_is_filled_there_and_nowhere_else() {
    for low in THREE.iter().enumerate().map(|(one, _)| one) {
        let off = |tread, one| if (tread, one) == (3, low) { -4.0 } else { 0.0 };
        let boards = flight(&THREE, 6, off);
        let laid = boards.lay().expect("it can be laid");
        for (tread, gaps) in gaps(&boards, &laid).iter().enumerate() {
            for (one, gap) in gaps.iter().enumerate() {
                assert_relative_eq!(*gap, -off(tread, one), epsilon = 1e-4);
            }
        }
    }
}

#[test]
fn a_tread_whose_cuts_are_all_low_is_raised_until_the_rises_pass() {
    // Two rises part by 2 d less twice the filling: d less half the range, on every stringer.
    for low in [4.0, 5.0, 7.0, 12.0] {
        let boards = flight(&THREE, 8, |tread, _| if tread == 4 { -low } else { 0.0 });
        let wanted = 3.0 * (low - 5.0f64).max(0.0);
        assert_relative_eq!(filling(&boards), wanted, epsilon = 1e-4);
    }
}

#[test]
fn a_high_tread_is_relieved_where_that_is_cheap_and_else_its_neighbours_filled() {
    let high = 7.0;
    let mut boards = flight(&THREE, 8, |tread, _| if tread == 4 { high } else { 0.0 });
    // Two neighbours filled by 2 on three stringers; relieving would count four times.
    assert_relative_eq!(filling(&boards), 12.0, epsilon = 1e-4);
    boards.relieve_cost = 1.0;
    let laid = boards.lay().expect("it can be laid");
    let (fill, relieve) = boards.filling(&laid);
    assert_relative_eq!(fill, 0.0, epsilon = 1e-4);
    assert_relative_eq!(relieve, 6.0, epsilon = 1e-4);
}

#[test]
fn a_tread_tilts_as_far_as_its_slope_may_go_and_is_filled_for_the_rest() {
    // 900 between the stringers: 1 in 48 is 18.75.
    for (low, wanted) in [(10.0, 0.0), (18.75, 0.0), (25.0, 6.25)] {
        let off = |tread, one| if (tread, one) == (2, 1) { -low } else { 0.0 };
        let mut boards = flight(&[-1.0, 1.0], 5, off);
        boards.limits.range = None;
        assert_relative_eq!(filling(&boards), wanted, epsilon = 1e-4);
    }
}

/// Rises of a flight on one stringer, floors at both ends.
fn rises(rises: &[f64], limits: StepLimits) -> Boards {
    let mut at = 0.0;
    let heights: Vec<f64> = rises
        .iter()
        .map(|rise| {
            at += rise;
            at
        })
        .collect();
    let (top, cuts) = heights.split_last().expect("some rises");
    let board = |cut: &f64| Board {
        points: vec![Point {
            across: 0.0,
            along: 0.0,
            at: *cut,
            weight: 1.0,
        }],
        half_depth: None,
        edge: 0.0,
    };
    Boards {
        boards: cuts.iter().map(board).collect(),
        above: Some([*top; 2]),
        limits,
        relieve_most: 0.0,
        ..flight(&[0.0], 1, |_, _| 0.0)
    }
}

/// Rises that keep one country's rule and break the other's: National Building Code of Canada 2020
/// 9.8.4.4.(1), neighbours 5 mm and a flight 10 mm; International Residential Code R311.7.5.1,
/// a flight 3/8 in. The fillings are the least by hand: each is the sum of limits that it keeps.
#[test]
fn uniform_rises_by_two_national_rules() {
    let nbc = StepLimits {
        range: Some(10.0),
        neighbours: Some(5.0),
        ..StepLimits::default()
    };
    let irc = StepLimits {
        range: Some(9.525),
        ..StepLimits::default()
    };
    let creeping = [180.0, 184.0, 188.0, 192.0];
    let by_turns = [180.0, 190.0, 180.0, 190.0];
    for (of, limits, wanted) in [
        // f1 + f3 >= 2 for the range; 4 + f1 + f3 - 2 f2 <= 5 between the second and the third.
        (creeping, nbc, 2.5),
        // f1 + f3 >= 12 - 9.525.
        (creeping, irc, 2.475),
        // 10 - f1 - f3 + 2 f2 <= 5 between the second and the third.
        (by_turns, nbc, 5.0),
        (by_turns, irc, 0.475),
    ] {
        let boards = rises(&of, limits);
        assert_relative_eq!(filling(&boards), wanted, epsilon = 1e-4);
        for end in [0, 1] {
            let steps = boards.steps(&boards.lay().expect("it can be laid"), end);
            let most = steps.iter().copied().fold(0.0, f64::max);
            let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
            assert!(most - least <= limits.range.unwrap_or(0.0) + 1e-4);
        }
    }
}

#[test]
fn what_cannot_be_laid_names_the_least_that_a_limit_has_to_give() {
    // One tread between floors 2 R apart, its cut so high that the rises part by 30 with all the
    // relieving there is: the range has to give 20, or the relieving 10.
    let mut boards = flight(&[-0.5, 0.5], 1, |_, _| 18.0);
    boards.limits.tilt = None;
    assert_eq!(boards.lay(), None);
    let range = boards.least_give(Some(Limit::Range)).expect("it helps");
    let relieve = boards.least_give(Some(Limit::Relieve)).expect("it helps");
    assert_relative_eq!(range, 20.0, epsilon = 1e-4);
    assert_relative_eq!(relieve, 10.0, epsilon = 1e-4);
    let gives = super::gives(&boards);
    assert_eq!(gives[0].0, Some(Limit::Relieve));
    // Both together: each millimetre of the range and of the relieving, 30 = 10 + e + 2 e.
    let all = boards.least_give(None).expect("it helps");
    assert_relative_eq!(all, 20.0 / 3.0, epsilon = 1e-4);
    assert!(
        boards
            .given(Some(Limit::Range), range + 1e-4)
            .lay()
            .is_some()
    );
    assert!(
        boards
            .given(Some(Limit::Range), range - 1e-2)
            .lay()
            .is_none()
    );
}

#[test]
fn a_tread_that_may_fall_lies_on_cuts_that_fall() {
    // Cuts 5 lower at the back than at the front, over 250: the tread follows them.
    let mut boards = flight(&THREE, 3, |_, _| 0.0);
    for board in &mut boards.boards {
        board.half_depth = Some(125.0);
        let front: Vec<Point> = board.points.clone();
        board.points.clear();
        for point in front {
            for along in [-1.0, 1.0] {
                board.points.push(Point {
                    along,
                    at: point.at - 2.5 * along,
                    weight: 0.5,
                    ..point
                });
            }
        }
    }
    assert_relative_eq!(filling(&boards), 0.0, epsilon = 1e-4);
    // At 1 in 100 it may fall 2.5 of it, so 2.5 is to fill at the back: half of it, three times.
    boards.limits.tilt = Some(0.01);
    assert_relative_eq!(filling(&boards), 3.0 * 3.0 * 1.25, epsilon = 1e-4);
}

#[test]
fn a_tread_stays_level_where_that_is_worth_more_than_filling() {
    // Two stringers at the ends of the treads, one low by 8: level it fills 8, tilted nothing and
    // is 8 out of level.
    let off = |tread, one| if (tread, one) == (2, 1) { -8.0 } else { 0.0 };
    let mut boards = flight(&[-1.0, 1.0], 5, off);
    boards.limits.range = None;
    for (price, wanted) in [(0.0, 0.0), (0.9, 0.0), (1.1, 8.0), (2.0, 8.0)] {
        boards.level_cost = price;
        assert_relative_eq!(filling(&boards), wanted, epsilon = 1e-4);
    }
}
