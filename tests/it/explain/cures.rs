//! Cures: each one written into the file, read again, and run through the chain.

use rakewell::chain::{self, Chain};
use rakewell::explain::{Cure, applied, cures, undone};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::Document;
use rakewell::measure::Length;

use super::{STARTER, document, with};

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
    assert!(here().all(|one| one.verdict == Verdict::Met), "{}", cure.what);
    if here().next().is_some() {
        let values = here().map(|one| (one.value() - cure.value_after).abs().as_mm());
        assert!(values.fold(f64::MAX, f64::min) < 1e-6, "{}", cure.what);
    }
    let new = after.inspection.troubles().into_iter().filter(|now| {
        let mut old = found.inspection.findings.iter();
        !old.any(|old| old.same_place(now) && old.is_trouble() && old.severity >= now.severity)
    });
    for brought in new {
        assert!(cure.breaks.contains(&brought.says), "{}: {}", cure.what, brought.says);
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
    assert!(offered(&cures, "lower the bottom rail R2 by"), "{:?}", words(&cures));
}

#[test]
fn panels_too_far_apart_are_made_wider() {
    let text = with(PANELS, "gap: \"1\"", "gap: \"4 1/4\"");
    let cures = proved(&text, Kind::Opening);
    assert!(
        offered(&cures, "make the gaps between the panels"),
        "{:?}",
        words(&cures)
    );
}

#[test]
fn a_handrail_too_low_is_moved_up() {
    let text = with(WALL_RAIL, "height: \"36\",           // of its top", "height: \"33\", // of its top");
    let text = with(&text, "clear: \"1 5/8\"", "hold: Hold, clear: \"1 5/8\"");
    let cures = proved(&text, Kind::RailHeight);
    // Where the window holds the rail up by itself there is nothing to cure.
    assert!(cures.is_empty() || offered(&cures, "handrail R2"), "{:?}", words(&cures));
}

#[test]
fn an_open_end_of_a_handrail_is_returned() {
    let text = with(WALL_RAIL, "lower: Return,          // or Plain", "lower: Plain,");
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
    assert!(offered(&cures, "follow the tread ends"), "{:?}", words(&cures));
}

// The same demo with its feet on the tread ends: now the balusters lean, and the other way is told.
#[test]
fn leaning_balusters_are_stood_plumber() {
    let text = with(DEMO, "align: Plumb", "align: EvenReveal");
    let cures = proved(&text, Kind::Lean);
    assert!(!cures.is_empty());
    let plumber = |cure: &Cure| {
        cure.what.contains("plumb") || cure.what.contains("of the way")
    };
    assert!(cures.iter().any(plumber), "{:?}", words(&cures));
}

// Stood plumb, the feet leave the tread ends, and the reveals wander: that is said.
#[test]
fn a_cure_that_breaks_something_says_so() {
    let text = with(DEMO, "align: Plumb", "align: EvenReveal");
    let cures = proved(&text, Kind::Lean);
    let breaks: Vec<&String> = cures.iter().flat_map(|cure| &cure.breaks).collect();
    assert!(
        breaks.iter().any(|says| says.contains("wanders by")),
        "{breaks:?}"
    );
}

// The blocking stands too low for the rail's rosette. Raising it means opening the wall, which
// counts, so that moving the rail comes first if it does as well.
#[test]
fn blocking_off_its_rosette_is_moved_or_the_rail_is() {
    let text = with(DEMO, "up: \"140 1/4\"", "up: \"136\"");
    let cures = proved(&text, Kind::Landing);
    assert!(offered(&cures, "open wall W2"), "{:?}", words(&cures));
    for cure in &cures {
        assert_eq!(cure.what.starts_with("open wall"), cure.disturbance.opens_wall);
    }
}

#[test]
fn what_the_house_is_like_has_no_cure_in_the_railing() {
    let text = with(STARTER, "readings: [", "readings: [Rise(step: 3, is: \"8 1/2\"),");
    assert!(proved(&text, Kind::Rise).is_empty());
    assert!(proved(&text, Kind::RiseVariation).is_empty());
}

// 12.7 mm down the flight: the newel, its notch in the tread, and the rail that ends on it, which is
// so much longer on the rake: nothing else moves.
#[test]
fn the_disturbance_of_a_moved_newel_is_its_own() {
    let cures = proved(DEMO, Kind::StringerCut);
    let moved = cures.iter().find(|cure| cure.what.starts_with("move newel N1"));
    let moved = moved.unwrap_or_else(|| panic!("{:?}", words(&cures)));
    let disturbance = &moved.disturbance;
    assert_eq!(disturbance.new_or_gone, 0);
    assert!(disturbance.moved >= Length::inches(0.5), "{disturbance:?}");
    assert!(disturbance.touched >= 2 && disturbance.touched <= 6, "{disturbance:?}");
    assert_eq!(cures[0].what, moved.what);
}
