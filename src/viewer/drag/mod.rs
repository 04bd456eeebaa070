//! Editing by hand in the picture: what is picked shows grips, and a grip that is pulled moves its
//! length of the design along its line, with what follows from it told while it goes.
//!
//! In: the result on show and what is picked. Out: [`Action`]s; while something is held the change
//! is only tried ([`Action::Try`]), and letting go makes it, as one step to take back.

pub(super) mod acts;
mod aim;
pub(super) mod card;
mod grips;
mod line;

use std::sync::Arc;

use bevy::prelude::{
    App, IntoScheduleConfigs as _, MessageReader, MessageWriter, Res, ResMut, Resource, Update,
};
use bevy_egui::EguiPrimaryContextPass;
use nalgebra::Point3;

use crate::chain::Chain;
use crate::explain::Asked;
use crate::explain::handle::{
    Consequences, Handle, Place as Stop, Set, Takes, Value, consequences, handles, places, set,
};
use crate::job::Document;
use crate::measure::{Length, Tape, parse_length};

use super::recompute::{Errand, Waker, Work};
use super::scene::Shown;
use super::session::{Action, Change};
use super::{Mood, Place, Showing, Solved, ViewerSystems};

pub(super) use aim::Aim;

/// Places worth stopping at are looked for so far to either side.
const STOPS_WITHIN: Length = Length::inches(9.0);

/// So many runs are told at once.
const AT_ONCE: usize = 3;

/// What one asks of the grips.
#[derive(Clone, Debug)]
pub(super) enum Ask {
    /// Goes to the next grip of what is picked.
    Next,
    /// Goes to this one.
    Light(usize),
    /// Types over where the chosen one stands.
    Type,
    /// Takes hold of one, so far along its line, mm.
    Take(usize, f64),
    /// Holds it there.
    Hold(Aim),
    /// Lets go.
    Let,
    /// Sets a number to what is wanted, by the length that it hangs on.
    Set(Asked, Length),
}

/// Something that is held.
struct Held {
    handle: Handle,
    /// Where its grip was drawn when it was taken.
    drawn: Point3<f64>,
    /// So far along its line the pointer took hold, mm.
    grabbed: f64,
    aim: Aim,
    /// The stair before.
    before: Arc<Chain>,
}

/// What is known of the places to stop at.
#[derive(Default)]
struct Stops {
    about: Option<(u64, String)>,
    running: Option<Errand<Vec<Stop>>>,
    done: Vec<Stop>,
}

/// What a move does, told beside the window.
#[derive(Default)]
struct Telling {
    about: Option<(u64, String)>,
    running: Option<Errand<Consequences>>,
    done: Option<Consequences>,
}

/// A number that is to become so much, and what does that.
type Setting = (Asked, Length, Result<Set, String>);

/// The grips of what is picked, and what is held.
#[derive(Resource, Default)]
pub(super) struct Hand {
    /// The result and the part that they are of.
    about: Option<(u64, String)>,
    handles: Vec<Handle>,
    /// The one that keys move, by its number.
    lit: Option<usize>,
    held: Option<Held>,
    stops: Stops,
    telling: Telling,
    /// Counts how often the value of the chosen grip was to be typed over.
    typed: u32,
    setting: Option<Errand<Setting>>,
}

impl Hand {
    /// True while something is held.
    pub(super) const fn holds(&self) -> bool {
        self.held.is_some()
    }

    /// True while a grip is chosen to be moved by keys.
    pub(super) const fn lit(&self) -> bool {
        self.lit.is_some()
    }

    /// The handles of what is picked.
    pub(super) fn handles(&self) -> &[Handle] {
        &self.handles
    }

    /// The one that keys move: the chosen one, else the first.
    fn aimed(&self) -> Option<&Handle> {
        self.handles.get(self.lit.unwrap_or(0))
    }

    /// Places to stop at of a handle, once they are there.
    fn stops(&self, handle: &Handle) -> &[Stop] {
        let of = self.stops.about.as_ref();
        let here = of.is_some_and(|(_, field)| *field == handle.field());
        if here { &self.stops.done } else { &[] }
    }
}

/// True where nothing is held: what else the pointer does may be done.
pub(super) fn free(hand: Option<Res<Hand>>) -> bool {
    hand.is_none_or(|hand| !hand.holds())
}

/// What a handle stands at in a document, which may be ahead of what is set out.
fn stands(document: &Document, handle: &Handle) -> Value {
    let written = document.value_text(&handle.field());
    let unit = document.job().units;
    match &handle.takes {
        Takes::Length(_) => written
            .and_then(|text| parse_length(text.trim_matches('"'), unit).ok())
            .map_or_else(|| handle.now(), Value::Length),
        Takes::Count(_) => handle.now(),
    }
}

