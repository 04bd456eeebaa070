//! What the commands say, and with what exit status.

use std::io::Read as _;
use std::process::Stdio;

use super::{DEMO, demo_inspected, demo_json, demo_with, program, rakewell, write};

#[test]
fn the_demo_has_trouble_and_says_why() {
    let told = demo_inspected();
    assert_eq!(told.status, 1, "{}", told.err);
    assert_eq!(told.err, "");
    // What the demo's readings were written for: a short going, a leaning wall where the rail
    // lands, tread ends that wander, a newel that meets what is behind it.
    for words in [
        "Stop",
        "wall W2's lean",
        "step 6's going",
        "newel N1",
        "R311.7.5.2",
        "R312.1.3, exception 2",
        "reveal",
        "blocking",
        "because",
        "cure",
        "made true alone",
        "Ask an engineer",
        "building official",
    ] {
        let text = told.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            text.contains(words),
            "does not say {words:?}:\n{}",
            told.out
        );
    }
}

#[test]
fn text_keeps_to_eighty_columns_without_colours_where_no_terminal_is() {
    let (setout, list) = (rakewell(&["setout"]), rakewell(&["new", "--list"]));
    for told in [demo_inspected(), &setout, &list] {
        for line in told.out.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!told.out.contains('\u{1b}'), "{}", told.out);
    }
    let forced = program()
        .arg("setout")
        .env("CLICOLOR_FORCE", "1")
        .output()
        .unwrap();
    assert!(String::from_utf8_lossy(&forced.stdout).contains('\u{1b}'));
    let plain = program()
        .arg("setout")
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    assert!(!String::from_utf8_lossy(&plain.stdout).contains('\u{1b}'));
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    assert_eq!(rakewell(&["inspect", "--json"]).out, demo_json().out);
    let setout = || rakewell(&["setout", "--json"]).out;
    assert_eq!(setout(), setout());
}

#[test]
fn only_what_is_asked_for_counts() {
    let all = demo_inspected();
    let stop = rakewell(&["inspect", "--at-least", "stop"]);
    assert!(all.out.contains("\n! Fix: "), "{}", all.out);
    assert!(!stop.out.contains("\n! Fix: "), "{}", stop.out);
    assert!(stop.out.contains("milder not told"));
    assert_eq!(stop.status, 1);
}

#[test]
fn a_milder_trouble_than_asked_for_ends_with_no_trouble() {
    // A plumb, level flight whose tread ends alone wander: seen by the eye, no danger.
    let starter = include_str!("../../../scenes/straight.ron");
    let wandering = starter.replacen(
        "readings: [",
        "readings: [Edge(step: 5, is: \"2 1/2\"), Edge(step: 6, is: \"2\"),",
        1,
    );
    assert_ne!(starter, wandering);
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "wandering.ron", wandering);
    let all = rakewell(&["inspect", &path]);
    assert_eq!(all.status, 1, "{}{}", all.out, all.err);
    let stop = rakewell(&["inspect", &path, "--at-least", "stop"]);
    assert_eq!(stop.status, 0, "{}{}", stop.out, stop.err);
}

#[test]
fn the_demo_is_what_its_file_says() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "copy.ron", DEMO);
    assert_eq!(demo_inspected().out, rakewell(&["inspect", &path]).out);
    assert_eq!(rakewell(&["setout"]).out, rakewell(&["setout", &path]).out);
}

/// The word that was mistyped is told as such, not looked for as a file.
#[test]
fn a_command_that_is_none_is_told_with_the_one_near_it() {
    for args in [
        &["inspct"][..],
        &["inspct", "job.ron"],
        &["inspct", "--json"],
    ] {
        let told = rakewell(args);
        assert_eq!((told.status, told.out.as_str()), (2, ""));
        assert!(told.err.contains("did you mean `inspect`?"), "{}", told.err);
    }
    let told = rakewell(&["staircase"]);
    assert!(told.err.contains("no command `staircase`"), "{}", told.err);
    assert!(!told.err.contains("did you mean"), "{}", told.err);
}

/// Every command that prints lengths prints them on the tape that is asked for.
#[test]
fn every_table_can_be_had_in_millimetres() {
    for command in [
        "inspect", "survey", "setout", "stock", "cuts", "parts", "compare", "pole",
    ] {
        let told = rakewell(&[command, "--tape", "mm"]);
        assert!(told.status < 2, "{command}: {}", told.err);
        assert!(told.out.contains(" mm"), "{command}:\n{}", told.out);
        assert!(!told.out.contains("1/16\""), "{command}:\n{}", told.out);
    }
}

/// Two readings of one thing that disagree: said before the troubles, for they may follow from it.
#[test]
fn a_reading_that_may_be_a_slip_is_told_first() {
    let folder = tempfile::tempdir().unwrap();
    let twice = demo_with(
        "Rise(step: 2, is: \"7 7/16\")",
        "Rise(step: 2, is: \"7 7/16\"), Rise(step: 2, is: \"7 1/16\")",
    );
    let path = write(folder.path(), "twice.ron", twice);
    let told = rakewell(&["inspect", &path]);
    let slip = told.out.find("may be a slip").unwrap();
    assert!(slip < told.out.find("Stop").unwrap(), "{}", told.out);
    // The survey does not name the reading itself as the one that it could as well be.
    let survey = rakewell(&["survey", &path]).out;
    let words = survey.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("could as well be in the other one, 7 "),
        "{survey}"
    );
    assert!(!words.contains(" -0.000"), "{survey}");
}

