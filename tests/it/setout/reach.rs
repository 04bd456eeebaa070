//! A whole short flight with a rail over its newel, a half newel and a handrail on the wall: nothing
//! stands in anything else, and what the rules ask of rails to hold is told.

use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::{Len, RailEnd, RailSystem, Stands, WallRailEnd};

use super::rails::changed;

fn len(text: &str) -> Len {
    Len::read(text).unwrap()
}

fn of_kind(chain: &Chain, kind: Kind) -> Vec<&Finding> {
    let findings = chain.inspection.findings.iter();
    findings.filter(|one| one.key.kind == kind).collect()
}

#[test]
fn a_rail_over_its_newel_stands_in_nothing_and_reaches_over_the_flight() {
    let chain = chain::run(&changed(|_| ())).unwrap();
    let clashes = of_kind(&chain, Kind::Clash);
    let says: Vec<&str> = clashes.iter().map(|one| one.says.as_str()).collect();
    assert!(says.is_empty(), "{says:?}");
    let reach = of_kind(&chain, Kind::RailReach);
    assert_eq!(reach.len(), 4);
    for one in &reach {
        assert_eq!(one.verdict, Verdict::Met, "{}", one.says);
        assert_eq!(one.source, "IRC 2024 R320.5");
    }
    // N1's outer face stands 1 1/4 less 3 1/2 behind the first kick, 1 1/2 before the nosing.
    let lower = reach
        .iter()
        .find(|one| one.key.parts == ["R1", "lower"])
        .unwrap();
    assert!((lower.value().as_inches() + 1.5).abs() < 1e-6);
    // The handrail runs on 2 in at its lower end and stops over the top nosing.
    let wall = |end: &str| {
        let parts = ["R3", end];
        let found = reach.iter().find(|one| one.key.parts == parts).unwrap();
        found.value().as_inches()
    };
    assert!((wall("lower") + 2.0).abs() < 1e-6);
    assert!(wall("upper").abs() < 1e-6);
    // Returned ends leave no gap; the rail stands out by its clearance and its width.
    for one in of_kind(&chain, Kind::RailOpenEnd) {
        assert_eq!(one.verdict, Verdict::Met, "{}", one.says);
    }
    let juts = of_kind(&chain, Kind::Projection)[0];
    assert_eq!(juts.verdict, Verdict::Met, "{}", juts.says);
    assert!(juts.value().as_inches() > 1.625 + 1.75);
    // The screw lies in the notch.
    let cut = of_kind(&chain, Kind::FastenerCut)[0];
    assert_eq!(cut.verdict, Verdict::Broken, "{}", cut.says);
    // Every gap is an opening, those beside newel and half newel too, and no ball is greater than the
    // level gap between plumb faces.
    let setout = &chain.first().setout;
    assert_eq!(chain.inspection.openings.len(), setout.gaps.len());
    for (opening, gap) in chain.inspection.openings.iter().zip(&setout.gaps) {
        assert_eq!(opening.between, [gap.below.clone(), gap.above.clone()]);
        let (ball, clear) = (opening.ball.as_mm(), gap.clear.as_mm());
        assert!(
            ball < clear + 0.1,
            "{:?}: {ball} in {clear}",
            opening.between
        );
    }
}

#[test]
fn a_rail_that_stops_short_or_is_left_open_is_told() {
    let chain = chain::run(&changed(|job| {
        let rail = job.design.wall_rail.as_mut().unwrap();
        rail.extend_lower = len("-3");
        rail.lower = WallRailEnd::Plain;
        rail.clear = len("1 1/4");
    }))
    .unwrap();
    let broken = |kind: Kind, parts: [&str; 2]| {
        let found = of_kind(&chain, kind);
        let one = found
            .into_iter()
            .find(|one| one.key.parts == parts)
            .unwrap();
        assert_eq!(one.verdict, Verdict::Broken, "{}", one.says);
        one.value().as_inches()
    };
    assert!((broken(Kind::RailReach, ["R3", "lower"]) - 3.0).abs() < 1e-6);
    // Left open it leaves its clearance.
    assert!(broken(Kind::RailOpenEnd, ["R3", "lower"]) >= 1.25 - 1e-3);
    let clear = broken(Kind::WallClearance, ["R3", "W1"]);
    assert!((clear - 1.25).abs() < 2e-3, "{clear}");
}

