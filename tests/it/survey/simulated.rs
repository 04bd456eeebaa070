//! Simulated surveys: a truth drawn from what the survey says that it expects, readings drawn with
//! their own standard uncertainties, and what the survey then makes of them. Millimetres.
//!
//! The priors are written here again, from `src/survey/prior.rs`; nothing is asked of the engine
//! but the answer. Used by the tests and by `tests/benches/drawn.rs`.

use nalgebra::{DMatrix, DVector};
use rakewell::job::{Job, Side, StepReading, WallReading};
use rakewell::measure::Typed;
use rakewell::survey::{Linear, Survey, survey};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// Standard deviations about what was meant.
const RISE: f64 = 6.0;
const GOING: f64 = 6.0;
const OVERHANG: f64 = 2.0;
const WIDTH: f64 = 10.0;
const EDGE: f64 = 8.0;
const LEVEL: f64 = 4.0;
const WALL_OFFSET: f64 = 100.0;
const WALL_SLOPE: f64 = 0.010;
const BOW: f64 = 3.0;
const BOW_LENGTH: f64 = 800.0;

/// The result whose interval is looked at.
#[derive(Clone, Debug)]
pub(crate) enum Named {
    /// Height of a step over the lower floor.
    Height(u32),
    /// Face of a kick past that of the first.
    Kick(u32),
    /// A tread's open end from the string.
    TreadEnd(u32),
    /// A tread's length.
    Width(u32),
    /// A wall's offset where nobody read it: its number, along, up.
    Wall(usize, f64, f64),
}

/// A place on a wall: along and up.
type Place = (f64, f64);

/// A truth that one job's readings are drawn of.
struct Truth {
    rises: Vec<f64>,
    goings: Vec<f64>,
    overhangs: Vec<f64>,
    widths: Vec<f64>,
    edges: Vec<f64>,
    levels: Vec<f64>,
    walls: Vec<WallTruth>,
}

struct WallTruth {
    plane: [f64; 3],
    middle: f64,
    foot: f64,
    /// The bow at places that are asked for, by place.
    bow: Vec<((f64, f64), f64)>,
}

impl WallTruth {
    fn offset(&self, along: f64, up: f64) -> f64 {
        let [offset, splay, lean] = self.plane;
        let bow = self.bow.iter().find(|(at, _)| near(*at, (along, up)));
        let (_, bow) = bow.expect("the bow was drawn at every place that is read or named");
        offset + splay * (along - self.middle) + lean * (up - self.foot) + bow
    }
}

fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).hypot(a.1 - b.1) < 1e-6
}

/// A job whose readings are drawn again and again.
pub(crate) struct Simulation {
    job: Job,
    named: Vec<Named>,
    /// For each wall its places, and the Cholesky root of the bow's covariance there.
    bows: Vec<(Vec<Place>, DMatrix<f64>)>,
    /// Standard uncertainties as the survey states them.
    sds: Vec<f64>,
    random: Pcg64Mcg,
}

/// What one drawn survey gave.
pub(crate) struct Drawn {
    /// For each named result: the truth less the estimate, over its standard deviation.
    pub(crate) off: Vec<f64>,
    pub(crate) survey: Survey,
    /// The reading that a slip was put on.
    pub(crate) slip: Option<usize>,
}

/// Places of a wall that a reading touches.
fn places(reading: &WallReading) -> Vec<(f64, f64)> {
    match reading {
        WallReading::Offset { along, up, .. } => vec![(along.mm(), up.mm())],
        WallReading::Plumb {
            along, up, level, ..
        } => vec![(along.mm(), up.mm()), (along.mm(), up.mm() + level.mm())],
        other => panic!("{} is not simulated", other.kind()),
    }
}

