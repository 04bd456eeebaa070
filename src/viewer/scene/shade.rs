//! Shade where little of the room is seen: under a nosing, beside a kick, about the foot of a
//! baluster (ambient occlusion).
//!
//! It is worked out once for a shape and laid on the corners of its mesh, so it costs nothing to
//! draw, on a graphics card or without one. In the window it is worked out beside it, and comes when
//! the stair has come to rest.

use std::collections::HashMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy::mesh::{Mesh, Mesh3d};
use bevy::prelude::{App, Assets, IntoScheduleConfigs as _, Local, Query, Res, ResMut, Update};
use nalgebra::{Point3, Vector3};

use crate::solids::{Bounds, Convex, Part, PartKind, Solids};

use bevy::prelude::resource_exists;
use bevy::render::renderer::RenderDevice;

use super::super::ViewerSystems;
use super::super::recompute::{Errand, Waker};
use super::{PartRef, Shown, parts};

/// What stands farther than this throws no shade, mm.
const REACH_MM: f64 = 240.0;
/// Ways that are looked from each corner.
const LOOKS: usize = 28;
/// How dark a place is that sees nothing, of 1.
const DEPTH: f64 = 0.72;
/// The paper that the stair stands on, mm.
const GROUND_MM: f64 = -4.0;
/// A corner is looked from so far off its face and its edges, mm.
const OFF_MM: f64 = 1.5;
/// Distances from an edge of a face at which it has corners of its own, mm: shade gathers in seams.
const FROM_EDGE_MM: [f64; 4] = [16.0, 45.0, 95.0, 180.0];
/// And these far from where another part stands.
const FROM_FOOT_MM: [f64; 2] = [16.0, 45.0];
/// Corners lie no farther apart than this, and no nearer, mm.
const APART_MM: (f64, f64) = (7.0, 260.0);
/// A face of more cells than this keeps its own corners.
const MOST_CELLS: usize = 6000;
/// A stair of more parts than this is not shaded: it is seen from too far for it.
pub(super) const MOST_PARTS: usize = 900;

/// What throws shade on a part.
pub(super) struct Around<'a>(Vec<(Bounds, &'a Convex)>);

impl<'a> Around<'a> {
    /// All pieces of a stair, walls among them.
    fn of(solids: &'a Solids) -> Self {
        let pieces = solids.parts.iter().flat_map(|part| &part.pieces);
        Self(pieces.map(|piece| (piece.bounds(), piece)).collect())
    }

    /// Those that are near a box.
    fn near(&self, bounds: &Bounds) -> Self {
        let near = self
            .0
            .iter()
            .filter(|(other, _)| other.meets(bounds, REACH_MM));
        Self(near.copied().collect())
    }

    /// Those that rise in front of a face.
    fn before(&self, face: &Face) -> Self {
        let rises = |piece: &Convex| {
            let mut corners = piece.corners().iter();
            corners.any(|at| (at - face.middle).dot(&face.normal) > 0.5)
        };
        let Some(bounds) = Bounds::around(&face.ring) else {
            return Self(Vec::new());
        };
        let mut near = self.near(&bounds).0;
        near.retain(|(_, piece)| rises(piece));
        Self(near)
    }
}

/// A flat face with two ways across it.
struct Face {
    ring: Vec<Point3<f64>>,
    middle: Point3<f64>,
    normal: Vector3<f64>,
    u: Vector3<f64>,
    v: Vector3<f64>,
}

impl Face {
    /// The face of a ring; `u` goes as near along the grain as the face lets it.
    fn of(ring: Vec<Point3<f64>>, normal: Vector3<f64>, along: &Vector3<f64>) -> Option<Self> {
        let first = ring.get(1)? - ring.first()?;
        let flat = |way: &Vector3<f64>| way - normal * way.dot(&normal);
        let u = flat(along).try_normalize(0.3);
        let u = u.or_else(|| flat(&first).try_normalize(f64::MIN_POSITIVE))?;
        let sum: Vector3<f64> = ring.iter().map(|at| at.coords).sum();
        Some(Self {
            middle: Point3::from(sum / ring.len() as f64),
            v: normal.cross(&u),
            normal,
            u,
            ring,
        })
    }

    /// Where a point lies across it, mm from its middle.
    fn flat(&self, at: &Point3<f64>) -> [f64; 2] {
        let from = at - self.middle;
        [from.dot(&self.u), from.dot(&self.v)]
    }

    fn back(&self, [u, v]: [f64; 2]) -> Point3<f64> {
        self.middle + self.u * u + self.v * v
    }
}

