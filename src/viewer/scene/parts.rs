//! The parts as meshes, one entity each, made anew only where their shape changed.

use std::collections::BTreeMap;
use std::sync::Arc;

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::Visibility;
use bevy::ecs::system::SystemParam;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::MeshMaterial3d;
use bevy::prelude::{
    App, Assets, Bundle, Commands, Component, DetectChanges as _, Entity, IntoScheduleConfigs as _,
    Local, Name, Res, ResMut, Update,
};
use nalgebra::Point3;

use crate::publish::finish::grain;
use crate::solids::{Part, PartKind, Solids};

use super::super::look::Stuff;
use super::super::{Mood, Showing, ViewerSystems, convert};
use super::gather::{self, Follow, Gathered, Gathering, Gathers};
use super::grain::Finishes;
use super::shade::{self, Around, Lit, LitFace, MOST_PARTS};
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

    /// A part, with the shade of what is around it where that is given.
    fn part(&mut self, part: &Part, around: Option<&Around>) {
        let along = grain::along(part);
        let tone = grain::tone(&part.name);
        let start = grain::start(&part.name);
        for piece in &part.pieces {
            for (face, plane) in piece.planes().iter().enumerate() {
                let normal = plane.normal.into_inner();
                let ring: Vec<Point3<f64>> = piece.ring(face).collect();
                let shaded = around.and_then(|near| shade::lit(ring.clone(), normal, &along, near));
                let shaded = shaded.unwrap_or_else(|| plain(ring));
                let first = self.places.len() as u32;
                for corner in &shaded.corners {
                    self.places.push(convert::point(&corner.at).to_array());
                    self.normals.push(convert::direction(&normal).to_array());
                    let tile = grain::on_tile(&corner.at, &along, &normal, start);
                    self.tile.push(tile.map(convert::single));
                    let tone = tone * convert::single(corner.light);
                    self.tones.push([tone, tone, tone, 1.0]);
                }
                for ring in &shaded.rings {
                    self.fan(first, ring);
                }
            }
        }
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
    let mut build = Build::default();
    build.part(part, around);
    build.mesh()
}

