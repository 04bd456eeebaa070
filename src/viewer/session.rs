//! The session: the document being edited, what was before, and the actions that change it.
//!
//! Panels, keys and flags send [`Action`]s; [`apply`] is the one place that carries them out, and
//! so the surface that the tests use.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bevy::prelude::{
    App, DetectChangesMut as _, IntoScheduleConfigs as _, Message, MessageReader, ResMut, Resource,
    Update,
};

use crate::explain::Cure;
use crate::job::whole::Go;
use crate::job::{Document, Faults, Over};

use super::eye::{Look, View};
use super::ground::Ground;
use super::history::History;
use super::named::name_of;
use super::sure::Sure;
use super::{
    Cause, MOST_STRETCH, Mood, Pick, Place, Showing, ViewerSystems, Viewpoint, compounding, divide,
    eye, section, sift, span, walk, ways,
};

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
    /// Makes a change that is undone as one. It is named by what it changes, where it has no name.
    Make {
        /// The change.
        change: Change,
        /// What it is called in the list of what was done.
        name: Option<String>,
    },
    /// Tries a change without making it: the picture follows it, the document stays. `None` leaves
    /// that.
    Try(Option<Change>),
    /// Asks something of the grips.
    Hand(super::drag::Ask),
    /// Opens the list of what was done, or closes it.
    List(bool),
    /// Tells the user why something cannot be.
    Say(String),
    /// Goes back one edit.
    Undo,
    /// Goes forward again.
    Redo,
    /// Goes back, or forward again, to where so many edits are made.
    Step(usize),
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
    /// Asks something of the eye itself.
    Eye(eye::Ask),
    /// Cuts the stair, or slides the cut.
    Section(section::Ask),
    /// Walks the stair.
    Walk(walk::Ask),
    /// Opens the list of viewpoints, or closes it.
    Viewpoints,
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
    /// Shows it finished in one of the job's looks, by its number.
    Dress(usize),
    /// Draws on paper or on slate.
    Ground(Ground),
    /// Goes to a place of the window.
    Place(Place),
    /// Shows an alternative, by its number; `None` shows the job as it stands.
    Way(Option<usize>),
    /// Does something with an alternative.
    Ways(ways::Ask),
    /// Looks at how small errors add up.
    Compounding(compounding::Ask),
    /// Divides the picture between two ways.
    Divide(divide::Ask),
    /// Draws the stair again and again to see how sure it is, or ends that.
    Draw(bool),
    /// Shows where the rails may come to lie, or not.
    Fan(bool),
    /// Goes up the flight step by step.
    Climb(super::climb::Ask),
    /// Opens the list of what can be done, or closes it.
    ActList(bool),
    /// Asks something of the list of troubles.
    Sift(sift::Ask),
    /// Asks something of the tape that is laid between two things.
    Tape(span::Ask),
    /// Asks something of the dry fit.
    Fit(super::fit::Ask),
    /// Asks something of the site sheets.
    Sheets(super::sheets::Ask),
    /// About the client: looks, questions, answers.
    Client(super::client::Ask),
    /// About files: opening, closing, what was kept aside, what another program wrote.
    File(super::files::Ask),
    /// About the tour.
    Tour(super::tour::Ask),
    /// Shows lengths on the next tape: 1/16 in, 1/32 in, mm.
    NextTape,
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
    /// Writes the changes of an alternative into the job.
    Take {
        /// Its name.
        name: String,
    },
    /// Goes back to an earlier text of the job, with an alternative that makes the present one of it.
    Keep {
        /// The earlier text.
        since: String,
        /// What the alternative is called.
        name: String,
    },
}

impl Change {
    /// The document with it made.
    pub(super) fn of(&self, document: &Document) -> Result<Document, Faults> {
        let mut steps = self.steps(document)?;
        Ok(steps.pop().unwrap_or_else(|| document.clone()))
    }

    /// The documents on the way to that, each with one field more written.
    fn steps(&self, document: &Document) -> Result<Vec<Document>, Faults> {
        match self {
            Self::Set(values) => {
                let mut steps: Vec<Document> = Vec::with_capacity(values.len());
                for (path, value) in values {
                    let next = steps.last().unwrap_or(document).set(path, value)?;
                    steps.push(next);
                }
                Ok(steps)
            }
            Self::Append { list, item } => Ok(vec![document.append(list, item)?]),
            Self::Remove { path } => Ok(vec![document.remove(path)?]),
            Self::Take { name } => Ok(vec![document.take_alternative(name)?]),
            Self::Keep { since, name } => {
                let since = Document::parse(since, document.name())?;
                Ok(vec![since.with_alternative(name, document)?])
            }
        }
    }
}

