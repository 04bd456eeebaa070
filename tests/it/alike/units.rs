//! One job typed in inches, in millimetres, and in inches with the unit written out.

use proptest::prelude::*;
use rakewell::job::spans::{Body, Node, Spans};
use rakewell::measure::{Unit, parse_length};

use super::{drawn, off, run, same_findings, same_setout};

/// Where lengths stand in a text: every text in quotes that reads as one. The scene has no name and no
/// angle that does.
fn lengths(text: &str) -> Vec<std::ops::Range<usize>> {
    fn within(node: &Node, all: &mut Vec<std::ops::Range<usize>>) {
        if node.body == Body::Text {
            all.push(node.span.range());
        }
        for item in node.group().into_iter().flat_map(|group| &group.items) {
            within(&item.value, all);
        }
    }
    let spans = Spans::index(text).unwrap();
    let mut all = Vec::new();
    within(spans.node(text, "").unwrap(), &mut all);
    let is_length = |bytes: &std::ops::Range<usize>| {
        let typed = text[bytes.clone()].trim_matches('"');
        parse_length(typed, Unit::Inches).is_ok()
    };
    all.retain(is_length);
    all
}

/// The text with every length written another way.
fn written(text: &str, way: impl Fn(f64) -> String) -> String {
    let mut text = text.to_owned();
    for bytes in lengths(&text).into_iter().rev() {
        let typed = text[bytes.clone()].trim_matches('"');
        let inches = parse_length(typed, Unit::Inches).unwrap().as_inches();
        text.replace_range(bytes, &format!("\"{}\"", way(inches)));
    }
    text
}

proptest! {
    #![proptest_config(drawn(6))]

    #[test]
    fn a_job_in_inches_and_in_millimetres_is_the_same_stair(off in off(12)) {
        let inches = off.text("Left");
        prop_assert!(lengths(&inches).len() > 80);
        // An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
        let bare = written(&inches, |inches| format!("{}", inches * 25.4));
        let metric = bare.replacen("units: Inches", "units: Millimetres", 1);
        prop_assert_ne!(&bare, &metric);
        let told = written(&inches, |inches| format!("{} mm", inches * 25.4));
        let feet = written(&inches, |inches| {
            let whole = (inches / 12.0).trunc();
            match inches < 0.0 || whole < 1.0 {
                true => format!("{inches} in"),
                false => format!("{whole}' {}\"", inches - 12.0 * whole),
            }
        }).replace("\"\"", "\\\"\"");
        let first = run(&inches);
        for text in [metric, told, feet] {
            let other = run(&text);
            same_setout(&first.first().setout, &other.first().setout, 1.0);
            same_findings(&first, &other);
        }
    }
}
