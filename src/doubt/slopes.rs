//! First order: how a line moves with each source by itself, from differences that are checked, and
//! the place where that stops being the whole truth.
//!
//! In: a model and its lines. Out: [`FirstOrder`] for each: its standard deviation by JCGM 100:2008,
//! 5.1.2, what each source has in it, and the sources along which the line is bent or kinked.
//! Collision and ball queries take no dual numbers, so each slope comes of five values: at nought and
//! at half and whole standard deviations to either side ([`propagate::slope`]). A wall's bow takes
//! its nodes together. Lengths are millimetres.

use crate::inspect::{Care, Finding, Kind};
use crate::measure::Length;

use super::line::{Line, Seen, Watch, each};
use super::model::{Model, Scratch};
use super::propagate::{self, Bend, Comparison, Slope};
use super::results;
use super::spread::Spread;

/// What a ball moves by for a whole standard deviation counts for nothing below this, mm: it is
/// searched for, to half of this.
const STILL_MM: f64 = 0.01;
/// The same of what is worked out in closed form.
const STILL_EXACT_MM: f64 = 1e-4;
/// A source bends a line where it takes it off its tangent by more than this share of the line's own
/// scale within a standard deviation.
const BENDS: f64 = 0.05;
/// First order and draws agree within this share.
pub(super) const TOLERATED: f64 = 0.05;
/// So many sources are followed to the place where the line leaves its tangent.
const FOLLOWED: usize = 8;
/// A tangent is taken over so many standard deviations to either side where its end is looked for.
const NEAR: f64 = 0.25;
/// It ends where the line is off it by more than this share of what it moves.
const OFF: f64 = 0.1;
/// How far out is looked, in standard deviations; within limits of error, as far as they go.
const FAR: f64 = 2.5;
/// Halvings of the stretch in which a tangent ends.
const HALVINGS: usize = 5;

/// A line in first order.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstOrder {
    /// As planned, mm.
    pub value: f64,
    /// Its standard deviation, mm.
    pub sd: f64,
    /// Each source's share of its variance: the source's number among the model's, greatest first.
    pub shares: Vec<(usize, f64)>,
    /// The sources along which it is not straight, those that bend it most first.
    pub bent: Vec<Bent>,
    /// What it moves by for each number of a draw, mm; also for what nobody read, counted or not.
    pub(super) slopes: Vec<f64>,
}

/// A source along which a line is not straight.
#[derive(Clone, Debug, PartialEq)]
pub struct Bent {
    /// Its number among the model's sources.
    pub source: usize,
    /// In which way.
    pub bend: Bend,
    /// What one standard deviation of it moves the line by one way, mm.
    pub up: f64,
    /// What one moves it by the other way, mm.
    pub down: f64,
    /// How far off the line is from its tangent at one standard deviation, mm.
    pub off: f64,
    /// From so many standard deviations on the line has left its tangent, where that was looked for:
    /// 0 where it has none at the plan itself.
    pub from: Option<f64>,
    /// How the line is told on either side, where it is told at all: what is the tightest there.
    pub told: Option<[String; 2]>,
    /// How far apart the places are that are pointed at on either side.
    pub moved: Option<Length>,
}

impl FirstOrder {
    /// Holds it against draws.
    #[must_use]
    pub fn compared(&self, draws: &Spread) -> Option<Comparison> {
        propagate::compared(self.value, self.sd, draws, TOLERATED)
    }

    /// A source's share of its variance.
    #[must_use]
    pub fn share(&self, source: usize) -> f64 {
        let found = self.shares.iter().find(|one| one.0 == source);
        found.map_or(0.0, |one| one.1)
    }

    /// What a source takes it off its tangent by, as a share of all that moves it.
    pub(super) fn bent_share(&self, source: usize) -> f64 {
        let off = |one: &Bent| one.off.powi(2);
        let all = self.sd.powi(2) + self.bent.iter().map(off).sum::<f64>();
        let mut bent = self.bent.iter();
        let found = bent.find(|one| one.source == source);
        found.map_or(0.0, |one| off(one) / all.max(f64::MIN_POSITIVE))
    }

