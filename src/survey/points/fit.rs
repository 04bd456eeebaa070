//! [`fit`]: a wall from its points.

use nalgebra::{Point3, SVector, Vector3};

use super::outliers::{self, Group};
use super::patches::{self, Counts, Grid, Patches};
use super::place::{MeantFace, Placement};
use super::robust;
use super::surface::Surface;
use super::thin::{self, Cell, MOST_CELLS};
use crate::measure::{Length, tolerance};
use crate::survey::PlanePart;
use crate::survey::least_squares::{Uncertain, line};

/// Fewest points that make a wall.
pub const FEWEST_POINTS: usize = 50;
/// Side of the smallest patches, mm.
const PATCH: f64 = 50.0;
/// Points that a patch has on average at least, so that its median means something.
const POINTS_OF_PATCH: f64 = 12.0;
/// Most patches.
const MOST_PATCHES: f64 = 40_000.0;
/// Side of the smallest cells, mm.
const CELL: f64 = 100.0;

/// What may be chosen about a fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choices {
    /// Points farther than this off the meant face are not on this wall.
    pub band: Length,
}

impl Default for Choices {
    fn default() -> Self {
        Self {
            band: Length::mm(150.0),
        }
    }
}

/// The greatest departure of the wall from its plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bow {
    /// Where, from the wall's `from` end.
    pub along: Length,
    /// And above the datum.
    pub up: Length,
    /// How far off the plane, towards the room positive.
    pub off: Length,
}

/// A wall as its points say.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// How many points lie where.
    pub counts: Counts,
    /// The plane: offset (mm) at the foot half way along, splay and lean.
    pub plane: PlanePart,
    /// Standard deviation of each, the bow taken as error.
    pub plane_sd: PlanePart,
    /// Seen from above, how far the wall's own line stands off its meant one at its beginning and
    /// at its end: the line of least distances square to itself, each cell as sure along as off.
    pub in_plan: (Length, Length),
    /// Spread of the cells about the plane, as a standard deviation.
    pub bow_spread: Length,
    /// The greatest departure from the plane.
    pub bow: Bow,
    /// Standard deviation of a point about the surface.
    pub noise: Length,
    /// Things on the wall or behind its face, most points first.
    pub groups: Vec<Group>,
    /// Single points off the surface, left out too.
    pub strays: usize,
    /// What stands for the points.
    pub cells: Vec<Cell>,
    /// Side of a cell.
    pub cell_size: Length,
    /// Side of a patch, in which things on the wall are told from the wall.
    pub patch_size: Length,
}

/// Why points make no wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// Too few of them lie on it.
    #[error(
        "{} of {} points lie on the wall, {FEWEST_POINTS} at least are needed: {} lie beyond its \
         ends, {} above or below it, {} too far off its meant face",
        .0.on_the_wall, .0.given, .0.beyond_ends, .0.above_or_below, .0.off_the_face
    )]
    TooFew(Counts),
    /// They lie on one line, or too much of them is left out.
    #[error(
        "the points on the wall do not make a plane: {0} cells of them are left; points must lie \
         along it and up it"
    )]
    NoPlane(usize),
}

/// How many points would lie on the wall were their numbers so many times as great.
#[must_use]
pub fn on_wall_if(
    points: &[Point3<f64>],
    face: &MeantFace,
    placement: &Placement,
    choices: &Choices,
    times: f64,
) -> usize {
    let place = face.placer(placement);
    let scaled = |point: &Point3<f64>| place(&(point * times));
    patches::count(points, scaled, face, choices.band.as_mm()).on_the_wall
}

