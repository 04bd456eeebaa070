//! The table of what can be done. Where a key has several meanings the first that can be done counts,
//! so what is open comes before what is always there.

use super::super::climb::acts::CLIMB;
use super::super::compounding;
use super::super::drag::acts::{HAND, HELD};
use super::super::dress;
use super::super::files;
use super::super::panels::steps::DONE;
use super::super::session::Action;
use super::super::sure::Standing;
use super::super::{
    Cause, Mood, Pick, Place, Viewpoint, eye, fit, ground, section, sheets, sift, span, tour, walk,
};
use super::chord::{Stroke, plain, typed};
use super::{Act, Entry, Knows};

/// The acts of all features, what is open first. A feature keeps its acts in its own file; a line here.
const TABLE: &[&[Act]] = &[
    HELD,
    tour::ACTS,
    walk::ACTS,
    section::ACTS,
    TAPE,
    SURE,
    fit::ACTS,
    sheets::acts::ACTS,
    super::ways::ACTS,
    CLIMB,
    FILE,
    DONE,
    files::acts::ACTS,
    super::super::client::acts::ACTS,
    tour::BEGIN,
    PLACES,
    TROUBLES,
    HAND,
    DRAWING,
    LOOKS,
    eye::ACTS,
    LETTING_GO,
];

/// What there is one of for each newel, trouble or way of the job.
const LISTS: &[fn(&Knows) -> Vec<Entry>] = &[
    cures,
    viewpoints,
    dress::entries,
    newels,
    fit::entries,
    troubles,
];

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
pub(in crate::viewer) fn to(place: Place, knows: &Knows) -> Action {
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
            let some =
                !knows.session.document.job().alternatives.is_empty() || knows.session.unsaved();
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
    Act::new(
        plain(Stroke::F(6)),
        "look at the site sheets, or go back",
        "print paper pdf drawings cut list plan page",
        |knows| Some(to(Place::Sheets, knows)),
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
        typed('a'),
        "see what small errors add up to, or the odds again",
        "compounding chart step",
        |knows| {
            let here = knows.showing.place == Place::Sure;
            let open = !knows.compound.open;
            here.then_some(Action::Compounding(compounding::Ask::Open(open)))
        },
    ),
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
    Act::new(
        typed('v'),
        "list the places to look from, or close the list",
        "viewpoint wall newel elevation section door string",
        |_| Some(Action::Viewpoints),
    ),
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

/// The cures of what is picked, once they have been tried.
fn cures(knows: &Knows) -> Vec<Entry> {
    let asked = knows.showing.picked.as_ref().and_then(Pick::asked);
    let (Some(solved), Some(asked)) = (&knows.solved, asked) else {
        return Vec::new();
    };
    let tried = knows.explained.of(solved, &asked);
    let cures = tried.into_iter().flat_map(|found| &found.cures);
    cures
        .filter(|cure| !cure.edits.is_empty())
        .map(|cure| Entry {
            name: format!("cure: {}", cure.what),
            action: Action::Cure(cure.clone()),
        })
        .collect()
}

/// The places to look from that have no key.
fn viewpoints(knows: &Knows) -> Vec<Entry> {
    let Some(solved) = &knows.solved else {
        return Vec::new();
    };
    let all = super::super::viewpoints(&solved.found).into_iter();
    all.filter(|one| !Viewpoint::PLAIN.contains(one))
        .map(|one| Entry {
            name: format!("look from: {}", one.words()),
            action: Action::Look(one),
        })
        .collect()
}

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
    use super::super::chord::Chord;
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

    /// The first columns of the README's table of keys, and what it says of each.
    fn rows_of_the_readme() -> Vec<String> {
        let readme = include_str!("../../../README.md");
        let table = readme
            .lines()
            .skip_while(|line| !line.starts_with("| mouse, key"));
        let rows = table.take_while(|line| line.starts_with('|'));
        rows.map(|row| row.replace('`', "")).collect()
    }

    /// Whether a row speaks of a key: of what is held with it as well.
    fn speaks_of(row: &str, key: &str) -> bool {
        let held =
            ["Ctrl+", "Shift+"].map(|held| key.contains(held).then(|| &held[..held.len() - 1]));
        let stroke = key.replace("Ctrl+", "").replace("Shift+", "");
        // A row may name the first and the last of the digits.
        let digit = stroke.chars().all(|c| c.is_ascii_digit() && c != '0');
        let words: Vec<&str> = row
            .split([' ', ';', '|', ':', '(', ')'])
            .flat_map(|word| {
                [
                    word,
                    word.trim_end_matches(','),
                    word.rsplit('+').next().unwrap(),
                ]
            })
            .flat_map(|word| [word, word.trim_end_matches(',')])
            .collect();
        let there = if stroke.contains(' ') {
            row.contains(&stroke)
        } else if digit {
            row.contains("1 to 6")
        } else {
            words.contains(&stroke.as_str())
        };
        there && held.iter().flatten().all(|held| row.contains(held))
    }

    #[test]
    fn the_readme_names_every_key() {
        let rows = rows_of_the_readme();
        assert!(rows.len() > 20);
        let named = |key: &str| rows.iter().any(|row| speaks_of(row, key));
        let keys = all().filter_map(|act| act.key).map(Chord::says);
        let missing: Vec<String> = keys.filter(|key| !named(key)).collect();
        assert!(missing.is_empty(), "{missing:?}");
        assert!(!named("Ctrl+Q") && !named("F9"));
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
