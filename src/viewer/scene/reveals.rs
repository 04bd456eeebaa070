//! A bar on each tread end, from the baluster's face to the end of the tread: what shows. A tick across
//! it marks what is wanted. What shows over that is solid, in the colour of departures; what is
//! lacking is drawn hollow beyond the end.
//!
//! A bar runs between face and end as they are drawn, so it is as long as it is found, and its
//! departure is stretched with all others.

use bevy::asset::RenderAssetUsages;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::picking::Pickable;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};
use nalgebra::{Point3, Unit, Vector3};

use crate::inspect::climb::{Climb, EndReveal};
use crate::measure::{Length, Tape};

use super::super::climb::Climbing;
use super::super::climb::notes::{Note, Notes};
use super::super::edges::Segment;
use super::super::{Pick, Showing, Solved, ViewerSystems, convert, look};
use super::{Shown, pencil, ready};

/// How wide a bar is along the flight, and how high it stands on the tread, mm.
const WIDE_MM: f64 = 18.0;
const HIGH_MM: f64 = 12.0;
/// The tick across it reaches past it by this much.
const TICK_MM: f64 = 8.0;
/// The figure stands this far over it.
const OVER_MM: f64 = 14.0;

/// One bar as it is drawn.
#[derive(Clone, Debug, PartialEq)]
struct Bar {
    /// The baluster's face.
    face: Point3<f64>,
    /// What is wanted reaches to here.
    wanted: Point3<f64>,
    /// The end of the tread.
    end: Point3<f64>,
    /// Across the flight, outward.
    out: Unit<Vector3<f64>>,
    /// How far it is off what is wanted: of the greatest of all, -1 to 1.
    share: f64,
}

/// The greatest departure of all bars, and a mark of the tape at least.
fn greatest(climbs: &[Climb], tape: Tape) -> Length {
    let all = climbs.iter().flat_map(|climb| &climb.steps);
    let offs = all.flat_map(|step| &step.reveals).map(|one| one.off.abs());
    offs.fold(tape.mark(), Length::max)
}

impl Bar {
    /// A bar between two places as drawn; `None` where nothing shows to draw.
    fn of(
        reveal: &EndReveal,
        [face, end]: [Point3<f64>; 2],
        stretch: f64,
        most: Length,
    ) -> Option<Self> {
        let out = Unit::try_new(reveal.end - reveal.face, f64::MIN_POSITIVE)?;
        // Seen along the bar only: a tread end that is drawn further up or on moves it as a whole.
        let end = face + out.into_inner() * (end - face).dot(&out);
        Some(Self {
            face,
            wanted: end - out.into_inner() * (reveal.off.as_mm() * stretch),
            end,
            out,
            share: reveal.off / most,
        })
    }

    /// The box between two places along it.
    fn boxed(&self, from: &Point3<f64>, to: &Point3<f64>) -> [Point3<f64>; 8] {
        let along = Vector3::z().cross(&self.out) * (WIDE_MM / 2.0);
        let up = Vector3::z() * HIGH_MM;
        let foot = [from - along, from + along, to + along, to - along];
        let head = foot.map(|at| at + up);
        [
            foot[0], foot[1], foot[2], foot[3], head[0], head[1], head[2], head[3],
        ]
    }

    /// What is solid: up to what is wanted, and what shows over it.
    fn solid(&self) -> Vec<([Point3<f64>; 8], Option<f64>)> {
        if self.share > 0.0 {
            vec![
                (self.boxed(&self.face, &self.wanted), None),
                (self.boxed(&self.wanted, &self.end), Some(self.share)),
            ]
        } else {
            vec![(self.boxed(&self.face, &self.end), None)]
        }
    }

    /// What is lacking, hollow, and its tick.
    fn lines(&self) -> Vec<Segment> {
        let mut lines = Vec::new();
        if self.share < 0.0 {
            lines.extend(box_edges(&self.boxed(&self.end, &self.wanted)));
        }
        lines
    }

    /// The tick at what is wanted: across the bar and up.
    fn tick(&self) -> [Segment; 2] {
        let along = Vector3::z().cross(&self.out) * (WIDE_MM / 2.0 + TICK_MM);
        let up = Vector3::z() * (HIGH_MM + 1.0);
        let high = self.wanted + up;
        [
            (high - along, high + along),
            (high, high + Vector3::z() * TICK_MM),
        ]
    }
}