impl Simulation {
    /// `job` with every reading in place, values of no account.
    pub(crate) fn new(job: Job, named: Vec<Named>, seed: u128) -> Self {
        let bows = job
            .walls
            .iter()
            .enumerate()
            .map(|(number, wall)| {
                let mut all: Vec<(f64, f64)> = wall.readings.iter().flat_map(places).collect();
                all.extend(named.iter().filter_map(|one| match one {
                    Named::Wall(at, along, up) if *at == number => Some((*along, *up)),
                    _ => None,
                }));
                let mut kept: Vec<(f64, f64)> = Vec::new();
                for place in all {
                    if !kept.iter().any(|one| near(*one, place)) {
                        kept.push(place);
                    }
                }
                let count = kept.len();
                let covariance = DMatrix::from_fn(count, count, |i, j| {
                    let off = (kept[i].0 - kept[j].0).hypot(kept[i].1 - kept[j].1) / BOW_LENGTH;
                    // A micrometre squared, so that places close together have a root.
                    let alone = if i == j { 1e-6 } else { 0.0 };
                    BOW * BOW * (-0.5 * off * off).exp() + alone
                });
                let root = covariance.cholesky().expect("a covariance").unpack();
                (kept, root)
            })
            .collect();
        let sds = survey(&job).readings.iter().map(|one| one.sd).collect();
        Self {
            job,
            named,
            bows,
            sds,
            random: Pcg64Mcg::new(seed),
        }
    }

    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.random)
    }

    fn about(&mut self, meant: f64, sd: f64, count: usize) -> Vec<f64> {
        (0..count).map(|_| meant + sd * self.normal()).collect()
    }

    fn truth(&mut self) -> Truth {
        let flight = self.job.flight.clone();
        let count = flight.count as usize;
        let mut walls = Vec::new();
        for number in 0..self.bows.len() {
            let plane = [WALL_OFFSET, WALL_SLOPE, WALL_SLOPE].map(|sd| sd * self.normal());
            let size = self.bows[number].0.len();
            let drawn = DVector::from_vec(self.about(0.0, 1.0, size));
            let (places, root) = &self.bows[number];
            let bow = root * drawn;
            let wall = &self.job.walls[number];
            let long = (wall.to.x.mm() - wall.from.x.mm()).hypot(wall.to.y.mm() - wall.from.y.mm());
            walls.push(WallTruth {
                plane,
                middle: long / 2.0,
                foot: wall.foot.mm(),
                bow: places.iter().copied().zip(bow.iter().copied()).collect(),
            });
        }
        Truth {
            rises: self.about(flight.rise.mm(), RISE, count),
            goings: self.about(flight.going.mm(), GOING, count),
            overhangs: self.about(flight.overhang.mm(), OVERHANG, count),
            widths: self.about(flight.width.mm(), WIDTH, count),
            edges: self.about(flight.edge.mm(), EDGE, count),
            levels: self.about(0.0, LEVEL, count),
            walls,
        }
    }

    /// One survey; with a slip of so many standard uncertainties on a reading, if one is given.
    pub(crate) fn draw(&mut self, slip: Option<(usize, f64)>) -> Drawn {
        let truth = self.truth();
        let errors: Vec<f64> = self
            .sds
            .clone()
            .iter()
            .enumerate()
            .map(|(at, sd)| {
                let slipped = slip.filter(|(number, _)| *number == at);
                sd * (self.normal() + slipped.map_or(0.0, |(_, much)| much))
            })
            .collect();
        let mut errors = errors.into_iter();
        let mut next = || errors.next().expect("one for each reading");
        for reading in &mut self.job.flight.readings {
            set_step(reading, &truth, next());
        }
        for (wall, truth) in self.job.walls.iter_mut().zip(&truth.walls) {
            for reading in &mut wall.readings {
                set_wall(reading, truth, next());
            }
        }
        let survey = survey(&self.job);
        let off = self
            .named
            .iter()
            .map(|one| off(one, &truth, &survey))
            .collect();
        Drawn {
            off,
            survey,
            slip: slip.map(|(number, _)| number),
        }
    }

    pub(crate) fn readings(&self) -> usize {
        self.sds.len()
    }
}

fn at(step: u32) -> usize {
    step as usize - 1
}

/// Sum of the first values, as far as a step.
fn sum(values: &[f64], to: u32) -> f64 {
    values[..to as usize].iter().sum()
}