/// Places along one way across a face where it has corners: more of them near its ends and near what
/// stands on it.
fn ticks((low, high): (f64, f64), feet: &[(f64, f64)]) -> Vec<f64> {
    let half = (high - low) / 2.0;
    let mut at = vec![low, high];
    for far in FROM_EDGE_MM.into_iter().filter(|far| *far < half) {
        at.extend([low + far, high - far]);
    }
    for (from, to) in feet {
        at.extend([*from, *to]);
        for far in FROM_FOOT_MM {
            at.extend([from - far, to + far]);
        }
    }
    at.retain(|one| (low..=high).contains(one));
    at.sort_by(f64::total_cmp);
    let mut spaced: Vec<f64> = Vec::new();
    for one in at {
        match spaced.last() {
            Some(last) if one - last < APART_MM.0 => {}
            Some(last) => {
                let steps = ((one - last) / APART_MM.1).ceil();
                let from = *last;
                let between = (1..steps as i32).map(|i| from + (one - from) * f64::from(i) / steps);
                spaced.extend(between);
                spaced.push(one);
            }
            None => spaced.push(one),
        }
    }
    // The far end counts, whatever lies just before it.
    if let Some(last) = spaced.last_mut().filter(|last| **last < high) {
        if high - *last < APART_MM.0 && *last > low {
            *last = high;
        } else {
            spaced.push(high);
        }
    }
    spaced
}

/// A ring cut off where one of its coordinates passes a bound.
fn cut(ring: &[[f64; 2]], axis: usize, bound: f64, keep_above: bool) -> Vec<[f64; 2]> {
    let side = |at: &[f64; 2]| {
        let over = at[axis] - bound;
        if keep_above { over } else { -over }
    };
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (i, at) in ring.iter().enumerate() {
        let next = &ring[(i + 1) % ring.len()];
        let (here, there) = (side(at), side(next));
        if here >= 0.0 {
            kept.push(*at);
        }
        if here * there < 0.0 {
            let share = here / (here - there);
            kept.push([0, 1].map(|k| at[k] + (next[k] - at[k]) * share));
        }
    }
    kept
}

/// A face in cells.
struct Cells {
    corners: Vec<[f64; 2]>,
    rings: Vec<Vec<u32>>,
}

/// Cuts a face into cells along its ticks.
fn cells(ring: &[[f64; 2]], across: [&[f64]; 2]) -> Cells {
    let mut cells = Cells {
        corners: Vec::new(),
        rings: Vec::new(),
    };
    let mut known: HashMap<[i64; 2], u32> = HashMap::new();
    for columns in across[0].windows(2) {
        let column = cut(&cut(ring, 0, columns[0], true), 0, columns[1], false);
        for rows in across[1].windows(2) {
            let cell = cut(&cut(&column, 1, rows[0], true), 1, rows[1], false);
            let mut indices: Vec<u32> = Vec::with_capacity(cell.len());
            for at in cell {
                let key = at.map(|one| (one * 50.0).round() as i64);
                let index = *known.entry(key).or_insert_with(|| {
                    cells.corners.push(at);
                    cells.corners.len() as u32 - 1
                });
                if indices.last() != Some(&index) && indices.first() != Some(&index) {
                    indices.push(index);
                }
            }
            if indices.len() > 2 {
                cells.rings.push(indices);
            }
        }
    }
    cells
}

/// Directions over a face, more of them steep than flat, as light from all around counts.
fn looks(face: &Face) -> Vec<Vector3<f64>> {
    const GOLDEN: f64 = 2.399_963_229_728_653;
    let one = |i: usize| {
        let share = (i as f64 + 0.5) / LOOKS as f64;
        let (out, turn) = (share.sqrt(), i as f64 * GOLDEN);
        face.u * (out * turn.cos())
            + face.v * (out * turn.sin())
            + face.normal * (1.0 - share).sqrt()
    };
    (0..LOOKS).map(one).collect()
}

/// How far along a look a piece is met, mm; nought inside it.
fn met(piece: &Convex, from: &Point3<f64>, along: &Vector3<f64>) -> Option<f64> {
    let (mut enters, mut leaves) = (0.0_f64, REACH_MM);
    for plane in piece.planes() {
        let over = plane.distance(from);
        let closing = plane.normal.dot(along);
        if closing.abs() < 1e-12 {
            if over > 0.0 {
                return None;
            }
        } else {
            let far = -over / closing;
            if closing < 0.0 {
                enters = enters.max(far);
            } else {
                leaves = leaves.min(far);
            }
        }
        if enters > leaves {
            return None;
        }
    }
    Some(enters)
}

/// How much of what a place would see is hidden by what is near, 0 to 1; the nearer the more.
fn hidden(at: &Point3<f64>, looks: &[Vector3<f64>], around: &Around) -> f64 {
    let one = |along: &Vector3<f64>| {
        let ground = (along.z < -1e-6).then(|| ((GROUND_MM - at.z) / along.z).max(0.0));
        let met = around
            .0
            .iter()
            .filter_map(|(_, piece)| met(piece, at, along));
        let nearest = met.chain(ground).fold(REACH_MM, f64::min);
        let share = 1.0 - nearest / REACH_MM;
        share * share.sqrt()
    };
    looks.iter().map(one).sum::<f64>() / looks.len() as f64
}

