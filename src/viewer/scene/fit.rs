//! The dry fit in the picture: the newel over its place, the knife lines sharp on boards not yet cut,
//! the waste crossed, framing that would be cut hatched behind them, the gap beside, and, once the
//! newel stands, what would stay open.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::Visibility;
use bevy::color::Alpha as _;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    AlphaMode, App, Assets, Color, Commands, Component, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Local, Query, Res, ResMut, Transform, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::publish::seen_least;
use crate::setout::dry_fit::{Beside, BlockPlace, Board, DryFit, KnifeFace};
use crate::solids::{Convex, PartKind};

use super::super::edges::{Segment, drawn_edges};
use super::super::fit::{Fit, Stage};
use super::super::ground::{self, Ground};
use super::super::look::{self, Stuff};
use super::super::{Mood, Solved, ViewerSystems, convert};
use super::grain::Finishes;
use super::{PartRef, parts, pencil, ready};

/// Knife lines lie so much nearer to the eye than the face that they are drawn on.
const NEARER: f32 = -0.002;
/// Strokes of a hatching lie so far apart, mm.
const HATCH_MM: f64 = 9.0;
/// A dash and the space after it, mm.
const DASH_MM: (f64, f64) = (9.0, 6.0);
/// The tick at the end of a dimension line, mm.
const TICK_MM: f64 = 9.0;
/// A dimension line stands so far over the tread, mm.
const OVER_MM: f64 = 3.0;
/// The line itself stands so far over the place that it measures, mm.
pub(in crate::viewer) const DIMENSION_UP_MM: f64 = OVER_MM + TICK_MM;
/// A wash over the face that it is laid on.
const OVER: f32 = 70.0;

/// Everything drawn for the dry fit.
#[derive(Component)]
struct OfFit;

/// What is lifted with the newel.
#[derive(Component)]
struct Lifted;

/// What shows once the newel stands.
#[derive(Component)]
struct Open;

/// What it is drawn with.
#[derive(bevy::ecs::system::SystemParam)]
struct Drawing<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
    finishes: Res<'w, Finishes>,
}

impl Drawing<'_, '_> {
    fn line(&mut self, segments: Vec<Segment>, colour: Color, width: f32) {
        let mut gizmo = pencil::lines(&mut self.lines, segments, colour, width);
        gizmo.depth_bias = NEARER;
        self.commands.spawn((gizmo, OfFit));
    }

    fn newel(&mut self, stage: &Stage) {
        let mesh = Mesh3d(self.meshes.add(parts::mesh_of(&stage.newel)));
        let finish = self.finishes.of(Stuff::Of(PartKind::Newel), Mood::Work);
        let name = PartRef(stage.newel.name.clone());
        self.commands
            .spawn((mesh, MeshMaterial3d(finish), name, Lifted, OfFit));
        let edges = drawn_edges(&stage.newel.pieces);
        let edges = pencil::lines(&mut self.lines, edges, look::colour(look::PENCIL), 1.2);
        self.commands.spawn((edges, Lifted, OfFit));
    }

    fn wash(&mut self, colour: Color) -> MeshMaterial3d<StandardMaterial> {
        MeshMaterial3d(self.materials.add(StandardMaterial {
            base_color: colour,
            alpha_mode: AlphaMode::Blend,
            unlit: true,
            cull_mode: None,
            double_sided: true,
            depth_bias: OVER,
            ..StandardMaterial::default()
        }))
    }
}

/// The lines to knife on a face.
fn knifed(face: &KnifeFace) -> impl Iterator<Item = Segment> + '_ {
    face.lines.iter().map(|line| (line.from, line.to))
}

/// The waste crossed as a carpenter crosses it: from corner to corner, or from the widest place of a
/// round.
fn crossed(face: &KnifeFace) -> Vec<Segment> {
    let ring = &face.ring;
    let half = ring.len() / 2;
    if half < 2 || matches!(face.on, Board::Nose | Board::End) {
        return Vec::new();
    }
    let short = |a: Point3<f64>, b: Point3<f64>| {
        let by = (b - a) * 0.07;
        (a + by, b - by)
    };
    let quarter = half / 2;
    [0, quarter.max(1)]
        .into_iter()
        .map(|at| short(ring[at], ring[(at + half) % ring.len()]))
        .collect()
}

