//! What decides one line: its sources by share, first order and total, beside what first-order
//! propagation says of it, and what would make it surer.
//!
//! In: a chain that ran on readings, its model and one of its lines. Out: [`Decides`]. The sources
//! that slopes or draws show to matter stand each by itself, all the others together as one, so that
//! the shares are of the whole ([`sobol`]). Lengths are millimetres.

use std::sync::{Mutex, PoisonError};

use crate::chain::Chain;
use crate::inspect::{Care, rests_on_all};

use super::again::{self, Again};
use super::chance::Tally;
use super::line::{Draw, Draws, Line, Watch};
use super::model::{Model, Scratch};
use super::propagate::Comparison;
use super::sample::Wanted;
use super::slopes::{FirstOrder, first_order_of};
use super::sobol::{self, Pick, Row, Shares};
use super::spread::Spread;
use super::stream::stream;

/// So many sources stand by themselves.
const ALONE: usize = 8;
/// One with less than this share, by slopes and by draws, does not.
const SEEN: f64 = 0.005;
/// A line is drawn so often at most, for each of the questions asked of it.
const DRAWS: u64 = 2_000;
/// Samples for the shares; each asks the line once for every group and twice more.
const SAMPLES: u64 = 600;
/// What is measured with the whole stair, which takes long, is asked so much less often.
const LESS: u64 = 4;
/// The draws for the shares are none of the others.
const OTHER_DRAWS: u64 = 0x5AA2_E5D0_07B2_19C3;

/// What decides a line.
#[derive(Clone, Debug)]
pub struct Decides {
    /// The line as planned.
    pub line: Line,
    /// Draws made of it.
    pub draws: u64,
    /// How it spreads, mm.
    pub spread: Spread,
    /// How often it fails; `None` where nothing is asked of it.
    pub tally: Option<Tally>,
    /// Draws in which there is no such place.
    pub absent: u64,
    /// Draws in which nothing stands: it counts as failing.
    pub none: u64,
    /// What first-order propagation says of it.
    pub first: FirstOrder,
    /// That held against the draws; `None` where there are too few.
    pub compared: Option<Comparison>,
    /// What its variance comes from, greatest first, and all the rest last.
    pub parts: Vec<Part>,
    /// Samples that the shares rest on, and how many had no such place.
    pub samples: (u64, u64),
    /// What would make it surer.
    pub again: Again,
}

/// A source's part in the variance, or that of all the rest together.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The source's number among the model's; `None` for all the rest.
    pub source: Option<usize>,
    /// How many sources it is.
    pub of: usize,
    /// Its share by slopes.
    pub slope_share: f64,
    /// Its shares by draws.
    pub shares: Shares,
}

/// Works out what decides a line. `None` where the watcher broke it off.
///
/// The same seed gives the same answer on any number of threads.
#[must_use]
pub fn decides(
    chain: &Chain,
    model: &Model,
    line: &Line,
    wanted: &Wanted,
    watch: Watch<'_>,
) -> Option<Decides> {
    let all = line.finding().is_some_and(|one| rests_on_all(one.key.kind));
    let less = if all { LESS } else { 1 };
    let first = first_order_of(model, line, wanted.threads, watch)?;
    let draws = Draws {
        seed: wanted.seed,
        draws: wanted.most.min(DRAWS / less),
        threads: wanted.threads,
        sd: first.sd,
    };
    let drawn = line.drawn(model, &draws, watch)?;
    let groups = grouped(model, &first, &drawn);
    let (parts, samples) = parts(
        model,
        line,
        &first,
        &groups,
        (wanted, SAMPLES / less),
        watch,
    )?;
    let again = again::again(chain, model, line, &first, (&drawn, &draws), watch)?;
    Some(Decides {
        line: line.clone(),
        draws: draws.draws,
        compared: first.compared(&drawn.spread),
        tally: line.finding().map(|_| drawn.tally),
        absent: drawn.absent,
        none: drawn.none,
        spread: drawn.spread,
        first,
        parts,
        samples,
        again,
    })
}

/// The sources that stand by themselves, and all the rest.
fn grouped(model: &Model, first: &FirstOrder, drawn: &Draw) -> Vec<Vec<usize>> {
    let sources = model.sources().iter().enumerate();
    let counted = sources.filter(|one| model.counts(one.1));
    // What counts for nothing in draws of so many sources shows this much by accident.
    let accident = 9.0 * drawn.cross.accident();
    let mut ranked: Vec<(usize, f64)> = counted
        .map(|(at, source)| {
            let seen = drawn.share(source) - accident * (source.count as f64).sqrt();
            (at, first.share(at).max(first.bent_share(at)).max(seen))
        })
        .collect();
    ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let alone = ranked.iter().take(ALONE).filter(|one| one.1 > SEEN).count();
    let mut groups: Vec<Vec<usize>> = ranked[..alone].iter().map(|one| vec![one.0]).collect();
    let rest: Vec<usize> = ranked[alone..].iter().map(|one| one.0).collect();
    if !rest.is_empty() {
        groups.push(rest);
    }
    groups
}

fn parts(
    model: &Model,
    line: &Line,
    first: &FirstOrder,
    groups: &[Vec<usize>],
    (wanted, most): (&Wanted, u64),
    watch: Watch<'_>,
) -> Option<(Vec<Part>, (u64, u64))> {
    // Made once for each thread that asks at the same time.
    let spare: Mutex<Vec<(Scratch, Vec<f64>)>> = Mutex::default();
    let locked = || spare.lock().unwrap_or_else(PoisonError::into_inner);
    let seed = wanted.seed ^ OTHER_DRAWS;
    let eval = |sample: u64, pick: &Pick| {
        let held = locked().pop();
        let (mut scratch, mut other) = held.unwrap_or_else(|| (model.scratch(), Vec::new()));
        let row = |row: Row| stream(seed, sobol::row_draw(sample, row));
        model.number(&mut row(pick.rest()), &mut scratch.numbers);
        if let Some(group) = pick.but() {
            model.number(&mut row(pick.row(group)), &mut other);
            for &source in &groups[group] {
                let source = &model.sources()[source];
                let numbers = source.from..source.from + source.count;
                scratch.numbers[numbers.clone()].copy_from_slice(&other[numbers]);
            }
        }
        let value = line.value(model, &mut scratch, Care::Measure);
        locked().push((scratch, other));
        value.map(|value| vec![value])
    };
    let samples = most.min(wanted.most);
    let table = sobol::shares(groups.len(), samples, wanted.threads, eval, watch);
    if table.ended == super::Ended::Cancelled {
        return None;
    }
    let shares = table.results.into_iter().next().unwrap_or_default();
    let alone = groups.len() - usize::from(groups.last().is_some_and(|last| last.len() > 1));
    let mut parts: Vec<Part> = groups
        .iter()
        .zip(shares)
        .enumerate()
        .map(|(at, (group, shares))| Part {
            source: (at < alone).then(|| group[0]),
            of: group.len(),
            slope_share: group.iter().map(|&source| first.share(source)).sum(),
            shares,
        })
        .collect();
    let alone = alone.min(parts.len());
    parts[..alone].sort_by(|a, b| b.shares.total.total_cmp(&a.shares.total));
    Some((parts, (table.used, table.lost)))
}
