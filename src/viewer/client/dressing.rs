//! Edits of looks and questions, as changes of the job's text: as little of it as will do, so that what
//! a hand wrote around it stays.

use crate::job::{
    Answer, Ask, Colour, Document, Finish, FinishOf, Finished, Job, Light, Look, quoted,
};
use crate::publish::finish::usual_looks;

use super::super::session::Change;

/// What may be done to a look.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) enum Dressing {
    /// Another look that is like it.
    Another,
    /// Takes it out.
    Without,
    /// Calls it something else.
    Called(String),
    /// Finishes parts so; `None` as is usual.
    Of(Finished, Option<Finish>),
    /// Paints the walls; `None` as is usual.
    Wall(Option<Colour>),
    /// Finishes the floors; `None` as is usual.
    Floor(Option<Finish>),
    /// Shows it in this light.
    Light(Light),
}

impl Dressing {
    /// What it is called in the list of what was done.
    pub(super) fn name(&self, look: &str) -> String {
        match self {
            Self::Another => format!("another look like {look}"),
            Self::Without => format!("no look {look}"),
            Self::Called(name) => format!("call the look {look} {name}"),
            Self::Of(parts, _) => format!("{look}: finish of the {}", parts.words()),
            Self::Wall(_) => format!("{look}: colour of the walls"),
            Self::Floor(_) => format!("{look}: the floors"),
            Self::Light(Light::Day) => format!("{look}: by day"),
            Self::Light(Light::Evening) => format!("{look}: in the evening"),
        }
    }
}

/// A look with something done to it; what adds or takes out looks leaves it as it is.
fn with(look: &Look, dressing: &Dressing) -> Look {
    let mut look = look.clone();
    match dressing {
        Dressing::Another | Dressing::Without => {}
        Dressing::Called(name) => name.clone_into(&mut look.name),
        Dressing::Wall(wall) => look.wall = *wall,
        Dressing::Floor(floor) => look.floor.clone_from(floor),
        Dressing::Light(light) => look.light = *light,
        Dressing::Of(part, finish) => {
            for one in &mut look.finishes {
                one.of.retain(|of| of != part);
            }
            look.finishes.retain(|one| !one.of.is_empty());
            if let Some(is) = finish {
                look.finishes.push(FinishOf {
                    of: vec![*part],
                    is: is.clone(),
                });
            }
        }
    }
    look
}

/// A name that no look has: the look's own with the next number.
fn free_name(looks: &[Look], like: &str) -> String {
    let stem = like.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == ' ');
    let stem = if stem.is_empty() { like } else { stem };
    let names = (2..).map(|number| format!("{stem} {number}"));
    let free = |name: &String| looks.iter().all(|look| look.name != *name);
    let mut names = names.filter(free);
    names.next().unwrap_or_default()
}

/// The looks of the job as its file would list them.
fn listed(job: &Job) -> Vec<Look> {
    if job.client.looks.is_empty() {
        usual_looks()
    } else {
        job.client.looks.clone()
    }
}

fn written(looks: &[Look]) -> String {
    let each: Vec<String> = looks.iter().map(Look::written).collect();
    format!("[{}]", each.join(", "))
}

/// The change that writes a list of the client's, where the job has none of it yet.
fn whole(document: &Document, list: &str, value: &str) -> Change {
    Change::Set(vec![if document.value_text("client").is_some() {
        (format!("client.{list}"), value.to_owned())
    } else {
        ("client".to_owned(), format!("({list}: {value})"))
    }])
}

/// All looks, with something done to one of them.
fn made(looks: &[Look], name: &str, dressing: &Dressing) -> Vec<Look> {
    let mut all = looks.to_vec();
    let Some(at) = all.iter().position(|look| look.name == name) else {
        return all;
    };
    match dressing {
        Dressing::Another => {
            let another = Look {
                name: free_name(&all, name),
                ..all[at].clone()
            };
            all.push(another);
        }
        Dressing::Without => {
            all.remove(at);
        }
        other => all[at] = with(&all[at], other),
    }
    all
}

