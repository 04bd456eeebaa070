//! The true stair as a ghost: a thin chalk line along the edges of what was meant.

use bevy::color::Alpha as _;
use bevy::prelude::{
    App, Assets, Commands, Component, Entity, GizmoAsset, IntoScheduleConfigs as _, Local, Query,
    Res, ResMut, Update, With,
};

use crate::solids::{PartKind, Solids};

use super::super::edges::{Segment, drawn_edges};
use super::super::ground::{self, Ground};
use super::super::{Mood, Showing, Solved, ViewerSystems, look};
use super::{pencil, ready};

#[derive(Component)]
struct Ghost;

/// What of the true stair is drawn: enough to see where all else would be.
fn outlined(solids: &Solids) -> Vec<Segment> {
    let kinds = [
        PartKind::Tread,
        PartKind::Newel,
        PartKind::Rail,
        PartKind::BottomRail,
        PartKind::Baluster,
        PartKind::Shoe,
        PartKind::Panel,
    ];
    let parts = solids
        .parts
        .iter()
        .filter(|part| kinds.contains(&part.kind));
    parts.flat_map(|part| drawn_edges(&part.pieces)).collect()
}

fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    showing: Res<Showing>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    mut from: Local<Option<(u64, bool, Ground)>>,
    before: Query<Entity, With<Ghost>>,
) {
    let Some(solved) = solved else { return };
    let now = (
        solved.generation,
        showing.ghost && showing.mood == Mood::Work,
        ground::now(),
    );
    if *from == Some(now) {
        return;
    }
    *from = Some(now);
    for old in &before {
        commands.entity(old).despawn();
    }
    let (Some(ideal), (_, true)) = (&solved.ideal, (now.0, now.1)) else {
        return;
    };
    let ink = look::colour(look::CHALK).with_alpha(0.62);
    let mut gizmo = pencil::lines(&mut assets, outlined(ideal), ink, 1.15);
    gizmo.depth_bias = -0.004;
    commands.spawn((gizmo, Ghost));
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}
