//! The wall's own surface under what stands on it: a robust curved surface over the whole wall,
//! then, patch by patch, a robust plane through the patches around it.
//!
//! A bow passes: it changes slowly. A trim, a plate, a box or a niche does not: it is smaller than
//! the surroundings that the surface is drawn from, or too far off the whole wall's surface.

use nalgebra::{SVector, Vector3};

use super::patches::Patches;
use super::place::MeantFace;
use super::robust::{self, biweight, centre_and_spread, median};
use crate::measure::tolerance;

/// How far around a patch its surface is drawn from, mm: what is smaller than about half of this
/// is seen as something on the wall. Wider than a casing, narrower than a bow between studs and
/// corner (common practice, no source).
const AROUND: f64 = 450.0;
/// At least so many patches each way.
const AROUND_PATCHES: f64 = 3.0;
/// A patch nearer than this to the whole wall's curved surface may be bow, mm: three times the bow
/// that the survey expects of a wall (3 mm).
const MAY_BE_BOW: f64 = 9.0;
/// Fewest patches that a surface is drawn from.
const FEWEST: usize = 5;

/// The patch's middle and its points' median.
#[derive(Clone, Copy, Debug)]
pub(super) struct Level {
    pub(super) along: f64,
    pub(super) up: f64,
    pub(super) off: f64,
}

/// The curved surface of the whole wall: a quadratic in (along, up).
#[derive(Clone, Copy, Debug)]
pub(super) struct Curved {
    middle: (f64, f64),
    half: (f64, f64),
    coefficients: SVector<f64, 6>,
}

impl Curved {
    fn row(&self, along: f64, up: f64) -> SVector<f64, 6> {
        let s = (along - self.middle.0) / self.half.0;
        let t = (up - self.middle.1) / self.half.1;
        SVector::from([1.0, s, t, s * s, s * t, t * t])
    }

    pub(super) fn off(&self, along: f64, up: f64) -> f64 {
        self.row(along, up).dot(&self.coefficients)
    }
}

/// The surface at one patch, against the curved one: level at its middle, and its two slopes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Local(Vector3<f64>);

/// The surface.
pub(super) struct Surface {
    pub(super) curved: Curved,
    pub(super) levels: Vec<Option<Level>>,
    locals: Vec<Local>,
}

impl Surface {
    /// `None` where too few patches have points.
    pub(super) fn of(patches: &Patches, face: &MeantFace) -> Option<Self> {
        let levels: Vec<Option<Level>> = patches.each(|_, points| level(points));
        let curved = curved(&levels, face, patches)?;
        let away = |level: &Level| level.off - curved.off(level.along, level.up);
        let all: Vec<f64> = levels.iter().flatten().map(away).collect();
        let (_, spread) = centre_and_spread(&mut all.clone())?;
        let gate = (robust::BIWEIGHT * spread).max(MAY_BE_BOW);
        let seeds: Vec<Option<(Level, f64)>> = levels
            .iter()
            .map(|level| level.map(|level| (level, away(&level))))
            .map(|seed| seed.filter(|(_, away)| away.abs() <= gate))
            .collect();
        let reach = AROUND.max(AROUND_PATCHES * patches.grid.size);
        let locals = patches.each(|at, _| match levels[at] {
            Some(here) => local(&seeds, patches, at, here, reach),
            None => Local::default(),
        });
        Some(Self {
            curved,
            levels,
            locals,
        })
    }

    /// How far off the surface a point of a patch is.
    pub(super) fn away(&self, patch: usize, [along, up, off]: [f64; 3]) -> f64 {
        let Some(level) = self.levels[patch] else {
            return 0.0;
        };
        let Local(local) = self.locals[patch];
        let reach = Vector3::new(1.0, along - level.along, up - level.up);
        off - self.curved.off(along, up) - local.dot(&reach)
    }

    /// How far off the surface a patch's median is.
    pub(super) fn level_away(&self, patch: usize) -> Option<f64> {
        self.levels[patch].map(|level| self.away(patch, [level.along, level.up, level.off]))
    }
}

fn level(points: &[[f64; 3]]) -> Option<Level> {
    let mut offs: Vec<f64> = points.iter().map(|point| point[2]).collect();
    let off = median(&mut offs)?;
    let count = points.len() as f64;
    let mean = |axis: usize| points.iter().map(|point| point[axis]).sum::<f64>() / count;
    Some(Level {
        along: mean(0),
        up: mean(1),
        off,
    })
}

/// The slope of values over places by repeated medians (Siegel, Biometrika 69, 1982), which half
/// of the values may spoil. Only pairs in one line of blocks are compared.
fn slope(blocks: &[(usize, f64, f64)]) -> f64 {
    let mut each: Vec<f64> = blocks
        .iter()
        .filter_map(|&(line, at, off)| {
            let mut pairs: Vec<f64> = blocks
                .iter()
                .filter(|other| other.0 == line && (other.1 - at).abs() > 1.0)
                .map(|other| (other.2 - off) / (other.1 - at))
                .collect();
            median(&mut pairs)
        })
        .collect();
    median(&mut each).unwrap_or(0.0)
}

