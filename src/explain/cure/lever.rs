//! [`Lever`]: a length of the design that may be moved along the tape, for others who look for a
//! setting: the same lengths that cures are looked for with.

use std::sync::Arc;

use crate::chain::{Chain, RunChain};
use crate::job::limits::Bounds;
use crate::job::{Job, Len};
use crate::measure::Length;

use super::knobs::{self, Knob};

/// A length of the design that may be moved along the tape.
#[derive(Clone)]
pub struct Lever {
    knob: Arc<Knob>,
}

impl std::fmt::Debug for Lever {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_tuple("Lever").field(&self.field()).finish()
    }
}

/// Where the newels of a run stand across it, as far as that is given: no cure is looked for there.
pub(in crate::explain) fn across(run: usize, one: &RunChain) -> Vec<Lever> {
    let knobs = knobs::across(run, one).into_iter();
    knobs.map(Lever::of).collect()
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
        runs.flat_map(|(run, one)| Self::of_run(run, one)).collect()
    }

    /// Those of one run, by its number.
    #[must_use]
    pub fn of_run(run: usize, one: &RunChain) -> Vec<Self> {
        let knobs = knobs::of_run(run, one).into_iter();
        knobs.map(Self::of).collect()
    }

    fn of(knob: Knob) -> Self {
        Self {
            knob: Arc::new(knob),
        }
    }

    /// The run whose length it is, by its number.
    #[must_use]
    pub fn run(&self) -> usize {
        self.knob.run
    }

    /// Its field in the file.
    #[must_use]
    pub fn field(&self) -> String {
        self.knob.of.path(&self.knob.field)
    }

    /// The length as it is.
    #[must_use]
    pub fn now(&self) -> Length {
        self.knob.now
    }

    /// Its field in its run by itself.
    #[must_use]
    pub fn own_field(&self) -> &str {
        &self.knob.field
    }

    /// What a job may hold.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        self.knob.bounds
    }

    /// The job of its run.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.knob.of.job
    }

    /// True where a finished wall would have to be opened for it.
    #[must_use]
    pub fn opens_wall(&self) -> bool {
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
    /// Puts it to a length, on a mark of the tape or between two, in a job of its run; `None` past
    /// what a job may hold.
    #[must_use]
    pub fn put(&self, job: &mut Job, length: Length) -> Option<Pulled> {
        let text = super::super::handle::written(self.job(), length);
        let put = self.knob.put_text(job, &text)?;
        Some(Pulled {
            what: put.what,
            is: put.is,
            edit: (self.knob.of.path(&put.field), put.text),
        })
    }
    /// Puts it to a length as it is, between what can be written, to see what comes of it.
    pub(in crate::explain) fn put_exact(&self, job: &mut Job, length: Length) -> Option<()> {
        let text = String::new();
        let held = self.knob.bounds.hold(length);
        let value = Len {
            value: length,
            text,
        };
        held.then(|| (self.knob.putter)(job, value)).flatten()
    }
}
