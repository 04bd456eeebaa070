//! The chain beside the window: on every change of the job it runs again on another thread, and its
//! result is swapped in when it is there. What was computed before stays on show until then.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use bevy::prelude::{App, IntoScheduleConfigs as _, Res, ResMut, Resource, Update};
use bevy::tasks::{AsyncComputeTaskPool, Task};

use crate::chain::{self, Chain, ChainError, RunChain};
use crate::doubt::{self, Advice};
use crate::explain::{self, Asked, Because, Explanation};
use crate::inspect::climb::Climb;
use crate::job::{Document, Job};
use crate::measure::Tape;
use crate::solids::Solids;

use super::scene::Effects;
use super::session::{Change, Session};
use super::{Cause, Pick, Place, Showing, Solved, ViewerSystems};

/// Wakes the window when work is done; a picture needs none.
#[derive(Resource, Clone)]
pub(super) struct Waker(pub(super) Arc<dyn Fn() + Send + Sync>);

/// Something computed on another thread. Dropping it cancels it.
pub(super) struct Errand<T> {
    answer: Arc<Mutex<Option<T>>>,
    _task: Option<Task<()>>,
}

impl<T: Send + 'static> Errand<T> {
    /// Sends it off. The window is woken after the answer is there, never before.
    pub(super) fn start(waker: &Waker, compute: impl FnOnce() -> T + Send + 'static) -> Self {
        let (answer, wake) = (Arc::new(Mutex::new(None)), waker.0.clone());
        let slot = answer.clone();
        let task = AsyncComputeTaskPool::get().spawn(async move {
            let computed = compute();
            *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(computed);
            wake();
        });
        Self {
            answer,
            _task: Some(task),
        }
    }

    /// The same on a thread of its own, for what takes long and nobody waits for: the pool's threads
    /// are few, and the chain must not stand behind it.
    pub(super) fn aside(waker: &Waker, compute: impl FnOnce() -> T + Send + 'static) -> Self {
        let (answer, wake) = (Arc::new(Mutex::new(None)), waker.0.clone());
        let slot = answer.clone();
        std::thread::spawn(move || {
            let computed = compute();
            *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(computed);
            wake();
        });
        Self {
            answer,
            _task: None,
        }
    }

    /// The answer, once.
    pub(super) fn answer(&self) -> Option<T> {
        self.answer
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take()
    }
}

/// Work that is under way, and what became of it.
#[derive(Resource, Default)]
pub(super) struct Work {
    /// What was last computed, or is being computed.
    about: Option<Wanted>,
    running: Option<Errand<Worked>>,
    /// When the last one began, how long it took, and when it was done.
    pace: Pace,
    /// The document that stands set out, what is tried written into it.
    document: Option<Arc<Document>>,
    /// The job as it stands, as last computed, and the number of that result.
    pub(super) standing: Option<Computed>,
    pub(super) stood: u64,
    /// What is on show: the number of the result, and the alternative of it.
    pub(super) staged: Option<Staged>,
    /// Counts what was put on show.
    pub(super) generation: u64,
    /// Why the last job could not be computed.
    pub(super) error: Option<String>,
}

/// How long the chain takes, and since when it rests.
#[derive(Clone, Copy, Debug, Default)]
struct Pace {
    began: Option<Instant>,
    done: Option<(Instant, Duration)>,
}

impl Pace {
    fn begins(&mut self) {
        self.began = Some(Instant::now());
    }

    fn ends(&mut self) {
        let now = Instant::now();
        self.done = self.began.take().map(|began| (now, now - began));
    }

    /// True until it has rested as long as it worked.
    fn rests(&self) -> bool {
        self.done.is_some_and(|(done, took)| done.elapsed() < took)
    }
}

/// What is to be set out: the document, and what is tried on it.
#[derive(Clone)]
struct Wanted {
    document: Arc<Document>,
    trial: Option<Change>,
}

