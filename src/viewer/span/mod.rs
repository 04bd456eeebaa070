//! A tape laid between two things of the picture, and those that are kept as notes.
//!
//! In: what the tape is hooked on, by pointer or by name. Out: what it reads, as the core measured it
//! on the stair as found; notes in the job. Does not: measure anything itself.

mod paint;
mod snap;

pub(super) use paint::angle_words;

use std::sync::Arc;

use bevy::prelude::{App, IntoScheduleConfigs as _, MessageReader, Res, ResMut, Resource, Update};

use crate::chain::{self, Chain, Taped};
use crate::inspect::span::Hook;
use crate::job::{Hooked, Note};

use super::eye::{Look, View};
use super::recompute::{Errand, Waker};
use super::session::{Action, Change};
use super::{Mood, Pick, Showing, Solved, ViewerSystems};

/// What one types finds at most so many things.
const MOST_OFFERED: usize = 40;

/// What is asked of the tape.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Ask {
    /// Takes the tape out, or puts it away.
    Out(bool),
    /// Hooks the next end on something.
    Hold(Hooked),
    /// Lets go of what was hooked last; with nothing hooked, puts the tape away.
    LetGo,
    /// Looks for a part by its name, and what of it.
    Words(String),
    /// Goes through what was found.
    Step {
        /// Up the list.
        backwards: bool,
    },
    /// Hooks the tape on the one that one is at.
    Enter,
    /// Shows a note, by its number.
    Show(usize),
}

/// The tape in hand.
#[derive(Resource, Clone, Debug, Default)]
pub(super) struct Laying {
    /// It is out: what is picked in the picture, it is hooked on.
    pub(super) out: bool,
    /// What its first end is hooked on.
    pub(super) from: Option<Hooked>,
    /// What the other one is.
    pub(super) to: Option<Hooked>,
    /// The first of them, as it stands now.
    pub(super) first: Option<Hook>,
    /// What it reads, and of which result.
    pub(super) reads: Option<(u64, Taped)>,
    /// What is under the pointer, on the stair as drawn.
    pub(super) over: Option<Hook>,
    /// What is typed to find a part.
    pub(super) words: String,
    /// What that finds.
    pub(super) found: Vec<Hook>,
    /// Where one is in it.
    pub(super) at: usize,
    /// Counts up when the keys are to go into the line that one types on.
    pub(super) finds: u32,
}

impl Laying {
    /// What would be kept as a note, with a word to it.
    pub(super) fn note(&self, says: &str) -> Option<Note> {
        Some(Note {
            from: self.from.clone()?,
            to: self.to.clone()?,
            says: says.trim().to_owned(),
        })
    }

    fn hold(&mut self, hooked: &Hooked) {
        match (&self.from, &self.to) {
            (Some(from), None) if from != hooked => self.to = Some(hooked.clone()),
            (Some(_), None) => {}
            // With both ends held, the next one begins anew.
            _ => {
                self.from = Some(hooked.clone());
                self.to = None;
            }
        }
        self.words.clear();
        self.found.clear();
        self.at = 0;
    }

    fn let_go(&mut self) {
        if self.to.take().is_none() && self.from.take().is_none() {
            self.out = false;
            self.over = None;
        }
    }

    fn ask(&mut self, ask: &Ask, chain: Option<&Chain>) {
        match ask {
            Ask::Out(out) => {
                self.out = *out;
                self.over = None;
                self.finds += u32::from(*out);
            }
            Ask::Hold(hooked) => self.hold(hooked),
            Ask::LetGo => self.let_go(),
            Ask::Words(words) => {
                words.clone_into(&mut self.words);
                self.found = chain.map_or_else(Vec::new, |chain| named(chain, words));
                self.at = 0;
            }
            Ask::Step { backwards: false } => {
                self.at = (self.at + 1).min(self.found.len().saturating_sub(1));
            }
            Ask::Step { backwards: true } => self.at = self.at.saturating_sub(1),
            Ask::Enter => {
                if let Some(hook) = self.found.get(self.at) {
                    let hooked = hook.hooked.clone();
                    self.hold(&hooked);
                }
            }
            Ask::Show(_) => {}
        }
    }
}

/// What has these words: a part's name first, then what of it, as `T3 nosing`. Of a name that is only
/// begun the parts as a whole.
fn named(chain: &Chain, words: &str) -> Vec<Hook> {
    let wanted = words.to_lowercase();
    let mut wanted = wanted.split_whitespace();
    let Some(first) = wanted.next() else {
        return Vec::new();
    };
    let rest: Vec<&str> = wanted.collect();
    let parts = &chain.solids.parts;
    let begun = parts
        .iter()
        .filter(|part| part.name.to_lowercase().starts_with(first));
    let exact = parts.iter().find(|part| part.name.to_lowercase() == first);
    let mut found: Vec<Hook> = match exact {
        Some(part) => chain::hooks_of(chain, &chain.solids, &part.name),
        None => begun
            .clone()
            .filter_map(crate::inspect::span::whole)
            .collect(),
    };
    found.retain(|hook| rest.iter().all(|word| hook.says.contains(word)));
    // Faces of one name lie in one plane: its block and its shaft, say.
    let mut said = std::collections::BTreeSet::new();
    found.retain(|hook| said.insert(hook.says.clone()));
    if exact.is_some() && rest.is_empty() {
        // N1 may be the beginning of N10 as well.
        let longer = begun.filter(|part| part.name.to_lowercase() != first);
        found.extend(longer.filter_map(crate::inspect::span::whole));
    }
    found.truncate(MOST_OFFERED);
    found
}

