//! The parts as meshes, one entity each, made anew only where their shape changed.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::Visibility;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::MeshMaterial3d;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, IntoScheduleConfigs as _, Local,
    Name, Res, ResMut, Update,
};
use nalgebra::{Point3, Vector3};

use crate::solids::{Part, PartKind};

use super::super::look::Stuff;
use super::super::{Mood, Showing, ViewerSystems, convert, look};
use super::grain::{Finishes, TILE_ACROSS_MM, TILE_ALONG_MM};
use super::{Shown, ready};

/// The part that an entity shows.
#[derive(Component, Clone, Debug)]
pub(in crate::viewer) struct PartRef(pub(in crate::viewer) String);

/// The direction in which the timber of a part grew: along its longest edge.
fn grain(part: &Part) -> Vector3<f64> {
    let edges = part.pieces.iter().flat_map(|piece| {
        let corners = piece.corners();
        piece
            .edges()
            .into_iter()
            .map(move |(a, b)| corners[b] - corners[a])
    });
    let longest = edges.max_by(|a, b| a.norm().total_cmp(&b.norm()));
    longest
        .and_then(|edge| edge.try_normalize(f64::MIN_POSITIVE))
        .unwrap_or_else(Vector3::x)
}

/// Where a point of a face lies on the tile of grain.
fn on_tile(at: &Point3<f64>, along: &Vector3<f64>, normal: &Vector3<f64>, start: f64) -> [f32; 2] {
    let across = along.cross(normal);
    // End grain shows the rings; a short way along the tile stands for them.
    let (u, v) = match across.try_normalize(0.3) {
        Some(across) => (at.coords.dot(along), at.coords.dot(&across)),
        None => {
            let (u, v) = (normal.cross(&Vector3::z()), normal.cross(&Vector3::x()));
            (at.coords.dot(&u) * 0.3, at.coords.dot(&v) * 2.0)
        }
    };
    [
        convert::single(u / TILE_ALONG_MM + start),
        convert::single(v / TILE_ACROSS_MM + start * 7.0),
    ]
}

/// The mesh of a part: flat faces, grain along its length, its own tone.
pub(super) fn mesh_of(part: &Part) -> Mesh {
    let along = grain(part);
    let tone = look::tone(&part.name);
    let start = f64::from(tone) * 37.0;
    let (mut places, mut normals, mut tile, mut tones, mut triangles) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for piece in &part.pieces {
        for (face, plane) in piece.planes().iter().enumerate() {
            let first = places.len() as u32;
            let normal = plane.normal.into_inner();
            for corner in piece.ring(face) {
                places.push(convert::point(&corner).to_array());
                normals.push(convert::direction(&normal).to_array());
                tile.push(on_tile(&corner, &along, &normal, start));
                tones.push([tone, tone, tone, 1.0_f32]);
            }
            let count = places.len() as u32 - first;
            triangles.extend((1..count - 1).flat_map(|i| [first, first + i, first + i + 1]));
        }
    }
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, tile)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, tones)
        .with_inserted_indices(Indices::U32(triangles))
}

/// What stands in the scene now.
#[derive(Default)]
struct Standing {
    parts: Vec<(Part, Stuff, Entity)>,
    mood: Option<Mood>,
}

/// Walls are drawn by their faces, not as solids, so that they never hide the stair.
pub(super) fn drawn(part: &&Part) -> bool {
    part.kind != PartKind::Wall
}

fn same(a: &Part, b: &Part) -> bool {
    a.name == b.name && a.kind == b.kind && a.pieces == b.pieces
}

/// Makes the scene's parts what is shown.
fn sync(
    mut commands: Commands,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    finishes: Res<Finishes>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut standing: Local<Standing>,
) {
    let Some(shown) = shown else { return };
    let mood = showing.mood;
    if !shown.is_changed() && standing.mood == Some(mood) {
        return;
    }
    let repaint = standing.mood != Some(mood);
    let mut before = std::mem::take(&mut standing.parts);
    for part in shown.solids.parts.iter().filter(drawn) {
        let stuff = shown.stuff(part);
        let alike = |(old, was, _): &(Part, Stuff, Entity)| *was == stuff && same(old, part);
        let kept = before.iter().position(alike);
        let material = MeshMaterial3d(finishes.of(stuff, mood));
        let entity = if let Some(index) = kept {
            let (_, _, entity) = before.swap_remove(index);
            if repaint {
                commands.entity(entity).insert(material);
            }
            entity
        } else {
            let mesh = Mesh3d(meshes.add(mesh_of(part)));
            let name = Name::new(part.name.clone());
            let about = (PartRef(part.name.clone()), name, Visibility::default());
            let mut part = commands.spawn((mesh, material, about));
            if matches!(stuff, Stuff::Glass | Stuff::Thin(_)) {
                part.insert(NotShadowCaster);
            }
            part.id()
        };
        standing.parts.push((part.clone(), stuff, entity));
    }
    for (_, _, gone) in before {
        commands.entity(gone).despawn();
    }
    standing.mood = Some(mood);
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::Convex;

    #[test]
    fn a_mesh_has_the_volume_of_its_part() {
        let piece = Convex::cuboid(Point3::origin(), Point3::new(40.0, 40.0, 900.0)).unwrap();
        let part = Part {
            name: "B01".to_owned(),
            kind: PartKind::Baluster,
            pieces: vec![piece],
        };
        let mesh = mesh_of(&part);
        let places = mesh
            .attribute(Mesh::ATTRIBUTE_POSITION)
            .unwrap()
            .as_float3()
            .unwrap();
        let indices: Vec<usize> = mesh.indices().unwrap().iter().collect();
        // Signed volume of the outward surface, cubic metres (divergence theorem).
        let volume: f32 = indices
            .chunks(3)
            .map(|t| {
                let [a, b, c] = [t[0], t[1], t[2]].map(|i| bevy::math::Vec3::from(places[i]));
                a.dot(b.cross(c)) / 6.0
            })
            .sum();
        approx::assert_relative_eq!(volume, 0.04 * 0.04 * 0.9, max_relative = 1e-4);
    }

    #[test]
    fn grain_runs_along_the_piece() {
        let piece = Convex::cuboid(Point3::origin(), Point3::new(270.0, 900.0, 25.0)).unwrap();
        let part = Part {
            name: "T1".to_owned(),
            kind: PartKind::Tread,
            pieces: vec![piece],
        };
        approx::assert_relative_eq!(grain(&part).y.abs(), 1.0, epsilon = 1e-9);
    }
}