/// The change of the job that does something to a look, and the look to show then where that is another
/// one.
pub(in crate::viewer) fn changed(
    document: &Document,
    name: &str,
    dressing: &Dressing,
) -> (Change, Option<usize>) {
    let job = document.job();
    let before = listed(job);
    let after = made(&before, name, dressing);
    let shown = match dressing {
        Dressing::Another => Some(after.len().saturating_sub(1)),
        Dressing::Without => Some(0),
        _ => None,
    };
    let own = job.client.looks.iter().position(|look| look.name == name);
    let change = match own {
        Some(at) => own_change(document, (at, &after), dressing),
        None => whole(document, "looks", &written(&after)),
    };
    (change, shown)
}

/// The change to a look that the job has.
fn own_change(document: &Document, (at, after): (usize, &[Look]), dressing: &Dressing) -> Change {
    let base = format!("client.looks[{at}]");
    let look = &document.job().client.looks[at];
    let set = |path: String, value: String| Change::Set(vec![(path, value)]);
    let again = || {
        let written = after.get(at).map(Look::written).unwrap_or_default();
        set(base.clone(), written)
    };
    match dressing {
        Dressing::Another => Change::Append {
            list: "client.looks".to_owned(),
            item: after.last().map(Look::written).unwrap_or_default(),
        },
        Dressing::Without => Change::Remove { path: base },
        Dressing::Called(name) => set(format!("{base}.name"), quoted(name)),
        Dressing::Wall(Some(wall)) => set(format!("{base}.wall"), quoted(&wall.to_string())),
        Dressing::Floor(Some(floor)) => set(format!("{base}.floor"), floor.written()),
        Dressing::Light(Light::Day) => set(format!("{base}.light"), "Day".to_owned()),
        Dressing::Light(Light::Evening) => set(format!("{base}.light"), "Evening".to_owned()),
        Dressing::Of(part, Some(finish)) => {
            let mut named = look.finishes.iter().enumerate().rev();
            let named = named.find(|(_, one)| one.of.contains(part));
            match named {
                Some((place, one)) if one.of == [*part] => {
                    set(format!("{base}.finishes[{place}].is"), finish.written())
                }
                None => Change::Append {
                    list: format!("{base}.finishes"),
                    item: FinishOf {
                        of: vec![*part],
                        is: finish.clone(),
                    }
                    .written(),
                },
                Some(_) => again(),
            }
        }
        Dressing::Of(_, None) | Dressing::Wall(None) | Dressing::Floor(None) => again(),
    }
}

/// So many words of a question are its name.
const WORDS: usize = 3;

