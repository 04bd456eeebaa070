//! [`Loosest`]: how loose each operation may be for a result that is wanted.
//!
//! In: a drawn stair, the chance and how far a reveal may be off. Out: the loosest tolerance of each
//! operation, by itself with the others as stated, and one set of all together. They are looked for on
//! rows (each draw without any error, and with each operation's alone), and then drawn as they are;
//! where the draws disagree they are taken back by a mark, or on by one.

mod search;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::chain::Chain;
use crate::explain::of_the_house;
use crate::inspect::{Care, Finding, Key, Severity};
use crate::job::Operation;
use crate::job::limits::TOLERANCE;
use crate::measure::Length;
use crate::rules::Quantity;

use super::chance::Tally;
use super::first_look::costly;
use super::model::Model;
use super::rows::{Look, Row, Shown, Watch, rows, rows_until, shown};
use super::safe::{OTHER_DRAWS, allowed};
use super::sample::{MISS, Sample, Wanted, fails};
use super::source::{Origin, Source};
use search::{Apart, Ladder};

/// The result that is wanted: every limit that the plan keeps is kept, and
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Purpose {
    /// with this chance,
    pub chance: f64,
    /// no reveal is further off its plan than this.
    pub reveal: Option<Length>,
}

/// How loose an operation may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Allowed {
    /// This stair has nothing that it works on.
    NoPart,
    /// As loose as a job can state: it does not matter.
    Any,
    /// This much either way, a mark of the tape.
    UpTo(Length),
    /// Not even without any error of it is the result had.
    Never,
}

/// One operation by itself, the others as stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Alone {
    /// The operation.
    pub operation: Operation,
    /// As stated, or as is usual: of several runs the largest.
    pub stated: Length,
    /// The loosest.
    pub loosest: Allowed,
    /// How often the result is not had then, as drawn. `None` where nothing was to be drawn.
    pub drawn: Option<Tally>,
}

/// One set of all.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    /// For each operation, in the order of [`Operation::ALL`].
    pub set: Vec<(Operation, Allowed)>,
    /// How often the result is not had then, as drawn.
    pub drawn: Tally,
    /// True where the draws show that none can be loosened by a mark of the tape.
    pub is_loosest: bool,
    /// True where the draws bear it out; false where a few steps back were not enough.
    pub holds: bool,
}

/// What stands in the way where no tolerance gives the result.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What fails most often, as the plan tells it.
    pub says: String,
    /// The key of it; `None` where it is a reveal, or nothing stands.
    pub key: Option<Key>,
    /// How often it does, without any error of hand and saw.
    pub tally: Tally,
    /// The source that has the largest share in it: what it is, its field, and its share.
    pub source: Option<(String, Option<String>, f64)>,
}

/// How loose each operation may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Loosest {
    /// What is wanted.
    pub purpose: Purpose,
    /// How often it is not had with the tolerances as stated.
    pub stated: Tally,
    /// How often without any error of hand and saw.
    pub without: Tally,
    /// Troubles of the plan that no tolerance cures: they are left out.
    pub left_out: usize,
    /// Each by itself.
    pub alone: Vec<Alone>,
    /// All together; `None` where no tolerance gives the result.
    pub together: Option<Together>,
    /// What stands in the way then.
    pub way: Option<Way>,
}

/// Every operation's errors are drawn at this to see what they do, whatever is stated.
const REFERENCE: Length = Length::inches(0.125);
/// Draws that tell which findings hand and saw move at all.
const PROBED: u64 = 24;
/// Draws that it is looked for on.
const SEARCHED: u64 = 1_000;
/// Draws that what was found is checked by.
const CHECKED: u64 = 1_000;
/// And where it may stop before: what fails clearly needs no more.
const CHECKED_FIRST: [u64; 3] = [50, 200, 500];
/// So often a mark is stepped back or on.
const MOST_STEPS: usize = 6;
/// A margin that moves by less is not moved, mm.
const STILL_MM: f64 = 1e-3;
const OPERATIONS: usize = Operation::ALL.len();

