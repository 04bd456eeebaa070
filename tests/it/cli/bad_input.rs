//! Files that are no job: status 2, nothing on standard output, and words that help.

use super::{DEMO, demo_with, rakewell, write};

/// The line, from 1, on which a text first stands.
fn line_of(text: &str, what: &str) -> usize {
    let at = text.find(what).unwrap();
    1 + text[..at].matches('\n').count()
}

fn faulty(bytes: &[u8], words: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "bad.ron", bytes);
    for command in ["inspect", "setout"] {
        let told = rakewell(&[command, &path]);
        let shown = String::from_utf8_lossy(&bytes[..bytes.len().min(200)]);
        assert_eq!(
            (told.status, told.out.as_str()),
            (2, ""),
            "{command}: {shown}"
        );
        assert!(told.err.contains("bad.ron"), "{}", told.err);
        for word in words {
            assert!(
                told.err.contains(word),
                "{command} does not say {word:?}:\n{}",
                told.err
            );
        }
    }
    let bare = rakewell(&[&path]);
    assert_eq!((bare.status, bare.out.as_str()), (2, ""));
    assert_eq!(
        std::fs::read(&path).unwrap(),
        bytes,
        "the file is left as it is"
    );
}

#[test]
fn files_that_are_no_text_or_no_job() {
    faulty(b"", &[]);
    faulty(b"   \n\n", &[]);
    faulty(b"\x00\x01\x02\xff\xfe", &["not text"]);
    faulty(b"\x89PNG\r\n\x1a\n\x00\x00", &["not text"]);
    faulty(b"{\"job\": true}", &["bad.ron:1"]);
    faulty("(".repeat(100_000).as_bytes(), &[]);
    faulty("[(".repeat(50_000).as_bytes(), &[]);
    faulty(
        format!("(format: 1, flight: {}", "(".repeat(5_000)).as_bytes(),
        &[],
    );
}

/// What a hand that writes a job for the first time writes, and words that tell what would do.
#[test]
fn slips_of_a_first_evening() {
    let starter = include_str!("../../../scenes/straight.ron");
    let typed = |reading: &str, words: &[&str]| {
        let job = starter.replacen("readings: [", &format!("readings: [\n{reading}\n"), 1);
        faulty(job.as_bytes(), words);
    };
    typed(
        "Rise(step: 3, is: \u{201c}7 9/16\u{201d}),",
        &["curly quotes", "`\"7 9/16\"`"],
    );
    typed("Rise(step: 3, is: 7 9/16\"),", &["`\"7 9/16 in\"`"]);
    typed(
        "Rise(step: 3, is: \"7 9/16),\nGoing(step: 4, is: \"10\"),",
        &["the quote that ends this text is missing"],
    );
    typed("Going(step: 4, is: 10,06, note: \"a\"),", &["`10.06`"]);
    typed(
        "Level(step: 7, is: \"1/8\", high: \"Wall\"),",
        &["without quotes", "`Wall`"],
    );
    typed("# read on Monday", &["begins with `//`"]);
    typed("Rise(step: 3, is: \"7 9/17\"),", &["parts of 1/17"]);
}

#[test]
fn a_file_cut_off_anywhere() {
    for share in 1..12 {
        let mut end = DEMO.len() * share / 12;
        while !DEMO.is_char_boundary(end) {
            end -= 1;
        }
        faulty(&DEMO.as_bytes()[..end], &["bad.ron:"]);
    }
}

#[test]
fn another_version() {
    faulty(
        demo_with("format: 1,", "format: 7,").as_bytes(),
        &["7", "format"],
    );
}

#[test]
fn a_misspelt_field_suggests_the_known_one() {
    let text = demo_with("    flight: (", "    fligth: (");
    let place = format!("bad.ron:{}", line_of(&text, "fligth"));
    faulty(text.as_bytes(), &["fligth", "flight", &place]);
}

/// Lengths that are none, each told with its line.
#[test]
fn lengths_that_are_none() {
    for length in [
        "3/0", "1e999", "NaN", "7 9/16 3", "", "inf", "ten", "1/", "0x10",
    ] {
        let text = demo_with("rise: \"7 1/2\"", &format!("rise: \"{length}\""));
        let place = format!("bad.ron:{}", line_of(&text, "rise:"));
        faulty(text.as_bytes(), &["rise", &place]);
    }
}

#[test]
fn several_faults_are_told_at_a_time() {
    let text = demo_with("rise: \"7 1/2\"", "rise: \"3/0\"").replacen(
        "going: \"10\"",
        "going: \"ten\"",
        1,
    );
    faulty(text.as_bytes(), &["3/0", "ten", "2 faults"]);
}

#[test]
fn goings_that_no_foot_fits_on() {
    for going in ["0", "-10"] {
        let text = demo_with("going: \"10\"", &format!("going: \"{going}\""));
        let place = format!("bad.ron:{}", line_of(&text, "going:"));
        faulty(text.as_bytes(), &["going", &place]);
    }
}

#[test]
fn parts_that_are_not_there() {
    faulty(
        demo_with("lower: Newel(\"N1\")", "lower: Newel(\"N9\")").as_bytes(),
        &["N9", "N1"],
    );
    faulty(
        demo_with("wall: \"W2\"", "wall: \"W9\"").as_bytes(),
        &["W9", "W1"],
    );
    faulty(
        demo_with("us-residential-2021", "us-residental-2021").as_bytes(),
        &["us-residental-2021", "us-residential-2021", "design.rules"],
    );
}

#[test]
fn an_amended_rule_that_is_none_is_told_at_its_line_with_the_nearest() {
    let local = "rules: \"us-residential-2021\",\nlocal: Some((name: \"Hazelbrook\", \
                 edition: \"2025\", amends: [\n(rule: \"Hedroom\", limit: Length(80), \
                 clause: \"s. 1\")])),";
    let text = demo_with("rules: \"us-residential-2021\",", local);
    let place = format!("bad.ron:{}", line_of(&text, "Hedroom"));
    faulty(text.as_bytes(), &["Hedroom", "`Headroom`", &place]);
}

#[test]
fn a_wall_with_one_reading() {
    // One reading cannot tell a lean from an offset.
    let wall = DEMO.find("name: \"W2\"").unwrap();
    let from = wall + DEMO[wall..].find("readings: [").unwrap() + "readings: [".len();
    let end = from + DEMO[from..].find(']').unwrap();
    let one = "Offset(along: \"3\", up: \"108\", is: \"1/4\")";
    let text = format!("{}{one}{}", &DEMO[..from], &DEMO[end..]);
    faulty(text.as_bytes(), &["W2"]);
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.ron");
    // Sparse: its size is what is looked at.
    std::fs::File::create(&path)
        .unwrap()
        .set_len(100 << 20)
        .unwrap();
    let told = rakewell(&["inspect", path.to_str().unwrap()]);
    assert_eq!((told.status, told.out.as_str()), (2, ""));
    assert!(told.err.contains("too large"), "{}", told.err);
}

#[test]
fn what_cannot_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("missing.ron");
    for path in [missing.as_path(), folder.path()] {
        let told = rakewell(&["inspect", path.to_str().unwrap()]);
        assert_eq!((told.status, told.out.as_str()), (2, ""));
        assert!(told.err.contains(path.to_str().unwrap()), "{}", told.err);
    }
}
