//! What of a part a tape hooks on: its corners, edges and faces, each with a name in trade words and a
//! place that finds it again on a stair that has changed.

use nalgebra::{Point3, Unit, Vector3};

use super::{Hold, Way};
use crate::job::{Hooked, HookedOn};
use crate::site::Frame;
use crate::solids::edges::{Segment, drawn_edges};
use crate::solids::{Bounds, Convex, Part, PartKind};

/// Corners nearer than this are one, mm: bits of edges meet so.
const ONE_MM: f64 = 0.05;
/// Faces whose planes differ by less are one face: in direction, no unit, and in place, mm.
const FLAT: f64 = 1e-7;
const FLUSH_MM: f64 = 1e-2;
/// This far outside its face the part goes on where the face is a seam, mm.
const OUT_MM: f64 = 0.05;
/// A place in the outer quarter of the box around a part is told as on that side.
const SIDE: f64 = 0.25;

/// Something that a tape can be hooked on.
#[derive(Clone, Debug)]
pub struct Hook {
    /// How it is found again.
    pub hooked: Hooked,
    /// What the tape is held to.
    pub hold: Hold,
    /// Its middle, mm in the first run's frame.
    pub middle: Point3<f64>,
    /// What it is called: `newel N1, uphill face`.
    pub says: String,
}

/// The box around a part in its run's own directions.
struct Around<'a> {
    part: &'a Part,
    frame: &'a Frame,
    bounds: Bounds,
    outward: f64,
}

impl<'a> Around<'a> {
    /// `None` where it has no body.
    fn of(part: &'a Part, frame: &'a Frame, outward: f64) -> Option<Self> {
        let corners: Vec<Point3<f64>> = part
            .pieces
            .iter()
            .flat_map(Convex::corners)
            .map(|corner| frame.from_first(corner))
            .collect();
        Some(Self {
            part,
            frame,
            bounds: Bounds::around(&corners)?,
            outward,
        })
    }

    /// Where a place lies in the box, as shares.
    fn shares(&self, at: &Point3<f64>) -> (f64, f64, f64) {
        let own = self.frame.from_first(at);
        let size = self.bounds.high - self.bounds.low;
        let share = |axis: usize| {
            if size[axis] > ONE_MM {
                ((own[axis] - self.bounds.low[axis]) / size[axis]).clamp(0.0, 1.0)
            } else {
                0.5
            }
        };
        (share(0), share(1), share(2))
    }

    /// The sides that a place lies on, as `top uphill open-side`.
    fn sides(&self, (x, y, z): (f64, f64, f64)) -> String {
        let out = if self.outward > 0.0 { y } else { 1.0 - y };
        let side = |share: f64, low: &'static str, high: &'static str| match share {
            share if share <= SIDE => low,
            share if share >= 1.0 - SIDE => high,
            _ => "",
        };
        let words = [
            side(z, "bottom", "top"),
            side(x, "downhill", "uphill"),
            side(out, "wall-side", "open-side"),
        ];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        words.join(" ")
    }

    /// The side that a face looks to.
    fn faces(&self, normal: &Vector3<f64>) -> &'static str {
        let own = self.frame.way_from_first(normal);
        let axis = own.iamax();
        match (axis, own[axis] > 0.0) {
            (0, true) => "uphill",
            (0, false) => "downhill",
            (1, up) if up == (self.outward > 0.0) => "open-side",
            (1, _) => "wall-side",
            (_, true) => "top",
            (_, false) => "under",
        }
    }

    /// What an edge of a tread is called, where it has a name of its own.
    fn is_nosing(&self, (x, _, z): (f64, f64, f64), along: &Vector3<f64>) -> bool {
        let own = self.frame.way_from_first(along);
        self.part.kind == PartKind::Tread
            && x < SIDE
            && z > 1.0 - SIDE
            && own.y.abs() > own.x.abs().max(own.z.abs())
    }

    fn hook(&self, on: HookedOn, hold: Hold, middle: Point3<f64>, says: String) -> Hook {
        Hook {
            hooked: Hooked {
                part: self.part.name.clone(),
                on,
                at: self.shares(&middle),
            },
            hold,
            middle,
            says,
        }
    }

    fn called(&self) -> String {
        format!("{} {}", self.part.kind.word(), self.part.name)
    }
}

/// A part as a whole; `None` where it has no body.
#[must_use]
pub fn whole(part: &Part) -> Option<Hook> {
    Some(Hook {
        hooked: Hooked::whole(&part.name),
        middle: part.bounds()?.centre(),
        hold: Hold {
            pieces: part
                .pieces
                .iter()
                .map(|piece| piece.corners().to_vec())
                .collect(),
            way: None,
        },
        says: format!("{} {}", part.kind.word(), part.name),
    })
}

/// Everything of a part that a tape can be hooked on: the whole, then its faces, edges and corners.
/// `frame` is its run's, `outward` the side of it that is open: 1 or -1, no unit (as
/// [`crate::site::Site`] has it).
#[must_use]
pub fn hooks(part: &Part, frame: &Frame, outward: f64) -> Vec<Hook> {
    let (Some(around), Some(whole)) = (Around::of(part, frame, outward), whole(part)) else {
        return Vec::new();
    };
    let edges = edges(&part.pieces);
    let mut all = vec![whole];
    all.extend(faces(&around));
    all.extend(edges.iter().filter_map(|edge| edge_hook(&around, edge)));
    let mut corners: Vec<Point3<f64>> = Vec::new();
    for at in edges.iter().flat_map(|(from, to)| [*from, *to]) {
        if corners.iter().all(|there| (there - at).norm() > ONE_MM) {
            corners.push(at);
        }
    }
    all.extend(corners.into_iter().map(|at| {
        let hold = Hold {
            pieces: vec![vec![at]],
            way: None,
        };
        let sides = around.sides(around.shares(&at));
        let says = format!("{}, {sides} corner", around.called());
        around.hook(HookedOn::Corner, hold, at, says)
    }));
    all
}

