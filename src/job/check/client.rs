//! Checks of what the client sees and decides: names that are names, timbers that have a colour,
//! answers to something that was asked.

use super::{Check, how, names};
use crate::job::limits::{
    LONGEST_ANSWER, LONGEST_NAME, LONGEST_REMARK, LONGEST_SIGNED, MOST_ANSWERS, MOST_ASKS,
    MOST_CHOICES, MOST_FINISHES, MOST_LOOKS,
};
use crate::job::nearest::did_you_mean;
use crate::job::timber::{TIMBERS, timber};
use crate::job::{Answer, Ask, Finish, Look};

pub(super) fn check(check: &mut Check<'_>) {
    let client = &check.job.client;
    if check.few("client.looks", "looks", client.looks.len(), MOST_LOOKS) {
        for (at, look) in client.looks.iter().enumerate() {
            one_look(check, &format!("client.looks[{at}]"), look);
        }
        let named = client.looks.iter().map(|look| look.name.as_str());
        once(check, "client.looks", "looks", named);
    }
    if check.few("client.asks", "questions", client.asks.len(), MOST_ASKS) {
        for (at, ask) in client.asks.iter().enumerate() {
            one_ask(check, &format!("client.asks[{at}]"), ask);
        }
        let named = client.asks.iter().map(|ask| ask.name.as_str());
        once(check, "client.asks", "questions", named);
    }
    let answers = &client.answers;
    if check.few("client.answers", "answers", answers.len(), MOST_ANSWERS) {
        for (at, answer) in answers.iter().enumerate() {
            one_answer(check, &format!("client.answers[{at}]"), answer);
        }
    }
}

/// Tells a name that two of a list have.
fn once<'a>(check: &mut Check<'_>, list: &str, what: &str, all: impl Iterator<Item = &'a str>) {
    let named = all.enumerate();
    let named: Vec<(String, &str)> = named
        .map(|(at, name)| (format!("{list}[{at}].name"), name))
        .collect();
    names::own(check, &named, what);
}

fn one_look(check: &mut Check<'_>, path: &str, look: &Look) {
    names::one(check, &format!("{path}.name"), &look.name);
    how::remark(check, &format!("{path}.note"), "the word to it", &look.note);
    let list = format!("{path}.finishes");
    if check.few(&list, "finishes", look.finishes.len(), MOST_FINISHES) {
        for (at, finish) in look.finishes.iter().enumerate() {
            let path = format!("{list}[{at}]");
            if finish.of.is_empty() {
                check.tell(
                    &format!("{path}.of"),
                    "it names no parts",
                    "write some, as [Treads, Rails]",
                );
            }
            check.few(
                &format!("{path}.of"),
                "sorts of parts",
                finish.of.len(),
                MOST_FINISHES,
            );
            one_finish(check, &format!("{path}.is"), &finish.is);
        }
    }
    if let Some(floor) = &look.floor {
        one_finish(check, &format!("{path}.floor"), floor);
    }
}

fn one_finish(check: &mut Check<'_>, path: &str, finish: &Finish) {
    let Finish::Timber {
        species: Some(name),
        ..
    } = finish
    else {
        return;
    };
    if timber(name).is_none() {
        let known: Vec<&str> = TIMBERS.iter().map(|one| one.name).collect();
        check.tell(
            path,
            format!("nothing is known here of how {name:?} looks"),
            did_you_mean(name, &known, "timber"),
        );
    }
}

fn one_ask(check: &mut Check<'_>, path: &str, ask: &Ask) {
    let name = format!("{path}.name");
    if names::one(check, &name, &ask.name) && Answer::ALWAYS.contains(&ask.name.as_str()) {
        check.tell(
            &name,
            format!("`{}` is always asked", ask.name),
            "call it something else",
        );
    }
    let question = format!("{path}.question");
    if ask.question.trim().is_empty() {
        check.tell(
            &question,
            "it does not ask anything",
            "write the question in plain words",
        );
    } else {
        how::remark(check, &question, "the question", &ask.question);
    }
    how::remark(check, &format!("{path}.note"), "the word to it", &ask.note);
    let list = format!("{path}.choices");
    if check.few(&list, "choices", ask.choices.len(), MOST_CHOICES) {
        for (at, choice) in ask.choices.iter().enumerate() {
            let path = format!("{list}[{at}]");
            if choice.trim().is_empty() {
                check.tell(&path, "the choice is empty", "write it, or leave it out");
            } else {
                how::remark(check, &path, "the choice", choice);
            }
        }
    }
}

