//! The table of what can be done. Where a key has several meanings the first that can be done counts,
//! so what is open comes before what is always there.

use super::super::climb::acts::CLIMB;
use super::super::files;
use super::super::panels::nudge;
use super::super::session::Action;
use super::super::sure::Standing;
use super::super::{Cause, Mood, Pick, Place, Viewpoint, ground, tour, ways};
use super::super::{sift, span};
use super::chord::{Stroke, plain, typed};
use super::{Act, Entry, Knows};

/// The acts of all features, what is open first. A feature keeps its acts in its own file; a line here.
const TABLE: &[&[Act]] = &[
    tour::ACTS,
    TAPE,
    SURE,
    WAYS,
    CLIMB,
    FILE,
    files::acts::ACTS,
    tour::BEGIN,
    PLACES,
    TROUBLES,
    EDITING,
    DRAWING,
    LOOKS,
    LETTING_GO,
];

/// What there is one of for each newel, trouble or way of the job.
const LISTS: &[fn(&Knows) -> Vec<Entry>] = &[newels, troubles];

/// All acts, in the order of the table.
pub(in crate::viewer) fn all() -> impl Iterator<Item = &'static Act> {
    TABLE.iter().copied().flatten()
}

/// What can be done now and has no key.
pub(in crate::viewer) fn entries(knows: &Knows) -> Vec<Entry> {
    LISTS.iter().flat_map(|list| list(knows)).collect()
}

const FILE: &[Act] = &[
    Act::new(
        plain(Stroke::F(1)),
        "list what can be done",
        "help keys search find",
        |knows| Some(Action::ActList(!knows.list.open())),
    ),
    Act::new(typed('s').control(), "save", "write keep file", |_| {
        Some(Action::Save)
    }),
    Act::new(typed('z').control(), "undo", "take back", |knows| {
        knows.session.can_undo().then_some(Action::Undo)
    })
    .repeating(),
    Act::new(typed('z').control().shift(), "redo", "again", redo).repeating(),
    Act {
        name: "redo, by its other key",
        ..Act::new(typed('y').control(), "", "again", redo)
    },
];

fn redo(knows: &Knows) -> Option<Action> {
    knows.session.can_redo().then_some(Action::Redo)
}

/// To a place of the window, or back where it is open.
fn to(place: Place, knows: &Knows) -> Action {
    let open = knows.showing.place == place;
    Action::Place(if open { Place::SetOut } else { place })
}

const PLACES: &[Act] = &[
    Act::new(
        plain(Stroke::F(2)),
        "type readings, or go back",
        "survey tape level laser sheet",
        |knows| Some(to(Place::Readings, knows)),
    ),
    Act::new(
        plain(Stroke::F(3)),
        "look at the ways to do it, or go back",
        "alternatives compare",
        |knows| {
            let some = !knows.session.document.job().alternatives.is_empty();
            let open = knows.showing.place == Place::Ways;
            (some || open).then(|| to(Place::Ways, knows))
        },
    ),
    Act::new(
        plain(Stroke::F(4)),
        "see how sure it is, or go back",
        "doubt odds chance",
        |knows| Some(to(Place::Sure, knows)),
    ),
];

/// The tape between two things.
const TAPE: &[Act] = &[
    Act::new(
        typed('l'),
        "lay the tape between two things, or put it away",
        "measure distance clear plumb level angle",
        |knows| {
            let here = knows.showing.place == Place::SetOut && knows.showing.mood == Mood::Work;
            here.then(|| Action::Tape(span::Ask::Out(!knows.laying.out)))
        },
    ),
    Act::new(
        plain(Stroke::Enter),
        "keep what the tape reads as a note",
        "measure note",
        |knows| {
            let note = knows.laying.note("").filter(|_| knows.laying.out)?;
            Some(span::keep(&note))
        },
    ),
    Act::new(
        plain(Stroke::Escape),
        "let go of the tape's end",
        "measure back",
        |knows| knows.laying.out.then_some(Action::Tape(span::Ask::LetGo)),
    ),
];

