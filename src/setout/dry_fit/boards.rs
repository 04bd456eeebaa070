//! The faces of the boards that a newel may go into, as flat outlines with the edges that a tape can
//! be hooked on.

use nalgebra::{Point3, Vector3};

use crate::job::{Job, Kicks, Side};
use crate::setout::notch::{kick_end, skirt_face};
use crate::site::{Site, Step};

use super::{Board, BoardFace, Edge};

/// A line that a tape can be hooked on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hook {
    pub(super) edge: Edge,
    pub(super) from: Point3<f64>,
    pub(super) to: Point3<f64>,
    /// Where a place may lie on either side of it: the side that counts as plus.
    pub(super) plus: Option<Vector3<f64>>,
}

impl Hook {
    pub(super) fn way(&self) -> Vector3<f64> {
        (self.to - self.from).normalize()
    }

    /// How far a point lies from it, square; negative past it.
    pub(super) fn distance(&self, at: &Point3<f64>) -> f64 {
        let foot = self.foot(at);
        let past = self.plus.is_some_and(|plus| foot.dot(&plus) < 0.0);
        if past { -foot.norm() } else { foot.norm() }
    }

    /// From the nearest point of its line to a point.
    pub(super) fn foot(&self, at: &Point3<f64>) -> Vector3<f64> {
        let (from, way) = (at - self.from, self.way());
        from - way * from.dot(&way)
    }
}

/// A face of a board.
#[derive(Clone, Debug)]
pub(super) struct Face {
    pub(super) part: String,
    pub(super) step: u32,
    pub(super) on: Board,
    pub(super) corners: Vec<Point3<f64>>,
    pub(super) normal: Vector3<f64>,
    pub(super) hooks: [Hook; 2],
    /// The board's thickness behind it.
    pub(super) thick: f64,
    /// Of the top of a tread, where the face of its own kick stands under it.
    pub(super) kick: Option<[Point3<f64>; 2]>,
}

impl Face {
    /// The face before anything is cut out of it.
    pub(super) fn whole(&self) -> BoardFace {
        BoardFace {
            part: self.part.clone(),
            corners: self.corners.clone(),
            normal: self.normal,
            edges: self.hooks.map(|hook| (hook.edge, [hook.from, hook.to])),
            kick: self.kick,
        }
    }
}

/// How far a kick leans up the flight per height, no unit.
pub(super) fn lean(job: &Job, step: u32) -> f64 {
    let mut read = job.boards.iter().flat_map(|boards| &boards.kick_leans);
    read.find(|one| one.step == step)
        .map_or(0.0, |one| one.by.value / one.over.value)
}

/// Where a kick's face stands at an offset and a height; it is taken to be read at its foot, and its
/// head leans from there.
pub(super) fn kick_face(job: &Job, site: &Site, step: &Step, q: f64, z: f64) -> f64 {
    let below = site
        .step(step.number - 1)
        .map_or(0.0, |tread| tread.thickness);
    let foot = site.height_of(step.number - 1, step.kick_x, 0.0) - below;
    step.kick_at(q) + lean(job, step.number) * (z - foot)
}

fn hook(edge: Edge, from: Point3<f64>, to: Point3<f64>) -> Hook {
    Hook {
        edge,
        from,
        to,
        plus: None,
    }
}

/// The top of a tread, or of the upper floor.
pub(super) fn top(site: &Site, step: &Step) -> Face {
    let at = |x: f64, q: f64| site.at(x, q, step.top(x, q));
    let (wall, open) = (step.wall_q, step.open_q);
    let corners = [
        at(step.nosing_at(wall), wall),
        at(step.nosing_at(open), open),
        at(step.back_at(open), open),
        at(step.back_at(wall), wall),
    ];
    Face {
        part: site.surface_name(step.number),
        step: step.number,
        on: Board::Top,
        normal: Vector3::new(-step.climb, -step.tilt * site.outward, 1.0).normalize(),
        hooks: [
            hook(Edge::Nosing, corners[0], corners[1]),
            hook(Edge::OpenEnd, corners[1], corners[2]),
        ],
        corners: corners.to_vec(),
        thick: step.thickness,
        kick: Some([wall, open].map(|q| at(step.kick_at(q), q))),
    }
}

/// The front of a tread.
pub(super) fn nose(site: &Site, step: &Step) -> Face {
    let at = |q: f64, down: f64| site.at(step.nosing_at(q), q, step.nosing_top(q) - down);
    let (wall, open, thick) = (step.wall_q, step.open_q, step.thickness);
    let corners = [
        at(wall, thick),
        at(open, thick),
        at(open, 0.0),
        at(wall, 0.0),
    ];
    Face {
        part: site.surface_name(step.number),
        step: step.number,
        on: Board::Nose,
        normal: Vector3::new(-1.0, step.skew * site.outward, 0.0).normalize(),
        hooks: [
            hook(Edge::OpenEnd, corners[1], corners[2]),
            hook(Edge::TopEdge, corners[2], corners[3]),
        ],
        corners: corners.to_vec(),
        thick: 0.0,
        kick: None,
    }
}

