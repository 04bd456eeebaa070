//! The shape of `survey --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::doubt::{Advice, Doubt, Outcome};
use crate::job::{Document, Job};
use crate::measure::{Length, Tape};
use crate::publish::survey::{standing_word, suspect_says};
use crate::survey::{Read, Survey};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    settled: bool,
    readings: Vec<ReadingShape<'a>>,
    suspects: Vec<SuspectShape<'a>>,
    loose: Vec<LooseShape<'a>>,
    results: Vec<ResultShape<'a>>,
    next: Vec<NextShape<'a>>,
}

/// Its numbers are in `unit`: `mm`, or `deg` where it reads an angle.
#[derive(Serialize)]
struct ReadingShape<'a> {
    field: &'a str,
    line: Option<usize>,
    what: &'a str,
    unit: &'static str,
    value: f64,
    sd: f64,
    fitted: f64,
    misfit: f64,
    predicted: f64,
    predicted_sd: f64,
    r: f64,
    w: f64,
    standing: &'static str,
}

#[derive(Serialize)]
struct SuspectShape<'a> {
    field: &'a str,
    line: Option<usize>,
    what: &'a str,
    w: f64,
    r: f64,
    predicted: f64,
    predicted_sd: f64,
    says: String,
    or: Vec<&'a str>,
    unit_slip: Option<&'static str>,
}

#[derive(Serialize)]
struct LooseShape<'a> {
    says: &'a str,
    give_mm: f64,
    give: String,
}

#[derive(Serialize)]
struct ResultShape<'a> {
    what: &'a str,
    value_mm: f64,
    value: String,
    sd_mm: f64,
    sources: Vec<SourceShape<'a>>,
}

#[derive(Serialize)]
struct SourceShape<'a> {
    what: &'a str,
    share: f64,
}

#[derive(Serialize)]
struct NextShape<'a> {
    what: &'a str,
    how: &'a str,
    takes_mm: f64,
    shrinks: Vec<ShrinkShape<'a>>,
}

#[derive(Serialize)]
struct ShrinkShape<'a> {
    what: &'a str,
    before_mm: f64,
    after_mm: f64,
}

/// What the survey says, as JSON.
#[must_use]
pub fn survey(document: &Document, survey: &Survey, doubt: &Doubt) -> String {
    let job: &Job = document.job();
    let tape = job.tape;
    let line = |path: &str| document.line_of(path).map(|(line, _)| line);
    let readings = survey.readings.iter().map(|one| ReadingShape {
        field: &one.path,
        line: line(&one.path),
        what: &one.what,
        unit: unit(one.read),
        value: shown(one.read, one.value),
        sd: shown(one.read, one.sd),
        fitted: shown(one.read, one.fitted),
        misfit: shown(one.read, one.misfit()),
        predicted: shown(one.read, one.predicted),
        predicted_sd: shown(one.read, one.predicted_sd),
        r: one.r,
        w: one.w,
        standing: standing_word(one.standing),
    });
    let suspects = survey.suspects.iter().filter_map(|suspect| {
        let one = survey.readings.get(suspect.reading)?;
        let or = suspect.or.iter().filter_map(|at| survey.readings.get(*at));
        Some(SuspectShape {
            field: &one.path,
            line: line(&one.path),
            what: &one.what,
            w: suspect.w,
            r: suspect.r,
            predicted: shown(one.read, suspect.predicted),
            predicted_sd: shown(one.read, suspect.predicted_sd),
            says: suspect_says(tape, one, suspect),
            or: or.map(|other| other.path.as_str()).collect(),
            unit_slip: suspect.unit.map(crate::survey::UnitSlip::says),
        })
    });
    let loose = survey.loose.iter().map(|one| LooseShape {
        says: &one.says,
        give_mm: one.give.as_mm(),
        give: tape.print(one.give),
    });
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        settled: survey.adjustment.settled(),
        readings: readings.collect(),
        suspects: suspects.collect(),
        loose: loose.collect(),
        results: doubt.outcomes.iter().map(|one| result(one, tape)).collect(),
        next: doubt.next.iter().map(next).collect(),
    })
}

const fn unit(read: Read) -> &'static str {
    match read {
        Read::Length => "mm",
        Read::Angle => "deg",
    }
}

fn shown(read: Read, value: f64) -> f64 {
    match read {
        Read::Length => value,
        Read::Angle => value.to_degrees(),
    }
}

fn result(one: &Outcome, tape: Tape) -> ResultShape<'_> {
    ResultShape {
        what: &one.what,
        value_mm: one.value,
        value: tape.print(Length::mm(one.value)),
        sd_mm: one.sd,
        sources: one
            .sources
            .iter()
            .map(|(what, share)| SourceShape {
                what,
                share: *share,
            })
            .collect(),
    }
}

fn next(one: &Advice) -> NextShape<'_> {
    NextShape {
        what: &one.what,
        how: &one.how,
        takes_mm: one.takes,
        shrinks: one
            .shrinks
            .iter()
            .map(|shrink| ShrinkShape {
                what: &shrink.what,
                before_mm: shrink.before,
                after_mm: shrink.after,
            })
            .collect(),
    }
}
