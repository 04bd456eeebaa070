//! What is held where the reading that is typed is taken: a tape, a level, a cross of chalk; and the
//! parts that it is about, lit up in chalk blue.
//!
//! It is seen through what stands before it: one looks for it.

use bevy::asset::RenderAssetUsages;
use bevy::color::Alpha as _;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::picking::Pickable;
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::site::held::Held;
use crate::solids::PartKind;

use super::super::edges::{Segment, drawn_edges};
use super::super::read_here::ReadHere;
use super::super::{Showing, ViewerSystems, convert, look};
use super::{Shown, parts, pencil, ready};

/// How much of a part the wash covers, and how far it lies over the face.
const COVER: f32 = 0.24;
const OVER: f32 = 60.0;
/// Lines of what is held lie before everything.
const BEFORE: f32 = -0.9;
/// Half the length of the hooks at a tape's ends and of a cross's arms, mm.
const HOOK_MM: f64 = 22.0;
const ARM_MM: f64 = 55.0;
/// A level: so deep and so thick, mm (common practice, no source).
const LEVEL_MM: (f64, f64) = (58.0, 24.0);

#[derive(Component)]
struct OfReading;

/// Two unit vectors square to a way: the first level where that can be.
fn square_to(way: &Vector3<f64>) -> [Vector3<f64>; 2] {
    let level = way.cross(&Vector3::z());
    let one = level.try_normalize(1e-6).unwrap_or_else(Vector3::x);
    [one, one.cross(way).normalize()]
}

/// A tape: its blade and the hooks at its ends.
fn tape(from: Point3<f64>, to: Point3<f64>) -> Vec<Segment> {
    let Some(way) = (to - from).try_normalize(1e-6) else {
        return cross(from, Vector3::z());
    };
    let [one, other] = square_to(&way);
    let hook = |at: Point3<f64>, arm: Vector3<f64>| (at - arm * HOOK_MM, at + arm * HOOK_MM);
    vec![
        (from, to),
        hook(from, one),
        hook(to, one),
        hook(from, other),
        hook(to, other),
    ]
}

/// A cross on a face.
fn cross(at: Point3<f64>, out: Vector3<f64>) -> Vec<Segment> {
    let [one, other] = square_to(&out);
    let arms = [one + other, one - other].map(|arm| arm.normalize() * ARM_MM);
    arms.map(|arm| (at - arm, at + arm)).to_vec()
}

/// The eight corners of a level that lies on a line: it stands on it where that runs level, and
/// beside it where it is held upright.
fn level(from: Point3<f64>, to: Point3<f64>) -> [Point3<f64>; 8] {
    let way = (to - from).try_normalize(1e-6).unwrap_or_else(Vector3::x);
    let [across, up] = square_to(&way);
    let up = if up.z < 0.0 { -up } else { up };
    let (deep, thick) = (up * LEVEL_MM.0, across * (LEVEL_MM.1 / 2.0));
    let end = |at: Point3<f64>| [at - thick, at + thick, at + thick + deep, at - thick + deep];
    let ([a, b, c, d], [e, f, g, h]) = (end(from), end(to));
    [a, b, c, d, e, f, g, h]
}

/// The faces of a level, each by its corners.
const FACES: [[usize; 4]; 6] = [
    [0, 1, 2, 3],
    [7, 6, 5, 4],
    [0, 4, 5, 1],
    [1, 5, 6, 2],
    [2, 6, 7, 3],
    [3, 7, 4, 0],
];

fn level_edges(corners: &[Point3<f64>; 8]) -> Vec<Segment> {
    let ring = |base: usize| (0..4).map(move |i| (base + i, base + (i + 1) % 4));
    let along = (0..4).map(|i| (i, i + 4));
    let all = ring(0).chain(ring(4)).chain(along);
    all.map(|(a, b)| (corners[a], corners[b])).collect()
}

fn level_mesh(corners: &[Point3<f64>; 8]) -> Mesh {
    let places: Vec<[f32; 3]> = FACES
        .iter()
        .flatten()
        .map(|at| convert::point(&corners[*at]).to_array())
        .collect();
    let triangles = (0..6_u32).flat_map(|face| [0, 1, 2, 0, 2, 3].map(|i| face * 4 + i));
    let normals = vec![[0.0_f32, 1.0, 0.0]; places.len()];
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(triangles.collect()))
}

/// What it is drawn with.
#[derive(bevy::ecs::system::SystemParam)]
struct Drawing<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
}