/// Sets a reading of a step to what the truth is, and an error. All are on finished treads, on the
/// baluster line.
fn set_step(reading: &mut StepReading, truth: &Truth, error: f64) {
    let (is, value) = match reading {
        StepReading::Rise { step, is, .. } => (is, truth.rises[at(*step)]),
        StepReading::Going { step, is, .. } => (is, truth.goings[at(*step)]),
        StepReading::Overhang { step, is, .. } => (is, truth.overhangs[at(*step)]),
        StepReading::Width { step, is, .. } => (is, truth.widths[at(*step)]),
        StepReading::Edge { step, is, .. } => (is, truth.edges[at(*step)]),
        StepReading::Level { step, is, high, .. } => {
            let sign = if *high == Side::Open { 1.0 } else { -1.0 };
            (is, sign * truth.levels[at(*step)])
        }
        StepReading::Height {
            step, above, is, ..
        } => (is, sum(&truth.rises, *step) - sum(&truth.rises, *above)),
        StepReading::Run {
            step, beyond, is, ..
        } => (
            is,
            sum(&truth.goings, *step - 1) - sum(&truth.goings, *beyond - 1),
        ),
        other => panic!("{} is not simulated", other.kind()),
    };
    *is = Typed::millimetres(value + error);
}

fn set_wall(reading: &mut WallReading, truth: &WallTruth, error: f64) {
    match reading {
        WallReading::Offset { along, up, is, .. } => {
            *is = Typed::millimetres(truth.offset(along.mm(), up.mm()) + error);
        }
        WallReading::Plumb {
            along,
            up,
            level,
            gap,
            ..
        } => {
            // Blocks at its foot; the gap at its top.
            let foot = truth.offset(along.mm(), up.mm());
            let top = truth.offset(along.mm(), up.mm() + level.mm());
            *gap = Typed::millimetres(foot - top + error);
        }
        other => panic!("{} is not simulated", other.kind()),
    }
}

fn total(survey: &Survey, word: &str, steps: std::ops::Range<u32>) -> Linear {
    steps.fold(Linear::constant(0.0), |sum, step| {
        sum.add(
            &survey
                .adjustment
                .of_step(step, word)
                .expect("a step of the job"),
        )
    })
}

fn off(named: &Named, truth: &Truth, survey: &Survey) -> f64 {
    let (function, value) = match named {
        Named::Height(step) => (total(survey, "rise", 1..step + 1), sum(&truth.rises, *step)),
        Named::Kick(step) => (
            total(survey, "going", 1..*step),
            sum(&truth.goings, step - 1),
        ),
        Named::TreadEnd(step) => (
            total(survey, "tread end", *step..step + 1),
            truth.edges[at(*step)],
        ),
        Named::Width(step) => (
            total(survey, "width", *step..step + 1),
            truth.widths[at(*step)],
        ),
        Named::Wall(number, along, up) => (
            survey
                .adjustment
                .of_wall(*number, *along, *up)
                .expect("a wall of the job"),
            truth.walls[*number].offset(*along, *up),
        ),
    };
    let adjustment = &survey.adjustment;
    (value - adjustment.mean(&function)) / adjustment.variance(&function).sqrt()
}

/// A count strays further than this many of its binomial standard deviations once in sixteen
/// thousand times.
const STRAY: f64 = 4.0;

/// How many of so many draws would be, at a share, as far as chance goes.
pub(crate) fn as_chance_has_it(found: usize, of: usize, share: f64) -> bool {
    let (of, found) = (of as f64, found as f64);
    let spread = STRAY * (of * share * (1.0 - share)).sqrt();
    // A count has a step of one.
    (found - of * share).abs() <= spread + 1.0
}

/// What many clean surveys show.
#[derive(Clone, Debug, Default)]
pub(crate) struct Clean {
    pub(crate) surveys: usize,
    /// How often each named result's 95 % interval held the truth.
    pub(crate) held: Vec<usize>,
    /// How often each reading's test passed the critical value.
    pub(crate) flagged: Vec<usize>,
}

