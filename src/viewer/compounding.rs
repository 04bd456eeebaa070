//! How a small error on each step adds up along the flights, for the chart in the window: worked out
//! beside it for the stair that is shown and the error that is typed.

use bevy::prelude::{App, IntoScheduleConfigs as _, MessageReader, Res, ResMut, Resource, Update};

use crate::chain::Chain;
use crate::doubt::compounding::{Compounding, PER_STEP, compounding};
use crate::measure::Length;

use super::recompute::{Errand, Waker};
use super::session::Action;
use super::{Place, Showing, Solved, ViewerSystems};

/// What one can ask of the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ask {
    /// Opens it, or goes back to the odds.
    Open(bool),
    /// Another error on each step.
    PerStep(Length),
}

/// What the chart is of: the stair that is shown, and the error on each step.
type About = ((u64, Option<usize>), Length);

/// The chart.
#[derive(Resource)]
pub(super) struct Compound {
    /// It stands where the odds stood.
    pub(super) open: bool,
    /// What each step is off, at most.
    pub(super) per_step: Length,
    about: Option<About>,
    running: Option<Errand<Vec<Compounding>>>,
    done: Vec<Compounding>,
}

impl Default for Compound {
    fn default() -> Self {
        Self {
            open: false,
            per_step: PER_STEP,
            about: None,
            running: None,
            done: Vec::new(),
        }
    }
}

impl Compound {
    /// How errors add up on each flight, once that is known. What was there stays until then.
    pub(super) fn told(&self) -> Option<&[Compounding]> {
        let there = !self.done.is_empty() || (self.about.is_some() && self.running.is_none());
        there.then_some(self.done.as_slice())
    }
}

/// How errors add up on every flight.
fn of_flights(chain: &Chain, per_step: Length) -> Vec<Compounding> {
    let runs = chain.stairs();
    runs.filter_map(|(_, run)| compounding(run, per_step))
        .collect()
}

fn apply(mut actions: MessageReader<Action>, mut chart: ResMut<Compound>) {
    for action in actions.read() {
        match action {
            Action::Compounding(Ask::Open(open)) => chart.open = *open,
            Action::Compounding(Ask::PerStep(per_step)) => chart.per_step = *per_step,
            _ => {}
        }
    }
}

/// Works it out where it is looked at.
fn work_out(
    showing: Res<Showing>,
    solved: Option<Res<Solved>>,
    waker: Res<Waker>,
    mut chart: ResMut<Compound>,
) {
    if let Some(done) = chart.running.as_ref().and_then(Errand::answer) {
        chart.running = None;
        chart.done = done;
    }
    let looked_at = chart.open && showing.place == Place::Sure;
    let Some(solved) = solved.filter(|_| looked_at) else {
        return;
    };
    let wanted = (solved.origin, chart.per_step);
    if chart.about == Some(wanted) || chart.running.is_some() {
        return;
    }
    let (found, per_step) = (solved.found.clone(), chart.per_step);
    chart.about = Some(wanted);
    chart.running = Some(Errand::start(&waker, move || of_flights(&found, per_step)));
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Compound>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(Update, work_out.in_set(ViewerSystems::Recompute));
}
