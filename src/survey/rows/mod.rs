//! Readings as equations: what was read, how sure it is, and the function of the unknowns that it
//! is a reading of. Most are linear; pitches, diagonals and corners are not.

mod floors;
mod steps;
mod walls;

use crate::job::Job;

use super::linear::Linear;
use super::uncertainty::Instruments;
use super::unknowns::Unknowns;

pub use steps::step_words;

/// What unit a reading has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read {
    /// Millimetres.
    Length,
    /// Radians.
    Angle,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Where it stands in the job, as in `flight.readings[3]`.
    pub(super) path: String,
    /// What it reads, in trade words.
    pub(super) what: String,
    /// What was read, mm or radians.
    pub(super) value: f64,
    /// Its standard uncertainty.
    pub(super) sd: f64,
    pub(super) read: Read,
    pub(super) shape: Shape,
}

/// The function that it is a reading of.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    Linear(Linear),
    /// The angle above level of a rise over a run.
    Pitch {
        rise: Linear,
        run: Linear,
    },
    /// The length of a vector.
    Distance(Vec<Linear>),
    /// The third side of a triangle: two legs and the angle between them, which is as meant and a
    /// turn.
    Corner {
        legs: (f64, f64),
        angle: f64,
        turn: Linear,
    },
}

impl Shape {
    /// The linear functions that it is made of.
    pub(super) fn parts(&self) -> Vec<&Linear> {
        match self {
            Self::Linear(one) | Self::Corner { turn: one, .. } => vec![one],
            Self::Pitch { rise, run } => vec![rise, run],
            Self::Distance(parts) => parts.iter().collect(),
        }
    }

    pub(super) fn is_linear(&self) -> bool {
        matches!(self, Self::Linear(_))
    }

    /// Its tangent where the unknowns have the means given: equal there in value and slope.
    pub(super) fn tangent(&self, mean: impl Fn(&Linear) -> f64) -> Linear {
        // The value, and for each part its mean and its slope.
        let build = |value: f64, parts: &[(&Linear, f64)]| {
            let mut sum = Linear::constant(value);
            for (part, slope) in parts {
                sum = sum
                    .plus(*slope, part)
                    .plus(-slope * mean(part), &Linear::constant(1.0));
            }
            sum
        };
        match self {
            Self::Linear(one) => one.clone(),
            Self::Pitch { rise, run } => {
                let (up, along) = (mean(rise), mean(run));
                let squared = (up * up + along * along).max(f64::MIN_POSITIVE);
                build(
                    up.atan2(along),
                    &[(rise, along / squared), (run, -up / squared)],
                )
            }
            Self::Distance(parts) => {
                let means: Vec<f64> = parts.iter().map(&mean).collect();
                let long = means.iter().map(|one| one * one).sum::<f64>().sqrt();
                let safe = long.max(f64::MIN_POSITIVE);
                let slopes: Vec<(&Linear, f64)> = parts
                    .iter()
                    .zip(&means)
                    .map(|(part, one)| (part, one / safe))
                    .collect();
                build(long, &slopes)
            }
            Self::Corner { legs, angle, turn } => {
                let (a, b) = *legs;
                let open = angle + mean(turn);
                let long = (a * a + b * b - 2.0 * a * b * open.cos()).max(0.0).sqrt();
                let slope = a * b * open.sin() / long.max(f64::MIN_POSITIVE);
                build(long, &[(turn, slope)])
            }
        }
    }
}

/// All readings of a job.
pub(super) fn of(job: &Job, unknowns: &Unknowns) -> Vec<Row> {
    let tools = Instruments::of(job);
    let from = Maker {
        job,
        unknowns,
        tools: &tools,
    };
    let mut rows: Vec<Row> = Vec::new();
    rows.extend(
        (0..job.flight.readings.len()).filter_map(|at| {
            from.step(&job.flight.readings[at], &format!("flight.readings[{at}]"))
        }),
    );
    for (index, wall) in job.walls.iter().enumerate() {
        rows.extend(
            wall.readings
                .iter()
                .enumerate()
                .filter_map(|(at, reading)| {
                    from.wall(index, reading, &format!("walls[{index}].readings[{at}]"))
                }),
        );
    }
    for (index, floor) in job.floors.iter().enumerate() {
        rows.extend(
            floor
                .readings
                .iter()
                .enumerate()
                .filter_map(|(at, reading)| {
                    from.floor(index, reading, &format!("floors[{index}].readings[{at}]"))
                }),
        );
    }
    rows
}

/// Makes rows of readings. A reading that names what is not there makes none: the job's check
/// refuses it before.
pub(super) struct Maker<'a> {
    pub(super) job: &'a Job,
    pub(super) unknowns: &'a Unknowns,
    pub(super) tools: &'a Instruments<'a>,
}

impl Maker<'_> {
    fn line_number(&self, name: &str) -> Option<usize> {
        self.job.lines.iter().position(|line| line.name == name)
    }

    fn print(&self, length: &crate::job::Len) -> String {
        self.job.tape.print(length.value)
    }
}
