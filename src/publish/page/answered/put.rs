//! Answers put into a job: each by what the job asks, in place of an earlier one to the same.

use super::read::{Answered, One, is_day, plain};
use super::shape::AS_WRITTEN;
use super::stands::{answer_says, heading_of};
use super::{NotTaken, Taken, Unread, shown};
use crate::job::{Answer, Document, Job};
use crate::publish::finish::looks;
use crate::publish::page::asks::way_of;
use crate::publish::page::state_of;

/// Puts answers into their job.
pub(super) fn put(document: &Document, answered: &Answered) -> Result<Taken, NotTaken> {
    let job = document.job();
    if answered.job != job.name {
        return Err(Unread::at(
            "made_for.job",
            format!(
                "the answers are for {}, and this job is {}",
                shown(&answered.job),
                shown(&job.name)
            ),
            "read them into the job that their page was made from; one that was renamed since has its \
             old name for as long as they are read",
        )
        .into());
    }
    let mut telling = Telling {
        did: Vec::new(),
        mind: answered.odd.clone(),
    };
    if answered.state != state_of(job) {
        telling.mind.push(
            "the job, or this program, has changed since the page was made: hold what was decided \
             against what is drawn now"
                .to_owned(),
        );
    }
    let mut answers: Vec<Answer> = Vec::new();
    for one in &answered.answers {
        answers.push(signed(of_one(job, one, &mut telling)?, answered));
    }
    if !answered.note.is_empty() {
        let word = Answer {
            note: answered.note.clone(),
            ..Answer::default()
        };
        answers.push(signed(word, answered));
    }
    if answers.is_empty() {
        telling
            .mind
            .push("nothing is decided in it, and nothing written".to_owned());
    }
    let mut document = document.clone();
    for answer in &answers {
        document = put_one(document, answer, &mut telling)?;
    }
    Ok(Taken {
        document,
        did: telling.did,
        mind: telling.mind,
    })
}

/// What is told of it.
struct Telling {
    did: Vec<String>,
    mind: Vec<String>,
}

fn signed(answer: Answer, answered: &Answered) -> Answer {
    Answer {
        by: answered.by.clone(),
        on: answered.on.clone(),
        ..answer
    }
}

/// An answer as the job keeps it: what was chosen by its name. A choice that the job has no longer goes
/// into the note, where it is read and nothing follows from it.
fn of_one(job: &Job, one: &One, telling: &mut Telling) -> Result<Answer, Unread> {
    let told = |chose: &str, note: &str| Answer {
        to: one.ask.clone(),
        chose: chose.to_owned(),
        note: note.to_owned(),
        ..Answer::default()
    };
    let Some(known) = known(job, &one.ask) else {
        telling.mind.push(format!(
            "{} is asked no more: what was answered is kept, and nothing follows from it",
            shown(&one.ask)
        ));
        // What the job asks is its carpenter's own words; this is whatever was sent.
        if plain(&one.ask) != (one.ask.clone(), 0) {
            return Err(Unread::at(
                "answers",
                format!("{} is asked by no page", shown(&one.ask)),
                AS_WRITTEN,
            ));
        }
        let (chose, _) = plain(one.choice.as_deref().unwrap_or(""));
        return Ok(told(&chose.replace('\n', " "), &one.note));
    };
    let Some(choice) = &one.choice else {
        return Ok(told("", &one.note));
    };
    let [_, alternative] = Answer::ALWAYS;
    let name = if one.ask == alternative {
        way_of(choice).unwrap_or(Answer::AS_IT_STANDS)
    } else {
        choice.as_str()
    };
    if known.iter().any(|one| one == name) {
        if one.ask == alternative && name != Answer::AS_IT_STANDS {
            telling.mind.push(format!(
                "the alternative {} is recorded as chosen; the job itself is as it was",
                shown(name)
            ));
        }
        return Ok(told(name, &one.note));
    }
    telling.mind.push(format!(
        "{} was chosen for {}, which is no longer to be had: it is kept as a word",
        shown(name),
        heading_of(&one.ask)
    ));
    let was = format!("Chose {name:?}, which the job no longer has.");
    Ok(told("", format!("{was}\n{}", one.note).trim_end()))
}

/// What may be chosen of what is asked; `None` where it is not asked.
fn known(job: &Job, asked: &str) -> Option<Vec<String>> {
    let [look, alternative] = Answer::ALWAYS;
    if asked == look {
        return Some(looks(job).into_iter().map(|look| look.name).collect());
    }
    if asked == alternative {
        let names = job.alternatives.iter().map(|one| one.name.clone());
        return Some(names.chain([Answer::AS_IT_STANDS.to_owned()]).collect());
    }
    let ask = job.client.asks.iter().find(|ask| ask.name == asked)?;
    Some(ask.choices.clone())
}

/// Writes an answer where it belongs.
fn put_one(
    document: Document,
    answer: &Answer,
    telling: &mut Telling,
) -> Result<Document, NotTaken> {
    let job = document.job();
    let heading = heading_of(&answer.to);
    let says = answer_says(answer);
    let standing = &job.client.answers;
    let same = |one: &Answer| one.to == answer.to && (!one.to.is_empty() || one.by == answer.by);
    let Some(at) = standing.iter().rposition(same) else {
        telling.did.push(format!("{heading}: {says}"));
        return Ok(added(&document, answer)?);
    };
    let before = &standing[at];
    if before == answer {
        telling
            .did
            .push(format!("{heading}: {says}; the job has it already"));
        return Ok(document);
    }
    if is_day(&before.on) && is_day(&answer.on) && before.on > answer.on {
        telling.mind.push(format!(
            "{heading}: {says}; not put into the job, which has a later answer: {}. If the earlier one \
             counts, take client.answers[{at}] out first",
            answer_says(before)
        ));
        return Ok(document);
    }
    telling.did.push(format!(
        "{heading}: {says}; in place of: {}",
        answer_says(before)
    ));
    let field = format!("client.answers[{at}]");
    Ok(document.set(&field, &answer.written())?)
}

/// The document with one more answer. What is written for the first time stands on lines of its own.
fn added(document: &Document, answer: &Answer) -> Result<Document, crate::job::Faults> {
    let written = answer.written();
    let end = if document.text().contains("\r\n") {
        "\r\n"
    } else {
        "\n"
    };
    let list = format!("[{end}            {written},{end}        ]");
    match (
        document.value_text("client"),
        document.value_text("client.answers"),
    ) {
        (None, _) => document.set(
            "client",
            &format!("({end}        answers: {list},{end}    )"),
        ),
        (Some(_), None) => document.set("client.answers", &list),
        (Some(_), Some(_)) if document.job().client.answers.is_empty() => {
            document.set("client.answers", &list)
        }
        (Some(_), Some(_)) => document.append("client.answers", &written),
    }
}
