//! The ball of the opening that is picked, in the place where it passes: true to size, so that one
//! sees what it slips between.

use bevy::color::Alpha as _;
use bevy::light::NotShadowCaster;
use bevy::math::Vec3;
use bevy::mesh::{Mesh, Mesh3d};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Meshable as _, Query, Res, ResMut, Sphere, Transform, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::inspect::{Inspection, Key, Opening, Verdict};

use super::super::edges::Segment;
use super::super::{Mood, Pick, Showing, Solved, ViewerSystems, convert, look};
use super::{Shown, pencil, ready};

/// The three great circles that make a ball out of a disc, in so many strokes each.
const STROKES: u32 = 48;
/// A ball is seen through.
const COVER: f32 = 0.34;

#[derive(Component)]
struct OfBall;

/// The opening that a finding is about.
pub(in crate::viewer) fn opening_of<'a>(
    inspection: &'a Inspection,
    key: &Key,
) -> Option<&'a Opening> {
    let finding = inspection.find(key)?;
    let mut openings = inspection.openings.iter();
    openings.find(|one| one.between == key.parts && (one.at - finding.at).norm() < 1.0)
}

/// Great circles of a ball.
fn circles(centre: Point3<f64>, radius: f64) -> Vec<Segment> {
    let planes = [
        (Vector3::x(), Vector3::y()),
        (Vector3::x(), Vector3::z()),
        (Vector3::y(), Vector3::z()),
    ];
    let turn = |stroke: u32| f64::from(stroke) / f64::from(STROKES) * std::f64::consts::TAU;
    planes
        .into_iter()
        .flat_map(|(u, v)| {
            let at =
                move |stroke| centre + (u * turn(stroke).cos() + v * turn(stroke).sin()) * radius;
            (0..STROKES).map(move |stroke| (at(stroke), at(stroke + 1)))
        })
        .collect()
}

/// What a ball is drawn with: the picture's assets.
#[derive(bevy::ecs::system::SystemParam)]
struct Drawing<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
}

fn sync(
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut drawing: Drawing,
    before: Query<Entity, With<OfBall>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() {
        return;
    }
    for old in &before {
        drawing.commands.entity(old).despawn();
    }
    let (Some(Pick::Trouble(key)), Mood::Work) = (&showing.picked, showing.mood) else {
        return;
    };
    let inspection = &solved.found.inspection;
    let Some(opening) = opening_of(inspection, key) else {
        return;
    };
    let met = inspection
        .find(key)
        .is_none_or(|finding| finding.verdict == Verdict::Met);
    let ink = look::colour(if met { look::SLATE } else { look::CRAYON });
    let centre = shown.place(&opening.at, &opening.between);
    let radius = opening.ball.as_mm() / 2.0;
    let material = drawing.materials.add(StandardMaterial {
        base_color: ink.with_alpha(COVER),
        alpha_mode: AlphaMode::Blend,
        perceptual_roughness: 0.6,
        reflectance: 0.2,
        ..StandardMaterial::default()
    });
    let ball = Sphere::new(1.0).mesh().uv(48, 24);
    drawing.commands.spawn((
        Mesh3d(drawing.meshes.add(ball)),
        MeshMaterial3d(material),
        Transform::from_translation(convert::point(&centre))
            .with_scale(Vec3::splat(convert::length(radius))),
        NotShadowCaster,
        OfBall,
    ));
    let rims = pencil::lines(
        &mut drawing.lines,
        circles(centre, radius),
        ink.with_alpha(0.75),
        1.1,
    );
    drawing.commands.spawn((rims, OfBall));
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_circles_lie_on_the_ball() {
        let centre = Point3::new(10.0, -20.0, 900.0);
        let circles = circles(centre, 50.8);
        assert_eq!(circles.len(), 144);
        for (a, b) in circles {
            approx::assert_relative_eq!((a - centre).norm(), 50.8, epsilon = 1e-9);
            approx::assert_relative_eq!((b - centre).norm(), 50.8, epsilon = 1e-9);
        }
    }
}
