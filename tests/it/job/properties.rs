//! Nothing that a file can hold makes the reader panic.

use std::ops::Range;

use proptest::prelude::*;

use super::{SAMPLE, sample};
use rakewell::job::Document;
use rakewell::job::spans::{Node, Spans};

/// Reads bytes and draws what is wrong with them; only panics fail.
fn read(bytes: &[u8]) {
    if let Err(faults) = Document::parse_bytes(bytes, "job.ron") {
        assert!(
            !faults.diagnostics.is_empty(),
            "an error says what is wrong"
        );
        assert!(!faults.to_string().is_empty());
        let _drawn = faults.render(false);
        for fault in &faults.diagnostics {
            assert!(fault.bytes.start <= fault.bytes.end);
            assert!(faults.text.is_empty() || faults.text.get(fault.bytes.clone()).is_some());
        }
    }
}

#[test]
fn a_file_cut_anywhere_is_refused_without_a_panic() {
    for length in 0..SAMPLE.len() {
        read(&SAMPLE.as_bytes()[..length]);
    }
}

#[test]
fn a_byte_less_anywhere_is_read_or_refused_without_a_panic() {
    for at in 0..SAMPLE.len() {
        let mut bytes = SAMPLE.as_bytes().to_vec();
        bytes.remove(at);
        read(&bytes);
    }
}

/// Pieces of RON and of jobs, which get further into the reader than any bytes do.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "(",
        ")",
        "[",
        "]",
        "{",
        "}",
        ",",
        ":",
        "\"",
        "'",
        "\\",
        "//",
        "/*",
        "*/",
        "\n",
        " ",
        "#",
        "r#\"",
        "\"#",
        "b\"",
        "Some(",
        "flight",
        "rise",
        "7.5",
        "-",
        "1e999",
        "NaN",
        "½",
        "\u{FEFF}",
        "\r\n",
        "format: 1,",
        "walls: [",
        "Going(step: 1, is: ",
        "0x",
        "é",
        "😀",
        "3' 2 1/2",
    ]);
    prop::collection::vec(piece, 0..40).prop_map(|pieces| pieces.concat())
}

/// The bytes of every value in a text, the whole first.
fn values(node: &Node) -> Vec<Range<usize>> {
    let inside = node.group().into_iter().flat_map(|group| &group.items);
    let mut all = vec![node.span.range()];
    all.extend(inside.flat_map(|item| values(&item.value)));
    all
}

/// Fields of the sample that hold lengths, in the order of the file.
const LENGTHS: [&str; 12] = [
    "flight.rise",
    "flight.going",
    "flight.edge",
    "flight.readings[0].is",
    "flight.readings[1].is",
    "walls[0].from.y",
    "walls[0].readings[0].along",
    "walls[0].readings[1].gap",
    "design.newels[0].section.Square",
    "design.newels[0].height",
    "design.rail.upper.blocking.up",
    "design.balusters.edge_distance",
];

/// Well-formed RON with remarks and blanks in all places where they may stand.
fn ron_text() -> impl Strategy<Value = String> {
    let blank = || prop::sample::select(vec!["", " ", "\n", "/* ( */", "// \"\n", "\t/* /* */ */"]);
    let scalar = prop::sample::select(vec![
        "1",
        "-2.5",
        "+.5",
        "1e-3",
        "0x1F",
        "1_000",
        "inf",
        "-inf",
        "NaN",
        "true",
        "None",
        "'x'",
        "'\\''",
        "'\\u{48}'",
        "\"\"",
        "\"3' 2 1/2\\\"\"",
        "r#\"a\"b\"#",
        "r\"\\\"",
        "b\"x\"",
        "Plain",
        "r#type",
        "\"( // [\"",
        "()",
        "[]",
        "{}",
    ]);
    let scalar = (blank(), scalar, blank()).prop_map(|(a, b, c)| format!("{a}{b}{c}"));
    scalar.prop_recursive(5, 60, 5, move |inner| {
        let items = prop::collection::vec(inner, 1..5);
        let name = prop::sample::select(vec!["", "Some", "Going"]);
        (items, name, 0..4, any::<bool>(), blank()).prop_map(|(items, name, kind, comma, blank)| {
            let comma = if comma { "," } else { "" };
            let keyed = |of: &str| -> Vec<String> {
                let keys = items.iter().enumerate();
                keys.map(|(at, item)| format!("{blank}{of}{at}{of}{blank}:{item}"))
                    .collect()
            };
            match kind {
                0 => format!("[{}{comma}{blank}]", items.join(",")),
                1 => format!(
                    "{blank}{name}{blank}({}{comma}{blank})",
                    keyed("f").join(",")
                ),
                2 => format!("{{{}{comma}}}", keyed("\"").join(",")),
                _ => format!("{name}({}{comma}){blank}", items.join(",")),
            }
        })
    })
}

