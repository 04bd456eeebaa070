//! Which two readings to take, again or for the first time, so that a line is surer, and what they do
//! for it: first foretold from slopes, then found by putting them into the job and drawing again.
//!
//! In: a chain, its model and one line in first order. Out: [`Again`].
//!
//! A further reading takes off a result the share `cov(result, reading) / var(reading)` of what it
//! finds, both as the survey has them; of two readings, as the matrix of their covariances has it.
//! Drawn numbers being independent, covariances are sums of products of slopes. A reading is put into
//! the job with the value that all readings together make of it, so that the stair as found stays
//! what it is and only what is known of it grows. Lengths are millimetres.

use nalgebra::{DMatrix, DVector};

use crate::chain::{self, Chain};
use crate::job::Operation;
use crate::survey::{self, Candidate};

use super::chance::Tally;
use super::line::{Draw, Draws, Line, Watch};
use super::model::Model;
use super::outcome::spots;
use super::slopes::FirstOrder;

/// All pairs of so many readings are looked at: those that help most by themselves.
const PAIRED: usize = 20;
/// Of the readings that were taken, those whose errors move the line most are looked at.
const REPEATED: usize = 60;
/// Two readings that take less than this share off a standard deviation are not worth the walk.
const WORTH: f64 = 0.01;
/// An operation with less than this share of the variance is not worth more care.
const WORTH_CARE: f64 = 0.02;
/// More care is half the error.
const HALF: f64 = 0.5;

/// What would make a line surer.
#[derive(Clone, Debug)]
pub struct Again {
    /// As it is.
    pub before: State,
    /// The readings to take, the one that helps more by itself first: two, or one and the same twice;
    /// none where no reading would tell.
    pub readings: Vec<Reading>,
    /// With both of them.
    pub both: Option<State>,
    /// The operation of hand and saw to take more care over.
    pub care: Option<Care>,
}

/// How sure a line is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Its standard deviation by slopes, mm.
    pub foretold: f64,
    /// Its standard deviation as drawn, mm, and the standard error of that; `None` where no draw had
    /// such a place.
    pub sd: Option<(f64, f64)>,
    /// How often it fails; `None` where nothing is asked of it.
    pub tally: Option<Tally>,
}

impl State {
    fn of(line: &Line, foretold: f64, drawn: &Draw) -> Self {
        Self {
            foretold,
            sd: drawn.spread.sd().zip(drawn.spread.sd_error()),
            tally: line.finding().map(|_| drawn.tally),
        }
    }
}

/// A reading to take.
#[derive(Clone, Debug)]
pub struct Reading {
    /// What it reads, in trade words.
    pub what: String,
    /// Where to hold which tool.
    pub how: String,
    /// The run that it is taken on.
    pub run: usize,
    /// The field of the reading that it repeats; `None` where it is taken for the first time.
    pub repeats: Option<String>,
    /// The line with this reading alone.
    pub alone: State,
}

/// More care over an operation.
#[derive(Clone, Debug)]
pub struct Care {
    /// The operation.
    pub operation: Operation,
    /// Its share of the variance by slopes.
    pub share: f64,
    /// The line with the operation's errors halved.
    pub halved: State,
}

/// A reading that could be taken, and what it moves by for each number of a draw.
struct Offer {
    reading: Candidate,
    run: usize,
    repeats: Option<String>,
    moves: DVector<f64>,
}

/// What the line and the offers come to together.
struct Known {
    /// The line's slopes.
    slopes: DVector<f64>,
    /// Slopes of numbers that do not count are noughts here.
    counted: DVector<f64>,
    /// 1 for numbers that count, 0 for others.
    counts: DVector<f64>,
}

impl Known {
    fn of(model: &Model, first: &FirstOrder) -> Self {
        let mut counts = DVector::zeros(model.size());
        for source in model.sources().iter().filter(|one| model.counts(one)) {
            counts.rows_mut(source.from, source.count).fill(1.0);
        }
        let slopes = DVector::from_column_slice(&first.slopes);
        Self {
            counted: slopes.component_mul(&counts),
            counts,
            slopes,
        }
    }

    /// The line's standard deviation once some of the offers have been read. The survey takes them
    /// as it sees them, with what nobody read in doubt; whether that counts is another matter.
    fn after(&self, taken: &[&Offer]) -> f64 {
        let count = taken.len();
        let noise = |a: usize, b: usize| {
            if a == b {
                taken[a].reading.sd.powi(2)
            } else {
                0.0
            }
        };
        let seen = DMatrix::from_fn(count, count, |a, b| {
            taken[a].moves.dot(&taken[b].moves) + noise(a, b)
        });
        let with = DVector::from_fn(count, |at, _| taken[at].moves.dot(&self.slopes));
        let Some(gains) = seen.cholesky().map(|factor| factor.solve(&with)) else {
            return self.counted.norm();
        };
        let mut left = self.counted.clone();
        let mut errors = 0.0;
        for (offer, gain) in taken.iter().zip(gains.iter()) {
            left.axpy(-gain, &offer.moves.component_mul(&self.counts), 1.0);
            errors += (gain * offer.reading.sd).powi(2);
        }
        (left.norm_squared() + errors).sqrt()
    }
}

