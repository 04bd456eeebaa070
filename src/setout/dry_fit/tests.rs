//! The dry fit against closed forms of plane geometry, and against common practice where said.

use approx::assert_relative_eq;

use super::*;
use crate::job::Document;
use crate::measure::Length;
use crate::setout::{Choices, Limits, solve};
use crate::site;
use crate::survey;

const STAIR: &str = include_str!("../../../scenes/straight.ron");
/// The stair's first newel: 3 1/2 in square.
const WIDE: f64 = 3.5 * 25.4;

/// The scene with some of its text put otherwise, and its first newel set down on it.
fn fitted(changes: &[(&str, &str)]) -> DryFit {
    fitted_of("N1", changes)
}

fn fitted_of(newel: &str, changes: &[(&str, &str)]) -> DryFit {
    let mut text = STAIR.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let document = Document::parse(&text, "test.ron").unwrap();
    let job = document.job();
    let site = site::build(job, &survey::survey(job).estimates);
    let setout = solve(job, &site, &Limits::NONE, &Choices::default()).unwrap();
    dry_fit(job, &site, &setout, (newel, &Turns::default())).unwrap()
}

/// The lines on the face of a kind, by the side of the newel.
fn line(fit: &DryFit, on: Board, side: FitSide) -> &KnifeLine {
    let face = fit.faces.iter().find(|face| face.on == on).unwrap();
    face.lines.iter().find(|line| line.side == side).unwrap()
}

fn inches(lengths: [Length; 2]) -> [f64; 2] {
    lengths.map(Length::as_inches)
}

/// Common practice, no source: going 10 in, two 1 1/4 in balusters to the tread, overhang 3/4 in, the
/// first displaced. The uphill face stands 1 1/4 in behind the kick's face, 2 in from the nosing, and
/// behind a 3/4 in kick it goes on by 1/2 in.
#[test]
fn the_common_case_is_two_inches_from_the_nosing() {
    let fit = fitted(&[
        ("going: \"10 1/4\"", "going: \"10\""),
        ("overhang: \"1\"", "overhang: \"3/4\""),
        ("inset: \"2 1/2\"", "inset: \"-1/4\""),
    ]);
    let (edge, off) = line(&fit, Board::Top, FitSide::Uphill).off;
    assert_eq!(edge, Edge::Nosing);
    for off in inches(off) {
        assert_relative_eq!(off, 2.0, epsilon = 1e-6);
    }
    let behind = |part: &str| {
        let behind = fit.behind.iter().find(|one| one.part == part).unwrap();
        behind.depth.as_inches()
    };
    assert_relative_eq!(behind("K1"), 0.75, epsilon = 1e-6);
    assert_relative_eq!(behind("S1"), 0.5, epsilon = 1e-6);
    assert!(fit.behind.iter().any(|one| one.part == "S1" && one.carries));
    let beside = &fit.beside[0];
    assert_eq!(beside.other, "B01");
    let next = beside.next.as_ref().unwrap();
    for gap in [beside.at_foot, beside.at_rail.unwrap(), next.1] {
        assert_relative_eq!(gap.as_inches(), 3.75, epsilon = 1e-6);
    }
    assert_eq!(fit.stands, Standing::Notched);
    assert!(fit.seen(Length::mm(0.01)).is_empty(), "{:?}", fit.gaps);
}

