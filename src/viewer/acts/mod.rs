//! Everything that one can do here: what it is called, its key, and what it asks for.
//!
//! Keys and the list of what can be done are both read off [`table`]; nothing else listens to keys,
//! but what holds the eye and what is typed.

pub(super) mod chord;
pub(super) mod table;
mod ways;

use bevy::input::keyboard::{KeyboardFocusLost, KeyboardInput};
use bevy::prelude::{
    App, IntoScheduleConfigs as _, Local, MessageReader, MessageWriter, Res, Update,
};

use super::compounding::Compound;
use super::divide::Divide;
use super::drag::Hand;
use super::eye::View;
use super::files::{self, Files};
use super::fit::Fit;
use super::panels::Typing;
use super::panels::acts::ActList;
use super::panels::steps::Listed;
use super::recompute::{Explained, Work};
use super::section::Section;
use super::session::{Action, Session};
use super::sheets::Sheets;
use super::span::Laying;
use super::sure::Sure;
use super::tour::Tour;
use super::walk::Walk;
use super::ways::Ways;
use super::{Showing, Solved, ViewerSystems};
use chord::{Chord, Held};

/// What is known when a key is pressed: whether something can be done now hangs on it.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Knows<'w> {
    pub(super) session: Res<'w, Session>,
    pub(super) showing: Res<'w, Showing>,
    pub(super) solved: Option<Res<'w, Solved>>,
    pub(super) explained: Res<'w, Explained>,
    pub(super) work: Res<'w, Work>,
    pub(super) ways: Res<'w, Ways>,
    pub(super) sure: Res<'w, Sure>,
    pub(super) climbing: Res<'w, super::climb::Climbing>,
    pub(super) list: Res<'w, ActList>,
    pub(super) laying: Res<'w, Laying>,
    pub(super) divide: Res<'w, Divide>,
    pub(super) compound: Res<'w, Compound>,
    pub(super) fit: Res<'w, Fit>,
    pub(super) sheets: Res<'w, Sheets>,
    pub(super) view: Res<'w, View>,
    pub(super) section: Res<'w, Section>,
    pub(super) walk: Res<'w, Walk>,
    pub(super) files: Res<'w, Files>,
    pub(super) tour: Res<'w, Tour>,
    pub(super) hand: Res<'w, Hand>,
    pub(super) listed: Res<'w, Listed>,
}

/// Something that one can do.
pub(super) struct Act {
    /// What it does, in plain words: `show the next trouble`.
    pub(super) name: &'static str,
    /// More words that one may look for it by.
    pub(super) words: &'static str,
    /// Its key.
    pub(super) key: Option<Chord>,
    /// It goes on while the key is held.
    pub(super) repeats: bool,
    /// What it asks for; `None` where it cannot be done now.
    pub(super) gives: fn(&Knows) -> Option<Action>,
}

impl Act {
    /// One with a key.
    pub(super) const fn new(
        key: Chord,
        name: &'static str,
        words: &'static str,
        gives: fn(&Knows) -> Option<Action>,
    ) -> Self {
        Self {
            name,
            words,
            key: Some(key),
            repeats: false,
            gives,
        }
    }

    /// The same, going on while its key is held.
    pub(super) const fn repeating(mut self) -> Self {
        self.repeats = true;
        self
    }
}

/// One without a key.
pub(super) const fn keyless(
    name: &'static str,
    words: &'static str,
    gives: fn(&Knows) -> Option<Action>,
) -> Act {
    Act {
        key: None,
        ..Act::new(chord::typed(' '), name, words, gives)
    }
}

/// Something that can be done now and has no key of its own: one for each newel, trouble, way.
pub(super) struct Entry {
    /// What it does.
    pub(super) name: String,
    /// What it asks for.
    pub(super) action: Action,
}

/// What a key asks for: the first of the table that has it and can be done now.
fn asked(pressed: chord::Pressed, knows: &Knows, counts: impl Fn(Chord) -> bool) -> Option<Action> {
    let acts = table::all().filter(|act| act.repeats || !pressed.again);
    acts.filter(|act| act.key.is_some_and(|key| pressed.is(key) && counts(key)))
        .find_map(|act| (act.gives)(knows))
}

/// Carries keys out.
fn keys(
    mut inputs: MessageReader<KeyboardInput>,
    mut lost: MessageReader<KeyboardFocusLost>,
    mut held: Local<Held>,
    typing: Res<Typing>,
    knows: Knows,
    mut actions: MessageWriter<Action>,
) {
    if lost.read().count() > 0 {
        *held = Held::default();
    }
    // What is typed on the sheet is kept or taken back there first.
    let sheet = typing.readings.typed();
    // What lies over the window has the keys.
    let hushed = knows.files.hushes();
    let counts = |key: Chord| {
        let held_back = typing.text || (typing.button && key.presses());
        // The sheet of readings is no such field: what is not typed on it is taken back here.
        let in_field = typing.text && !typing.readings.holds();
        let kept_there = hushed || (sheet && key.with_control()) || (in_field && key.of_text());
        !kept_there && (key.beside_text() || !held_back)
    };
    for pressed in chord::read(&mut held, inputs.read()) {
        let action = asked(pressed, &knows, counts);
        let opens = matches!(action, Some(Action::File(files::Ask::List(_))));
        actions.write_batch(action);
        if opens {
            // What is typed behind it in a slow frame is meant for the list.
            break;
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, keys.in_set(ViewerSystems::Input));
}
