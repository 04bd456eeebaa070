//! A pack as the text adopted at the place of a stair amends it. The town and its text are invented.

use super::required::{READ, all_read, changed, line, run};
use super::shipped;
use rakewell::chain;
use rakewell::inspect::{Kind, Verdict};
use rakewell::job::{Document, Limit, Local};
use rakewell::rules::{Pack, Quantity, RuleError, Sense};

const RULES: &str = "rules: \"us-residential-2024\",";

fn local(inside: &str) -> String {
    format!("{RULES}\n local: Some((name: \"Hazelbrook bylaw\", edition: \"2025\", {inside})),")
}

fn amended(inside: &str) -> Document {
    changed(&[(RULES, &local(inside))])
}

/// Eight inches is over the model code's 7 3/4 and under the 8 1/4 that some towns kept.
#[test]
fn one_limit_is_amended_with_its_own_citation() {
    let rise = ("rise: \"7 1/2\"", "rise: \"8\"");
    let read = all_read("8", "10 1/4");
    let read = (READ, read.as_str());
    let plain = changed(&[rise, read]);
    line(&plain, Quantity::RiseMax, |line| {
        assert_eq!(line.verdict, Verdict::Broken);
        assert!(!line.amended);
    });
    let inside = r#"amends: [(rule: "RiseMax", limit: Length("8 1/4"), clause: "s. 4.2")]"#;
    let document = changed(&[(RULES, &local(inside)), rise, read]);
    line(&document, Quantity::RiseMax, |line| {
        assert_eq!(line.verdict, Verdict::Met);
        assert!(line.amended);
        assert_eq!(line.rule.clause, "Hazelbrook bylaw 2025 s. 4.2");
        assert_eq!(line.rule.edition.as_deref(), Some("2025"));
        assert!((line.margin.unwrap().as_inches() - 0.25).abs() < 1e-9);
    });
    let chain = run(&document);
    assert_eq!(chain.pack.local.as_deref(), Some("Hazelbrook bylaw 2025"));
    let rises = chain.inspection.findings.iter();
    let cited: Vec<&str> = rises
        .filter(|one| one.key.kind == Kind::Rise)
        .map(|one| one.source.as_str())
        .collect();
    assert!(!cited.is_empty());
    assert!(
        cited
            .iter()
            .all(|one| *one == "Hazelbrook bylaw 2025 s. 4.2")
    );
    // Every other rule stays as it was.
    let pack = shipped("us-residential-2024");
    let others = |of: &Pack| {
        let rules = of
            .rules
            .iter()
            .filter(|one| one.quantity != Quantity::RiseMax);
        rules.cloned().collect::<Vec<_>>()
    };
    assert_eq!(others(&chain.pack), others(&pack));
}

#[test]
fn a_rule_that_the_pack_has_not_is_added_and_one_that_is_dropped_is_not_asked() {
    let document = amended(
        r#"amends: [(rule: "RisersMost", limit: Count(12), clause: "s. 5",
            says: "A flight has at most so many rises.")],
        drops: [(rule: "NosingVariation", clause: "s. 6")]"#,
    );
    let chain = run(&document);
    let rule = chain.pack.rule(Quantity::RisersMost).unwrap();
    assert_eq!(
        (rule.sense, &rule.limit),
        (Sense::AtMost, &Limit::Count(12))
    );
    assert!(chain.pack.rule(Quantity::NosingVariation).is_none());
    let kinds = chain.inspection.findings.iter().map(|one| one.key.kind);
    assert!(!kinds.into_iter().any(|kind| kind == Kind::NosingVariation));
    line(&document, Quantity::NosingVariation, |line| {
        let why = line.not_asked.as_ref().unwrap();
        assert_eq!(why, "dropped by Hazelbrook bylaw 2025 s. 6");
        assert_ne!(line.verdict, Verdict::Met);
    });
}