/// The document and its history.
#[derive(Resource, Clone, Debug)]
pub(super) struct Session {
    /// As it stands now.
    pub(super) document: Arc<Document>,
    /// Where saving writes to.
    pub(super) path: Option<PathBuf>,
    /// What was last said to the user about saving or an edit that could not be made.
    pub(super) notice: Option<Notice>,
    saved: String,
    history: History,
    /// The drag that the last edit belongs to, and the document before it.
    last_drag: Option<(u32, Arc<Document>)>,
    /// What is tried and not made.
    trial: Option<Change>,
}

/// A line for the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Notice {
    /// What it says.
    pub(super) says: String,
    /// Something went wrong.
    pub(super) wrong: bool,
    /// The job cannot be saved where it was to go, but elsewhere it can.
    pub(super) elsewhere: bool,
}

impl Session {
    /// A session on a document as it was read.
    pub(super) fn new(document: Document, path: Option<PathBuf>) -> Self {
        Self {
            saved: document.text().to_owned(),
            document: Arc::new(document),
            path,
            notice: None,
            history: History::default(),
            last_drag: None,
            trial: None,
        }
    }

    /// True where something would be lost by closing.
    pub(super) fn unsaved(&self) -> bool {
        self.document.text() != self.saved
    }

    /// True where there is an edit to take back.
    pub(super) const fn can_undo(&self) -> bool {
        self.history.done() > 0
    }

    /// True where there is an edit to make again.
    pub(super) fn can_redo(&self) -> bool {
        self.redoes().is_some()
    }

    /// The name of the edit that would be taken back.
    pub(super) fn undoes(&self) -> Option<&str> {
        self.history.name(self.history.done().checked_sub(1)?)
    }

    /// The name of the edit that would be made again.
    pub(super) fn redoes(&self) -> Option<&str> {
        self.history.name(self.history.done())
    }

    /// What was done.
    pub(super) const fn history(&self) -> &History {
        &self.history
    }

    /// What is tried and not made.
    pub(super) const fn trial(&self) -> Option<&Change> {
        self.trial.as_ref()
    }

    /// Makes a change, all of it or none.
    pub(super) fn edit(&mut self, change: &Change, drag: Option<u32>) {
        self.edit_as(change, drag, None);
    }

    /// Makes a change, all of it or none, under a name of its own. Edits of one drag are one.
    pub(super) fn edit_as(&mut self, change: &Change, drag: Option<u32>, name: Option<&str>) {
        self.trial = None;
        let steps = match change.steps(&self.document) {
            Ok(steps) => steps,
            Err(faults) => {
                self.say(first_line(&faults.to_string()), true);
                return;
            }
        };
        self.notice = None;
        let Some(next) = steps
            .last()
            .filter(|next| next.text() != self.document.text())
        else {
            return;
        };
        let last = self.last_drag.take();
        let drag_from = last.filter(|(number, _)| Some(*number) == drag);
        let same_drag = drag_from.is_some();
        let from = drag_from.map_or_else(|| self.document.clone(), |(_, from)| from);
        let named = || name_of(change, &from, next);
        let name = name.map_or_else(named, str::to_owned);
        if same_drag && from.text() == next.text() {
            self.history.drop_last();
        } else if same_drag {
            self.history.replace(&name, &[from.text(), next.text()]);
        } else {
            let before = std::iter::once(from.text());
            let texts: Vec<&str> = before.chain(steps.iter().map(Document::text)).collect();
            self.history.push(&name, &texts);
        }
        self.document = Arc::new(next.clone());
        self.last_drag = drag.map(|number| (number, from));
    }

    /// Takes the last edit back.
    pub(super) fn undo(&mut self) {
        if let Some(done) = self.history.done().checked_sub(1) {
            self.step_to(done);
        }
    }

    /// Makes it again.
    pub(super) fn redo(&mut self) {
        self.step_to(self.history.done() + 1);
    }

    /// Goes back, or forward again, to where so many edits are made.
    pub(super) fn step_to(&mut self, done: usize) {
        self.trial = None;
        let Some(text) = self.history.text_after(done, self.document.text()) else {
            return;
        };
        // It was read once already, so it is good.
        match Document::parse(&text, self.document.name()) {
            Ok(document) => {
                self.put(document);
                self.history.stand(done);
                self.last_drag = None;
            }
            Err(faults) => self.say(first_line(&faults.to_string()), true),
        }
    }

    /// Tries a change without making it.
    pub(super) fn try_out(&mut self, change: Option<Change>) {
        self.trial = change;
    }

