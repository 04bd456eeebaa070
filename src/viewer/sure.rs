//! How sure the stair is: drawn thousands of times on threads of their own, so that the window never
//! waits for them, and kept for the state of the job that it was drawn of.
//!
//! In: the job as it stands, set out. Out: [`Sure`], and the fan of its rails for the scene. When the
//! job changes while it is drawn the draws are broken off and thrown away; what was drawn of an
//! earlier state stays and is never told as that of the present one.

use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use bevy::prelude::{App, IntoScheduleConfigs as _, Local, Res, ResMut, Resource, Update};

use crate::chain::Chain;
use crate::doubt::{self, Chance, Model, Progress, Sample, Wanted};
use crate::inspect::Key;

use super::recompute::{self, Waker, Work};
use super::scene::Fans;
use super::session::Session;
use super::{Solved, ViewerSystems};

/// The window is woken for news of the draws no more often than this.
const NEWS: Duration = Duration::from_millis(300);

/// What the window and the drawing threads know of each other.
#[derive(Default)]
struct Watch {
    off: AtomicBool,
    done: AtomicU64,
    most: AtomicU64,
    woken: Mutex<Option<Instant>>,
}

impl Watch {
    /// Told how far it has come; wakes the window now and then.
    fn tell(&self, progress: Progress, waker: &Waker) -> ControlFlow<()> {
        self.done.store(progress.done, Ordering::Relaxed);
        self.most.store(progress.most, Ordering::Relaxed);
        if self.off.load(Ordering::Relaxed) {
            return ControlFlow::Break(());
        }
        let mut woken = self.woken.lock().unwrap_or_else(PoisonError::into_inner);
        if woken.is_none_or(|at| at.elapsed() >= NEWS) {
            *woken = Some(Instant::now());
            (waker.0)();
        }
        ControlFlow::Continue(())
    }
}

/// What came of the draws.
pub(super) struct Drawn {
    /// The text of the job that it is of.
    text: String,
    /// The stair that was drawn.
    pub(super) found: Arc<Chain>,
    /// What came of it.
    pub(super) sample: Sample,
    /// The sources of doubt, in words.
    pub(super) sources: Vec<String>,
    /// How many quantities nobody read: they stand as meant.
    pub(super) unread: usize,
}

impl Drawn {
    /// How likely a finding fails; `None` where it may not, or nothing was drawn.
    pub(super) fn chance(&self, key: &Key) -> Option<&Chance> {
        let mut chances = self.sample.chances.iter();
        chances.find(|one| one.plan.key == *key && one.tally.of > 0)
    }

    /// Draws a stair; `None` where none of it is in doubt.
    fn of(
        text: String,
        found: Arc<Chain>,
        wanted: &Wanted,
        watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
    ) -> Option<Self> {
        let model = Model::of(&found)?;
        let sample = doubt::sample_of(&model, &found, wanted, watch);
        let sources = model.sources();
        Some(Self {
            text,
            sample,
            unread: model.unread(),
            sources: sources.iter().map(doubt::Source::says).collect(),
            found,
        })
    }
}

/// Draws that came to their end, or why there are none.
type Came = Result<Drawn, &'static str>;

/// Draws that are being made. Dropping them breaks them off, and nobody sees what came of them.
struct Running {
    text: String,
    watch: Arc<Watch>,
    answer: Arc<Mutex<Option<Came>>>,
}

impl Drop for Running {
    fn drop(&mut self) {
        self.watch.off.store(true, Ordering::Relaxed);
    }
}

