//! Going up the flight step by step: which step is lit, what the strip beside the picture shows, and
//! what of it is drawn on the stair.
//!
//! In: [`Ask`]s, and what the chain gave for the climb. Out: [`Climbing`], which the strip, the
//! scene and the eye follow.

pub(super) mod acts;
pub(super) mod notes;
pub(super) mod words;

use bevy::prelude::{
    App, DetectChangesMut as _, IntoScheduleConfigs as _, Local, MessageReader, Res, ResMut,
    Resource, Update,
};
use nalgebra::Point3;

use crate::inspect::Kind;
use crate::inspect::climb::{Climb, ClimbStep, Of};

use super::camera::Eye;
use super::eye::View;
use super::session::Action;
use super::{Mood, Pick, Showing, Solved, ViewerSystems};

/// How far up the flight one has come, and what is shown of it.
#[derive(Resource, Clone, Debug, PartialEq)]
pub(super) struct Climbing {
    /// The strip stands beside the picture.
    pub(super) on: bool,
    /// The flight, counted among those that have steps.
    pub(super) flight: usize,
    /// The step that is lit, from 1.
    pub(super) step: u32,
    /// What the strip is of.
    pub(super) of: Of,
    /// Reveal bars are drawn, or not; as it fits where nothing was said.
    pub(super) bars: Option<bool>,
    /// Level lines likewise.
    pub(super) levels: Option<bool>,
}

impl Default for Climbing {
    fn default() -> Self {
        Self {
            on: false,
            flight: 0,
            step: 1,
            of: Of::Heights,
            bars: None,
            levels: None,
        }
    }
}

/// What can be asked of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Lays the strip beside the picture, or takes it away.
    Open(bool),
    /// Goes to a step of a flight.
    Go {
        /// The flight, counted among those that have steps.
        flight: usize,
        /// The step, from 1.
        step: u32,
    },
    /// One step up, and from the top of a flight to the foot of the next.
    Up,
    /// One step down.
    Down,
    /// To the top of the flight.
    Top,
    /// To its foot.
    Foot,
    /// Shows something else.
    Show(Of),
    /// Shows what comes next, or before.
    Next {
        /// Against their order.
        backwards: bool,
    },
    /// Draws the reveal bars, or not.
    Bars(bool),
    /// Draws the level lines, or not.
    Levels(bool),
}

impl Climbing {
    /// The step that is lit, and its flight.
    pub(super) fn lit<'c>(&self, climbs: &'c [Climb]) -> Option<(&'c Climb, &'c ClimbStep)> {
        let climb = climbs.get(self.flight)?;
        Some((climb, climb.step(self.step)?))
    }

    /// The same where it is drawn.
    pub(super) fn drawn<'c>(
        &self,
        showing: &Showing,
        climbs: &'c [Climb],
    ) -> Option<(&'c Climb, &'c ClimbStep)> {
        let drawn = self.on && showing.mood == Mood::Work;
        drawn.then(|| self.lit(climbs)).flatten()
    }

    /// True where the reveal bars are drawn: when they are asked for, and of themselves while the
    /// strip is of reveals or a trouble with reveals is picked.
    pub(super) fn draws_bars(&self, showing: &Showing) -> bool {
        let of_themselves = || {
            let picked = [Kind::RevealDrift, Kind::RevealStep, Kind::RevealSlope];
            self.on && self.of == Of::Reveals || picks(showing, &picked)
        };
        showing.mood == Mood::Work && self.bars.unwrap_or_else(of_themselves)
    }

    /// True where the level lines are drawn: when they are asked for, and of themselves while the
    /// strip is of levels or a tread that slopes too much is picked.
    pub(super) fn draws_levels(&self, showing: &Showing) -> bool {
        let of_themselves = || {
            let of_levels = matches!(self.of, Of::Across | Of::Back);
            self.on && of_levels || picks(showing, &[Kind::TreadSlope])
        };
        showing.mood == Mood::Work && self.levels.unwrap_or_else(of_themselves)
    }

    /// What it is after something was asked.
    fn after(mut self, ask: Ask, climbs: &[Climb]) -> Self {
        let top = |flight: usize| climbs.get(flight).map_or(1, |one| one.steps.len() as u32);
        match ask {
            Ask::Open(on) => self.on = on,
            Ask::Go { flight, step } => (self.flight, self.step) = (flight, step),
            Ask::Up if self.step < top(self.flight) => self.step += 1,
            Ask::Up if self.flight + 1 < climbs.len() => {
                (self.flight, self.step) = (self.flight + 1, 1);
            }
            Ask::Down if self.step > 1 => self.step -= 1,
            Ask::Down if self.flight > 0 => {
                self.flight -= 1;
                self.step = top(self.flight);
            }
            Ask::Up | Ask::Down => {}
            Ask::Top => self.step = top(self.flight),
            Ask::Foot => self.step = 1,
            Ask::Show(of) => self.of = of,
            Ask::Next { backwards } => self.of = next(self.of, backwards),
            Ask::Bars(drawn) => self.bars = Some(drawn),
            Ask::Levels(drawn) => self.levels = Some(drawn),
        }
        self.within(climbs)
    }

    /// The same on a stair that may have lost flights or steps.
    fn within(mut self, climbs: &[Climb]) -> Self {
        self.flight = self.flight.min(climbs.len().saturating_sub(1));
        let steps = climbs.get(self.flight).map_or(1, |one| one.steps.len());
        self.step = self.step.clamp(1, steps.max(1) as u32);
        self
    }

    /// The same at the step of a part that was picked, where it belongs to one.
    fn at_part(mut self, part: &str, climbs: &[Climb]) -> Self {
        let found = climbs
            .iter()
            .enumerate()
            .find_map(|(flight, climb)| Some((flight, climb.step_of(part)?)));
        if let Some(found) = found {
            (self.flight, self.step) = found;
        }
        self
    }
}

