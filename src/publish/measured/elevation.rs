//! Elevations: a run from its open side.

use nalgebra::{Point3, Vector3};

use super::draft::{Draft, FINE, Side, TEXT};
use super::plan::own_name;
use super::row::Place;
use super::shown::{self, Numbered, Shown};
use super::{Measured, called, fit};
use crate::chain::{Chain, RunChain};
use crate::measure::{Length, Pitch, Tape};
use crate::publish::drawing::{At, Box2, Eye, RunView, RunViews, frame_of, split};
use crate::publish::pdf::{Pen, Shade};
use crate::setout::rail_window::nosing_line;
use crate::shop::cuts::Square;
use crate::site::Station;
use crate::solids::{PartKind, Plane};

/// Shown round the run, mm.
const ROUND: f64 = 90.0;

/// The elevation of a run.
pub(super) fn elevation(
    chain: &Chain,
    number: usize,
    room: (f64, f64),
    tape: Tape,
) -> Option<Measured> {
    let run = chain.runs.get(number)?;
    let eye = RunViews::of(chain, number)?.eye(RunView::Elevation);
    let parts = shown::parts(chain, Some(number));
    let frame = shown::frame(&eye, &parts)?.grown(ROUND);
    let (solid, _) = split(&eye, RunView::Elevation, &parts);
    let (walls, solid): (Vec<Numbered<'_>>, Vec<Numbered<'_>>) = solid
        .into_iter()
        .partition(|(_, part)| part.kind == PartKind::Wall);
    // Walls that end the run are cut over the baluster line.
    let on_line = run.frame.to_first(&Point3::origin());
    let plane = Plane::through(on_line, near(&eye));
    let cut = plane.map(|plane| shown::cut(&eye, &walls, &plane, &frame));
    let shown = Shown {
        cut: cut.unwrap_or_default(),
        seen: shown::seen(&eye, &solid, &frame),
        hidden: behind_string(run, &eye, &solid, &frame),
    };
    let title = format!("Elevation of {}, from its open side", called(chain, number));
    fit(tape.unit(), (frame.size(), room), &title, |by| {
        let mut draft = Draft::new(eye, by, tape, &shown);
        heights(&mut draft, run);
        rows(&mut draft, run);
        slope(&mut draft, run);
        names(&mut draft, &parts);
        draft
    })
}

/// Treads and kicks behind a closed string or half wall.
fn behind_string(run: &RunChain, eye: &Eye, parts: &[Numbered<'_>], frame: &Box2) -> Vec<(At, At)> {
    if run.setout.base.is_none() {
        return Vec::new();
    }
    let steps = parts
        .iter()
        .filter(|(_, part)| matches!(part.kind, PartKind::Tread | PartKind::Kick));
    let steps: Vec<Numbered<'_>> = steps.copied().collect();
    shown::seen(eye, &steps, frame)
}

/// Towards the eye.
fn near(eye: &Eye) -> Vector3<f64> {
    eye.motion().rotation.inverse() * Vector3::z()
}

/// Which side the lower end of a run lies on.
pub(super) fn lower_side(draft: &Draft, run: &RunChain) -> Side {
    let way = run.frame.way_to_first(&Vector3::x());
    if draft.eye.way(&way).x < 0.0 {
        Side::Right
    } else {
        Side::Left
    }
}

fn rows(draft: &mut Draft, run: &RunChain) {
    let site = &run.site;
    let at = |x: f64, z: f64| run.frame.to_first(&Point3::new(x, 0.0, z));
    let lower = lower_side(draft, run);
    let upper = if lower == Side::Left {
        Side::Right
    } else {
        Side::Left
    };
    if let Some(first) = site.steps.first() {
        let floor = site.lower_floor(first.nosing_x(), 0.0);
        let mut nosings = vec![Place::new(at(first.nosing_x(), floor), "floor")];
        nosings.extend(site.steps.iter().map(|step| {
            let surface = if site.step(step.number + 1).is_some() {
                format!("T{}", step.number)
            } else {
                "F1".to_owned()
            };
            Place::new(at(step.nosing_x(), step.nosing_top(0.0)), surface)
        }));
        draft.chain(lower, "rises", &nosings);
        draft.overall(lower, "rises", &nosings);
        draft.running(upper, "heights over the floor", &nosings);
        let kicks: Vec<Place> = site
            .steps
            .iter()
            .enumerate()
            .map(|(place, step)| {
                let name = if place == 0 {
                    "K1".to_owned()
                } else {
                    format!("K{}", step.number)
                };
                Place::new(at(step.kick_x, step.height), name)
            })
            .collect();
        draft.running(Side::Below, "kick faces", &kicks);
        draft.note(
            "At the sides: rises and heights, nosing to nosing on the baluster line. Below: \
             running to kick faces.",
        );
    }
    if let Some(level) = site.level {
        let ends = [0.0, level.length].map(|x| Place::new(at(x, site.lower_floor(x, 0.0)), ""));
        draft.overall(Side::Below, "length", &ends);
    }
}

/// Rail heights plumb, and newels' heights.
fn heights(draft: &mut Draft, run: &RunChain) {
    let site = &run.site;
    let setout = &run.setout;
    let stations = site.stations();
    let height = |station: &Station| {
        let top = setout.rail.top(station.x)?;
        let foot = site
            .step(station.step)
            .map_or(station.height, |step| step.nosing_top(0.0));
        Some([foot, top.z])
    };
    let window = &setout.rail.window;
    let asked = [window.lowest.1, window.highest.1];
    let mut told: Vec<String> = Vec::new();
    // In the middle, and where the rail is lowest and highest if the tape tells them apart.
    let middle = stations.len() / 2;
    let others = (0..stations.len())
        .filter(|&at| at != middle && site.level.is_none() && asked.contains(&stations[at].step));
    for station in [middle]
        .into_iter()
        .chain(others)
        .filter_map(|at| stations.get(at))
    {
        let Some(ends) = height(station) else {
            continue;
        };
        let figure = draft.tape.print(Length::mm(ends[1] - ends[0]));
        if told.contains(&figure) {
            continue;
        }
        told.push(figure);
        let ends = ends.map(|z| run.frame.to_first(&Point3::new(station.x, 0.0, z)));
        let row = format!("rail over the nosing of step {}", station.step);
        draft.single(&row, ends, 0.0);
        draft
            .note("In the picture: the rail's top plumb over nosings, least and greatest; newels.");
    }
    let lower = lower_side(draft, run);
    for newel in setout.all_newels() {
        let head = newel.foot + newel.axis.into_inner() * newel.height.as_mm();
        let ends = [newel.foot, head].map(|at| run.frame.to_first(&at));
        // Beyond the rail's end.
        let outside = if newel.at_foot { lower } else { other(lower) };
        let half = newel.along.as_mm() / 2.0 / draft.by + 3.2;
        let beside = -outside.outward() * half;
        let row = format!("height of {}", newel.name);
        draft.single(&row, ends, -beside);
    }
}

const fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        _ => Side::Left,
    }
}

