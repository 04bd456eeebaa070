//! What readings leave open, from the text of a job to the verdict.

use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::Document;
use rakewell::measure::Length;
use rakewell::survey::WITHIN;

const FLIGHT: &str = include_str!("../../../scenes/straight.ron");
const HERE: &str = "// Rise(step: 3, is: \"7 9/16\"),";
/// What is expected of a going and of a tread's end that nobody read (`src/survey/prior.rs`).
const GOING: f64 = 6.0;
const EDGE: f64 = 8.0;

fn chain(readings: &str) -> Chain {
    assert!(FLIGHT.contains(HERE));
    let text = FLIGHT.replacen(HERE, readings, 1);
    let document = Document::parse(&text, "flight").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

fn of_part<'c>(chain: &'c Chain, kind: Kind, part: &str) -> &'c Finding {
    let findings = &chain.inspection.findings;
    let about = |one: &&Finding| one.key.kind == kind && one.key.parts[0] == part;
    findings.iter().find(about).unwrap()
}

/// What one reading of `sd` leaves of a quantity that is expected give or take `prior`.
fn left(prior: f64, sd: f64) -> f64 {
    1.0 / (prior.powi(-2) + sd.powi(-2)).sqrt()
}

fn doubt(finding: &Finding) -> f64 {
    finding.doubt.map_or(0.0, Length::as_mm)
}

/// A thirty-second under 7 3/4 in, read with a tape that is good to 0.6 mm.
#[test]
fn a_drawn_sample_is_never_too_close_for_doubt() {
    let reading = |when: &str| {
        format!("Rise(step: 3, is: \"7 23/32\", sd: \"0.6 mm\", taken: \"{when}\"),\n")
    };
    let once = chain(&reading("first"));
    let kick = of_part(&once, Kind::Rise, "K3");
    assert_eq!(kick.verdict, Verdict::TooClose, "{}", kick.says);
    assert!(kick.is_trouble());
    let thrice: String = ["first", "second", "third"].map(reading).concat();
    let thrice = chain(&thrice);
    assert_eq!(of_part(&thrice, Kind::Rise, "K3").verdict, Verdict::Met);

    let (runs, choices) = (chain::again(&once), once.choices());
    let drawn = chain::run_on(&runs, once.estimates(), &choices).unwrap();
    let findings = &drawn.inspection.findings;
    assert!(findings.iter().all(|one| one.doubt.is_none()));
    let in_doubt = |one: &&Finding| matches!(one.verdict, Verdict::TooClose | Verdict::NotShown);
    assert_eq!(findings.iter().find(in_doubt).map(|one| &one.says), None);
    assert_eq!(of_part(&drawn, Kind::Rise, "K3").verdict, Verdict::Met);
}

/// A gap is `(going - 2 w) / 2` with two balusters on a tread, so it is half as doubtful as its
/// going; a reveal is as doubtful as its tread's end, two of them by the root of both squared.
#[test]
fn a_gap_has_half_the_doubt_of_its_going_and_a_drift_that_of_both_ends() {
    let found = chain(
        "Going(step: 5, is: \"10 1/8\", sd: \"1 mm\"),
         Edge(step: 6, is: \"2 1/8\", sd: \"0.5 mm\"),
         Edge(step: 9, is: \"2 3/8\", sd: \"1.2 mm\"),",
    );
    let on_fifth: Vec<&Finding> = {
        let balusters = &found.first().setout.balusters;
        let names: Vec<&str> = balusters
            .iter()
            .filter(|one| one.step == 5)
            .map(|one| one.name.as_str())
            .collect();
        assert_eq!(names.len(), 2);
        let below = |name: &&str| of_part(&found, Kind::Opening, name);
        names.iter().map(below).collect()
    };
    for gap in on_fifth {
        let expected = WITHIN * left(GOING, 1.0) / 2.0;
        assert!((doubt(gap) - expected).abs() < 1e-6, "{}", gap.says);
        assert_eq!(gap.verdict, Verdict::Met);
    }
    let drift = of_part(&found, Kind::RevealDrift, "R1");
    let expected = WITHIN * left(EDGE, 0.5).hypot(left(EDGE, 1.2));
    assert!((doubt(drift) - expected).abs() < 1e-6, "{}", drift.says);
}
