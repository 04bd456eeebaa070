//! The ways to do the job: its alternatives, set out beside the window while they are looked at, and
//! which of them the picture shows.

use bevy::prelude::{App, Commands, IntoScheduleConfigs as _, Res, ResMut, Resource, Update};
use bevy::tasks::AsyncComputeTaskPool;

use crate::chain::{Chain, ChainError};
use crate::job::{Document, Faults};

use super::recompute::{self, Computed, Errand, Waker, Work};
use super::session::Session;
use super::{Cause, Place, Showing, Solved, ViewerSystems};

/// An alternative, and what came of it.
#[derive(Clone)]
pub(super) struct Way {
    /// What it is called.
    pub(super) name: String,
    /// The remark on it.
    pub(super) note: String,
    /// Its chains, or why it cannot be set out.
    pub(super) done: Result<Computed, String>,
}

/// Sets out every alternative of a job; one that cannot be is an answer too.
pub(super) fn try_all(document: &Document) -> Vec<Way> {
    let alternatives = document.job().alternatives.iter();
    let tried = alternatives.map(|one| Way {
        name: one.name.clone(),
        note: one.note.clone(),
        done: try_one(document, &one.name).map_err(|faults| why(&faults)),
    });
    tried.collect()
}

fn try_one(document: &Document, name: &str) -> Result<Computed, Faults> {
    let other = document.alternative(name)?;
    let refused = |error: ChainError| other.fault(&error.path, error.problem, error.help);
    Computed::of(other.job()).map_err(refused)
}

fn why(faults: &Faults) -> String {
    let told = faults.diagnostics.iter();
    let told = told.map(|one| format!("line {}: {}; {}", one.line, one.problem, one.help));
    told.collect::<Vec<_>>().join("\n")
}

/// The alternatives of the job as it stands.
#[derive(Resource, Default)]
pub(super) struct Ways {
    about: Option<u64>,
    running: Option<Errand<Vec<Way>>>,
    done: Vec<Way>,
}

impl Ways {
    /// What came of them for a state of the job, once it is there.
    pub(super) fn of(&self, stood: u64) -> Option<&[Way]> {
        let there = self.about == Some(stood) && self.running.is_none();
        there.then_some(self.done.as_slice())
    }
}

/// The letter of an alternative, by its number; past the last letter its place in the list.
pub(super) fn letter(place: usize) -> String {
    ('A'..='Z')
        .nth(place)
        .map_or_else(|| (place + 1).to_string(), String::from)
}

/// What one can do with an alternative.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Writes its changes into the job, by its name.
    Take(String),
    /// Keeps what was edited since the job was saved as an alternative of this name; the job goes
    /// back to as it was saved.
    Keep(String),
}

/// The way after the one that is shown, or before it, the job as it stands among them; what cannot be
/// set out is passed over.
pub(super) fn next(ways: &[Way], shown: Option<usize>, backwards: bool) -> Option<usize> {
    let mut can = vec![None];
    let built = ways.iter().enumerate().filter(|(_, way)| way.done.is_ok());
    can.extend(built.map(|(place, _)| Some(place)));
    let at = can.iter().position(|one| *one == shown).unwrap_or(0);
    let step = if backwards { can.len() - 1 } else { 1 };
    can[(at + step) % can.len()]
}

/// Sets the alternatives out where they are looked at.
fn try_ways(
    showing: Res<Showing>,
    session: Res<Session>,
    work: Res<Work>,
    waker: Res<Waker>,
    mut ways: ResMut<Ways>,
) {
    if let Some(done) = ways.running.as_ref().and_then(Errand::answer) {
        ways.running = None;
        ways.done = done;
    }
    // The document may be ahead of what was set out; its alternatives go with the next result.
    if showing.place != Place::Ways || work.stale() || work.standing.is_none() {
        return;
    }
    if ways.running.is_some() || ways.about == Some(work.stood) {
        return;
    }
    let document = session.document.clone();
    ways.about = Some(work.stood);
    ways.running = Some(Errand::start(&waker, move || try_all(&document)));
}

/// What to show of a job: as it stands, or as the alternative that is picked. None while that is not
/// known yet: what is on show then stays.
pub(super) fn wanted(
    standing: &Computed,
    way: Option<usize>,
    ways: Option<&[Way]>,
) -> Option<Computed> {
    let Some(way) = way else {
        return Some(standing.clone());
    };
    let way = ways?.get(way).and_then(|way| way.done.as_ref().ok());
    Some(way.unwrap_or(standing).clone())
}

/// The stair with a cause made true, worked out beside the window.
#[derive(Resource, Default)]
pub(super) struct Moment {
    about: Option<((u64, Option<usize>), Cause)>,
    running: Option<Errand<Result<Computed, ChainError>>>,
    done: Option<Result<Computed, String>>,
}

