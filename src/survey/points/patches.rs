//! Points sorted into small square patches of the wall.

use nalgebra::Point3;

use super::parts::{POINTS, by_parts};
use super::place::{MeantFace, Whereabouts};

/// A grid of squares over a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    /// Side of a square, mm.
    pub(super) size: f64,
    pub(super) columns: usize,
    pub(super) rows: usize,
    foot: f64,
}

impl Grid {
    pub(super) fn over(face: &MeantFace, size: f64) -> Self {
        let count = |length: f64| (length / size).ceil().max(1.0) as usize;
        Self {
            size,
            columns: count(face.length()),
            rows: count(face.height()),
            foot: face.foot(),
        }
    }

    pub(super) const fn count(&self) -> usize {
        self.columns * self.rows
    }

    fn at(&self, along: f64, up: f64) -> usize {
        let step = |length: f64, count: usize| ((length / self.size) as usize).min(count - 1);
        step(up - self.foot, self.rows) * self.columns + step(along, self.columns)
    }

    /// Column and row of a square.
    pub(super) const fn place(&self, at: usize) -> (usize, usize) {
        (at % self.columns, at / self.columns)
    }

    /// The squares no further from one than so many squares, itself among them.
    pub(super) fn around(&self, at: usize, reach: usize) -> impl Iterator<Item = usize> + use<> {
        let (column, row) = self.place(at);
        let columns = column.saturating_sub(reach)..self.columns.min(column + reach + 1);
        let rows = row.saturating_sub(reach)..self.rows.min(row + reach + 1);
        let wide = self.columns;
        rows.flat_map(move |row| columns.clone().map(move |column| row * wide + column))
    }
}

/// How many points lie where.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// All that were given.
    pub given: usize,
    /// Beyond one of the wall's ends.
    pub beyond_ends: usize,
    /// Above its head or below its foot.
    pub above_or_below: usize,
    /// Within its extent, but further off the meant face than the band.
    pub off_the_face: usize,
    /// On the wall.
    pub on_the_wall: usize,
    /// Of these, left out as something on or in the wall, or astray.
    pub left_out: usize,
    /// Of these, used.
    pub used: usize,
}

/// Counts where points lie.
pub(super) fn count(
    points: &[Point3<f64>],
    place: impl Fn(&Point3<f64>) -> [f64; 3] + Sync,
    face: &MeantFace,
    band: f64,
) -> Counts {
    let parts = by_parts(points.len(), POINTS, |range| {
        let mut counts = [0; 4];
        for point in &points[range] {
            counts[face.where_is(place(point), band) as usize] += 1;
        }
        counts
    });
    let sum = |at: Whereabouts| parts.iter().map(|counts| counts[at as usize]).sum();
    Counts {
        given: points.len(),
        beyond_ends: sum(Whereabouts::BeyondAnEnd),
        above_or_below: sum(Whereabouts::AboveOrBelow),
        off_the_face: sum(Whereabouts::OffTheFace),
        on_the_wall: sum(Whereabouts::OnTheWall),
        ..Counts::default()
    }
}

/// The points on the wall as (along, up, off), patch by patch.
pub(super) struct Patches {
    pub(super) grid: Grid,
    starts: Vec<usize>,
    points: Vec<[f64; 3]>,
}

impl Patches {
    pub(super) fn sort(
        points: &[Point3<f64>],
        place: impl Fn(&Point3<f64>) -> [f64; 3] + Sync,
        face: &MeantFace,
        band: f64,
        grid: Grid,
    ) -> Self {
        const ELSEWHERE: u32 = u32::MAX;
        let keys = by_parts(points.len(), POINTS, |range| {
            let key = |point| {
                let placed = place(point);
                match face.where_is(placed, band) {
                    Whereabouts::OnTheWall => grid.at(placed[0], placed[1]) as u32,
                    _ => ELSEWHERE,
                }
            };
            points[range].iter().map(key).collect::<Vec<u32>>()
        });
        let mut starts = vec![0; grid.count() + 1];
        for key in keys.iter().flatten().filter(|key| **key != ELSEWHERE) {
            starts[*key as usize + 1] += 1;
        }
        for at in 1..starts.len() {
            starts[at] += starts[at - 1];
        }
        let mut next = starts.clone();
        let mut sorted = vec![[0.0; 3]; starts[grid.count()]];
        for (point, key) in points.iter().zip(keys.iter().flatten()) {
            if *key != ELSEWHERE {
                let slot = &mut next[*key as usize];
                sorted[*slot] = place(point);
                *slot += 1;
            }
        }
        Self {
            grid,
            starts,
            points: sorted,
        }
    }

    /// The points of one patch.
    pub(super) fn of(&self, patch: usize) -> &[[f64; 3]] {
        &self.points[self.starts[patch]..self.starts[patch + 1]]
    }

    /// Something of every patch, worked out by all cores.
    pub(super) fn each<T: Send>(&self, work: impl Fn(usize, &[[f64; 3]]) -> T + Sync) -> Vec<T> {
        const PATCHES: usize = 64;
        let parts = by_parts(self.grid.count(), PATCHES, |range| {
            range.map(|at| work(at, self.of(at))).collect::<Vec<T>>()
        });
        parts.into_iter().flatten().collect()
    }
}
