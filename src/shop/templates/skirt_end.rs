//! The ends of skirts on the wall side: plumb against a base, level on a floor, or mitred to the
//! base instead. Seen from the stair: u runs along the board's cap, up the rake where the wall is on the
//! left going up, and down it where it is on the right.

use nalgebra::{Point2, Vector2};

use crate::chain::RunChain;
use crate::job::Hand;
use crate::measure::Angle;
use crate::setout::boards::{SkirtEnd, WallSkirtSet};

use super::notch::is_nothing;
use super::{Named, NamedAngle, Stroke, StrokeKind, Template, TemplateKind, run_name};

/// A template for each end of every skirt on the wall side.
pub(super) fn of(run: &RunChain) -> Vec<Template> {
    let boards = run.boards();
    let skirts = boards.wall_skirts.iter();
    skirts
        .flat_map(|skirt| [one(run, skirt, false), one(run, skirt, true)])
        .map(|made| seen(run, made))
        .collect()
}

/// As it is seen from the stair: one who faces a wall on his left going up has the rake rising to the
/// right, one who faces a wall on his right has it rising to the left.
fn seen(run: &RunChain, mut made: Template) -> Template {
    if run.run.job.flight.open_side == Hand::Left {
        for stroke in &mut made.strokes {
            for at in &mut stroke.points {
                at.x = -at.x;
            }
        }
    }
    made
}

/// The corners of an end from the cap down, in the board's frame: its plumb cut, level cut and heel.
fn corners(skirt: &WallSkirtSet, end: &SkirtEnd, upper: bool) -> Vec<(Point2<f64>, Named)> {
    let (sin, cos) = skirt.pitch.angle().as_radians().sin_cos();
    let down = Vector2::new(-sin, -cos);
    let (level_sin, level_cos) = (Angle::degrees(90.0) - end.level).as_radians().sin_cos();
    let up_flight = Vector2::new(level_cos, -level_sin);
    let level = if upper { -up_flight } else { up_flight };
    let cuts = [
        (down, end.plumb_cut, "plumb cut"),
        (level, end.level_cut, "level cut"),
        (down, end.heel, "plumb, behind the last kick"),
    ];
    let mut at = Point2::origin();
    let mut corners = vec![(at, Named::Nothing)];
    for (way, length, name) in cuts {
        if !is_nothing(length) {
            at += way * length.as_mm();
            corners.push((at, Named::Words(name)));
        }
    }
    corners
}

fn one(run: &RunChain, skirt: &WallSkirtSet, upper: bool) -> Template {
    let end = if upper { &skirt.top } else { &skirt.bottom };
    let at = if upper { "upper" } else { "lower" };
    let mut made = Template::new(
        format!("{}-{at}-end", skirt.name),
        run_name(run),
        TemplateKind::SkirtEnd(upper),
        skirt.name.clone(),
    );
    made.datum = Named::Words("the cap: the skirt's upper edge");
    let corners = corners(skirt, end, upper);
    let wood = if upper { -1.0 } else { 1.0 };
    let width = skirt.width.as_mm();
    let extent = corners
        .iter()
        .map(|(at, _)| at.x * wood)
        .fold(0.0, f64::max);
    let far = wood * (extent + WOOD_MM);
    made.strokes.push(Stroke::line(
        StrokeKind::Datum,
        made.datum.clone(),
        Point2::origin(),
        Point2::new(far, 0.0),
    ));
    if let Some((last, _)) = corners.last() {
        let lower = Point2::new(far, last.y);
        made.strokes.push(Stroke::line(
            StrokeKind::Edge,
            Named::Words("lower edge"),
            *last,
            lower,
        ));
        // A short guide there, so that the paper holds some of the board.
        made.strokes.push(Stroke::line(
            StrokeKind::Guide,
            Named::Nothing,
            Point2::new(far, 0.0),
            lower,
        ));
    }
    for pair in corners.windows(2) {
        let ((from, _), (to, name)) = (&pair[0], &pair[1]);
        made.strokes
            .push(Stroke::line(StrokeKind::Cut, name.clone(), *from, *to));
    }
    made.angles = vec![
        NamedAngle::new("plumb cut, from square", end.plumb),
        NamedAngle::new("level cut, from square", end.level),
    ];
    // Mitred to a level base instead of butted: only where the job has a base.
    if end.caps.is_some() {
        let mitre = end.seam.skirt_mitre;
        let to = Point2::new(-width * mitre.as_radians().tan(), -width);
        made.strokes.push(Stroke::line(
            StrokeKind::Instead,
            Named::Words("mitre to the base, instead"),
            Point2::origin(),
            to,
        ));
        made.angles
            .push(NamedAngle::new("mitre to the base, from square", mitre));
    }
    made
}

/// How much of the board is drawn past the end's corners, mm.
const WOOD_MM: f64 = 60.0;
