//! [`Report`]: an inspected job with its explanations, ready to be written out, and its words.

use super::survey::{read_words, suspect_says};
use crate::chain::Chain;
use crate::explain::Explanation;
use crate::inspect::{self, Finding, Kind, Severity, Stands, Verdict};
use crate::job::Job;
use crate::rules::Pack;
use crate::survey::{Standing, Survey};

/// An inspected job.
#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    /// The job.
    pub job: &'a Job,
    /// Everything from site to troubles.
    pub chain: &'a Chain,
    /// The troubles to tell, worst first.
    pub troubles: &'a [Told<'a>],
}

impl<'a> Report<'a> {
    /// Whether the job lets a trouble stand, and why.
    #[must_use]
    pub fn let_stand(&self, finding: &Finding) -> Option<Stands<'a>> {
        inspect::let_stand(self.job, finding)
    }

    /// How many of the troubles to tell are let stand.
    #[must_use]
    pub fn stand(&self) -> usize {
        let told = self.troubles.iter();
        told.filter(|one| self.let_stand(one.finding).is_some())
            .count()
    }
}

/// A trouble with its explanation.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// The trouble.
    pub finding: &'a Finding,
    /// Why it is there and what clears it.
    pub explanation: Explanation,
}

impl<'a> Told<'a> {
    /// Troubles, each with its explanation.
    #[must_use]
    pub fn each(findings: &[&'a Finding], explanations: Vec<Explanation>) -> Vec<Self> {
        let explained = findings.iter().zip(explanations);
        explained
            .map(|(finding, explanation)| Self {
                finding,
                explanation,
            })
            .collect()
    }
}

/// The cautions that belong under the report, each one sentence or a few.
#[must_use]
pub fn cautions(report: &Report<'_>) -> Vec<String> {
    let cuts_stringer = report
        .chain
        .inspection
        .findings
        .iter()
        .any(|f| f.key.kind == Kind::StringerCut && f.is_trouble());
    let engineer = "A stringer carries load. Ask an engineer before one is cut.";
    let work = "While you work, an open stair needs its own temporary guard: a rail made for a \
                house is lower than a building site asks. Let the saw stop before you clear it.";
    cuts_stringer
        .then(|| engineer.to_owned())
        .into_iter()
        .chain(without_bodies(report))
        .chain(stood_for(report))
        .chain(slips(report))
        .chain(of_pack(&report.chain.pack))
        .chain([work.to_owned()])
        .collect()
}

/// What a reader must know of the pack before relying on it, and of the text that amends it.
fn of_pack(pack: &Pack) -> Vec<String> {
    let local = pack.local.as_ref().map(|local| {
        format!(
            "Amended by {local}, as the job says; we have not read that text. Ask {}.",
            pack.ask
        )
    });
    [pack.note.clone()].into_iter().chain(local).collect()
}

/// Parts that come out without a body, so that no clash of theirs is shown.
fn without_bodies(report: &Report<'_>) -> Vec<String> {
    let findings = report.chain.inspection.findings.iter();
    findings
        .filter(|one| one.key.kind == Kind::Clash && one.verdict == Verdict::NotShown)
        .map(|one| format!("Part {}.", one.says))
        .collect()
}

/// What the job lets stand that is not there.
fn stood_for(report: &Report<'_>) -> Vec<String> {
    let gone = inspect::no_more_there(report.job, &report.chain.inspection);
    gone.into_iter()
        .map(|one| {
            format!(
                "The job lets {} stand (\u{201c}{}\u{201d}), and this stair has no such trouble: take \
                 it out of `lets_stand` unless it may come back.",
                one.trouble, one.because
            )
        })
        .collect()
}

/// Readings that look like slips, a sentence for each: what follows from them may not be there.
#[must_use]
pub fn slips(report: &Report<'_>) -> Vec<String> {
    let surveys = report
        .chain
        .runs
        .iter()
        .filter_map(|run| run.survey.as_ref());
    surveys
        .flat_map(|survey| slips_of(report, survey))
        .collect()
}

fn slips_of(report: &Report<'_>, survey: &Survey) -> Vec<String> {
    let named = survey.suspects.iter().filter_map(|slip| {
        let one = survey.readings.get(slip.reading)?;
        Some(suspect_says(report.job.tape, one, slip))
    });
    let far = survey
        .readings
        .iter()
        .filter(|one| one.standing == Standing::UncheckedAndFar);
    let far = far.map(|one| {
        format!(
            "{} reads {}, far from what was meant, and nothing checks it: read it again",
            one.what,
            read_words(report.job.tape, one.read, one.value)
        )
    });
    named
        .chain(far)
        .map(|says| {
            format!(
                "A reading may be a slip, and what follows from it may not be there: {says} \
                 (`rakewell survey` tells more)."
            )
        })
        .collect()
}

/// A name for a trouble that stays the same from run to run, as `opening:N1+B02`.
#[must_use]
pub fn trouble_id(finding: &Finding) -> String {
    finding.key.id()
}

/// The word for a kind of finding in machine answers.
#[must_use]
pub fn kind_word(kind: Kind) -> &'static str {
    kind.word()
}

/// The word for a severity.
#[must_use]
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Remark => "remark",
        Severity::Fix => "fix",
        Severity::Stop => "stop",
    }
}

/// The words for a verdict.
#[must_use]
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::Broken => "broken",
        Verdict::TooClose => "too close to call",
        Verdict::NotShown => "not shown",
    }
}