impl Wanted {
    /// True where both ask for the same.
    fn same(&self, other: &Self) -> bool {
        let document = Arc::ptr_eq(&self.document, &other.document)
            || set_out_alike(&self.document, &other.document);
        document && self.trial == other.trial
    }

    /// Sets it out.
    fn work(self) -> Worked {
        let document = match &self.trial {
            Some(trial) => Arc::new(trial.of(&self.document).map_err(|faults| {
                let first = faults.diagnostics.first();
                first.map_or_else(String::new, |one| format!("{}; {}", one.problem, one.help))
            })?),
            None => self.document,
        };
        let computed = Computed::of(document.job()).map_err(|error| error.to_string())?;
        Ok((document, computed))
    }
}

/// True where two documents are set out and told alike.
fn set_out_alike(a: &Document, b: &Document) -> bool {
    a.text() == b.text() && a.job().tape == b.job().tape
}

/// A document set out, or why it cannot be.
type Worked = Result<(Arc<Document>, Computed), String>;

/// What is on show: the number of the result, the alternative of it, and what is made true.
pub(super) type Staged = (u64, Option<usize>, Option<Cause>);

impl Work {
    /// Forgets what was set out: another job is open.
    pub(super) fn forget(&mut self) {
        (self.standing, self.staged, self.document) = (None, None, None);
        (self.about, self.error) = (None, None);
    }

    /// True while what is shown is not what the document says.
    pub(super) fn stale(&self) -> bool {
        self.running.is_some() || self.error.is_some()
    }

    /// The stair of a state of the job, where that is what is set out now.
    pub(super) fn set_out(&self, text: &str) -> Option<Arc<Chain>> {
        let now = !self.stale() && self.document.as_ref()?.text() == text;
        let standing = self.standing.as_ref().filter(|_| now)?;
        Some(standing.found.clone())
    }

    /// The document that stands set out: what is tried on it is written there.
    pub(super) fn document(&self) -> Option<&Arc<Document>> {
        self.document.as_ref()
    }
}

/// Both chains of one job.
#[derive(Clone)]
pub(super) struct Computed {
    job: Arc<Job>,
    found: Arc<Chain>,
    climbs: Arc<Vec<Climb>>,
    solids: Arc<Solids>,
    ideal: Option<Arc<Solids>>,
}

/// The stair that was meant, as solids only: a ghost is not inspected, which takes the longest.
fn meant(found: &Chain) -> Option<Solids> {
    let runs = chain::meant(found);
    let laid = chain::lay(&runs, &found.all_true(), &found.choices(), &found.pack).ok()?;
    Some(laid.solids(&runs))
}

impl Computed {
    /// Runs both chains.
    pub(super) fn of(job: &Job) -> Result<Self, ChainError> {
        let found = Arc::new(chain::run(job)?);
        // Without the true stair there is no ghost and nothing to stretch, and all else stands.
        let ideal = meant(&found).map(Arc::new);
        // Copied here, beside the window: forty storeys take a while.
        let solids = Arc::new(found.solids.clone());
        let job = Arc::new(job.clone());
        let climbs = Arc::new(chain::climbs(&found));
        Ok(Self {
            job,
            found,
            climbs,
            solids,
            ideal,
        })
    }

    /// The stair as found.
    pub(super) fn found(&self) -> &Chain {
        &self.found
    }

    /// The same stair with a cause made true; the ghost stays what was meant.
    pub(super) fn with(&self, cause: &Cause) -> Result<Self, ChainError> {
        let found = Arc::new(explain::made_true(&self.found, &cause.makes)?);
        Ok(Self {
            climbs: Arc::new(chain::climbs(&found)),
            solids: Arc::new(found.solids.clone()),
            found,
            ..self.clone()
        })
    }

