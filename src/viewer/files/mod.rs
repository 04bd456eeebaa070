//! The files of the window: which job is open, what is unsaved and kept aside, what another program
//! did to the file, recent jobs, preferences. `desk` decides; here it is hung into the window.

pub(super) mod acts;
mod desk;
#[cfg(test)]
mod driven;
mod folder;
mod keep;
mod prefs;
mod recent;
mod state;
#[cfg(test)]
mod tests;
mod watch;

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use bevy::app::AppExit;
use bevy::prelude::resource_added;
use bevy::prelude::{
    App, ButtonInput, Commands, DetectChanges as _, DetectChangesMut as _,
    IntoScheduleConfigs as _, Last, Local, MessageReader, MessageWriter, MouseButton, Res, ResMut,
    Resource, Update, World,
};
use bevy::window::{FileDragAndDrop, WindowCloseRequested};

use crate::job::{Difference, Document, Faults};
use crate::publish::full_size::name_for_file;

use super::eye::View;
use super::fit::Fit;
use super::panels::Typing;
use super::recompute::{Errand, Waker, Work};
use super::scene::Shown;
use super::section::Section;
use super::session::{Action, Session};
use super::sift::Sift;
use super::span::Laying;
use super::tour::Tour;
use super::walk::Walk;
use super::{Ground, Showing, Solved, ViewerSystems};

pub(super) use desk::{said, values};
pub(super) use folder::{Entry, Listing, completed, list, matching, named, split};
pub(super) use keep::Kept;
pub(super) use prefs::Prefs;
pub(super) use recent::Recent;
pub(super) use state::{ago, folder as state_folder, plain, seconds, short};

/// What can be asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Opens the list of files.
    List(Want),
    /// Shuts it.
    Shut,
    /// Does something that ends the work on this job; asks first where that is not saved.
    Go(Then),
    /// The answer to the question that stands.
    Answer(Answer),
    /// What the file holds now, in place of the work here.
    TakeTheirs,
    /// The work here stays as it is, whatever the file holds.
    KeepMine,
    /// Shows which values differ, or not.
    Look(bool),
    /// Takes up work that was kept aside, by its place among the offers.
    TakeUp(usize),
    /// Leaves it where it is.
    Leave,
    /// Something said was read.
    Understood,
    /// The text larger, smaller or as it comes.
    Text(Text),
    /// The tour is over, or is not wanted.
    Toured,
}

/// What the list of files is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Want {
    /// To open a job or begin one.
    Open,
    /// To read what the client answered.
    Answers,
    /// To save under a name, and then perhaps go on.
    SaveAs(Option<Then>),
}

/// What ends the work on a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Then {
    /// Another job, from its file.
    Open(PathBuf),
    /// A new job from a starter, by its place in the list.
    Begin(usize),
    /// The window closes.
    Close,
}

/// A question that must be answered before anything else is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Question {
    /// The work is not saved, and this would end it.
    Unsaved(Then),
    /// Another file has this name.
    Over(PathBuf, Option<Then>),
    /// The file was changed by another program since it was read.
    Changed(PathBuf, Option<Then>),
}

/// The answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Answer {
    /// Save and go on; save over what is there.
    Keep,
    /// Go on without what is not saved; take what the file holds.
    ThrowAway,
    /// Nothing is done.
    Back,
}

/// How large the text is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Text {
    /// A step larger.
    Larger,
    /// A step smaller.
    Smaller,
    /// As it comes.
    Plain,
}

/// What the file holds, where it is not what was read and there is work that is not saved.
#[derive(Clone, Debug)]
pub(super) struct Theirs {
    document: Document,
    /// What differs from the work here: first mine, then theirs.
    pub(super) differences: Vec<Difference>,
    /// They are listed.
    pub(super) looked_at: bool,
}

/// Work on offer, whose window is gone.
#[derive(Debug)]
pub(super) struct Offer {
    orphan: keep::Orphan,
    document: Result<Document, String>,
    /// How many values differ from the file, or from what is open.
    pub(super) differs: Option<usize>,
    /// The file was changed since the work was done.
    pub(super) moved_on: bool,
    /// It was taken up or left; it stays until the next saving all the same.
    pub(super) settled: bool,
}

impl Offer {
    /// What was kept.
    pub(super) const fn kept(&self) -> &Kept {
        &self.orphan.kept
    }

    /// Why it cannot be taken up.
    pub(super) fn broken(&self) -> Option<&str> {
        self.document.as_ref().err().map(String::as_str)
    }

    /// When, and on what.
    pub(super) fn says(&self) -> String {
        let kept = self.kept();
        let on = match &kept.path {
            Some(path) => short(path),
            None => kept.name.clone(),
        };
        let when = ago(kept.at, seconds(SystemTime::now()));
        format!("Work of {when} on {on} was not saved")
    }
}