proptest! {
    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        read(&bytes);
    }

    #[test]
    fn any_pieces(text in pieces()) {
        read(text.as_bytes());
    }

    #[test]
    fn the_sample_with_pieces_put_in(at in 0..SAMPLE.len(), cut in 0_usize..12, text in pieces()) {
        let end = (at + cut).min(SAMPLE.len());
        read(&[&SAMPLE.as_bytes()[..at], text.as_bytes(), &SAMPLE.as_bytes()[end..]].concat());
    }

    /// What `ron` itself reads has an index, of the same extent.
    #[test]
    fn no_good_text_is_refused(text in ron_text()) {
        // Keys such as `f0f` make fields, and a named tuple makes a variant.
        if ron::from_str::<ron::Value>(&text).is_ok() {
            let spans = Spans::index(&text).map_err(|fault| TestCaseError::fail(fault.problem))?;
            for bytes in values(spans.root()) {
                let value = &text[bytes];
                prop_assert!(ron::from_str::<ron::Value>(value).is_ok(), "{value}");
            }
        }
    }

    /// Each length at fault is told, and nothing else.
    #[test]
    fn every_length_at_fault_is_told(
        chosen in prop::sample::subsequence(&LENGTHS[..], 1..=LENGTHS.len()),
        typed in prop::sample::select(vec!["\"3/0\"", "NaN", "\"7 9/16 3\"", "(1)", "Left", "\"\""]),
    ) {
        let document = sample();
        let mut text = SAMPLE.to_owned();
        for path in chosen.iter().rev() {
            text.replace_range(document.spans().value(SAMPLE, path).expect(path), typed);
        }
        let faults = Document::parse(&text, "job.ron").expect_err("lengths at fault");
        let told: Vec<&str> = faults.diagnostics.iter().map(|fault| fault.path.as_str()).collect();
        prop_assert_eq!(told, chosen, "{}", faults);
    }

    /// Values in places where others are wanted.
    #[test]
    fn the_sample_with_values_swapped(
        swaps in prop::collection::vec((any::<prop::sample::Index>(), ron_text()), 1..5),
    ) {
        let mut text = SAMPLE.to_owned();
        for (at, value) in swaps {
            let Ok(spans) = Spans::index(&text) else { break };
            let all = values(spans.root());
            text.replace_range(at.get(&all).clone(), &value);
        }
        read(text.as_bytes());
    }

    #[test]
    fn any_edit(path in "[a-z.0-9\\[\\]]{0,20}", value in pieces()) {
        let document = sample();
        let _set = document.set(&path, &value);
        let _length = document.set_length(&path, &value);
        let _append = document.append(&path, &value);
        let _remove = document.remove(&path);
        let _place = document.line_of(&path);
    }

    /// Setting a value and setting it back gives the same bytes.
    #[test]
    fn there_and_back(sixteenths in 60_u32..200) {
        let path = "flight.readings[0].is";
        let typed = format!("{}", f64::from(sixteenths) / 16.0);
        let there = sample().set_length(path, &typed).expect("a going");
        let back = there.set(path, "9.75").expect("a going");
        prop_assert_eq!(back.text(), SAMPLE);
    }
}
