//! Answers read and put into a job. What a page writes is RFC 8259; what a text may hide is of Unicode
//! Standard Annex 9.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::publish::finish::looks;
use crate::publish::page::state_of;

const STRAIGHT: &str = include_str!("../../../../scenes/straight.ron");

/// The starter with looks and asks of its own.
fn job() -> Document {
    let (end, _) = STRAIGHT.split_once("    alternatives: [\n").unwrap();
    let client = r##"    // Asked on Tuesday.
    client: (
        looks: [(name: "white"), (name: "dark", wall: "#202020")],
        asks: [
            (name: "cap", question: "A ball or a flat cap?", choices: ["ball", "flat"]),
            (name: "free", question: "What else?"),
        ],
    ),
    alternatives: [(name: "high", changes: [(field: "design.rail.height", is: "37")])],
)
"##;
    Document::parse(&format!("{end}{client}"), "test.ron").unwrap()
}

/// A file for it as a page writes it.
fn file(document: &Document) -> Value {
    let job = document.job();
    json!({
        "format": 1,
        "made_for": { "job": job.name, "hash": state_of(job) },
        "look": "dark",
        "alternative": "way:high",
        "answers": [
            { "ask": "look", "choice": "dark", "note": "" },
            { "ask": "alternative", "choice": "way:high", "note": "" },
            { "ask": "cap", "choice": "flat", "note": "Grüße {\"a\"}\nsecond" },
        ],
        "note": "Thanks",
        "by": "Ann O’Hara",
        "on": "2026-11-28",
    })
}

fn with(document: &Document, field: &str, value: Value) -> Value {
    let mut file = file(document);
    file[field] = value;
    file
}

fn taken(document: &Document, said: &Value) -> Taken {
    take(document, said.to_string().as_bytes()).unwrap()
}