/// In the place that says how sure the stair is.
const SURE: &[Act] = &[
    Act::new(
        plain(Stroke::Enter),
        "draw the stair again and again",
        "doubt odds chance",
        |knows| {
            let still = knows.sure.standing() == Standing::Still;
            (knows.showing.place == Place::Sure && still).then_some(Action::Draw(true))
        },
    ),
    Act::new(plain(Stroke::Escape), "end the draws", "stop", |knows| {
        let still = knows.sure.standing() == Standing::Still;
        (knows.showing.place == Place::Sure && !still).then_some(Action::Draw(false))
    }),
];

/// The next way to do it; what is shown there need not be the job as it stands.
fn step_way(knows: &Knows, backwards: bool) -> Option<Action> {
    if knows.showing.place != Place::Ways {
        return None;
    }
    let there = knows.ways.of(knows.work.stood)?;
    Some(Action::Way(ways::next(there, knows.showing.way, backwards)))
}

const WAYS: &[Act] = &[
    Act::new(typed('.'), "show the next way", "alternative", |knows| {
        step_way(knows, false)
    }),
    Act::new(typed(','), "show the way before", "alternative", |knows| {
        step_way(knows, true)
    }),
];

/// The cause after the one that is pointed at.
fn next_cause(causes: &[Cause], pointed: Option<&Cause>) -> Option<Cause> {
    let at = pointed.and_then(|cause| causes.iter().position(|one| one == cause));
    let next = at.map_or(0, |at| (at + 1) % causes.len().max(1));
    causes.get(next).cloned()
}

const TROUBLES: &[Act] = &[
    Act::new(typed('n'), "show the next trouble", "fault", |_| {
        Some(Action::NextTrouble { backwards: false })
    }),
    Act::new(typed('p'), "show the trouble before", "fault", |_| {
        Some(Action::NextTrouble { backwards: true })
    }),
    Act::new(
        typed('f').control(),
        "find among the troubles",
        "filter sift list kind word sort",
        |_| Some(Action::Sift(sift::Ask::Find)),
    ),
    Act {
        key: None,
        ..Act::new(
            typed('f').control(),
            "let the picked trouble stand, because ...",
            "reason accept leave",
            |knows| {
                let picked = sift::picked(&knows.showing)?;
                let chain = knows.solved.as_ref()?.as_found();
                let there = chain.inspection.find(picked)?.is_trouble();
                there.then_some(Action::Sift(sift::Ask::Reason(true)))
            },
        )
    },
    Act::new(
        typed('c'),
        "light up the next cause of what is picked",
        "because why",
        |knows| {
            let causes = knows
                .explained
                .causes(knows.solved.as_ref()?, &knows.showing);
            let next = next_cause(&causes, knows.showing.cause.as_ref())?;
            Some(Action::Point(Some(next)))
        },
    ),
    Act::new(
        typed('t'),
        "make the cause true for a moment, and back",
        "what if",
        |knows| {
            let pointed = knows.showing.cause.is_some();
            pointed.then_some(Action::Moment(!knows.showing.moment))
        },
    ),
];

fn moved(knows: &Knows, marks: f64) -> Option<Action> {
    // What is shown in the ways need not be the job as it stands, so no newel is moved there.
    let here = knows.showing.place != Place::Ways;
    let job = knows.session.document.job();
    here.then(|| nudge(job, knows.showing.picked.as_ref(), marks))?
}

const EDITING: &[Act] = &[
    Act::new(
        typed('.'),
        "move the newel one mark up the flight",
        "nudge step",
        |knows| moved(knows, 1.0),
    )
    .repeating(),
    Act::new(
        typed(','),
        "move the newel one mark down the flight",
        "nudge step",
        |knows| moved(knows, -1.0),
    )
    .repeating(),
];