/// How steep the nosings and the rail go, as a small triangle over the rail.
fn slope(draft: &mut Draft, run: &RunChain) {
    let rail = &run.setout.rail;
    if rail.pitch.slope().abs() < 0.01 {
        return;
    }
    let x = f64::midpoint(rail.lower.x, rail.upper.x);
    let Some(top) = rail.top(x) else { return };
    let middle = draft.at(&run.frame.to_first(&top));
    let slope = rail.pitch.slope();
    let (long, tall) = (12.0, 12.0 * slope);
    let out = lower_side(draft, run).outward();
    // Over the rail, its corner up the flight.
    let corner = (middle.0 - 2.0 * out, middle.1 - 9.0 - tall);
    let foot = (corner.0 - long * -out, corner.1 + tall);
    let line = [foot, (corner.0, foot.1), corner, foot];
    draft.lines.line(&line, Pen::new(Shade::BLACK, FINE));
    let (rise, going) = square(draft.tape, rail.pitch);
    draft.set(
        (f64::midpoint(foot.0, corner.0), foot.1 + 2.3),
        &going,
        TEXT,
        false,
    );
    let beside = corner.0 - out * (TEXT.width(&rise) / 2.0 + 1.2);
    draft.set(
        (beside, f64::midpoint(foot.1, corner.1)),
        &rise,
        TEXT,
        false,
    );
    let nosings = square(draft.tape, Pitch::from_slope(nosing_line(&run.site).slope));
    draft.note(format!(
        "Rail {rise} in {going}; nosings {} in {}.",
        nosings.0, nosings.1
    ));
}

/// A pitch as a rise over a level run that a square has: a foot, or 300 mm.
pub(super) fn square(tape: Tape, pitch: Pitch) -> (String, String) {
    let Square { rise, run } = Square::of(pitch.angle(), tape);
    (tape.print(rise), tape.print(run))
}

/// Newels over their heads; treads under their fronts and balusters over their feet where there is
/// room.
fn names(draft: &mut Draft, parts: &[Numbered<'_>]) {
    let eye = draft.eye;
    let back = eye.motion().inverse();
    for (_, part) in parts {
        let Some(frame) = frame_of(&eye, [*part]) else {
            continue;
        };
        let middle = f64::midpoint(frame.low.0, frame.high.0);
        let name = own_name(&part.name);
        match part.kind {
            PartKind::Newel => {
                draft.named(
                    &(back * Point3::new(middle, frame.high.1, 0.0)),
                    &[(0.0, -2.6), (0.0, -4.6), (0.0, -6.6)],
                    &name,
                );
            }
            PartKind::Tread => {
                draft.named(
                    &(back * Point3::new(middle, frame.low.1, 0.0)),
                    &[(0.0, 2.8), (0.0, 3.6), (-2.0, 3.0), (2.0, 3.0)],
                    &name,
                );
            }
            _ => {}
        }
    }
}
