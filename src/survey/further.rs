//! Further readings: one that was taken once more with the same tool, or one taken for the first
//! time, put into a job.

use crate::job::{FloorReading, Job, StepReading, WallReading};
use crate::measure::{Angle, Length, Typed};

use super::rows::Row;
use super::{Adjustment, Candidate, Survey};

/// A reading that could be put into a job. Walls and floors by their numbers in it.
#[derive(Clone, Debug, PartialEq)]
pub enum Further {
    /// Of the steps.
    Step(StepReading),
    /// Of a wall.
    Wall(usize, WallReading),
    /// Of a floor or landing.
    Floor(usize, FloorReading),
}

impl Further {
    /// A copy of the reading at a field of the job, as in `walls[1].readings[3]`.
    fn copy(job: &Job, path: &str) -> Option<Self> {
        let (list, at) = numbered(path)?;
        if list == "flight.readings" {
            return job.flight.readings.get(at).cloned().map(Self::Step);
        }
        let (kind, number) = numbered(list.strip_suffix(".readings")?)?;
        match kind {
            "walls" => {
                let reading = job.walls.get(number)?.readings.get(at)?;
                Some(Self::Wall(number, reading.clone()))
            }
            "floors" => {
                let reading = job.floors.get(number)?.readings.get(at)?;
                Some(Self::Floor(number, reading.clone()))
            }
            _ => None,
        }
    }

    /// Puts the reading into a job as if it had come out at a value, mm or radians.
    pub fn put_into(&self, job: &mut Job, value: f64) {
        let read = Typed::millimetres(value);
        match self.clone() {
            Self::Step(mut reading) => {
                set_step(&mut reading, read, value);
                job.flight.readings.push(reading);
            }
            Self::Wall(number, mut reading) => {
                match &mut reading {
                    WallReading::Offset { is, .. }
                    | WallReading::Straight { is, .. }
                    | WallReading::Between { is, .. }
                    | WallReading::Corner { is, .. }
                    | WallReading::Plumb { gap: is, .. } => *is = read,
                }
                if let Some(wall) = job.walls.get_mut(number) {
                    wall.readings.push(reading);
                }
            }
            Self::Floor(number, mut reading) => {
                match &mut reading {
                    FloorReading::Level { is, .. }
                    | FloorReading::Under { is, .. }
                    | FloorReading::Edge { is, .. }
                    | FloorReading::Diagonal { is, .. } => *is = read,
                }
                if let Some(floor) = job.floors.get_mut(number) {
                    floor.readings.push(reading);
                }
            }
        }
    }
}

fn set_step(reading: &mut StepReading, read: Typed<Length>, value: f64) {
    match reading {
        StepReading::Pitch { is, .. } => {
            is.value = Angle::radians(value);
            is.text = is.value.as_degrees().to_string();
        }
        StepReading::Rise { is, .. }
        | StepReading::Going { is, .. }
        | StepReading::Width { is, .. }
        | StepReading::Overhang { is, .. }
        | StepReading::TreadThickness { is, .. }
        | StepReading::KickThickness { is, .. }
        | StepReading::Level { is, .. }
        | StepReading::Fall { is, .. }
        | StepReading::Edge { is, .. }
        | StepReading::Height { is, .. }
        | StepReading::Under { is, .. }
        | StepReading::Run { is, .. }
        | StepReading::Past { is, .. }
        | StepReading::TotalRise { is, .. }
        | StepReading::TotalRun { is, .. }
        | StepReading::Diagonal { is, .. } => *is = read,
    }
}

/// `name[number]` in its parts.
fn numbered(path: &str) -> Option<(&str, usize)> {
    let (name, number) = path.strip_suffix(']')?.rsplit_once('[')?;
    Some((name, number.parse().ok()?))
}

impl Candidate {
    /// A reading with the function that it reads, at the tangent of what is known.
    pub(super) fn of(
        job: &Job,
        adjustment: &Adjustment,
        row: &Row,
        how: String,
        reading: Further,
    ) -> Self {
        let wall = match &reading {
            Further::Wall(number, _) => job.walls.get(*number).map(|wall| wall.name.clone()),
            _ => None,
        };
        Self {
            what: row.what.clone(),
            how,
            function: row.shape.tangent(|part| adjustment.mean(part)),
            sd: row.sd,
            wall,
            reading,
        }
    }
}

/// The readings of a job as they could be taken once more, each with the same tool: as many as there
/// are of [`Survey::readings`] and in their order, `None` for one that the job has not.
#[must_use]
pub fn repeats(job: &Job, survey: &Survey) -> Vec<Option<Candidate>> {
    let adjustment = &survey.adjustment;
    let repeat = |row: &Row| {
        let reading = Further::copy(job, &row.path)?;
        let how = "once more, with the same tool set up anew".to_owned();
        Some(Candidate::of(job, adjustment, row, how, reading))
    };
    adjustment.rows().iter().map(repeat).collect()
}
