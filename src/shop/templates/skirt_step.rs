//! The cuts of each step in a mitred skirt on the open side: the mitre line and the level cut, from the
//! mitre's foot. Seen from outside: u runs level along the skirt, up the flight to the left in a
//! left-hand one; v is plumb.

use nalgebra::{Point2, Vector2};

use crate::chain::RunChain;
use crate::job::Hand;
use crate::setout::boards::{OpenSkirtSet, SkirtStep};

use super::{Named, NamedAngle, Stroke, StrokeKind, Template, TemplateKind, run_name};

/// How far past the cuts the level line goes on, mm.
const PAST_MM: f64 = 40.0;

/// A template for each step of every skirt that is mitred to its kicks.
pub(super) fn of(run: &RunChain) -> Vec<Template> {
    let boards = run.boards();
    let skirts = boards.open_skirts.iter();
    skirts
        .flat_map(|skirt| skirt.steps.iter().map(move |step| (skirt, step)))
        .map(|(skirt, step)| one(run, skirt, step))
        .collect()
}

fn one(run: &RunChain, skirt: &OpenSkirtSet, step: &SkirtStep) -> Template {
    let mut made = Template::new(
        format!("{}-step-{}", skirt.name, step.step),
        run_name(run),
        TemplateKind::SkirtStep,
        skirt.name.clone(),
    );
    made.fits = run.site.named(format_args!("K{}", step.step));
    made.datum = Named::Words("a level line through the mark");
    let up = match skirt.hand {
        Hand::Left => -1.0,
        Hand::Right => 1.0,
    };
    let plumb = step.plumb.as_mm();
    let foot = Point2::origin();
    let head = Point2::new(up * plumb * step.lean.as_radians().tan(), plumb);
    let (climb, level) = step.climb.as_radians().sin_cos();
    let next = step.level.map(|long| {
        let long = long.as_mm();
        head + Vector2::new(up * long * level, long * climb)
    });
    let far = next.map_or(up * PAST_MM, |next| next.x + up * PAST_MM);
    let inside = Vector2::new(up * step.inside.as_mm(), 0.0);
    made.strokes = vec![
        Stroke::line(
            StrokeKind::Datum,
            made.datum.clone(),
            Point2::new(-up * PAST_MM, 0.0),
            Point2::new(far, 0.0),
        ),
        Stroke::line(StrokeKind::Cut, Named::Words("mitre, outside"), foot, head),
        Stroke::line(
            StrokeKind::Guide,
            Named::Words("inside of the mitre"),
            foot + inside,
            head + inside,
        ),
    ];
    made.strokes.extend(
        next.map(|next| Stroke::line(StrokeKind::Cut, Named::Words("level cut"), head, next)),
    );
    made.angles = vec![
        NamedAngle::new("saw tilted", step.tilt),
        NamedAngle::new("mitre line out of plumb", step.lean),
        NamedAngle::new("level cut out of level", step.climb),
    ];
    made
}