    /// As the scene takes it.
    pub(super) fn solved(self, generation: u64, origin: (u64, Option<usize>)) -> Solved {
        Solved {
            generation,
            origin,
            base: None,
            refused: None,
            job: self.job,
            found: self.found,
            climbs: self.climbs,
            solids: self.solids,
            ideal: self.ideal,
        }
    }

    /// As the scene takes it with something made true for a moment.
    pub(super) fn for_a_moment(
        self,
        made_true: Self,
        generation: u64,
        origin: (u64, Option<usize>),
    ) -> Solved {
        Solved {
            base: Some(self.found),
            ..made_true.solved(generation, origin)
        }
    }
}

/// Starts the chain where the document changed, or what is tried on it. One at a time: what changed
/// meanwhile is looked at when that is done, so that the newest is next and nothing waits in a row.
fn begin(
    session: Res<Session>,
    waker: Res<Waker>,
    effects: Option<Res<Effects>>,
    mut work: ResMut<Work>,
) {
    if work.running.is_some() {
        return;
    }
    // Where the processor draws as well, drawing is given its turn; once nothing moves nothing is shed,
    // and the last of what was tried is set out at once.
    let shares = effects.is_some_and(|effects| effects.shares_the_processor());
    if shares && session.trial().is_some() && work.pace.rests() {
        return;
    }
    let wanted = Wanted {
        document: session.document.clone(),
        trial: session.trial().cloned(),
    };
    if work.about.as_ref().is_some_and(|about| about.same(&wanted)) {
        return;
    }
    // What was tried and then made is set out already.
    let alike = |document: &Arc<Document>| set_out_alike(document, &wanted.document);
    let stands = work.error.is_none() && work.document.as_ref().is_some_and(alike);
    work.about = Some(wanted.clone());
    if !(stands && wanted.trial.is_none()) {
        work.pace.begins();
        work.running = Some(Errand::start(&waker, move || wanted.work()));
    }
}

/// Takes what is done; `ways` puts it on show.
pub(super) fn fetch(mut work: ResMut<Work>) {
    let Some(done) = work.running.as_ref().and_then(Errand::answer) else {
        return;
    };
    work.running = None;
    work.pace.ends();
    match done {
        Ok((document, computed)) => {
            work.error = None;
            work.stood += 1;
            bevy::log::info!("set out: {}", said(&computed));
            work.standing = Some(computed);
            work.document = Some(document);
        }
        Err(error) => work.error = Some(error),
    }
}

/// The gaps beside the newels, for those who read the log.
fn said(computed: &Computed) -> String {
    let tape = computed.job.tape;
    let setouts = || computed.found.runs.iter().map(|run| &run.setout);
    let beside = |name: &String| setouts().any(|setout| setout.newel(name).is_some());
    let gaps = setouts()
        .flat_map(|setout| &setout.gaps)
        .filter(|gap| beside(&gap.below) || beside(&gap.above));
    let said = gaps.map(|gap| format!("{} to {} {}", gap.below, gap.above, tape.print(gap.clear)));
    said.collect::<Vec<_>>().join(", ")
}

/// Why the picked number is what it is, computed beside the window as well.
#[derive(Resource, Default)]
pub(super) struct Explained {
    about: Option<((u64, Option<usize>), Asked)>,
    running: Option<Errand<Explanation>>,
    done: Option<Explanation>,
}

impl Explained {
    /// The explanation of a number, once it is there.
    pub(super) fn of(&self, solved: &Solved, asked: &Asked) -> Option<&Explanation> {
        let (at, about) = self.about.as_ref()?;
        (*at == solved.origin && about == asked)
            .then_some(self.done.as_ref())
            .flatten()
    }

    /// The causes of what is picked that a tape shows, largest first.
    pub(super) fn causes(&self, solved: &Solved, showing: &Showing) -> Vec<Cause> {
        let asked = showing.picked.as_ref().and_then(Pick::asked);
        let explanation = asked.and_then(|asked| self.of(solved, &asked));
        let all = explanation.map_or(&[][..], |found| &found.because);
        let tape = solved.job.tape;
        let shown = all.iter().filter(|because| shows(because, tape));
        shown.map(Cause::of).collect()
    }
}

