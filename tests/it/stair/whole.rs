//! What is judged, doubted and explained over several runs.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::doubt;
use rakewell::explain::Reasons;
use rakewell::inspect::{Finding, Kind};
use rakewell::job::Document;

use super::{BOTH, QUARTER, document, run, with};

const WINDERS: &str = include_str!("../../../scenes/winders.ron");

fn only(chain: &Chain, kind: Kind) -> Vec<&Finding> {
    let findings = chain.inspection.findings.iter();
    findings.filter(|one| one.key.kind == kind).collect()
}

// The first flight of the quarter turn by itself has the same doubt in its gap at the newel as it has
// in the whole stair: nothing that is read above it tells of it.
#[test]
fn a_runs_results_are_as_doubtful_among_others_as_alone() {
    let chain = run(QUARTER);
    let mut alone = chain.first().run.job.clone();
    // Its upper newel is placed by the flight above too; alone it stands on the line.
    alone.design.newels[1].also = None;
    let alone = chain::run(&alone).unwrap();
    let sd = |chain: &Chain, baluster: &str| {
        let doubt = doubt::first_order(chain.first(), &chain.pack).unwrap();
        let what = format!("gap from N1 to {baluster}");
        let one = doubt.outcomes.iter().find(|one| one.what == what);
        one.unwrap().sd
    };
    let (among, by_itself) = (sd(&chain, "1.B01"), sd(&alone, "B01"));
    assert!(by_itself > 0.1, "{by_itself}");
    assert_relative_eq!(among, by_itself, max_relative = 1e-6);
}

// Between two landings one climbs the flight, the winders and the flight above: 7 x 195, 195 and
// 6 x 195 mm, and where the winder is read at 165 the rises differ by 30, held once for the whole.
#[test]
fn a_flight_with_winders_is_judged_from_landing_to_landing() {
    let text = with(
        WINDERS,
        "kick_thickness: \"12\",\n                readings: [],\n            ),\n        ),",
        "kick_thickness: \"12\",\n                readings: [Rise(step: 2, is: \"165\")],\n            ),\n        ),",
    );
    // Limits on both are in the model code's pack.
    let text = text.replace("uk-private-2013", "us-residential-2024");
    let chain = run(&text);
    let variation = only(&chain, Kind::RiseVariation);
    assert_eq!(variation.len(), 1);
    assert_relative_eq!(variation[0].value().as_mm(), 30.0, epsilon = 1e-6);
    let climbs = only(&chain, Kind::FlightRise);
    assert_eq!(climbs.len(), 1);
    assert_relative_eq!(
        climbs[0].value().as_mm(),
        13.0 * 195.0 + 165.0,
        epsilon = 1e-6
    );
    // And what was read of the winder is the cause.
    let reasons = Reasons::of(&chain);
    let told = reasons.explain(&chain, &variation[0].key);
    assert_relative_eq!(told.when_true.unwrap().as_mm(), 0.0, epsilon = 1e-6);
    assert_eq!(told.because.len(), 1);
    assert_eq!(told.because[0].what, "winders W as read");
    assert_eq!(told.because[0].readings, ["runs[0].winders.readings[0]"]);
}

#[test]
fn the_first_kick_of_a_turn_is_read_with_its_flight() {
    let text = with(
        WINDERS,
        "kick_thickness: \"12\",\n                readings: [],\n            ),\n        ),",
        "kick_thickness: \"12\",\n                readings: [Rise(step: 1, is: \"199\")],\n            ),\n        ),",
    );
    let faults = Document::parse(&text, "scene.ron").expect_err("it is the flight's kick");
    assert_eq!(faults.diagnostics[0].path, "runs[0].winders.readings[0]");
}

// The landing is read 1/2 in high at its wall end over the 38 in of the first flight's treads: it
// falls that much per length, and the flight above, turned a quarter to the left, finds it climbing
// along its own wall side. Nobody read its floor, so that is what its first kick rises from.
#[test]
fn a_landing_out_of_level_is_what_the_next_flight_stands_on() {
    let text = with(
        QUARTER,
        "    stringers: [",
        "    floors: [(name: \"F\", is: Upper, readings: [Level(over: \"38\", is: \"1/2\", high: Wall, \
         sd: \"0.01 mm\")])],\n    stringers: [",
    );
    let chain = run(&text);
    let (one, two) = (&chain.runs[0], &chain.runs[1]);
    let tilt = one.site.steps[7].tilt;
    assert_relative_eq!(tilt, -0.5 / 38.0, epsilon = 1e-4);
    // Its x runs along the first flight's y, that is outward there: up it goes as the landing does.
    assert_relative_eq!(two.site.lower.0, tilt, epsilon = 1e-9);
    assert_relative_eq!(two.site.lower.1, 0.0, epsilon = 1e-9);
}

// Each railing's reveals are its own: a short tread shows on the wall side, and its cause with it.
#[test]
fn two_railings_have_two_drifts() {
    let text = with(
        BOTH,
        "readings: [",
        "readings: [Width(step: 6, is: \"37 1/2\", sd: \"0.01 mm\"),",
    );
    let chain = run(&text);
    let drifts = only(&chain, Kind::RevealDrift);
    let keys: Vec<&str> = drifts.iter().map(|one| one.key.parts[0].as_str()).collect();
    assert_eq!(keys, ["R1", "R2"]);
    let told = Reasons::of(&chain).explain(&chain, &drifts[1].key);
    assert!(drifts[1].value().as_inches() > 0.4);
    assert!(told.because[0].what.contains("width"), "{:?}", told.because);
}

#[test]
fn two_runs_do_not_share_a_turn() {
    let second = WINDERS.find("        (\n            name: \"2\",").unwrap();
    let end = WINDERS.rfind("    ],\n)").unwrap();
    let flight = &WINDERS[second..end];
    let other = flight
        .replace("name: \"2\"", "name: \"3\"")
        .replace("starts: (", "starts: (after: \"W\", ")
        .replace("\"N3\"", "\"N4\"")
        .replace("\"R2\"", "\"R3\"")
        .replace("\"W2\"", "\"W3\"");
    let text = format!("{}{flight}{other}{}", &WINDERS[..second], &WINDERS[end..]);
    let faults = Document::parse(&text, "scene.ron").expect_err("a turn leads to one run");
    assert!(
        faults.diagnostics[0]
            .problem
            .contains("both go on from the winders `W`"),
        "{faults}"
    );
    assert_eq!(document(WINDERS).job().each_run().len(), 2);
}