/// A square newel turned by an angle a in a level, square tread: a side of length w runs w sin a out
/// of square with the edge beside it and w cos a along it.
#[test]
fn a_twisted_newel_runs_out_of_square_by_the_sine_of_its_twist() {
    let turn = 4.0_f64.to_radians();
    let fit = fitted(&[(
        "section: Square(\"3 1/2\"),",
        "section: Square(\"3 1/2\"), twist: 4,",
    )]);
    let uphill = line(&fit, Board::Top, FitSide::Uphill);
    let [from, to] = uphill.off.1.map(Length::as_mm);
    assert_relative_eq!((from - to).abs(), WIDE * turn.sin(), epsilon = 1e-6);
    let [from, to] = uphill.along.1.map(Length::as_mm);
    assert_relative_eq!(to - from, WIDE * turn.cos(), epsilon = 1e-6);
    assert_relative_eq!(uphill.length().as_mm(), WIDE, epsilon = 1e-6);
    // Laid out square to the nosing it is open by as much at one end.
    let square = |gap: &&FitGap| gap.why == GapWhy::SquareToEdge(Edge::Nosing);
    let gap = fit.gaps.iter().find(square).unwrap();
    assert_eq!(gap.side, FitSide::Uphill);
    assert_relative_eq!(gap.greatest.as_mm(), WIDE * turn.sin(), epsilon = 1e-6);
    // The level tread takes a square saw all along: only the kick's cut is at an angle, 3/4 in deep.
    let sawn: Vec<_> = fit
        .gaps
        .iter()
        .filter(|gap| gap.why == GapWhy::SquareToFace)
        .collect();
    assert!(!sawn.is_empty() && sawn.iter().all(|gap| gap.part == "K1"));
    for gap in sawn {
        let open = 0.75 * 25.4 * turn.tan();
        assert_relative_eq!(gap.greatest.as_mm(), open, epsilon = 1e-6);
    }
}

/// A tread out of level by g over its width W lifts a newel of width w cut square by w g / W at one
/// side.
#[test]
fn a_tread_out_of_level_opens_under_a_square_foot_by_its_share() {
    let fit = fitted(&[
        (
            "stands: Displaces(step: 1, balusters: 1)",
            "stands: At(x: \"6\", y: \"0\"), foot: OnTop",
        ),
        (
            "readings: [\n            // Rise",
            "readings: [\n            Level(step: 1, is: \"3/8\", high: Wall),\n            // Rise",
        ),
    ]);
    assert_eq!(fit.stands, Standing::OnTop(1));
    assert!(!fit.cuts());
    // What the survey makes of the one reading is the stair as found: the foot's own corners tell it.
    let ring = &fit.foot.as_ref().unwrap().ring;
    let (low, high) = ring
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at.z), high.max(at.z))
        });
    let share = 3.5 / 38.0 * 0.375 * 25.4;
    assert_relative_eq!(high - low, share, max_relative = 0.02);
    let widest = fit.seen(Length::ZERO)[0];
    assert_eq!(widest.why, GapWhy::SquareFoot);
    assert_relative_eq!(widest.greatest.as_mm(), high - low, epsilon = 1e-9);
}

/// The saw square to a tread that is out of level, the newel plumb: over the thickness t the cut
/// leaves the newel by t times the slope, on one side showing, on the other under the tread.
#[test]
fn a_square_saw_on_a_sloping_tread_opens_by_thickness_times_slope() {
    let fit = fitted(&[(
        "readings: [\n            // Rise",
        "readings: [\n            Level(step: 1, is: \"3/8\", high: Wall),\n            // Rise",
    )]);
    let top = fit.faces.iter().find(|face| face.on == Board::Top).unwrap();
    let slope = top.normal.xy().norm() / top.normal.z;
    assert_relative_eq!(slope, 0.375 / 38.0, max_relative = 0.02);
    let sawn = |shows: bool| {
        let mut gaps = fit.gaps.iter();
        gaps.find(|gap| gap.part == "T1" && gap.why == GapWhy::SquareToFace && gap.shows == shows)
            .unwrap()
    };
    // High at the wall: the outward normal of the top leans to the open side, so the outward side
    // binds above and the inward one shows.
    for (gap, side) in [
        (sawn(true), FitSide::Outward),
        (sawn(false), FitSide::Inward),
    ] {
        assert_eq!(gap.side, side);
        assert_relative_eq!(gap.greatest.as_mm(), 25.4 * slope, epsilon = 1e-6);
    }
}

