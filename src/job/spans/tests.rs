//! Paths to bytes and back, worked by hand on a small text.

use super::*;

const TEXT: &str = r#"( // a job
    flight: ( rise: 7.5, readings: [ Going(step: 6, is: "9 3/4"), Edge(step: 3, is: 1) ] ),
    lower: Newel("N1"),
    reveal: Some("1/4"),
    bottom: Some((depth: 2)),
    pair: Both(1, 2),
)"#;

fn value(path: &str) -> Option<&str> {
    let spans = Spans::index(TEXT).expect("the text is well-formed");
    spans.value(TEXT, path).map(|bytes| &TEXT[bytes])
}

#[test]
fn paths_lead_to_values() {
    for (path, expected) in [
        ("flight.rise", "7.5"),
        ("flight.readings[1]", "Edge(step: 3, is: 1)"),
        ("flight.readings[0].is", "\"9 3/4\""),
        ("flight.readings[0].Going.is", "\"9 3/4\""),
        ("flight.readings[0].Going", "Going(step: 6, is: \"9 3/4\")"),
        ("lower", "Newel(\"N1\")"),
        ("lower.Newel", "\"N1\""),
        ("lower.0", "\"N1\""),
        ("reveal", "Some(\"1/4\")"),
        ("reveal.Some", "\"1/4\""),
        ("bottom.depth", "2"),
        ("bottom.Some.depth", "2"),
        ("pair.1", "2"),
    ] {
        assert_eq!(value(path), Some(expected), "{path}");
    }
    assert_eq!(value(""), Some(TEXT));
}

#[test]
fn paths_to_nothing_lead_nowhere() {
    for path in [
        "rise",
        "flight[0]",
        "flight.readings[2]",
        "flight.readings[0].Edge.is",
        "a..b",
    ] {
        assert_eq!(value(path), None, "{path}");
    }
}

#[test]
fn fields_take_their_names_along() {
    let spans = Spans::index(TEXT).expect("the text is well-formed");
    let field = |path| spans.field(TEXT, path).map(|bytes| &TEXT[bytes]);
    assert_eq!(field("flight.rise"), Some("rise: 7.5"));
    assert_eq!(field("flight.readings[1].Edge.is"), Some("is: 1"));
    assert_eq!(field("flight.readings[1]"), Some("Edge(step: 3, is: 1)"));
    assert_eq!(field(""), None);
}

#[test]
fn every_path_of_a_byte_leads_back_over_that_byte() {
    let spans = Spans::index(TEXT).expect("the text is well-formed");
    let at = |needle: &str| spans.path_at(TEXT, TEXT.find(needle).expect("it is there"));
    assert_eq!(at("9 3/4"), "flight.readings[0].is");
    assert_eq!(at("N1"), "lower.Newel");
    assert_eq!(at("1/4\")"), "reveal");
    assert_eq!(at("depth"), "bottom.depth");
    for byte in 0..TEXT.len() {
        let path = spans.path_at(TEXT, byte);
        let item = spans
            .item(TEXT, &path)
            .map_or(spans.root().span, Item::span);
        assert!(item.range().contains(&byte), "{byte}: {path}");
    }
}

#[test]
fn nesting_is_bounded() {
    let nested = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
    assert!(Spans::index(&nested(MAX_DEPTH)).is_ok());
    let fault = Spans::index(&nested(MAX_DEPTH + 1)).expect_err("too deep");
    assert!(fault.problem.contains("64 deep"), "{}", fault.problem);
    // Nothing closes these, and nothing recurses into them either.
    assert!(Spans::index(&"(".repeat(1_000_000)).is_err());
    assert!(Spans::index(&"a:".repeat(1_000_000)).is_err());
}

#[test]
fn values_are_bounded() {
    let many = format!("[{}]", "1,".repeat(MAX_VALUES));
    let fault = Spans::index(&many).expect_err("too many");
    assert!(fault.help.contains("500000"), "{}", fault.help);
}

#[test]
fn the_first_fault_in_reading_order_is_told() {
    for (text, problem) in [
        ("", "the file is empty"),
        ("// only a remark", "the file is empty"),
        ("(a: 1", "never closed"),
        ("(a: [1)", "`)` cannot close `[`"),
        ("(a: 1 b: 2)", "more than one number stands in quotes"),
        ("(a: \"1\" b: 2)", "a comma is missing"),
        ("(a 1)", "`:` is missing after `a`"),
        ("(a: 7 9/16)", "stands in quotes"),
        ("(a: , b: 1)", "a value is missing"),
        ("(: 1)", "a name is missing"),
        ("(a: )", "a value is missing"),
        ("(a:", "never closed"),
        ("(a: \"b)", "this text is never closed"),
        ("/* (", "this comment is never closed"),
        ("(a: 1) (b: 2)", "the value has ended"),
        ("#![enable(implicit_some)] (a: 1)", "no RON extension"),
        ("(a: ;)", "this is not a value"),
        ("# a remark\n(a: 1)", "begins with `//`"),
        ("(a: \u{201c}7 9/16\u{201d})", "curly quotes"),
        ("(a: \u{2018}W1\u{2019}, b: 1)", "curly quotes"),
        ("(a: \"7 9/16\u{201d}),\n(a: \"10\")", "the quote that ends"),
        ("(a: 10,06, b: 1)", "a comma within a number"),
    ] {
        let fault = Spans::index(text).expect_err(text);
        assert!(fault.problem.contains(problem), "{text}: {}", fault.problem);
    }
}

#[test]
fn what_would_do_can_be_typed() {
    for (text, help) in [
        ("(a: \u{201c}7 9/16\u{201d})", "`\"7 9/16\"`"),
        (
            "(a: \u{201c}the client\u{2019}s, as read\u{201d}, b: 1)",
            "`\"the client\u{2019}s, as read\"`",
        ),
        ("(a: \u{2018}W1\u{2019}, b: 1)", "`\"W1\"`"),
        ("(a: 7 9/16\")", "`\"7 9/16 in\"`"),
        ("(a: 3' 2 1/2\")", "`\"3' 2 1/2\"`"),
        ("(a: 10,06, b: 1)", "`10.06`"),
    ] {
        let fault = Spans::index(text).expect_err(text);
        assert!(fault.help.contains(help), "{text}: {}", fault.help);
    }
    // Numbers without names go with commas close by.
    for text in ["[1,2,3]", "(1,2)", "(a: 1,b: 2)", "(a: (1,2))"] {
        assert!(Spans::index(text).is_ok(), "{text}");
    }
}