/// The action that makes an edit of a handle.
fn make(handle: &Handle, value: Value) -> Option<Action> {
    let change = Change::Set(vec![handle.edit(value)?]);
    Some(Action::Make { change, name: None })
}

/// What a key asks for that moves by so many marks: the chosen grip, or the first of what is picked.
/// `settled` says that the job as it stands is set out.
pub(super) fn nudged(
    hand: &Hand,
    document: &Document,
    marks: f64,
    settled: bool,
) -> Option<Action> {
    let handle = hand.aimed().filter(|_| !hand.holds())?;
    let tape = document.job().tape;
    match (&handle.takes, stands(document, handle)) {
        (Takes::Length(lever), Value::Length(now)) => {
            let to = tape.round(now + tape.mark() * marks);
            let held = lever.bounds().hold(to);
            held.then(|| make(handle, Value::Length(to)))?
        }
        (Takes::Count(count), _) if settled => {
            make(handle, Value::Count(count.beside(marks > 0.0)?))
        }
        _ => None,
    }
}

/// What a key asks for that goes on to the next stop.
pub(super) fn leapt(hand: &Hand, document: &Document, up: bool) -> Option<Action> {
    let handle = hand.aimed().filter(|_| !hand.holds())?;
    let Value::Length(now) = stands(document, handle) else {
        return None;
    };
    let tape = document.job().tape;
    let aim = aim::next_stop(handle, now, hand.stops(handle), up, tape)?;
    make(handle, aim.value)
}

/// Carries out what was asked.
fn carry_out(
    mut asked: MessageReader<Action>,
    mut hand: ResMut<Hand>,
    (solved, shown): (Option<Res<Solved>>, Option<Res<Shown>>),
    waker: Option<Res<Waker>>,
) {
    for action in asked.read() {
        match action {
            Action::Hand(ask) => ask_of(
                ask,
                &mut hand,
                (solved.as_deref(), shown.as_deref()),
                waker.as_deref(),
            ),
            // What is tried no more is not held either.
            Action::Try(None) | Action::Undo | Action::Redo | Action::Step(_) if hand.holds() => {
                hand.held = None;
            }
            Action::Pick(_) | Action::Frame(_) | Action::NextTrouble { .. }
                if hand.lit.is_some() =>
            {
                hand.lit = None;
            }
            _ => {}
        }
    }
}

fn ask_of(
    ask: &Ask,
    hand: &mut Hand,
    (solved, shown): (Option<&Solved>, Option<&Shown>),
    waker: Option<&Waker>,
) {
    match ask {
        Ask::Next => {
            let count = hand.handles.len();
            let next = hand.lit.map_or(0, |lit| lit + 1);
            hand.lit = (next < count).then_some(next);
        }
        Ask::Light(grip) => hand.lit = Some(*grip).filter(|grip| *grip < hand.handles.len()),
        Ask::Type => hand.typed = hand.typed.wrapping_add(1),
        Ask::Take(grip, grabbed) => {
            let (Some(handle), Some(solved), Some(shown)) =
                (hand.handles.get(*grip), solved, shown)
            else {
                return;
            };
            hand.held = Some(Held {
                drawn: shown.place(&handle.at, std::slice::from_ref(&handle.part)),
                grabbed: *grabbed,
                aim: Aim {
                    value: handle.now(),
                    place: None,
                },
                before: solved.found.clone(),
                handle: handle.clone(),
            });
            hand.lit = Some(*grip);
        }
        Ask::Hold(aim) => {
            if let Some(held) = &mut hand.held {
                held.aim = aim.clone();
            }
        }
        Ask::Let => hand.held = None,
        Ask::Set(asked, wanted) => {
            if let (Some(solved), Some(waker)) = (solved, waker) {
                let (found, asked, wanted) = (solved.found.clone(), asked.clone(), *wanted);
                hand.setting = Some(Errand::start(waker, move || {
                    let done = set(&found, &asked, wanted);
                    (asked, wanted, done)
                }));
            }
        }
    }
}

/// The part of what is picked that has handles, and these.
fn of_picked(showing: &Showing, found: &Chain) -> (String, Vec<Handle>) {
    let parts = showing.picked.iter().flat_map(|pick| {
        let names = pick.parts();
        names.into_iter().map(str::to_owned).collect::<Vec<_>>()
    });
    for part in parts {
        let all = handles(found, &part);
        if !all.is_empty() {
            return (part, all);
        }
    }
    (String::new(), Vec::new())
}

/// Whether a hand can move what is shown: it is the job as it stands, in its place and mood.
fn can_move(showing: &Showing, solved: &Solved) -> bool {
    let here = showing.place == Place::SetOut && showing.mood == Mood::Work;
    here && showing.way.is_none() && solved.base.is_none()
}

