//! Pencil lines along the edges of parts, and a chalk line around what is picked.

use std::sync::Arc;

use bevy::camera::{Camera, Camera3d};
use bevy::gizmos::config::{GizmoLineConfig, GizmoLineJoint};
use bevy::gizmos::retained::Gizmo;
use bevy::prelude::{
    App, Assets, Color, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Local, PostUpdate, Query, Res, ResMut, Update, With,
};

use crate::solids::{PartKind, Solids};

use super::super::edges::{Segment, drawn_edges};
use super::super::ground::{self, Ground};
use super::super::{Mood, Showing, ViewerSystems, convert, look};
use super::coarse::Coarse;
use super::{Places, Shown, ready};

/// Lines lie this much nearer to the eye than the faces that they bound.
const NEARER: f32 = -0.0006;

/// Lines around what is picked.
#[derive(Component)]
struct Picked;

/// Lines of one colour and width (points), ready to spawn.
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

/// How strongly a line is drawn: colour and width, points.
type Weight = (look::Tone, f32);

/// How strongly a kind of part is drawn.
fn weight(kind: PartKind) -> Option<Weight> {
    match kind {
        PartKind::Wall => None,
        PartKind::Newel | PartKind::Rail | PartKind::BottomRail | PartKind::Tread => {
            Some((look::PENCIL, 1.2))
        }
        PartKind::Rosette | PartKind::Baluster => Some((look::PENCIL_SOFT, 1.0)),
        _ => Some((look::PENCIL_LIGHT, 0.9)),
    }
}

/// Parts whose lines are drawn as one: a moved newel redraws its own block and not the house.
const BLOCK: usize = 128;

/// The lines of parts, kept so that a moved newel does not redraw the house.
#[derive(Default)]
struct Drawn {
    /// What they are the lines of.
    from: Arc<Solids>,
    /// Those of each part.
    lines: Vec<Vec<Segment>>,
    /// What draws each block.
    blocks: Vec<Vec<Entity>>,
    look: Option<(Mood, Ground)>,
}

impl Drawn {
    /// Takes up what is shown, and gives back which blocks are to be drawn anew.
    fn follow(&mut self, shown: &Shown) -> Vec<bool> {
        let from = std::mem::replace(&mut self.from, shown.solids.clone());
        let there = Places::of(&from);
        let mut before = std::mem::take(&mut self.lines);
        let same_count = from.parts.len() == self.from.parts.len();
        let mut anew = vec![!same_count; self.from.parts.len().div_ceil(BLOCK)];
        for (place, part) in self.from.parts.iter().enumerate() {
            let was = there.of_part(part, place);
            let was = was.filter(|&was| from.parts[was].pieces == part.pieces);
            if was != Some(place) {
                anew[place / BLOCK] = true;
            }
            self.lines.push(match was {
                _ if weight(part.kind).is_none() => Vec::new(),
                Some(was) => std::mem::take(&mut before[was]),
                None => drawn_edges(&part.pieces),
            });
        }
        anew
    }

    /// The lines of a block by their colour and width.
    fn weighed(&self, block: usize) -> Vec<(Weight, Vec<Segment>)> {
        let parts = self.from.parts.iter().zip(&self.lines);
        let mut sets: Vec<(Weight, Vec<Segment>)> = Vec::new();
        for (part, lines) in parts.skip(block * BLOCK).take(BLOCK) {
            let Some(weight) = weight(part.kind) else {
                continue;
            };
            match sets.iter_mut().find(|(of, _)| *of == weight) {
                Some((_, set)) => set.extend(lines),
                None => sets.push((weight, lines.clone())),
            }
        }
        sets
    }
}

/// Draws the pencil lines anew where they changed.
fn draw(
    mut commands: Commands,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    mut drawn: Local<Drawn>,
) {
    let Some(shown) = shown else { return };
    let look = Some((showing.mood, ground::now()));
    let repaint = drawn.look != look;
    if !shown.is_changed() && !repaint {
        return;
    }
    drawn.look = look;
    if showing.mood == Mood::Show {
        for old in drawn.blocks.drain(..).flatten() {
            commands.entity(old).despawn();
        }
        return;
    }
    let anew = drawn.follow(&shown);
    let mut before = std::mem::take(&mut drawn.blocks);
    before.resize(anew.len().max(before.len()), Vec::new());
    for old in before.drain(anew.len()..).flatten() {
        commands.entity(old).despawn();
    }
    for (block, mut entities) in before.into_iter().enumerate() {
        if anew[block] || repaint || entities.is_empty() {
            for old in entities.drain(..) {
                commands.entity(old).despawn();
            }
            for ((colour, width), segments) in drawn.weighed(block) {
                let lines = lines(&mut assets, segments, look::colour(colour), width);
                entities.push(commands.spawn(lines).id());
            }
        }
        drawn.blocks.push(entities);
    }
}

/// What the lines were last weighed for: how many pixels a point has. Lines that are drawn coarser are
/// as much thicker for it.
fn weigh(
    cameras: Query<(&Camera, Option<&Coarse>), With<Camera3d>>,
    mut all: Query<&mut Gizmo>,
    mut before: Local<Option<f32>>,
) {
    let scale = cameras.iter().find_map(|(camera, coarse)| {
        let thicker = coarse.map_or(1.0, Coarse::thicker);
        Some(camera.target_scaling_factor()? * thicker)
    });
    let scale = scale.unwrap_or(1.0);
    let was = before.replace(scale).unwrap_or(1.0);
    for mut line in &mut all {
        // Those that were drawn since were weighed for one pixel to a point.
        let by = if line.is_added() { scale } else { scale / was };
        if (by - 1.0).abs() > f32::EPSILON {
            line.line_config.width *= by;
        }
    }
}

/// The lines of a stair that stands still.
pub(super) fn of_stair(shown: &Shown, assets: &mut Assets<GizmoAsset>) -> Vec<Gizmo> {
    let mut drawn = Drawn::default();
    let blocks = drawn.follow(shown).len();
    let sets = (0..blocks).flat_map(|block| drawn.weighed(block));
    sets.map(|((colour, width), segments)| lines(assets, segments, look::colour(colour), width))
        .collect()
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
    // A finished stair is looked at, not worked on.
    let picked = showing.picked.as_ref();
    let Some(pick) = picked.filter(|_| showing.mood == Mood::Work) else {
        return;
    };
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
    )
    .add_systems(PostUpdate, weigh);
}