/// All about files.
#[derive(Resource, Default)]
pub(super) struct Files {
    /// The state folder; nothing is kept where there is none.
    folder: Option<PathBuf>,
    keeper: Option<keep::Keeper>,
    watch: watch::Watch,
    reading: Option<Errand<Result<Document, Faults>>>,
    /// The text that the keeper was last given.
    given: Option<String>,
    /// The mark of what the file holds that saving may write over.
    allowed: Option<u64>,
    /// Unsaved work was thrown away on purpose.
    thrown: bool,
    /// The window is to close.
    closing: bool,
    /// Jobs that were open before.
    pub(super) recent: Vec<Recent>,
    /// What the user set.
    pub(super) prefs: Prefs,
    /// No preferences were there: the program runs here for the first time.
    pub(super) first: bool,
    /// The list of files is open.
    pub(super) list: Option<Want>,
    /// What is wrong with what was chosen there.
    pub(super) problem: Option<String>,
    /// What is asked.
    pub(super) question: Option<Question>,
    /// The file changed under unsaved work.
    pub(super) theirs: Option<Theirs>,
    /// Work of windows that are gone.
    pub(super) offers: Vec<Offer>,
    /// Another window has the same job open.
    pub(super) twice: bool,
    /// Why unsaved work cannot be kept aside.
    pub(super) trouble: Option<String>,
    /// A file is held over the window.
    pub(super) held: Option<PathBuf>,
}

impl Files {
    /// With a state folder.
    pub(super) fn at(folder: Option<PathBuf>) -> Self {
        let prefs = folder.as_deref().map(Prefs::load).unwrap_or_default();
        let first = folder.as_deref().is_some_and(|folder| !folder.exists());
        Self {
            recent: folder.as_deref().map(recent::load).unwrap_or_default(),
            prefs,
            first,
            folder,
            ..Self::default()
        }
    }

    /// Keys belong to the list or the question that is open.
    pub(super) const fn hushes(&self) -> bool {
        self.list.is_some() || self.question.is_some()
    }

    /// The offer that waits for an answer.
    pub(super) fn offer(&self) -> Option<(usize, &Offer)> {
        let waits = |(_, offer): &(usize, &Offer)| !offer.settled;
        self.offers.iter().enumerate().find(waits)
    }
}

/// Begins to keep and to watch, once the window can be woken.
fn begin(
    waker: Res<Waker>,
    mut files: ResMut<Files>,
    mut session: ResMut<Session>,
    ground: Option<ResMut<Ground>>,
) {
    if let Some(mut ground) = ground
        && files.prefs.slate
    {
        *ground = Ground::Slate;
    }
    let wake = waker.0.clone();
    files.watch = watch::Watch::begin(move || wake());
    if let Some(folder) = files.folder.clone() {
        let wake = waker.0.clone();
        match keep::Keeper::begin(&folder, move || wake()) {
            Ok(keeper) => files.keeper = Some(keeper),
            Err(error) => files.trouble = Some(desk::not_kept(&folder, &plain(&error))),
        }
    }
    files.arrive(&mut session);
}

/// A place beside the job, named after it.
pub(super) fn beside(path: Option<&Path>, document: &Document, tail: &str) -> PathBuf {
    let stem = path.and_then(Path::file_stem);
    let name = stem.map_or_else(
        || name_for_file(&document.job().name),
        |stem| stem.to_string_lossy().into_owned(),
    );
    let beside = path.and_then(Path::parent).unwrap_or(Path::new(""));
    beside.join(format!("{name}{tail}"))
}

/// Carries out what was asked for about files.
fn apply(
    mut actions: MessageReader<Action>,
    mut files: ResMut<Files>,
    mut session: ResMut<Session>,
    mut exits: MessageWriter<AppExit>,
    (mut showing, mut view, mut typing): (ResMut<Showing>, ResMut<View>, ResMut<Typing>),
    mut commands: Commands,
) {
    let mut other = false;
    for action in actions.read() {
        match action {
            Action::Save => other |= files.save(&mut session, None),
            Action::SaveAs(path) => {
                let then = match files.list.clone() {
                    Some(Want::SaveAs(then)) => then,
                    _ => None,
                };
                other |= files.save_as(&mut session, path, then);
            }
            Action::Ground(ground) => {
                let slate = *ground == Ground::Slate;
                files.set(&mut session, |prefs| prefs.slate = slate);
            }
            Action::File(ask) => other |= files.take(&mut session, ask),
            _ => {}
        }
    }
    if other {
        *showing = Showing {
            mood: showing.mood,
            ..Showing::default()
        };
        // It looks from the front once there is something to look at.
        *view = View {
            free: view.free,
            ..View::default()
        };
        *typing = Typing::default();
        commands.queue(afresh);
    }
    if files.closing {
        exits.write(AppExit::Success);
    }
}