/// Looks for the loosest tolerances. `None` where the watcher broke it off, or the stair is in no
/// doubt.
#[must_use]
pub fn loosest(
    model: &Model,
    chain: &Chain,
    sample: &Sample,
    purpose: Purpose,
    watch: Watch<'_>,
) -> Option<Loosest> {
    let workshop = Workshop::of(model, chain, sample, purpose, watch)?;
    let apart = workshop.apart()?;
    let chance = purpose.chance;
    let enough = allowed(chance, workshop.searched());
    let without = workshop.checked(&[Some(0); OPERATIONS])?;
    let stated = workshop.checked(&[None; OPERATIONS])?;
    let alone = Operation::ALL
        .iter()
        .enumerate()
        .map(|(at, &operation)| workshop.alone(&apart, (at, operation), enough))
        .collect::<Option<Vec<Alone>>>()?;
    let together = match apart.together(&workshop.ladder, enough) {
        Some(marks) => Some(workshop.together(&apart, marks)?),
        None => None,
    };
    let way = together.is_none().then(|| workshop.way(&apart.none));
    Some(Loosest {
        purpose,
        stated,
        without,
        left_out: workshop
            .plan
            .iter()
            .filter(|one| weighs(one) && fails(one))
            .count(),
        alone,
        together,
        way,
    })
}

fn weighs(finding: &Finding) -> bool {
    finding.severity > Severity::Remark
}

/// What the search is made with.
struct Workshop<'a> {
    chain: &'a Chain,
    sample: &'a Sample,
    /// The sources as the sample numbers them.
    sources: &'a [Source],
    purpose: Purpose,
    /// The model with every operation at the reference.
    model: Model,
    ladder: Ladder,
    plan: Vec<Finding>,
    reveals: Vec<Shown>,
    /// Findings that hand and saw move, or that may fail.
    keys: Vec<Key>,
    troubles: BTreeSet<Key>,
    /// Rules that take long to look at and of which nothing may fail, however loose the work.
    far: Vec<Quantity>,
    watch: Watch<'a>,
}

/// Marks of each operation; `None` as stated.
type Marks = [Option<u32>; OPERATIONS];

