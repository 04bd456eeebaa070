//! What the client is asked: what everybody is, then what the job asks. Ids are names, not places: an
//! answer that comes back late, or from a page that shows other alternatives, still says what it means.

use crate::job::{Answer, Job, Look};

/// A question as the page puts it.
pub(super) struct AskTold {
    pub(super) id: String,
    pub(super) question: String,
    pub(super) says: String,
    /// Id and words of each choice.
    pub(super) choices: Vec<(String, String)>,
    pub(super) settles: Option<&'static str>,
}

/// The id of the job as it stands, among ways to do it.
const AS_IT_STANDS: &str = "as-it-stands";
/// What the id of an alternative begins with.
const WAY: &str = "way:";

/// The id of a way to do the job; none is the job as it stands.
pub(super) fn way_id(name: Option<&str>) -> String {
    name.map_or_else(|| AS_IT_STANDS.to_owned(), |name| format!("{WAY}{name}"))
}

/// The way of an id: its name, or none for the job as it stands. What has no such form is taken for a
/// name.
pub(super) fn way_of(id: &str) -> Option<&str> {
    (id != AS_IT_STANDS).then(|| id.strip_prefix(WAY).unwrap_or(id))
}

/// What is always asked, then what the job asks.
pub(super) fn asks<'a>(
    job: &Job,
    looks: &[Look],
    ways: impl Iterator<Item = Option<&'a str>>,
) -> Vec<AskTold> {
    let mut all = Vec::new();
    let [look, alternative] = Answer::ALWAYS;
    if looks.len() > 1 {
        let names = looks.iter().map(|look| look.name.clone());
        all.push(AskTold {
            id: look.to_owned(),
            question: "Which finish do you like?".to_owned(),
            says: String::new(),
            choices: names.map(|name| (name.clone(), name)).collect(),
            settles: Some("look"),
        });
    }
    let ways = ways.map(|way| {
        let name = way.unwrap_or(Answer::AS_IT_STANDS).to_owned();
        (way_id(way), name)
    });
    let ways: Vec<(String, String)> = ways.collect();
    if ways.len() > 1 {
        all.push(AskTold {
            id: alternative.to_owned(),
            question: "Which way should it be built?".to_owned(),
            says: String::new(),
            choices: ways,
            settles: Some("alternative"),
        });
    }
    all.extend(job.client.asks.iter().map(|ask| {
        AskTold {
            id: ask.name.clone(),
            question: ask.question.clone(),
            says: ask.note.clone(),
            // A choice is told by its words, so that the answer can be read without the page.
            choices: ask
                .choices
                .iter()
                .map(|one| (one.clone(), one.clone()))
                .collect(),
            settles: None,
        }
    }));
    all
}
