//! [`Drawer`]: stairs drawn as the readings leave them open.
//!
//! Matheron's rule (Journel and Huijbregts, Mining Geostatistics, 1978, VII.A; Wilson and others,
//! Pathwise conditioning of Gaussian processes, 2021): draw every unknown as it may be before reading,
//! draw every reading's error, and adjust again with what those readings would have been. What is
//! drawn so has the mean and the covariance that the adjustment gives, and hangs on independent
//! sources, one by one: each reading's error, each unknown before it was read, each wall's bow.
//! Readings that are not linear are at their tangents, as in the adjustment.
//!
//! Every source counts in its own standard deviations: nought is what was found.

use crate::job::Job;

use super::unknowns::length;
use super::wall_field::Grid;
use super::{Estimates, Linear, PlanePart, Read, Survey, What};

/// A source of doubt in what was read, independent of every other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// The error of one reading: where it stands in the job, and what it reads.
    Reading {
        /// Its field.
        path: String,
        /// What it reads, in trade words.
        what: String,
        /// A length or an angle.
        read: Read,
    },
    /// An unknown as it may be before anything is read.
    Unread(What),
    /// A wall's bow where nobody read it: the wall's name.
    Bow(String),
}

/// Draws the stair of one survey.
#[derive(Clone, Debug)]
pub struct Drawer {
    survey: std::sync::Arc<Survey>,
    sources: Vec<(Source, usize)>,
    /// Scalars with a spread of their own, in the order of their numbers.
    scalars: Vec<usize>,
    /// A place among the numbers asked for, for each: scalars first, then rows, then bows.
    rows_from: usize,
    bows_from: Vec<usize>,
    size: usize,
    /// The variance that readings leave each scalar.
    left: Vec<f64>,
    grids: Vec<Grid>,
    /// Length of each wall, and its foot.
    extents: Vec<(f64, f64)>,
}

/// What is read has at most this share of the variance left that it had before: half its standard
/// deviation. The same as where a finding is held against its limit; no source.
const CARRIED: f64 = 0.25;

impl Drawer {
    /// Makes ready to draw.
    #[must_use]
    pub fn of(job: &Job, survey: &std::sync::Arc<Survey>) -> Self {
        let adjustment = &survey.adjustment;
        let unknowns = adjustment.unknowns();
        let scalars: Vec<usize> = (0..unknowns.scalars.len())
            .filter(|&at| unknowns.scalars[at].sd > 0.0)
            .collect();
        let mut sources: Vec<(Source, usize)> = scalars
            .iter()
            .map(|&at| (Source::Unread(unknowns.scalars[at].what.clone()), 1))
            .collect();
        let rows_from = scalars.len();
        sources.extend(adjustment.rows().iter().map(|row| {
            let source = Source::Reading {
                path: row.path.clone(),
                what: row.what.clone(),
                read: row.read,
            };
            (source, 1)
        }));
        // The survey as the chain has it tells each reading by its field in the file.
        for (source, judged) in sources[rows_from..].iter_mut().zip(&survey.readings) {
            if let Source::Reading { path, .. } = &mut source.0 {
                path.clone_from(&judged.path);
            }
        }
        let mut size = rows_from + adjustment.rows().len();
        let mut bows_from = Vec::new();
        let mut grids = Vec::new();
        let mut extents = Vec::new();
        for wall in &job.walls {
            let grid = Grid::over((length(wall), (wall.foot.mm(), wall.head.mm())));
            bows_from.push(size);
            size += grid.nodes();
            sources.push((Source::Bow(wall.name.clone()), grid.nodes()));
            extents.push((length(wall) / 2.0, wall.foot.mm()));
            grids.push(grid);
        }
        Self {
            survey: survey.clone(),
            sources,
            scalars,
            rows_from,
            bows_from,
            size,
            left: adjustment.scalar_variances(),
            grids,
            extents,
        }
    }

    /// The sources in order, each with how many numbers it takes.
    #[must_use]
    pub fn sources(&self) -> &[(Source, usize)] {
        &self.sources
    }

    /// True for an unknown of which readings leave more than a quarter of the variance that it had
    /// before.
    #[must_use]
    pub fn is_unread(&self, source: &Source) -> bool {
        let Source::Unread(what) = source else {
            return false;
        };
        let scalars = &self.survey.adjustment.unknowns().scalars;
        let at = scalars.iter().position(|scalar| &scalar.what == what);
        at.is_some_and(|at| self.left[at] > CARRIED * scalars[at].sd.powi(2))
    }

