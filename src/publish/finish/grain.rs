//! The grain of timber and the tooth of plaster: a tile of each, made from a fixed seed, and where a
//! face lies on it.

use nalgebra::{Point3, Vector3};

use crate::solids::Part;

/// Pixels of the tile, along the grain and across it.
pub const ALONG: usize = 256;
/// Pixels across it.
pub const ACROSS: usize = 256;
/// What the tile covers along the grain, mm.
pub const TILE_ALONG_MM: f64 = 1100.0;
/// What it covers across it, mm.
pub const TILE_ACROSS_MM: f64 = 170.0;
/// The deepest a grain line darkens at full grain.
const DEPTH: f32 = 0.30;
/// The deepest that plaster darkens.
const TOOTH: f32 = 0.055;

/// A number from 0 to 1 for a knot of the noise lattice.
fn knot(x: usize, y: usize, seed: u32) -> f32 {
    let mut hash = (x as u32).wrapping_mul(0x9e37_79b1)
        ^ (y as u32).wrapping_mul(0x85eb_ca77)
        ^ seed.wrapping_mul(0xc2b2_ae3d);
    hash ^= hash >> 15;
    hash = hash.wrapping_mul(0x2c1b_3c6d);
    hash ^= hash >> 12;
    (hash & 0xffff) as f32 / 65535.0
}

/// Smooth noise of `cells` knots each way that repeats at the tile's edges; (u, v) in 0 to 1.
fn noise(u: f32, v: f32, cells: (usize, usize), seed: u32) -> f32 {
    let place = |t: f32, count: usize| {
        let at = t.rem_euclid(1.0) * count as f32;
        let low = (at as usize).min(count - 1);
        let part = at - low as f32;
        (low, (low + 1) % count, part * part * (3.0 - 2.0 * part))
    };
    let (x0, x1, fx) = place(u, cells.0);
    let (y0, y1, fy) = place(v, cells.1);
    let mix = |a: f32, b: f32, t: f32| a + (b - a) * t;
    mix(
        mix(knot(x0, y0, seed), knot(x1, y0, seed), fx),
        mix(knot(x0, y1, seed), knot(x1, y1, seed), fx),
        fy,
    )
}

/// How dark the grain is at a place of the tile, 0 to 1.
fn figure(u: f32, v: f32) -> f32 {
    // Rings wander along the board, wide here and narrow there, and run out in arches where the saw
    // cut across them.
    let wander = noise(u, v, (2, 3), 7) * 0.30 + noise(u, v, (5, 7), 11) * 0.06;
    let arch = noise(u, v, (1, 2), 17);
    let at = (v + wander + 0.22 * arch * arch) * 9.0 + noise(u, v, (1, 4), 19) * 1.5;
    let year = at.rem_euclid(1.0);
    // The wood of a year darkens slowly and ends at once.
    let late = year * year * year * (1.0 - ((year - 0.9) * 10.0).clamp(0.0, 1.0));
    let rings = late * (0.35 + 0.65 * noise(u, v, (2, 7), 23));
    let fibre = noise(u, v, (10, 128), 3);
    let pores = (noise(u, v, (26, 200), 5) - 0.74).max(0.0) * 2.2;
    let broad = noise(u, v, (2, 5), 13);
    (0.62 * rings + 0.22 * fibre + 0.26 * broad + 0.5 * pores).clamp(0.0, 1.0)
}

/// How dark plaster is at a place of its tile, 0 to 1: the faint tooth that a float leaves.
fn tooth(u: f32, v: f32) -> f32 {
    let broad = noise(u, v, (3, 3), 31) * 0.5 + noise(u, v, (7, 6), 37) * 0.3;
    let fine = noise(u, v, (64, 57), 41) * 0.35 + noise(u, v, (128, 120), 43) * 0.3;
    (broad + fine) * 0.7
}

/// How much of red, green and blue grain of a strength takes off at a place of the tile, 0 to 1.
#[must_use]
pub fn taken_by_grain(u: f32, v: f32, strength: f32) -> [f32; 3] {
    // Grain is warmer than the ground: it takes more off the blue.
    let dark = figure(u, v) * DEPTH * strength;
    [dark * 0.8, dark, dark * 1.22]
}