/// The faces of a box by its corners, each outward.
const FACES: [[usize; 4]; 6] = [
    [0, 3, 2, 1],
    [4, 5, 6, 7],
    [0, 1, 5, 4],
    [1, 2, 6, 5],
    [2, 3, 7, 6],
    [3, 0, 4, 7],
];

fn box_edges(corners: &[Point3<f64>; 8]) -> Vec<Segment> {
    let ring = |at: usize| [(at, (at + 1) % 4), (at + 4, (at + 1) % 4 + 4), (at, at + 4)];
    let pairs = (0..4).flat_map(ring);
    pairs
        .map(|(from, to)| (corners[from], corners[to]))
        .collect()
}

/// All bars in one mesh: what is wanted as plain card, what shows over it in its colour.
fn mesh_of(bars: &[Bar]) -> Mesh {
    let (mut places, mut colours, mut triangles) = (Vec::new(), Vec::new(), Vec::new());
    for (corners, share) in bars.iter().flat_map(Bar::solid) {
        let colour = look::departure_vertex(share.map_or(0.0, convert::single));
        for face in FACES {
            let first = places.len() as u32;
            for corner in face {
                places.push(convert::point(&corners[corner]).to_array());
                colours.push(colour);
            }
            triangles.extend([0, 1, 2, 0, 2, 3].map(|at| first + at));
        }
    }
    let normals = vec![[0.0_f32, 1.0, 0.0]; places.len()];
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
        .with_inserted_indices(Indices::U32(triangles))
}

/// A reveal in words: what shows, and how far that is off what is wanted.
fn says(reveal: &EndReveal, tape: Tape) -> String {
    let value = tape.print(reveal.value);
    if reveal.off.abs() < tape.mark() / 2.0 {
        return value;
    }
    let side = if reveal.off > Length::ZERO {
        "over"
    } else {
        "under"
    };
    format!("{value}, {} {side}", tape.print(reveal.off.abs()))
}

/// What of the bars must be told wherever one looks from: the farthest over and under what is wanted
/// on each railing, and what is picked or lit.
fn must_tell(climbs: &[Climb], lit: Option<u32>, picked: &[&str]) -> Vec<String> {
    let all: Vec<(u32, &EndReveal)> = climbs
        .iter()
        .flat_map(|climb| &climb.steps)
        .flat_map(|step| step.reveals.iter().map(move |one| (step.step, one)))
        .collect();
    let by_off = |a: &&(u32, &EndReveal), b: &&(u32, &EndReveal)| a.1.off.total_cmp(&b.1.off);
    let rail = |one: &(u32, &EndReveal)| one.1.rail.clone();
    let mut rails: Vec<String> = all.iter().map(rail).collect();
    rails.dedup();
    let mut told = Vec::new();
    for of in rails {
        let own = || all.iter().filter(|one| one.1.rail == of);
        let ends = [own().min_by(by_off), own().max_by(by_off)];
        told.extend(ends.into_iter().flatten().map(|one| one.1.part.clone()));
    }
    let others = all
        .iter()
        .filter(|(step, one)| Some(*step) == lit || picked.contains(&one.part.as_str()));
    told.extend(others.map(|one| one.1.part.clone()));
    told
}

#[derive(Component)]
struct OfReveal;

/// What bars are drawn with.
#[derive(bevy::ecs::system::SystemParam)]
struct Makers<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
}

impl Makers<'_, '_> {
    fn spawn(&mut self, bars: &[Bar]) {
        let card = self.materials.add(StandardMaterial {
            unlit: true,
            double_sided: true,
            cull_mode: None,
            ..StandardMaterial::default()
        });
        self.commands.spawn((
            Mesh3d(self.meshes.add(mesh_of(bars))),
            MeshMaterial3d(card),
            NotShadowCaster,
            Pickable::IGNORE,
            OfReveal,
        ));
        let solid = bars.iter().flat_map(Bar::solid);
        let edges = solid.flat_map(|(corners, _)| box_edges(&corners)).collect();
        let lacking: Vec<Segment> = bars.iter().flat_map(Bar::lines).collect();
        let ticks: Vec<Segment> = bars.iter().flat_map(Bar::tick).collect();
        let pens: [(Vec<Segment>, look::Tone, f32); 3] = [
            (edges, look::PENCIL, 1.0),
            (lacking, look::CHALK, 1.3),
            (ticks, look::CHALK, 1.8),
        ];
        for (lines, ink, width) in pens {
            let mut gizmo = pencil::lines(&mut self.lines, lines, look::colour(ink), width);
            gizmo.depth_bias *= 2.0;
            self.commands.spawn((gizmo, OfReveal));
        }
    }
}