const DRAWING: &[Act] = &[
    Act::new(
        typed(']'),
        "stretch departures more",
        "larger exaggerate see",
        |knows| Some(Action::Stretch(knows.showing.stretch + 1.0)),
    )
    .repeating(),
    Act::new(
        typed('['),
        "stretch departures less",
        "smaller as they are",
        |knows| Some(Action::Stretch(knows.showing.stretch - 1.0)),
    )
    .repeating(),
    Act::new(
        typed('g'),
        "show or hide the true stair",
        "ghost meant plumb level",
        |knows| Some(Action::Ghost(!knows.showing.ghost)),
    ),
    Act::new(
        typed('d'),
        "show or hide where the rail may lie",
        "doubt fan bands",
        |knows| Some(Action::Fan(!knows.showing.fan)),
    ),
    Act::new(
        typed('m'),
        "show it finished, or measured",
        "mood client work",
        |knows| {
            Some(Action::Mood(match knows.showing.mood {
                Mood::Work => Mood::Show,
                Mood::Show => Mood::Work,
            }))
        },
    ),
    Act::new(
        typed('b'),
        "draw on slate, or on paper",
        "dark light night black contrast",
        |_| Some(Action::Ground(ground::now().other())),
    ),
];

const LOOKS: &[Act] = &[
    Act::new(typed('1'), "look from the front", "view", |_| from(0)),
    Act::new(typed('2'), "look from above", "view", |_| from(1)),
    Act::new(typed('3'), "look from the side", "view elevation", |_| {
        from(2)
    }),
    Act::new(typed('4'), "look at the plan", "view", |_| from(3)),
    Act::new(typed('5'), "look at the foot of the rail", "view", |_| {
        from(4)
    }),
    Act::new(typed('6'), "look at the head of the rail", "view", |_| {
        from(5)
    }),
    Act::new(typed('f'), "back to the front", "view whole", |_| from(0)),
    Act {
        name: "back to the front, by its other key",
        ..Act::new(plain(Stroke::Home), "", "view whole", |_| from(0))
    },
];

#[expect(
    clippy::unnecessary_wraps,
    reason = "the table asks what it gives, if anything"
)]
fn from(place: usize) -> Option<Action> {
    Some(Action::Look(Viewpoint::PLAIN[place].clone()))
}

/// Escape, from the innermost out.
const LETTING_GO: &[Act] = &[
    Act::new(plain(Stroke::Escape), "leave this place", "back", |knows| {
        let away = knows.showing.place != Place::SetOut;
        away.then_some(Action::Place(Place::SetOut))
    }),
    Act::new(
        plain(Stroke::Escape),
        "end the moment",
        "back as found",
        |knows| knows.showing.moment.then_some(Action::Moment(false)),
    ),
    Act::new(
        plain(Stroke::Escape),
        "let go of the cause",
        "back",
        |knows| {
            let pointed = knows.showing.cause.is_some();
            pointed.then_some(Action::Point(None))
        },
    ),
    Act::new(
        plain(Stroke::Escape),
        "let go of what is picked",
        "back nothing",
        |knows| knows.showing.picked.is_some().then_some(Action::Pick(None)),
    ),
];

fn newels(knows: &Knows) -> Vec<Entry> {
    let Some(solved) = &knows.solved else {
        return Vec::new();
    };
    let newels = solved.found.runs.iter().flat_map(|run| &run.setout.newels);
    newels
        .map(|newel| Entry {
            name: format!("look at newel {}", newel.name),
            action: Action::Frame(Pick::Part(newel.name.clone())),
        })
        .collect()
}

fn troubles(knows: &Knows) -> Vec<Entry> {
    let Some(solved) = &knows.solved else {
        return Vec::new();
    };
    let troubles = solved.as_found().inspection.troubles();
    troubles
        .iter()
        .map(|finding| Entry {
            name: format!("go to the trouble: {}", finding.says),
            action: Action::Frame(Pick::Trouble(finding.key.clone())),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_acts_have_one_name_and_each_says_what_it_does() {
        let mut names: Vec<&str> = all().map(|act| act.name).collect();
        assert!(names.iter().all(|name| name.len() > 3), "{names:?}");
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    #[test]
    fn the_causes_go_round() {
        let cause = |what: &str| Cause {
            what: what.to_owned(),
            parts: Vec::new(),
            makes: crate::explain::Makes::default(),
        };
        let causes = [cause("a"), cause("b")];
        assert_eq!(next_cause(&causes, None), Some(cause("a")));
        assert_eq!(next_cause(&causes, Some(&causes[0])), Some(cause("b")));
        assert_eq!(next_cause(&causes, Some(&causes[1])), Some(cause("a")));
        assert_eq!(next_cause(&[], None), None);
    }
}
