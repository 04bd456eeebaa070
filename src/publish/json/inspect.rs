//! The shape of `inspect --json`.

use serde::Serialize;

use super::climb::{ClimbShape, climb};
use super::notes::{NoteShape, notes};
use super::reveals::{DriftShape, SeasonShape, drift, season};
use super::why::{WhyShape, why_shape};
use super::{FORMAT, program, text_of, xyz};
use crate::chain;
use crate::inspect::{self, ClashFound, Opening, Stands, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::report::{Report, Told, cautions, kind_word, severity_word, trouble_id};
use crate::publish::rule_lines::{RuleLine, amount, rule_lines};
use crate::rules::{GripSizes, Limit, Pack, Quantity, Sense};
use crate::setout::Reveal;

/// The whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    pack: PackShape<'a>,
    troubles: Vec<TroubleShape<'a>>,
    let_stand_gone: Vec<GoneShape<'a>>,
    openings: Vec<OpeningShape<'a>>,
    clashes: Vec<ClashShape<'a>>,
    reveals: Vec<RevealShape<'a>>,
    drifts: Vec<DriftShape<'a>>,
    climb: Vec<ClimbShape<'a>>,
    seasons: Vec<SeasonShape<'a>>,
    rules: Vec<RuleShape<'a>>,
    notes: Vec<NoteShape<'a>>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct PackShape<'a> {
    name: &'a str,
    title: &'a str,
    country: &'a str,
    edition: &'a str,
    applies: &'a str,
    ask: &'a str,
    note: &'a str,
    amended_by: Option<&'a str>,
}

#[derive(Serialize)]
struct TroubleShape<'a> {
    id: String,
    kind: &'static str,
    severity: &'static str,
    parts: &'a [String],
    value_mm: f64,
    value: String,
    lower_mm: f64,
    upper_mm: f64,
    doubt_mm: Option<f64>,
    doubt: Option<String>,
    limit_mm: f64,
    limit: String,
    sense: &'static str,
    verdict: &'static str,
    source: &'a str,
    says: &'a str,
    at_mm: [f64; 3],
    let_stand: Option<StandsShape<'a>>,
    #[serde(flatten)]
    why: WhyShape<'a>,
}

#[derive(Serialize)]
struct StandsShape<'a> {
    because: &'a str,
    was_mm: Option<f64>,
    was: Option<String>,
    changed: bool,
}

#[derive(Serialize)]
struct GoneShape<'a> {
    trouble: &'a str,
    because: &'a str,
}

#[derive(Serialize)]
struct OpeningShape<'a> {
    between: &'a [String],
    ball_mm: f64,
    ball_upper_mm: f64,
    ball: String,
    limit_mm: f64,
    at_mm: [f64; 3],
}

#[derive(Serialize)]
struct ClashShape<'a> {
    parts: &'a [String; 2],
    depth_mm: f64,
    depth: String,
    class: &'static str,
    clear_by: [f64; 3],
    to_clear: &'a str,
    at_mm: [f64; 3],
    points_mm: Vec<[f64; 3]>,
}

#[derive(Serialize)]
struct RevealShape<'a> {
    at: u32,
    part: &'a str,
    value_mm: f64,
    value: String,
}

#[derive(Serialize)]
struct RuleShape<'a> {
    quantity: String,
    clause: &'a str,
    edition: &'a str,
    says: &'a str,
    when: Option<&'a str>,
    sense: &'static str,
    amended: bool,
    verdict: &'static str,
    not_asked: Option<&'a str>,
    measure: Option<&'static str>,
    remark: Option<&'a str>,
    findings: usize,
    unread: usize,
    worst_mm: Option<f64>,
    worst: Option<String>,
    margin_mm: Option<f64>,
    margin: Option<String>,
    limit_mm: Option<f64>,
    slope: Option<f64>,
    count: Option<u32>,
    treads: Option<f64>,
    load_n: Option<f64>,
    load: Option<&'a str>,
    grip_mm: Option<GripShape>,
}