fn refused(document: &Document, said: &[u8]) -> Unread {
    match take(document, said) {
        Err(NotTaken::Unread(unread)) => unread,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_was_decided_stands_in_the_job_and_the_rest_of_its_text_is_as_it_was() {
    let before = job();
    let told = taken(&before, &file(&before));
    assert!(told.document.text().contains("// Asked on Tuesday."));
    let client = &told.document.job().client;
    assert_eq!(client.answers.len(), 4);
    assert_eq!(client.answer_to("cap").unwrap().chose, "flat");
    assert_eq!(
        client.answer_to("cap").unwrap().note,
        "Grüße {\"a\"}\nsecond"
    );
    assert_eq!(client.answer_to("cap").unwrap().by, "Ann O’Hara");
    assert_eq!(client.answer_to("alternative").unwrap().chose, "high");
    assert_eq!(client.answer_to("").unwrap().note, "Thanks");
    // The look that was chosen is the first that is shown; the alternative is only told.
    assert_eq!(looks(told.document.job())[0].name, "dark");
    assert_eq!(told.document.job().design, before.job().design);
    assert!(told.mind.iter().any(|says| says.contains("\"high\"")));
    // Without the answers the text is what it was.
    let without = told.document.remove("client.answers").unwrap();
    assert_eq!(without.text(), before.text());
    assert_eq!(state_of(told.document.job()), state_of(before.job()));
}

#[test]
fn the_same_twice_changes_nothing() {
    let before = job();
    let once = taken(&before, &file(&before));
    let twice = taken(&once.document, &file(&before));
    assert_eq!(once.document.text(), twice.document.text());
    assert!(twice.did.iter().all(|says| says.contains("has it already")));
}

#[test]
fn a_later_answer_replaces_an_earlier_one_and_never_the_other_way_round() {
    let document = job();
    let first = taken(&document, &file(&document)).document;
    let change = |choice: &str, on: &str| {
        let mut other = with(&document, "on", json!(on));
        other["look"] = Value::Null;
        other["alternative"] = Value::Null;
        other["note"] = json!("");
        other["answers"] = json!([{ "ask": "cap", "choice": choice, "note": "" }]);
        other
    };
    let later = taken(&first, &change("ball", "2026-12-01"));
    let client = &later.document.job().client;
    assert_eq!(client.answers.len(), 4, "the others stay");
    assert_eq!(client.answer_to("cap").unwrap().chose, "ball");
    assert!(
        later.did[0].contains("in place of: flat"),
        "{:?}",
        later.did
    );
    let earlier = taken(&later.document, &change("flat", "2026-11-01"));
    assert_eq!(earlier.document.text(), later.document.text());
    assert!(
        earlier.mind[0].contains("later answer"),
        "{:?}",
        earlier.mind
    );
}

#[test]
fn words_to_the_whole_are_kept_apart_by_who_wrote_them() {
    let document = job();
    let mut word = with(&document, "answers", json!([]));
    word["look"] = Value::Null;
    word["alternative"] = Value::Null;
    let first = taken(&document, &word).document;
    word["by"] = json!("B. Hara");
    word["note"] = json!("I too");
    let both = taken(&first, &word).document;
    assert_eq!(both.job().client.answers.len(), 2);
    word["note"] = json!("I as well");
    let again = taken(&both, &word).document;
    let notes: Vec<&str> = again
        .job()
        .client
        .answers
        .iter()
        .map(|one| one.note.as_str())
        .collect();
    assert_eq!(notes, ["Thanks", "I as well"]);
}

#[test]
fn what_is_no_longer_asked_or_to_be_had_is_told_by_name_and_kept() {
    let document = job();
    let said = json!([
        { "ask": "look", "choice": "gone look", "note": "warm" },
        { "ask": "alternative", "choice": "way:gone way", "note": "" },
        { "ask": "cap", "choice": "pyramid", "note": "" },
        { "ask": "gone ask", "choice": "yes", "note": "word" },
        { "ask": "free", "choice": null, "note": "a hook" },
    ]);
    let mut whole = with(&document, "answers", said);
    whole["look"] = json!("gone look");
    whole["alternative"] = json!("way:gone way");
    let told = taken(&document, &whole);
    for name in ["gone look", "gone way", "pyramid", "gone ask"] {
        assert!(told.mind.iter().any(|says| says.contains(name)), "{name}");
        assert!(told.document.text().contains(name), "{name}");
    }
    let client = &told.document.job().client;
    assert_eq!(client.answer_to("look").unwrap().chose, "");
    assert!(client.answer_to("look").unwrap().note.ends_with("\nwarm"));
    assert_eq!(client.answer_to("gone ask").unwrap().note, "word");
    assert_eq!(client.answer_to("free").unwrap().note, "a hook");
    assert_eq!(looks(told.document.job())[0].name, "white");
    assert_eq!(decisions(told.document.job()).gone.len(), 1);
}

#[test]
fn a_text_is_read_whatever_a_mail_has_done_to_it() {
    let document = job();
    let whole = taken(&document, &file(&document));
    let line = file(&document).to_string();
    let words = "Answers for it\n\nA ball or a flat cap?\n    flat\n\nplease leave it as it is.\n";
    let pretty = serde_json::to_string_pretty(&file(&document)).unwrap();
    let quoted: String = format!("{words}{line}\n")
        .lines()
        .map(|line| format!("> > {line}\r\n"))
        .collect();
    // RFC 3676, 4.2: a flowed line ends with the space that it was broken at; others lose it.
    let broken = |with: &str| {
        let at = line.find("second").unwrap() - 2;
        let second = &line[at..];
        let space = second.replacen("O’Hara", &format!("{with}O’Hara"), 1);
        format!(
            "{words}{}{}\nSent from a {{telephone}}",
            &line[..at],
            space.replacen(&format!(" {with}"), with, 1)
        )
    };
    for text in [
        format!("{words}{line}\n"),
        format!("\u{feff}{line}"),
        pretty.clone(),
        pretty.replace('\n', "\r\n"),
        format!("{words}{pretty}\n-- \nAnn\n{{not json"),
        quoted,
        broken(" \n"),
        broken("\n"),
        format!("{line}\n\nOn Monday you wrote:\n> {line}"),
    ] {
        let got = take(&document, text.as_bytes()).map_err(|error| format!("{error}: {text}"));
        assert_eq!(
            got.unwrap().document.text(),
            whole.document.text(),
            "{text}"
        );
    }
}

#[test]
fn half_a_letter_and_what_nobody_sees_do_no_harm() {
    let document = job();
    let text = file(&document).to_string().replace(
        "Thanks",
        "cut \\ud83d off \\ud83d\\ude00 \\\\ud83d\\u202e\\u0007\\u0000 \\u05d0",
    );
    let told = take(&document, text.as_bytes()).unwrap();
    let note = &told.document.job().client.answer_to("").unwrap().note;
    assert_eq!(note, "cut \u{fffd} off \u{1f600} \\ud83d \u{5d0}");
    assert!(
        told.mind
            .iter()
            .any(|says| says.starts_with("3 characters"))
    );
}

/// What is asked no more is told in the words that were sent: none of them turns a line about (Unicode
/// Standard Annex 9, section 2) or moves a terminal.
#[test]
fn of_what_is_asked_no_more_nothing_unseen_is_kept() {
    let document = job();
    let sent = |ask: &str| {
        let answers = json!([{ "ask": ask, "choice": "a\u{202e}b\u{1b}[2J\nc", "note": "" }]);
        with(&document, "answers", answers)
    };
    let told = taken(&document, &sent("gate"));
    let answer = told.document.job().client.answer_to("gate").unwrap();
    assert_eq!(answer.chose, "ab[2J c");
    let turned = sent("cap\u{202e}").to_string();
    let unread = refused(&document, turned.as_bytes());
    assert_eq!(unread.at, "answers");
    assert!(unread.problem.contains("\"cap\\u{202e}\""), "{unread}");
}

#[test]
fn what_cannot_be_read_says_what_was_read_and_what_would_do() {
    let document = job();
    let of = |field: &str, value: Value| with(&document, field, value).to_string().into_bytes();
    let long = "x".repeat(4001);
    let twice = json!([{ "ask": "cap", "choice": "flat", "note": "" }, { "ask": "cap", "choice": "ball", "note": "" }]);
    let cases: Vec<(Vec<u8>, &str, &str)> = vec![
        (Vec::new(), "", "nothing is in it"),
        (b"hello".to_vec(), "", "\"hello\""),
        (b"a\n\xff".to_vec(), "line 2", "0xFF"),
        (vec![0xff, 0xfe, 0x7b, 0], "", "UTF-16"),
        (vec![b' '; MOST_BYTES + 1], "", "256 at most"),
        (b"words\n{\"format\":1".to_vec(), "line 2", "cut off"),
        (
            b"{\"format\":1,]".to_vec(),
            "line 1",
            "not as the page wrote it",
        ),
        (b"{}".to_vec(), "format", "no format"),
        (of("format", json!(2)), "format", "format 2"),
        (of("format", json!("one")), "format", "\"one\""),
        (of("made_for", Value::Null), "made_for", "nothing"),
        (
            of("made_for", json!({ "job": "Elm House" })),
            "made_for.job",
            "\"Elm House\"",
        ),
        (of("answers", json!(7)), "answers", "the number 7"),
        (of("answers", json!([7])), "answers[0]", "the number 7"),
        (
            of("answers", json!([{ "ask": "" }])),
            "answers[0].ask",
            "what it answers",
        ),
        (of("answers", twice), "answers[1].ask", "twice"),
        (
            of("answers", json!(vec![json!({ "ask": "a" }); 23])),
            "answers",
            "23 answers",
        ),
        (
            of("answers", json!([{ "ask": "a", "choice": 7 }])),
            "answers[0].choice",
            "number 7",
        ),
        (of("note", json!(long)), "note", "4001 characters"),
        (of("by", json!(["Ann"])), "by", "a list of 1"),
        (of("look", json!("white")), "look", "\"white\""),
    ];
    for (said, at, problem) in cases {
        let unread = refused(&document, &said);
        assert_eq!(unread.at, at, "{unread}");
        assert!(unread.problem.contains(problem), "{unread}");
        assert!(unread.help.len() > 10, "{unread}");
    }
    let two = format!("{}\n{}", file(&document), with(&document, "by", json!("B")));
    assert!(
        refused(&document, two.as_bytes())
            .problem
            .contains("several")
    );
}

#[test]
fn what_is_odd_is_told_and_taken() {
    let document = job();
    let cases = [
        ("extra", json!(1), "\"extra\""),
        ("on", json!("tomorrow"), "no date"),
        (
            "made_for",
            json!({ "job": document.job().name, "hash": "0" }),
            "has changed since",
        ),
    ];
    for (field, value, says) in cases {
        let told = taken(&document, &with(&document, field, value));
        assert!(
            told.mind.iter().any(|one| one.contains(says)),
            "{:?}",
            told.mind
        );
        assert_eq!(told.document.job().client.answers.len(), 4, "{field}");
    }
}

#[test]
fn where_a_job_has_no_client_yet_one_is_written_in_its_own_line_ends() {
    for text in [STRAIGHT.to_owned(), STRAIGHT.replace('\n', "\r\n")] {
        let bare = Document::parse(&text, "test.ron").unwrap();
        let mut said = with(&bare, "answers", json!([]));
        said["look"] = json!("chestnut and white");
        said["alternative"] = json!("as-it-stands");
        let told = taken(&bare, &said);
        let job = told.document.job();
        assert_eq!(looks(job)[0].name, "chestnut and white");
        assert_eq!(
            job.client.answer_to("alternative").unwrap().chose,
            "as it stands"
        );
        assert_eq!(told.document.text().contains("\r\n"), text.contains("\r\n"));
        let ends = |text: &str| text.matches('\n').count() - text.matches("\r\n").count();
        assert!(!text.contains("\r\n") || ends(told.document.text()) == 0);
        let field = told.document.value_text("client").unwrap();
        assert!(field.lines().count() >= 6, "{field}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn no_bytes_bring_it_down(said in prop::collection::vec(any::<u8>(), 0..400)) {
        let _either = read(&said);
    }

    #[test]
    fn no_text_bring_it_down(before in ".{0,60}", broken in "[{}\\[\\]\",:\\\\ud8-f0-9\n> ]{0,200}") {
        let _either = read(format!("{before}\n{{\"format\":1,{broken}").as_bytes());
    }

    #[test]
    fn any_note_comes_back_as_it_was_but_for_what_nobody_sees(note in "\\PC{0,300}", by in "\\PC{0,60}") {
        let document = job();
        let mut said = with(&document, "note", json!(note));
        said["by"] = json!(by);
        let told = taken(&document, &said);
        // Letters as Unicode has them (no control, no format): only its line ends become ours.
        let seen = |text: &str| text.replace(['\u{2028}', '\u{2029}'], "\n").trim().to_owned();
        let kept = told.document.job().client.answer_to("").map(|one| (one.note.clone(), one.by.clone()));
        let wanted = (!seen(&note).is_empty()).then(|| (seen(&note), seen(&by).replace('\n', " ")));
        prop_assert_eq!(kept, wanted);
        // Read again from its text it is the same job.
        let again = Document::parse(told.document.text(), "again.ron").unwrap();
        prop_assert_eq!(&again.job().client, &told.document.job().client);
    }
}
