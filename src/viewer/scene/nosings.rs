//! A string along the nosings, stretched from the first to the last: it shows at once which step
//! stands proud of it and which hangs back.

use bevy::gizmos::retained::Gizmo;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};
use nalgebra::Point3;

use crate::chain::RunChain;
use crate::site::Site;

use super::super::edges::Segment;
use super::super::{Mood, Place, Showing, Solved, ViewerSystems, look};
use super::{Shown, pencil, ready};

/// The string lies this far off the nosings, up and out, so that it is not buried in them, mm.
const CLEAR_MM: f64 = 1.5;

#[derive(Component)]
struct OfString;

/// The string as found: from the first nosing to the last, on the baluster line.
fn string(site: &Site) -> Option<(Point3<f64>, Point3<f64>)> {
    let (first, last) = (site.steps.first()?, site.steps.last()?);
    let at = |step: &crate::site::Step| {
        Point3::new(
            step.nosing_x() - CLEAR_MM,
            0.0,
            step.nosing_top(0.0) + CLEAR_MM,
        )
    };
    (site.steps.len() > 1).then(|| (at(first), at(last)))
}

/// The string with a turn around a pin at each end.
fn with_pins((from, to): (Point3<f64>, Point3<f64>)) -> Vec<Segment> {
    let pin = |at: Point3<f64>| {
        let up = nalgebra::Vector3::new(0.0, 0.0, 22.0);
        (at - up * 0.3, at + up)
    };
    vec![(from, to), pin(from), pin(to)]
}

fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    before: Query<Entity, With<OfString>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() {
        return;
    }
    for old in &before {
        commands.entity(old).despawn();
    }
    // At a dry fit the string would run through the marks.
    if showing.mood == Mood::Show || showing.place == Place::Fit {
        return;
    }
    for string in strings(&solved, &shown, &mut assets) {
        commands.spawn((string, OfString));
    }
}

/// The strings of all flights.
pub(super) fn strings(
    solved: &Solved,
    shown: &Shown,
    assets: &mut Assets<GizmoAsset>,
) -> Vec<Gizmo> {
    let ink = look::colour(look::CRAYON);
    let stretched = |run: &RunChain| {
        let (from, to) = string(&run.site)?;
        let steps = &run.site.steps;
        let name = |step: Option<&crate::site::Step>| {
            step.map(|step| vec![run.site.named(format_args!("T{}", step.number))])
                .unwrap_or_default()
        };
        let ends = (
            shown.place(&run.frame.to_first(&from), &name(steps.first())),
            shown.place(&run.frame.to_first(&to), &name(steps.last())),
        );
        Some(pencil::lines(assets, with_pins(ends), ink, 1.6))
    };
    let runs = solved.found.stairs().map(|(_, run)| run);
    runs.filter_map(stretched).collect()
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}