/// Fits a wall to points (mm, in the frame that the placement tells of).
///
/// # Errors
/// [`FitError`] where they make none.
pub fn fit(
    points: &[Point3<f64>],
    face: &MeantFace,
    placement: &Placement,
    choices: &Choices,
) -> Result<Fitted, FitError> {
    let place = face.placer(placement);
    let band = choices.band.as_mm();
    let mut counts = patches::count(points, &place, face, band);
    if counts.on_the_wall < FEWEST_POINTS {
        return Err(FitError::TooFew(counts));
    }
    let patch = patch_size(face, counts.on_the_wall);
    let patches = Patches::sort(points, &place, face, band, Grid::over(face, patch));
    let surface = Surface::of(&patches, face).ok_or(FitError::NoPlane(0))?;
    let sifted = outliers::sift(&patches, &surface);
    let each_way = cell_patches(&patches.grid);
    let cells = thin::thin(&patches, &surface, &sifted, each_way);
    counts.left_out = sifted.left_out;
    counts.used = cells.iter().map(|cell| cell.points).sum();
    let (plane, plane_sd, spread) = plane(&cells, face).ok_or(FitError::NoPlane(cells.len()))?;
    let bow = bow(&cells, face, &plane).ok_or(FitError::NoPlane(cells.len()))?;
    Ok(Fitted {
        counts,
        plane,
        plane_sd,
        in_plan: in_plan(&cells, face).ok_or(FitError::NoPlane(cells.len()))?,
        bow_spread: Length::mm(spread),
        bow,
        noise: Length::mm(sifted.noise),
        groups: sifted.groups,
        strays: sifted.strays,
        cells,
        cell_size: Length::mm(patch * each_way as f64),
        patch_size: Length::mm(patch),
    })
}

fn patch_size(face: &MeantFace, points: usize) -> f64 {
    let area = face.length() * face.height();
    let enough = (area * POINTS_OF_PATCH / points as f64).sqrt();
    PATCH.max(enough).max((area / MOST_PATCHES).sqrt())
}

/// How many patches a cell has each way.
fn cell_patches(grid: &Grid) -> usize {
    let mut each_way = (CELL / grid.size).round().max(1.0) as usize;
    while (grid.columns.div_ceil(each_way) * grid.rows.div_ceil(each_way)) as f64 > MOST_CELLS {
        each_way += 1;
    }
    each_way
}

fn plane(cells: &[Cell], face: &MeantFace) -> Option<(PlanePart, PlanePart, f64)> {
    let (middle, long, high) = (face.length() / 2.0, face.length(), face.height());
    let rows: Vec<Vector3<f64>> = cells
        .iter()
        .map(|cell| {
            let along = (cell.along.as_mm() - middle) / long;
            Vector3::new(1.0, along, (cell.up.as_mm() - face.foot()) / high)
        })
        .collect();
    let values: Vec<f64> = cells.iter().map(|cell| cell.off.as_mm()).collect();
    let centre = robust::median(&mut values.clone())?;
    let start = SVector::from([centre, 0.0, 0.0]);
    let fit = robust::fit(&rows, &values, start, tolerance::POINT_NOISE_MM)?;
    let part = |of: Vector3<f64>| PlanePart {
        offset: of.x,
        splay: of.y / long,
        lean: of.z / high,
    };
    // Cells that happen to agree better than they can do not make the plane surer.
    let claimed =
        robust::median(&mut cells.iter().map(|cell| cell.sd.as_mm()).collect::<Vec<_>>())?;
    let each = fit.spread.max(claimed);
    let sd = fit.cofactor.diagonal().map(|one| each * one.sqrt());
    Some((part(fit.coefficients), part(sd), fit.spread))
}

/// The wall's own line seen from above, at both ends of the meant one.
fn in_plan(cells: &[Cell], face: &MeantFace) -> Option<(Length, Length)> {
    let points: Vec<Uncertain> = cells
        .iter()
        .map(|cell| Uncertain {
            x: cell.along.as_mm(),
            y: cell.off.as_mm(),
            sd_x: cell.sd.as_mm(),
            sd_y: cell.sd.as_mm(),
        })
        .collect();
    let found = line(&points)?;
    let at = |along: f64| Length::mm(found.at_zero + found.slope * along);
    Some((at(0.0), at(face.length())))
}

fn bow(cells: &[Cell], face: &MeantFace, plane: &PlanePart) -> Option<Bow> {
    let away = |cell: &Cell| {
        let along = cell.along.as_mm() - face.length() / 2.0;
        let up = cell.up.as_mm() - face.foot();
        cell.off.as_mm() - plane.offset - plane.splay * along - plane.lean * up
    };
    let worst = cells
        .iter()
        .max_by(|a, b| away(a).abs().total_cmp(&away(b).abs()))?;
    Some(Bow {
        along: worst.along,
        up: worst.up,
        off: Length::mm(away(worst)),
    })
}