    /// Saves to a path, in place of what was seen there last if that is given, and stays there. False
    /// where that failed; the reason is said.
    pub(super) fn save_to(&mut self, path: &Path, seen: Option<&str>) -> bool {
        let over = seen.map_or(Over::Anything, Over::Read);
        match self.document.save_by(path, over, &Go) {
            Ok(()) => {
                let name = path.display().to_string();
                self.document = Arc::new(Document::clone(&self.document).renamed(&name));
                self.is_saved();
                self.path = Some(path.to_owned());
                self.say(format!("saved {name}"), false);
                true
            }
            Err(error) => {
                self.notice = Some(Notice {
                    says: first_line(&error.to_string()),
                    wrong: true,
                    elsewhere: error.of_the_place(),
                });
                false
            }
        }
    }

    /// The text that the file holds, as far as we know.
    pub(super) fn saved(&self) -> &str {
        &self.saved
    }

    /// What stands here is what the file holds.
    pub(super) fn is_saved(&mut self) {
        self.document.text().clone_into(&mut self.saved);
    }

    /// Nothing of it is in a file.
    pub(super) fn is_not_saved(&mut self) {
        self.saved.clear();
    }

    /// Another job in place of this one; one cannot go back to the one before.
    pub(super) fn begin(&mut self, document: Document, path: Option<PathBuf>) {
        *self = Self::new(document, path);
    }

    /// What the file holds now, in place of the work; one can go back to that.
    pub(super) fn reload(&mut self, document: Document) {
        document.text().clone_into(&mut self.saved);
        self.take_up(document, "what the file holds");
    }

    /// The work as it stands elsewhere, as one step that can be taken back.
    pub(super) fn take_up(&mut self, document: Document, name: &str) {
        self.trial = None;
        self.last_drag = None;
        if document.text() == self.document.text() {
            return;
        }
        self.history
            .push(name, &[self.document.text(), document.text()]);
        self.put(document);
    }

    /// Another state of the job, shown on the tape that is chosen.
    fn put(&mut self, document: Document) {
        let job = self.document.job();
        let shown = job.read_on.map(|_| job.tape);
        self.document = Arc::new(document.on_tape(shown));
    }

    /// Shows lengths on the next tape; the file stays as it is.
    pub(super) fn next_tape(&mut self) {
        let next = self.document.job().tape.next();
        let own = self.document.job().own_tape();
        let shown = (next != own).then_some(next);
        self.document = Arc::new(Document::clone(&self.document).on_tape(shown));
        let file = match shown {
            Some(_) => "; the file stays as it is",
            None => ", as in the file",
        };
        self.say(
            format!("lengths on a tape marked {}{file}", next.name()),
            false,
        );
    }

    /// A line for the user.
    pub(super) fn say(&mut self, says: impl Into<String>, wrong: bool) {
        let says = says.into();
        self.notice = Some(Notice {
            says,
            wrong,
            elsewhere: false,
        });
    }
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().to_owned()
}

/// Whether an action is about something else than the cause that is pointed at: a moment ends where
/// the job changes.
fn leaves_cause(action: &Action) -> bool {
    matches!(
        action,
        Action::Edit { .. }
            | Action::Cure(_)
            | Action::Reading(_)
            | Action::Make { .. }
            | Action::Try(Some(_))
            | Action::Step(_)
            | Action::Undo
            | Action::Redo
            | Action::Pick(_)
            | Action::Frame(_)
            | Action::NextTrouble { .. }
            | Action::Sift(sift::Ask::Enter)
            | Action::Tape(span::Ask::Show(_))
            | Action::Fit(_)
            | Action::Client(_)
            | Action::Place(_)
            | Action::Way(_)
            | Action::Ways(_)
    )
}

/// What an action does to what is shown.
fn show(action: &Action, showing: &mut Showing, view: &mut ResMut<View>) {
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
        Action::Stretch(factor) => showing.stretch = factor.clamp(1.0, MOST_STRETCH),
        Action::Ghost(shown) => showing.ghost = *shown,
        Action::Mood(mood) => showing.mood = *mood,
        Action::Dress(look) => {
            showing.look = *look;
            showing.mood = Mood::Show;
        }
        Action::Place(place) => {
            // The client is shown the stair finished, and who goes back to work sees it measured.
            let client = [showing.place, *place].map(|one| one == Place::Client);
            showing.mood = match client {
                [_, true] => Mood::Show,
                [true, false] => Mood::Work,
                [false, false] => showing.mood,
            };
            showing.place = *place;
            showing.way = None;
        }
        Action::Way(way) => showing.way = *way,
        Action::Divide(divide::Ask::Hang(Some(way))) => showing.way = Some(*way),
        // What was taken is the job as it stands.
        Action::Ways(ways::Ask::Take(_)) => showing.way = None,
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
        Action::Cure(cure) => {
            let name = format!("cure: {}", cure.what);
            session.edit_as(&Change::Set(cure.edits.clone()), None, Some(&name));
        }
        Action::Reading(change) => session.edit(change, None),
        Action::Make { change, name } => session.edit_as(change, None, name.as_deref()),
        Action::Try(change) => session.try_out(change.clone()),
        Action::Ways(ways::Ask::Take(name)) => {
            session.edit(&Change::Take { name: name.clone() }, None);
        }
        Action::Ways(ways::Ask::Keep(name)) => {
            let (since, name) = (session.saved.clone(), name.clone());
            session.edit(&Change::Keep { since, name }, None);
        }
        Action::Say(why) => session.say(why.clone(), true),
        Action::Undo => session.undo(),
        Action::Redo => session.redo(),
        Action::Step(done) => session.step_to(*done),
        Action::NextTape => session.next_tape(),
        _ => {}
    }
}

