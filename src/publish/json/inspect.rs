//! The shape of `inspect --json`.

use serde::Serialize;

use super::why::{WhyShape, why_shape};
use super::{FORMAT, program, text_of, xyz};
use crate::inspect::{ClashFound, Opening, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::report::{
    Report, RuleLine, Told, cautions, kind_word, rule_lines, severity_word, trouble_id,
};
use crate::rules::Sense;
use crate::setout::Reveal;

/// The whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    pack: PackShape<'a>,
    troubles: Vec<TroubleShape<'a>>,
    openings: Vec<OpeningShape<'a>>,
    clashes: Vec<ClashShape<'a>>,
    reveals: Vec<RevealShape<'a>>,
    rules: Vec<RuleShape<'a>>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct PackShape<'a> {
    name: &'a str,
    title: &'a str,
    edition: &'a str,
    note: &'a str,
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
    limit_mm: f64,
    limit: String,
    sense: &'static str,
    verdict: &'static str,
    source: &'a str,
    says: &'a str,
    at_mm: [f64; 3],
    #[serde(flatten)]
    why: WhyShape<'a>,
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
    clear_by: [f64; 3],
    at_mm: [f64; 3],
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
    says: &'a str,
    verdict: &'static str,
    findings: usize,
    worst_mm: Option<f64>,
    worst: Option<String>,
    limit_mm: Option<f64>,
    slope: Option<f64>,
}

/// Writes an inspected job as JSON.
#[must_use]
pub fn inspect(report: &Report<'_>) -> String {
    let tape = report.job.tape;
    let inspection = &report.chain.inspection;
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &report.job.name,
        pack: PackShape {
            name: &report.chain.pack.name,
            title: &report.chain.pack.title,
            edition: &report.chain.pack.edition,
            note: &report.chain.pack.note,
        },
        troubles: report.troubles.iter().map(|t| trouble(t, tape)).collect(),
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
        rules: rule_lines(report)
            .iter()
            .map(|line| rule(line, tape))
            .collect(),
        cautions: cautions(report),
    })
}

fn trouble<'a>(told: &'a Told<'_>, tape: Tape) -> TroubleShape<'a> {
    let (finding, explanation) = (told.finding, &told.explanation);
    TroubleShape {
        id: trouble_id(finding),
        kind: kind_word(finding.key.kind),
        severity: severity_word(finding.severity),
        parts: &finding.key.parts,
        value_mm: finding.value().as_mm(),
        value: tape.print(finding.value()),
        lower_mm: finding.lower.as_mm(),
        upper_mm: finding.upper.as_mm(),
        limit_mm: finding.limit.as_mm(),
        limit: tape.print(finding.limit),
        sense: sense_word(finding.sense),
        verdict: verdict_word(finding.verdict),
        source: &finding.source,
        says: &finding.says,
        at_mm: xyz(&finding.at),
        why: why_shape(explanation, tape),
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
        clear_by: [clash.clear_by.x, clash.clear_by.y, clash.clear_by.z],
        at_mm: xyz(&clash.at),
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

fn rule<'a>(line: &RuleLine<'a>, tape: Tape) -> RuleShape<'a> {
    RuleShape {
        quantity: format!("{:?}", line.rule.quantity),
        clause: &line.rule.clause,
        says: &line.rule.says,
        verdict: verdict_word(line.verdict),
        findings: line.findings,
        worst_mm: line.worst.map(|(value, _)| value.as_mm()),
        worst: line.worst.map(|(value, _)| tape.print(value)),
        limit_mm: line.rule.length().map(Length::as_mm),
        slope: line.rule.limit.slope(),
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
