//! `answers`: what the client decided: read from what his page sent back and put into the job, or listed
//! as it stands there.

use std::fs::File;
use std::io;
use std::path::Path;

use super::args::Answers;
use super::page::Page;
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::job::Job;
use crate::job::whole::plain;
use crate::publish::page::answered::{NotTaken, Taken, answer_says, bytes, decisions, take};

pub(super) fn run(command: &Answers) -> Outcome {
    let source = match source::load(command.job.as_deref()) {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    match (&command.job, &command.from) {
        (Some(job), Some(from)) => put(&source, job, from, command.tell_only),
        _ => talk::answer(&listed(source.job()), Outcome::Clean),
    }
}

/// Reads what came back into the job's file.
fn put(source: &Source, path: &Path, from: &Path, tell_only: bool) -> Outcome {
    let taken = match read(from).and_then(|said| {
        take(source.document(), &said).map_err(|error| match error {
            NotTaken::Unread(unread) => talk::fault(&format!("{}: {unread}", called(from))),
            NotTaken::Job(faults) => source::say_faults(&faults),
        })
    }) {
        Ok(taken) => taken,
        Err(outcome) => return outcome,
    };
    let before = source.document().text();
    let changed = taken.document.text() != before;
    if changed
        && !tell_only
        && let Err(error) = taken.document.save_after(path, before)
    {
        return talk::fault(&error.to_string());
    }
    let done = match (changed, tell_only) {
        (false, _) => "The job has all of it already and is as it was.".to_owned(),
        (true, true) => format!(
            "Nothing was written; without --tell-only {} is.",
            path.display()
        ),
        (true, false) => format!("Written into {}.", path.display()),
    };
    talk::answer(&told(source.job(), &taken, &done), Outcome::Clean)
}

/// What messages call it.
fn called(from: &Path) -> String {
    if from == Path::new("-") {
        "standard input".to_owned()
    } else {
        from.display().to_string()
    }
}

/// The bytes that came back.
fn read(from: &Path) -> Result<Vec<u8>, Outcome> {
    let said = if from == Path::new("-") {
        bytes(io::stdin().lock())
    } else {
        File::open(from).and_then(bytes)
    };
    match said {
        Ok(said) => Ok(said),
        Err(_) if from.is_dir() => Err(talk::fault(&format!(
            "{}: this is a folder; name the file that the client sent",
            called(from)
        ))),
        Err(error) => Err(talk::fault(&format!(
            "{} cannot be read: {}; name the file that the client sent, or - for standard input",
            called(from),
            plain(&error)
        ))),
    }
}

fn told(job: &Job, taken: &Taken, done: &str) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: what the client decided", job.name));
    for says in &taken.did {
        page.wrapped("  - ", says);
    }
    if !taken.mind.is_empty() {
        page.heading("Mind");
    }
    for says in &taken.mind {
        page.wrapped("  - ", says);
    }
    page.space();
    page.wrapped("", done);
    page.text()
}

fn listed(job: &Job) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: what the client is asked", job.name));
    let told = decisions(job);
    let open = told.asked.iter().filter(|one| one.answer.is_none()).count();
    for one in &told.asked {
        page.wrapped("  ", &one.question);
        match &one.answer {
            Some(answer) => page.wrapped("    ", &answer_says(answer)),
            None if one.choices.is_empty() => page.wrapped("    ", "not answered yet"),
            None => page.wrapped(
                "    ",
                &format!(
                    "not answered yet; to choose from: {}",
                    one.choices.join("; ")
                ),
            ),
        }
    }
    for (heading, answers) in [
        ("Further words", &told.words),
        ("Answers to what is asked no more", &told.gone),
    ] {
        if !answers.is_empty() {
            page.heading(heading);
        }
        for answer in answers {
            let to = if answer.to.is_empty() {
                String::new()
            } else {
                format!("{}: ", answer.to)
            };
            page.wrapped("  - ", &format!("{to}{}", answer_says(answer)));
        }
    }
    page.space();
    page.wrapped(
        "",
        &match (told.asked.len(), open) {
            (0, _) => "The client is asked nothing.".to_owned(),
            (all, 0) => format!("All {all} answered."),
            (all, open) => format!(
                "{open} of {all} not answered yet; `rakewell page` asks, `rakewell answers JOB --from FILE` \
                 reads what comes back."
            ),
        },
    );
    page.text()
}