fn sync(
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    (showing, climbing): (Res<Showing>, Res<Climbing>),
    mut notes: ResMut<Notes>,
    mut makers: Makers,
    before: Query<Entity, With<OfReveal>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() && !climbing.is_changed() {
        return;
    }
    for old in &before {
        makers.commands.entity(old).despawn();
    }
    if !climbing.draws_bars(&showing) {
        if !notes.bars.is_empty() {
            notes.bars.clear();
        }
        return;
    }
    let (tape, climbs) = (solved.job.tape, &solved.climbs);
    let most = greatest(climbs, tape);
    let lit = climbing.drawn(&showing, climbs).map(|(_, step)| step.step);
    let picked = showing.picked.as_ref().map(Pick::parts).unwrap_or_default();
    let must = must_tell(climbs, lit, &picked);
    let (mut bars, mut told) = (Vec::new(), Vec::new());
    for step in climbs.iter().flat_map(|climb| &climb.steps) {
        for reveal in &step.reveals {
            let face = shown.place(&reveal.face, std::slice::from_ref(&reveal.part));
            let end = shown.place(&reveal.end, std::slice::from_ref(&step.tread));
            let Some(bar) = Bar::of(reveal, [face, end], showing.stretch, most) else {
                continue;
            };
            let always = must.contains(&reveal.part);
            let middle = nalgebra::center(&bar.face, &bar.end);
            told.push(Note {
                at: middle + Vector3::z() * (HIGH_MM + OVER_MM),
                says: says(reveal, tape),
                about: (!always).then_some([bar.face, bar.end]),
                lit: false,
                ink: look::PENCIL,
            });
            bars.push(bar);
        }
    }
    if !bars.is_empty() {
        makers.spawn(&bars);
    }
    notes.bars = told;
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reveal(value: f64, wanted: f64) -> EndReveal {
        EndReveal {
            part: "B01".to_owned(),
            rail: "R1".to_owned(),
            value: Length::inches(value),
            wanted: Length::inches(wanted),
            off: Length::inches(value - wanted),
            drift: Length::ZERO,
            face: Point3::new(0.0, 10.0, 0.0),
            end: Point3::new(0.0, 10.0 + value * 25.4, 0.0),
        }
    }

    fn bar(value: f64, wanted: f64, stretch: f64) -> Bar {
        let one = reveal(value, wanted);
        // The face stays, and the end is drawn as far out as departures are stretched.
        let end = one.end + Vector3::y() * (one.off.as_mm() * (stretch - 1.0));
        Bar::of(&one, [one.face, end], stretch, Length::inches(0.25)).unwrap()
    }

    #[test]
    fn a_bar_is_as_long_as_what_shows_and_its_tick_stands_at_what_is_wanted() {
        for stretch in [1.0, 10.0] {
            let over = bar(1.75, 1.5, stretch);
            let inch = 25.4;
            let wanted = (over.wanted - over.face).norm();
            approx::assert_abs_diff_eq!(wanted, 1.5 * inch, epsilon = 1e-9);
            let past = (over.end - over.wanted).dot(&over.out);
            approx::assert_abs_diff_eq!(past, 0.25 * inch * stretch, epsilon = 1e-9);
            assert_eq!(over.solid().len(), 2);
            assert!(over.lines().is_empty());
            approx::assert_abs_diff_eq!(over.share, 1.0, epsilon = 1e-12);
        }
    }

    #[test]
    fn what_is_lacking_is_hollow() {
        let under = bar(1.375, 1.5, 1.0);
        assert_eq!(under.solid().len(), 1);
        assert_eq!(under.lines().len(), 12);
        approx::assert_abs_diff_eq!(under.share, -0.5, epsilon = 1e-12);
    }

    #[test]
    fn a_reveal_is_told_on_the_tape() {
        let says = |value, wanted| says(&reveal(value, wanted), Tape::Sixteenths);
        assert_eq!(says(1.75, 1.625), "1 3/4\", 1/8\" over");
        assert_eq!(says(1.5, 1.625), "1 1/2\", 1/8\" under");
        assert_eq!(says(1.625, 1.625), "1 5/8\"");
    }
}
