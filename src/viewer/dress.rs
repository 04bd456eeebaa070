//! The look that a finished stair is shown in: which of the job's is chosen, and what its surfaces are.
//!
//! Every surface comes from [`crate::publish::finish`], as on the client's page.

use bevy::camera::ClearColor;
use bevy::prelude::{
    App, DetectChanges as _, DetectChangesMut as _, IntoScheduleConfigs as _, Res, ResMut,
    Resource, Update,
};

use crate::job::{Job, Light, Look, Wood};
use crate::publish::finish::{Stuff, Surface, looks, surface, usual_looks};

use super::acts::{Entry, Knows};
use super::ground::Ground;
use super::look;
use super::session::Action;
use super::{Mood, Showing, Solved, ViewerSystems};

/// The look that is shown, with the wood of the job.
#[derive(Resource, Clone, Debug, PartialEq)]
pub(super) struct Dressed {
    look: Look,
    wood: Option<Wood>,
}

impl Default for Dressed {
    fn default() -> Self {
        Self {
            look: usual_looks().swap_remove(0),
            wood: None,
        }
    }
}

impl Dressed {
    fn of(job: &Job, at: usize) -> Self {
        let mut looks = looks(job);
        let at = at.min(looks.len() - 1);
        Self {
            look: looks.swap_remove(at),
            wood: job.design.wood.clone(),
        }
    }

    /// What something looks like in it.
    pub(super) fn surface(&self, stuff: Stuff) -> Surface {
        surface(&self.look, stuff, self.wood.as_ref())
    }

    /// The light that it is shown in.
    pub(super) const fn light(&self) -> Light {
        self.look.light
    }
}

/// Names of the looks of a job, and which is shown.
pub(super) fn names(job: &Job, showing: &Showing) -> (Vec<String>, usize) {
    let names: Vec<String> = looks(job).into_iter().map(|look| look.name).collect();
    let at = showing.look.min(names.len() - 1);
    (names, at)
}

/// The looks, for the list of what can be done.
pub(super) fn entries(knows: &Knows) -> Vec<Entry> {
    let job = knows.session.document.job();
    let named = looks(job).into_iter().enumerate();
    named
        .map(|(at, look)| Entry {
            name: format!("show it finished: {}", look.name),
            action: Action::Dress(at),
        })
        .collect()
}

/// Puts on the look that is chosen. A picture is of a job whose look was chosen before.
fn put_on(solved: Option<Res<Solved>>, showing: Res<Showing>, mut dressed: ResMut<Dressed>) {
    let Some(solved) = solved else { return };
    if (solved.is_changed() || showing.is_changed()) && showing.mood == Mood::Show {
        dressed.set_if_neq(Dressed::of(&solved.job, showing.look));
    }
}

/// What stands behind a finished stair: paper by day, dusk in the evening.
fn stand_before(
    showing: Res<Showing>,
    dressed: Res<Dressed>,
    ground: Res<Ground>,
    mut clear: ResMut<ClearColor>,
) {
    if !showing.is_changed() && !dressed.is_changed() && !ground.is_changed() {
        return;
    }
    let dusk = showing.mood == Mood::Show && dressed.light() == Light::Evening;
    let behind = look::colour(if dusk { look::DUSK } else { look::PAPER });
    if clear.0 != behind {
        clear.0 = behind;
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, stand_before.in_set(ViewerSystems::Sync));
    app.init_resource::<Dressed>().add_systems(
        Update,
        put_on
            .in_set(ViewerSystems::Recompute)
            .after(super::recompute::fetch),
    );
}