/// Carries out what is asked of the tape.
fn apply(
    mut actions: MessageReader<Action>,
    solved: Option<Res<Solved>>,
    mut laying: ResMut<Laying>,
    mut showing: ResMut<Showing>,
    mut view: ResMut<View>,
) {
    for action in actions.read() {
        // It is laid where the stair is set out, and nowhere else.
        let away = matches!(
            action,
            Action::Place(_) | Action::Fit(_) | Action::Mood(Mood::Show) | Action::Way(_)
        );
        if away && laying.out {
            *laying = Laying::default();
        }
        let Action::Tape(ask) = action else { continue };
        let found = solved.as_ref().map(|solved| &*solved.found);
        laying.ask(ask, found);
        let notes = solved.as_ref().map(|solved| &solved.job.notes);
        if let (Ask::Show(at), Some(notes)) = (ask, notes)
            && let Some(note) = notes.get(*at)
        {
            let pick = Pick::Part(note.from.part.clone());
            showing.picked = Some(pick.clone());
            view.look = Some(Look::At(pick));
        }
    }
}

/// Reads the tape in hand again where it is hooked on something else, or the stair has changed.
fn read(
    solved: Option<Res<Solved>>,
    mut laying: ResMut<Laying>,
    mut last: bevy::prelude::Local<Held>,
) {
    let Some(solved) = solved else { return };
    let now = Held(solved.generation, laying.from.clone(), laying.to.clone());
    if *last == now {
        return;
    }
    let both = |to: &Hooked| {
        let taped = chain::taped(&solved.found, now.1.as_ref()?, to);
        Some((solved.generation, taped))
    };
    // To itself, where there is no other end yet: so it has its name.
    let alone = now.1.as_ref().and_then(both);
    laying.first = alone.and_then(|(_, taped)| taped.from);
    laying.reads = now.2.as_ref().and_then(both);
    *last = now;
}

/// What was read last: of which result, between what.
#[derive(Default, PartialEq)]
struct Held(u64, Option<Hooked>, Option<Hooked>);

/// The notes of the job, measured on the stair that is shown.
#[derive(Resource, Default)]
pub(super) struct Noted {
    /// Of which result they are.
    of: u64,
    running: Option<Errand<Vec<Taped>>>,
    /// In the order of the job.
    pub(super) all: Vec<(Note, Taped)>,
    notes: Arc<[Note]>,
}

fn measured(found: &Chain, notes: &[Note]) -> Vec<Taped> {
    let told = chain::notes(found, notes).into_iter();
    told.map(|(_, taped)| taped).collect()
}

/// Measures the notes beside the window; a picture waits for them.
fn note(solved: Option<Res<Solved>>, waker: Option<Res<Waker>>, mut noted: ResMut<Noted>) {
    if let Some(done) = noted.running.as_ref().and_then(Errand::answer) {
        noted.running = None;
        noted.all = noted.notes.iter().cloned().zip(done).collect();
    }
    let Some(solved) = solved.filter(|solved| solved.generation != noted.of) else {
        return;
    };
    noted.of = solved.generation;
    noted.notes = solved.job.notes.clone().into();
    let (found, notes) = (solved.found.clone(), noted.notes.clone());
    match waker {
        Some(waker) if !notes.is_empty() => {
            noted.running = Some(Errand::start(&waker, move || measured(&found, &notes)));
        }
        _ => {
            noted.running = None;
            let done = measured(&found, &notes);
            noted.all = notes.iter().cloned().zip(done).collect();
        }
    }
}

/// Keeps the tape as a note.
pub(super) fn keep(note: &Note) -> Action {
    Action::Make {
        change: Change::Append {
            list: "notes".to_owned(),
            item: note.written(),
        },
        name: Some(format!(
            "keep the tape from {} to {}",
            note.from.part, note.to.part
        )),
    }
}

/// Takes a note out, by its number.
pub(super) fn take_out(at: usize, note: &Note) -> Action {
    Action::Make {
        change: Change::Remove {
            path: format!("notes[{at}]"),
        },
        name: Some(format!(
            "take out the tape from {} to {}",
            note.from.part, note.to.part
        )),
    }
}

