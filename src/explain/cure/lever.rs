//! [`Lever`]: a length of the design that may be moved along the tape, for others who look for a
//! setting: the same lengths that cures are looked for with.

use crate::chain::Chain;
use crate::job::Job;
use crate::measure::Length;

use super::knobs::{self, Knob};

/// A length of the design that may be moved along the tape.
pub struct Lever {
    knob: Knob,
}

/// A lever as it was moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Pulled {
    /// What to do, in trade words.
    pub what: String,
    /// What the length is then.
    pub is: Length,
    /// The field of the file and the RON text of its value.
    pub edit: (String, String),
}

impl Lever {
    /// Every one of a stair, run by run.
    #[must_use]
    pub fn all(chain: &Chain) -> Vec<Self> {
        let runs = chain.runs.iter().enumerate();
        runs.flat_map(|(run, one)| knobs::of_run(run, one))
            .map(|knob| Self { knob })
            .collect()
    }

    /// The run whose length it is, by its number.
    #[must_use]
    pub const fn run(&self) -> usize {
        self.knob.run
    }

    /// Its field in the file.
    #[must_use]
    pub fn field(&self) -> String {
        self.knob.of.path(&self.knob.field)
    }

    /// The length as it is.
    #[must_use]
    pub const fn now(&self) -> Length {
        self.knob.now
    }

    /// True where a finished wall would have to be opened for it.
    #[must_use]
    pub const fn opens_wall(&self) -> bool {
        self.knob.opens_wall
    }

    /// Moves it by so many marks of the tape in a job of its run, of which other fields may be
    /// changed already; `None` past what a job may hold.
    #[must_use]
    pub fn pull(&self, job: &mut Job, marks: i32) -> Option<Pulled> {
        let put = self.knob.put_in(job, marks)?;
        Some(Pulled {
            what: put.what,
            is: put.is,
            edit: (self.knob.of.path(&put.field), put.text),
        })
    }
}
