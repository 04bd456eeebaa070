//! Walls by their faces, seen from the room only, coloured by how far they stand off plumb.
//!
//! A face is drawn on its room side and not from behind, so a wall never hides the stair; its
//! outline and its cut head stay as pencil lines.

use bevy::asset::RenderAssetUsages;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    App, Assets, Commands, Component, Entity, GizmoAsset, IntoScheduleConfigs as _, Local, Name,
    Query, Res, ResMut, Resource, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::measure::{Length, Tape};
use crate::site::WallFace;

use super::super::edges::Segment;
use super::super::{Mood, Showing, Solved, ViewerSystems, convert, look};
use super::{PartRef, pencil, ready};

/// Cells of a face's grid, along and up.
const CELLS: (usize, usize) = (44, 52);
/// How thick the cut head of a wall is drawn, mm.
const HEAD_MM: f64 = 110.0;

/// The scale that the colours of the walls follow.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub(in crate::viewer) struct Departures {
    /// The departure of the full colours; none where every wall is true to half a mark.
    pub(in crate::viewer) most: Option<Length>,
}

/// Departure of a face at a place of its grid, mm, as the core has it.
fn off(wall: &WallFace, (along, up): (f64, f64)) -> f64 {
    wall.field.offset(along, up)
}

/// Places of the grid of a face: along and up, mm.
fn grid(wall: &WallFace) -> impl Iterator<Item = (f64, f64)> + '_ {
    let (length, rise) = (wall.length(), wall.head - wall.foot);
    let share = |i: usize, count: usize| i as f64 / count as f64;
    (0..=CELLS.1).flat_map(move |j| {
        (0..=CELLS.0).map(move |i| {
            (length * share(i, CELLS.0), wall.foot + rise * share(j, CELLS.1))
        })
    })
}

/// The scale for some walls: the greatest departure, up to the next eighth of an inch (or 5 mm).
pub(in crate::viewer) fn departures(walls: &[WallFace], tape: Tape) -> Departures {
    let most = walls
        .iter()
        .flat_map(|wall| grid(wall).map(|place| off(wall, place).abs()))
        .fold(0.0, f64::max);
    let step = match tape {
        Tape::Millimetres => Length::mm(5.0),
        Tape::Sixteenths | Tape::ThirtySeconds => Length::inches(0.125),
    };
    let worth_saying = Length::mm(most) > tape.mark() / 2.0;
    Departures {
        most: worth_saying.then(|| step * (Length::mm(most) / step).ceil()),
    }
}

/// Direction into the room, level.
pub(super) fn into_room(wall: &WallFace) -> Vector3<f64> {
    let run = (wall.to - wall.from) / wall.length();
    Vector3::new(-run.y, run.x, 0.0)
}

/// A point of a face with its departure drawn so many times as large.
pub(super) fn drawn_at(wall: &WallFace, (along, up): (f64, f64), stretch: f64) -> Point3<f64> {
    let found = wall.point(along, up);
    found + into_room(wall) * (off(wall, (along, up)) * (stretch - 1.0))
}

fn mesh_of(wall: &WallFace, stretch: f64, most: Option<Length>) -> Mesh {
    let places: Vec<_> = grid(wall).collect();
    let share = |place| most.map_or(0.0, |most| (off(wall, place) / most.as_mm()) as f32);
    let points: Vec<_> = places
        .iter()
        .map(|&place| convert::point(&drawn_at(wall, place, stretch)).to_array())
        .collect();
    let colours: Vec<_> = places.iter().map(|&place| look::departure_vertex(share(place))).collect();
    let normals = vec![convert::direction(&into_room(wall)).to_array(); points.len()];
    let wide = CELLS.0 as u32 + 1;
    let cells = (0..CELLS.1 as u32).flat_map(|j| (0..CELLS.0 as u32).map(move |i| j * wide + i));
    let triangles = cells
        .flat_map(|at| [at, at + wide, at + 1, at + 1, at + wide, at + wide + 1])
        .collect();
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
        .with_inserted_indices(Indices::U32(triangles))
}