    fn of(model: &Model, plan: Plan, slopes: &[Option<Slope>]) -> Self {
        let centrals: Vec<f64> = slopes
            .iter()
            .map(|slope| slope.map_or(0.0, |slope| slope.central))
            .collect();
        let sources = model.sources();
        let counted = || sources.iter().enumerate().filter(|one| model.counts(one.1));
        let variance = |source: &super::Source| -> f64 {
            let numbers = &centrals[source.from..source.from + source.count];
            numbers.iter().map(|slope| slope * slope).sum()
        };
        let whole: f64 = counted().map(|(_, source)| variance(source)).sum();
        let mut shares: Vec<(usize, f64)> = counted()
            .map(|(at, source)| (at, variance(source) / whole.max(f64::MIN_POSITIVE)))
            .filter(|(_, share)| *share > 0.0)
            .collect();
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let mut bent: Vec<Bent> = counted()
            .filter_map(|(at, source)| {
                Bent::of(at, &slopes[source.from..source.from + source.count])
            })
            .collect();
        let scale = scale(&counted().map(|one| one.1).collect::<Vec<_>>(), slopes);
        bent.retain(|one| one.bend == Bend::OneSided || one.off > (BENDS * scale).max(plan.still));
        bent.sort_by(|a, b| b.off.total_cmp(&a.off).then(a.source.cmp(&b.source)));
        Self {
            value: plan.value,
            sd: whole.sqrt(),
            shares,
            bent,
            slopes: centrals,
        }
    }
}

/// A line as planned, and how little of a move is none. mm.
#[derive(Clone, Copy, Debug)]
struct Plan {
    value: f64,
    still: f64,
}

impl Plan {
    fn of(line: &Line) -> Self {
        let searched = |one: &Finding| {
            let balls = [Kind::Opening, Kind::Triangle, Kind::OpenKick];
            balls.contains(&one.key.kind) || one.upper > one.lower
        };
        let still = if line.finding().is_some_and(searched) {
            STILL_MM
        } else {
            STILL_EXACT_MM
        };
        Self {
            value: line.planned().as_mm(),
            still,
        }
    }
}

/// How much a line moves with all of its sources, whichever way: also where what it moves one way and
/// the other cancel out.
fn scale(sources: &[&super::Source], slopes: &[Option<Slope>]) -> f64 {
    let of = |slope: &Slope| 0.5 * (slope.forward.powi(2) + slope.backward.powi(2));
    let numbers = sources
        .iter()
        .flat_map(|one| &slopes[one.from..one.from + one.count]);
    numbers.flatten().map(of).sum::<f64>().sqrt()
}

impl Bent {
    fn of(source: usize, slopes: &[Option<Slope>]) -> Option<Self> {
        let off = |slope: &Slope| match slope.bend {
            Bend::Straight => 0.0,
            Bend::OneSided => slope.forward.abs(),
            Bend::Curved | Bend::Kinked => 0.5 * (slope.forward - slope.backward).abs(),
        };
        let moving = slopes.iter().flatten();
        let worst = moving.clone().max_by(|a, b| off(a).total_cmp(&off(b)))?;
        let together = moving.map(|slope| off(slope).powi(2)).sum::<f64>().sqrt();
        (together > 0.0).then_some(Self {
            source,
            bend: worst.bend,
            up: worst.forward,
            down: -worst.backward,
            off: together,
            from: None,
            told: None,
            moved: None,
        })
    }
}

/// The numbers whose sources count, or all of them.
fn numbers(model: &Model, all: bool) -> Vec<usize> {
    let sources = model.sources().iter();
    sources
        .filter(|source| all || model.counts(source))
        .flat_map(|source| source.from..source.from + source.count)
        .collect()
}