/// Where others stand on a face, or against it, along one way across it.
fn feet(face: &Face, around: &Around, way: usize) -> Vec<(f64, f64)> {
    let extent = |piece: &Convex| {
        let near = |at: &&Point3<f64>| ((*at - face.middle).dot(&face.normal)).abs() < 60.0;
        let places = piece
            .corners()
            .iter()
            .filter(near)
            .map(|at| face.flat(at)[way]);
        let (low, high) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        (low < high).then_some((low, high))
    };
    around
        .0
        .iter()
        .filter_map(|(_, piece)| extent(piece))
        .collect()
}

/// A place on a face, and the light that it gets of all around, 0 to 1.
pub(super) struct Lit {
    pub(super) at: Point3<f64>,
    pub(super) light: f64,
}

/// A face as it is drawn: corners, and rings of them.
pub(super) struct LitFace {
    pub(super) corners: Vec<Lit>,
    pub(super) rings: Vec<Vec<u32>>,
}

/// A face with its shade.
pub(super) fn lit(
    ring: Vec<Point3<f64>>,
    normal: Vector3<f64>,
    along: &Vector3<f64>,
    around: &Around,
) -> Option<LitFace> {
    let face = Face::of(ring, normal, along)?;
    let around = around.before(&face);
    let flat: Vec<[f64; 2]> = face.ring.iter().map(|at| face.flat(at)).collect();
    let ways = [0, 1].map(|way| {
        let reach = flat
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at[way]), high.max(at[way]))
            });
        ticks(reach, &feet(&face, &around, way))
    });
    if ways[0].len() * ways[1].len() > MOST_CELLS {
        return None;
    }
    let cells = cells(&flat, [&ways[0], &ways[1]]);
    let looks = looks(&face);
    let corners = cells.corners.iter().map(|flat| {
        // Looked from a little towards the middle, so that no corner lies within its neighbour.
        let inwards = |one: f64| one - one.signum() * OFF_MM.min(one.abs());
        let from = face.back(flat.map(inwards)) + face.normal * OFF_MM;
        Lit {
            at: face.back(*flat),
            light: 1.0 - DEPTH * hidden(&from, &looks, &around),
        }
    });
    Some(LitFace {
        corners: corners.collect(),
        rings: cells.rings,
    })
}

/// The parts of a stair with their shade, by their names; shared out among the cores.
pub(super) fn shaded(solids: &Solids) -> HashMap<String, Mesh> {
    let all = Around::of(solids);
    let drawn = |part: &&Part| part.kind != PartKind::Wall;
    let parts: Vec<&Part> = solids.parts.iter().filter(drawn).collect();
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let one = |part: &Part| {
        let near = part.bounds().map(|bounds| all.near(&bounds));
        (part.name.clone(), parts::mesh_in(part, near.as_ref()))
    };
    std::thread::scope(|scope| {
        let share = |first: usize| {
            let (parts, one) = (&parts, &one);
            scope.spawn(move || -> Vec<(String, Mesh)> {
                let mine = parts.iter().skip(first).step_by(cores);
                mine.map(|part| one(part)).collect()
            })
        };
        let shares: Vec<_> = (0..cores).map(share).collect();
        let done = shares.into_iter().filter_map(|share| share.join().ok());
        done.flatten().collect()
    })
}

/// A stair that is dragged is shaded once it has stayed for so long.
const STAYS: Duration = Duration::from_millis(300);

/// What is being shaded.
#[derive(Default)]
struct Shading {
    /// What was last on show, and since when.
    seen: Option<(Arc<Solids>, Instant)>,
    /// What was last shaded, or is being.
    of: Option<Arc<Solids>>,
    running: Option<Errand<HashMap<String, Mesh>>>,
}

impl Shading {
    /// Whether what is shown has stayed; the window is woken when it may have.
    fn stays(&mut self, shown: &Arc<Solids>, waker: &Waker) -> bool {
        if let Some((seen, since)) = &self.seen
            && Arc::ptr_eq(seen, shown)
        {
            return since.elapsed() >= STAYS;
        }
        let first = self.seen.is_none();
        self.seen = Some((shown.clone(), Instant::now()));
        let wake = waker.0.clone();
        std::thread::spawn(move || {
            std::thread::sleep(STAYS);
            wake();
        });
        // When the window opens nobody drags.
        first
    }
}

