//! [`Shown`]: the lines of a view before it has a scale, mm of the model in the picture's plane.

use nalgebra::Point3;

use crate::chain::{Chain, RunChain};
use crate::publish::drawing::{At, Box2, Eye, Piece, hull, lines};
use crate::setout::block_corners;
use crate::solids::{Convex, Part, PartKind, Plane, slice};

/// A part with its number among all.
pub(super) type Numbered<'a> = (usize, &'a Part);

/// What is cut: the part's kind and the rings of its pieces.
pub(super) struct Cut {
    pub(super) part: String,
    pub(super) kind: PartKind,
    pub(super) rings: Vec<Vec<At>>,
    /// Its outline, without the seams between its pieces.
    pub(super) outline: Vec<(At, At)>,
}

/// Lines of the parts that an eye sees.
#[derive(Default)]
pub(super) struct Shown {
    /// Seen.
    pub(super) seen: Vec<(At, At)>,
    /// Drawn dashed, as if one saw through what hides them.
    pub(super) hidden: Vec<(At, At)>,
    /// Cut through.
    pub(super) cut: Vec<Cut>,
}

/// The lines of parts within a frame.
pub(super) fn seen(eye: &Eye, parts: &[Numbered<'_>], frame: &Box2) -> Vec<(At, At)> {
    let pieces: Vec<Piece> = parts
        .iter()
        .flat_map(|(number, part)| Piece::of(eye, *number, part))
        .filter(|piece| piece.frame.meets(frame))
        .collect();
    within(lines(&pieces), frame)
}

fn within(lines: Vec<(At, At)>, frame: &Box2) -> Vec<(At, At)> {
    lines
        .into_iter()
        .filter_map(|(from, to)| {
            let (first, last) = frame.clip_segment(from, to)?;
            let at = |share: f64| {
                (
                    from.0 + (to.0 - from.0) * share,
                    from.1 + (to.1 - from.1) * share,
                )
            };
            Some((at(first), at(last)))
        })
        .collect()
}

/// The outline round a part, whatever its own edges: right for what is straight before the eye.
pub(super) fn outline(eye: &Eye, part: &Part, frame: &Box2) -> Vec<(At, At)> {
    let corners = part.pieces.iter().flat_map(Convex::corners);
    let places = corners.map(|corner| {
        let p = eye.point(corner);
        (p.x, p.y)
    });
    let ring = hull(&places.collect::<Vec<_>>());
    let sides = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]));
    within(sides.collect(), frame)
}

/// How deep the slab is whose edges outline a cut, mm.
const SLAB: f64 = 2.0;
/// How far a cut is moved off a seam, mm.
const SEAM: f64 = 0.02;

/// What a plane cuts of some parts, the eye on its outward side, within a frame.
pub(super) fn cut(eye: &Eye, parts: &[Numbered<'_>], plane: &Plane, frame: &Box2) -> Vec<Cut> {
    let flat = |at: &Point3<f64>| {
        let p = eye.point(at);
        (p.x, p.y)
    };
    parts
        .iter()
        .filter_map(|(number, part)| {
            // A wall is made of flat pieces: a plane along their seams would cut none of them.
            let touches = part.kind == PartKind::Wall
                && part
                    .pieces
                    .iter()
                    .all(|piece| slice(piece, plane).is_none());
            let plane = &Plane {
                offset: plane.offset - if touches { SEAM } else { 0.0 },
                ..*plane
            };
            let behind = Plane {
                normal: -plane.normal,
                offset: SLAB - plane.offset,
            };
            let mut rings = Vec::new();
            let mut slabs = Vec::new();
            for piece in &part.pieces {
                let Some(ring) = slice(piece, plane) else {
                    continue;
                };
                let ring: Vec<At> = frame.clip(&ring.iter().map(flat).collect::<Vec<_>>());
                if ring.len() < 3 {
                    continue;
                }
                rings.push(ring);
                slabs.extend(piece.common(&[*plane, behind]));
            }
            let slab = Part {
                pieces: slabs,
                name: part.name.clone(),
                kind: part.kind,
            };
            (!rings.is_empty()).then(|| Cut {
                part: part.name.clone(),
                kind: part.kind,
                rings,
                outline: seen(eye, &[(*number, &slab)], frame),
            })
        })
        .collect()
}

/// What of some parts lies behind a plane, the eye on its outward side.
pub(super) fn beyond(parts: &[Numbered<'_>], planes: &[Plane]) -> Vec<(usize, Part)> {
    parts
        .iter()
        .filter_map(|(number, part)| {
            let kept = |piece: &Convex| piece.common(planes);
            let pieces: Vec<Convex> = part.pieces.iter().filter_map(kept).collect();
            (!pieces.is_empty()).then(|| {
                let part = Part {
                    pieces,
                    name: part.name.clone(),
                    kind: part.kind,
                };
                (*number, part)
            })
        })
        .collect()
}

/// The blocks that a job says are there under its treads, as parts; a run has none of its own as
/// solids.
pub(super) fn blocks(run: &RunChain) -> Vec<Part> {
    let motion = run.frame.motion();
    let placed = run.run.job.blocking.iter();
    placed
        .filter_map(|block| {
            let [low, high] = block_corners(&run.site, block)?;
            Some(Part {
                name: block.name.clone(),
                kind: PartKind::Stringer,
                pieces: vec![Convex::cuboid(low, high)?.moved(&motion)],
            })
        })
        .collect()
}

/// Numbers of parts that are none of the stair's solids begin here.
pub(super) const ASIDE: usize = 1 << 32;

/// The parts of a run, of the stair that it stands on, and the newels of other runs that it meets;
/// of all runs where none is asked for.
pub(super) fn parts(chain: &Chain, run: Option<usize>) -> Vec<Numbered<'_>> {
    let all = chain
        .solids
        .parts
        .iter()
        .zip(&chain.solids.runs)
        .enumerate();
    let Some(run) = run else {
        return all.map(|(number, (part, _))| (number, part)).collect();
    };
    let here = &chain.runs[run];
    let base = here.run.beside.as_ref().map(|(stair, _)| *stair);
    let given = &here.setout.given;
    all.filter(|(_, (part, of))| {
        let met = || given.iter().any(|newel| newel.name == part.name);
        **of == run || Some(**of) == base || part.kind == PartKind::Newel && met()
    })
    .map(|(number, (part, _))| (number, part))
    .collect()
}

/// The box round the parts of a run that are its own work: no floors, no walls.
pub(super) fn frame(eye: &Eye, parts: &[Numbered<'_>]) -> Option<Box2> {
    let own = parts
        .iter()
        .filter(|(_, part)| !matches!(part.kind, PartKind::Wall | PartKind::Floor));
    let corners = own
        .flat_map(|(_, part)| &part.pieces)
        .flat_map(Convex::corners)
        .map(|corner| eye.point(corner));
    corners
        .map(|p| Box2::about((p.x, p.y), (0.0, 0.0)))
        .reduce(|a, b| a.union(&b))
}
