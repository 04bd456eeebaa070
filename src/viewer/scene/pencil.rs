//! Pencil lines along the edges of parts, and a chalk line around what is picked.

use bevy::gizmos::config::{GizmoLineConfig, GizmoLineJoint};
use bevy::gizmos::retained::Gizmo;
use bevy::prelude::{
    App, Assets, Color, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Local, Query, Res, ResMut, Update, With,
};

use crate::solids::{Part, PartKind};

use super::super::edges::{Segment, drawn_edges};
use super::super::ground::{self, Ground};
use super::super::{Mood, Showing, ViewerSystems, convert, look};
use super::{Shown, ready};

/// Lines lie this much nearer to the eye than the faces that they bound.
const NEARER: f32 = -0.0006;

/// One set of lines of one weight.
#[derive(Component)]
struct Lines;

/// Lines around what is picked.
#[derive(Component)]
struct Picked;

/// Lines of one colour and width, ready to spawn.
pub(super) fn lines(
    assets: &mut Assets<GizmoAsset>,
    segments: impl IntoIterator<Item = Segment>,
    colour: Color,
    width: f32,
) -> Gizmo {
    let mut asset = GizmoAsset::default();
    for (from, to) in segments {
        asset.line(convert::point(&from), convert::point(&to), colour);
    }
    Gizmo {
        handle: assets.add(asset),
        line_config: GizmoLineConfig {
            width,
            joints: GizmoLineJoint::Round(4),
            ..GizmoLineConfig::default()
        },
        depth_bias: NEARER,
    }
}

/// How strongly a kind of part is drawn: colour and width.
fn weight(kind: PartKind) -> Option<(look::Tone, f32)> {
    match kind {
        PartKind::Wall => None,
        PartKind::Newel | PartKind::Rail | PartKind::BottomRail | PartKind::Tread => {
            Some((look::PENCIL, 1.2))
        }
        PartKind::Rosette | PartKind::Baluster => Some((look::PENCIL_SOFT, 1.0)),
        _ => Some((look::PENCIL_LIGHT, 0.9)),
    }
}

/// The lines of parts, kept so that a moved newel does not redraw the house.
#[derive(Default)]
struct Drawn {
    parts: Vec<(Part, Vec<Segment>)>,
    look: Option<(Mood, Ground)>,
}

impl Drawn {
    /// Draws what is shown, taking over what did not change.
    fn follow(&mut self, shown: &Shown) {
        let mut before = std::mem::take(&mut self.parts);
        self.parts = shown
            .solids
            .parts
            .iter()
            .filter(|part| weight(part.kind).is_some())
            .map(|part| {
                let same =
                    |(old, _): &(Part, _)| old.name == part.name && old.pieces == part.pieces;
                match before.iter().position(same) {
                    Some(kept) => before.swap_remove(kept),
                    None => (part.clone(), drawn_edges(&part.pieces)),
                }
            })
            .collect();
    }
}

impl Drawn {
    /// One set of lines for each weight.
    fn by_weight(&self, assets: &mut Assets<GizmoAsset>) -> Vec<Gizmo> {
        let mut weights: Vec<(look::Tone, f32)> = Vec::new();
        weights.extend(self.parts.iter().filter_map(|(part, _)| weight(part.kind)));
        weights.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        weights.dedup();
        let mut of_weight = |(colour, width)| {
            let parts = self.parts.iter();
            let of_it = parts.filter(|(part, _)| weight(part.kind) == Some((colour, width)));
            let segments = of_it.flat_map(|(_, segments)| segments.iter().copied());
            lines(assets, segments, look::colour(colour), width)
        };
        weights.into_iter().map(&mut of_weight).collect()
    }
}

/// Draws the pencil lines anew.
fn draw(
    mut commands: Commands,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    mut drawn: Local<Drawn>,
    before: Query<Entity, With<Lines>>,
) {
    let Some(shown) = shown else { return };
    let look = Some((showing.mood, ground::now()));
    if !shown.is_changed() && drawn.look == look {
        return;
    }
    drawn.look = look;
    for old in &before {
        commands.entity(old).despawn();
    }
    if showing.mood == Mood::Show {
        return;
    }
    drawn.follow(&shown);
    for lines in drawn.by_weight(&mut assets) {
        commands.spawn((lines, Lines));
    }
}

/// The lines of a stair that stands still, one set for each weight.
pub(super) fn of_stair(shown: &Shown, assets: &mut Assets<GizmoAsset>) -> Vec<Gizmo> {
    let mut drawn = Drawn::default();
    drawn.follow(shown);
    drawn.by_weight(assets)
}

/// Draws the chalk line around what is picked.
fn outline(
    mut commands: Commands,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    before: Query<Entity, With<Picked>>,
) {
    let Some(shown) = shown else { return };
    if !shown.is_changed() && !showing.is_changed() {
        return;
    }
    for old in &before {
        commands.entity(old).despawn();
    }
    let Some(pick) = &showing.picked else { return };
    let names = pick.parts();
    let parts = shown
        .solids
        .parts
        .iter()
        .filter(|part| names.contains(&part.name.as_str()));
    let parts = parts.filter(|part| weight(part.kind).is_some());
    let segments = parts.flat_map(|part| drawn_edges(&part.pieces));
    let mut gizmo = lines(&mut assets, segments, look::colour(look::CHALK), 3.2);
    gizmo.depth_bias = NEARER * 4.0;
    commands.spawn((gizmo, Picked));
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (draw, outline).in_set(ViewerSystems::Sync).after(ready),
    );
}