/// A flat convex outline hatched, its strokes aslant.
fn hatched(ring: &[Point3<f64>], normal: &Vector3<f64>) -> Vec<Segment> {
    let helper = if normal.z.abs() < 0.7 {
        Vector3::z()
    } else {
        Vector3::x()
    };
    let Some(u) = normal.cross(&helper).try_normalize(f64::MIN_POSITIVE) else {
        return Vec::new();
    };
    let v = normal.cross(&u);
    // Strokes run along u + v and step along u - v.
    let step = (u - v) / 2.0_f64.sqrt();
    let at = |point: &Point3<f64>| step.dot(&point.coords) / HATCH_MM;
    let (low, high) = ring
        .iter()
        .map(at)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
    let strokes = (low.ceil() as i64)..=(high.floor() as i64);
    strokes
        .filter_map(|stroke| {
            let stroke = stroke as f64;
            let mut ends = (0..ring.len()).filter_map(|i| {
                let (a, b) = (&ring[i], &ring[(i + 1) % ring.len()]);
                let (from, to) = (at(a) - stroke, at(b) - stroke);
                (from * to < 0.0).then(|| a + (b - a) * (from / (from - to)))
            });
            Some((ends.next()?, ends.next()?))
        })
        .collect()
}

/// What would be cut out of a piece, hatched on every side, with its edges.
fn cut_out(waste: &[Convex]) -> Vec<Segment> {
    let sides = waste.iter().flat_map(|piece| {
        piece.planes().iter().enumerate().flat_map(|(face, plane)| {
            let ring: Vec<Point3<f64>> = piece.ring(face).collect();
            hatched(&ring, &plane.normal)
        })
    });
    sides.chain(drawn_edges(waste)).collect()
}

/// A line dashed.
fn dashed((from, to): Segment) -> Vec<Segment> {
    let whole = (to - from).norm();
    let way = (to - from) / whole;
    let pitch = DASH_MM.0 + DASH_MM.1;
    let count = (whole / pitch).ceil().max(0.0) as usize;
    (0..count)
        .map(|dash| {
            let start = dash as f64 * pitch;
            let end = (start + DASH_MM.0).min(whole);
            (from + way * start, from + way * end)
        })
        .collect()
}

/// The edges of a block that is still needed, dashed.
fn block(block: &BlockPlace) -> Vec<Segment> {
    let corners = &block.corners;
    let edges = (0..4).flat_map(|i| {
        let next = (i + 1) % 4;
        [(i, next), (i + 4, next + 4), (i, i + 4)]
    });
    edges
        .flat_map(|(a, b)| dashed((corners[a], corners[b])))
        .collect()
}

/// A dimension line from face to face, with its ticks.
fn dimension([from, to]: &[Point3<f64>; 2]) -> Vec<Segment> {
    let up = Vector3::z() * OVER_MM;
    let (from, to) = (from + up, to + up);
    let tick = |at: Point3<f64>| {
        let by = Vector3::z() * TICK_MM;
        (at, at + by * 2.0)
    };
    let raised = Vector3::z() * TICK_MM;
    vec![(from + raised, to + raised), tick(from), tick(to)]
}

fn dimensions(beside: &Beside) -> Vec<Segment> {
    let ends = beside.foot.iter().chain(&beside.rail);
    ends.flat_map(dimension).collect()
}

/// The outline of a gap as a mesh, a fan from its first corner.
fn fan(ring: &[Point3<f64>]) -> Mesh {
    let places: Vec<[f32; 3]> = ring
        .iter()
        .map(|at| convert::point(at).to_array())
        .collect();
    let count = places.len() as u32;
    let triangles = (1..count.saturating_sub(1)).flat_map(|i| [0, i, i + 1]);
    let normals = vec![[0.0, 1.0, 0.0]; places.len()];
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(triangles.collect()))
}

/// Everything that stays where it is whether the newel is lifted or not.
fn draw_marks(drawing: &mut Drawing, stage: &Stage) {
    let pencil = look::colour(look::PENCIL);
    let faces = || stage.fits.iter().flat_map(|fit: &DryFit| &fit.faces);
    drawing.line(faces().flat_map(knifed).collect(), pencil, 2.8);
    let light = look::colour(look::PENCIL_SOFT).with_alpha(0.75);
    drawing.line(faces().flat_map(crossed).collect(), light, 1.3);
    let feet = stage.fits.iter().filter_map(|fit| fit.foot.as_ref());
    let feet = feet.flat_map(knifed).flat_map(dashed);
    drawing.line(feet.collect(), pencil, 1.8);
    let needs = stage.fits.iter().flat_map(|fit| &fit.needs);
    let soft = look::colour(look::SLATE);
    drawing.line(needs.flat_map(block).collect(), soft, 1.6);
    let beside = stage.fits.iter().flat_map(|fit| &fit.beside);
    let chalk = look::colour(look::CHALK);
    drawing.line(beside.flat_map(dimensions).collect(), chalk, 1.8);
    let framing = stage.uncut.iter();
    let framing = framing.filter(|one| one.part.kind == PartKind::Stringer);
    for one in framing {
        let crayon = look::colour(look::CRAYON);
        drawing.line(cut_out(&one.waste), crayon, 1.5);
        let wash = drawing.wash(crayon.with_alpha(0.36));
        for piece in &one.waste {
            let part = crate::solids::Part {
                pieces: vec![piece.clone()],
                ..one.part.clone()
            };
            let mesh = Mesh3d(drawing.meshes.add(parts::mesh_of(&part)));
            drawing
                .commands
                .spawn((mesh, wash.clone(), NotShadowCaster, OfFit));
        }
    }
}

