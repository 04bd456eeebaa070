//! What the drawing lies on: paper by day, slate in a dark stairwell.
//!
//! One switch for the whole process, because every colour of [`look`](super::look) is asked for by
//! its name alone, from panels, meshes and lines alike. What is painted before keeps its key of
//! [`now`] and is painted again where that changes.

use std::sync::atomic::{AtomicBool, Ordering};

use bevy::camera::ClearColor;
use bevy::prelude::{
    App, DetectChangesMut as _, IntoScheduleConfigs as _, Local, MessageReader, Res, ResMut,
    Resource, Update,
};

use super::session::Action;
use super::{Showing, ViewerSystems, look};

/// What the drawing lies on.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ground {
    /// Dark lines on light paper.
    #[default]
    Paper,
    /// Light lines on dark slate.
    Slate,
}

impl Ground {
    /// The other one.
    pub(super) const fn other(self) -> Self {
        match self {
            Self::Paper => Self::Slate,
            Self::Slate => Self::Paper,
        }
    }
}

static SLATE: AtomicBool = AtomicBool::new(false);

/// What is drawn on now.
pub(super) fn now() -> Ground {
    if SLATE.load(Ordering::Relaxed) {
        Ground::Slate
    } else {
        Ground::Paper
    }
}

/// Changes what is drawn on, and gives back whether that was another one.
fn lay(ground: Ground) -> bool {
    let slate = ground == Ground::Slate;
    SLATE.swap(slate, Ordering::Relaxed) != slate
}

/// Takes up what was asked for.
fn apply(mut actions: MessageReader<Action>, mut ground: ResMut<Ground>) {
    for action in actions.read() {
        if let Action::Ground(asked) = action {
            ground.set_if_neq(*asked);
        }
    }
}

/// Lays it, and has everything painted again that was painted on the other.
fn follow(
    ground: Res<Ground>,
    mut before: Local<Option<Ground>>,
    mut clear: ResMut<ClearColor>,
    mut showing: ResMut<Showing>,
) {
    if lay(*ground) || *before != Some(*ground) {
        *before = Some(*ground);
        clear.0 = look::colour(look::PAPER);
        showing.set_changed();
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Ground>()
        .add_systems(Update, (apply, follow).chain().in_set(ViewerSystems::Edit));
}
