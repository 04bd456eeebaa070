//! The shape of an explanation: of every trouble in `inspect --json`, and of one number in
//! `inspect --json --why`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::explain::{Asked, Because, Cure, Explanation, Method};
use crate::job::Job;
use crate::measure::{Length, Tape};

/// The whole answer about one number.
#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    id: String,
    what: String,
    value_mm: f64,
    value: String,
    #[serde(flatten)]
    why: WhyShape<'a>,
}

/// An explanation.
#[derive(Serialize)]
pub(super) struct WhyShape<'a> {
    because: Vec<BecauseShape<'a>>,
    remainder_mm: f64,
    when_true_mm: Option<f64>,
    method: &'static str,
    draws: Option<usize>,
    error_mm: Option<f64>,
    without: Option<usize>,
    unknown: &'a [String],
    cures: Vec<CureShape<'a>>,
}

#[derive(Serialize)]
struct BecauseShape<'a> {
    what: &'a str,
    parts: &'a [String],
    share_mm: f64,
    share: String,
    shapley_mm: Option<f64>,
    shapley: Option<String>,
    error_mm: Option<f64>,
    readings: &'a [String],
}

#[derive(Serialize)]
struct CureShape<'a> {
    what: &'a str,
    edits: Vec<EditShape<'a>>,
    value_after_mm: f64,
    value_after: String,
    breaks: &'a [String],
    disturbance_mm: f64,
    moved_mm: f64,
    touched: usize,
    recut: usize,
    new_or_gone: usize,
    opens_wall: bool,
}

#[derive(Serialize)]
struct EditShape<'a> {
    field: &'a str,
    value: &'a str,
}

/// Writes why one number is what it is as JSON.
#[must_use]
pub fn why(job: &Job, asked: &Asked, explanation: &Explanation) -> String {
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        id: asked.id(),
        what: asked.words(),
        value_mm: explanation.value.as_mm(),
        value: job.tape.print(explanation.value),
        why: why_shape(explanation, job.tape),
    })
}

pub(super) fn why_shape(explanation: &Explanation, tape: Tape) -> WhyShape<'_> {
    let (method, draws, error, without) = match explanation.method {
        Method::Exact => ("exact", None, None, None),
        Method::Sampled { draws, error } => ("sampled", Some(draws), Some(error), None),
        Method::LeftOut { without, .. } => ("left-out", None, None, Some(without)),
    };
    WhyShape {
        because: explanation
            .because
            .iter()
            .map(|one| because(one, tape))
            .collect(),
        remainder_mm: explanation.remainder.as_mm(),
        when_true_mm: explanation.when_true.map(Length::as_mm),
        method,
        draws,
        error_mm: error.map(Length::as_mm),
        without,
        unknown: &explanation.unknown,
        cures: explanation
            .cures
            .iter()
            .map(|one| cure(one, tape))
            .collect(),
    }
}

fn because(because: &Because, tape: Tape) -> BecauseShape<'_> {
    BecauseShape {
        what: &because.what,
        parts: &because.parts,
        share_mm: because.share.as_mm(),
        share: tape.print(because.share),
        shapley_mm: because.shapley.map(Length::as_mm),
        shapley: because.shapley.map(|share| tape.print(share)),
        error_mm: because.error.map(Length::as_mm),
        readings: &because.readings,
    }
}

fn cure(cure: &Cure, tape: Tape) -> CureShape<'_> {
    let disturbance = &cure.disturbance;
    CureShape {
        what: &cure.what,
        edits: cure
            .edits
            .iter()
            .map(|(field, value)| EditShape { field, value })
            .collect(),
        value_after_mm: cure.value_after.as_mm(),
        value_after: tape.print(cure.value_after),
        breaks: &cure.breaks,
        disturbance_mm: disturbance.measure().as_mm(),
        moved_mm: disturbance.moved.as_mm(),
        touched: disturbance.touched,
        recut: disturbance.recut,
        new_or_gone: disturbance.new_or_gone,
        opens_wall: disturbance.opens_wall,
    }
}