/// The slopes of lines with one number. Empty where none of them moves.
fn along(
    scratch: &mut Scratch,
    number: usize,
    plan: &[Plan],
    values: &dyn Fn(&mut Scratch) -> Vec<Option<f64>>,
) -> Vec<Option<Slope>> {
    let mut at = |by: f64| {
        scratch.numbers.fill(0.0);
        scratch.numbers[number] = by;
        values(scratch)
    };
    let whole = [at(1.0), at(-1.0)];
    let moved = |line: usize| {
        let Plan { value, still } = plan[line];
        let moves =
            |one: &Vec<Option<f64>>| one[line].is_none_or(|other| (other - value).abs() > still);
        whole.iter().any(moves)
    };
    if !(0..plan.len()).any(moved) {
        return Vec::new();
    }
    let half = [at(0.5), at(-0.5)];
    let slope = |line: usize| {
        let value = plan[line].value;
        let f = |by: f64| {
            let side = usize::from(by < 0.0);
            let all = if by.abs() > 0.75 { &whole } else { &half };
            all[side][line]
        };
        moved(line)
            .then(|| propagate::slope(f, value, 1.0))
            .flatten()
    };
    (0..plan.len()).map(slope).collect()
}

/// Slopes of some lines with some numbers, for each line; `None` where the watcher broke it off.
fn taken(
    model: &Model,
    plan: &[Plan],
    all_numbers: bool,
    threads: usize,
    watch: Watch<'_>,
    values: &(dyn Fn(&mut Scratch) -> Vec<Option<f64>> + Sync),
) -> Option<Vec<Vec<Option<Slope>>>> {
    let numbers = numbers(model, all_numbers);
    let rows = each(model, numbers.len(), threads, watch, |scratch, at| {
        along(scratch, numbers[at], plan, values)
    })?;
    let mut lines = vec![vec![None; model.size()]; plan.len()];
    for (number, row) in numbers.into_iter().zip(rows) {
        for (line, slope) in lines.iter_mut().zip(row) {
            line[number] = slope;
        }
    }
    Some(lines)
}

/// Many lines in first order at once, in their order; `None` where the watcher broke it off.
#[must_use]
pub fn first_orders(
    model: &Model,
    lines: &[Line],
    threads: usize,
    watch: Watch<'_>,
) -> Option<Vec<FirstOrder>> {
    let results: Vec<results::Measured> = lines
        .iter()
        .filter_map(|line| match line {
            Line::Result(result) => Some(result.as_ref().clone()),
            Line::Finding(_) => None,
        })
        .collect();
    let values = |scratch: &mut Scratch| -> Vec<Option<f64>> {
        let Ok(drawn) = model.lay(scratch) else {
            return vec![None; lines.len()];
        };
        let findings = model.findings(&drawn, Care::Fine);
        let found: std::collections::BTreeMap<_, _> = findings
            .iter()
            .map(|one| (&one.key, one.value().as_mm()))
            .collect();
        let mut off = results::off(model, &drawn, &results).into_iter();
        lines
            .iter()
            .map(|line| match line {
                Line::Finding(plan) => found.get(&plan.key).copied(),
                Line::Result(plan) => Some(plan.planned.as_mm() + off.next().flatten()?),
            })
            .collect()
    };
    let plan: Vec<Plan> = lines.iter().map(Plan::of).collect();
    let slopes = taken(model, &plan, false, threads, watch, &values)?;
    let told = plan.into_iter().zip(&slopes);
    Some(
        told.map(|(plan, slopes)| FirstOrder::of(model, plan, slopes))
            .collect(),
    )
}

