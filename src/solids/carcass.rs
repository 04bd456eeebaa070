//! The stair's own body as solids: floors, treads, kicks, stringers and skirts.
//!
//! mm in the flight's frame. Treads run from their nosing to the next kick's face; kicks stand
//! behind the tread below and under the tread above; a notched part is what the newel leaves.

use nalgebra::{Point3, Vector3};

use crate::job::{Job, Kicks, Side, Skirt, Stringer};
use crate::setout::boards::reaches;
use crate::site::{Site, Step};

use super::{Convex, Part, PartKind, Plane, bottom};

/// How far floors are drawn beyond the flight, and how thick.
const FLOOR_BEFORE: f64 = 900.0;
const FLOOR_BESIDE: f64 = 600.0;
const FLOOR_THICK: f64 = 25.0;

/// A block between two levels offsets across the flight: the ring is given in (x, z) for each of
/// its two sides, so that its top and bottom may tilt.
pub(super) fn across_block(
    site: &Site,
    q: [f64; 2],
    ring_at: impl Fn(f64) -> Vec<(f64, f64)>,
) -> Option<Convex> {
    let ring = |q: f64| -> Vec<Point3<f64>> {
        ring_at(q)
            .into_iter()
            .map(|(x, z)| site.at(x, q, z))
            .collect()
    };
    Convex::loft(&ring(q[0]), &ring(q[1]))
}

/// Every part of the carcass. `notchers` are the outward planes of each newel that is notched in.
pub(super) fn parts(job: &Job, site: &Site, notchers: &[Vec<Plane>]) -> Vec<Part> {
    let mut parts: Vec<Part> = lower_floor(site).into_iter().collect();
    let kicks = job.flight.kicks == Kicks::Closed;
    let reaches = reaches(job, site);
    for (at, step) in site.steps.iter().enumerate() {
        let cut = reaches.treads.get(at);
        let ends = reaches.kicks.get(at);
        // At the wall a shaped step ends as it is cut there.
        let shaped_step = Step {
            wall_q: ends.map_or(step.wall_q, |ends| ends[0]),
            ..step.clone()
        };
        // A last kick that reaches a winder has its tread drawn with the turn.
        if !is_top(site, step) || site.upper_drawn {
            let tread = bottom::tread_part(job, site, &shaped_step);
            let tread = tread.unwrap_or_else(|| match cut {
                Some(corners) => cut_tread(site, step, corners),
                None => upper_floor(site, step),
            });
            parts.push(notched(tread, notchers));
        }
        if kicks {
            let shaped = site.upper_drawn || !is_top(site, step);
            let kick = shaped
                .then(|| bottom::kick_part(job, site, &shaped_step))
                .flatten();
            let own = [step.wall_q, step.open_q - step.overhang.max(0.0)];
            let kick = kick.unwrap_or_else(|| kick_part(site, step, *ends.unwrap_or(&own)));
            parts.push(notched(kick, notchers));
        }
    }
    parts.extend(
        job.stringers
            .iter()
            .map(|stringer| stringer_part(site, stringer)),
    );
    parts.extend(
        job.skirts
            .iter()
            .map(|skirt| notched(skirt_part(site, skirt), notchers)),
    );
    parts
}

fn part(name: String, kind: PartKind, pieces: impl IntoIterator<Item = Convex>) -> Part {
    Part {
        name,
        kind,
        pieces: pieces.into_iter().collect(),
    }
}

pub(super) fn notched(mut part: Part, notchers: &[Vec<Plane>]) -> Part {
    for planes in notchers {
        part.pieces = part
            .pieces
            .iter()
            .flat_map(|piece| piece.without(planes))
            .collect();
    }
    part
}

fn lower_floor(site: &Site) -> Option<Part> {
    let (x, q, thick) = match (site.steps.first(), &site.level) {
        _ if !site.floor_drawn => return None,
        (Some(first), _) => (
            [-FLOOR_BEFORE, first.kick_x + first.kick_thickness],
            [first.wall_q, first.open_q + FLOOR_BESIDE],
            FLOOR_THICK,
        ),
        (None, Some(level)) => (
            [0.0, level.length],
            [level.wall_q, level.open_q],
            level.thickness,
        ),
        (None, None) => return None,
    };
    let slab = across_block(site, q, |q| {
        let [low, high] = x.map(|x| site.lower_floor(x, q));
        vec![
            (x[0], low - thick),
            (x[1], high - thick),
            (x[1], high),
            (x[0], low),
        ]
    });
    Some(part(site.surface_name(0), PartKind::Floor, slab))
}

/// A tread as it is cut: between the corners of its show face, plumb down through its thickness.
fn cut_tread(site: &Site, step: &Step, corners: &[Point3<f64>; 4]) -> Part {
    let under = corners.map(|at| at - Vector3::z() * step.thickness);
    let board = Convex::loft(&under, corners);
    part(site.tread_name(step.number), PartKind::Tread, board)
}