/// How much of red, green and blue plaster takes off at a place of its tile, 0 to 1.
#[must_use]
pub fn taken_by_plaster(u: f32, v: f32) -> [f32; 3] {
    let dark = tooth(u, v) * TOOTH;
    [dark, dark, dark * 1.1]
}

/// The direction in which the timber of a part grew: along its longest edge, in the first run's frame.
#[must_use]
pub fn along(part: &Part) -> Vector3<f64> {
    let edges = part.pieces.iter().flat_map(|piece| {
        let corners = piece.corners();
        piece
            .edges()
            .into_iter()
            .map(move |(a, b)| corners[b] - corners[a])
    });
    let longest = edges.max_by(|a, b| a.norm().total_cmp(&b.norm()));
    longest
        .and_then(|edge| edge.try_normalize(f64::MIN_POSITIVE))
        .unwrap_or_else(Vector3::x)
}

/// Where a point of a face lies on the tile of grain, in tiles along and across; `start` shifts one
/// piece of timber against its like.
#[must_use]
pub fn on_tile(
    at: &Point3<f64>,
    along: &Vector3<f64>,
    normal: &Vector3<f64>,
    start: f64,
) -> [f64; 2] {
    let across = along.cross(normal);
    // End grain shows the rings; a short way along the tile stands for them.
    let (u, v) = match across.try_normalize(0.3) {
        Some(across) => (at.coords.dot(along), at.coords.dot(&across)),
        None => {
            let (u, v) = (normal.cross(&Vector3::z()), normal.cross(&Vector3::x()));
            (at.coords.dot(&u) * 0.3, at.coords.dot(&v) * 2.0)
        }
    };
    [u / TILE_ALONG_MM + start, v / TILE_ACROSS_MM + start * 7.0]
}

/// What the tile of plaster covers each way, mm.
pub const PLASTER_MM: f64 = 700.0;

/// The place on the tile of plaster of what lies so on the tile of grain.
#[must_use]
pub fn on_plaster([along, across]: [f64; 2]) -> [f64; 2] {
    [
        along * TILE_ALONG_MM / PLASTER_MM,
        across * TILE_ACROSS_MM / PLASTER_MM,
    ]
}

/// A small lightening or darkening of one piece of timber among its like, 0.93 to 1.03: the same
/// name gives the same tone in every run.
#[must_use]
pub fn tone(name: &str) -> f32 {
    // FNV-1a, so that the tone does not hang on a hasher that may change.
    let hash = name.bytes().fold(0x811c_9dc5_u32, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    });
    0.93 + 0.10 * ((hash >> 8) & 0xff) as f32 / 255.0
}

/// How far a piece of timber is shifted on the tile against its like, mm.
#[must_use]
pub fn start(name: &str) -> f64 {
    f64::from(tone(name)) * 37.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::{Convex, PartKind};

    #[test]
    fn grain_runs_along_the_piece() {
        let piece = Convex::cuboid(Point3::origin(), Point3::new(270.0, 900.0, 25.0)).unwrap();
        let part = Part {
            name: "T1".to_owned(),
            kind: PartKind::Tread,
            pieces: vec![piece],
        };
        approx::assert_relative_eq!(along(&part).y.abs(), 1.0, epsilon = 1e-9);
    }

    #[test]
    fn the_tile_has_no_seam() {
        for i in 0..64 {
            let t = i as f32 / 64.0;
            assert!((figure(0.0, t) - figure(0.999_99, t)).abs() < 0.01);
            assert!((tooth(0.0, t) - tooth(0.999_99, t)).abs() < 0.01);
            assert!((tooth(t, 0.0) - tooth(t, 0.999_99)).abs() < 0.01);
            assert!((noise(t, 0.0, (6, 9), 11) - noise(t, 0.999_999, (6, 9), 11)).abs() < 0.01);
        }
    }
}
