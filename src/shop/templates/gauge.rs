//! Angle gauges: every angle in use, from an edge, to set a sliding bevel to.

use nalgebra::Point2;

use crate::chain::{Chain, RunChain};
use crate::measure::Angle;
use crate::setout::boards::SkirtEnd;
use crate::shop::cuts::{CutFor, CutPiece, cut_list};

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
        .chain(cut_list(chain).pieces.iter().flat_map(of_piece))
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

/// A use of an angle from square.
fn from_square(angle: Angle, what: String) -> Use {
    Use {
        from_edge: 90.0 - angle.as_degrees().abs(),
        what,
    }
}

/// What no cut of the list has: how steep rails and skirts lie, and what a base takes against a skirt.
fn of_run(run: &RunChain, several: bool) -> Vec<Use> {
    let setout = &run.setout;
    let mark = if several {
        format!("run {}: ", run.run.name)
    } else {
        String::new()
    };
    let pitch = |name: &str, angle: Angle| Use {
        from_edge: angle.as_degrees().abs(),
        what: format!("{mark}pitch of {name}"),
    };
    let rails = [Some(&setout.rail), setout.bottom_rail.as_ref()];
    let rails = rails.into_iter().flatten();
    let mut uses: Vec<Use> = rails
        .map(|rail| pitch(&rail.name, rail.pitch.angle()))
        .collect();
    let boards = run.boards();
    for skirt in &boards.wall_skirts {
        uses.push(pitch(&skirt.name, skirt.pitch.angle()));
        for (end, at) in [(&skirt.bottom, "lower"), (&skirt.top, "upper")] {
            let of_end = of_end(end).into_iter().map(|(what, angle)| {
                from_square(angle, format!("{mark}{} {at} end, {what}", skirt.name))
            });
            uses.extend(of_end);
        }
    }
    for skirt in &boards.open_skirts {
        for step in &skirt.steps {
            let what = format!("{mark}{} at step {}, mitre (tilt)", skirt.name, step.step);
            uses.push(from_square(step.tilt, what));
        }
    }
    uses
}

/// Every angle of a line of the cut list.
fn of_piece(piece: &CutPiece) -> Vec<Use> {
    let name = called(piece);
    let mut uses = Vec::new();
    for end in &piece.ends {
        for cut in &end.cuts {
            let at = format!("{name}, {}{}", end.end.word(), cut_word(cut.what));
            uses.push(from_square(cut.mitre, format!("{at}, mitre")));
            uses.push(from_square(cut.bevel, format!("{at}, bevel")));
        }
    }
    for (_, tilt) in &piece.rips {
        uses.push(from_square(*tilt, format!("{name}, ripped edge (tilt)")));
    }
    for notch in &piece.notches {
        // A corner of a notch as it lies to its edge.
        uses.extend(notch.angles.iter().map(|angle| {
            let off = (90.0 - angle.as_degrees()).abs();
            from_square(
                Angle::degrees(off),
                format!("{name}, notch for {}", notch.newel),
            )
        }));
    }
    uses
}

/// The pieces of a line: the first of several, and how many more.
fn called(piece: &CutPiece) -> String {
    match piece.members.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, others @ ..] => format!("{first} and {} more", others.len()),
    }
}

const fn cut_word(what: CutFor) -> &'static str {
    match what {
        CutFor::End => "",
        CutFor::Plumb => ", plumb cut",
        CutFor::Level => ", level cut",
        CutFor::Seam => ", seam to the base",
        CutFor::Return => ", return",
    }
}

/// What a base that meets the end takes.
fn of_end(end: &SkirtEnd) -> Vec<(&'static str, Angle)> {
    if end.caps.is_none() {
        return Vec::new();
    }
    vec![
        ("mitre of the base", end.seam.base_mitre),
        ("mitre of the cap mouldings", end.seam.cap_mitre),
    ]
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
        .map(|one| NamedAngle::new(one.what.clone(), Angle::degrees(one.from_edge)))
        .collect();
    made
}