    /// How many numbers a draw takes.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// What a linear function of the unknowns moves by for each number of a draw.
    #[must_use]
    pub fn moves(&self, function: &Linear) -> Vec<f64> {
        let adjustment = &self.survey.adjustment;
        let scalars = &adjustment.unknowns().scalars;
        let (unread, errors) = adjustment.drawn(function);
        let mut moves = vec![0.0; self.size];
        for &(number, factor) in &unread.scalars {
            if let Ok(at) = self.scalars.binary_search(&number) {
                moves[at] = factor * scalars[number].sd;
            }
        }
        moves[self.rows_from..self.rows_from + errors.len()].copy_from_slice(&errors);
        for term in &unread.bows {
            let grid = self.grids[term.wall].moves(term.at);
            let nodes = &mut moves[self.bows_from[term.wall]..];
            for (node, part) in nodes.iter_mut().zip(grid.iter()) {
                *node += term.factor * part;
            }
        }
        moves
    }

    /// Turns estimates into a drawn stair. `z` are [`Self::size`] independent standard normals, or
    /// noughts; `into` are the estimates of the survey that this was made of, or what an earlier draw
    /// made of them.
    pub fn draw(&self, z: &[f64], into: &mut Estimates) {
        let adjustment = &self.survey.adjustment;
        let unknowns = adjustment.unknowns();
        let mut departs = vec![0.0; unknowns.scalars.len()];
        for (&at, z) in self.scalars.iter().zip(z) {
            departs[at] = unknowns.scalars[at].sd * z;
        }
        let nodes: Vec<nalgebra::DMatrix<f64>> = self
            .grids
            .iter()
            .zip(&self.bows_from)
            .map(|(grid, &from)| grid.drawn(&z[from..from + grid.nodes()]))
            .collect();
        let errors: Vec<f64> = adjustment
            .rows()
            .iter()
            .zip(&z[self.rows_from..])
            .map(|(row, z)| row.sd * z)
            .collect();
        let bow = |wall: usize, at: (f64, f64)| self.grids[wall].value(&nodes[wall], at);
        let taken = adjustment.taken(&departs, &bow, &errors);
        for (depart, taken) in departs.iter_mut().zip(&taken.scalars) {
            *depart -= taken;
        }
        self.steps(&departs, into);
        for (wall, estimate) in into.walls.iter_mut().enumerate() {
            let ids = unknowns.walls[wall];
            let found = |number: usize| adjustment.scalar_mean(number) + departs[number];
            let plane = PlanePart {
                offset: found(ids.offset),
                splay: found(ids.splay),
                lean: found(ids.lean),
            };
            let read = adjustment.wall_bow(wall).iter().copied();
            let less = taken.bows[wall].iter().map(|&(at, weight)| (at, -weight));
            let bumps: Vec<((f64, f64), f64)> = read.chain(less).collect();
            estimate.field =
                self.grids[wall].field(self.extents[wall], plane, &nodes[wall], &bumps);
        }
    }

    /// Steps, landings and the lower floor.
    fn steps(&self, departs: &[f64], into: &mut Estimates) {
        let unknowns = self.survey.adjustment.unknowns();
        let base = &self.survey.estimates;
        for ((ids, found), step) in unknowns.steps.iter().zip(&base.steps).zip(&mut into.steps) {
            for (number, found, estimate) in [
                (ids.rise, &found.rise, &mut step.rise),
                (ids.going, &found.going, &mut step.going),
                (ids.overhang, &found.overhang, &mut step.overhang),
                (ids.thickness, &found.thickness, &mut step.thickness),
                (
                    ids.kick_thickness,
                    &found.kick_thickness,
                    &mut step.kick_thickness,
                ),
                (ids.width, &found.width, &mut step.width),
                (ids.level, &found.level, &mut step.level),
                (ids.fall, &found.fall, &mut step.fall),
                (ids.skew, &found.skew, &mut step.skew),
                (ids.edge, &found.edge, &mut step.edge),
            ] {
                estimate.found = found.found + departs[number];
            }
        }
        let landings = unknowns.landings.iter().flatten();
        for ((ids, found), landing) in landings.zip(&base.landings).zip(&mut into.landings) {
            for (number, found, estimate) in [
                (ids.height, &found.height, &mut landing.height),
                (ids.uphill, &found.uphill, &mut landing.uphill),
                (ids.outward, &found.outward, &mut landing.outward),
                (ids.open, &found.open, &mut landing.open),
                (ids.wall, &found.wall, &mut landing.wall),
                (ids.across, &found.across, &mut landing.across),
                (ids.shift, &found.shift, &mut landing.shift),
            ] {
                estimate.found = found.found + departs[number];
            }
        }
        into.lower.0.found = base.lower.0.found + departs[unknowns.lower.0];
        into.lower.1.found = base.lower.1.found + departs[unknowns.lower.1];
    }
}
