//! The faces of a section: a wash of what is cut, pencil hatching on it, a firm outline around it.

use bevy::asset::RenderAssetUsages;
use bevy::color::{Color, Mix as _};
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::picking::Pickable;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Local, Query, Res, ResMut, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::publish::sight::cut::Plumb;
use crate::solids::{Convex, Part, PartKind, Plane, slices};

use super::super::dress::Dressed;
use super::super::edges::{Segment, drawn_edges};
use super::super::eye::View;
use super::super::ground::{self, Ground};
use super::super::look::{self, Stuff};
use super::super::section::{BEHIND_MM, Section};
use super::super::{Mood, Showing, ViewerSystems, convert};
use super::{Shown, pencil, ready};

/// Lines of the hatching stand this far apart, mm.
const HATCH_MM: f64 = 18.0;
/// The outline is found on a board this thick behind the cut, mm.
const BOARD_MM: f64 = 2.0;
/// An edge this near to the cut belongs to it, mm.
const ON_CUT_MM: f64 = 0.01;
/// Lines of the hatching that are shorter than this are not drawn, mm.
const SPECK_MM: f64 = 0.5;
/// Outline and hatching lie this far before the wash, mm.
const BEFORE_MM: f64 = 0.1;
/// How much darker the wash is than the part: end grain drinks more of it.
const DARKER: f32 = 0.22;

/// Everything that shows the cut.
#[derive(Component)]
struct OfCut;

/// A plane a little behind another, on the side that stays.
fn behind(plane: &Plane, by: f64) -> Plane {
    Plane {
        offset: plane.offset - by,
        ..*plane
    }
}

/// The cut of one part.
struct CutPart {
    stuff: Stuff,
    kind: PartKind,
    rings: Vec<Vec<Point3<f64>>>,
}

/// What a plane cuts.
fn cut_parts(shown: &Shown, plane: &Plane) -> Vec<CutPart> {
    let cut = |part: &Part| {
        let rings = slices(part, plane);
        (!rings.is_empty()).then(|| CutPart {
            stuff: shown.stuff(part),
            kind: part.kind,
            rings,
        })
    };
    shown.solids.parts.iter().filter_map(cut).collect()
}

/// The outline of a cut: the rings' edges but for the seams between pieces of one part.
fn outline(rings: &[Vec<Point3<f64>>], plane: &Plane) -> Vec<Segment> {
    let back = -plane.normal.into_inner() * BOARD_MM;
    let boards: Vec<Convex> = rings
        .iter()
        .filter_map(|ring| Convex::prism(ring, back))
        .collect();
    let on = |at: &Point3<f64>| plane.distance(at).abs() < ON_CUT_MM;
    drawn_edges(&boards)
        .into_iter()
        .filter(|(from, to)| on(from) && on(to))
        .collect()
}

/// Lines across the rings at 45 degrees, in step from part to part.
fn hatching(rings: &[Vec<Point3<f64>>], plane: &Plane) -> Vec<Segment> {
    let normal = plane.normal.into_inner();
    let level = Vector3::z().cross(&normal);
    // Square to the lines.
    let step = (Vector3::z() - level).normalize();
    rings.iter().flat_map(|ring| across(ring, &step)).collect()
}

/// The lines across one convex ring, each at a whole number of steps.
fn across(ring: &[Point3<f64>], step: &Vector3<f64>) -> Vec<Segment> {
    let heights: Vec<f64> = ring
        .iter()
        .map(|at| step.dot(&at.coords) / HATCH_MM)
        .collect();
    let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        return Vec::new();
    }
    let line = |number: i64| {
        let height = number as f64;
        let count = ring.len();
        let crossings: Vec<Point3<f64>> = (0..count)
            .filter_map(|i| {
                let (a, b) = (heights[i], heights[(i + 1) % count]);
                let crosses = (a <= height) != (b <= height);
                let share = (height - a) / (b - a);
                crosses.then(|| ring[i] + (ring[(i + 1) % count] - ring[i]) * share)
            })
            .collect();
        match crossings[..] {
            [from, to] if (to - from).norm() > SPECK_MM => Some((from, to)),
            _ => None,
        }
    };
    ((low.ceil() as i64)..=(high.floor() as i64))
        .filter_map(line)
        .collect()
}

/// The rings as one mesh.
fn mesh_of(rings: &[Vec<Point3<f64>>], normal: &Vector3<f64>) -> Mesh {
    let (mut places, mut triangles) = (Vec::new(), Vec::new());
    for ring in rings {
        let first = places.len() as u32;
        places.extend(ring.iter().map(|at| convert::point(at).to_array()));
        let count = ring.len() as u32;
        triangles.extend((1..count - 1).flat_map(|i| [first, first + i, first + i + 1]));
    }
    let normals = vec![convert::direction(normal).to_array(); places.len()];
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::RENDER_WORLD,
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
    .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
    .with_inserted_indices(Indices::U32(triangles))
}