impl Moment {
    /// What came of making it true, once that is known; it is asked for if it was not yet.
    fn of(
        &mut self,
        origin: (u64, Option<usize>),
        cause: &Cause,
        found: &Computed,
        waker: &Waker,
    ) -> Option<&Result<Computed, String>> {
        if let Some(done) = self.running.as_ref().and_then(Errand::answer) {
            self.running = None;
            self.done = Some(done.map_err(|error| error.to_string()));
        }
        let about = (origin, cause.clone());
        if self.about.as_ref() != Some(&about) {
            let (found, cause) = (found.clone(), cause.clone());
            self.about = Some(about);
            self.done = None;
            self.running = Some(Errand::start(waker, move || found.with(&cause)));
        }
        self.done.as_ref()
    }
}

/// Puts it on show.
pub(super) fn stage(
    mut commands: Commands,
    showing: Res<Showing>,
    ways: Res<Ways>,
    waker: Res<Waker>,
    mut moment: ResMut<Moment>,
    (mut work, shown): (ResMut<Work>, Option<ResMut<Solved>>),
) {
    let cause = showing.cause.as_ref().filter(|_| showing.moment);
    let now = (work.stood, showing.way, cause.cloned());
    if work.staged.as_ref() == Some(&now) {
        return;
    }
    let Some(standing) = &work.standing else {
        return;
    };
    let Some(computed) = wanted(standing, showing.way, ways.of(work.stood)) else {
        return;
    };
    let (origin, generation) = ((work.stood, showing.way), work.generation + 1);
    let solved = match cause {
        None => computed.solved(generation, origin),
        Some(cause) => match moment.of(origin, cause, &computed, &waker) {
            None => return,
            Some(Ok(made)) => computed.for_a_moment(made.clone(), generation, origin),
            // What was found stays on show.
            Some(Err(why)) => Solved {
                refused: Some(why.clone()),
                ..computed.solved(generation, origin)
            },
        },
    };
    if let Some((cause, made)) = cause.zip(solved.base.as_ref()) {
        let troubles = |chain: &Chain| chain.inspection.troubles().len();
        let (then, found) = (troubles(&solved.found), troubles(made));
        bevy::log::info!("{} made true: {found} troubles, then {then}", cause.what);
    }
    work.generation = generation;
    work.staged = Some(now);
    match shown {
        Some(mut shown) => let_go(std::mem::replace(&mut *shown, solved)),
        None => commands.insert_resource(solved),
    }
}

/// A tall stair is a while in being thrown away: not in the frame.
fn let_go(old: Solved) {
    AsyncComputeTaskPool::get()
        .spawn(async move { drop(old) })
        .detach();
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Ways>()
        .init_resource::<Moment>()
        .add_systems(
            Update,
            (try_ways, stage)
                .chain()
                .after(recompute::fetch)
                .in_set(ViewerSystems::Recompute),
        );
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    /// The demo with three alternatives: one that changes nothing that is seen, one with another
    /// rail height, one that cannot be built.
    pub(in crate::viewer) fn with_ways() -> Document {
        let ways = r#"    alternatives: [
        (name: "Higher rail", note: "asked for by the client", changes: [
            (field: "design.rail.height", is: "37"),
        ]),
        (name: "Three on a tread", changes: [
            (field: "design.balusters.spacing.count", is: 3),
        ]),
        (name: "Along the wall", changes: [
            (field: "design.rail.upper.wall", is: "W1"),
        ]),
    ],
)"#;
        let (head, _) = DEMO.trim_end().rsplit_once(')').unwrap();
        let text = format!("{head}{ways}\n");
        Document::parse(&text, "ways.ron").unwrap()
    }

    #[test]
    fn each_alternative_is_the_job_with_its_changes() {
        let document = with_ways();
        let ways = try_all(&document);
        let names: Vec<&str> = ways.iter().map(|way| way.name.as_str()).collect();
        assert_eq!(names, document.alternatives().collect::<Vec<_>>());
        let higher = ways[0].done.as_ref().unwrap();
        let own = document.set("design.rail.height", "\"37\"").unwrap();
        let own = crate::chain::run(own.job()).unwrap();
        assert_eq!(
            higher.found().first().setout.rail.upper,
            own.first().setout.rail.upper
        );
    }

    #[test]
    fn stepping_goes_round_and_passes_over_what_cannot_be_set_out() {
        let ways = try_all(&with_ways());
        assert!(ways[2].done.is_err());
        let mut shown = None;
        let mut seen = Vec::new();
        for _ in 0..3 {
            shown = next(&ways, shown, false);
            seen.push(shown);
        }
        assert_eq!(seen, [Some(0), Some(1), None]);
        assert_eq!(next(&ways, None, true), Some(1));
    }

    #[test]
    fn the_picture_shows_what_is_picked_and_the_job_where_nothing_is() {
        let document = with_ways();
        let standing = Computed::of(document.job()).unwrap();
        let ways = try_all(&document);
        let balusters = |shown: Option<Computed>| {
            let found = shown.map(|one| one.found().first().setout.balusters.len());
            found.unwrap_or_default()
        };
        let stands = balusters(wanted(&standing, None, None));
        assert_eq!(stands, balusters(Some(standing.clone())));
        assert!(balusters(wanted(&standing, Some(1), Some(&ways))) > stands);
        // While alternatives are not there yet, what is on show stays.
        assert!(wanted(&standing, Some(1), None).is_none());
    }
}