/// What would stay open, dark.
fn draw_open(drawing: &mut Drawing, stage: &Stage, tape: crate::measure::Tape) {
    let dark = drawing.wash(look::colour(look::SHADOW));
    let gaps = stage.fits.iter().flat_map(|fit| fit.seen(seen_least(tape)));
    for gap in gaps {
        let mesh = Mesh3d(drawing.meshes.add(fan(&gap.wedge)));
        let about = (NotShadowCaster, Open, Visibility::Hidden);
        drawing.commands.spawn((mesh, dark.clone(), about, OfFit));
    }
}

/// Draws what is staged, anew only where that changed.
fn draw(
    fit: Res<Fit>,
    solved: Option<Res<Solved>>,
    mut drawing: Drawing,
    mut drawn: Local<Option<(u64, Ground)>>,
    before: Query<Entity, With<OfFit>>,
) {
    let stage = fit.stage.as_ref();
    let now = stage.map(|stage| (stage.number, ground::now()));
    if *drawn == now {
        return;
    }
    *drawn = now;
    for old in &before {
        drawing.commands.entity(old).despawn();
    }
    let (Some(stage), Some(solved)) = (&fit.stage, solved) else {
        return;
    };
    drawing.newel(stage);
    draw_marks(&mut drawing, stage);
    draw_open(&mut drawing, stage, solved.job.tape);
}

/// Lifts and lowers the newel; what stays open shows once it stands.
fn lift(
    fit: Res<Fit>,
    mut lifted: Query<&mut Transform, With<Lifted>>,
    mut open: Query<&mut Visibility, With<Open>>,
) {
    let Some(stage) = &fit.stage else { return };
    let to = convert::direction(&(stage.lift * fit.up / convert::MM_PER_UNIT));
    for mut place in &mut lifted {
        if place.translation != to {
            place.translation = to;
        }
    }
    let seen = if fit.down() {
        Visibility::Visible
    } else {
        Visibility::Hidden
    };
    for mut one in &mut open {
        if *one != seen {
            *one = seen;
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (draw, lift)
            .chain()
            .in_set(ViewerSystems::Sync)
            .after(ready),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setout::dry_fit::{BoardFace, Edge};

    fn square(size: f64) -> Vec<Point3<f64>> {
        [(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)]
            .map(|(x, y)| Point3::new(x, y, 5.0))
            .to_vec()
    }

    #[test]
    fn a_hatching_covers_its_outline_and_stays_in_it() {
        let ring = square(90.0);
        let strokes = hatched(&ring, &Vector3::z());
        // Strokes aslant across a square of side a, d apart: their lengths add up to a^2 / d.
        let total: f64 = strokes.iter().map(|(a, b)| (b - a).norm()).sum();
        approx::assert_relative_eq!(total, 90.0 * 90.0 / HATCH_MM, max_relative = 0.1);
        for (a, b) in strokes {
            for at in [a, b] {
                assert!(
                    (-1e-9..=90.0 + 1e-9).contains(&at.x) && (-1e-9..=90.0 + 1e-9).contains(&at.y)
                );
                approx::assert_relative_eq!(at.z, 5.0);
            }
        }
    }

    #[test]
    fn a_dashed_line_keeps_its_ends_and_its_share() {
        let (from, to) = (Point3::origin(), Point3::new(150.0, 0.0, 0.0));
        let dashes = dashed((from, to));
        let total: f64 = dashes.iter().map(|(a, b)| (b - a).norm()).sum();
        approx::assert_relative_eq!(total, 150.0 * 9.0 / 15.0, epsilon = 1e-9);
        assert_eq!(dashes[0].0, from);
    }

    #[test]
    fn a_four_cornered_waste_is_crossed_from_corner_to_corner() {
        let face = KnifeFace {
            part: "T1".to_owned(),
            step: 1,
            on: Board::Top,
            ring: square(50.0),
            normal: Vector3::z(),
            lines: Vec::new(),
            centre: None,
            deep: crate::measure::Length::ZERO,
            board: BoardFace {
                part: "T1".to_owned(),
                corners: square(50.0),
                normal: Vector3::z(),
                edges: [Edge::Nosing, Edge::OpenEnd].map(|edge| (edge, [Point3::origin(); 2])),
                kick: None,
            },
        };
        let lines = crossed(&face);
        assert_eq!(lines.len(), 2);
        for (a, b) in lines {
            approx::assert_relative_eq!(
                (b - a).norm(),
                50.0 * 2.0_f64.sqrt() * 0.86,
                epsilon = 1e-9
            );
        }
    }
}