// IRC 2024 R320.5: a newel over the lowest tread may break the rail. Treads of 10 in: a newel of
// 3 1/2 in the middle of tread 1 may start the rail, one in the middle of tread 2 leaves tread 1
// without; its face stands 15 - 1 3/4 from the first kick, 3/4 more from the nosing.
#[test]
fn a_newel_over_the_lowest_tread_may_start_the_rail() {
    for (x, missed) in [("5", None), ("15", Some(14.0))] {
        let chain = chain::run(&changed(|job| {
            job.design.rail.system = RailSystem::PostToPost;
            let newel = &mut job.design.newels[0];
            newel.stands = Stands::At {
                x: len(x),
                y: len("0"),
            };
            newel.height = Some(len("50"));
        }))
        .unwrap();
        let reach = of_kind(&chain, Kind::RailReach);
        let mut reach = reach.into_iter();
        let lower = reach.find(|one| one.key.parts == ["R1", "lower"]).unwrap();
        let kept = missed.is_none();
        assert_eq!(lower.verdict == Verdict::Met, kept, "{}", lower.says);
        let short = lower.value().as_inches();
        assert!((short - missed.unwrap_or(0.0)).abs() < 1e-6, "{short}");
    }
}

/// The short flight with a second newel on the upper floor, and its rail over both.
fn over_both(radius: &str, over_floor: Option<&str>) -> Chain {
    let job = changed(|job| {
        let mut upper = job.design.newels[0].clone();
        upper.name = "N2".to_owned();
        upper.stands = Stands::At {
            x: len("54"),
            y: len("0"),
        };
        job.design.newels.push(upper);
        job.design.rail.upper = RailEnd::Newel("N2".to_owned());
        if let RailSystem::OverPost {
            easing, landing, ..
        } = &mut job.design.rail.system
        {
            *easing = len(radius);
            *landing = over_floor.map(len);
        }
    });
    chain::run(&job).unwrap()
}

/// What is found of the rail's least height, and over which step it is.
fn lowest(chain: &Chain) -> (&Finding, u32) {
    let found = of_kind(chain, Kind::RailHeight);
    let found = found
        .into_iter()
        .find(|one| one.key.parts == ["R1", "lowest"]);
    (found.unwrap(), chain.first().setout.rail.window.lowest.1)
}

// 7 1/2 in 10 with nosings at 10 (n - 1) - 3/4: nosing 5 at 37 1/2, the upper floor at 45. A level
// piece 10 in over the floor lies at 55, which the rake reaches at (55 - 43 1/2) / 0.75 - 3/4 =
// 14.58: over nosing 3 it is 55 - 22 1/2 = 32 1/2 up, over nosing 5 17 1/2, over the floor's edge 10.
#[test]
fn a_level_piece_under_the_window_is_judged_over_the_nosings_that_it_passes() {
    let chain = over_both("6", Some("10"));
    let (found, step) = lowest(&chain);
    assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
    assert!((found.value().as_inches() - 10.0).abs() < 1e-6);
    assert_eq!(step, 6);
    // The straight rail is 36 in up; what is lower or higher past it is not its greatest height.
    let (highest, _) = chain.first().setout.rail.window.highest;
    assert!((highest.as_inches() - 36.0).abs() < 1e-6);
}

// An easing of 16 in turns about the corner at 52 1/4 - 1 - 16 / 3 = 45.917, where the rake is at
// 43 1/2 + 0.75 * 46.667 = 78 1/2. Its arc ends level over 51 1/4, about a centre at 62 1/2; over the
// floor's edge at 49 1/4 it is at 62 1/2 + sqrt(16^2 - 2^2) = 78.3745: 33.3745 in over the floor.
#[test]
fn an_easing_that_dips_under_the_window_is_judged() {
    let chain = over_both("16", None);
    let (found, step) = lowest(&chain);
    assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
    let arc = 62.5 + (16.0_f64.powi(2) - 4.0).sqrt() - 45.0;
    assert!((found.value().as_inches() - arc).abs() < 1e-6);
    assert_eq!(step, 6);
    // The lower easing lies 39 3/4 in over the first nosing: fittings may (IRC R311.7.8.1).
    let over = &chain.first().setout.rail.over[0];
    assert!(over.over_nosing.as_inches() > 38.0);
    let high = of_kind(&chain, Kind::RailHeight);
    let high = high
        .iter()
        .find(|one| one.key.parts == ["R1", "highest"])
        .unwrap();
    assert_eq!(high.verdict, Verdict::Met, "{}", high.says);
}