impl Running {
    fn start(text: String, found: Arc<Chain>, wanted: Wanted, waker: &Waker) -> Self {
        let running = Self {
            text: text.clone(),
            watch: Arc::default(),
            answer: Arc::default(),
        };
        let (watch, slot, waker) = (running.watch.clone(), running.answer.clone(), waker.clone());
        let draw = move || {
            let tell = |progress| watch.tell(progress, &waker);
            let draw = || Drawn::of(text, found, &wanted, &tell);
            let came = match catch_unwind(AssertUnwindSafe(draw)) {
                Ok(drawn) => drawn
                    .ok_or("no stair of this job's own is here whose readings could be in doubt"),
                Err(_) => Err("the draws broke down"),
            };
            *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(came);
            (waker.0)();
        };
        let started = thread::Builder::new().name("draws".to_owned()).spawn(draw);
        if started.is_err() {
            *running.lock() = Some(Err("this machine gives no further thread to draw on"));
        }
        running
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Option<Came>> {
        self.answer.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// How the draws stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// Nothing is being drawn.
    Still,
    /// Asked for; the job is set out first.
    Waiting,
    /// So many are drawn; true where they are being ended.
    Drawing(Progress, bool),
}

/// The draws of the stair.
#[derive(Resource)]
pub(super) struct Sure {
    asked: bool,
    running: Option<Running>,
    drawn: Option<Arc<Drawn>>,
    /// Why the last that was asked for could not be drawn.
    pub(super) refused: Option<&'static str>,
    /// How much is drawn.
    wanted: Wanted,
}

impl Default for Sure {
    fn default() -> Self {
        let usual = Wanted::default();
        Self {
            asked: false,
            running: None,
            drawn: None,
            refused: None,
            // One is left to the window.
            wanted: Wanted {
                threads: usual.threads.saturating_sub(1).max(1),
                ..usual
            },
        }
    }
}

impl Sure {
    /// Asks for draws of the job as it stands, or ends those that are being made: what was drawn
    /// until then is told.
    pub(super) fn ask(&mut self, drawn: bool) {
        self.asked = drawn;
        if let (false, Some(running)) = (drawn, &self.running) {
            running.watch.off.store(true, Ordering::Relaxed);
        }
    }

    /// How the draws stand.
    pub(super) fn standing(&self) -> Standing {
        match &self.running {
            Some(running) => {
                let read = |number: &AtomicU64| number.load(Ordering::Relaxed);
                let progress = Progress {
                    done: read(&running.watch.done),
                    most: read(&running.watch.most),
                };
                Standing::Drawing(progress, running.watch.off.load(Ordering::Relaxed))
            }
            None if self.asked => Standing::Waiting,
            None => Standing::Still,
        }
    }

    /// At most so many are drawn.
    pub(super) const fn most(&self) -> u64 {
        self.wanted.most
    }

    /// What was drawn last, and whether it is of the job as it stands.
    pub(super) fn drawn(&self, session: &Session) -> Option<(&Arc<Drawn>, bool)> {
        let drawn = self.drawn.as_ref()?;
        Some((drawn, drawn.text == session.document.text()))
    }

    /// What was drawn of the job as it stands.
    pub(super) fn current(&self, session: &Session) -> Option<&Arc<Drawn>> {
        let (drawn, current) = self.drawn(session)?;
        current.then_some(drawn)
    }
}

/// Begins, fetches and breaks off draws.
fn draw(session: Res<Session>, work: Res<Work>, waker: Res<Waker>, mut sure: ResMut<Sure>) {
    let text = session.document.text();
    if sure.running.as_ref().is_some_and(|one| one.text != text) {
        bevy::log::info!("draws thrown away: the job changed");
        sure.running = None;
    }
    let came = sure.running.as_ref().and_then(|one| one.lock().take());
    if let Some(came) = came {
        sure.running = None;
        match came {
            Ok(drawn) => {
                bevy::log::info!("drawn: {} ({:?})", drawn.sample.draws, drawn.sample.ended);
                sure.drawn = Some(Arc::new(drawn));
            }
            Err(why) => sure.refused = Some(why),
        }
    }
    if !sure.asked {
        return;
    }
    if sure.running.is_some() || work.error.is_some() {
        sure.asked = false;
        return;
    }
    let Some(found) = work.set_out(text) else {
        return;
    };
    let running = Running::start(text.to_owned(), found, sure.wanted.clone(), &waker);
    sure.asked = false;
    sure.refused = None;
    sure.running = Some(running);
}

/// Lays the fan out for the scene where it is of the stair that is on show.
fn lay_out(
    session: Res<Session>,
    (work, sure): (Res<Work>, Res<Sure>),
    solved: Option<Res<Solved>>,
    mut fans: ResMut<Fans>,
    mut laid: Local<Option<Arc<Drawn>>>,
) {
    let shown = solved.filter(|solved| {
        solved.origin == (work.stood, None)
            && solved.base.is_none()
            && work.set_out(session.document.text()).is_some()
    });
    let now = shown.and_then(|_| sure.current(&session));
    let same = match (now, laid.as_ref()) {
        (Some(now), Some(laid)) => Arc::ptr_eq(now, laid),
        (None, None) => true,
        _ => false,
    };
    if !same {
        let drawn = |one: &Arc<Drawn>| match one.sample.draws {
            0 => Vec::new(),
            _ => one.sample.fans.clone(),
        };
        fans.0 = now.map_or_else(Vec::new, drawn);
        *laid = now.cloned();
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Sure>().add_systems(
        Update,
        (draw, lay_out)
            .chain()
            .after(recompute::fetch)
            .in_set(ViewerSystems::Recompute),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevy::prelude::{Messages, MinimalPlugins};

    use crate::doubt::Ended;
    use crate::job::Document;
    use crate::viewer::eye::View;
    use crate::viewer::session::{self, Action};
    use crate::viewer::{Showing, order, ways};

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
    /// Longest wait for an answer of another thread.
    const PATIENCE: Duration = Duration::from_secs(300);

    /// The window's work without its picture: actions in, frames by hand.
    struct Hand(App);

    impl Hand {
        fn new(most: u64) -> Self {
            let mut app = App::new();
            let document = Document::parse(DEMO, "test.ron").unwrap();
            app.add_plugins(MinimalPlugins)
                .insert_resource(Session::new(document, None))
                .insert_resource(Waker(Arc::new(|| {})))
                .init_resource::<Showing>()
                .init_resource::<View>()
                .init_resource::<Fans>();
            order(&mut app);
            app.add_plugins((session::plugin, recompute::plugin, ways::plugin, plugin));
            app.world_mut().resource_mut::<Sure>().wanted.most = most;
            Self(app)
        }

        fn act(&mut self, action: Action) {
            self.0
                .world_mut()
                .resource_mut::<Messages<Action>>()
                .write(action);
            self.0.update();
        }

        fn sure(&self) -> &Sure {
            self.0.world().resource()
        }

        fn session(&self) -> &Session {
            self.0.world().resource()
        }

        fn until(&mut self, what: &str, there: impl Fn(&Self) -> bool) {
            let until = Instant::now() + PATIENCE;
            while !there(self) {
                assert!(Instant::now() < until, "waited in vain until {what}");
                thread::sleep(Duration::from_millis(5));
                self.0.update();
            }
        }

        fn drawing(&self) -> bool {
            matches!(self.sure().standing(), Standing::Drawing(at, _) if at.done > 0)
        }

        fn still(&self) -> bool {
            self.sure().standing() == Standing::Still
        }

        fn fans(&self) -> usize {
            self.0.world().resource::<Fans>().0.len()
        }

        fn current(&self) -> bool {
            self.sure().current(self.session()).is_some()
        }
    }

    fn raise() -> Action {
        Action::Edit {
            path: "design.rail.height".to_owned(),
            value: "\"37\"".to_owned(),
            drag: None,
        }
    }

    #[test]
    fn what_is_asked_for_is_drawn_beside_the_frames_and_told_as_drawn() {
        let mut hand = Hand::new(300);
        assert!(hand.still());
        hand.act(Action::Draw(true));
        // The job is not set out yet.
        assert_eq!(hand.sure().standing(), Standing::Waiting);
        hand.until("it is drawing", Hand::drawing);
        assert!(hand.sure().drawn(hand.session()).is_none() && hand.fans() == 0);
        hand.until("it is drawn", Hand::still);
        let (drawn, current) = hand.sure().drawn(hand.session()).unwrap();
        assert!(
            current && drawn.sample.draws == 300,
            "{}",
            drawn.sample.draws
        );
        hand.until("the fan is laid out", |hand| hand.fans() == 1);
        // The same draws in the terminal's way have the same odds.
        let chain = crate::chain::run(hand.session().document.job()).unwrap();
        let (drawn, _) = hand.sure().drawn(hand.session()).unwrap();
        let alone = doubt::sample(&chain, &drawn.sample.wanted, &|_| ControlFlow::Continue(()));
        let alone = alone.unwrap();
        assert!(!alone.chances.is_empty());
        for one in &alone.chances {
            assert_eq!(drawn.chance(&one.plan.key).unwrap().tally, one.tally);
        }
    }

    #[test]
    fn draws_that_are_ended_tell_what_was_drawn_until_then() {
        let mut hand = Hand::new(1_000_000);
        hand.act(Action::Draw(true));
        let far = |hand: &Hand| matches!(hand.sure().standing(), Standing::Drawing(at, _) if at.done > 400);
        hand.until("some are drawn", far);
        hand.act(Action::Draw(false));
        hand.until("it ends", Hand::still);
        let (drawn, current) = hand.sure().drawn(hand.session()).unwrap();
        assert!(current);
        assert_eq!(drawn.sample.ended, Ended::Cancelled);
        assert!(
            (1..1_000_000).contains(&drawn.sample.draws),
            "{}",
            drawn.sample.draws
        );
    }

    #[test]
    fn a_change_of_the_job_throws_away_the_draws_that_are_being_made() {
        let mut hand = Hand::new(1_000_000);
        hand.act(Action::Draw(true));
        hand.until("it is drawing", Hand::drawing);
        hand.act(raise());
        assert!(hand.still());
        // And nothing of them comes later.
        for _ in 0..40 {
            thread::sleep(Duration::from_millis(25));
            hand.0.update();
        }
        assert!(hand.still() && hand.sure().drawn(hand.session()).is_none());
    }

    #[test]
    fn what_was_drawn_of_another_state_is_never_that_of_the_present_one() {
        let mut hand = Hand::new(300);
        hand.act(Action::Draw(true));
        hand.until("it is drawn", |hand| hand.current() && hand.fans() == 1);
        hand.act(raise());
        assert!(!hand.current() && hand.fans() == 0);
        let (_, current) = hand.sure().drawn(hand.session()).unwrap();
        assert!(!current);
        // Back at the same state it is what is drawn of it, once that is on show.
        hand.act(Action::Undo);
        assert!(hand.current());
        hand.until("the fan is back", |hand| hand.fans() == 1);
    }
}
