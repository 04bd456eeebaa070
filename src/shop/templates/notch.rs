//! Notches for newels in treads, kicks and skirts: the lines where the newel's sides meet each face
//! on the stair as found. The front and the open end of a tread fold over its edges.

use nalgebra::Point2;

use crate::chain::RunChain;
use crate::measure::{Angle, Length};
use crate::setout::dry_fit::{Board, DryFit, Edge, FitSide, KnifeFace};

use super::plane::{Flap, FlatBoard, Plane};
use super::{Bore, Named, Stroke, StrokeKind, Template, TemplateKind, run_name};

/// The templates of one newel on one run, in the order in which one knifes its lines.
pub(super) fn of(run: &RunChain, fit: &DryFit) -> Vec<Template> {
    let folds = |face: &KnifeFace| matches!(face.on, Board::Nose | Board::End);
    let top_of = |face: &KnifeFace| {
        fit.faces
            .iter()
            .any(|top| top.on == Board::Top && top.part == face.part)
    };
    let mains = fit.faces.iter();
    mains
        .filter(|face| !folds(face) || !top_of(face))
        .filter_map(|face| one(run, fit, face))
        .collect()
}

/// The number of the edge that a face is laid to: the nosing of a tread's top, the upper edge of what
/// stands upright.
const fn datum(on: Board) -> usize {
    match on {
        Board::Top => 0,
        _ => 1,
    }
}

fn one(run: &RunChain, fit: &DryFit, face: &KnifeFace) -> Option<Template> {
    let board = &face.board;
    let at = datum(face.on);
    let plane = Plane::of(board, at, face.on == Board::Top)?;
    let flat = FlatBoard::of(board, &plane);
    // A skirt is cut at several steps, and an upright face may come without its top.
    let place = match face.on {
        Board::Skirt => format!("{}-{}-step-{}", fit.newel, face.part, face.step),
        Board::Nose => format!("{}-{}-front", fit.newel, face.part),
        Board::End => format!("{}-{}-end", fit.newel, face.part),
        Board::Top | Board::Kick => format!("{}-{}", fit.newel, face.part),
    };
    let mut made = Template::new(
        place,
        run_name(run),
        TemplateKind::Notch(face.on),
        face.part.clone(),
    );
    made.fits.clone_from(&fit.newel);
    made.datum = Named::Edge(board.edges[at].0);
    made.strokes = flat.strokes(at);
    let ring: Vec<Point2<f64>> = face.ring.iter().map(|at| plane.flat(at)).collect();
    made.waste.push(ring.clone());
    if fit.round {
        made.bores.extend(round(run, fit, face, &plane, &ring));
    } else {
        for line in &face.lines {
            let ends = [line.from, line.to].map(|at| plane.flat(&at));
            made.strokes.push(Stroke::line(
                StrokeKind::Cut,
                Named::Side(line.side),
                ends[0],
                ends[1],
            ));
            let (edge, is) = line.off;
            let off = ends.iter().zip(is).filter_map(|(at, is)| {
                let mut distance = flat.distance(edge, *at)?;
                distance.is = is;
                Some(distance)
            });
            made.distances.extend(off);
        }
    }
    if face.on == Board::Top {
        flaps(fit, face, &plane, &mut made);
    }
    // The corner that both edges make is what the template is laid to.
    made.labels.push(super::Label {
        at: Point2::origin(),
        says: Named::Nothing,
    });
    Some(made)
}

/// A round newel's notch: its centre and size.
fn round(
    run: &RunChain,
    fit: &DryFit,
    face: &KnifeFace,
    plane: &Plane,
    ring: &[Point2<f64>],
) -> Option<Bore> {
    let newel = run.setout.newel(&fit.newel)?;
    let (centre, off) = face.centre.as_ref()?;
    let lean = newel.axis.dot(&face.normal).abs().clamp(0.0, 1.0).acos();
    Some(Bore {
        part: fit.newel.clone(),
        at: plane.flat(centre),
        diameter: newel.along,
        depth: face.deep,
        outline: ring.to_vec(),
        off: *off,
        from_square: Angle::radians(lean),
    })
}

/// The front and the open end of a tread, folded out over its edges, where the newel cuts them.
fn flaps(fit: &DryFit, top: &KnifeFace, plane: &Plane, made: &mut Template) {
    let board = &top.board;
    let sides = fit.faces.iter().filter(|face| face.part == top.part);
    for face in sides.filter(|face| matches!(face.on, Board::Nose | Board::End)) {
        let edge = match face.on {
            Board::Nose => Edge::Nosing,
            _ => Edge::OpenEnd,
        };
        let Some((_, ends)) = board.edges.iter().find(|(one, _)| *one == edge) else {
            continue;
        };
        let inside = board
            .corners
            .iter()
            .fold(nalgebra::Vector2::zeros(), |sum, at| {
                sum + plane.flat(at).coords
            })
            / board.corners.len() as f64;
        let Some(flap) = Flap::over(plane, *ends, Point2::from(inside)) else {
            continue;
        };
        let whole = &face.board;
        let count = whole.corners.len();
        for i in 0..count {
            let ends = [i, (i + 1) % count].map(|at| flap.flat(&whole.corners[at]));
            made.strokes.push(Stroke::line(
                StrokeKind::Edge,
                Named::Nothing,
                ends[0],
                ends[1],
            ));
        }
        made.waste
            .push(face.ring.iter().map(|at| flap.flat(at)).collect());
        for line in face.lines.iter().filter(|line| line.side != FitSide::Round) {
            let ends = [line.from, line.to].map(|at| flap.flat(&at));
            made.strokes.push(Stroke::line(
                StrokeKind::Cut,
                Named::Nothing,
                ends[0],
                ends[1],
            ));
        }
        let [a, b] = fold(ends.map(|at| plane.flat(&at)), &face.ring, &flap);
        made.strokes
            .push(Stroke::line(StrokeKind::Fold, Named::Nothing, a, b));
    }
}

/// How much of an edge is drawn as a fold: the waste and a little to either side, so that the
/// template does not stretch over the whole board.
fn fold(
    [from, to]: [Point2<f64>; 2],
    ring: &[nalgebra::Point3<f64>],
    flap: &Flap,
) -> [Point2<f64>; 2] {
    let long = (to - from).norm();
    let way = (to - from) / long;
    let along = |at: &nalgebra::Point3<f64>| (flap.flat(at) - from).dot(&way);
    let (low, high) = ring
        .iter()
        .map(along)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
    [low - FOLD_MM, high + FOLD_MM].map(|at| from + way * at.clamp(0.0, long))
}

/// How far past the waste a fold is drawn.
const FOLD_MM: f64 = 20.0;

/// How far from zero a length counts as none, for words.
pub(super) fn is_nothing(length: Length) -> bool {
    length.abs().as_mm() < crate::measure::tolerance::SAME_POINT_MM
}
