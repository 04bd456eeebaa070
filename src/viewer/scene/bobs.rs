//! Plumb bobs beside walls that lean: a thread from a pin at the wall's head, a brass bob, and a
//! tick from thread to wall at head and foot. The thread hangs in front of the plumb plane that was
//! meant; the ticks end on the face as found (or as stretched).

use bevy::math::{Quat, Vec3};
use bevy::mesh::{Mesh, Mesh3d};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    App, Assets, Commands, Component, Cone, Entity, GizmoAsset, IntoScheduleConfigs as _, Local,
    Meshable as _, Query, Res, ResMut, Resource, Transform, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::measure::{Length, Tape};
use crate::site::WallFace;
use crate::solids::Bounds;

use super::super::edges::Segment;
use super::super::ground::{self, Ground};
use super::super::lookout::around_stair;
use super::super::{Mood, Showing, Solved, ViewerSystems, convert, look};
use super::walls::drawn_at;
use super::{pencil, ready};

/// The thread hangs this far into the room from the meant plane, mm.
const OFF_MM: f64 = 40.0;
/// The bob hangs this far above the wall's foot, mm.
const ABOVE_FOOT_MM: f64 = 260.0;
/// And the pin stands this far under its head.
const UNDER_HEAD_MM: f64 = 120.0;
/// The pin stands at most this far above the stair, and the thread this far before or after it.
const OVER_STAIR_MM: f64 = 350.0;
const NEAR_END_MM: f64 = 700.0;
/// Length and width of the bob.
const BOB_MM: (f64, f64) = (120.0, 30.0);

/// The departures beside a bob, for the labels.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) struct Bob {
    /// The middle of the tick, as drawn, mm.
    pub(in crate::viewer) at: Point3<f64>,
    /// How far the face stands off the meant plane there, positive into the room.
    pub(in crate::viewer) off: Length,
}

/// The bobs that hang now: two places each, head and foot.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(in crate::viewer) struct Bobs(pub(in crate::viewer) Vec<Bob>);

/// The heights of pin and bob: on the wall, and no farther from the stair than the wall is drawn.
fn heights(wall: &WallFace, stair: &Bounds) -> Option<[f64; 2]> {
    let pin = (wall.head - UNDER_HEAD_MM).min(stair.high.z + OVER_STAIR_MM);
    let bob = wall.foot + ABOVE_FOOT_MM;
    (pin - bob > BOB_MM.0).then_some([pin, bob])
}

/// Where along a wall the bob hangs: where it leans most, rather before or after the stair than
/// behind it. `None` where the wall is plumb to half a mark there.
fn hangs(wall: &WallFace, stair: &Bounds, [pin, bob]: [f64; 2], tape: Tape) -> Option<f64> {
    let places = (1..=19).map(|i| wall.length() * f64::from(i) / 20.0);
    let lean = |along: f64| (wall.off(along, pin) - wall.off(along, bob)).abs();
    let seen = |along: f64| {
        let at = wall.point(along, bob);
        let away = (stair.low.x - at.x).max(at.x - stair.high.x);
        if away > NEAR_END_MM {
            // Far from the stair the wall has faded.
            0.1
        } else if away > 0.0 {
            1.0
        } else {
            0.6
        }
    };
    let worth = |along: f64| lean(along) * seen(along);
    let along = places.max_by(|a, b| worth(*a).total_cmp(&worth(*b)))?;
    (Length::mm(lean(along)) > tape.mark() / 2.0).then_some(along)
}

/// One bob in place.
struct Hung {
    bob: Point3<f64>,
    ticks: [Bob; 2],
    lines: Vec<Segment>,
}

/// The bob of a wall, if it leans.
fn hung(wall: &WallFace, stair: &Bounds, tape: Tape, stretch: f64) -> Option<Hung> {
    let heights = heights(wall, stair)?;
    let along = hangs(wall, stair, heights, tape)?;
    Some(hang(wall, along, heights, stretch))
}

/// Hangs a bob at a place along a wall, departures drawn so many times as large.
fn hang(wall: &WallFace, along: f64, heights: [f64; 2], stretch: f64) -> Hung {
    let room = wall.into_room();
    let thread = |up: f64| {
        let at = wall.from + (wall.to - wall.from) * (along / wall.length());
        Point3::new(at.x, at.y, up) + room * OFF_MM * stretch.sqrt()
    };
    let ticks = heights.map(|up| {
        let face = drawn_at(wall, (along, up), stretch);
        let tick = Bob {
            at: nalgebra::center(&face, &thread(up)),
            off: Length::mm(wall.off(along, up)),
        };
        (tick, (face, thread(up)))
    });
    let (pin, bob) = (thread(heights[0]), thread(heights[1]));
    let down = Vector3::new(0.0, 0.0, -BOB_MM.0);
    let [(head, head_line), (foot, foot_line)] = ticks;
    Hung {
        bob,
        ticks: [head, foot],
        lines: vec![(pin, bob), (bob, bob + down * 0.15), head_line, foot_line],
    }
}

#[derive(Component)]
struct OfBob;

#[derive(bevy::ecs::system::SystemParam)]
struct Makers<'w> {
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    gizmos: ResMut<'w, Assets<GizmoAsset>>,
}

fn spawn(commands: &mut Commands, makers: &mut Makers, hung: &Hung) {
    let ink = look::colour(look::PENCIL);
    let lines = pencil::lines(&mut makers.gizmos, hung.lines.iter().copied(), ink, 1.3);
    commands.spawn((lines, OfBob));
    let (long, wide) = (convert::length(BOB_MM.0), convert::length(BOB_MM.1 / 2.0));
    let brass = makers.materials.add(StandardMaterial {
        base_color: look::colour(look::Tone::same([178, 138, 64])),
        perceptual_roughness: 0.35,
        ..StandardMaterial::default()
    });
    let cone = makers.meshes.add(
        Cone {
            radius: wide,
            height: long,
        }
        .mesh(),
    );
    let place = convert::point(&hung.bob) - Vec3::Y * long / 2.0;
    // A cone points up; a bob points down.
    let turn = Quat::from_rotation_x(std::f32::consts::PI);
    let stands = Transform::from_translation(place).with_rotation(turn);
    commands.spawn((Mesh3d(cone), MeshMaterial3d(brass), stands, OfBob));
}

fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    showing: Res<Showing>,
    mut makers: Makers,
    mut from: Local<Option<(u64, Mood, f64, Ground)>>,
    before: Query<Entity, With<OfBob>>,
) {
    let Some(solved) = solved else { return };
    let now = (
        solved.generation,
        showing.mood,
        showing.stretch,
        ground::now(),
    );
    if *from == Some(now) {
        return;
    }
    *from = Some(now);
    for old in &before {
        commands.entity(old).despawn();
    }
    let Some(stair) = around_stair(&solved.found.solids) else {
        return;
    };
    let mut bobs = Vec::new();
    if showing.mood == Mood::Work {
        for wall in &solved.found.first().site.walls {
            let Some(hung) = hung(wall, &stair, solved.job.tape, showing.stretch) else {
                continue;
            };
            spawn(&mut commands, &mut makers, &hung);
            bobs.extend(hung.ticks);
        }
    }
    commands.insert_resource(Bobs(bobs));
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Bobs>()
        .add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}
