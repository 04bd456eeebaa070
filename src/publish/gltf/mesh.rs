//! The faces of a part as triangles: places in metres, y up; normals; places on the tile of grain.

use nalgebra::{Point3, Vector3};

use crate::publish::finish::grain;
use crate::solids::{Part, PartKind};

/// A surface of triangles, each face with corners of its own.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Surfaces {
    /// Places, metres, y up.
    pub(super) places: Vec<[f32; 3]>,
    /// Normals.
    pub(super) normals: Vec<[f32; 3]>,
    /// Where they lie on the tile.
    pub(super) tile: Vec<[f32; 2]>,
    /// Three corners of each triangle.
    pub(super) triangles: Vec<u32>,
}

/// A direction or a place of ours, mm and z up, as glTF has it: y up, so that what lies to the left
/// of one going up lies toward -z.
pub(super) fn y_up(of: &Vector3<f64>) -> [f64; 3] {
    [of.x, of.z, -of.y]
}

/// A place of ours, mm and z up, in metres and y up.
#[must_use]
pub fn metres(at: &Point3<f64>) -> [f64; 3] {
    y_up(&at.coords).map(|mm| mm / 1000.0)
}

impl Surfaces {
    /// The faces of a part that are wanted.
    pub(super) fn of(part: &Part, wanted: impl Fn(&Vector3<f64>) -> bool) -> Self {
        let along = grain::along(part);
        let start = grain::start(&part.name);
        // Plaster has no length and no breadth: its tile covers as much each way.
        let square = part.kind == PartKind::Wall;
        let mut made = Self::default();
        for piece in &part.pieces {
            for (face, plane) in piece.planes().iter().enumerate() {
                let normal = plane.normal.into_inner();
                if wanted(&normal) {
                    let ring: Vec<Point3<f64>> = piece.ring(face).collect();
                    made.face(&ring, &normal, (&along, start, square));
                }
            }
        }
        made
    }

    fn face(
        &mut self,
        ring: &[Point3<f64>],
        normal: &Vector3<f64>,
        (along, start, square): (&Vector3<f64>, f64, bool),
    ) {
        let first = self.places.len() as u32;
        let up = y_up(normal).map(|one| one as f32);
        // Whole tiles are taken off, so that what is left is told finely enough.
        let tile: Vec<[f64; 2]> = ring
            .iter()
            .map(|at| {
                let tile = grain::on_tile(at, along, normal, start);
                if square {
                    grain::on_plaster(tile)
                } else {
                    tile
                }
            })
            .collect();
        let floor = tile.first().map_or([0.0; 2], |first| first.map(f64::floor));
        for (at, tile) in ring.iter().zip(&tile) {
            self.places.push(metres(at).map(|one| one as f32));
            self.normals.push(up);
            self.tile
                .push([0, 1].map(|axis| (tile[axis] - floor[axis]) as f32));
        }
        for corner in 1..ring.len().saturating_sub(1) as u32 {
            self.triangles
                .extend([first, first + corner, first + corner + 1]);
        }
    }
}