/// Whether a share is as much as half a mark of the tape, in either column.
pub(super) fn shows(because: &Because, tape: Tape) -> bool {
    let both = [Some(because.share), because.shapley];
    both.into_iter()
        .flatten()
        .any(|share| share.abs() >= tape.mark() / 2.0)
}

/// Asks for the explanation of what is picked, and fetches it.
fn explain_picked(
    session: Res<Session>,
    showing: Res<Showing>,
    solved: Option<Res<Solved>>,
    waker: Res<Waker>,
    mut explained: ResMut<Explained>,
) {
    if let Some(done) = explained.running.as_ref().and_then(Errand::answer) {
        explained.running = None;
        bevy::log::info!("explained: {} causes", done.because.len());
        explained.done = Some(done);
    }
    let asked = showing.picked.as_ref().and_then(Pick::asked);
    let (Some(solved), Some(asked)) = (solved, asked) else {
        return;
    };
    // What is made true for a moment is explained as found, and what is only tried is not.
    if solved.base.is_some() || session.trial().is_some() {
        return;
    }
    let wanted = (solved.origin, asked.clone());
    if explained.about.as_ref() == Some(&wanted) {
        return;
    }
    // Dropping an errand that still runs cancels it: its answer would be about the past.
    let found = solved.found.clone();
    explained.running = Some(Errand::start(&waker, move || {
        explain::explain(&found, &asked)
    }));
    explained.about = Some(wanted);
    explained.done = None;
}

/// Which readings to take next, computed beside the window while they are typed.
#[derive(Resource, Default)]
pub(super) struct Advised {
    about: Option<u64>,
    running: Option<Errand<Vec<Advice>>>,
    done: Vec<Advice>,
}

impl Advised {
    /// The advice on a result, once it is there.
    pub(super) fn of(&self, generation: u64) -> Option<&[Advice]> {
        let there = self.about == Some(generation) && self.running.is_none();
        there.then_some(self.done.as_slice())
    }
}

/// The readings to take next on all flights, best first; each says of which run it is where there are
/// several.
fn advice(found: &Chain) -> Vec<Advice> {
    let several = found.stairs().count() > 1;
    let of_run = |(_, run): (usize, &RunChain)| {
        let next = doubt::first_order(run, &found.pack).map_or_else(Vec::new, |doubt| doubt.next);
        let name = run.run.name.clone();
        next.into_iter().map(move |advice| Advice {
            what: if several {
                format!("run {name}, {}", advice.what)
            } else {
                advice.what
            },
            ..advice
        })
    };
    let mut all: Vec<Advice> = found.stairs().flat_map(of_run).collect();
    all.sort_by(|a, b| b.takes.total_cmp(&a.takes));
    all
}

/// Asks for the readings to take next where they are typed, one answer at a time: it takes a few
/// hundred set-outs, and cannot be called off half-way.
fn advise(
    showing: Res<Showing>,
    solved: Option<Res<Solved>>,
    waker: Res<Waker>,
    mut advised: ResMut<Advised>,
) {
    if let Some(done) = advised.running.as_ref().and_then(Errand::answer) {
        advised.running = None;
        advised.done = done;
    }
    let Some(solved) = solved.filter(|_| showing.place == Place::Readings) else {
        return;
    };
    if advised.running.is_some() || advised.about == Some(solved.generation) {
        return;
    }
    let found = solved.found.clone();
    advised.about = Some(solved.generation);
    advised.running = Some(Errand::start(&waker, move || advice(&found)));
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Work>()
        .init_resource::<Explained>()
        .init_resource::<Advised>()
        .add_systems(
            Update,
            (fetch, begin, explain_picked, advise)
                .chain()
                .in_set(ViewerSystems::Recompute),
        );
}
