//! Paths: any explicit way through the cell bounds the ball from below by its least clearance.

use nalgebra::{Point3, Vector3};

use super::scene::{Scene, Tight};

/// Pieces whose directions are tried for a way past them: a ball touches three at its tightest,
/// or two and slides.
const TOUCHED: usize = 3;

/// A way must gain at least this much across the cell for each mm it goes, or it leaves by the side.
const FORWARD: f64 = 0.1;

/// A point to go by, its clearance, and the best ways known from it to the source face and to the
/// sink face.
#[derive(Clone, Copy, Debug)]
struct Station {
    here: Tight,
    ways: [Tight; 2],
}

impl Station {
    fn through(&self) -> Tight {
        self.here.tighter(self.ways[0]).tighter(self.ways[1])
    }
}

/// The ways known through a cell, by way of the best points of the curtains.
#[derive(Clone, Debug, Default)]
pub(super) struct Ways {
    stations: Vec<Station>,
}

impl Ways {
    /// Adds a point and gives the way through it by straight legs, slid along the pieces nearest.
    pub(super) fn add(&mut self, scene: &Scene, at: Point3<f64>) -> Tight {
        let here = Tight {
            clearance: scene.clearance(&at),
            at,
        };
        let directions = directions(scene, &at);
        let ways = [-1.0, 1.0].map(|side| leg(scene, at, side, &directions, here.clearance));
        let mut new = Station { here, ways };
        let straight = new.through();
        // A way may bend at another station, and theirs at this one.
        for side in 0..2 {
            for other in &self.stations {
                join(scene, &mut new, other, side);
            }
            for other in &mut self.stations {
                join(scene, other, &new, side);
            }
        }
        self.stations.push(new);
        straight
    }

    /// The best way known: its clearance, and where it is tightest. Of places that are as tight to
    /// within `alike` that one which lies nearest to the middle of the cell: there the parts stand
    /// that it passes between.
    pub(super) fn best(&self, alike: f64) -> Option<Tight> {
        let through = |station: &Station| station.through().clearance;
        let best = self.stations.iter().reduce(|best, next| {
            if through(next) > through(best) {
                next
            } else {
                best
            }
        })?;
        let Tight { clearance, at } = best.through();
        let [source, sink] = best.ways;
        let places = [best.here, source, sink].into_iter();
        let tight = places.filter(|place| place.clearance <= clearance + alike);
        let nearest = tight.map(|place| place.at).reduce(|best, next| {
            if next.y.abs() < best.y.abs() {
                next
            } else {
                best
            }
        });
        Some(Tight {
            clearance,
            at: nearest.unwrap_or(at),
        })
    }
}

/// Goes on from one station by way of another where that is better.
fn join(scene: &Scene, from: &mut Station, by: &Station, side: usize) {
    let now = from.ways[side];
    let onward = by.here.tighter(by.ways[side]);
    if now.clearance >= from.here.clearance || onward.clearance <= now.clearance {
        return;
    }
    let way = onward.tighter(scene.along(from.here.at, by.here.at, now.clearance));
    if way.clearance > now.clearance {
        from.ways[side] = way;
    }
}

/// The best straight leg to one face: `side` is -1 for the source, 1 for the sink.
fn leg(
    scene: &Scene,
    from: Point3<f64>,
    side: f64,
    directions: &[Vector3<f64>],
    enough: f64,
) -> Tight {
    let mut best = Tight {
        clearance: f64::NEG_INFINITY,
        at: from,
    };
    for way in directions {
        let reach = (side * scene.half.y - from.y) / way.y;
        let end = scene.within(from + way * reach);
        let tight = scene.along(from, end, best.clearance);
        if tight.clearance > best.clearance {
            best = tight;
        }
        if best.clearance >= enough {
            break;
        }
    }
    best
}

/// Directions to try: straight across, and along the nearest pieces.
fn directions(scene: &Scene, point: &Point3<f64>) -> Vec<Vector3<f64>> {
    let mut near: Vec<_> = scene.pieces.iter().map(|piece| piece.near(point)).collect();
    near.sort_by(|a, b| a.distance.total_cmp(&b.distance));
    near.truncate(TOUCHED);
    let mut ways = vec![Vector3::y()];
    for (i, first) in near.iter().enumerate() {
        ways.push(Vector3::y() - first.away * first.away.y);
        ways.extend(
            near[..i]
                .iter()
                .map(|second| first.away.cross(&second.away)),
        );
    }
    ways.retain(|way| way.y.abs() > FORWARD * way.norm());
    ways
}
