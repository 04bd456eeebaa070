//! Rails that meet a newel, of whatever run they are: how high over its foot, the end with which each
//! stands against it, and what of it is shown beside the newel. First run's frame, mm.

use nalgebra::{Point3, Vector3};

use crate::chain::{Chain, RunChain};
use crate::job::RailEnd;
use crate::setout::{RailMeets, RailSet, meets};
use crate::solids::{Convex, Part, PartKind, Plane, slices};

/// How much of a rail of another run is shown, from the newel's face, mm.
const STUB: f64 = 120.0;
/// How far inside its end a rail's section is taken, mm.
const INSIDE: f64 = 0.5;

/// A rail that meets a newel.
pub(super) struct Meeting {
    /// How high, along the newel over its foot, at the face that it meets.
    pub(super) meets: RailMeets,
    /// Round its end against the newel; empty for a rail that lies on it.
    pub(super) end: Vec<Point3<f64>>,
    /// What is shown of it, where it is of another run than the newel.
    pub(super) stub: Option<Part>,
}

/// Every rail that meets a newel, run by run.
pub(super) fn meetings(chain: &Chain, newel: &str, own: usize) -> Vec<Meeting> {
    let runs = chain.runs.iter().enumerate();
    runs.flat_map(|(number, run)| {
        let rail = &run.run.job.design.rail;
        [(&rail.lower, false), (&rail.upper, true)]
            .into_iter()
            .filter(|(end, _)| matches!(end, RailEnd::Newel(name) if name == newel))
            .flat_map(move |(_, upper)| {
                let mut met = Vec::new();
                for (rail, kind) in rails(run) {
                    let at = (newel, upper, own);
                    met.extend(meeting(chain, (number, run), (&rail, kind), at));
                }
                met
            })
    })
    .collect()
}

/// The rail of a run, and what its balusters stand in: a bottom rail or a shoe, which end where it does.
fn rails(run: &RunChain) -> Vec<(RailSet, PartKind)> {
    let setout = &run.setout;
    let base = setout.base.as_ref();
    let below = setout
        .bottom_rail
        .as_ref()
        .map(|rail| (rail, PartKind::BottomRail));
    let below = below.or_else(|| base.map(|base| (&base.shoe, PartKind::Shoe)));
    let below = below.and_then(|(piece, kind)| Some((by_its_top(piece)?, kind)));
    let mut all = vec![(setout.rail.clone(), PartKind::Rail)];
    all.extend(below);
    all
}

/// A bottom rail or shoe by the middle of its top, as rails are told.
fn by_its_top(piece: &RailSet) -> Option<RailSet> {
    let along = (piece.upper - piece.lower).try_normalize(f64::MIN_POSITIVE)?;
    let left = Vector3::z()
        .cross(&along)
        .try_normalize(f64::MIN_POSITIVE)?;
    let up = along.cross(&left) * piece.depth.as_mm();
    Some(RailSet {
        lower: piece.lower + up,
        upper: piece.upper + up,
        ..piece.clone()
    })
}

fn meeting(
    chain: &Chain,
    (number, run): (usize, &RunChain),
    (rail, kind): (&RailSet, PartKind),
    (newel, upper, own): (&str, bool, usize),
) -> Option<Meeting> {
    let meets = meets(run.setout.newel(newel)?, rail, upper)?;
    let over = rail.over.iter().any(|over| over.newel == newel);
    let cut = if upper {
        rail.upper_cut
    } else {
        rail.lower_cut
    };
    let face = run.frame.to_first(&cut.point);
    let out = run.frame.way_to_first(&cut.normal);
    let mut parts = chain.solids.parts.iter().zip(&chain.solids.runs);
    let part =
        parts.find(|(part, of)| **of == number && part.kind == kind && part.name == rail.name);
    let part = part.map(|(part, _)| part).filter(|_| !over);
    let end = part.and_then(|part| end_of(part, &face, &out));
    let stub = part.filter(|_| number != own);
    Some(Meeting {
        meets,
        end: end.unwrap_or_default(),
        stub: stub.and_then(|part| stub_of(part, &face, &out)),
    })
}

/// The section of a rail just inside a face that it meets.
fn end_of(rail: &Part, face: &Point3<f64>, out: &Vector3<f64>) -> Option<Vec<Point3<f64>>> {
    let plane = Plane::through(face - out * INSIDE, *out)?;
    let off = |ring: &Vec<Point3<f64>>| {
        let far = ring.iter().map(|at| (at - face).norm());
        far.fold(f64::INFINITY, f64::min)
    };
    // A fitting of its other end may cross the same plane far off.
    slices(rail, &plane)
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// A rail as far as it is near a face that it meets.
fn stub_of(rail: &Part, face: &Point3<f64>, out: &Vector3<f64>) -> Option<Part> {
    let far = Plane::through(face - out * STUB, -out)?;
    let pieces = rail.pieces.iter().filter_map(|one| one.clip(&far));
    let pieces: Vec<Convex> = pieces.collect();
    (!pieces.is_empty()).then(|| Part {
        name: rail.name.clone(),
        kind: rail.kind,
        pieces,
    })
}
