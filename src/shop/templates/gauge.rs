//! Angle gauges: every angle in use, from an edge, to set a sliding bevel to.

use nalgebra::Point2;

use crate::chain::{Chain, RunChain};
use crate::measure::Angle;
use crate::setout::boards::SkirtEnd;

use super::{Named, NamedAngle, Stroke, StrokeKind, Template, TemplateKind};

/// A use of an angle from an edge.
struct Use {
    from_edge: f64,
    what: String,
}

/// One gauge for each angle in use; those that no bevel tells apart share one.
pub(super) fn of(chain: &Chain) -> Vec<Template> {
    let several = chain.runs.len() > 1;
    let mut uses: Vec<Use> = chain
        .runs
        .iter()
        .flat_map(|run| of_run(run, several))
        .filter(|one| (LEAST..=90.0 - LEAST).contains(&one.from_edge))
        .collect();
    uses.sort_by(|a, b| a.from_edge.total_cmp(&b.from_edge));
    let mut groups: Vec<Vec<Use>> = Vec::new();
    for one in uses {
        match groups.last_mut() {
            Some(group) if one.from_edge - group[0].from_edge < SAME => group.push(one),
            _ => groups.push(vec![one]),
        }
    }
    groups.iter().map(|group| gauge(group)).collect()
}

/// An angle less than this off square or off an edge is no gauge's: it is planed to the mark, degrees.
const LEAST: f64 = 0.3;
/// Angles nearer than this are one setting, degrees: what a sliding bevel holds (common practice, no
/// source).
const SAME: f64 = 0.1;
/// Length of a gauge's legs, mm.
const LEG_MM: f64 = 110.0;

fn of_run(run: &RunChain, several: bool) -> Vec<Use> {
    let setout = &run.setout;
    let mark = if several {
        format!("run {}: ", run.run.name)
    } else {
        String::new()
    };
    let mut uses = Vec::new();
    let mut edge = |what: String, angle: Angle| {
        uses.push(Use {
            from_edge: angle.as_degrees().abs(),
            what: format!("{mark}{what}"),
        });
    };
    let from_square = |angle: Angle| Angle::degrees(90.0) - angle.abs();
    let rails = [Some(&setout.rail), setout.bottom_rail.as_ref()];
    for rail in rails.into_iter().flatten() {
        edge(format!("pitch of {}", rail.name), rail.pitch.angle());
        for (cut, at) in [(&rail.lower_cut, "lower"), (&rail.upper_cut, "upper")] {
            edge(
                format!("{} {at} end, mitre", rail.name),
                from_square(cut.mitre),
            );
            edge(
                format!("{} {at} end, bevel", rail.name),
                from_square(cut.bevel),
            );
        }
    }
    let tops: Vec<Angle> = setout.balusters.iter().map(|one| one.top_angle).collect();
    let least = tops
        .iter()
        .copied()
        .reduce(|a, b| if a < b { a } else { b });
    let most = tops
        .iter()
        .copied()
        .reduce(|a, b| if a > b { a } else { b });
    match (least, most) {
        (Some(least), Some(most)) if (most - least).as_degrees() < SAME => {
            edge("top cut of the balusters".to_owned(), from_square(least));
        }
        _ => {
            for one in &setout.balusters {
                edge(
                    format!("top cut of {}", one.name),
                    from_square(one.top_angle),
                );
            }
        }
    }
    let boards = run.boards();
    for skirt in &boards.wall_skirts {
        edge(format!("pitch of {}", skirt.name), skirt.pitch.angle());
        for (end, at) in [(&skirt.bottom, "lower"), (&skirt.top, "upper")] {
            for (what, angle) in of_end(end) {
                edge(
                    format!("{} {at} end, {what}", skirt.name),
                    from_square(angle),
                );
            }
        }
    }
    for skirt in &boards.open_skirts {
        for step in &skirt.steps {
            let what = format!("{} at step {}, mitre (tilt)", skirt.name, step.step);
            edge(what, from_square(step.tilt));
        }
    }
    uses
}

fn of_end(end: &SkirtEnd) -> Vec<(&'static str, Angle)> {
    let mut angles = vec![("plumb cut", end.plumb), ("level cut", end.level)];
    if end.caps.is_some() {
        angles.push(("mitre to the base", end.seam.skirt_mitre));
        angles.push(("mitre of the base", end.seam.base_mitre));
        angles.push(("mitre of the cap mouldings", end.seam.cap_mitre));
    }
    angles
}

fn gauge(group: &[Use]) -> Template {
    let count = group.len() as f64;
    let mean = group.iter().map(|one| one.from_edge).sum::<f64>() / count;
    let mut made = Template::new(
        format!("gauge-{mean:.1}"),
        String::new(),
        TemplateKind::Gauge,
        String::new(),
    );
    made.datum = Named::Words("the edge: the bevel's stock lies along it");
    let (sin, cos) = mean.to_radians().sin_cos();
    made.strokes = vec![
        Stroke::line(
            StrokeKind::Datum,
            made.datum.clone(),
            Point2::origin(),
            Point2::new(LEG_MM, 0.0),
        ),
        Stroke::line(
            StrokeKind::Cut,
            Named::Words("blade"),
            Point2::origin(),
            Point2::new(LEG_MM * cos, LEG_MM * sin),
        ),
        Stroke::line(
            StrokeKind::Guide,
            Named::Nothing,
            Point2::origin(),
            Point2::new(0.0, LEG_MM * sin),
        ),
    ];
    made.angles = group
        .iter()
        .map(|one| NamedAngle {
            what: one.what.clone(),
            is: Angle::degrees(one.from_edge),
        })
        .collect();
    made
}