/// What contradicts is named with the field, never applied.
#[test]
fn an_amendment_that_cannot_be_is_refused_at_its_field() {
    for (inside, path, words) in [
        (
            r#"amends: [(rule: "Headrom", limit: Length(80), clause: "s. 1")]"#,
            "design.local.amends[0].rule",
            ["Headrom", "Headroom"],
        ),
        (
            r#"amends: [(rule: "rise max", limit: Length(8), clause: "s. 1")]"#,
            "design.local.amends[0].rule",
            ["rise max", "RiseMax"],
        ),
        (
            r#"amends: [(rule: "HandrailLow", limit: Length(39), clause: "s. 1")]"#,
            "design.local.amends[0]",
            ["HandrailLow", "HandrailHigh"],
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(8), clause: "s. 1"),
                (rule: "NosingMost", limit: Length("1/2"), clause: "s. 2")]"#,
            "design.local.amends[1]",
            ["NosingLeast", "NosingMost"],
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Slope(1, 48), clause: "s. 1")]"#,
            "design.local.amends[0].limit",
            ["wrong kind", "Length"],
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(0), clause: "s. 1")]"#,
            "design.local.amends[0].limit",
            ["RiseMax", "positive"],
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(8), sense: Some(AtLeast), clause: "s. 1")]"#,
            "design.local.amends[0].sense",
            ["RiseMax", "AtLeast"],
        ),
        (
            r#"amends: [(rule: "RisersMost", limit: Count(12), clause: "s. 1")]"#,
            "design.local.amends[0]",
            ["RisersMost", "says"],
        ),
        (
            r#"drops: [(rule: "RisersMost", clause: "s. 1")]"#,
            "design.local.drops[0].rule",
            ["RisersMost", "no rule"],
        ),
    ] {
        let document = amended(inside);
        let error = chain::run(document.job()).unwrap_err();
        assert_eq!(error.path, path, "{error}");
        for word in words {
            assert!(error.to_string().contains(word), "{word}: {error}");
        }
    }
}

#[test]
fn an_amendment_that_reads_wrong_is_a_fault_of_the_file() {
    for (inside, path, word) in [
        (
            r#"amends: [(rule: "RiseMax", limit: Length(8), clause: " ")]"#,
            "design.local.amends[0].clause",
            "empty",
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(8), clause: "s. 1"),
                (rule: "RiseMax", limit: Length(9), clause: "s. 2")]"#,
            "design.local.amends[1].rule",
            "amended twice",
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(8), clause: "s. 1")],
                drops: [(rule: "RiseMax", clause: "s. 2")]"#,
            "design.local.drops[0].rule",
            "amended twice",
        ),
        (
            r#"amends: [(rule: "RiseMax", limit: Length(-8), clause: "s. 1")]"#,
            "design.local.amends[0].limit",
            "no number that a stair can keep",
        ),
        (r#"amends: []"#, "design.local", "amends nothing"),
    ] {
        let text = include_str!("../../../scenes/straight.ron").replace(RULES, &local(inside));
        let faults = Document::parse(&text, "bad").unwrap_err();
        assert_eq!(faults.diagnostics[0].path, path, "{faults}");
        assert!(faults.to_string().contains(word), "{faults}");
    }
    let late = include_str!("../../../scenes/two-storeys.ron");
    let at = late.rfind("rules: \"").unwrap();
    let end = at + late[at..].find(',').unwrap() + 1;
    let text = format!(
        "{} local: Some((name: \"Hazelbrook\", edition: \"2025\", drops: [])),{}",
        &late[..end],
        &late[end..]
    );
    let faults = Document::parse(&text, "bad").unwrap_err();
    assert!(faults.to_string().contains("whole job"), "{faults}");
}

/// A job made by a program, and not read, is held to the same.
#[test]
fn one_rule_cannot_be_amended_twice_by_a_program_either() {
    let text = r#"(name: "Hazelbrook", edition: "2025", amends: [
        (rule: "RiseMax", limit: Length("8 in"), clause: "1"),
        (rule: "RiseMax", limit: Length("9 in"), clause: "2")])"#;
    let local: Local = ron::from_str(text).unwrap();
    let error = shipped("us-residential-2024").amended(&local).unwrap_err();
    let RuleError::Amendment { field, problem, .. } = error else {
        panic!("{error}");
    };
    assert_eq!(field, "amends[1].rule");
    assert!(problem.contains("twice"), "{problem}");
}

/// The examples that the starter shows in its comments are read as they stand.
#[test]
fn the_starters_own_examples_can_be_read() {
    let starter = include_str!("../../../scenes/straight.ron");
    let ours = ["local: (", "    limit: Length(\"8\")", "anchors: ["];
    let mut taken = 0;
    let lines = starter.lines().map(|line| {
        let inside = line.trim_start().strip_prefix("// ");
        match inside.filter(|inside| ours.iter().any(|one| inside.starts_with(one))) {
            Some(inside) => {
                taken += 1;
                inside
            }
            None => line,
        }
    });
    let text = lines.collect::<Vec<_>>().join("\n");
    assert_eq!(taken, ours.len());
    let document = Document::parse(&text, "starter").unwrap_or_else(|faults| panic!("{faults}"));
    line(&document, Quantity::RiseMax, |line| {
        assert_eq!(line.rule.clause, "Town bylaw 2025 s. 4.2");
        assert!(line.amended);
    });
    line(&document, Quantity::TopLoad, |line| {
        assert_eq!(line.verdict, Verdict::Met);
    });
}