/// A start that nothing small can move: medians of blocks, repeated medians for the slopes.
fn start(levels: &[Option<Level>], patches: &Patches, curved: &Curved) -> Option<SVector<f64, 6>> {
    const BLOCKS: usize = 16;
    let wide = patches.grid.columns.div_ceil(BLOCKS);
    let high = patches.grid.rows.div_ceil(BLOCKS);
    let mut members: Vec<Vec<Level>> = vec![Vec::new(); BLOCKS * BLOCKS];
    for (at, level) in levels.iter().enumerate() {
        let (column, row) = patches.grid.place(at);
        members[row / high * BLOCKS + column / wide].extend(level);
    }
    let blocks: Vec<(usize, Level)> = members
        .iter()
        .enumerate()
        .filter_map(|(at, members)| {
            let middle = |part: fn(&Level) -> f64| {
                median(&mut members.iter().map(part).collect::<Vec<f64>>())
            };
            let level = Level {
                along: middle(|level| level.along)?,
                up: middle(|level| level.up)?,
                off: middle(|level| level.off)?,
            };
            Some((at, level))
        })
        .collect();
    let splay = slope(
        &blocks
            .iter()
            .map(|(at, level)| (at / BLOCKS, level.along, level.off))
            .collect::<Vec<_>>(),
    );
    let lean = slope(
        &blocks
            .iter()
            .map(|(at, level)| {
                let level_off = level.off - splay * level.along;
                (at % BLOCKS, level.up, level_off)
            })
            .collect::<Vec<_>>(),
    );
    let plane = |level: &Level| {
        splay * (level.along - curved.middle.0) + lean * (level.up - curved.middle.1)
    };
    let mut rests: Vec<f64> = blocks.iter().map(|(_, l)| l.off - plane(l)).collect();
    let offset = median(&mut rests)?;
    Some(SVector::from([
        offset,
        splay * curved.half.0,
        lean * curved.half.1,
        0.0,
        0.0,
        0.0,
    ]))
}

fn curved(levels: &[Option<Level>], face: &MeantFace, patches: &Patches) -> Option<Curved> {
    let half = (face.length() / 2.0, face.height() / 2.0);
    let mut curved = Curved {
        middle: (half.0, face.foot() + half.1),
        half,
        coefficients: SVector::zeros(),
    };
    curved.coefficients = start(levels, patches, &curved)?;
    let rows: Vec<_> = levels
        .iter()
        .flatten()
        .map(|level| curved.row(level.along, level.up))
        .collect();
    let values: Vec<f64> = levels.iter().flatten().map(|level| level.off).collect();
    // Where the patches do not settle a curve (a strip of points), the start is the surface.
    let fit = robust::fit(
        &rows,
        &values,
        curved.coefficients,
        tolerance::POINT_NOISE_MM,
    );
    if let Some(fit) = fit {
        curved.coefficients = fit.coefficients;
    }
    Some(curved)
}

fn local(
    seeds: &[Option<(Level, f64)>],
    patches: &Patches,
    at: usize,
    here: Level,
    reach: f64,
) -> Local {
    let steps = (reach / patches.grid.size).ceil() as usize;
    let near: Vec<(Vector3<f64>, f64, f64)> = patches
        .grid
        .around(at, steps)
        .filter_map(|at| seeds[at])
        .filter_map(|(level, away)| {
            let (a, u) = (level.along - here.along, level.up - here.up);
            let share = a.hypot(u) / reach;
            let close = (1.0 - share.powi(3)).max(0.0).powi(3);
            (close > 0.0).then_some((Vector3::new(1.0, a, u), away, close))
        })
        .collect();
    if near.len() < FEWEST {
        return Local::default();
    }
    let mut aways: Vec<f64> = near.iter().map(|(_, away, _)| *away).collect();
    let Some((centre, spread)) = centre_and_spread(&mut aways) else {
        return Local::default();
    };
    let limit = robust::BIWEIGHT * spread.max(tolerance::POINT_NOISE_MM);
    let mut local = Vector3::new(centre, 0.0, 0.0);
    for _step in 0..6 {
        let rows = near.iter().map(|(row, away, close)| {
            // Slopes are solved for in units of the reach, so that the columns are alike.
            let scaled = Vector3::new(row.x, row.y / reach, row.z / reach);
            let weight = close * biweight((away - row.dot(&local)) / limit);
            (scaled, *away, weight)
        });
        match robust::solve(rows) {
            Some((next, _)) => local = Vector3::new(next.x, next.y / reach, next.z / reach),
            None => return Local(Vector3::new(centre, 0.0, 0.0)),
        }
    }
    Local(local)
}