#[test]
fn setout_tells_newel_notch_gaps_and_cuts() {
    let told = rakewell(&["setout"]);
    assert_eq!((told.status, told.err.as_str()), (0, ""));
    for words in [
        "Newels",
        "notch",
        "Balusters",
        "Gaps",
        "lower cut",
        "Baluster line",
        "3 3/4\"",
    ] {
        assert!(
            told.out.contains(words),
            "does not say {words:?}:\n{}",
            told.out
        );
    }
}

#[test]
fn setout_tells_of_treads_kicks_and_skirts() {
    let folder = tempfile::tempdir().unwrap();
    let boards = "skirts: [\n        (name: \"Q3\", side: Wall, thickness: \"3/4\", above: \"4\", \
                  width: \"12\"),";
    let fields = "boards: (\n\
        open_end: Skirt, undercut: (tread_ends: \"0.5\"),\n\
        treads: [(step: 5, front: 38, back: 38, left: 89, right: 90)],\n\
        kick_leans: [(step: 3, over: 7, by: \"1/8\")],\n\
        base: (height: \"5 1/4\", thickness: \"1/2\", bottom_at: \"2\", top_at: \"2\"),\n\
        ),\n    design: (";
    let closed = demo_with("skirts: [", boards).replacen("design: (", fields, 1);
    let path = write(folder.path(), "closed.ron", closed);
    let told = rakewell(&["setout", &path]);
    assert_eq!((told.status, told.err.as_str()), (0, ""));
    let said = |out: &str| out.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = said(&told.out);
    for words in [
        "Treads, kicks and skirts",
        "common practice with no source",
        "The left ends meet: skirt; the right ends: skirt.",
        "widths and angles of tread 5 were read",
        "does not tilt in at its net",
        "kick 3 leans 1.0\u{b0}, its head up the flight",
        "plumb cut",
        "level cut",
        "the base stepped back 1/4\"",
        "no height serves both ends",
        "scribe along W1",
    ] {
        assert!(
            text.contains(words),
            "does not say {words:?}:\n{}",
            told.out
        );
    }
    // The open side of the demo itself is mitred.
    let demo = rakewell(&["setout"]);
    for words in [
        "Q1 left hand, mitred to the kicks",
        "level cuts 9/16\" above",
        "beyond skirt",
    ] {
        assert!(
            said(&demo.out).contains(words),
            "does not say {words:?}:\n{}",
            demo.out
        );
    }
    for told in [&told, &demo] {
        assert!(told.out.lines().all(|line| line.chars().count() <= 80));
    }
}

#[test]
fn the_tape_of_the_job_is_used() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(
        folder.path(),
        "mm.ron",
        demo_with("tape: Sixteenths", "tape: Millimetres"),
    );
    let told = rakewell(&["setout", &path]);
    // 3 3/4 in is 95.25 mm: on a millimetre tape a quarter past 95 is not yet strong.
    assert!(told.out.contains("95 mm"), "{}", told.out);
    assert!(!told.out.contains("3 3/4\""));
}

#[test]
fn without_a_display_the_inspection_is_told_instead() {
    let told = rakewell::<&str>(&[]);
    assert_eq!(told.status, 1, "{}", told.err);
    assert_eq!(told.out, demo_inspected().out);
    let missing = if cfg!(feature = "viewer") {
        // Whichever is looked for first.
        told.err.contains("display") || told.err.contains("mesa-vulkan-drivers")
    } else {
        told.err.contains("built without its window")
    };
    assert!(missing, "{}", told.err);
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    for args in [vec!["inspect"], vec!["setout", "--json"], vec!["--help"]] {
        let mut child = program()
            .args(&args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child
            .stderr
            .take()
            .unwrap()
            .read_to_string(&mut err)
            .unwrap();
        let status = child.wait().unwrap().code();
        assert_eq!(err, "", "{args:?}");
        assert_eq!(status, Some(i32::from(args == ["inspect"])), "{args:?}");
    }
}

#[test]
fn help_and_version_are_answers() {
    for args in [
        vec!["--help"],
        vec!["help", "inspect"],
        vec!["picture", "--help"],
    ] {
        let told = rakewell(&args);
        assert_eq!((told.status, told.err.as_str()), (0, ""));
        assert!(told.out.contains("Usage: rakewell"), "{}", told.out);
    }
    let told = rakewell(&["--version"]);
    assert_eq!(
        told.out.trim(),
        concat!("rakewell ", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn what_the_command_line_cannot_mean_is_a_fault() {
    let to = ["picture", "--to", "x.png"];
    for args in [
        vec!["inspect", "--loud"],
        vec!["inspect", "--at-least", "grave"],
        vec!["inspect", "a", "b"],
        vec!["picture"],
        [&to[..], &["--size", "1600"]].concat(),
        [&to[..], &["--size", "0x100"]].concat(),
        [&to[..], &["--size", "100000x100000"]].concat(),
        [&to[..], &["--stretch", "0"]].concat(),
        [&to[..], &["--stretch", "21"]].concat(),
        [&to[..], &["--stretch", "NaN"]].concat(),
        [&to[..], &["--mood", "gloomy"]].concat(),
        [&to[..], &["--samples", "5"]].concat(),
        [&to[..], &["--turn", "1"]].concat(),
        [&to[..], &["--turn", "361"]].concat(),
        [&to[..], &["--turn", "12", "--sheet", "looks"]].concat(),
        [&to[..], &["--sheet", "all"]].concat(),
        [&to[..], &["--clear", "--beside", ""]].concat(),
    ] {
        let told = rakewell(&args);
        assert_eq!((told.status, told.out.as_str()), (2, ""), "{args:?}");
        assert!(told.err.contains("error"), "{args:?}: {}", told.err);
    }
}
