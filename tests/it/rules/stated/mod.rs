//! What a pack asks of a run beyond its rises and its railing, from the text of a job to the
//! verdict: at the edge of each published limit and just past it, on either hand and in a further
//! run.

mod extension;
mod grip;
mod headroom;
mod landings;
mod open_kick;
mod steps;
mod width;

use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Inspection, Kind, Verdict};
use rakewell::job::Document;
use rakewell::rules::Pack;

const STRAIGHT: &str = include_str!("../../../../scenes/straight.ron");
const WALL_RAIL: &str = include_str!("../../../../scenes/wall-rail.ron");
const HALF_TURN: &str = include_str!("../../../../scenes/half-turn.ron");
const QUARTER_TURN: &str = include_str!("../../../../scenes/quarter-turn.ron");
const BOTH_SIDES: &str = include_str!("../../../../scenes/open-both-sides.ron");
const OVER_POST: &str = include_str!("../../../../scenes/over-post.ron");
const WINDERS: &str = include_str!("../../../../scenes/winders.ron");

/// Readings so sure that the adjustment takes them as they are.
const SURE: &str = "0.01 mm";

/// A text with some stretches of it replaced; each stands there at least once.
fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (old, new) in edits {
        assert!(text.contains(old), "{old:?}");
        text = text.replace(old, new);
    }
    text
}

/// One rule of a pack.
fn rule(quantity: &str, sense: &str, limit: &str) -> String {
    format!(
        r#"(quantity: {quantity}, sense: {sense}, limit: {limit}, clause: "{quantity}", says: "s"),"#
    )
}

fn length(quantity: &str, sense: &str, limit: &str) -> String {
    rule(quantity, sense, &format!(r#"Length("{limit}")"#))
}

/// A pack of these rules; `more` are fields of its own.
fn pack(rules: &str, more: &str) -> Pack {
    let text = format!(
        r#"(name: "try", title: "t", country: "c", edition: "e", units: Inches, applies: "a", ask: "k", note: "n", {more} rules: [{rules}])"#
    );
    Pack::read("try", &text).unwrap_or_else(|error| panic!("{error}"))
}

fn chain_of(text: &str) -> Chain {
    let document = Document::parse(text, "flight").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

/// What is found on a job under a pack.
fn inspected(text: &str, pack: &Pack) -> Inspection {
    let chain = chain_of(text);
    let runs = chain::again(&chain);
    let laid = chain::lay(&runs, &chain.estimates(), &[], pack).unwrap();
    laid.inspection(&runs, &[], &laid.solids(&runs), pack)
}

/// The findings of a kind on a job under these rules.
fn found(text: &str, rules: &str, kind: Kind) -> Vec<Finding> {
    let mut findings = inspected(text, &pack(rules, "")).findings;
    findings.retain(|finding| finding.key.kind == kind);
    findings
}

/// The one finding of a kind.
fn one(text: &str, rules: &str, kind: Kind) -> Finding {
    let mut all = found(text, rules, kind);
    assert_eq!(all.len(), 1, "{kind:?}: {all:?}");
    all.remove(0)
}

#[track_caller]
fn is(finding: &Finding, verdict: Verdict, inches: f64, within: f64) {
    assert_eq!(finding.verdict, verdict, "{}", finding.says);
    let value = finding.value().as_inches();
    assert!(
        (value - inches).abs() <= within,
        "{value}, not {inches}: {}",
        finding.says
    );
}

/// Every starter scene keeps what IRC R311.7.1, R311.7.6 and R311.7.8.5 ask of widths, landings and
/// rails, and ADK asks nothing of those.
#[test]
fn the_starter_scenes_keep_the_published_sizes() {
    let rules = [
        length("HandrailHigh", "AtMost", "38 in"),
        length("Headroom", "AtLeast", "80 in"),
        width::published(),
        length("LandingDepth", "AtLeast", "36 in"),
        length("LandingNarrower", "AtMost", "0 in"),
        grip::published(),
    ];
    let pack = pack(&rules.concat(), "");
    let kinds = [
        Kind::Width,
        Kind::LandingDepth,
        Kind::LandingWidth,
        Kind::Grip,
    ];
    let mut faults = Vec::new();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if name == "winders" {
            // It is held to the English pack, which has none of these.
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let findings = inspected(&text, &pack).findings;
        let asked = findings.iter().filter(|one| kinds.contains(&one.key.kind));
        assert!(asked.clone().count() > 2, "{name}");
        let past = asked.filter(|one| one.verdict != Verdict::Met);
        faults.extend(past.map(|one| format!("{name}: {}", one.says)));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
