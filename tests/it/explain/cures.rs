//! Cures: each one written into the file, read again, and run through the chain.

use rakewell::chain::{self, Chain};
use rakewell::explain::{Cure, applied, cures, undone};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::Document;
use rakewell::measure::Length;

use super::{STARTER, document, read, with};

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
const WALL_RAIL: &str = include_str!("../../../scenes/wall-rail.ron");
const PANELS: &str = include_str!("../../../scenes/panels.ron");

/// Every cure of every trouble of a kind, proved: applied to the text, the trouble is gone, its
/// value is the one told, and what it brings is what was told; taken back, the job is as it was.
fn proved(text: &str, kind: Kind) -> Vec<Cure> {
    let document = document(text);
    let found = chain::run(document.job()).unwrap();
    let troubles = found.inspection.troubles();
    let mut all = Vec::new();
    for trouble in troubles.iter().filter(|one| one.key.kind == kind) {
        for cure in cures(&found, trouble) {
            prove(&document, &found, trouble, &cure);
            all.push(cure);
        }
    }
    all
}

fn prove(document: &Document, found: &Chain, trouble: &Finding, cure: &Cure) {
    let (cured, undo) = applied(document, &cure.edits).unwrap_or_else(|faults| panic!("{faults}"));
    let after = chain::run(cured.job()).unwrap();
    let here = || {
        let findings = after.inspection.findings.iter();
        findings.filter(|one| one.same_place(trouble))
    };
    assert!(
        here().all(|one| one.verdict == Verdict::Met),
        "{}",
        cure.what
    );
    if here().next().is_some() {
        let values = here().map(|one| (one.value() - cure.value_after).abs().as_mm());
        assert!(values.fold(f64::MAX, f64::min) < 1e-6, "{}", cure.what);
    }
    let new = after.inspection.troubles().into_iter().filter(|now| {
        let mut old = found.inspection.findings.iter();
        !old.any(|old| old.same_place(now) && old.is_trouble() && old.severity >= now.severity)
    });
    for brought in new {
        assert!(
            cure.breaks.contains(&brought.says),
            "{}: {}",
            cure.what,
            brought.says
        );
    }
    let back = undone(&cured, &undo).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(back.job(), document.job(), "{}", cure.what);
}

fn offered(cures: &[Cure], words: &str) -> bool {
    cures.iter().any(|cure| cure.what.contains(words))
}

fn words(cures: &[Cure]) -> Vec<&str> {
    cures.iter().map(|cure| cure.what.as_str()).collect()
}

#[test]
fn every_cure_of_the_demo_is_proved() {
    let text = DEMO;
    let document = document(text);
    let found = chain::run(document.job()).unwrap();
    let mut count = 0;
    for trouble in found.inspection.troubles() {
        let cures = cures(&found, trouble);
        for cure in &cures {
            prove(&document, &found, trouble, cure);
        }
        // Those that break nothing first, each part by what they disturb.
        let rank = |cure: &Cure| (!cure.breaks.is_empty(), cure.disturbance.measure());
        assert!(cures.is_sorted_by(|a, b| {
            let ((a, much), (b, more)) = (rank(a), rank(b));
            (!a & b) || (a == b && much <= more)
        }));
        count += cures.len();
    }
    assert!(count >= 5, "{count} cures");
}

#[test]
fn a_bottom_rail_too_high_is_lowered() {
    let rail = "bottom_rail: (name: \"R2\", width: \"2\", depth: \"1\", above: \"2\"),\n        \
                balusters: (\n";
    let text = with(STARTER, "balusters: (\n", rail);
    let text = with(&text, "Displaces(step: 1, balusters: 1)", "At(x: \"-1/2\")");
    let text = with(&text, "Displaces(step: 13, balusters: 0)", "At(x: \"134\")");
    let text = with(&text, "PerTread(count: 2)", "AlongRail()");
    let cures = proved(&text, Kind::Triangle);
    assert!(
        offered(&cures, "lower the bottom rail R2 by"),
        "{:?}",
        words(&cures)
    );
}

#[test]
fn panels_too_far_apart_are_made_wider() {
    let text = with(PANELS, "gap: \"1\"", "gap: \"4 1/2\"");
    let cures = proved(&text, Kind::Opening);
    assert!(
        offered(&cures, "make the gaps between the panels"),
        "{:?}",
        words(&cures)
    );
}