/// Nothing of the job before stays: neither its stair under another's name, nor what was asked of it.
fn afresh(world: &mut World) {
    world.remove_resource::<Solved>();
    if let Some(mut shown) = world.get_resource_mut::<Shown>() {
        *shown = Shown::nothing();
    }
    if let Some(mut work) = world.get_resource_mut::<Work>() {
        work.forget();
    }
    world.insert_resource(Section::default());
    world.insert_resource(Walk::default());
    world.insert_resource(Sift::default());
    world.insert_resource(Laying::default());
    world.insert_resource(Tour::default());
    world.insert_resource(Fit::default());
}

/// Hears what the window's frame and other programs ask for.
fn hear(
    mut closes: MessageReader<WindowCloseRequested>,
    mut drops: MessageReader<FileDragAndDrop>,
    mut files: ResMut<Files>,
    mut actions: MessageWriter<Action>,
) {
    for _close in closes.read() {
        actions.write(Action::File(Ask::Go(Then::Close)));
    }
    for drop in drops.read() {
        match drop {
            FileDragAndDrop::HoveredFile { path_buf, .. } => files.held = Some(path_buf.clone()),
            FileDragAndDrop::HoveredFileCanceled { .. } => files.held = None,
            FileDragAndDrop::DroppedFile { path_buf, .. } => {
                files.held = None;
                actions.write(if super::client::is_answers(path_buf) {
                    Action::Client(super::client::Ask::Read(path_buf.clone()))
                } else {
                    Action::File(Ask::Go(Then::Open(path_buf.clone())))
                });
            }
        }
    }
}

/// Gives unsaved work to the keeper; not while something is dragged.
fn mind(
    session: Res<Session>,
    buttons: Option<Res<ButtonInput<MouseButton>>>,
    mut files: ResMut<Files>,
    mut waits: Local<bool>,
) {
    *waits |= session.is_changed();
    let dragged = buttons.is_some_and(|buttons| buttons.get_pressed().next().is_some());
    if *waits && !dragged {
        *waits = false;
        files.bypass_change_detection().mind(&session);
    }
    let trouble = files.keeper.as_ref().and_then(keep::Keeper::trouble);
    if let (Some(_), Some(folder)) = (&files.keeper, files.folder.clone()) {
        let trouble = trouble.map(|why| desk::not_kept(&folder, &why));
        if files.trouble != trouble {
            files.trouble = trouble;
        }
    }
}

/// Reads the file again where another program wrote it.
fn reread(waker: Res<Waker>, mut files: ResMut<Files>, mut session: ResMut<Session>) {
    if files.watch.changed()
        && let Some(path) = session.path.clone()
    {
        let read = Errand::start(&waker, move || Document::load(&path));
        files.bypass_change_detection().reading = Some(read);
    }
    let Some(now) = files.reading.as_ref().and_then(Errand::answer) else {
        return;
    };
    files.reading = None;
    files.changed_on_disk(&mut session, now);
}

/// At the end of the window, what is not saved stays aside, unless it was thrown away.
fn end(exits: MessageReader<AppExit>, session: Res<Session>, mut files: ResMut<Files>) {
    if exits.is_empty() {
        return;
    }
    files.rescue(&session);
}

/// Keeps aside what is not saved, at once: the window is about to be gone. Says where to go on.
pub(super) fn rescue(world: &mut World) -> Option<String> {
    let said = world.remove_resource::<Files>().and_then(|mut files| {
        let session = world.get_resource::<Session>()?;
        files.rescue(session)
    });
    // Systems may still ask for it once.
    world.insert_resource(Files::default());
    said
}

/// Files as a window has them that keeps its work in a folder.
#[cfg(test)]
pub(super) fn kept_in(folder: &Path, session: &mut Session) -> Files {
    let mut files = Files::at(Some(folder.to_owned()));
    files.keeper = keep::Keeper::begin(folder, || ()).ok();
    files.arrive(session);
    files
}

/// The texts that windows which are gone left in a folder.
#[cfg(test)]
pub(super) fn texts_left(folder: &Path) -> Vec<String> {
    let left = keep::others(folder).orphans;
    left.into_iter()
        .map(|orphan| orphan.kept.text.clone())
        .collect()
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Files>()
        .add_systems(Update, hear.in_set(ViewerSystems::Input))
        .add_systems(
            Update,
            (
                begin.run_if(resource_added::<Waker>),
                apply,
                reread.run_if(bevy::prelude::resource_exists::<Waker>),
                mind,
            )
                .chain()
                .after(super::session::apply)
                .in_set(ViewerSystems::Edit),
        )
        .add_systems(Last, end);
}