fn edge_hook(around: &Around<'_>, (from, to): &Segment) -> Option<Hook> {
    let along = Unit::try_new(to - from, f64::MIN_POSITIVE)?;
    let middle = nalgebra::center(from, to);
    let shares = around.shares(&middle);
    let says = if around.is_nosing(shares, &along) {
        format!("nosing of {}", around.part.name)
    } else {
        format!("{}, {} edge", around.called(), around.sides(shares))
    };
    let hold = Hold {
        pieces: vec![vec![*from, *to]],
        way: Some(Way::Along(along)),
    };
    Some(around.hook(HookedOn::Edge, hold, middle, says))
}

/// The edges of a part, bits that run on from each other joined.
fn edges(pieces: &[Convex]) -> Vec<Segment> {
    let mut all: Vec<Segment> = Vec::new();
    for bit in drawn_edges(pieces) {
        let mut bit = bit;
        while let Some(at) = all.iter().position(|there| joined(there, &bit).is_some()) {
            let there = all.swap_remove(at);
            bit = joined(&there, &bit).unwrap_or(bit);
        }
        all.push(bit);
    }
    all
}

/// Two bits of one line that meet or overlap, as one.
fn joined(a: &Segment, b: &Segment) -> Option<Segment> {
    let along = (a.1 - a.0).try_normalize(f64::MIN_POSITIVE)?;
    let off = |at: &Point3<f64>| (at - a.0).cross(&along).norm();
    if off(&b.0) > ONE_MM || off(&b.1) > ONE_MM {
        return None;
    }
    let place = |at: &Point3<f64>| along.dot(&(at - a.0));
    let length = place(&a.1);
    let (low, high) = {
        let (p, q) = (place(&b.0), place(&b.1));
        (p.min(q), p.max(q))
    };
    let meets = low <= length + ONE_MM && high >= -ONE_MM;
    meets.then(|| {
        let (from, to) = (low.min(0.0), high.max(length));
        (a.0 + along * from, a.0 + along * to)
    })
}

/// Faces in one plane: its normal, its offset in mm, and their corners.
type Flat = (Unit<Vector3<f64>>, f64, Vec<Vec<Point3<f64>>>);

/// The faces of a part: of its pieces, those in one plane together, seams left out.
fn faces(around: &Around<'_>) -> Vec<Hook> {
    let pieces = &around.part.pieces;
    let mut found: Vec<Flat> = Vec::new();
    for (number, piece) in pieces.iter().enumerate() {
        for (face, plane) in piece.planes().iter().enumerate() {
            let ring: Vec<Point3<f64>> = piece.ring(face).collect();
            let out = centre(&ring) + plane.normal.into_inner() * OUT_MM;
            let others = pieces.iter().enumerate().filter(|(one, _)| *one != number);
            let mut within = others.map(|(_, other)| {
                let planes = other.planes();
                planes.iter().all(|plane| plane.distance(&out) <= 0.0)
            });
            if within.any(|within| within) {
                continue;
            }
            let same = |(normal, offset, _): &&mut (Unit<Vector3<f64>>, f64, _)| {
                normal.dot(&plane.normal) > 1.0 - FLAT && (*offset - plane.offset).abs() < FLUSH_MM
            };
            match found.iter_mut().find(same) {
                Some((_, _, rings)) => rings.push(ring),
                None => found.push((plane.normal, plane.offset, vec![ring])),
            }
        }
    }
    let hook = |(normal, _, rings): Flat| {
        let middle = centre(&rings.concat());
        let says = match around.faces(&normal) {
            "under" => format!("{}, underside", around.called()),
            side => format!("{}, {side} face", around.called()),
        };
        let hold = Hold {
            pieces: rings,
            way: Some(Way::SquareTo(normal)),
        };
        around.hook(HookedOn::Face, hold, middle, says)
    };
    found.into_iter().map(hook).collect()
}

/// The middle of some corners.
fn centre(corners: &[Point3<f64>]) -> Point3<f64> {
    let sum: Vector3<f64> = corners.iter().map(|at| at.coords).sum();
    Point3::from(sum / corners.len().max(1) as f64)
}

/// Of a part's hooks, the one that a tape was hooked on: of its sort the one whose place in the box
/// around the part is nearest. `None` where it has none of that sort.
#[must_use]
pub fn find<'a>(hooks: &'a [Hook], hooked: &Hooked) -> Option<&'a Hook> {
    let off = |hook: &&Hook| {
        let ((x, y, z), (a, b, c)) = (hook.hooked.at, hooked.at);
        (x - a).powi(2) + (y - b).powi(2) + (z - c).powi(2)
    };
    let of_sort = hooks.iter().filter(|hook| hook.hooked.on == hooked.on);
    of_sort.min_by(|a, b| off(a).total_cmp(&off(b)))
}