#[derive(Serialize)]
struct GripShape {
    round: [f64; 2],
    perimeter: [f64; 2],
    section: f64,
    recess: Option<RecessShape>,
}

#[derive(Serialize)]
struct RecessShape {
    begins_within: f64,
    depth: f64,
    depth_within: f64,
    continues: f64,
    down_to: f64,
    width: [f64; 2],
}

/// Writes an inspected job as JSON.
#[must_use]
pub fn inspect(report: &Report<'_>) -> String {
    let tape = report.job.tape;
    let lines = rule_lines(report);
    let inspection = &report.chain.inspection;
    let seasons = chain::seasons(report.chain);
    let climbs = chain::climbs(report.chain);
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &report.job.name,
        pack: pack(&report.chain.pack),
        troubles: report
            .troubles
            .iter()
            .map(|told| trouble(report, told, tape))
            .collect(),
        let_stand_gone: inspect::no_more_there(report.job, inspection)
            .into_iter()
            .map(|one| GoneShape {
                trouble: &one.trouble,
                because: &one.because,
            })
            .collect(),
        openings: inspection
            .openings
            .iter()
            .map(|o| opening(o, tape))
            .collect(),
        clashes: inspection.clashes.iter().map(|c| clash(c, tape)).collect(),
        reveals: report
            .chain
            .runs
            .iter()
            .flat_map(|run| &run.setout.reveals)
            .map(|r| reveal(r, tape))
            .collect(),
        drifts: inspection.drifts.iter().map(|d| drift(d, tape)).collect(),
        climb: climbs.iter().map(|c| climb(c, tape)).collect(),
        seasons: seasons.iter().map(|s| season(s, tape)).collect(),
        rules: lines
            .iter()
            .map(|line| rule(line, &report.chain.pack.edition, tape))
            .collect(),
        notes: notes(report),
        cautions: cautions(report),
    })
}

fn trouble<'a>(report: &Report<'a>, told: &'a Told<'_>, tape: Tape) -> TroubleShape<'a> {
    let (finding, explanation) = (told.finding, &told.explanation);
    TroubleShape {
        id: trouble_id(finding),
        kind: kind_word(finding.key.kind),
        severity: severity_word(finding.severity),
        parts: &finding.key.parts,
        value_mm: finding.value().as_mm(),
        value: amount(finding, finding.value(), tape),
        lower_mm: finding.lower.as_mm(),
        upper_mm: finding.upper.as_mm(),
        doubt_mm: finding.doubt.map(Length::as_mm),
        doubt: finding.doubt.map(|doubt| tape.print(doubt)),
        limit_mm: finding.limit.as_mm(),
        limit: amount(finding, finding.limit, tape),
        sense: sense_word(finding.sense),
        verdict: verdict_word(finding.verdict),
        source: &finding.source,
        says: &finding.says,
        at_mm: xyz(&finding.at),
        let_stand: report
            .let_stand(finding)
            .map(|stands| stands_shape(&stands, tape)),
        why: why_shape(explanation, tape),
    }
}

fn stands_shape<'a>(stands: &Stands<'a>, tape: Tape) -> StandsShape<'a> {
    let was = stands.why.was.as_ref().map(|was| was.value);
    StandsShape {
        because: &stands.why.because,
        was_mm: was.map(Length::as_mm),
        was: was.map(|was| tape.print(was)),
        changed: stands.was.is_some(),
    }
}

fn opening(opening: &Opening, tape: Tape) -> OpeningShape<'_> {
    OpeningShape {
        between: &opening.between,
        ball_mm: opening.ball.as_mm(),
        ball_upper_mm: opening.ball_upper.as_mm(),
        ball: tape.print(opening.ball),
        limit_mm: opening.limit.as_mm(),
        at_mm: xyz(&opening.at),
    }
}