/// What a cut part is washed with.
fn wash(part: &CutPart, mood: Mood, dressed: &Dressed) -> Color {
    if part.kind == PartKind::Wall {
        return look::colour(look::PENCIL_LIGHT);
    }
    let own = look::colour(look::finish(part.stuff, mood, dressed).colour);
    own.mix(&look::colour(look::PENCIL), DARKER)
}

/// What is made for a cut.
#[derive(bevy::ecs::system::SystemParam)]
struct Makers<'w> {
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    gizmos: ResMut<'w, Assets<GizmoAsset>>,
}

fn spawn(
    commands: &mut Commands,
    makers: &mut Makers,
    parts: &[CutPart],
    plane: &Plane,
    (mood, dressed): (Mood, &Dressed),
) {
    let normal = plane.normal.into_inner();
    let (mut outlines, mut hatches) = (Vec::new(), Vec::new());
    for part in parts {
        let material = StandardMaterial {
            base_color: wash(part, mood, dressed),
            unlit: true,
            double_sided: true,
            cull_mode: None,
            ..StandardMaterial::default()
        };
        commands.spawn((
            Mesh3d(makers.meshes.add(mesh_of(&part.rings, &normal))),
            MeshMaterial3d(makers.materials.add(material)),
            NotShadowCaster,
            Pickable::IGNORE,
            OfCut,
        ));
        outlines.extend(outline(&part.rings, plane));
        if part.kind != PartKind::Wall {
            hatches.extend(hatching(&part.rings, plane));
        }
    }
    let nearer = normal * BEFORE_MM;
    let lift = |lines: Vec<Segment>| {
        let lines = lines.into_iter();
        lines.map(move |(from, to)| (from + nearer, to + nearer))
    };
    let soft = look::colour(look::PENCIL_SOFT);
    let firm = look::colour(look::PENCIL);
    commands.spawn((
        pencil::lines(&mut makers.gizmos, lift(hatches), soft, 0.8),
        OfCut,
    ));
    commands.spawn((
        pencil::lines(&mut makers.gizmos, lift(outlines), firm, 2.1),
        OfCut,
    ));
}

/// Draws the cut anew where it, the stair or the mood changed. While the stair closes again, its last
/// cut stays.
fn sync(
    mut commands: Commands,
    section: Res<Section>,
    view: Res<View>,
    (shown, showing, dressed): (Option<Res<Shown>>, Res<Showing>, Res<Dressed>),
    mut makers: Makers,
    mut from: Local<Option<(Plumb, Mood, Ground)>>,
    before: Query<Entity, With<OfCut>>,
) {
    let Some(shown) = shown else { return };
    let now = match section.now {
        Some(plumb) => Some((plumb, showing.mood, ground::now())),
        None if view.opened() => *from,
        None => None,
    };
    if *from == now && (now.is_none() || !(shown.is_changed() || dressed.is_changed())) {
        return;
    }
    *from = now;
    for old in &before {
        commands.entity(old).despawn();
    }
    if let Some((plumb, mood, _)) = now
        && let Some(plane) = plumb.plane()
    {
        let plane = behind(&plane, BEHIND_MM);
        let parts = cut_parts(&shown, &plane);
        spawn(&mut commands, &mut makers, &parts, &plane, (mood, &dressed));
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(side: f64) -> Vec<Point3<f64>> {
        // In the plane across the flight.
        [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
            .map(|(y, z)| Point3::new(100.0, y, z))
            .to_vec()
    }

    fn plane() -> Plane {
        Plane::through(Point3::new(100.0, 0.0, 0.0), -Vector3::x()).unwrap()
    }

    #[test]
    fn hatching_covers_a_square_by_its_area() {
        // The lines' total length times their spacing is the area, in the limit of fine lines.
        let side = 1500.0;
        let lines = hatching(&[ring(side)], &plane());
        let total: f64 = lines.iter().map(|(from, to)| (to - from).norm()).sum();
        approx::assert_relative_eq!(total * HATCH_MM, side * side, max_relative = 0.01);
        for (from, to) in &lines {
            let along = (to - from).normalize();
            approx::assert_relative_eq!(along.y.abs(), along.z.abs(), epsilon = 1e-9);
        }
    }

    #[test]
    fn the_outline_leaves_out_the_seams_within_a_part() {
        let halves = [
            ring(100.0),
            ring(100.0)
                .iter()
                .map(|at| at + Vector3::y() * 100.0)
                .collect(),
        ];
        let lines = outline(&halves, &plane());
        let total: f64 = lines.iter().map(|(from, to)| (to - from).norm()).sum();
        // A board of 200 by 100.
        approx::assert_relative_eq!(total, 600.0, max_relative = 1e-6);
    }
}
