//! The bores of the balusters in each tread, from the nosing and the open end.

use nalgebra::Point2;

use crate::chain::RunChain;
use crate::measure::Angle;
use crate::setout::dry_fit::{Board, DryFit, Edge, tread_top};
use crate::setout::{BalusterSet, plan};
use crate::site::Step;

use super::plane::{FlatBoard, Plane};
use super::{Bore, Label, Named, Stroke, StrokeKind, Template, TemplateKind, fitted, run_name};

/// One template for each tread that balusters stand on; none where they stand on something else.
pub(super) fn of(run: &RunChain, fits: &[&DryFit]) -> Vec<Template> {
    if !run.setout.on_treads() {
        return Vec::new();
    }
    let steps = run.site.steps.iter();
    steps.filter_map(|step| one(run, fits, step)).collect()
}

fn one(run: &RunChain, fits: &[&DryFit], step: &Step) -> Option<Template> {
    let on: Vec<&BalusterSet> = run
        .setout
        .balusters
        .iter()
        .filter(|one| one.step == step.number)
        .collect();
    on.first()?;
    let board = tread_top(&run.site, step);
    let plane = Plane::of(&board, 0, true)?;
    let flat = FlatBoard::of(&board, &plane);
    let mut made = Template::new(
        format!("{}-bores", board.part),
        run_name(run),
        TemplateKind::Bores,
        board.part.clone(),
    );
    let names: Vec<&str> = on.iter().map(|one| one.name.as_str()).collect();
    made.fits = fitted(&names);
    made.datum = Named::Edge(board.edges[0].0);
    made.strokes = flat.strokes(0);
    made.bores = on
        .iter()
        .filter_map(|baluster| bore(run, step, baluster, (&plane, &flat)))
        .collect();
    // The kick under the tread, from its open end to past the farthest bore.
    let farthest = made.bores.iter().map(|bore| bore.at.x.abs());
    let reach = farthest.fold(0.0, f64::max) + REACH_MM;
    let kick = |q: f64| {
        plane.flat(
            &run.site
                .at(step.kick_at(q), q, step.top(step.kick_at(q), q)),
        )
    };
    let ends = [step.open_q, (step.open_q - reach).max(step.wall_q)];
    made.strokes.push(Stroke::line(
        StrokeKind::Guide,
        Named::Edge(Edge::KickFace),
        kick(ends[0]),
        kick(ends[1]),
    ));
    let mut cut = fits
        .iter()
        .flat_map(|fit| fit.faces.iter().map(move |face| (fit, face)));
    if let Some((fit, face)) =
        cut.find(|(_, face)| face.on == Board::Top && face.part == board.part)
    {
        let ring = face.ring.iter().map(|at| plane.flat(at)).collect();
        made.strokes.push(Stroke::ring(
            StrokeKind::Guide,
            Named::Part(fit.newel.clone()),
            ring,
        ));
    }
    made.labels.push(Label {
        at: Point2::origin(),
        says: Named::Nothing,
    });
    Some(made)
}

/// How far past the farthest bore the kick's face is drawn, mm.
const REACH_MM: f64 = 40.0;

fn bore(
    run: &RunChain,
    step: &Step,
    one: &BalusterSet,
    (plane, flat): (&Plane, &FlatBoard),
) -> Option<Bore> {
    let at = plane.flat(&one.foot);
    let outward = run.site.outward;
    let ring = plan::section(
        one.foot.xy(),
        one.along.as_mm(),
        one.across.as_mm(),
        one.round,
        Angle::ZERO,
    );
    let outline = ring.iter().map(|place| {
        let q = outward * place.y;
        plane.flat(&run.site.at(place.x, q, step.top(place.x, q)))
    });
    let normal = plane.right.cross(&plane.up);
    let way = (one.top - one.foot).try_normalize(f64::MIN_POSITIVE)?;
    let off = |edge: Edge| Some((edge, flat.distance(edge, at)?.is));
    Some(Bore {
        part: one.name.clone(),
        at,
        diameter: one.peg.1,
        depth: one.peg.0,
        outline: outline.collect(),
        off: [off(Edge::Nosing)?, off(Edge::OpenEnd)?],
        from_square: Angle::radians(way.dot(&normal).clamp(-1.0, 1.0).acos()),
    })
}
