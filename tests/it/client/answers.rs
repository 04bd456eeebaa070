//! What a client decided, as it comes back: the command, the page made again, the sheets. The two
//! stored answers are what Debian's Chromium saved and copied from the page of Weir Cottage;
//! tests/page holds the page to that shape.

use std::io::Write as _;
use std::process::Stdio;

use rakewell::job::Document;
use rakewell::publish::finish::looks;
use rakewell::publish::page::answered::{decisions, take};
use rakewell::publish::page::state_of;
use serde_json::Value;

use crate::cli::{Ran, program, rakewell, write};

const COTTAGE: &str = include_str!("../../../demo-scenes/weir-cottage.ron");
const FILE: &str = include_str!("answers.json");
const TEXT: &str = include_str!("answers.txt");

/// What came back, as if the page had been made from the job as it is now.
fn for_now(said: &str) -> String {
    let sent: Value = serde_json::from_str(FILE).unwrap();
    let state = sent["made_for"]["hash"].as_str().unwrap();
    assert!(said.contains(state));
    let document = Document::parse(COTTAGE, "cottage.ron").unwrap();
    said.replace(state, &state_of(document.job()))
}

/// Runs the program with something on standard input.
fn given(args: &[&str], said: &str) -> Ran {
    let mut child = program()
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(said.as_bytes())
        .unwrap();
    let ran = child.wait_with_output().unwrap();
    Ran {
        status: ran.status.code().unwrap_or(-1),
        out: String::from_utf8(ran.stdout).unwrap(),
        err: String::from_utf8(ran.stderr).unwrap(),
    }
}

#[test]
fn the_file_and_the_text_of_a_page_are_read_into_the_job() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "cottage.ron", COTTAGE);
    let file = write(folder.path(), "answers.json", for_now(FILE));
    let before = rakewell(&["answers", &job]);
    assert_eq!(before.status, 0, "{}", before.err);
    assert!(
        before.out.contains("3 of 4 not answered yet"),
        "{}",
        before.out
    );
    assert!(
        before.out.contains("a flat cap with eased edges"),
        "{}",
        before.out
    );

    let dry = rakewell(&["answers", &job, "--from", &file, "--tell-only"]);
    assert_eq!(dry.status, 0, "{}", dry.err);
    assert!(dry.out.contains("Nothing was written"), "{}", dry.out);
    assert_eq!(std::fs::read_to_string(&job).unwrap(), COTTAGE);

    let told = rakewell(&["answers", &job, "--from", &file]);
    assert_eq!(told.status, 0, "{}", told.err);
    for says in [
        "the finish: evening by the stove",
        "the way it is built: Half newel at the gable",
        "in place of",
        "Written into",
    ] {
        assert!(told.out.contains(says), "{says}: {}", told.out);
    }
    assert!(
        told.out
            .lines()
            .all(|line| line.chars().count() <= 80 || line.contains("/"))
    );
    let written = std::fs::read_to_string(&job).unwrap();
    let document = Document::parse(&written, "cottage.ron").unwrap();
    let client = &document.job().client;
    assert_eq!(client.answers.len(), 5);
    assert_eq!(looks(document.job())[0].name, "evening by the stove");
    // Nothing but the answers is another than it was.
    let plain = Document::parse(COTTAGE, "cottage.ron").unwrap();
    let mut same = document.job().clone();
    same.client.answers.clone_from(&plain.job().client.answers);
    assert_eq!(same, *plain.job());

    // The text says the same, and the second time nothing is new.
    let again = given(&["answers", &job, "--from", "-"], &for_now(TEXT));
    assert_eq!(again.status, 0, "{}", again.err);
    assert!(again.out.contains("has all of it already"), "{}", again.out);
    assert_eq!(std::fs::read_to_string(&job).unwrap(), written);

    let listed = rakewell(&["answers", &job]);
    assert!(listed.out.contains("All 4 answered."), "{}", listed.out);
}

