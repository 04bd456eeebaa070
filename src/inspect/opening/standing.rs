//! [`Standing`]: what stands where on the whole stair, roughly, so that nothing in the way of an
//! opening is missed and little is looked at in vain.
//!
//! Boxes in the first run's frame, mm; each holds its part, with room to spare.

use nalgebra::{Point3, Vector3};

use crate::inspect::Run;
use crate::setout::{BalusterSet, HalfNewelSet, NewelSet, PanelSet, RailSet};
use crate::site::WallFace;
use crate::solids::Bounds;

/// How far a wall's face may stand off its meant plane, and how thick it is drawn.
const WALL_OFF: f64 = 250.0;

/// A part and the box around it.
#[derive(Clone, Debug)]
struct Rough {
    name: String,
    bounds: Bounds,
    /// True for what stands in its run's own row, each beside the next.
    in_row: bool,
}

/// The parts of one run.
#[derive(Clone, Debug)]
struct OfRun {
    parts: Vec<Rough>,
    whole: Option<Bounds>,
}

/// All that can stand in the way of an opening.
#[derive(Clone, Debug)]
pub(super) struct Standing(Vec<OfRun>);

impl Standing {
    pub(super) fn of(runs: &[Run<'_>]) -> Self {
        Self(runs.iter().map(of_run).collect())
    }

    /// The parts whose boxes meet this one: those of other runs, and those of the run itself that
    /// are not members of its row. With the run that each belongs to.
    pub(super) fn meeting(&self, run: usize, within: &Bounds) -> Vec<(usize, &str)> {
        let runs = self
            .0
            .iter()
            .enumerate()
            .filter(|(_, of)| of.whole.is_some_and(|whole| whole.meets(within, 0.0)));
        runs.flat_map(|(number, of)| {
            let parts = of.parts.iter();
            parts
                .filter(move |part| !(part.in_row && number == run))
                .filter(|part| part.bounds.meets(within, 0.0))
                .map(move |part| (number, part.name.as_str()))
        })
        .collect()
    }
}

fn of_run(run: &Run<'_>) -> OfRun {
    let setout = run.solid.setout;
    let mut parts = Vec::new();
    let mut add = |name: &str, points: &[Point3<f64>], room: f64, in_row: bool| {
        let placed: Vec<Point3<f64>> = points.iter().map(|at| run.frame.to_first(at)).collect();
        if let Some(Bounds { low, high }) = Bounds::around(&placed) {
            let room = Vector3::repeat(room);
            parts.push(Rough {
                name: name.to_owned(),
                bounds: Bounds {
                    low: low - room,
                    high: high + room,
                },
                in_row,
            });
        }
    };
    for newel in &setout.newels {
        let (points, room) = newel_at(newel);
        add(&newel.name, &points, room, false);
    }
    for half in &setout.half_newels {
        let (points, room) = half_newel_at(half);
        add(&half.name, &points, room, false);
    }
    for one in &setout.balusters {
        let (points, room) = baluster_at(one);
        add(&one.name, &points, room, true);
    }
    for panel in setout.panels.iter().flat_map(|run| &run.panels) {
        let PanelSet {
            corners, thickness, ..
        } = panel;
        add(&panel.name, corners, thickness.as_mm(), true);
    }
    let base = setout.base.as_ref();
    let under = base.map(|base| [Some(&base.body), base.cap.as_ref(), Some(&base.shoe)]);
    let rails = [Some(&setout.rail), setout.bottom_rail.as_ref()];
    let rails = rails.into_iter().chain(under.into_iter().flatten());
    for rail in rails.flatten() {
        let (points, room) = rail_at(rail);
        add(&rail.name, &points, room, true);
    }
    let site = run.solid.site;
    for wall in site.walls.iter().take(site.own_walls) {
        add(&wall.name, &wall_at(wall), WALL_OFF, false);
    }
    let boxes = parts.iter().map(|part| part.bounds);
    let whole = boxes.reduce(|a, b| a.union(&b));
    OfRun { parts, whole }
}

fn newel_at(newel: &NewelSet) -> (Vec<Point3<f64>>, f64) {
    let head = newel.foot + newel.axis.into_inner() * newel.height.as_mm();
    // A cap stands out on either side.
    let room = newel.along.as_mm() + newel.across.as_mm() + newel.cap.out.as_mm();
    (vec![newel.foot, head], room)
}

fn half_newel_at(half: &HalfNewelSet) -> (Vec<Point3<f64>>, f64) {
    let head = half.face + Vector3::z() * half.height.as_mm();
    let room = half.across.as_mm() + half.thickness.as_mm();
    (vec![half.face, head], room)
}

fn baluster_at(one: &BalusterSet) -> (Vec<Point3<f64>>, f64) {
    (
        vec![one.foot, one.top],
        one.along.as_mm() + one.across.as_mm() + one.seat.as_mm(),
    )
}

fn rail_at(rail: &RailSet) -> (Vec<Point3<f64>>, f64) {
    let fittings = rail.fittings.iter().flat_map(|one| [one.start, one.end]);
    let points = [rail.lower, rail.upper].into_iter().chain(fittings);
    (points.collect(), rail.width.as_mm() + rail.depth.as_mm())
}

fn wall_at(wall: &WallFace) -> [Point3<f64>; 4] {
    let at = |plan: nalgebra::Point2<f64>, z: f64| Point3::new(plan.x, plan.y, z);
    [
        at(wall.from, wall.foot),
        at(wall.to, wall.foot),
        at(wall.from, wall.head),
        at(wall.to, wall.head),
    ]
}
