//! The session: the document being edited, what was before, and the actions that change it.
//!
//! Panels, keys and flags send [`Action`]s; [`apply`] is the one place that carries them out, and
//! so the surface that the tests use.

use std::path::{Path, PathBuf};

use bevy::prelude::{
    App, IntoScheduleConfigs as _, Message, MessageReader, Res, ResMut, Resource, Update,
};

use crate::chain::Chain;
use crate::explain::Cure;
use crate::inspect::{Finding, Key};
use crate::job::{Document, Faults};

use super::eye::{Look, View};
use super::ground::Ground;
use super::sure::Sure;
use super::{Cause, MOST_STRETCH, Mood, Pick, Place, Showing, Solved, ViewerSystems, Viewpoint};

/// At most this many states are kept to go back to.
const MOST_UNDO: usize = 200;

/// What one can do in the window.
#[derive(Message, Clone, Debug)]
pub(super) enum Action {
    /// Writes a value into the document: field path and RON text.
    Edit {
        /// The field, as in `design.rail.height`.
        path: String,
        /// The new value as the file writes it.
        value: String,
        /// Edits of one drag share a number and are undone together.
        drag: Option<u32>,
    },
    /// Makes all edits of a cure.
    Cure(Cure),
    /// Writes, adds or takes out one reading.
    Reading(Change),
    /// Goes back one edit.
    Undo,
    /// Goes forward again.
    Redo,
    /// Saves to where the document came from.
    Save,
    /// Saves to a place and stays there.
    SaveAs(PathBuf),
    /// Picks a part or a trouble; `None` picks nothing.
    Pick(Option<Pick>),
    /// Picks and frames it.
    Frame(Pick),
    /// Points at a cause; `None` at nothing.
    Point(Option<Cause>),
    /// Makes the cause true that is pointed at, for a moment, or goes back to what was found.
    Moment(bool),
    /// Goes to a viewpoint.
    Look(Viewpoint),
    /// Shows the next trouble (or, backwards, the one before).
    NextTrouble {
        /// Against the order of the list.
        backwards: bool,
    },
    /// Draws departures so many times as large.
    Stretch(f64),
    /// Draws the true stair beside the found one, or not.
    Ghost(bool),
    /// Measured or finished.
    Mood(Mood),
    /// Draws on paper or on slate.
    Ground(Ground),
    /// Goes to a place of the window.
    Place(Place),
    /// Shows an alternative, by its number; `None` shows the job as it stands.
    Way(Option<usize>),
    /// Draws the stair again and again to see how sure it is, or ends that.
    Draw(bool),
    /// Shows where the rails may come to lie, or not.
    Fan(bool),
}

/// A change of the document that is undone as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// Writes values: field path and RON text.
    Set(Vec<(String, String)>),
    /// Adds an item at the end of a list.
    Append {
        /// The list, as in `flight.readings`.
        list: String,
        /// The item as the file writes it.
        item: String,
    },
    /// Takes an item out of its list.
    Remove {
        /// The item, as in `flight.readings[3]`.
        path: String,
    },
}

impl Change {
    /// The document with it made.
    pub(super) fn of(&self, document: &Document) -> Result<Document, Faults> {
        match self {
            Self::Set(values) => {
                let mut next = document.clone();
                for (path, value) in values {
                    next = next.set(path, value)?;
                }
                Ok(next)
            }
            Self::Append { list, item } => document.append(list, item),
            Self::Remove { path } => document.remove(path),
        }
    }
}

/// The document and its history.
#[derive(Resource, Clone, Debug)]
pub(super) struct Session {
    /// As it stands now.
    pub(super) document: Document,
    /// Where saving writes to.
    pub(super) path: Option<PathBuf>,
    /// What was last said to the user about saving or an edit that could not be made.
    pub(super) notice: Option<Notice>,
    saved: String,
    undo: Vec<Document>,
    redo: Vec<Document>,
    last_drag: Option<u32>,
}

/// A line for the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Notice {
    /// What it says.
    pub(super) says: String,
    /// Something went wrong.
    pub(super) wrong: bool,
}

impl Session {
    /// A session on a document as it was read.
    pub(super) fn new(document: Document, path: Option<PathBuf>) -> Self {
        Self {
            saved: document.text().to_owned(),
            document,
            path,
            notice: None,
            undo: Vec::new(),
            redo: Vec::new(),
            last_drag: None,
        }
    }

    /// True where something would be lost by closing.
    pub(super) fn unsaved(&self) -> bool {
        self.document.text() != self.saved
    }

    /// True where there is an edit to take back.
    pub(super) fn can_undo(&self) -> bool {
        !self.undo.is_empty()
    }

    /// True where there is an edit to make again.
    pub(super) fn can_redo(&self) -> bool {
        !self.redo.is_empty()
    }

    /// Makes a change, all of it or none.
    pub(super) fn edit(&mut self, change: &Change, drag: Option<u32>) {
        let next = match change.of(&self.document) {
            Ok(next) => next,
            Err(faults) => {
                self.say(first_line(&faults.to_string()), true);
                return;
            }
        };
        self.notice = None;
        if next.text() == self.document.text() {
            return;
        }
        let same_drag = drag.is_some() && drag == self.last_drag;
        let before = std::mem::replace(&mut self.document, next);
        if !same_drag {
            self.undo.push(before);
            if self.undo.len() > MOST_UNDO {
                self.undo.remove(0);
            }
        }
        self.last_drag = drag;
        self.redo.clear();
    }

