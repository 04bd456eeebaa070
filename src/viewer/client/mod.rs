//! What the client decides, in the window: the looks that he may choose among, edited; what is asked;
//! what he answered, read from his page's file or from what was copied.

pub(super) mod acts;
mod dressing;
#[cfg(test)]
mod driven;
mod page;
mod palette;

use std::path::{Path, PathBuf};

use bevy::prelude::{
    App, IntoScheduleConfigs as _, MessageReader, MessageWriter, NonSendMut, ParamSet, Res, ResMut,
    Resource, Update,
};

use crate::publish::page::answered::{NotTaken, bytes, take};

use super::clipboard::Copied;
use super::files::beside;
use super::recompute::{Errand, Waker};
use super::session::{Action, Session};
use super::{Place, ViewerSystems};

pub(super) use dressing::{Dressing, changed};
pub(super) use palette::{PAINTS, STAINS, Toned, timbers, tone_name};

/// What can be asked about the client.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Ask {
    /// Reads what came back from his page.
    Read(PathBuf),
    /// The same from what was copied.
    Paste,
    /// What came back was read.
    Understood,
    /// Changes the look of this name.
    Dress(String, Dressing),
    /// Asks him something: the question, and what he may choose.
    Question(String, Vec<String>),
    /// Asks it no more, by its place in the job.
    NoQuestion(usize),
    /// Makes his page, beside the job.
    Page,
}

/// What came back last.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(super) struct Came {
    /// What he decided, and what was done with it.
    pub(super) did: Vec<String>,
    /// What to mind.
    pub(super) mind: Vec<String>,
    /// Why nothing was taken.
    pub(super) refused: Option<String>,
}

/// The page that is being made.
#[derive(Resource, Default)]
pub(super) struct Making(Option<Errand<Result<String, String>>>);

impl Making {
    /// True while it is made.
    pub(super) const fn busy(&self) -> bool {
        self.0.is_some()
    }
}

/// Makes his page where that is asked for, and says what came of it.
fn make(
    mut actions: MessageReader<Action>,
    waker: Option<Res<Waker>>,
    mut session: ResMut<Session>,
    mut making: ResMut<Making>,
) {
    let asked = actions
        .read()
        .filter(|action| matches!(action, Action::Client(Ask::Page)))
        .count();
    if asked > 0
        && making.0.is_none()
        && let Some(waker) = waker
    {
        let document = session.document.clone();
        let to = beside(session.path.as_deref(), &document, "-client.html");
        let made = move || page::written(&document, &to);
        making.0 = Some(Errand::aside(&waker, made));
    }
    let Some(done) = making.0.as_ref().and_then(Errand::answer) else {
        return;
    };
    making.0 = None;
    match done {
        Ok(says) => session.say(says, false),
        Err(why) => session.say(why, true),
    }
}

impl Came {
    /// True where there is nothing to tell.
    pub(super) fn empty(&self) -> bool {
        *self == Self::default()
    }

    fn refused(says: impl Into<String>) -> Self {
        Self {
            refused: Some(says.into()),
            ..Self::default()
        }
    }
}

/// Whether a file is what a client's page saves, by its name.
pub(super) fn is_answers(path: &Path) -> bool {
    let tail = path.extension().and_then(|tail| tail.to_str());
    tail.is_some_and(|tail| ["json", "txt"].contains(&tail.to_ascii_lowercase().as_str()))
}

/// Reads a file as far as it can hold answers.
fn read(path: &Path) -> Result<Vec<u8>, String> {
    std::fs::File::open(path).and_then(bytes).map_err(|error| {
        let why = super::files::plain(&error);
        format!("{} cannot be read: {why}", path.display())
    })
}

/// Puts what came back into the job, as one step that can be taken back.
fn put(session: &mut Session, said: Result<Vec<u8>, String>) -> Came {
    let said = match said {
        Ok(said) => said,
        Err(problem) => return Came::refused(problem),
    };
    match take(&session.document, &said) {
        Ok(taken) => {
            let new = taken.document.text() != session.document.text();
            let mut did = taken.did;
            if !new {
                did.push("All of it stands in the job already.".to_owned());
            }
            session.take_up(taken.document, "the client's answers");
            Came {
                did,
                mind: taken.mind,
                refused: None,
            }
        }
        Err(NotTaken::Unread(unread)) => Came::refused(unread.to_string()),
        Err(NotTaken::Job(faults)) => Came::refused(faults.to_string()),
    }
}

/// Carries out what was asked.
fn apply(
    mut actions: ParamSet<(MessageReader<Action>, MessageWriter<Action>)>,
    mut session: ResMut<Session>,
    mut came: ResMut<Came>,
    mut copied: NonSendMut<Copied>,
) {
    let mut further = Vec::new();
    for action in actions.p0().read() {
        match action {
            Action::Client(ask) => {
                further.extend(carried(ask, &mut session, &mut came, &mut copied));
            }
            // Another job: what came back was for the one before.
            Action::File(super::files::Ask::Go(_)) => *came = Came::default(),
            _ => {}
        }
    }
    actions.p1().write_batch(further);
}

/// Carries out one thing, and gives back what is to be done after it.
fn carried(ask: &Ask, session: &mut Session, came: &mut Came, copied: &mut Copied) -> Vec<Action> {
    let mut then = Vec::new();
    match ask {
        Ask::Read(path) => {
            *came = put(session, read(path));
            then.push(Action::File(super::files::Ask::Shut));
            then.push(Action::Place(Place::Client));
        }
        Ask::Paste => {
            let text = copied.text();
            *came = if text.trim().is_empty() {
                Came::refused("nothing was copied; copy the whole message that the client sent")
            } else {
                put(session, Ok(text.into_bytes()))
            };
            then.push(Action::Place(Place::Client));
        }
        Ask::Understood => *came = Came::default(),
        Ask::Dress(name, dressing) => {
            let (change, shown) = changed(&session.document, name, dressing);
            session.edit_as(&change, None, Some(&dressing.name(name)));
            then.extend(shown.map(Action::Dress));
        }
        Ask::Question(question, choices) => {
            let change = dressing::asking(&session.document, question, choices);
            session.edit_as(&change, None, Some("ask the client something"));
        }
        Ask::NoQuestion(at) => {
            let change = super::session::Change::Remove {
                path: format!("client.asks[{at}]"),
            };
            session.edit_as(&change, None, Some("ask the client no more"));
        }
        // Made beside the window.
        Ask::Page => {}
    }
    then
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Came>()
        .init_resource::<Making>()
        .add_systems(Update, (apply, make).chain().in_set(ViewerSystems::Edit));
}