/// Shades what is shown, once it stays.
fn shade(
    shown: Option<Res<Shown>>,
    waker: Option<Res<Waker>>,
    mut shading: Local<Shading>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut drawn: Query<(&PartRef, &mut Mesh3d)>,
) {
    let Some(shown) = shown else { return };
    let same = |of: &Option<Arc<Solids>>| {
        let mut of = of.iter();
        of.any(|of| Arc::ptr_eq(of, &shown.solids))
    };
    let mut done = None;
    if let Some(answer) = shading.running.as_ref().and_then(Errand::answer) {
        shading.running = None;
        done = same(&shading.of).then_some(answer);
    }
    let few = shown.solids.parts.len() <= MOST_PARTS;
    let wanted = few && shading.running.is_none() && !same(&shading.of);
    let stays = |shading: &mut Shading, waker: &Waker| shading.stays(&shown.solids, waker);
    if wanted
        && waker
            .as_ref()
            .is_none_or(|waker| stays(&mut shading, waker))
    {
        let solids = shown.solids.clone();
        shading.of = Some(solids.clone());
        match &waker {
            Some(waker) => shading.running = Some(Errand::aside(waker, move || shaded(&solids))),
            // A picture waits for it.
            None => done = Some(shaded(&solids)),
        }
    }
    let Some(mut done) = done else { return };
    for (part, mut mesh) in &mut drawn {
        if let Some(lit) = done.remove(&part.0) {
            mesh.0 = meshes.add(lit);
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    // Where nothing is drawn there is nothing to shade.
    let drawn = resource_exists::<RenderDevice>;
    let shades = shade.run_if(drawn).after(parts::sync);
    app.add_systems(Update, shades.in_set(ViewerSystems::Sync));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(low: [f64; 3], high: [f64; 3]) -> Convex {
        Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
    }

    fn around(pieces: &[Convex]) -> Around<'_> {
        Around(pieces.iter().map(|piece| (piece.bounds(), piece)).collect())
    }

    fn tread(others: &[Convex]) -> LitFace {
        let ring = [[0.0, 0.0], [900.0, 0.0], [900.0, 250.0], [0.0, 250.0]];
        let ring = ring.map(|[x, y]| Point3::new(x, y, 1000.0)).to_vec();
        lit(ring, Vector3::z(), &Vector3::x(), &around(others)).unwrap()
    }

    #[test]
    fn a_face_in_the_open_is_in_full_light_and_keeps_its_area() {
        let face = tread(&[]);
        assert!(face.corners.iter().all(|corner| corner.light > 0.999));
        // The shoelace formula over all cells.
        let area: f64 = face
            .rings
            .iter()
            .map(|ring| {
                let at = |i: usize| face.corners[ring[i % ring.len()] as usize].at;
                let pairs = (0..ring.len()).map(|i| (at(i), at(i + 1)));
                pairs.map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
            })
            .sum();
        approx::assert_relative_eq!(area, 900.0 * 250.0, max_relative = 1e-6);
    }

    #[test]
    fn half_of_all_light_is_hidden_at_the_foot_of_a_wall() {
        // The view factor of a plane to a tall wall at its foot is one half.
        let wall = block([-500.0, 250.0, 500.0], [1500.0, 300.0, 4000.0]);
        let at = Point3::new(450.0, 249.9, 1000.1);
        let ring = [[0.0, 0.0], [900.0, 0.0], [900.0, 250.0], [0.0, 250.0]];
        let ring = ring.map(|[x, y]| Point3::new(x, y, 1000.0)).to_vec();
        let face = Face::of(ring, Vector3::z(), &Vector3::x()).unwrap();
        let share = hidden(&at, &looks(&face), &around(&[wall]));
        approx::assert_relative_eq!(share, 0.5, epsilon = 0.05);
    }

    #[test]
    fn shade_gathers_about_a_baluster_and_is_gone_a_hand_away() {
        let post = block([440.0, 110.0, 1000.0], [472.0, 142.0, 1900.0]);
        let face = tread(&[post]);
        let light = |x: f64, y: f64| {
            let near = |corner: &&Lit| (corner.at - Point3::new(x, y, 1000.0)).norm();
            let corners = face.corners.iter();
            let one = corners.min_by(|a, b| near(a).total_cmp(&near(b))).unwrap();
            (near(&one), one.light)
        };
        let (off, beside) = light(440.0, 126.0);
        // It has a corner of its own there.
        assert!(off < 20.0, "{off}");
        assert!(beside < 0.85, "{beside}");
        assert!(light(0.0, 0.0).1 > 0.98);
    }

    #[test]
    fn a_look_meets_a_block_where_arithmetic_says() {
        let post = block([100.0, -10.0, -10.0], [120.0, 10.0, 10.0]);
        let from = Point3::origin();
        assert_eq!(met(&post, &from, &Vector3::x()), Some(100.0));
        assert_eq!(met(&post, &from, &-Vector3::x()), None);
        assert_eq!(
            met(&post, &Point3::new(110.0, 0.0, 0.0), &Vector3::x()),
            Some(0.0)
        );
    }
}