#[test]
fn a_handrail_too_near_its_wall_is_moved_away() {
    let text = with(WALL_RAIL, "clear: \"1 5/8\"", "clear: \"1\"");
    let cures = proved(&text, Kind::WallClearance);
    assert!(
        offered(&cures, "move handrail R2 1/2\" away from its wall"),
        "{:?}",
        words(&cures)
    );
}

#[test]
fn an_open_end_of_a_handrail_is_returned() {
    let text = with(
        WALL_RAIL,
        "lower: Return,          // or Plain",
        "lower: Plain,",
    );
    let cures = proved(&text, Kind::RailOpenEnd);
    assert!(
        offered(&cures, "return the lower end of handrail R2 to its wall"),
        "{:?}",
        words(&cures)
    );
}

#[test]
fn reveals_that_wander_are_followed_by_the_feet() {
    let cures = proved(DEMO, Kind::RevealDrift);
    assert!(
        offered(&cures, "follow the tread ends"),
        "{:?}",
        words(&cures)
    );
}

// One tread end stands 1/2 in out and the feet follow it, so that its balusters lean 1/2 in. A
// quarter of the way they lean 1/8 in, which is not seen; but then the reveals wander, and it says so.
#[test]
fn leaning_balusters_are_stood_plumber_and_what_that_breaks_is_said() {
    let text = read(&[("Edge(step: 6", "2 3/4")]);
    let text = with(&text, "align: Plumb,", "align: EvenReveal,");
    let cures = proved(&text, Kind::Lean);
    assert!(
        offered(&cures, "follow the tread ends a quarter of the way")
            || offered(&cures, "stand the balusters plumb"),
        "{:?}",
        words(&cures)
    );
    let mut breaks = cures.iter().flat_map(|cure| &cure.breaks);
    assert!(breaks.any(|says| says.contains("wanders by")), "{cures:?}");
}

// Moved down the flight, the balusters leave the newel's notch alone, but the last gap, which is too
// wide already, grows: that is told as worse, though it is nothing new.
#[test]
fn a_trouble_that_a_cure_worsens_is_told() {
    let cures = proved(DEMO, Kind::StringerCut);
    let mut breaks = cures.iter().flat_map(|cure| &cure.breaks);
    let worse =
        |says: &String| says.starts_with("worsens: a ball of") && says.contains("B25 and W2");
    assert!(breaks.any(worse), "{cures:?}");
    assert!(cures[0].breaks.is_empty());
}

// The blocking stands too low for the rail's rosette. Raising it means opening the wall, which
// counts, so that moving the rail comes first if it does as well.
#[test]
fn blocking_off_its_rosette_is_moved_or_the_rail_is() {
    let text = with(DEMO, "up: \"140 1/4\"", "up: \"138 1/2\"");
    let cures = proved(&text, Kind::Landing);
    assert!(offered(&cures, "open wall W2"), "{:?}", words(&cures));
    for cure in &cures {
        assert_eq!(
            cure.what.starts_with("open wall"),
            cure.disturbance.opens_wall
        );
    }
}

#[test]
fn what_the_house_is_like_has_no_cure_in_the_railing() {
    let text = with(
        STARTER,
        "readings: [",
        "readings: [Rise(step: 3, is: \"8 1/2\"),",
    );
    assert!(proved(&text, Kind::Rise).is_empty());
    assert!(proved(&text, Kind::RiseVariation).is_empty());
}

// 12.7 mm down the flight: the newel, its notch in the tread, and the rail that ends on it, which is
// so much longer on the rake: nothing else moves.
#[test]
fn the_disturbance_of_a_moved_newel_is_its_own() {
    let cures = proved(DEMO, Kind::StringerCut);
    let moved = cures
        .iter()
        .find(|cure| cure.what.starts_with("move newel N1"));
    let moved = moved.unwrap_or_else(|| panic!("{:?}", words(&cures)));
    let disturbance = &moved.disturbance;
    assert_eq!(disturbance.new_or_gone, 0);
    assert!(disturbance.moved >= Length::inches(0.5), "{disturbance:?}");
    assert!(
        disturbance.touched >= 2 && disturbance.touched <= 6,
        "{disturbance:?}"
    );
    assert_eq!(cures[0].what, moved.what);
}
