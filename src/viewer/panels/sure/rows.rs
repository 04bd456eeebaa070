//! What came of the draws, gathered for the panel: lines with their odds, numbers and sources.

use crate::doubt::{Chance, Ended, MISS, Measured, Sample, Tally};
use crate::inspect::{Key, Severity};
use crate::measure::{Length, Tape};
use crate::publish::{amount, grouped, odds, odds_within};

use super::super::super::sure::Drawn;
use super::super::super::{Pick, Showing, convert};
use super::super::troubles::{limit_words, sentence};

/// So many lines of a kind are told.
const TOLD: usize = 30;
/// A source with less of a share is not named.
const SHARE_TOLD: f64 = 0.05;
/// Sources named under the line that is picked, and under the others.
pub(super) const SOURCES: (usize, usize) = (3, 2);

/// How likely something is, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Odds {
    /// As one bets.
    pub(in crate::viewer) says: String,
    /// From what to what it may lie.
    pub(in crate::viewer) within: String,
}

impl Odds {
    /// Of something that was counted.
    pub(in crate::viewer) fn of(tally: &Tally) -> Self {
        let (low, high) = tally.interval(MISS);
        match tally.hits {
            0 => Self {
                says: "not once".to_owned(),
                within: format!("{} at most", odds(high)),
            },
            hits if hits == tally.of => Self {
                says: "every time".to_owned(),
                within: format!("{} at least", odds(low)),
            },
            _ => Self {
                says: odds(tally.share()),
                within: odds_within((low, high)),
            },
        }
    }
}

/// Where a value may lie, as shares of the width of a drawing.
pub(super) struct Strip {
    /// 19 times in 20.
    pub(super) outer: (f32, f32),
    /// Half of the time.
    pub(super) inner: (f32, f32),
    pub(super) planned: f32,
    pub(super) limit: f32,
}

/// Something that may fail.
pub(super) struct Line {
    pub(super) key: Key,
    pub(super) severity: Severity,
    pub(super) odds: Odds,
    /// It fails in every draw.
    pub(super) always: bool,
    pub(super) says: String,
    pub(super) numbers: String,
    pub(super) strip: Option<Strip>,
    /// Shares of its variance, and what they come from.
    pub(super) sources: Vec<(f64, String)>,
    pub(super) picked: bool,
}

/// A trouble that only some draws have.
pub(super) struct Fresh {
    pub(super) severity: Severity,
    pub(super) odds: String,
    pub(super) says: String,
}

/// What came of the draws.
pub(super) struct Told {
    pub(super) stale: bool,
    pub(super) said: String,
    pub(super) unread: Option<String>,
    pub(super) whole: Option<Odds>,
    /// Troubles that the plan has already, remarks left out.
    pub(super) planned: usize,
    pub(super) none: Vec<String>,
    pub(super) kept: Vec<Line>,
    /// Troubles of the plan that are not there in every draw.
    pub(super) open: Vec<Line>,
    /// And those that are.
    pub(super) always: Vec<Line>,
    pub(super) more: usize,
    pub(super) fresh: Vec<Fresh>,
    pub(super) results: Vec<[String; 4]>,
    /// What is to be known of pieces that are cut to the plan.
    pub(super) pieces: Vec<String>,
    pub(super) safe: usize,
}

fn said(sample: &Sample) -> String {
    let draws = grouped(sample.draws);
    match sample.ended {
        Ended::Enough => format!("drawn {draws} times: every chance is known well enough"),
        Ended::Most => format!("drawn {draws} times"),
        Ended::Cancelled if sample.draws == 0 => {
            "ended before a single draw was counted".to_owned()
        }
        Ended::Cancelled => {
            format!("ended early, after {draws} draws: these are only what came until then")
        }
    }
}

fn unread(count: usize) -> Option<String> {
    let words = match count {
        0 => return None,
        1 => "1 quantity that nobody read stands as meant".to_owned(),
        count => format!("{count} quantities that nobody read stand as meant"),
    };
    Some(words)
}

fn line(one: &Chance, drawn: &Drawn, showing: &Showing, tape: Tape) -> Line {
    let plan = &one.plan;
    let planned = format!("planned {}", amount(plan, plan.value(), tape));
    let limit = limit_words(plan, tape);
    let numbers = match one.within() {
        Some((low, high)) => {
            let [low, high] = [low, high].map(|at| amount(plan, at, tape));
            format!("{planned}; 19 times in 20: {low} to {high}; {limit}")
        }
        None => format!("{planned}; {limit}"),
    };
    let seen = one.shares.iter().filter(|(_, share)| *share >= SHARE_TOLD);
    let sources = seen.take(SOURCES.0);
    Line {
        key: plan.key.clone(),
        severity: plan.severity,
        odds: Odds::of(&one.tally),
        always: one.always(),
        says: sentence(&plan.says),
        numbers,
        strip: strip(one),
        sources: sources
            .map(|&(source, share)| (share.min(1.0), drawn.sources[source].clone()))
            .collect(),
        picked: showing.picked == Some(Pick::Trouble(plan.key.clone())),
    }
}