/// The open end of a tread.
pub(super) fn end(site: &Site, step: &Step) -> Face {
    let q = step.open_q;
    let at = |x: f64, down: f64| site.at(x, q, step.top(x, q) - down);
    let (front, back, thick) = (step.nosing_at(q), step.back_at(q), step.thickness);
    let corners = [
        at(front, thick),
        at(back, thick),
        at(back, 0.0),
        at(front, 0.0),
    ];
    Face {
        part: site.surface_name(step.number),
        step: step.number,
        on: Board::End,
        normal: Vector3::new(0.0, site.outward, 0.0),
        hooks: [
            hook(Edge::Nosing, corners[3], corners[0]),
            hook(Edge::TopEdge, corners[2], corners[3]),
        ],
        corners: corners.to_vec(),
        thick: 0.0,
        kick: None,
    }
}

/// The face of a kick, from the top of the tread below it to the underside of the one above.
pub(super) fn kick(job: &Job, site: &Site, step: &Step) -> Option<Face> {
    if job.flight.kicks != Kicks::Closed {
        return None;
    }
    let lean = lean(job, step.number);
    let at = |q: f64, z: f64| site.at(kick_face(job, site, step, q, z), q, z);
    let (wall, open) = (step.wall_q, kick_end(step));
    let low = |q: f64| site.height_of(step.number - 1, step.kick_at(q), q);
    let high = |q: f64| step.top(step.kick_at(q), q) - step.thickness;
    let corners = [
        at(wall, low(wall)),
        at(open, low(open)),
        at(open, high(open)),
        at(wall, high(wall)),
    ];
    Some(Face {
        part: site.kick_name(step.number),
        step: step.number,
        on: Board::Kick,
        normal: Vector3::new(-1.0, step.skew * site.outward, lean).normalize(),
        hooks: [
            hook(Edge::KickEnd, corners[1], corners[2]),
            hook(Edge::Underside, corners[2], corners[3]),
        ],
        corners: corners.to_vec(),
        thick: step.kick_thickness,
        kick: None,
    })
}

/// The outer faces of the open-side skirts at a step, above a height.
pub(super) fn skirts(job: &Job, site: &Site, step: &Step, foot: f64) -> Vec<Face> {
    // A skirt ends at the last kick: the upper floor has none.
    if site.step(step.number + 1).is_none() {
        return Vec::new();
    }
    let q = skirt_face(site);
    let (front, back) = (step.kick_at(q), step.back_at(q));
    let head = |x: f64| step.top(x, q) - step.thickness;
    let at = |x: f64, z: f64| site.at(x, q, z);
    let corners = [
        at(front, foot),
        at(back, foot),
        at(back, head(back)),
        at(front, head(front)),
    ];
    let skirts = job.skirts.iter().filter(|skirt| skirt.side == Side::Open);
    skirts
        .filter(|_| head(front).min(head(back)) > foot)
        .map(|skirt| Face {
            part: skirt.name.clone(),
            step: step.number,
            on: Board::Skirt,
            normal: Vector3::new(0.0, site.outward, 0.0),
            hooks: [
                hook(Edge::KickFace, corners[3], corners[0]),
                hook(Edge::Underside, corners[2], corners[3]),
            ],
            corners: corners.to_vec(),
            thick: skirt.thickness.mm(),
            kick: None,
        })
        .collect()
}

/// An edge on the open side, read inwards from it.
fn inside(hook: Hook, site: &Site) -> Hook {
    Hook {
        plus: Some(Vector3::new(0.0, -site.outward, 0.0)),
        ..hook
    }
}

/// A floor is drawn so far about a newel's foot, mm.
const ABOUT: f64 = 400.0;

/// What a newel stands on, as far as its foot is seen on it: to the face of the next kick.
pub(super) fn ground(site: &Site, surface: u32, foot: &Point3<f64>) -> Option<Face> {
    if let Some(step) = site.step(surface) {
        return Some(top(site, step));
    }
    let (x, q) = (foot.x, site.outward * foot.y);
    let at = |x: f64, q: f64| site.at(x, q, site.lower_floor(x, q));
    let sides = [q - ABOUT, q + ABOUT];
    let (corners, hooks) = if let Some(first) = site.steps.first() {
        let kick = sides.map(|q| at(first.kick_at(q), q));
        let open = kick_end(first);
        let front = x.min(first.kick_x) - ABOUT;
        let corners = [at(front, sides[0]), at(front, sides[1]), kick[1], kick[0]];
        let end = [front, first.kick_at(open)].map(|x| at(x, open));
        let hooks = [
            hook(Edge::KickFace, kick[0], kick[1]),
            inside(hook(Edge::KickEnd, end[0], end[1]), site),
        ];
        (corners, hooks)
    } else {
        let level = site.level?;
        let ends = [x - ABOUT, x + ABOUT];
        let corners = [
            at(ends[0], sides[0]),
            at(ends[0], sides[1]),
            at(ends[1], sides[1]),
            at(ends[1], sides[0]),
        ];
        let edge = ends.map(|x| at(x, level.open_q));
        let start = sides.map(|q| at(0.0, q));
        let hooks = [
            inside(hook(Edge::FloorEdge, edge[0], edge[1]), site),
            Hook {
                plus: Some(Vector3::x()),
                ..hook(Edge::RunStart, start[0], start[1])
            },
        ];
        (corners, hooks)
    };
    Some(Face {
        part: site.surface_name(0),
        step: 0,
        on: Board::Top,
        normal: Vector3::new(-site.lower.0, -site.lower.1 * site.outward, 1.0).normalize(),
        hooks,
        corners: corners.to_vec(),
        thick: 0.0,
        kick: None,
    })
}