/// A kick out of plumb by l over a height h, a newel plumb before it: they part by the cut's height
/// times l / h.
#[test]
fn a_leaning_kick_opens_by_its_lean_over_the_height() {
    let touching = "stands: At(x: \"-1 3/4\", y: \"0\")";
    let fit = fitted(&[
        ("stands: Displaces(step: 1, balusters: 1)", touching),
        (
            "    // What is to be built on it.",
            "    boards: (kick_leans: [(step: 1, by: \"1/4\", over: \"8\")]),",
        ),
    ]);
    let against = |gap: &&FitGap| gap.why == GapWhy::AgainstKick;
    let gap = fit.gaps.iter().find(against).unwrap();
    // From the floor to the underside of tread 1: 6 1/2 in.
    assert_relative_eq!(gap.greatest.as_inches(), 6.5 / 8.0 / 4.0, epsilon = 1e-6);
    assert!(fit.cuts(), "the nosing is in its way");
}

/// Its head is over its foot by the height times the lean.
#[test]
fn the_cap_stands_off_by_the_lean_over_the_height() {
    let leaning = fitted(&[(
        "height: \"50\", ",
        "height: \"50\", lean: (up_flight: \"1/4\", outward: \"1/8\", over: \"40\"),",
    )]);
    let (a, b) = (0.25 / 40.0, 0.125 / 40.0_f64);
    let plumb = 50.0 / (1.0_f64 + a * a + b * b).sqrt();
    assert_relative_eq!(leaning.cap.up_flight.as_inches(), plumb * a, epsilon = 1e-9);
    assert_relative_eq!(leaning.cap.outward.as_inches(), plumb * b, epsilon = 1e-9);
    // The gap to the baluster narrows on the way up by the lean over what lies between.
    let beside = &leaning.beside[0];
    let [foot, rail] = [beside.foot.unwrap()[0].z, beside.rail.unwrap()[0].z];
    let narrows = beside.at_foot - beside.at_rail.unwrap();
    assert_relative_eq!(narrows.as_mm(), (rail - foot) * a, epsilon = 1e-6);
}

/// A round newel is marked by its centre: 1 3/4 in before its uphill side, on the string.
#[test]
fn a_round_newel_has_a_centre_and_no_corners() {
    let fit = fitted(&[("section: Square(\"3 1/2\")", "section: Round(\"3 1/2\")")]);
    let top = fit.faces.iter().find(|face| face.on == Board::Top).unwrap();
    let (_, [nosing, end]) = top.centre.unwrap();
    // Overhang 1 in, the face 1 1/4 in behind the kick; the tread's end 2 1/4 in from the string.
    assert_relative_eq!(nosing.1.as_inches(), 2.25 - 1.75, epsilon = 1e-6);
    assert_relative_eq!(end.1.as_inches(), 2.25, epsilon = 1e-6);
    assert!(top.lines.iter().all(|line| line.side == FitSide::Round));
    assert!(fit.strips.is_empty());
}

/// The tread's open end stands 2 1/4 in from the string and the newel's outward side 1 3/4 in: half an
/// inch of the tread would be left beside it, as long as the notch is deep.
#[test]
fn what_is_left_beside_the_notch_is_told() {
    let fit = fitted(&[]);
    let strip = &fit.strips[0];
    assert_eq!((strip.part.as_str(), strip.edge), ("T1", Edge::OpenEnd));
    assert_relative_eq!(strip.width.as_inches(), 0.5, epsilon = 1e-6);
    assert_relative_eq!(strip.length.as_inches(), 2.25, epsilon = 1e-6);
}

/// The second newel stands on the upper floor: nothing to cut, and its foot is marked from the nosing.
#[test]
fn a_newel_on_the_upper_floor_says_that_nothing_is_cut() {
    let fit = fitted_of("N2", &[]);
    assert_eq!(fit.stands, Standing::Clear(14));
    let foot = fit.foot.unwrap();
    assert_eq!(foot.part, "F1");
    assert_eq!(foot.lines.len(), 4);
    assert!(fit.beside.iter().any(|one| one.other == "B25"));
}
