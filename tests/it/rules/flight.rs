//! The limits at their edges on a whole flight, from the text of a job to the verdict: on one side
//! nothing is found, on the other the clause is cited as its edition numbers it.

use super::as_given;
use rakewell::inspect::{Finding, Kind, Sense, Verdict};
use rakewell::job::Document;
use rakewell::rules;

/// A plumb, level flight with two balusters of 1 1/4 in on each tread.
const TRUE_FLIGHT: &str = include_str!("../../../scenes/straight.ron");

const RISE: &str = "rise: \"7 1/2\"";
const GOING: &str = "going: \"10 1/4\"";
const OVERHANG: &str = "overhang: \"1\"";
const WIDTH: &str = "width: \"38\"";
const READINGS: &str = "        readings: [\n            // R";

/// The flight with some texts of it replaced, under a rule pack.
fn findings(pack: &str, edits: &[(&str, String)]) -> Vec<Finding> {
    let mut text = TRUE_FLIGHT.replacen("us-residential-2024", pack, 1);
    for (old, new) in edits {
        assert_eq!(text.matches(old).count(), 1, "{old:?}");
        text = text.replacen(old, new, 1);
    }
    let document = Document::parse(&text, "flight").unwrap_or_else(|faults| panic!("{faults}"));
    as_given(document.job()).inspection.findings
}

/// Readings so sure that the adjustment takes them as they are: the edges tested here are far finer
/// than any tape.
const SURE: &str = "0.01 mm";

fn length(field: &'static str, inches: f64) -> (&'static str, String) {
    let name = field.split(':').next().unwrap();
    (field, format!("{name}: \"{inches} in\""))
}

fn reading(words: &str) -> (&'static str, String) {
    (READINGS, format!("readings: [\n{words},\n// R"))
}

/// A quantity, its clauses of 2021 and 2024, a flight that just keeps the limit and one that just
/// breaks it.
struct Edge {
    kind: Kind,
    sense: Sense,
    clauses: [&'static str; 2],
    met: Vec<(&'static str, String)>,
    broken: Vec<(&'static str, String)>,
}

fn edge(
    kind: Kind,
    sense: Sense,
    clauses: [&'static str; 2],
    [met, broken]: [Vec<(&'static str, String)>; 2],
) -> Edge {
    Edge {
        kind,
        sense,
        clauses,
        met,
        broken,
    }
}

fn twenty_rises(rise: f64) -> Vec<(&'static str, String)> {
    vec![
        ("count: 14,", "count: 20,".to_owned()),
        ("step: 13", "step: 19".to_owned()),
        length(RISE, rise),
    ]
}

fn out_of_level(by: f64) -> Vec<(&'static str, String)> {
    vec![
        length(WIDTH, 36.0),
        reading(&format!(
            "Level(step: 5, is: \"{by}\", sd: \"{SURE}\", high: Wall)"
        )),
    ]
}

/// Limits: IRC R311.7.3, .5.1 to .5.3, .7 and R312.1.3 as numbered to 2021; R318.7 and R321.1.3 in
/// 2024. 20 rises of 7.55 in climb 151 in: the commentary's own example on R311.7.3.
fn edges() -> Vec<Edge> {
    let each = |field, met, broken| [vec![length(field, met)], vec![length(field, broken)]];
    let read = |met: &str, broken: &str| [vec![reading(met)], vec![reading(broken)]];
    let (rise, tread, nosing) = (
        ["R311.7.5.1", "R318.7.5.1"],
        ["R311.7.5.2", "R318.7.5.2"],
        ["R311.7.5.3", "R318.7.5.3"],
    );
    let (most, least) = (Sense::AtMost, Sense::AtLeast);
    let steep = |by: &str| format!("Rise(step: 5, is: \"{by}\", sd: \"{SURE}\")");
    let long = |by: &str| format!("Going(step: 5, is: \"{by}\", sd: \"{SURE}\")");
    let over = |by: &str| format!("Overhang(step: 5, is: \"{by}\", sd: \"{SURE}\")");
    vec![
        edge(Kind::Rise, most, rise, each(RISE, 7.75, 7.76)),
        edge(
            Kind::RiseVariation,
            most,
            rise,
            read(&steep("7.125"), &steep("7.124")),
        ),
        edge(Kind::TreadDepth, least, tread, each(GOING, 10.0, 9.99)),
        edge(
            Kind::TreadVariation,
            most,
            tread,
            read(&long("10.625"), &long("10.626")),
        ),
        edge(Kind::Nosing, least, nosing, each(OVERHANG, 0.75, 0.749)),
        edge(Kind::Nosing, most, nosing, each(OVERHANG, 1.25, 1.251)),
        edge(
            Kind::NosingVariation,
            most,
            nosing,
            read(&over("0.625"), &over("0.624")),
        ),
        edge(
            Kind::FlightRise,
            most,
            ["R311.7.3", "R318.7.3"],
            [twenty_rises(7.55), twenty_rises(7.555)],
        ),
        edge(
            Kind::TreadSlope,
            most,
            ["R311.7.7", "R318.7.7"],
            [out_of_level(36.0 / 48.0), out_of_level(36.0 / 47.0)],
        ),
        // Two balusters of 1 1/4 in: each gap is half of what the going leaves. A ball test is
        // strict, so 4 3/8 in itself is broken.
        edge(
            Kind::Opening,
            Sense::Under,
            ["R312.1.3, exception 2", "R321.1.3, exception 2"],
            each(GOING, 2.5 + 2.0 * 4.374, 2.5 + 2.0 * 4.375),
        ),
    ]
}

#[test]
fn a_flight_at_the_edge_keeps_the_limit_and_one_past_it_cites_the_clause() {
    for (place, pack) in ["us-residential-2021", "us-residential-2024"]
        .into_iter()
        .enumerate()
    {
        let edition = rules::pack(pack).unwrap().edition.clone();
        for edge in edges() {
            let about =
                |finding: &&Finding| finding.key.kind == edge.kind && finding.sense == edge.sense;
            let met = findings(pack, &edge.met);
            assert!(
                met.iter().any(|f| about(&f)),
                "{:?} was not looked at",
                edge.kind
            );
            for finding in met.iter().filter(about) {
                assert_eq!(finding.verdict, Verdict::Met, "{}", finding.says);
            }
            let broken = findings(pack, &edge.broken);
            let told: Vec<&Finding> = broken
                .iter()
                .filter(about)
                .filter(|finding| finding.verdict == Verdict::Broken)
                .collect();
            assert!(!told.is_empty(), "{pack}: {:?} is not broken", edge.kind);
            for finding in told {
                assert_eq!(finding.source, format!("{edition} {}", edge.clauses[place]));
            }
        }
    }
}
