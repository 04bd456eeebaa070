//! Walls as solids: the face as found, in flat triangles, with the wall's body behind it.

use nalgebra::{Point3, Vector3};

use crate::site::{Site, WallFace};

use super::{Convex, Part, PartKind};

/// Spacing of the grid that the face is drawn on: finer than any bow worth a reading.
const GRID_MM: f64 = 400.0;
/// How thick a wall is drawn: a stud with a board on either side.
const BODY_MM: f64 = 115.0;

/// The run's own walls.
pub(super) fn own(site: &Site) -> Vec<Part> {
    site.walls.iter().take(site.own_walls).map(part).collect()
}

/// The walls of other runs, as this run sees them.
pub(super) fn others(site: &Site) -> Vec<Part> {
    site.walls.iter().skip(site.own_walls).map(part).collect()
}

pub(super) fn part(wall: &WallFace) -> Part {
    let run = (wall.to - wall.from) / wall.length();
    let back = Vector3::new(run.y, -run.x, 0.0) * BODY_MM;
    let stations = |length: f64| {
        let count = (length / GRID_MM).ceil().max(1.0) as u32;
        (0..=count)
            .map(move |i| length * f64::from(i) / f64::from(count))
            .collect::<Vec<_>>()
    };
    let (alongs, ups) = (stations(wall.length()), stations(wall.head - wall.foot));
    let at = |along: f64, up: f64| wall.point(along, wall.foot + up);
    let mut pieces = Vec::new();
    for along in alongs.windows(2) {
        for up in ups.windows(2) {
            let [a, b, c, d] = [
                at(along[0], up[0]),
                at(along[1], up[0]),
                at(along[1], up[1]),
                at(along[0], up[1]),
            ];
            pieces.extend(
                [[a, b, c], [a, c, d]]
                    .iter()
                    .filter_map(|ring| flat_prism(ring, back)),
            );
        }
    }
    Part {
        name: wall.name.clone(),
        kind: PartKind::Wall,
        pieces,
    }
}

fn flat_prism(ring: &[Point3<f64>; 3], back: Vector3<f64>) -> Option<Convex> {
    Convex::prism(ring, back)
}