/// Keeps the grips those of what is picked, as it was set out last.
fn keep(showing: Res<Showing>, solved: Option<Res<Solved>>, mut hand: ResMut<Hand>) {
    let Some(solved) = solved else { return };
    if hand.holds() {
        return;
    }
    if !can_move(&showing, &solved) {
        if !hand.handles.is_empty() {
            hand.handles.clear();
            (hand.lit, hand.about) = (None, None);
        }
        return;
    }
    let picked = showing.picked.as_ref().map(super::Pick::parts);
    let about = (solved.generation, picked.unwrap_or_default().join("+"));
    if hand.about.as_ref() == Some(&about) {
        return;
    }
    let lit = hand.lit.and_then(|lit| hand.handles.get(lit));
    let what = lit.map(|handle| handle.what.clone());
    let (_, all) = of_picked(&showing, &solved.found);
    hand.lit = what.and_then(|what| all.iter().position(|one| one.what == what));
    hand.handles = all;
    hand.about = Some(about);
}

/// Fetches and begins what is worked out beside the window: stops, consequences, numbers set.
fn work_out(
    (solved, work): (Option<Res<Solved>>, Res<Work>),
    waker: Res<Waker>,
    mut hand: ResMut<Hand>,
    mut actions: MessageWriter<Action>,
) {
    let Some(solved) = solved else { return };
    if let Some((asked, wanted, done)) = hand.setting.as_ref().and_then(Errand::answer) {
        hand.setting = None;
        actions.write(was_set(&asked, wanted, done, solved.job.tape));
    }
    if let Some(done) = hand.stops.running.as_ref().and_then(Errand::answer) {
        hand.stops.running = None;
        hand.stops.done = done;
    }
    if let Some(done) = hand.telling.running.as_ref().and_then(Errand::answer) {
        hand.telling.running = None;
        hand.telling.done = Some(done);
    }
    begin_stops(&solved, &work, &waker, &mut hand);
    begin_telling(&solved, &waker, &mut hand);
}

fn begin_stops(solved: &Solved, work: &Work, waker: &Waker, hand: &mut ResMut<Hand>) {
    if hand.holds() || work.stale() {
        return;
    }
    let Some(Takes::Length(lever)) = hand.aimed().map(|handle| &handle.takes) else {
        return;
    };
    let about = (solved.generation, lever.field());
    if hand.stops.running.is_some() || hand.stops.about.as_ref() == Some(&about) {
        return;
    }
    let (found, lever) = (solved.found.clone(), lever.clone());
    let same = |before: &(u64, String)| before.1 == about.1;
    if !hand.stops.about.as_ref().is_some_and(same) {
        hand.stops.done.clear();
    }
    hand.stops.running = Some(Errand::start(waker, move || {
        places(&found, &lever, STOPS_WITHIN)
    }));
    hand.stops.about = Some(about);
}

fn begin_telling(solved: &Solved, waker: &Waker, hand: &mut ResMut<Hand>) {
    if hand.telling.running.is_some() {
        return;
    }
    let (before, part) = match (&hand.held, hand.lit.and_then(|lit| hand.handles.get(lit))) {
        (Some(held), _) => (held.before.clone(), held.handle.part.clone()),
        (None, Some(handle)) => (solved.found.clone(), handle.part.clone()),
        (None, None) => return,
    };
    let about = (solved.generation, part.clone());
    if hand.telling.about.as_ref() == Some(&about) {
        return;
    }
    let found = solved.found.clone();
    // On a stair of a few flights it is done at once, in less time than a frame takes.
    if found.runs.len() <= AT_ONCE {
        hand.telling.done = Some(consequences(&before, &found, &part));
        hand.telling.about = Some(about);
        return;
    }
    hand.telling.running = Some(Errand::start(waker, move || {
        consequences(&before, &found, &part)
    }));
    hand.telling.about = Some(about);
}

/// A number that was set, or why it cannot be.
fn was_set(asked: &Asked, wanted: Length, done: Result<Set, String>, tape: Tape) -> Action {
    match done {
        Ok(set) => Action::Make {
            name: Some(format!(
                "{} set to {}: {}",
                asked.words(),
                tape.print(wanted),
                set.what
            )),
            change: Change::Set(vec![set.edit]),
        },
        Err(why) => Action::Say(why),
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Hand>()
        .add_systems(Update, carry_out.in_set(ViewerSystems::Edit))
        .add_systems(
            Update,
            (keep, work_out)
                .chain()
                .in_set(ViewerSystems::Sync)
                .after(super::scene::ready),
        )
        .add_systems(
            EguiPrimaryContextPass,
            grips::draw.after(super::panels::draw),
        );
}

#[cfg(test)]
mod tests;