/// The job is read, and only then what came back: meanwhile somebody else saves it.
#[test]
fn what_another_saved_while_the_answers_came_is_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "cottage.ron", COTTAGE);
    let mut child = program()
        .args(["answers", &job, "--from", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Long enough for the job to be read. Were it not, its answers would be put into the other text.
    std::thread::sleep(std::time::Duration::from_millis(500));
    let other = format!("{COTTAGE}// The gate is ordered.\n");
    std::fs::write(&job, &other).unwrap();
    let mut said = child.stdin.take().unwrap();
    said.write_all(for_now(FILE).as_bytes()).unwrap();
    drop(said);
    let ran = child.wait_with_output().unwrap();
    let says = String::from_utf8(ran.stderr).unwrap();
    let there = std::fs::read_to_string(&job).unwrap();
    assert!(
        there.contains("The gate is ordered."),
        "it was written over"
    );
    if ran.status.code() == Some(2) {
        assert!(says.contains("was changed by another program"), "{says}");
        assert_eq!(there, other);
    } else {
        assert!(ran.status.success() && there.contains("Grüße"), "{says}");
    }
}

#[test]
fn what_was_decided_is_on_the_page_made_again_in_the_inspection_and_on_its_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let before = Document::parse(COTTAGE, "cottage.ron").unwrap();
    let sent = for_now(FILE);
    let taken = take(&before, sent.as_bytes()).unwrap();
    assert_eq!(taken.mind.len(), 1, "{:?}", taken.mind);
    let told = decisions(taken.document.job());
    assert!(told.asked.iter().all(|one| one.answer.is_some()));
    let job = write(folder.path(), "cottage.ron", taken.document.text());
    let page = folder.path().join("cottage.html");
    let made = rakewell(&[
        "page",
        &job,
        "--no-pictures",
        "--to",
        page.to_str().unwrap(),
    ]);
    assert_eq!(made.status, 0, "{}", made.err);
    let page = std::fs::read_to_string(page).unwrap();
    let data = super::page::data(&page);
    assert_eq!(data["looks"][0]["name"], "evening by the stove");
    let sent: Value = serde_json::from_str(&sent).unwrap();
    assert_eq!(data["answered"]["answers"], sent["answers"]);
    assert_eq!(data["answered"]["by"], sent["by"]);
    // The answers do not make it another job: what was kept in a browser is still its own.
    assert_eq!(data["job"]["hash"], sent["made_for"]["hash"]);

    let sheet = folder.path().join("sheet.html");
    let told = rakewell(&["inspect", &job, "--sheet", sheet.to_str().unwrap()]);
    assert!(told.out.contains("What the client decided"), "{}", told.out);
    let sheet = std::fs::read_to_string(sheet).unwrap();
    let (_, decided) = sheet
        .split_once("<h2>What the client decided</h2>")
        .unwrap();
    assert!(decided.contains("evening by the stove"));
}

#[test]
fn what_cannot_be_taken_is_said_and_the_job_stays() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "cottage.ron", COTTAGE);
    let other = FILE.replace("Weir Cottage, half turn", "Elm House");
    assert_ne!(other, FILE);
    let other = write(folder.path(), "other.json", other);
    let bytes = write(folder.path(), "bytes", [0xff, 0, 1]);
    let none = folder.path().join("none");
    let inside = folder.path().to_str().unwrap();
    let cases = [
        (other.as_str(), "\"Elm House\""),
        (&bytes, "0xFF"),
        (none.to_str().unwrap(), "cannot be read"),
        (inside, "folder"),
    ];
    for (from, says) in cases {
        let told = rakewell(&["answers", &job, "--from", from]);
        assert_eq!((told.status, told.out.as_str()), (2, ""), "{from}");
        assert!(told.err.contains(says), "{from}: {}", told.err);
        assert!(told.err.contains("; "), "what would do: {}", told.err);
    }
    assert_eq!(std::fs::read_to_string(&job).unwrap(), COTTAGE);
    let told = rakewell(&["answers", "--from", &other]);
    assert_eq!(told.status, 2, "an answer is for a job");
    let told = given(&["answers", &job, "--from", "-"], "");
    assert!(
        told.err.contains("standard input: nothing is in it"),
        "{}",
        told.err
    );
}