/// Draws clean surveys.
pub(crate) fn clean(simulation: &mut Simulation, surveys: usize) -> Clean {
    let mut found = Clean {
        surveys,
        held: vec![0; simulation.named.len()],
        flagged: vec![0; simulation.readings()],
    };
    for _ in 0..surveys {
        let drawn = simulation.draw(None);
        for (count, off) in found.held.iter_mut().zip(&drawn.off) {
            *count += usize::from(off.abs() < 1.96);
        }
        for (count, one) in found.flagged.iter_mut().zip(&drawn.survey.readings) {
            *count += usize::from(one.w.abs() > rakewell::survey::CRITICAL);
        }
    }
    found
}

/// What many surveys with one slip each show.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Slips {
    /// Slips on a reading that the rest can tell from every other one.
    pub(crate) fair: usize,
    /// How many of those were named first.
    pub(crate) first: usize,
}

/// Draws surveys with one slip of so many standard uncertainties each, on any reading with r of 0.3
/// or more whose test no other's follows by more than 0.9.
pub(crate) fn slips(simulation: &mut Simulation, surveys: usize, much: f64) -> Slips {
    let tests = Tests::of(simulation);
    let mut found = Slips::default();
    for number in 0..surveys {
        // Any odd stride that shares no factor with the count reaches every reading.
        let at = (number * 7919) % simulation.readings();
        if !tests.fair[at] {
            continue;
        }
        let sign = if number % 2 == 0 { 1.0 } else { -1.0 };
        let drawn = simulation.draw(Some((at, sign * much)));
        found.fair += 1;
        let named = drawn.survey.suspects.first().map(|one| one.reading);
        found.first += usize::from(named == drawn.slip);
    }
    found
}

/// What is known of every reading's test before anything is read.
pub(crate) struct Tests {
    pub(crate) fair: Vec<bool>,
}

impl Tests {
    /// The correlation of two tests is seen by moving one reading and looking how both tests move:
    /// with Q the inverse of the readings' covariance, `w_j` moves by `Q_ij / sqrt(Q_jj)`, so that
    /// the ratio of the moves is their correlation. The engine's matrices are not asked.
    fn of(simulation: &mut Simulation) -> Self {
        let job = simulation.job.clone();
        let before = survey(&job);
        let fair = (0..simulation.readings())
            .map(|at| {
                simulation.job = job.clone();
                simulation.shift(at, simulation.sds[at]);
                let after = survey(&simulation.job);
                let moves: Vec<f64> = after
                    .readings
                    .iter()
                    .zip(&before.readings)
                    .map(|(after, before)| after.w - before.w)
                    .collect();
                let alike = moves
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != at)
                    .map(|(_, moved)| (moved / moves[at]).abs())
                    .fold(0.0, f64::max);
                before.readings[at].r >= 0.3 && alike <= 0.9
            })
            .collect();
        simulation.job = job;
        Self { fair }
    }
}

impl Simulation {
    /// Moves the value of one reading.
    fn shift(&mut self, number: usize, by: f64) {
        let more = |is: &mut rakewell::job::Len| *is = Typed::millimetres(is.mm() + by);
        let steps = self.job.flight.readings.len();
        if let Some(reading) = self.job.flight.readings.get_mut(number) {
            return match reading {
                StepReading::Rise { is, .. }
                | StepReading::Going { is, .. }
                | StepReading::Overhang { is, .. }
                | StepReading::Width { is, .. }
                | StepReading::Edge { is, .. }
                | StepReading::Level { is, .. }
                | StepReading::Height { is, .. }
                | StepReading::Run { is, .. } => more(is),
                other => panic!("{} is not simulated", other.kind()),
            };
        }
        let mut walls = self
            .job
            .walls
            .iter_mut()
            .flat_map(|wall| &mut wall.readings);
        match walls.nth(number - steps).expect("a reading of the job") {
            WallReading::Offset { is, .. } => more(is),
            WallReading::Plumb { gap, .. } => more(gap),
            other => panic!("{} is not simulated", other.kind()),
        }
    }
}
