//! The parts as meshes, one entity each, made anew only where their shape changed.

use std::sync::Arc;

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::Visibility;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::MeshMaterial3d;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, IntoScheduleConfigs as _, Local,
    Name, Res, ResMut, Update,
};
use nalgebra::Point3;

use crate::publish::finish::grain;
use crate::solids::{Part, PartKind, Solids};

use super::super::look::Stuff;
use super::super::{Mood, Showing, ViewerSystems, convert};
use super::grain::Finishes;
use super::shade::{self, Around, Lit, LitFace};
use super::{Places, Shown, ready};

/// The part that an entity shows.
#[derive(Component, Clone, Debug)]
pub(in crate::viewer) struct PartRef(pub(in crate::viewer) String);

/// What a mesh is put together from.
#[derive(Default)]
struct Build {
    places: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    tile: Vec<[f32; 2]>,
    tones: Vec<[f32; 4]>,
    triangles: Vec<u32>,
}

impl Build {
    /// A ring of corners that were put in from `first` on, as a fan.
    fn fan(&mut self, first: u32, ring: &[u32]) {
        let mut pairs = ring.windows(2).skip(1);
        let fans = pairs.by_ref().flat_map(|pair| [ring[0], pair[0], pair[1]]);
        self.triangles.extend(fans.map(|index| first + index));
    }

    fn mesh(self) -> Mesh {
        Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.places)
            .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.normals)
            .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, self.tile)
            .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.tones)
            .with_inserted_indices(Indices::U32(self.triangles))
    }
}

/// The mesh of a part: flat faces, grain along its length, its own tone.
pub(super) fn mesh_of(part: &Part) -> Mesh {
    mesh_in(part, None)
}

/// The same with the shade of what is around it, where that is given.
pub(super) fn mesh_in(part: &Part, around: Option<&Around>) -> Mesh {
    let along = grain::along(part);
    let tone = grain::tone(&part.name);
    let start = grain::start(&part.name);
    let mut build = Build::default();
    for piece in &part.pieces {
        for (face, plane) in piece.planes().iter().enumerate() {
            let normal = plane.normal.into_inner();
            let ring: Vec<Point3<f64>> = piece.ring(face).collect();
            let shaded = around.and_then(|near| shade::lit(ring.clone(), normal, &along, near));
            let shaded = shaded.unwrap_or_else(|| plain(ring));
            let first = build.places.len() as u32;
            for corner in &shaded.corners {
                build.places.push(convert::point(&corner.at).to_array());
                build.normals.push(convert::direction(&normal).to_array());
                let tile = grain::on_tile(&corner.at, &along, &normal, start);
                build.tile.push(tile.map(convert::single));
                let tone = tone * convert::single(corner.light);
                build.tones.push([tone, tone, tone, 1.0]);
            }
            for ring in &shaded.rings {
                build.fan(first, ring);
            }
        }
    }
    build.mesh()
}

/// A face as it is, in full light.
fn plain(ring: Vec<Point3<f64>>) -> LitFace {
    LitFace {
        rings: vec![(0..ring.len() as u32).collect()],
        corners: ring.into_iter().map(|at| Lit { at, light: 1.0 }).collect(),
    }
}

/// What stands in the scene now.
#[derive(Default)]
pub(super) struct Standing {
    /// What it was made of.
    from: Arc<Solids>,
    /// What each part of that is drawn by; none where it is not drawn.
    drawn: Vec<Option<(Stuff, Entity)>>,
    mood: Option<Mood>,
}

/// Walls are drawn by their faces, not as solids, so that they never hide the stair.
pub(super) fn drawn(part: &Part) -> bool {
    part.kind != PartKind::Wall
}

/// Makes the scene's parts what is shown: who moved gets another shape, and the rest is left alone.
pub(super) fn sync(
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
    let from = standing.from.clone();
    let there = Places::of(&from);
    let mut before = std::mem::take(&mut standing.drawn);
    for (place, part) in shown.solids.parts.iter().enumerate() {
        if !drawn(part) {
            standing.drawn.push(None);
            continue;
        }
        let stuff = shown.stuff(part);
        let was = there.of_part(&from, part, place);
        let kept = was.and_then(|was| Some((was, before[was].take_if(|old| old.0 == stuff)?)));
        let material = MeshMaterial3d(finishes.of(stuff, mood));
        let entity = if let Some((was, (_, entity))) = kept {
            if from.parts[was].pieces != part.pieces {
                let mesh = Mesh3d(meshes.add(mesh_of(part)));
                commands.entity(entity).insert(mesh);
            }
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
        standing.drawn.push(Some((stuff, entity)));
    }
    for (_, gone) in before.into_iter().flatten() {
        commands.entity(gone).despawn();
    }
    standing.from = shown.solids.clone();
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
}
