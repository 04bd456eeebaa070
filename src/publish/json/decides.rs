//! The shape of `doubt --decides --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::doubt::propagate::Bend;
use crate::doubt::{
    Again, Bent, Care, Decides, FirstOrder, MISS, Model, Part, Reading, State, Tally,
};
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::publish::odds;

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    id: String,
    says: Option<&'a str>,
    seed: u64,
    draws: u64,
    absent: u64,
    nothing_stands: u64,
    planned_mm: f64,
    planned: String,
    limit_mm: Option<f64>,
    limit: Option<String>,
    #[serde(flatten)]
    chance: Option<ChanceShape>,
    sd_mm: Option<f64>,
    low_mm: Option<f64>,
    low: Option<String>,
    high_mm: Option<f64>,
    high: Option<String>,
    sources: Vec<SourceShape>,
    samples: u64,
    samples_lost: u64,
    first_order: FirstOrderShape<'a>,
    again: AgainShape<'a>,
}

#[derive(Serialize)]
struct ChanceShape {
    fails: u64,
    chance: f64,
    at_least: f64,
    at_most: f64,
    odds: String,
}

#[derive(Serialize)]
struct SourceShape {
    what: String,
    field: Option<String>,
    of: usize,
    slope_share: f64,
    first: f64,
    first_error: f64,
    total: f64,
    total_error: f64,
}

#[derive(Serialize)]
struct FirstOrderShape<'a> {
    sd_mm: f64,
    agrees: Option<bool>,
    ratio: Option<f64>,
    ratio_error: Option<f64>,
    shift: Option<f64>,
    shift_error: Option<f64>,
    stops: Vec<StopShape<'a>>,
}

#[derive(Serialize)]
struct StopShape<'a> {
    what: String,
    field: Option<String>,
    bend: &'static str,
    up_mm: f64,
    down_mm: f64,
    from_sd: Option<f64>,
    one: Option<&'a str>,
    other: Option<&'a str>,
    moved_mm: Option<f64>,
}

#[derive(Serialize)]
struct AgainShape<'a> {
    before: StateShape,
    readings: Vec<ReadingShape<'a>>,
    both: Option<StateShape>,
    care: Option<CareShape>,
}

#[derive(Serialize)]
struct StateShape {
    foretold_sd_mm: f64,
    sd_mm: Option<f64>,
    sd_error_mm: Option<f64>,
    #[serde(flatten)]
    chance: Option<ChanceShape>,
}

#[derive(Serialize)]
struct ReadingShape<'a> {
    what: &'a str,
    how: &'a str,
    run: usize,
    repeats: Option<&'a str>,
    alone: StateShape,
}

#[derive(Serialize)]
struct CareShape {
    operation: &'static str,
    share: f64,
    halved: StateShape,
}

/// The answer of `doubt --decides`.
#[must_use]
pub fn decides(job: &Job, model: &Model, seed: u64, told: &Decides) -> String {
    let tape = job.tape;
    let finding = told.line.finding();
    let within = told.spread.within(1.0 - MISS);
    let (low, high) = (within.map(|one| one.0), within.map(|one| one.1));
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        id: told.line.id(),
        says: finding.map(|one| one.says.as_str()),
        seed,
        draws: told.draws,
        absent: told.absent,
        nothing_stands: told.none,
        planned_mm: told.line.planned().as_mm(),
        planned: tape.print(told.line.planned()),
        limit_mm: finding.map(|one| one.limit.as_mm()),
        limit: finding.map(|one| tape.print(one.limit)),
        chance: told.tally.map(chance),
        sd_mm: told.spread.sd(),
        low_mm: low,
        low: printed(low, tape),
        high_mm: high,
        high: printed(high, tape),
        sources: told.parts.iter().map(|one| source(one, model)).collect(),
        samples: told.samples.0,
        samples_lost: told.samples.1,
        first_order: first_order(&told.first, told, model),
        again: again(&told.again),
    })
}

fn printed(mm: Option<f64>, tape: Tape) -> Option<String> {
    mm.map(|mm| tape.print(Length::mm(mm)))
}

fn chance(tally: Tally) -> ChanceShape {
    let (at_least, at_most) = tally.interval(MISS);
    ChanceShape {
        fails: tally.hits,
        chance: tally.share(),
        at_least,
        at_most,
        odds: odds(tally.share()),
    }
}

fn named(model: &Model, source: usize) -> (String, Option<String>) {
    let source = &model.sources()[source];
    (source.says(), source.reading().map(str::to_owned))
}

fn source(part: &Part, model: &Model) -> SourceShape {
    let (what, field) = part.source.map_or_else(
        || ("all the rest".to_owned(), None),
        |one| named(model, one),
    );
    SourceShape {
        what,
        field,
        of: part.of,
        slope_share: part.slope_share,
        first: part.shares.first,
        first_error: part.shares.first_se,
        total: part.shares.total,
        total_error: part.shares.total_se,
    }
}

fn first_order<'a>(first: &'a FirstOrder, told: &Decides, model: &Model) -> FirstOrderShape<'a> {
    let compared = told.compared;
    FirstOrderShape {
        sd_mm: first.sd,
        agrees: compared.map(|one| one.agrees),
        ratio: compared.map(|one| one.ratio),
        ratio_error: compared.map(|one| one.ratio_error),
        shift: compared.map(|one| one.shift),
        shift_error: compared.map(|one| one.shift_error),
        stops: first.bent.iter().map(|one| stop(one, model)).collect(),
    }
}

fn stop<'a>(bent: &'a Bent, model: &Model) -> StopShape<'a> {
    let (what, field) = named(model, bent.source);
    StopShape {
        what,
        field,
        bend: match bent.bend {
            Bend::Straight => "further-out",
            Bend::Curved => "curved",
            Bend::Kinked => "kinked",
            Bend::OneSided => "one-sided",
        },
        up_mm: bent.up,
        down_mm: bent.down,
        from_sd: bent.from,
        one: bent.told.as_ref().map(|told| told[0].as_str()),
        other: bent.told.as_ref().map(|told| told[1].as_str()),
        moved_mm: bent.moved.map(Length::as_mm),
    }
}

fn again(again: &Again) -> AgainShape<'_> {
    AgainShape {
        before: state(&again.before),
        readings: again.readings.iter().map(reading).collect(),
        both: again.both.as_ref().map(state),
        care: again.care.as_ref().map(care),
    }
}

fn state(state: &State) -> StateShape {
    StateShape {
        foretold_sd_mm: state.foretold,
        sd_mm: state.sd.map(|one| one.0),
        sd_error_mm: state.sd.map(|one| one.1),
        chance: state.tally.map(chance),
    }
}

fn reading(reading: &Reading) -> ReadingShape<'_> {
    ReadingShape {
        what: &reading.what,
        how: &reading.how,
        run: reading.run,
        repeats: reading.repeats.as_deref(),
        alone: state(&reading.alone),
    }
}

fn care(care: &Care) -> CareShape {
    CareShape {
        operation: care.operation.field(),
        share: care.share,
        halved: state(&care.halved),
    }
}