fn clash(clash: &ClashFound, tape: Tape) -> ClashShape<'_> {
    ClashShape {
        parts: &clash.parts,
        depth_mm: clash.depth.as_mm(),
        depth: tape.print(clash.depth),
        class: clash.class.word(),
        clear_by: [clash.clear_by.x, clash.clear_by.y, clash.clear_by.z],
        to_clear: &clash.to_clear,
        at_mm: xyz(&clash.at),
        points_mm: clash.points.iter().map(xyz).collect(),
    }
}

fn reveal(reveal: &Reveal, tape: Tape) -> RevealShape<'_> {
    RevealShape {
        at: reveal.step,
        part: &reveal.part,
        value_mm: reveal.value.as_mm(),
        value: tape.print(reveal.value),
    }
}

fn pack(pack: &Pack) -> PackShape<'_> {
    PackShape {
        name: &pack.name,
        title: &pack.title,
        country: &pack.country,
        edition: &pack.edition,
        applies: &pack.applies,
        ask: &pack.ask,
        note: &pack.note,
        amended_by: pack.local.as_deref(),
    }
}

fn rule<'a>(line: &'a RuleLine<'_>, edition: &'a str, tape: Tape) -> RuleShape<'a> {
    let rule = line.rule;
    let worst = |value: Length| match rule.quantity {
        Quantity::RisersMost | Quantity::RisersLeast => format!("{:.0}", value.as_mm()),
        _ => tape.print(value),
    };
    RuleShape {
        quantity: rule.quantity.name(),
        clause: &rule.clause,
        edition: rule.edition.as_deref().unwrap_or(edition),
        says: &rule.says,
        when: rule.when.as_deref(),
        sense: sense_word(rule.sense),
        amended: line.amended,
        verdict: verdict_word(line.verdict),
        not_asked: line.not_asked.as_deref(),
        measure: line.measure,
        remark: line.remark.as_deref(),
        findings: line.findings,
        unread: line.unread.len(),
        worst_mm: line.worst.map(|(value, _)| value.as_mm()),
        worst: line.worst.map(|(value, _)| worst(value)),
        margin_mm: line.margin.map(Length::as_mm),
        margin: line.margin.map(|margin| tape.print(margin)),
        limit_mm: rule.length().map(Length::as_mm),
        slope: rule.limit.slope(),
        count: rule.limit.count(),
        treads: match rule.limit {
            Limit::Treads(treads) => Some(treads),
            _ => None,
        },
        load_n: match &rule.limit {
            Limit::Load { force, .. } => Some(force.value.as_newtons()),
            _ => None,
        },
        load: match &rule.limit {
            Limit::Load { force, .. } => Some(&force.text),
            _ => None,
        },
        grip_mm: match &rule.limit {
            Limit::Grip(sizes) => Some(grip(sizes)),
            _ => None,
        },
    }
}

fn grip(sizes: &GripSizes) -> GripShape {
    GripShape {
        round: [sizes.round_least.mm(), sizes.round_most.mm()],
        perimeter: [sizes.perimeter_least.mm(), sizes.perimeter_most.mm()],
        section: sizes.section_most.mm(),
        recess: sizes.recess.as_ref().map(|recess| RecessShape {
            begins_within: recess.begins_within.mm(),
            depth: recess.depth.mm(),
            depth_within: recess.depth_within.mm(),
            continues: recess.continues.mm(),
            down_to: recess.down_to.mm(),
            width: [recess.width_least.mm(), recess.width_most.mm()],
        }),
    }
}

pub(super) fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::Broken => "broken",
        Verdict::TooClose => "too-close",
        Verdict::NotShown => "not-shown",
    }
}

fn sense_word(sense: Sense) -> &'static str {
    match sense {
        Sense::AtMost => "at-most",
        Sense::AtLeast => "at-least",
        Sense::Under => "under",
    }
}
