//! The shape of `doubt --json`.

use serde::Serialize;

use super::safe::{LoosestShape, SafeShape};
use super::{FORMAT, program, text_of};
use crate::doubt::{Chance, Ended, Fan, Loosest, Measured, Model, Safe, Sample, Spread, Tally};
use crate::job::Job;
use crate::measure::Tape;
use crate::publish::{odds, severity_word, trouble_id};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    seed: u64,
    draws: u64,
    ended: &'static str,
    unread: usize,
    anything: ChanceShape,
    all_kept: ChanceShape,
    safe: usize,
    chances: Vec<FindingShape>,
    groups: Vec<GroupShape>,
    fresh: Vec<FreshShape<'a>>,
    none: Vec<NoneShape<'a>>,
    results: Vec<ResultShape<'a>>,
    rails: Vec<RailShape<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    safe_settings: Option<SafeShape<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tolerances: Option<LoosestShape<'a>>,
}

#[derive(Serialize)]
pub(super) struct ChanceShape {
    fails: u64,
    chance: f64,
    at_least: f64,
    at_most: f64,
    odds: String,
}

impl ChanceShape {
    pub(super) fn of(tally: &Tally) -> Self {
        let (at_least, at_most) = tally.interval(crate::doubt::MISS);
        Self {
            fails: tally.hits,
            chance: tally.share(),
            at_least,
            at_most,
            odds: odds(tally.share()),
        }
    }
}

#[derive(Serialize)]
struct FindingShape {
    id: String,
    says: String,
    severity: &'static str,
    on_plan: bool,
    #[serde(flatten)]
    chance: ChanceShape,
    planned_mm: f64,
    planned: String,
    limit_mm: f64,
    limit: String,
    sd_mm: Option<f64>,
    low_mm: Option<f64>,
    high_mm: Option<f64>,
    low: Option<String>,
    high: Option<String>,
    absent: u64,
    certain: bool,
    sources: Vec<SourceShape>,
}

#[derive(Serialize)]
struct SourceShape {
    what: String,
    field: Option<String>,
    share: f64,
}

#[derive(Serialize)]
struct GroupShape {
    kind: &'static str,
    of: usize,
    #[serde(flatten)]
    chance: ChanceShape,
    worst_margin_mm: Option<f64>,
}

#[derive(Serialize)]
struct FreshShape<'a> {
    id: String,
    says: &'a str,
    severity: &'static str,
    #[serde(flatten)]
    chance: ChanceShape,
}

#[derive(Serialize)]
struct NoneShape<'a> {
    why: &'a str,
    #[serde(flatten)]
    chance: ChanceShape,
}

#[derive(Serialize)]
struct ResultShape<'a> {
    run: usize,
    what: &'a str,
    piece: bool,
    planned_mm: f64,
    planned: String,
    sd_mm: Option<f64>,
    off_low_mm: Option<f64>,
    off_high_mm: Option<f64>,
}

#[derive(Serialize)]
struct RailShape<'a> {
    run: usize,
    rail: &'a str,
    places: Vec<PlaceShape>,
}

#[derive(Serialize)]
struct PlaceShape {
    at_mm: [f64; 3],
    share: f64,
    up_50_mm: Option<[f64; 2]>,
    up_95_mm: Option<[f64; 2]>,
    out_50_mm: Option<[f64; 2]>,
    out_95_mm: Option<[f64; 2]>,
}

/// The answer of `doubt`.
#[must_use]
pub fn doubt(job: &Job, model: &Model, sample: &Sample) -> String {
    doubt_with(job, model, sample, (None, None))
}

/// The same with what to set, and how loose each operation may be.
#[must_use]
pub fn doubt_with(
    job: &Job,
    model: &Model,
    sample: &Sample,
    (safe, loosest): (Option<&Safe>, Option<&Loosest>),
) -> String {
    let tape = job.tape;
    let answer = Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        seed: sample.wanted.seed,
        draws: sample.draws,
        ended: match sample.ended {
            Ended::Enough => "enough",
            Ended::Most => "most",
            Ended::Cancelled => "cancelled",
        },
        unread: model.unread(),
        anything: ChanceShape::of(&sample.anything),
        all_kept: ChanceShape::of(&sample.all_kept),
        safe: sample.safe,
        chances: sample
            .chances
            .iter()
            .map(|one| finding(one, model, tape))
            .collect(),
        groups: sample
            .groups
            .iter()
            .map(|one| GroupShape {
                kind: one.kind.word(),
                of: one.of,
                chance: ChanceShape::of(&one.tally),
                worst_margin_mm: one.worst.quantile(crate::doubt::MISS / 2.0),
            })
            .collect(),
        fresh: sample
            .fresh
            .iter()
            .map(|one| FreshShape {
                id: one.key.id(),
                says: &one.says,
                severity: severity_word(one.severity),
                chance: ChanceShape::of(&one.tally),
            })
            .collect(),
        none: sample
            .none
            .iter()
            .map(|(why, tally)| NoneShape {
                why,
                chance: ChanceShape::of(tally),
            })
            .collect(),
        results: sample.results.iter().map(|one| result(one, tape)).collect(),
        rails: sample.fans.iter().map(rail).collect(),
        safe_settings: safe.map(|safe| SafeShape::of(safe, tape)),
        tolerances: loosest.map(|loosest| LoosestShape::of(loosest, tape)),
    };
    text_of(&answer)
}

fn finding(one: &Chance, model: &Model, tape: Tape) -> FindingShape {
    let within = one.within();
    FindingShape {
        id: trouble_id(&one.plan),
        says: one.plan.says.clone(),
        severity: severity_word(one.plan.severity),
        on_plan: one.is_trouble(),
        chance: ChanceShape::of(&one.tally),
        planned_mm: one.plan.value().as_mm(),
        planned: tape.print(one.plan.value()),
        limit_mm: one.plan.limit.as_mm(),
        limit: tape.print(one.plan.limit),
        sd_mm: one.spread.sd(),
        low_mm: within.map(|(low, _)| low.as_mm()),
        high_mm: within.map(|(_, high)| high.as_mm()),
        low: within.map(|(low, _)| tape.print(low)),
        high: within.map(|(_, high)| tape.print(high)),
        absent: one.absent,
        certain: one.certain,
        sources: one
            .shares
            .iter()
            .map(|&(source, share)| {
                let source = &model.sources()[source];
                SourceShape {
                    what: source.says(),
                    field: source.reading().map(str::to_owned),
                    share,
                }
            })
            .collect(),
    }
}

fn result(one: &Measured, tape: Tape) -> ResultShape<'_> {
    let within = one.spread.within(1.0 - crate::doubt::MISS);
    ResultShape {
        run: one.run,
        what: &one.what,
        piece: one.piece,
        planned_mm: one.planned.as_mm(),
        planned: tape.print(one.planned),
        sd_mm: one.spread.sd(),
        off_low_mm: within.map(|(low, _)| low),
        off_high_mm: within.map(|(_, high)| high),
    }
}

fn rail(fan: &Fan) -> RailShape<'_> {
    let band = |spread: &Spread, share: f64| spread.within(share).map(|(low, high)| [low, high]);
    RailShape {
        run: fan.run,
        rail: &fan.rail,
        places: fan
            .places
            .iter()
            .map(|place| PlaceShape {
                at_mm: super::xyz(&place.at),
                share: place.share,
                up_50_mm: band(&place.up, 0.5),
                up_95_mm: band(&place.up, 0.95),
                out_50_mm: band(&place.out, 0.5),
                out_95_mm: band(&place.out, 0.95),
            })
            .collect(),
    }
}