impl<'a> Workshop<'a> {
    fn of(
        model: &'a Model,
        chain: &'a Chain,
        sample: &'a Sample,
        purpose: Purpose,
        watch: Watch<'a>,
    ) -> Option<Self> {
        let mut at_reference = chain.clone();
        for run in &mut at_reference.runs {
            let mut job = run.run.job.clone();
            for operation in Operation::ALL {
                job.design.tolerances = job.design.tolerances.with(operation, REFERENCE);
            }
            run.run = Arc::new(run.run.with(job));
        }
        let reference = Model::of(&at_reference)?;
        let reference = if model.counts_unread() {
            reference.with_unread()
        } else {
            reference
        };
        let mark = chain.first().run.job.tape.mark();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few dozen marks"
        )]
        let most = (TOLERANCE.most / mark + 1e-9).floor() as u32;
        let drawn = reference.lay(&mut reference.scratch()).ok();
        let plan = drawn.as_ref().map_or_else(
            || chain.inspection.findings.clone(),
            |drawn| reference.findings(drawn, Care::Gauge),
        );
        let reveals = match (&drawn, purpose.reveal) {
            (Some(drawn), Some(_)) => shown(&drawn.laid),
            _ => Vec::new(),
        };
        let mut workshop = Self {
            chain,
            sample,
            sources: model.sources(),
            purpose,
            ladder: Ladder {
                mark: mark / REFERENCE,
                most,
            },
            troubles: plan
                .iter()
                .filter(|one| fails(one))
                .map(|one| one.key.clone())
                .collect(),
            plan,
            reveals,
            keys: Vec::new(),
            far: Vec::new(),
            model: reference,
            watch,
        };
        workshop.keys = workshop.probed()?;
        workshop.far = workshop.far();
        Some(workshop)
    }

    fn searched(&self) -> u64 {
        self.sample.wanted.most.min(SEARCHED)
    }

    fn counts(&self, finding: &Finding) -> bool {
        weighs(finding) && !self.troubles.contains(&finding.key)
    }

    /// The model with each operation at so many times the reference.
    fn at(&self, times: impl Fn(Operation, &Source) -> f64) -> Model {
        self.model.with_tolerances(|source| {
            source
                .operation()
                .map_or(1.0, |operation| times(operation, source))
        })
    }

    fn rows(&self, model: &Model, keys: &[Key], count: u64) -> Option<Vec<Row>> {
        let counts = |finding: &Finding| self.counts(finding);
        let look = self.look(keys, &counts);
        rows(model, &look, (&self.sample.wanted, count), self.watch)
    }

    fn look<'b>(&self, keys: &[Key], counts: &'b (dyn Fn(&Finding) -> bool + Sync)) -> Look<'b> {
        let places = keys.iter().cloned().enumerate();
        Look {
            places: places
                .map(|(at, key)| (key, at))
                .collect::<BTreeMap<_, _>>(),
            reveals: self.reveals.clone(),
            far: self.far.clone(),
            counts,
        }
    }

    /// The findings whose margins hand and saw move, or that may fail.
    fn probed(&self) -> Option<Vec<Key>> {
        let all: Vec<Key> = self
            .plan
            .iter()
            .filter(|one| self.counts(one) && !of_the_house(one.key.kind))
            .map(|one| one.key.clone())
            .collect();
        let count = self.sample.wanted.most.min(PROBED);
        let without = self.rows(&self.at(|_, _| 0.0), &all, count)?;
        let with = self.rows(&self.at(|_, _| 1.0), &all, count)?;
        let moved = |at: usize| {
            let pairs = without.iter().zip(&with);
            pairs
                .map(|(a, b)| (a.margins[at], b.margins[at]))
                .any(|(a, b)| a.is_finite() != b.is_finite() || (a - b).abs() > STILL_MM)
        };
        let keys = all.into_iter().enumerate();
        Some(
            keys.filter(|(at, _)| moved(*at))
                .map(|(_, key)| key)
                .collect(),
        )
    }

    fn far(&self) -> Vec<Quantity> {
        let (mut seen, mut held) = (BTreeSet::<Quantity>::new(), BTreeSet::new());
        for finding in &self.plan {
            let kind = finding.key.kind;
            let mut chances = self.sample.chances.iter();
            seen.extend(costly(kind));
            if self.keys.contains(&finding.key) || chances.any(|one| one.plan.key.kind == kind) {
                held.extend(costly(kind));
            }
        }
        seen.difference(&held).copied().collect()
    }

    fn apart(&self) -> Option<Apart> {
        let count = self.searched();
        let each = Operation::ALL.iter().map(|&only| {
            let model = self.at(|operation, _| f64::from(u8::from(operation == only)));
            self.rows(&model, &self.keys, count)
        });
        Some(Apart {
            each: each.collect::<Option<Vec<_>>>()?,
            none: self.rows(&self.at(|_, _| 0.0), &self.keys, count)?,
            reveal: self.purpose.reveal.map(Length::as_mm),
        })
    }

    /// What is stated of an operation in a run, as a multiple of the reference.
    fn stated(&self, operation: Operation, run: usize) -> f64 {
        let run = self.chain.runs.get(run);
        run.map_or(1.0, |run| {
            run.run.job.design.tolerances.of(operation) / REFERENCE
        })
    }

    /// The most that is stated in any run.
    fn most_stated(&self, operation: Operation) -> f64 {
        let runs = 0..self.chain.runs.len();
        runs.map(|run| self.stated(operation, run))
            .fold(0.0, f64::max)
    }

    /// How often the result is not had with these tolerances, drawn.
    fn checked(&self, marks: &Marks) -> Option<Tally> {
        let model = self.at(|operation, source| match marks[place(operation)] {
            Some(marks) => self.ladder.times(marks),
            None => self.stated(operation, source.run),
        });
        let count = self.sample.wanted.most.min(CHECKED);
        let limit = self.purpose.reveal.map_or(f64::INFINITY, Length::as_mm);
        let fails = |row: &&Row| {
            !row.stands || !row.others.is_empty() || row.off.iter().any(|off| off.abs() > limit)
        };
        let tally = |rows: &[Row]| Tally {
            hits: rows.iter().filter(fails).count() as u64,
            of: rows.len() as u64,
        };
        let clear = |rows: &[Row]| tally(rows).interval(MISS).0 > 1.0 - self.purpose.chance;
        let firsts = CHECKED_FIRST.iter().copied().filter(|&end| end < count);
        let ends: Vec<u64> = firsts.chain([count]).collect();
        let counts = |finding: &Finding| self.counts(finding);
        let look = self.look(&[], &counts);
        // Not the draws that the slopes are from.
        let fresh = Wanted {
            seed: self.sample.wanted.seed ^ OTHER_DRAWS,
            ..self.sample.wanted.clone()
        };
        let wanted = (&fresh, ends);
        let rows = rows_until(&model, &look, wanted, clear, self.watch)?;
        Some(tally(&rows))
    }

    fn enough(&self, tally: &Tally) -> bool {
        tally.hits <= allowed(self.purpose.chance, tally.of)
    }

    fn has_part(&self, operation: Operation) -> bool {
        let mut sources = self.model.sources().iter();
        sources.any(|source| source.operation() == Some(operation))
    }

    fn said(&self, operation: Operation, marks: u32) -> Allowed {
        if !self.has_part(operation) {
            Allowed::NoPart
        } else if marks >= self.ladder.most {
            Allowed::Any
        } else {
            Allowed::UpTo(REFERENCE * self.ladder.times(marks))
        }
    }

    fn alone(
        &self,
        apart: &Apart,
        (at, operation): (usize, Operation),
        enough: u64,
    ) -> Option<Alone> {
        let stated = self.most_stated(operation);
        let told = |loosest, drawn| Alone {
            operation,
            stated: REFERENCE * stated,
            loosest,
            drawn,
        };
        if !self.has_part(operation) {
            return Some(told(Allowed::NoPart, None));
        }
        let times: Vec<f64> = Operation::ALL.map(|one| self.most_stated(one)).into();
        let drawn = |marks: u32| {
            let mut all = [None; OPERATIONS];
            all[at] = Some(marks);
            self.checked(&all)
        };
        let Some(mut marks) = apart.alone(&self.ladder, &times, at, enough) else {
            let tally = drawn(0)?;
            let loosest = if self.enough(&tally) {
                Allowed::UpTo(Length::ZERO)
            } else {
                Allowed::Never
            };
            return Some(told(loosest, Some(tally)));
        };
        let mut tally = drawn(marks)?;
        if !self.enough(&tally) {
            // Halved between what holds and what fails.
            let (mut holds, mut fails) = (0, marks);
            tally = drawn(0)?;
            if !self.enough(&tally) {
                return Some(told(Allowed::Never, Some(tally)));
            }
            while fails - holds > 1 {
                let middle = u32::midpoint(holds, fails);
                let found = drawn(middle)?;
                if self.enough(&found) {
                    (holds, tally) = (middle, found);
                } else {
                    fails = middle;
                }
            }
            return Some(told(self.said(operation, holds), Some(tally)));
        }
        for _ in 0..MOST_STEPS {
            if marks >= self.ladder.most {
                break;
            }
            let looser = drawn(marks + 1)?;
            if !self.enough(&looser) {
                break;
            }
            (marks, tally) = (marks + 1, looser);
        }
        Some(told(self.said(operation, marks), Some(tally)))
    }

    fn together(&self, apart: &Apart, mut marks: Vec<u32>) -> Option<Together> {
        let drawn = |marks: &[u32]| {
            let mut all = [None; OPERATIONS];
            for (one, &marks) in all.iter_mut().zip(marks) {
                *one = Some(marks);
            }
            self.checked(&all)
        };
        let mut tally = drawn(&marks)?;
        for _ in 0..2 * MOST_STEPS {
            if self.enough(&tally) {
                break;
            }
            let Some(one) = apart.tighter(&self.ladder, &marks) else {
                break;
            };
            marks[one] -= 1;
            tally = drawn(&marks)?;
        }
        let holds = self.enough(&tally);
        let mut is_loosest = false;
        if holds {
            let mut left = 4 * MOST_STEPS;
            let mut closed = 0;
            let mut operation = 0;
            // Round and round, until every one in turn has been shown to be at its end.
            while closed < OPERATIONS && left > 0 {
                let end = marks[operation] >= self.ladder.most
                    || !self.has_part(Operation::ALL[operation]);
                let looser = if end {
                    None
                } else {
                    left -= 1;
                    let mut looser = marks.clone();
                    looser[operation] += 1;
                    let drawn = drawn(&looser)?;
                    self.enough(&drawn).then_some((looser, drawn))
                };
                match looser {
                    Some(found) => {
                        (marks, tally) = found;
                        closed = 0;
                    }
                    None => closed += 1,
                }
                operation = (operation + 1) % OPERATIONS;
            }
            is_loosest = closed >= OPERATIONS;
        }
        let set = Operation::ALL.iter().zip(&marks);
        Some(Together {
            set: set
                .map(|(&operation, &marks)| (operation, self.said(operation, marks)))
                .collect(),
            drawn: tally,
            is_loosest,
            holds,
        })
    }

    /// What fails most often without any error of hand and saw.
    fn way(&self, none: &[Row]) -> Way {
        let of = none.len() as u64;
        let tally = |hits: u64| Tally { hits, of };
        let count =
            |fails: &dyn Fn(&Row) -> bool| none.iter().filter(|row| fails(row)).count() as u64;
        let limit = self.purpose.reveal.map_or(f64::INFINITY, Length::as_mm);
        let mut ways: Vec<Way> = vec![Way {
            says: self
                .sample
                .none
                .first()
                .map_or_else(|| "no rail stands".to_owned(), |(why, _)| why.clone()),
            key: None,
            tally: tally(count(&|row| !row.stands)),
            source: None,
        }];
        let off = |at: usize| count(&|row: &Row| row.off[at].abs() > limit);
        ways.extend(self.reveals.iter().enumerate().map(|(at, shown)| Way {
            says: format!(
                "the reveal of {} on tread {} is off",
                shown.part, shown.step
            ),
            key: None,
            tally: tally(off(at)),
            source: None,
        }));
        ways.extend(self.keys.iter().enumerate().map(|(at, key)| {
            self.of_finding(key, tally(count(&|row: &Row| row.margins[at] <= 0.0)))
        }));
        for one in &self.sample.chances {
            let key = &one.plan.key;
            if !self.keys.contains(key) && self.counts(&one.plan) {
                let sort = (key.kind, one.plan.sense);
                let fails = count(&|row: &Row| row.others.contains(&sort));
                // Of one sort the likeliest stands for it.
                let share = one.tally.share();
                let of_sort = self.sample.chances.iter().filter(|other| {
                    (other.plan.key.kind, other.plan.sense) == sort && self.counts(&other.plan)
                });
                let first = of_sort.max_by(|a, b| a.tally.share().total_cmp(&b.tally.share()));
                if first.is_some_and(|first| first.tally.share() <= share) {
                    ways.push(self.of_finding(key, tally(fails)));
                }
            }
        }
        // Of equals the first.
        let most = ways.iter().map(|way| way.tally.hits).max().unwrap_or(0);
        let at = ways
            .iter()
            .position(|way| way.tally.hits == most)
            .unwrap_or(0);
        ways.swap_remove(at)
    }

    fn of_finding(&self, key: &Key, tally: Tally) -> Way {
        let plan = self.plan.iter().find(|one| &one.key == key);
        let mut chances = self.sample.chances.iter();
        let chance = chances.find(|one| &one.plan.key == key);
        let source = chance.and_then(|chance| {
            let mut shares = chance.shares.iter();
            let read = |at: usize| &self.sources[at];
            let &(at, share) = shares.find(|(at, _)| is_not_worked(read(*at)))?;
            let source = read(at);
            Some((source.says(), source.reading().map(str::to_owned), share))
        });
        Way {
            says: plan.map_or_else(|| key.id(), |one| one.says.clone()),
            key: Some(key.clone()),
            tally,
            source,
        }
    }
}

fn place(operation: Operation) -> usize {
    Operation::ALL
        .iter()
        .position(|one| *one == operation)
        .unwrap_or(0)
}

/// True for what hand and saw have no part in.
const fn is_not_worked(source: &Source) -> bool {
    !matches!(source.origin, Origin::Hand { .. })
}
