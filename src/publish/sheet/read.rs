//! The readings that a job has already, as they are printed faint in the cells of the sheet.

use crate::job::{FloorReading, Job, Len, StepReading, Surface, WallReading};

/// The readings to print: the job's, or none.
#[derive(Clone, Copy)]
pub(super) struct Read<'a> {
    job: Option<&'a Job>,
}

impl<'a> Read<'a> {
    pub(super) fn of(job: &'a Job, filled: bool) -> Self {
        Self {
            job: filled.then_some(job),
        }
    }

    /// The readings of the steps.
    pub(super) fn steps(self) -> impl Iterator<Item = &'a StepReading> {
        self.job.into_iter().flat_map(|job| &job.flight.readings)
    }

    /// The readings of a floor, by its place in the job.
    pub(super) fn floor(self, floor: Option<usize>) -> impl Iterator<Item = &'a FloorReading> {
        let floor = floor.and_then(|at| self.job?.floors.get(at));
        floor.into_iter().flat_map(|floor| &floor.readings)
    }

    /// The readings of a wall, by its place in the job.
    pub(super) fn wall(self, wall: usize) -> impl Iterator<Item = &'a WallReading> {
        let wall = self.job.and_then(|job| job.walls.get(wall));
        wall.into_iter().flat_map(|wall| &wall.readings)
    }
}

/// Lengths as they were typed, one after the other.
pub(super) fn typed<'a>(lengths: impl Iterator<Item = &'a Len>) -> String {
    let texts: Vec<&str> = lengths.map(|length| length.text.as_str()).collect();
    texts.join("; ")
}

/// Which of rough, dry-fitted and finished occur.
pub(super) fn surfaces<'a>(surfaces: impl Iterator<Item = &'a Surface>) -> [bool; 3] {
    let mut on = [false; 3];
    for surface in surfaces {
        match surface {
            Surface::Rough => on[0] = true,
            Surface::DryFitted => on[1] = true,
            Surface::Finished => on[2] = true,
        }
    }
    on
}
