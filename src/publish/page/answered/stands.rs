//! What stands in a job: what is asked, what was answered, what is still open.

use crate::job::{Answer, Job};
use crate::publish::finish::looks;
use crate::publish::page::asks::asks;

/// What the client is asked and has answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Decisions {
    /// What is asked, in the order of the page.
    pub asked: Vec<Decision>,
    /// Words to the whole.
    pub words: Vec<Answer>,
    /// Answers to what is asked no more.
    pub gone: Vec<Answer>,
}

/// One asking.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// The question.
    pub question: String,
    /// What may be chosen; none where the answer is free.
    pub choices: Vec<String>,
    /// What was answered, if anything was.
    pub answer: Option<Answer>,
}

/// What a client is asked by a job, with what was answered.
#[must_use]
pub fn decisions(job: &Job) -> Decisions {
    let alternatives = job.alternatives.iter().map(|one| Some(one.name.as_str()));
    let asked = asks(job, &looks(job), [None].into_iter().chain(alternatives));
    let answers = &job.client.answers;
    let gone = answers.iter().filter(|one| {
        let is_asked = asked.iter().any(|ask| ask.id == one.to);
        !one.to.is_empty() && !is_asked
    });
    let words = answers.iter().filter(|one| one.to.is_empty());
    Decisions {
        words: words.cloned().collect(),
        gone: gone.cloned().collect(),
        asked: asked
            .into_iter()
            .map(|ask| Decision {
                answer: job.client.answer_to(&ask.id).cloned(),
                question: ask.question,
                choices: ask.choices.into_iter().map(|(_, words)| words).collect(),
            })
            .collect(),
    }
}

/// What the client decided, a sentence for each answer, for sheets; none where nothing came back.
#[must_use]
pub fn decided(job: &Job) -> Vec<String> {
    let told = decisions(job);
    let asked = told.asked.iter().filter_map(|one| {
        let answer = one.answer.as_ref()?;
        Some(format!("{} {}.", one.question, answer_says(answer)))
    });
    let gone = told
        .gone
        .iter()
        .map(|one| format!("{} (asked no more): {}.", one.to, answer_says(one)));
    let words = told
        .words
        .iter()
        .map(|one| format!("To the whole: {}.", answer_says(one)));
    asked.chain(gone).chain(words).collect()
}

/// An answer in words: what was chosen, what was written, who and when.
#[must_use]
pub fn answer_says(answer: &Answer) -> String {
    let mut says = answer.chose.clone();
    if !answer.note.is_empty() {
        // A note keeps its lines in the job; here it is one sentence among others.
        let lines: Vec<&str> = answer.note.split_whitespace().collect();
        let between = if says.is_empty() { "" } else { ", " };
        says = format!("{says}{between}\u{201c}{}\u{201d}", lines.join(" "));
    }
    let signed = [answer.by.as_str(), answer.on.as_str()];
    let signed: Vec<&str> = signed.into_iter().filter(|one| !one.is_empty()).collect();
    if signed.is_empty() {
        says
    } else {
        format!("{says} ({})", signed.join(", "))
    }
}

/// What something asked is called in a sentence.
pub(super) fn heading_of(to: &str) -> &str {
    let [look, alternative] = Answer::ALWAYS;
    match to {
        "" => "a word to the whole",
        to if to == look => "the finish",
        to if to == alternative => "the way it is built",
        to => to,
    }
}