/// One mesh of several parts.
pub(super) fn mesh_of_all<'a>(parts: impl IntoIterator<Item = &'a Part>) -> Mesh {
    let mut build = Build::default();
    for part in parts {
        build.part(part, None);
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
    /// Of what each part of that is; none where it is not drawn.
    stuff: Vec<Option<Stuff>>,
    /// What each part is drawn by; none where it is not drawn, or within a mesh of several.
    drawn: Vec<Option<Entity>>,
    /// What several parts are drawn by.
    gathered: BTreeMap<Gathered, Entity>,
    /// Which groups of runs are drawn in meshes of several.
    gathers: Gathering,
    mood: Option<Mood>,
}

impl Standing {
    /// Takes out the meshes of groups that are not drawn as one any more.
    fn part(&mut self, commands: &mut Commands) {
        let gathers = &self.gathers;
        self.gathered.retain(|of, entity| {
            let stays = gathers.gathered(of.group);
            if !stays {
                commands.entity(*entity).despawn();
            }
            stays
        });
    }

    /// Takes everything out of the scene.
    fn clear(&mut self, commands: &mut Commands) {
        let drawn = self.drawn.iter_mut().filter_map(Option::take);
        let gathered = std::mem::take(&mut self.gathered).into_values();
        for gone in drawn.chain(gathered) {
            commands.entity(gone).despawn();
        }
    }
}

/// Where each part was that is of the same as before, and whether it has kept its shape.
fn was_there(
    standing: &Standing,
    (from, to): (&Solids, &Solids),
    stuff: &[Option<Stuff>],
) -> Vec<Option<(usize, bool)>> {
    let there = Places::of(from);
    let parts = to.parts.iter().enumerate();
    parts
        .map(|(place, part)| {
            let was = there.of_part(part, place)?;
            let alike = standing.stuff.get(was) == stuff.get(place);
            alike.then(|| (was, from.parts[was].pieces == part.pieces))
        })
        .collect()
}

/// Walls are drawn by their faces, not as solids, so that they never hide the stair.
pub(super) fn drawn(part: &Part) -> bool {
    part.kind != PartKind::Wall
}

/// What parts are drawn with.
#[derive(SystemParam)]
pub(super) struct Makers<'w, 's> {
    commands: Commands<'w, 's>,
    finishes: Res<'w, Finishes>,
    meshes: ResMut<'w, Assets<Mesh>>,
}

impl Makers<'_, '_> {
    /// Puts a mesh into the scene.
    fn put(&mut self, mesh: Mesh, (stuff, mood): (Stuff, Mood), about: impl Bundle) -> Entity {
        let mesh = Mesh3d(self.meshes.add(mesh));
        let material = MeshMaterial3d(self.finishes.of(stuff, mood));
        let mut put = self
            .commands
            .spawn((mesh, material, Visibility::default(), about));
        if matches!(stuff, Stuff::Glass | Stuff::Thin(_)) {
            put.insert(NotShadowCaster);
        }
        put.id()
    }

    fn paint(&mut self, entity: Entity, stuff: Stuff, mood: Mood) {
        let material = MeshMaterial3d(self.finishes.of(stuff, mood));
        self.commands.entity(entity).insert(material);
    }
}

/// Makes the scene's parts what is shown: who moved gets another shape, and the rest is left alone.
pub(super) fn sync(
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    gathers: Res<Gathers>,
    mut makers: Makers,
    mut standing: Local<Standing>,
) {
    let Some(shown) = shown else { return };
    let mood = showing.mood;
    if !shown.is_changed() && standing.mood == Some(mood) {
        return;
    }
    let repaint = standing.mood != Some(mood);
    let from = std::mem::replace(&mut standing.from, shown.solids.clone());
    let parts = &shown.solids.parts;
    let stuff: Vec<Option<Stuff>> = parts
        .iter()
        .map(|part| drawn(part).then(|| shown.stuff(part)))
        .collect();
    let was = was_there(&standing, (&from, &shown.solids), &stuff);
    let change = gather::changed((&from, &shown.solids), &was);
    let wanted = gathers.0 && parts.len() > MOST_PARTS;
    match standing.gathers.follow(wanted, &change) {
        Follow::Anew => standing.clear(&mut makers.commands),
        Follow::Apart => standing.part(&mut makers.commands),
    }
    let mut before = std::mem::take(&mut standing.drawn);
    let mut several: BTreeMap<Gathered, Vec<&Part>> = BTreeMap::new();
    for (place, part) in parts.iter().enumerate() {
        let Some(stuff) = stuff[place] else {
            standing.drawn.push(None);
            continue;
        };
        let group = gather::group(&shown.solids, place);
        if standing.gathers.gathered(group) {
            let of = Gathered { group, stuff };
            several.entry(of).or_default().push(part);
            standing.drawn.push(None);
            continue;
        }
        let kept = was[place].and_then(|(was, same)| Some((same, before.get_mut(was)?.take()?)));
        let entity = if let Some((same, entity)) = kept {
            if !same {
                let mesh = Mesh3d(makers.meshes.add(mesh_of(part)));
                makers.commands.entity(entity).insert(mesh);
            }
            if repaint {
                makers.paint(entity, stuff, mood);
            }
            entity
        } else {
            let about = (PartRef(part.name.clone()), Name::new(part.name.clone()));
            makers.put(mesh_of(part), (stuff, mood), about)
        };
        standing.drawn.push(Some(entity));
    }
    for (of, parts) in several {
        match standing.gathered.get(&of) {
            Some(entity) if repaint => makers.paint(*entity, of.stuff, mood),
            Some(_) => {}
            None => {
                let entity = makers.put(mesh_of_all(parts), (of.stuff, mood), of);
                standing.gathered.insert(of, entity);
            }
        }
    }
    for gone in before.into_iter().flatten() {
        makers.commands.entity(gone).despawn();
    }
    standing.stuff = stuff;
    standing.mood = Some(mood);
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Gathers>();
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
