//! Findings judged again with the doubt that the readings leave.
//!
//! What is read is known give or take: the survey's posterior covariance says how much for any linear
//! function of the unknowns, and a quantity held against a limit is put as one. Its doubt is
//! [`WITHIN`] of its standard deviations either way (95 %), and a limit within that is too close to
//! call. That is a guard band of the whole expanded uncertainty on either side of the limit
//! (JCGM 106:2012, Evaluation of measurement data: the role of measurement uncertainty in conformity
//! assessment, 8.3.2, guarded acceptance; from memory), so that at most one in forty that truly
//! break a limit by a hair are called met.
//!
//! Doubt is what readings leave. What nobody read stands as meant: its spread before reading is a
//! custom of the trade, not a measurement, and is not counted. A part of a quantity is *carried* by
//! readings where they have at least halved its standard deviation. Where that which a quantity of
//! the stair or a wall mainly is (a rise, a going, an overhang, a level, a wall's face) is not
//! carried, the finding is not shown, however much room it was meant with, and says what to measure;
//! where it breaks as it was meant, it is broken.
//!
//! Functions: rises, treads, overhangs and levels are sums of unknowns. A pitch, and a rail over
//! nosings, move with each nosing as their tangents do. A rail is fixed by its height over the first
//! and last nosing, where it is marked, so what is in doubt is each nosing's place against the line
//! through those two; a gap of `k` balusters on a tread moves with the going over `k`; a peg's and a
//! reveal's place with the tread's open end; clearances with the wall's face.
//!
//! What is only seen (reveals that wander) is told with its doubt but judged by its value: its limit
//! is itself where an eye begins to see, and simple acceptance (JCGM 106:2012, 8.2) is fair there.
//!
//! No doubt is claimed of: what is cut, bored and fitted (clashes, seats, leans, notches); openings
//! along a rail, under a bottom rail, at panels and at walls; winders, whose readings carry none;
//! variation whose range is made by a winder.

mod flight;
mod railing;
mod stair;

use crate::measure::Length;
use crate::rules::Sense;
use crate::survey::{Adjustment, Linear, WITHIN};

use super::{Finding, Kind, Run, Severity, Verdict, judge};

/// A part is carried by readings where no more of its variance is left than this: half of its
/// standard deviation. No source.
const CARRIED: f64 = 0.25;
/// A function's value is that of a finding within this, mm: levels are reckoned over the tread's
/// length as meant, and set out over its length as found.
const ALIKE_MM: f64 = 0.1;
/// Less doubt than this is none, mm: no tool on a site is that sure.
const NO_DOUBT_MM: f64 = 0.05;

/// Judges the findings of a run again, with the doubt of its readings. `all` are all runs: a flight
/// goes on from another, and a wall is another's. Without a survey nothing changes.
pub(super) fn judge_again(findings: &mut [Finding], run: &Run<'_>, all: &[Run<'_>]) {
    let Some(survey) = run.survey else {
        return;
    };
    let adjustment = &survey.adjustment;
    let stair = run
        .solid
        .beside
        .is_none()
        .then(|| stair::Stair::of(run, adjustment, all));
    let railing = railing::Railing {
        run,
        adjustment,
        all,
    };
    for finding in findings {
        let doubt = stair
            .as_ref()
            .and_then(|stair| stair.doubt(finding))
            .or_else(|| railing.doubt(finding));
        if let Some(doubt) = doubt {
            doubt.count(finding);
        }
    }
}

/// What a quantity hangs on, part by part; their sum is the quantity but for a constant.
#[derive(Clone, Debug, Default)]
struct Hangs {
    /// What it mainly is: not shown where any of these was not read.
    mainly: Vec<Linear>,
    /// What else has a part in it.
    also: Vec<Linear>,
}

impl Hangs {
    /// What the difference of two hangs on.
    fn less(&self, other: &Self) -> Self {
        let both = |a: &[Linear], b: &[Linear]| {
            let b = b.iter().map(|part| part.times(-1.0));
            a.iter().cloned().chain(b).collect()
        };
        Self {
            mainly: both(&self.mainly, &other.mainly),
            also: both(&self.also, &other.also),
        }
    }