/// The cut head of a wall: a strip behind its upper edge.
fn head_of(wall: &WallFace, stretch: f64) -> Mesh {
    let back = -into_room(wall) * HEAD_MM;
    let along = |i: usize| wall.length() * i as f64 / CELLS.0 as f64;
    let edge = (0..=CELLS.0).flat_map(|i| {
        let front = drawn_at(wall, (along(i), wall.head), stretch);
        let meant = front - into_room(wall) * (into_room(wall).dot(&(front - plan(wall, along(i)))));
        [front, meant + back]
    });
    let points: Vec<_> = edge.map(|point| convert::point(&point).to_array()).collect();
    let normals = vec![[0.0_f32, 1.0, 0.0]; points.len()];
    let triangles = (0..CELLS.0 as u32).flat_map(|i| {
        let at = 2 * i;
        [at, at + 2, at + 1, at + 1, at + 2, at + 3]
    });
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(triangles.collect()))
}

/// A point of the meant plane at a wall's head.
fn plan(wall: &WallFace, along: f64) -> Point3<f64> {
    let at = wall.from + (wall.to - wall.from) * (along / wall.length());
    Point3::new(at.x, at.y, wall.head)
}

/// The outline of a face.
fn outline(wall: &WallFace, stretch: f64) -> Vec<Segment> {
    let (length, foot, head) = (wall.length(), wall.foot, wall.head);
    let side = |from: (f64, f64), to: (f64, f64)| {
        let at = move |i: usize| {
            let share = i as f64 / CELLS.0 as f64;
            (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
        };
        (0..CELLS.0).map(move |i| {
            (drawn_at(wall, at(i), stretch), drawn_at(wall, at(i + 1), stretch))
        })
    };
    let corners = [(0.0, foot), (length, foot), (length, head), (0.0, head)];
    (0..4).flat_map(|i| side(corners[i], corners[(i + 1) % 4]).collect::<Vec<_>>()).collect()
}

/// Everything that shows a wall.
#[derive(Component)]
struct OfWall;

/// What a wall's entities are made with.
#[derive(bevy::ecs::system::SystemParam)]
struct Makers<'w> {
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    gizmos: ResMut<'w, Assets<GizmoAsset>>,
}

fn plaster(mood: Mood) -> StandardMaterial {
    let finish = look::finish(crate::solids::PartKind::Wall, mood);
    StandardMaterial {
        base_color: match mood {
            Mood::Work => bevy::color::Color::WHITE,
            Mood::Show => look::colour(finish.colour),
        },
        perceptual_roughness: finish.rough,
        reflectance: 0.1,
        ..StandardMaterial::default()
    }
}

fn spawn(commands: &mut Commands, makers: &mut Makers, wall: &WallFace, look: (Mood, f64, Option<Length>)) {
    let (mood, stretch, most) = look;
    let scale = if mood == Mood::Work { most } else { None };
    let face = makers.meshes.add(mesh_of(wall, stretch, scale));
    let head = makers.meshes.add(head_of(wall, stretch));
    let paint = makers.materials.add(plaster(mood));
    let cut = makers.materials.add(StandardMaterial {
        base_color: look::colour(look::PENCIL_LIGHT),
        unlit: true,
        double_sided: true,
        cull_mode: None,
        ..StandardMaterial::default()
    });
    let about = (PartRef(wall.name.clone()), Name::new(wall.name.clone()));
    commands.spawn((Mesh3d(face), MeshMaterial3d(paint), NotShadowCaster, OfWall, about));
    commands.spawn((Mesh3d(head), MeshMaterial3d(cut), NotShadowCaster, OfWall));
    if mood == Mood::Work {
        let lines = outline(wall, stretch);
        let ink = look::colour(look::PENCIL_LIGHT);
        commands.spawn((pencil::lines(&mut makers.gizmos, lines, ink, 1.2), OfWall));
    }
}

/// Draws the walls anew where they or their look changed.
fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    showing: Res<Showing>,
    mut makers: Makers,
    mut from: Local<Option<(u64, Mood, f64)>>,
    before: Query<Entity, With<OfWall>>,
) {
    let Some(solved) = solved else { return };
    let now = (solved.generation, showing.mood, showing.stretch);
    if *from == Some(now) {
        return;
    }
    *from = Some(now);
    for old in &before {
        commands.entity(old).despawn();
    }
    let walls = &solved.found.site.walls;
    let scale = departures(walls, solved.job.tape);
    commands.insert_resource(scale);
    for wall in walls {
        spawn(&mut commands, &mut makers, wall, (showing.mood, showing.stretch, scale.most));
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}