/// The upper floor as far as it is drawn.
fn upper_floor(site: &Site, step: &Step) -> Part {
    let slab = |from: f64, to: f64| {
        across_block(site, [from, to], |q| super::obstacle::tread_ring(step, q))
    };
    // A landing reaches past the open end, to where the next run comes down to it.
    let past = (site.floor_out > 0.0)
        .then(|| slab(step.open_q, step.open_q + site.floor_out))
        .flatten();
    let pieces = slab(step.wall_q, step.open_q).into_iter().chain(past);
    part(site.surface_name(step.number), PartKind::Floor, pieces)
}

fn is_top(site: &Site, step: &Step) -> bool {
    step.number as usize == site.steps.len()
}

/// The kick: behind the tread below, under the tread above, between its ends on the wall side and on
/// the open side.
fn kick_part(site: &Site, step: &Step, ends: [f64; 2]) -> Part {
    let below = site.step(step.number - 1);
    let board = across_block(site, ends, |q| {
        let (face, back) = (step.kick_at(q), step.kick_at(q) + step.kick_thickness);
        let foot = below.map_or_else(
            || site.lower_floor(face, q),
            |tread| tread.top(face, q) - tread.thickness,
        );
        let head = step.top(face, q) - step.thickness;
        vec![(face, foot), (back, foot), (back, head), (face, head)]
    });
    part(site.kick_name(step.number), PartKind::Kick, board)
}

/// The board under the step cuts between two offsets across the flight: from behind each kick to
/// behind the next, with `throat` left plumb under the cuts.
fn stepped_board(site: &Site, q: [f64; 2], throat: f64) -> Vec<Convex> {
    let floor = Plane::through(Point3::origin(), -Vector3::z());
    let treads = site.steps.windows(2);
    treads
        .filter_map(|pair| {
            let (step, next) = (&pair[0], &pair[1]);
            let block = across_block(site, q, |q| {
                let head = step.top(step.kick_x, q) - step.thickness;
                let low = head - step.rise;
                let (front, back) = (
                    step.kick_x + step.kick_thickness,
                    next.kick_x + next.kick_thickness,
                );
                vec![
                    (front, low - throat),
                    (back, head - throat),
                    (back, head),
                    (front, head),
                ]
            })?;
            floor.map_or(Some(block.clone()), |plane| block.clip(&plane))
        })
        .collect()
}

fn stringer_part(site: &Site, stringer: &Stringer) -> Part {
    let outer = -stringer.inset.mm();
    let pieces = stepped_board(
        site,
        [outer - stringer.thickness.mm(), outer],
        stringer.throat.mm(),
    );
    part(stringer.name.clone(), PartKind::Stringer, pieces)
}

fn skirt_part(site: &Site, skirt: &Skirt) -> Part {
    let pieces = match skirt.side {
        Side::Open => {
            // The skirt is mitred to the kicks, whose ends stand back from the tread ends by the
            // return nosing.
            let faces = site
                .steps
                .iter()
                .map(|step| step.open_q - step.overhang.max(0.0));
            let outer = faces.fold(f64::INFINITY, f64::min);
            stepped_board(
                site,
                [outer - skirt.thickness.mm(), outer],
                skirt.width.mm(),
            )
        }
        Side::Wall => raked_board(site, skirt),
    };
    part(skirt.name.clone(), PartKind::Skirt, pieces)
}

/// A board along the wall, parallel to the nosing line, from the lower floor to the upper.
fn raked_board(site: &Site, skirt: &Skirt) -> Vec<Convex> {
    let (Some(first), Some(last)) = (site.steps.first(), site.steps.last()) else {
        return Vec::new();
    };
    let nosings = crate::setout::rail_window::nosing_line(site);
    let inner = site
        .steps
        .iter()
        .map(|step| step.wall_q)
        .fold(f64::INFINITY, f64::min);
    let (low_x, high_x) = (
        first.nosing_x() - skirt.above.mm(),
        last.kick_x + last.kick_thickness,
    );
    let board = across_block(site, [inner - skirt.thickness.mm(), inner], |_| {
        let top = |x: f64| nosings.at(x) + skirt.above.mm();
        let under = |x: f64| top(x) - skirt.width.mm();
        vec![
            (low_x, under(low_x)),
            (high_x, under(high_x)),
            (high_x, top(high_x)),
            (low_x, top(low_x)),
        ]
    });
    let floor = Plane::through(Point3::origin(), -Vector3::z());
    board
        .and_then(|board| floor.map_or(Some(board.clone()), |plane| board.clip(&plane)))
        .into_iter()
        .collect()
}