/// What comes after a quantity, round and round.
fn next(of: Of, backwards: bool) -> Of {
    let count = Of::ALL.len();
    let at = Of::ALL.iter().position(|one| *one == of).unwrap_or(0);
    let by = if backwards { count - 1 } else { 1 };
    Of::ALL[(at + by) % count]
}

fn picks(showing: &Showing, kinds: &[Kind]) -> bool {
    matches!(&showing.picked, Some(Pick::Trouble(key)) if kinds.contains(&key.kind))
}

/// An eye that sees less than this share of the flight goes along with the step.
const NEAR: f64 = 0.75;

/// The eye gone along from one step to another, where it is so near that the step would leave the
/// picture; `None` where it sees the flight as a whole.
fn gone_along(eye: &Eye, climb: &Climb, [from, to]: [&Point3<f64>; 2]) -> Option<Eye> {
    let (first, last) = (climb.steps.first()?, climb.steps.last()?);
    let flight = (last.at - first.at).norm();
    (2.0 * eye.half_height() < NEAR * flight).then(|| Eye {
        target: eye.target + (to - from),
        ..*eye
    })
}

/// Carries out what was asked for since the last frame.
fn apply(
    mut actions: MessageReader<Action>,
    solved: Option<Res<Solved>>,
    mut climbing: ResMut<Climbing>,
    mut view: ResMut<View>,
) {
    let climbs = solved.as_ref().map_or(&[][..], |solved| &solved.climbs);
    let before = climbing.clone();
    let mut now = before.clone();
    for action in actions.read() {
        now = match action {
            Action::Climb(ask) => now.after(*ask, climbs),
            Action::Pick(Some(Pick::Part(part))) if now.on => now.at_part(part, climbs),
            _ => now,
        };
    }
    if !climbs.is_empty() {
        now = now.within(climbs);
    }
    if now.on && before.on {
        let lit = [before.lit(climbs), now.lit(climbs)];
        if let ([Some((_, from)), Some((climb, to))], Some(goal)) = (lit, view.goal) {
            let gone = gone_along(&goal, climb, [&from.at, &to.at]);
            if let Some(gone) = gone.filter(|gone| gone.target != goal.target) {
                view.goal = Some(gone);
            }
        }
    }
    climbing.set_if_neq(now);
}

/// How much of the window's height is free, and what was free before the strip came or went.
#[derive(Default)]
struct Room {
    on: bool,
    tall: Option<f64>,
    before: Option<f64>,
}

/// Makes room for the strip: an eye that sees the flight as a whole goes back as the picture gets
/// lower, and comes nearer when the strip is taken away.
fn make_room(climbing: Res<Climbing>, mut view: ResMut<View>, mut room: Local<Room>) {
    let Some(free) = view.free else { return };
    let tall = free.down[1] - free.down[0];
    if room.on != climbing.on {
        room.on = climbing.on;
        room.before = room.tall;
    }
    let changed = room.tall.is_some_and(|was| (was - tall).abs() > 1e-6);
    room.tall = Some(tall);
    if !changed {
        return;
    }
    if let (Some(before), Some(goal)) = (room.before.take(), view.goal) {
        view.goal = Some(goal.zoomed(before / tall));
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Climbing>().add_systems(
        Update,
        (make_room, apply).chain().in_set(ViewerSystems::Edit),
    );
}

#[cfg(test)]
mod driven;
#[cfg(test)]
mod tests;