/// One line in first order, with the places where it leaves its tangent; `None` where the watcher
/// broke it off.
pub(super) fn first_order_of(
    model: &Model,
    line: &Line,
    threads: usize,
    watch: Watch<'_>,
) -> Option<FirstOrder> {
    let plan = Plan::of(line);
    let values = |scratch: &mut Scratch| vec![line.value(model, scratch, Care::Fine)];
    let slopes = taken(model, &[plan], true, threads, watch, &values)?;
    let slopes = slopes.first()?;
    let mut first = FirstOrder::of(model, plan, slopes);
    // Those that bend it, and the greatest of the others: they may bend it further out.
    let mut followed: Vec<usize> = first.bent.iter().map(|one| one.source).collect();
    followed.truncate(FOLLOWED);
    let greatest = first.shares.iter().map(|one| one.0).take(FOLLOWED);
    let more: Vec<usize> = greatest.filter(|at| !followed.contains(at)).collect();
    followed.extend(more);
    let told = each(model, followed.len(), threads, watch, |scratch, at| {
        let source = followed[at];
        let from = model.sources()[source].from;
        let numbers = from..from + model.sources()[source].count;
        let size = |number: &usize| {
            slopes[*number].map_or(0.0, |one| one.forward.abs().max(one.backward.abs()))
        };
        let number = numbers.max_by(|a, b| size(a).total_cmp(&size(b)))?;
        Follow {
            model,
            line,
            number,
            plan,
            far: if model.sources()[source].is_normal() {
                FAR
            } else {
                3f64.sqrt()
            },
        }
        .ends(scratch)
    })?;
    for (source, told) in followed.into_iter().zip(told) {
        let known = first.bent.iter_mut().find(|one| one.source == source);
        match (known, told) {
            (Some(known), Some(end)) => {
                known.from = Some(end.from);
                known.told = end.told;
                known.moved = end.moved;
            }
            (None, Some(end)) => {
                let number = model.sources()[source].from;
                let (up, down) =
                    slopes[number].map_or((0.0, 0.0), |one| (one.forward, -one.backward));
                first.bent.push(Bent {
                    source,
                    bend: Bend::Straight,
                    up,
                    down,
                    off: 0.0,
                    from: Some(end.from),
                    told: end.told,
                    moved: end.moved,
                });
            }
            _ => {}
        }
    }
    Some(first)
}

/// One line followed along one number.
struct Follow<'a> {
    model: &'a Model,
    line: &'a Line,
    number: usize,
    plan: Plan,
    far: f64,
}

/// Where a line leaves its tangent.
#[derive(Default)]
struct End {
    from: f64,
    /// How it is told on either side.
    told: Option<[String; 2]>,
    /// How far apart the places are that are pointed at.
    moved: Option<Length>,
}

impl End {
    fn between(from: f64, one: Option<Seen>, other: Option<Seen>) -> Self {
        let (Some(one), Some(other)) = (one, other) else {
            return Self {
                from,
                ..Self::default()
            };
        };
        let places = one.at.zip(other.at);
        let told = !one.says.is_empty() && !other.says.is_empty();
        Self {
            from,
            told: told.then_some([one.says, other.says]),
            moved: places.map(|(one, other)| Length::mm((one - other).norm())),
        }
    }
}

impl Follow<'_> {
    fn at(&self, scratch: &mut Scratch, by: f64) -> Option<Seen> {
        scratch.numbers.fill(0.0);
        scratch.numbers[self.number] = by;
        self.line.look(self.model, scratch, Care::Fine).ok()?
    }

    /// Where the line leaves its tangent; `None` where it does not as far as is looked.
    fn ends(&self, scratch: &mut Scratch) -> Option<End> {
        let near = [NEAR, -NEAR].map(|by| self.at(scratch, by));
        let [Some(above), Some(below)] = near else {
            return Some(End::default());
        };
        let (up, down) = (
            (above.value - self.plan.value) / NEAR,
            (self.plan.value - below.value) / NEAR,
        );
        let noise = self.plan.still / NEAR;
        if (up - down).abs() > OFF * up.abs().max(down.abs()) + noise {
            return Some(End::between(0.0, Some(above), Some(below)));
        }
        let slope = f64::midpoint(up, down);
        let mut first: Option<f64> = None;
        for way in [1.0, -1.0] {
            let leaves = |scratch: &mut Scratch, by: f64| {
                self.at(scratch, way * by).is_none_or(|seen| {
                    let moves = slope * way * by;
                    let allowed = OFF * moves.abs() + noise * by + self.plan.still;
                    (seen.value - self.plan.value - moves).abs() > allowed
                })
            };
            if !leaves(scratch, self.far) {
                continue;
            }
            let (mut straight, mut left) = (NEAR, self.far);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(straight, left);
                if leaves(scratch, middle) {
                    left = middle;
                } else {
                    straight = middle;
                }
            }
            if first.is_none_or(|found| left < found.abs()) {
                first = Some(way * left);
            }
        }
        let first = first?;
        let beyond = self.at(scratch, first.signum() * self.far);
        let here = self.at(scratch, 0.0);
        Some(End::between(first.abs(), here, beyond))
    }
}
