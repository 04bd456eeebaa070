//! How far one has come up the flight: the lit step; at each nosing below it the way from where the
//! true stair has it to where it is; and above it the steps as they would go on if all were true from
//! here. What stands between those and the stair as found is what is still to come.

use bevy::color::Alpha as _;
use bevy::prelude::{
    App, Assets, Color, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::inspect::climb::{Climb, ClimbStep, Of};

use super::super::climb::notes::{Note, Notes};
use super::super::climb::{Climbing, words};
use super::super::edges::{Segment, drawn_edges};
use super::super::{Showing, Solved, ViewerSystems, look};
use super::{Shown, fan, pencil, ready};

/// The figure stands this far over the nosing, mm.
const OVER_MM: f64 = 60.0;
/// Lines show through what they lie on, and a little of what stands before them.
const THROUGH: f32 = -0.004;

#[derive(Component)]
struct OfClimb;

/// The open corner of a nosing with its departure drawn so many times as large.
fn corner(step: &ClimbStep, stretch: f64) -> Point3<f64> {
    let [found, meant] = step.corner;
    meant + (found - meant) * stretch
}

/// From where the true stair has each nosing to where it is drawn, up to a step.
fn built_up(climb: &Climb, step: u32, stretch: f64) -> Vec<Segment> {
    let climbed = climb.steps.iter().filter(|one| one.step <= step);
    climbed
        .map(|one| (one.corner[1], corner(one, stretch)))
        .collect()
}

/// The line through the nosings of the true stair, up to a step.
fn true_line(climb: &Climb, step: u32) -> Vec<Segment> {
    let climbed: Vec<Point3<f64>> = climb
        .steps
        .iter()
        .filter(|one| one.step <= step)
        .map(|one| one.corner[1])
        .collect();
    climbed.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The steps above a step as they go on if all is true from there: up each kick and back over each
/// tread.
fn true_from(climb: &Climb, step: u32, stretch: f64) -> Vec<Segment> {
    let Some(from) = climb.step(step) else {
        return Vec::new();
    };
    let moved = corner(from, stretch) - from.corner[1];
    let mut at = corner(from, stretch);
    let mut lines = Vec::new();
    for next in climb.steps.iter().filter(|one| one.step > step) {
        let nosing = next.corner[1] + moved;
        let under = Point3::new(nosing.x, nosing.y, at.z);
        lines.extend([(at, under), (under, nosing)]);
        at = nosing;
    }
    lines
}

/// A string along the tread ends from the lowest to the topmost, and from it to each end.
fn string(climb: &Climb, stretch: f64) -> Vec<Segment> {
    let ends = || climb.steps.iter().filter(|step| step.end.is_some());
    let (Some(first), Some(last)) = (ends().next(), ends().next_back()) else {
        return Vec::new();
    };
    let taut = (corner(first, stretch), corner(last, stretch));
    let way = taut.1 - taut.0;
    let run = way.xy().norm_squared();
    if run <= 0.0 {
        return Vec::new();
    }
    let off = ends().map(|step| {
        let end = corner(step, stretch);
        let along = (end - taut.0).xy().dot(&way.xy()) / run;
        let on = taut.0 + way * along;
        (Point3::new(on.x, on.y, end.z), end)
    });
    std::iter::once(taut).chain(off).collect()
}

/// What is written at the lit step.
fn note(climbing: &Climbing, step: &ClimbStep, solved: &Solved, stretch: f64) -> Note {
    let says = match words::value(climbing.of, step, solved.job.tape) {
        Some(value) => format!("{}: {value}", step.step),
        None => step.step.to_string(),
    };
    Note {
        at: corner(step, stretch) + Vector3::z() * OVER_MM,
        says,
        about: None,
        lit: true,
        ink: look::CHALK,
    }
}

/// Whether a quantity adds up from step to step, so that there is something built up to draw.
const fn builds_up(of: Of) -> bool {
    matches!(of, Of::Heights | Of::Places | Of::Rises | Of::Goings)
}

/// Draws with one pencil.
fn draw(
    commands: &mut Commands,
    assets: &mut Assets<GizmoAsset>,
    lines: Vec<Segment>,
    (ink, width): (Color, f32),
) {
    let mut gizmo = pencil::lines(assets, lines, ink, width);
    gizmo.depth_bias = THROUGH;
    commands.spawn((gizmo, OfClimb));
}

fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    (showing, climbing): (Res<Showing>, Res<Climbing>),
    mut notes: ResMut<Notes>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    before: Query<Entity, With<OfClimb>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() && !climbing.is_changed() {
        return;
    }
    for old in &before {
        commands.entity(old).despawn();
    }
    let Some((climb, step)) = climbing.drawn(&showing, &solved.climbs) else {
        if !notes.step.is_empty() {
            notes.step.clear();
        }
        return;
    };
    let stretch = showing.stretch;
    let chalk = look::colour(look::CHALK);
    let crayon = look::colour(look::CRAYON);
    let lit = shown.solids.parts.iter();
    let lit = lit.filter(|part| part.name == step.tread || part.name == step.kick);
    let edges: Vec<Segment> = lit.flat_map(|part| drawn_edges(&part.pieces)).collect();
    let mut draw = |lines, pen| draw(&mut commands, &mut assets, lines, pen);
    draw(edges, (chalk, 2.6));
    if matches!(climbing.of, Of::TreadEnds | Of::Reveals) {
        draw(string(climb, stretch), (crayon, 1.6));
    } else if builds_up(climbing.of) {
        let number = step.step;
        draw(true_line(climb, number), (chalk.with_alpha(0.8), 1.2));
        draw(built_up(climb, number, stretch), (crayon, 2.4));
        let rest = fan::dashed(&true_from(climb, number, stretch));
        draw(rest, (chalk, 1.5));
    }
    notes.step = vec![note(&climbing, step, &solved, stretch)];
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain;
    use crate::job::Document;

    fn quarry() -> Climb {
        let text = include_str!("../../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(text, "quarry-lane.ron").unwrap();
        let chain = chain::run(document.job()).unwrap();
        chain::climbs(&chain).remove(0)
    }

    #[test]
    fn from_the_top_nothing_is_to_come_and_from_the_foot_only_the_first_is_built_up() {
        let climb = quarry();
        let steps = climb.steps.len();
        assert!(true_from(&climb, steps as u32, 1.0).is_empty());
        assert_eq!(built_up(&climb, steps as u32, 1.0).len(), steps);
        // A kick and a tread for each step above.
        assert_eq!(true_from(&climb, 1, 1.0).len(), 2 * (steps - 1));
        assert_eq!(built_up(&climb, 1, 1.0).len(), 1);
    }

    #[test]
    fn what_is_true_from_a_step_on_keeps_that_steps_departure() {
        let climb = quarry();
        for stretch in [1.0, 10.0] {
            let [found, meant] = climb.steps[5].corner;
            let off = (found - meant) * stretch;
            let lines = true_from(&climb, 6, stretch);
            let (_, top) = lines[lines.len() - 1];
            let last = climb.steps[climb.steps.len() - 1].corner[1];
            approx::assert_abs_diff_eq!(top, last + off, epsilon = 1e-9);
        }
    }

    #[test]
    fn the_string_is_taut_between_the_outermost_ends() {
        let climb = quarry();
        let lines = string(&climb, 1.0);
        let (from, to) = lines[0];
        assert_eq!(from, climb.steps[0].corner[0]);
        assert_eq!(to, climb.steps[12].corner[0]);
        // What each end stands off it, square to it, is what the core has as read straight out,
        // but for the string's own splay of less than a degree.
        for (line, step) in lines[1..].iter().zip(&climb.steps) {
            let off = step.end.unwrap().off_string.as_mm().abs();
            let drawn = (line.1.xy() - line.0.xy()).norm();
            approx::assert_abs_diff_eq!(drawn, off, epsilon = 0.01);
        }
    }
}