/// Whether what was asked is still asked is no fault: the page may be older than the job.
fn one_answer(check: &mut Check<'_>, path: &str, answer: &Answer) {
    for (field, what, text, most) in [
        ("to", "what it answers", &answer.to, LONGEST_NAME),
        ("chose", "the choice", &answer.chose, LONGEST_REMARK),
        ("by", "who answered", &answer.by, LONGEST_SIGNED),
        ("on", "the day", &answer.on, LONGEST_NAME),
    ] {
        how::text(check, &format!("{path}.{field}"), what, text, most);
    }
    let note = format!("{path}.note");
    how::printed(check, &note, "the word to it", &answer.note, LONGEST_ANSWER);
    if answer.chose.trim().is_empty() && answer.note.trim().is_empty() {
        check.tell(path, "the answer is empty", "write `chose` or `note`");
    }
}

#[cfg(test)]
mod tests {
    use crate::job::{Colour, Document, Finish};

    const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

    fn with(client: &str) -> Result<Document, crate::job::Faults> {
        let end = STRAIGHT.trim_end().strip_suffix(')').unwrap();
        Document::parse(&format!("{end}    client: ({client}),\n)\n"), "test.ron")
    }

    #[test]
    fn looks_asks_and_answers_are_read() {
        let read = with(
            r##"looks: [(name: "oak and white", finishes: [
                (of: [Treads, Rails], is: Timber(species: "White Oak", stain: "#7a4a20")),
                (of: [Balusters], is: Paint(colour: "#f4f0e6", sheen: Matt)),
            ], wall: "#e8e0d0", light: Evening)],
            asks: [(name: "cap", question: "A ball or a flat cap?", choices: ["ball", "flat"])],
            answers: [(to: "cap", chose: "ball", by: "A. Reed", on: "2026-03-14")]"##,
        )
        .unwrap();
        let client = &read.job().client;
        assert_eq!(client.looks[0].wall, Some(Colour([0xe8, 0xe0, 0xd0])));
        assert!(matches!(
            &client.looks[0].finishes[1].is,
            Finish::Paint { .. }
        ));
        assert_eq!(client.answers[0].chose, "ball");
    }

    #[test]
    fn what_is_wrong_is_told_with_its_field() {
        let cases = [
            (r#"looks: [(name: "")]"#, "client.looks[0].name"),
            (
                r#"looks: [(name: "a"), (name: "a")]"#,
                "client.looks[1].name",
            ),
            (
                r#"looks: [(name: "a", finishes: [(of: [Treads], is: Timber(species: "whit oak"))])]"#,
                "client.looks[0].finishes[0].is",
            ),
            (
                r#"looks: [(name: "a", finishes: [(of: [], is: Metal(Brass))])]"#,
                "client.looks[0].finishes[0].of",
            ),
            (
                r#"looks: [(name: "a", wall: "beige")]"#,
                "client.looks[0].wall",
            ),
            (
                r#"looks: [(name: "a", finishes: [(of: [Treads], is: Paint(colour: 7))])]"#,
                "client.looks[0].finishes[0].is.colour",
            ),
            (
                r#"asks: [(name: "look", question: "Which?")]"#,
                "client.asks[0].name",
            ),
            (
                r#"asks: [(name: "b", question: " ")]"#,
                "client.asks[0].question",
            ),
            (
                r#"asks: [(name: "b", question: "Which?", choices: [""])]"#,
                "client.asks[0].choices[0]",
            ),
            (r#"answers: [(to: "b")]"#, "client.answers[0]"),
        ];
        for (client, path) in cases {
            let faults = with(client).expect_err(client);
            assert_eq!(faults.diagnostics[0].path, path, "{client}");
            assert!(!faults.diagnostics[0].help.is_empty(), "{client}");
        }
    }
}