impl Drawing<'_, '_> {
    fn flat(&mut self, colour: look::Tone, cover: f32) -> MeshMaterial3d<StandardMaterial> {
        MeshMaterial3d(self.materials.add(StandardMaterial {
            base_color: look::colour(colour).with_alpha(cover),
            alpha_mode: AlphaMode::Blend,
            unlit: true,
            double_sided: true,
            cull_mode: None,
            depth_bias: OVER,
            ..StandardMaterial::default()
        }))
    }

    fn lines(&mut self, segments: Vec<Segment>, colour: look::Tone, (width, bias): (f32, f32)) {
        let mut gizmo = pencil::lines(&mut self.lines, segments, look::colour(colour), width);
        gizmo.depth_bias = bias;
        self.commands.spawn((gizmo, OfReading));
    }

    fn held(&mut self, held: &Held) {
        match *held {
            Held::Tape(from, to) => {
                let segments = tape(from, to);
                self.lines(segments.clone(), look::PENCIL, (7.0, BEFORE));
                self.lines(segments, look::TAPE, (3.6, BEFORE * 1.05));
            }
            Held::Cross(at, out) => {
                self.lines(cross(at, out), look::CARD, (7.0, BEFORE));
                self.lines(cross(at, out), look::CHALK, (4.0, BEFORE * 1.05));
            }
            Held::Level(from, to) => {
                let corners = level(from, to);
                let mesh = Mesh3d(self.meshes.add(level_mesh(&corners)));
                let brass = self.flat(look::BRASS, 0.9);
                let about = (NotShadowCaster, Pickable::IGNORE, OfReading);
                self.commands.spawn((mesh, brass, about));
                self.lines(level_edges(&corners), look::PENCIL, (2.4, BEFORE));
            }
        }
    }
}

fn draw(
    shown: Option<Res<Shown>>,
    read: Option<Res<ReadHere>>,
    showing: Res<Showing>,
    mut drawing: Drawing,
    before: Query<Entity, With<OfReading>>,
) {
    // A picture without a window has no reading that is typed.
    let (Some(shown), Some(read)) = (shown, read) else {
        return;
    };
    if !shown.is_changed() && !read.is_changed() && !showing.is_changed() {
        return;
    }
    for old in &before {
        drawing.commands.entity(old).despawn();
    }
    let Some(here) = &read.0 else { return };
    let names = &here.at.parts;
    let lit = shown.solids.parts.iter();
    for part in lit.filter(|part| names.contains(&part.name) && part.kind != PartKind::Wall) {
        let mesh = Mesh3d(drawing.meshes.add(parts::mesh_of(part)));
        let wash = drawing.flat(look::CHALK, COVER);
        let about = (NotShadowCaster, Pickable::IGNORE, OfReading);
        drawing.commands.spawn((mesh, wash, about));
        drawing.lines(drawn_edges(&part.pieces), look::CHALK, (2.6, -0.0024));
    }
    let at = |point: &Point3<f64>| shown.place(point, names);
    for held in &here.at.held {
        drawing.held(&match held {
            Held::Tape(from, to) => Held::Tape(at(from), at(to)),
            Held::Level(from, to) => Held::Level(at(from), at(to)),
            Held::Cross(place, out) => Held::Cross(at(place), *out),
        });
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, draw.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_lies_on_its_line_and_has_its_size() {
        let corners = level(Point3::origin(), Point3::new(1200.0, 0.0, 0.0));
        let low = corners.iter().map(|at| at.z).fold(f64::INFINITY, f64::min);
        let high = corners.iter().map(|at| at.z).fold(0.0, f64::max);
        approx::assert_relative_eq!(low, 0.0, epsilon = 1e-9);
        approx::assert_relative_eq!(high, LEVEL_MM.0, epsilon = 1e-9);
        // Held upright it stands beside its line.
        let upright = level(Point3::origin(), Point3::new(0.0, 0.0, 1200.0));
        assert!(
            upright
                .iter()
                .all(|at| (-1e-9..=1200.0 + 1e-9).contains(&at.z))
        );
    }

    #[test]
    fn a_cross_lies_in_its_face() {
        let out = Vector3::new(0.3, -0.8, 0.1).normalize();
        for (from, to) in cross(Point3::origin(), out) {
            approx::assert_relative_eq!((to - from).dot(&out), 0.0, epsilon = 1e-9);
            approx::assert_relative_eq!((to - from).norm(), 2.0 * ARM_MM, epsilon = 1e-9);
        }
    }
}