/// Where the value may lie, beside its plan and its limit.
fn strip(one: &Chance) -> Option<Strip> {
    let outer = one.spread.within(1.0 - MISS)?;
    let inner = one.spread.within(0.5)?;
    let (planned, limit) = (one.plan.value().as_mm(), one.plan.limit.as_mm());
    let all = [outer.0, outer.1, planned, limit];
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let wide = most - least;
    (wide.is_finite() && wide > 0.0).then(|| {
        let at = |value: f64| convert::single((value - least) / wide);
        Strip {
            outer: (at(outer.0), at(outer.1)),
            inner: (at(inner.0), at(inner.1)),
            planned: at(planned),
            limit: at(limit),
        }
    })
}

fn result(one: &Measured, tape: Tape) -> Option<[String; 4]> {
    let (low, high) = one.spread.within(1.0 - MISS)?;
    let comes = |by: f64| tape.print(one.planned + Length::mm(by));
    let planned = tape.print(one.planned);
    Some([sentence(&one.what), planned, comes(low), comes(high)])
}

/// The numbers of the set-out, and of the reveals the one that is least sure.
fn results(all: &[Measured], tape: Tape) -> Vec<[String; 4]> {
    let reveal = |one: &&Measured| one.what.starts_with("reveal");
    let sd = |one: &Measured| one.spread.sd().unwrap_or_default();
    let reveals = all.iter().filter(reveal);
    let loosest = reveals.max_by(|a, b| sd(a).total_cmp(&sd(b)));
    let others = all.iter().filter(|one| !reveal(one) && !one.piece);
    let told = others.chain(loosest);
    told.filter_map(|one| result(one, tape)).collect()
}

/// How a piece that is cut to the plan comes out.
fn piece(one: &Measured, tape: Tape) -> Option<String> {
    let (low, high) = one.spread.within(1.0 - MISS)?;
    let (short, long) = (Length::mm((-low).max(0.0)), Length::mm(high.max(0.0)));
    Some(sentence(&format!(
        "{} cut to the plan comes out up to {} short or {} long: leave it {} longer and fit it.",
        one.what,
        tape.print(short),
        tape.print(long),
        tape.print(tape.round_up(short))
    )))
}

pub(super) fn told(drawn: &Drawn, current: bool, showing: &Showing, tape: Tape) -> Told {
    let sample = &drawn.sample;
    let counted = sample.draws > 0;
    let lists = sample.listed();
    let more = lists.iter().map(|list| list.len().saturating_sub(TOLD));
    let more = more.sum();
    let planned = lists[1..].iter().flatten();
    let planned = planned.filter(|one| one.plan.severity != Severity::Remark);
    let planned = planned.count();
    let [kept, open, always] = lists.map(|mut list| -> Vec<Line> {
        // What only a careful eye sees comes after what counts.
        list.sort_by_key(|one| one.plan.severity == Severity::Remark);
        let some = list.into_iter().take(TOLD).filter(|_| counted);
        let lines = some.map(|one| line(one, drawn, showing, tape));
        // Of another state of the job nothing is picked.
        lines
            .map(|line| Line {
                picked: line.picked && current,
                ..line
            })
            .collect()
    });
    let none = sample.none.iter();
    let fresh = sample.fresh.iter();
    let measured: &[Measured] = if counted { &sample.results } else { &[] };
    let pieces = measured.iter().filter(|one| one.piece);
    Told {
        stale: !current,
        said: said(sample),
        unread: unread(drawn.unread),
        planned,
        whole: counted.then(|| Odds::of(&sample.anything)),
        none: none
            .map(|(why, tally)| {
                let odds = odds(tally.share());
                format!("{odds}: nothing stands at all. {}", sentence(why))
            })
            .collect(),
        kept,
        open,
        always,
        more: if counted { more } else { 0 },
        fresh: fresh
            .map(|one| Fresh {
                severity: one.severity,
                odds: odds(one.tally.share()),
                says: sentence(&one.says),
            })
            .collect(),
        results: results(measured, tape),
        pieces: pieces.filter_map(|one| piece(one, tape)).collect(),
        safe: sample.safe + sample.near().count(),
    }
}