/// Finds what would make a line surer, and makes sure of it.
pub(super) fn again(
    chain: &Chain,
    model: &Model,
    line: &Line,
    first: &FirstOrder,
    (drawn, draws): (&Draw, &Draws),
    watch: Watch<'_>,
) -> Option<Again> {
    let known = Known::of(model, first);
    let offers = offers(chain, model, first);
    let pair = best_pair(&known, &offers);
    let before = State::of(line, first.sd, drawn);
    let mut again = Again {
        before,
        readings: Vec::new(),
        both: None,
        care: None,
    };
    if let Some((pair, foretold)) = pair {
        // Either may stand alone; one and the same reading twice is told once.
        for (at, offer) in pair.iter().enumerate() {
            let twice = at == 1 && std::ptr::eq(pair[0], pair[1]);
            let alone = if let (true, Some(first)) = (twice, again.readings.first()) {
                first.alone
            } else {
                let foretold = known.after(&[offer]);
                match checked(chain, model, line, &[offer], (foretold, draws), watch)? {
                    Some(state) => state,
                    None => continue,
                }
            };
            again.readings.push(Reading {
                what: offer.reading.what.clone(),
                how: offer.reading.how.clone(),
                run: offer.run,
                repeats: offer.repeats.clone(),
                alone,
            });
        }
        again.both = checked(chain, model, line, &pair, (foretold, draws), watch)?;
    }
    again.care = care(model, line, first, draws, watch)?;
    Some(again)
}

/// The two readings that leave least, the better one first, and what they leave; `None` where they are
/// not worth it.
fn best_pair<'a>(known: &Known, offers: &'a [Offer]) -> Option<([&'a Offer; 2], f64)> {
    let mut ranked: Vec<(usize, f64)> = offers
        .iter()
        .enumerate()
        .map(|(at, offer)| (at, known.after(&[offer])))
        .collect();
    ranked.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    ranked.truncate(PAIRED);
    let mut best: Option<([&Offer; 2], f64)> = None;
    for (at, one) in ranked.iter().enumerate() {
        for other in &ranked[at..] {
            let pair = [&offers[one.0], &offers[other.0]];
            let left = known.after(&pair);
            if best.as_ref().is_none_or(|(_, least)| left < *least) {
                best = Some((pair, left));
            }
        }
    }
    best.filter(|(_, left)| *left < (1.0 - WORTH) * known.counted.norm())
}

/// Everything that could be read, on every run that has a survey.
fn offers(chain: &Chain, model: &Model, first: &FirstOrder) -> Vec<Offer> {
    let mut offers = Vec::new();
    for (number, run) in chain.stairs() {
        let Some(survey) = &run.survey else { continue };
        let job = &run.run.job;
        let offer = |reading: Candidate, repeats: Option<String>| Offer {
            moves: DVector::from_vec(model.moves(number, &reading.function)),
            run: number,
            repeats,
            reading,
        };
        let taken = survey::repeats(job, survey)
            .into_iter()
            .zip(&survey.readings);
        let slope = |path: &str| {
            let mut sources = model.sources().iter();
            let found = sources.find(|one| one.run == number && one.reading() == Some(path));
            found.map_or(0.0, |source| first.slopes[source.from].abs())
        };
        let mut taken: Vec<(f64, Candidate, String)> = taken
            .filter_map(|(repeat, judged)| {
                Some((slope(&judged.path), repeat?, judged.path.clone()))
            })
            .collect();
        taken.sort_by(|a, b| b.0.total_cmp(&a.0));
        let known: Vec<String> = taken.iter().map(|one| one.1.what.clone()).collect();
        taken.truncate(REPEATED);
        let repeats = taken.into_iter().filter(|one| one.0 > 0.0);
        offers.extend(repeats.map(|(_, repeat, path)| offer(repeat, Some(path))));
        let fresh = survey::candidates(job, &survey.adjustment, &spots(run)).into_iter();
        let fresh = fresh.filter(|one| !known.contains(&one.what));
        offers.extend(fresh.map(|one| offer(one, None)));
    }
    offers
}

/// Draws the line again with some of the offers read. `Some(None)` where the stair cannot be set out
/// with them.
fn checked(
    chain: &Chain,
    model: &Model,
    line: &Line,
    taken: &[&Offer],
    (foretold, draws): (f64, &Draws),
    watch: Watch<'_>,
) -> Option<Option<State>> {
    let Some(read) = read(chain, model, taken) else {
        return Some(None);
    };
    let drawn = line.drawn(&read, draws, watch)?;
    Some(Some(State::of(line, foretold, &drawn)))
}

/// The model of the stair of which something more was read.
fn read(chain: &Chain, model: &Model, taken: &[&Offer]) -> Option<Model> {
    let mut runs = chain::again(chain);
    for offer in taken {
        let survey = chain.runs[offer.run].survey.as_ref()?;
        let value = survey.adjustment.mean(&offer.reading.function);
        let run = &runs[offer.run];
        let mut job = run.job.clone();
        offer.reading.reading.put_into(&mut job, value);
        runs[offer.run] = std::sync::Arc::new(run.with(job));
    }
    let read = chain::run_held(&runs, &chain.choices()).ok()?;
    Some(Model::of(&read)?.counting_as(model))
}

/// The operation that has the greatest share, and what half its error would do.
fn care(
    model: &Model,
    line: &Line,
    first: &FirstOrder,
    draws: &Draws,
    watch: Watch<'_>,
) -> Option<Option<Care>> {
    let share = |operation: Operation| -> f64 {
        let shares = first.shares.iter();
        let of = shares.filter(|one| model.sources()[one.0].operation() == Some(operation));
        of.map(|one| one.1).sum()
    };
    let all = Operation::ALL.map(|operation| (operation, share(operation)));
    let greatest = all.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((operation, share)) = greatest.filter(|one| one.1 > WORTH_CARE) else {
        return Some(None);
    };
    let halved = model.with_tolerances(|source| {
        if source.operation() == Some(operation) {
            HALF
        } else {
            1.0
        }
    });
    let foretold = first.sd * (1.0 - (1.0 - HALF * HALF) * share).max(0.0).sqrt();
    let drawn = line.drawn(&halved, draws, watch)?;
    Some(Some(Care {
        operation,
        share,
        halved: State::of(line, foretold, &drawn),
    }))
}