/// Notes in a picture, which has no hands.
pub(super) fn picture_plugin(app: &mut App) {
    app.init_resource::<Laying>()
        .init_resource::<Noted>()
        .add_systems(Update, note.in_set(ViewerSystems::Sync));
    paint::plugin(app);
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Laying>()
        .init_resource::<Noted>()
        .add_systems(Update, snap::hand.in_set(ViewerSystems::Input))
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(Update, (read, note).in_set(ViewerSystems::Sync));
    paint::plugin(app);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;
    use crate::measure::Length;
    use crate::viewer::drive::{DEMO, Driven};

    fn chain() -> Chain {
        let text = include_str!("../../../scenes/straight.ron");
        let document = Document::parse(text, "test.ron").unwrap();
        chain::run(document.job()).unwrap()
    }

    #[test]
    fn names_find_parts_and_what_of_them() {
        let chain = chain();
        let says = |words| -> Vec<String> {
            let found = named(&chain, words).into_iter();
            found.map(|hook| hook.says).collect()
        };
        assert_eq!(says(""), Vec::<String>::new());
        assert_eq!(says("t3 nosing"), ["nosing of T3"]);
        assert_eq!(says("N1 uphill face"), ["newel N1, uphill face"]);
        assert_eq!(says("B0").first().map(String::as_str), Some("baluster B01"));
        assert!(says("nothing").is_empty());
    }

    #[test]
    fn two_ends_are_held_and_the_third_begins_anew() {
        let mut laying = Laying::default();
        let [a, b, c] = ["N1", "B01", "B02"].map(Hooked::whole);
        laying.ask(&Ask::Hold(a.clone()), None);
        // The same thing is no other end.
        laying.ask(&Ask::Hold(a.clone()), None);
        assert!(laying.note("").is_none());
        laying.ask(&Ask::Hold(b.clone()), None);
        let note = laying.note(" first gap ").unwrap();
        assert_eq!((&note.from, &note.to, &*note.says), (&a, &b, "first gap"));
        laying.ask(&Ask::Hold(c.clone()), None);
        assert_eq!((laying.from.clone(), laying.to.clone()), (Some(c), None));
        laying.out = true;
        laying.ask(&Ask::LetGo, None);
        assert!(laying.out && laying.from.is_none());
        laying.ask(&Ask::LetGo, None);
        assert!(!laying.out);
    }

    #[test]
    fn typed_and_entered_it_reads_what_the_core_reads() {
        let chain = chain();
        let mut laying = Laying::default();
        for words in ["n1", "b01"] {
            laying.ask(&Ask::Words(words.to_owned()), Some(&chain));
            laying.ask(&Ask::Enter, Some(&chain));
        }
        let note = laying.note("").unwrap();
        let read = chain::taped(&chain, &note.from, &note.to).span.unwrap();
        let gap = &chain.first().setout.gaps[0];
        assert_eq!((&*gap.below, &*gap.above), ("N1", "B01"));
        approx::assert_relative_eq!(read.clear.as_mm(), gap.clear.as_mm(), epsilon = 0.05);
    }

    #[test]
    fn by_keys_the_tape_is_laid_kept_measured_again_and_taken_back() {
        let mut window = Driven::open(DEMO);
        let gap = |window: &Driven| window.solved().found.first().setout.gaps[0].clear;
        window.key("l");
        window.frame();
        for name in ["n1", "b01"] {
            window.types(name);
            window.key("Enter");
        }
        window.frame();
        let reads = |window: &Driven| window.get::<Laying>().reads.clone();
        let clear = reads(&window)
            .and_then(|(_, taped)| taped.span)
            .unwrap()
            .clear;
        // The newel leans a little, so the least distance is not the gap at the foot.
        let taped = |window: &Driven| {
            let [newel, baluster] = ["N1", "B01"].map(Hooked::whole);
            let taped = chain::taped(&window.solved().found, &newel, &baluster);
            taped.span.unwrap().clear
        };
        let near = |a: Length, b: Length| (a - b).abs() < Length::mm(0.01);
        assert!(near(clear, taped(&window)) && clear <= gap(&window));
        window.key("Enter");
        window.settle();
        let notes = window.session().document.job().notes.len();
        assert_eq!(notes, 1);
        // Moved, it is measured again.
        window.key("Esc");
        window.key("Esc");
        window.key("Esc");
        window.key("Esc");
        window.key(".");
        window.settle();
        window.until("the note is measured again", |window| {
            let noted = window.get::<Noted>().all.first();
            let span = noted.and_then(|(_, taped)| taped.span);
            span.is_some_and(|span| {
                let now = span.clear;
                near(now, taped(window)) && (now - clear).as_mm().abs() > 1.0
            })
        });
        window.key("Ctrl+z");
        window.key("Ctrl+z");
        window.settle();
        assert_eq!(window.session().document.text(), DEMO);
        window.until("there is no note", |window| {
            window.get::<Noted>().all.is_empty()
        });
    }

    #[test]
    fn clicked_it_hooks_on_and_picks_nothing() {
        let mut window = Driven::open(DEMO);
        window.key("l");
        let at = window.part("N1");
        window.click(at);
        window.frame();
        let from = |window: &Driven| window.get::<Laying>().from.clone();
        assert_eq!(
            from(&window).map(|hooked| hooked.part),
            Some("N1".to_owned())
        );
        assert_eq!(window.showing().picked, None);
        let at = window.part("B08");
        window.click(at);
        window.frame();
        assert!(window.get::<Laying>().reads.is_some());
    }
}
