//! Nothing that a file can hold makes the reader panic.

use proptest::prelude::*;

use super::{SAMPLE, sample};
use rakewell::job::Document;

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