/// Carries out what was asked for since the last frame.
pub(super) fn apply(
    mut actions: MessageReader<Action>,
    mut session: ResMut<Session>,
    mut showing: ResMut<Showing>,
    mut view: ResMut<View>,
    mut sure: ResMut<Sure>,
) {
    for action in actions.read() {
        if let Action::Draw(drawn) = action {
            sure.ask(*drawn);
        }
        // Most leave it as it is: what is pulled sends one in every frame, and the whole scene would be
        // drawn anew for it.
        let mut now = showing.clone();
        show(action, &mut now, &mut view);
        showing.set_if_neq(now);
        change(action, &mut session);
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_message::<Action>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit));
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    fn demo() -> Session {
        Session::new(Document::parse(DEMO, "test.ron").unwrap(), None)
    }

    fn moved(to: &str) -> Change {
        let path = "design.newels[0].stands.Displaces.move_by";
        Change::Set(vec![(path.to_owned(), format!("\"{to}\""))])
    }

    #[test]
    fn edits_of_one_drag_are_one_step_named_from_where_it_began() {
        let mut session = demo();
        session.edit(&moved("1/16"), None);
        for to in ["1/8", "1/4", "3/8"] {
            session.edit(&moved(to), Some(7));
        }
        session.edit(&moved("1/2"), Some(8));
        let names: Vec<&str> = (0..session.history().len())
            .filter_map(|step| session.history().name(step))
            .collect();
        assert_eq!(
            names,
            [
                "newel N1 1/16\" up the flight",
                "newel N1 5/16\" up the flight",
                "newel N1 1/8\" up the flight",
            ]
        );
        assert_eq!(session.redoes(), None);
        session.undo();
        session.undo();
        assert!(session.document.text().contains("move_by: \"1/16\""));
        assert_eq!(session.redoes(), Some("newel N1 5/16\" up the flight"));
        session.undo();
        session.undo();
        assert_eq!(session.document.text(), DEMO);
        session.step_to(3);
        assert!(session.document.text().contains("move_by: \"1/2\""));
        session.step_to(0);
        assert_eq!(session.document.text(), DEMO);
    }

    #[test]
    fn a_cure_is_one_step_of_that_name_whatever_it_writes() {
        let mut session = demo();
        let edits = vec![
            ("design.rail.height".to_owned(), "\"37\"".to_owned()),
            (
                "design.balusters.spacing.PerTread.but".to_owned(),
                "[(step: 4, count: 3)]".to_owned(),
            ),
        ];
        let change = Change::Set(edits);
        session.edit_as(&change, None, Some("cure: put 3 balusters on tread 4"));
        assert_eq!(session.undoes(), Some("cure: put 3 balusters on tread 4"));
        assert_eq!(session.history().len(), 1);
        session.undo();
        assert_eq!(session.document.text(), DEMO);
        session.redo();
        assert_eq!(session.document.job().design.rail.height.text, "37");
    }

    #[test]
    fn what_is_tried_leaves_the_document_and_the_list_of_what_was_done_alone() {
        let mut session = demo();
        session.try_out(Some(moved("2")));
        assert_eq!(session.document.text(), DEMO);
        assert_eq!((session.history().len(), session.unsaved()), (0, false));
        // An edit ends it, and so does going back.
        session.edit(&moved("1"), None);
        assert_eq!(session.trial(), None);
        session.try_out(Some(moved("2")));
        session.undo();
        assert_eq!(session.trial(), None);
    }

    #[test]
    fn an_edit_that_changes_nothing_or_is_refused_is_no_step() {
        let mut session = demo();
        session.edit(&moved("0"), None);
        session.edit(&moved("400 ft"), None);
        assert!(session.notice.as_ref().is_some_and(|notice| notice.wrong));
        assert_eq!(session.history().len(), 0);
    }
}