    fn doubt(&self, adjustment: &Adjustment) -> Doubt {
        let sum = |parts: &[&Linear]| {
            let whole = parts.iter();
            whole.fold(Linear::default(), |sum, part| sum.add(part))
        };
        let within = |parts: &[&Linear]| {
            if parts.is_empty() {
                return 0.0;
            }
            WITHIN * adjustment.variance(&sum(parts)).sqrt()
        };
        let carried = |part: &&Linear| is_carried(adjustment, part);
        let also: Vec<&Linear> = self.also.iter().filter(carried).collect();
        let (read, unread): (Vec<&Linear>, Vec<&Linear>) = self.mainly.iter().partition(carried);
        let counted: Vec<&Linear> = read.iter().chain(&also).copied().collect();
        Doubt {
            read: within(&counted),
            unread: !unread.is_empty(),
            unclipped: None,
        }
    }
}

fn is_carried(adjustment: &Adjustment, part: &Linear) -> bool {
    adjustment.variance(part) <= CARRIED * adjustment.prior_variance(part)
}

/// The doubt of a quantity, mm either way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Doubt {
    /// What its readings leave.
    read: f64,
    /// Something that it mainly is was not read.
    unread: bool,
    /// The value before it was cut off at nothing, where it was.
    unclipped: Option<f64>,
}

impl Doubt {
    /// What is ours to set is never "not shown": where nobody read what it is set on, nothing is
    /// claimed.
    const fn of_ours(self) -> Self {
        Self {
            unread: false,
            ..self
        }
    }

    /// The doubt of a sum or difference of two that have no reading in common.
    fn with(self, other: Self) -> Self {
        Self {
            read: self.read.hypot(other.read),
            unread: self.unread || other.unread,
            unclipped: None,
        }
    }

    /// Counts it in a finding.
    fn count(self, finding: &mut Finding) {
        let (lower, upper) = self.unclipped.map_or((finding.lower, finding.upper), |mm| {
            (Length::mm(mm), Length::mm(mm))
        });
        let with = |doubt: f64| {
            let doubt = (doubt > NO_DOUBT_MM).then(|| Length::mm(doubt));
            let verdict = judge(lower, upper, finding.sense, finding.limit, doubt);
            (doubt, verdict)
        };
        let as_told = finding.verdict;
        let (doubt, verdict) = with(self.read);
        if finding.key.kind == Kind::RevealDrift {
            finding.doubt = doubt;
            return;
        }
        finding.doubt = doubt;
        finding.verdict = verdict;
        // What breaks as it was meant is broken, whoever reads it; what would be met as it was meant
        // is not shown to be, until somebody reads it.
        if as_told == Verdict::Met && self.unread {
            finding.doubt = None;
            finding.verdict = Verdict::NotShown;
            finding.says = format!("{}; {}", finding.says, measure(finding));
        } else if as_told == Verdict::Met && verdict == Verdict::TooClose {
            // It is as it should be as far as was read: to be read again, not to stop for.
            finding.severity = finding.severity.min(Severity::Fix);
        }
    }
}

/// What to do where a quantity rests on what nobody read.
fn measure(finding: &Finding) -> String {
    let what = match finding.key.kind {
        Kind::Rise | Kind::RiseVariation | Kind::RiseAdjacent | Kind::FlightRise => "rise",
        Kind::TreadDepth | Kind::TreadVariation | Kind::GoingAdjacent => "going",
        Kind::Nosing | Kind::NosingVariation => "overhang",
        Kind::TreadSlope => "level",
        Kind::WallClearance | Kind::Projection => "wall",
        _ => "rise and going",
    };
    let all = match (finding.key.kind, finding.sense) {
        (Kind::RiseVariation | Kind::TreadVariation | Kind::NosingVariation, Sense::AtMost) => {
            "every "
        }
        _ => "the ",
    };
    format!("not read, it stands as meant: read {all}{what}")
}

#[cfg(test)]
mod tests;