    /// Takes the last edit back.
    pub(super) fn undo(&mut self) {
        if let Some(before) = self.undo.pop() {
            self.redo
                .push(std::mem::replace(&mut self.document, before));
            self.last_drag = None;
        }
    }

    /// Makes it again.
    pub(super) fn redo(&mut self) {
        if let Some(after) = self.redo.pop() {
            self.undo.push(std::mem::replace(&mut self.document, after));
            self.last_drag = None;
        }
    }

    /// Saves to its path, or says that it needs one.
    pub(super) fn save(&mut self) {
        match self.path.clone() {
            Some(path) => self.save_to(&path),
            None => self.say(
                "give the job a file name first, in the field beside Save",
                true,
            ),
        }
    }

    /// Saves to a path and stays there.
    pub(super) fn save_to(&mut self, path: &Path) {
        match self.document.save(path) {
            Ok(()) => {
                self.document.text().clone_into(&mut self.saved);
                self.path = Some(path.to_owned());
                self.say(format!("saved {}", path.display()), false);
            }
            Err(error) => self.say(first_line(&error.to_string()), true),
        }
    }

    fn say(&mut self, says: impl Into<String>, wrong: bool) {
        let says = says.into();
        self.notice = Some(Notice { says, wrong });
    }
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().to_owned()
}

/// Which trouble comes after the picked one.
fn next_trouble(troubles: &[&Finding], picked: Option<&Key>, backwards: bool) -> Option<Key> {
    let count = troubles.len();
    let at = picked.and_then(|key| troubles.iter().position(|found| &found.key == key));
    let next = match (at, backwards) {
        (None, false) => 0,
        (None, true) => count.checked_sub(1)?,
        (Some(at), false) => (at + 1) % count,
        (Some(at), true) => (at + count - 1) % count,
    };
    troubles.get(next).map(|found| found.key.clone())
}

/// Whether an action is about something else than the cause that is pointed at: a moment ends where
/// the job changes.
const fn leaves_cause(action: &Action) -> bool {
    matches!(
        action,
        Action::Edit { .. }
            | Action::Cure(_)
            | Action::Reading(_)
            | Action::Undo
            | Action::Redo
            | Action::Pick(_)
            | Action::Frame(_)
            | Action::NextTrouble { .. }
            | Action::Place(_)
            | Action::Way(_)
    )
}

/// What an action does to what is shown.
fn show(action: &Action, showing: &mut Showing, view: &mut View, found: Option<&Chain>) {
    if leaves_cause(action) {
        showing.cause = None;
        showing.moment = false;
    }
    match action {
        Action::Point(cause) => {
            showing.cause.clone_from(cause);
            showing.moment = false;
            if let Some(cause) = cause {
                view.look = Some(Look::Both(showing.picked.clone(), cause.clone()));
            }
        }
        Action::Moment(made) => showing.moment = *made && showing.cause.is_some(),
        Action::Pick(pick) => showing.picked.clone_from(pick),
        Action::Frame(pick) => {
            showing.picked = Some(pick.clone());
            view.look = Some(Look::At(pick.clone()));
        }
        Action::Look(viewpoint) => view.look = Some(Look::From(viewpoint.clone())),
        Action::NextTrouble { backwards } => {
            let troubles = found
                .map(|chain| chain.inspection.troubles())
                .unwrap_or_default();
            let picked = match &showing.picked {
                Some(Pick::Trouble(key)) => Some(key),
                _ => None,
            };
            if let Some(key) = next_trouble(&troubles, picked, *backwards) {
                let pick = Pick::Trouble(key);
                showing.picked = Some(pick.clone());
                view.look = Some(Look::At(pick));
            }
        }
        Action::Stretch(factor) => showing.stretch = factor.clamp(1.0, MOST_STRETCH),
        Action::Ghost(shown) => showing.ghost = *shown,
        Action::Mood(mood) => showing.mood = *mood,
        Action::Place(place) => {
            showing.place = *place;
            showing.way = None;
        }
        Action::Way(way) => showing.way = *way,
        Action::Fan(shown) => showing.fan = *shown,
        _ => {}
    }
}

/// What an action does to the document.
fn change(action: &Action, session: &mut Session) {
    match action {
        Action::Edit { path, value, drag } => {
            session.edit(&Change::Set(vec![(path.clone(), value.clone())]), *drag);
        }
        Action::Cure(cure) => session.edit(&Change::Set(cure.edits.clone()), None),
        Action::Reading(change) => session.edit(change, None),
        Action::Undo => session.undo(),
        Action::Redo => session.redo(),
        Action::Save => session.save(),
        Action::SaveAs(path) => session.save_to(path),
        _ => {}
    }
}

/// Carries out what was asked for since the last frame.
fn apply(
    mut actions: MessageReader<Action>,
    mut session: ResMut<Session>,
    mut showing: ResMut<Showing>,
    mut view: ResMut<View>,
    mut sure: ResMut<Sure>,
    solved: Option<Res<Solved>>,
) {
    for action in actions.read() {
        if let Action::Draw(drawn) = action {
            sure.ask(*drawn);
        }
        show(
            action,
            &mut showing,
            &mut view,
            solved.as_ref().map(|solved| solved.as_found()),
        );
        change(action, &mut session);
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_message::<Action>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit));
}