/// The change that asks the client something.
pub(super) fn asking(document: &Document, question: &str, choices: &[String]) -> Change {
    let asks = &document.job().client.asks;
    let words: Vec<&str> = question
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let stem = match words[words.len().saturating_sub(WORDS)..].join(" ") {
        none if none.is_empty() => "question".to_owned(),
        some => some.to_lowercase(),
    };
    let mut names = std::iter::once(stem.clone()).chain((2..).map(|at| format!("{stem} {at}")));
    let free = |name: &String| {
        !Answer::ALWAYS.contains(&name.as_str()) && asks.iter().all(|ask| ask.name != *name)
    };
    let ask = Ask {
        name: names.find(free).unwrap_or_default(),
        question: question.trim().to_owned(),
        note: String::new(),
        choices: choices.to_vec(),
    };
    let choices: Vec<String> = ask.choices.iter().map(|choice| quoted(choice)).collect();
    let item = format!(
        "(name: {}, question: {}, choices: [{}])",
        quoted(&ask.name),
        quoted(&ask.question),
        choices.join(", ")
    );
    if document.value_text("client").is_some() {
        Change::Append {
            list: "client.asks".to_owned(),
            item,
        }
    } else {
        whole(document, "asks", &format!("[{item}]"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Metal, Sheen};

    const JOB: &str = include_str!("../../../scenes/straight.ron");

    fn after(document: &Document, name: &str, dressing: &Dressing) -> Document {
        changed(document, name, dressing).0.of(document).unwrap()
    }

    fn all() -> Vec<Dressing> {
        let paint = Finish::Paint {
            colour: Colour([1, 2, 3]),
            sheen: Sheen::Gloss,
        };
        vec![
            Dressing::Of(Finished::Balusters, Some(Finish::Metal(Metal::Brass))),
            Dressing::Of(Finished::Kicks, Some(paint.clone())),
            Dressing::Of(Finished::Kicks, None),
            Dressing::Wall(Some(Colour([9, 8, 7]))),
            Dressing::Wall(None),
            Dressing::Floor(Some(paint)),
            Dressing::Floor(None),
            Dressing::Light(Light::Evening),
            Dressing::Light(Light::Day),
            Dressing::Called("by the \"door\"".to_owned()),
            Dressing::Another,
            Dressing::Without,
        ]
    }

    #[test]
    fn a_change_of_the_text_does_what_it_does_to_the_look() {
        let bare = Document::parse(JOB, "straight.ron").unwrap();
        for dressing in all() {
            // First in a job that has the usual looks, then in one that has its own.
            let name = usual_looks()[1].name.clone();
            let first = after(&bare, &name, &dressing);
            assert_eq!(
                first.job().client.looks,
                made(&usual_looks(), &name, &dressing)
            );
            let own = after(&bare, &name, &Dressing::Light(Light::Evening));
            let looks = own.job().client.looks.clone();
            let second = after(&own, &name, &dressing);
            assert_eq!(
                second.job().client.looks,
                made(&looks, &name, &dressing),
                "{dressing:?}"
            );
        }
    }

    #[test]
    fn what_a_hand_wrote_beside_it_stays() {
        let bare = Document::parse(JOB, "straight.ron").unwrap();
        let own = bare
            .set(
                "client",
                "(looks: [(name: \"a\", // his own word\n finishes: [(of: [Treads, Kicks], is: Paint(colour: \"#010203\"))])])",
            )
            .unwrap();
        let wall = after(&own, "a", &Dressing::Wall(Some(Colour([9, 8, 7]))));
        assert!(wall.text().contains("// his own word"));
        let rails = Dressing::Of(Finished::Rails, Some(Finish::Metal(Metal::Steel)));
        let rails = after(&wall, "a", &rails);
        assert!(rails.text().contains("// his own word"));
        // Treads are of a group of two: taken out of it, the kicks keep their paint.
        let treads = after(&rails, "a", &Dressing::Of(Finished::Treads, None));
        let finishes = &treads.job().client.looks[0].finishes;
        assert_eq!(finishes[0].of, [Finished::Kicks]);
    }

    #[test]
    fn questions_have_names_of_their_own() {
        let bare = Document::parse(JOB, "straight.ron").unwrap();
        let choices = ["turned \"plain\"".to_owned(), "square".to_owned()];
        let once = asking(&bare, "What newel cap? ", &choices)
            .of(&bare)
            .unwrap();
        let twice = asking(&once, "What newel cap?", &[]).of(&once).unwrap();
        let asks = &twice.job().client.asks;
        assert_eq!(asks[0].name, "what newel cap");
        assert_eq!(asks[0].choices, choices);
        assert_eq!(asks[1].name, "what newel cap 2");
        let odd = asking(&twice, "?!", &[]).of(&twice).unwrap();
        assert_eq!(odd.job().client.asks[2].name, "question");
    }

    #[test]
    fn another_look_has_a_name_that_no_look_has() {
        let looks = usual_looks();
        let name = free_name(&looks, &looks[0].name);
        assert_ne!(name, looks[0].name);
        let more = made(&looks, &looks[0].name, &Dressing::Another);
        let most = made(&more, &more[3].name, &Dressing::Another);
        assert_eq!(most.len(), 5);
        assert_ne!(most[4].name, most[3].name);
    }
}
