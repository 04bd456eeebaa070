//! Openings: the cell of each, the pieces that bound it, and the ball that passes.
//!
//! In: the runs and the bodies of their parts. Out: each [`Opening`] with its finding, places in
//! the first run's frame, mm. Which parts close an opening is told by where they stand, not by
//! what the set-out calls its neighbours: whatever stands in the row between two of them counts.

mod gap;
mod loose;
mod place;
mod slot;
mod standing;
mod under;

use std::collections::BTreeSet;

use crate::job::{Job, Spacing};
use crate::measure::Length;
use crate::measure::tolerance::{BALL_AT_LIMIT_MM, BALL_MM};
use crate::rules::{Pack, Quantity, Rule};
use crate::setout::{Gap, PanelSet};
use crate::site::Step;
use crate::solids::Convex;

use super::ball::{Asked, Ball, Cell, decided, largest_ball};
use super::bodies::Bodies;
use super::{Finding, Key, Kind, Opening, Run, Severity, judge};
use loose::Loose;
use place::Place;
use standing::Standing;

/// What the openings of a stair are looked for in.
pub(super) struct Look<'a> {
    bodies: &'a Bodies<'a>,
    standing: Standing,
    pack: &'a Pack,
    loose: Vec<Loose>,
    care: Care<'a>,
}

/// How well the ball of an opening is to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Care<'a> {
    /// Its size to the house's tolerance.
    Measure,
    /// Its size so well that differences of it tell how it moves.
    Fine,
    /// Its size to a quarter of a millimetre, and which side of its limit it is on.
    Gauge,
    /// Which side of its limit it is on; its size is only bounded.
    Decide,
    /// Some are gauged, some are not looked at, of the others it is decided.
    Some(&'a Watched),
}

/// Which openings of a stair that is drawn again and again are worth how much.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Watched {
    /// Gauged.
    pub gauged: BTreeSet<Key>,
    /// Not looked at.
    pub passed_over: BTreeSet<Key>,
}

/// A ball is gauged to this, mm.
const GAUGED_MM: f64 = 0.25;

/// A ball is known to this where differences count, mm: a hundredth of what hand and saw are off.
const FINE_MM: f64 = 0.005;

/// One opening to judge, before anything is worked out for it.
#[derive(Clone, Copy, Debug)]
enum Spot<'a> {
    /// Between two neighbours of the row.
    Gap(&'a Gap),
    /// Under a raised edge: over a tread or floor, before a kick.
    Under(Option<&'a Step>, Option<&'a Step>),
    /// Under a raised edge, along a level run's floor.
    UnderLevel,
    /// Between a panel and the rail.
    OverPanel(&'a PanelSet),
    /// Between a panel and what it stands over.
    UnderPanel(&'a PanelSet),
    /// Beside a railing's end, by its number.
    Loose(usize),
}

/// An opening and what is found about it.
type Told = (Opening, Finding);

/// An opening with what bounds it, before a ball is sought in it: for who measures it in another way.
#[derive(Clone, Debug)]
pub struct Bounded {
    /// What it is between, as [`Opening::between`].
    pub between: Vec<String>,
    /// Where the ball passes, in the first run's frame, mm.
    pub cell: Cell,
    /// What stands about it, in the same frame.
    pub pieces: Vec<Convex>,
    /// A ball of this diameter must not pass.
    pub limit: Length,
}

/// So many openings are worth a further thread: a short flight is done before one has started.
const WORTH_A_THREAD: usize = 60;

impl<'a> Look<'a> {
    pub(super) fn at(bodies: &'a Bodies<'a>, pack: &'a Pack, care: Care<'a>) -> Self {
        let mut look = Self {
            bodies,
            standing: Standing::of(bodies.runs()),
            pack,
            loose: Vec::new(),
            care,
        };
        look.loose = look.find_loose();
        look
    }

    fn run(&self, number: usize) -> &'a Run<'a> {
        &self.bodies.runs()[number]
    }

    /// Every opening with its ball and what is found about it, run by run. Where there are many,
    /// threads share them; each is worked out by itself, so how many there are changes nothing.
    pub(super) fn openings(&self) -> Vec<Vec<Told>> {
        let runs = self.bodies.runs().len();
        let spots: Vec<(usize, Spot<'a>)> = (0..runs)
            .flat_map(|run| self.spots(run).into_iter().map(move |spot| (run, spot)))
            .collect();
        let judge = |spots: &[(usize, Spot<'a>)]| -> Vec<Option<Told>> {
            spots
                .iter()
                .map(|&(run, spot)| self.judged(run, spot))
                .collect()
        };
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let threads = cores.min(spots.len() / WORTH_A_THREAD).max(1);
        let judged: Vec<Option<Told>> = if threads == 1 {
            judge(&spots)
        } else {
            std::thread::scope(|scope| {
                let shares = spots.chunks(spots.len().div_ceil(threads));
                let working: Vec<_> = shares
                    .map(|share| scope.spawn(move || judge(share)))
                    .collect();
                let done = working.into_iter().map(|one| {
                    one.join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                });
                done.flatten().collect()
            })
        };
        let mut told: Vec<Vec<Told>> = vec![Vec::new(); runs];
        for ((run, _), judged) in spots.iter().zip(judged) {
            told[*run].extend(judged);
        }
        told
    }

    /// The one finding about an opening that has this key.
    pub(super) fn one(&self, key: &Key) -> Option<Finding> {
        let runs = 0..self.bodies.runs().len();
        let mut spots =
            runs.flat_map(|run| self.spots(run).into_iter().map(move |spot| (run, spot)));
        spots.find_map(|(run, spot)| {
            let (kind, between) = self.named(run, spot)?;
            (kind == key.kind && between == key.parts)
                .then(|| self.judged(run, spot))
                .flatten()
                .map(|(_, finding)| finding)
        })
    }

    /// The openings of a run, in the order in which they are told.
    fn spots(&self, number: usize) -> Vec<Spot<'a>> {
        let solid = &self.run(number).solid;
        let (site, setout) = (solid.site, solid.setout);
        let mut spots: Vec<Spot<'a>> = setout.gaps.iter().map(Spot::Gap).collect();
        if under::edge(setout).is_some() {
            let belows = std::iter::once(None).chain(site.steps.iter().map(Some));
            let nexts = site.steps.iter().map(Some).chain([None]);
            spots.extend(
                belows
                    .zip(nexts)
                    .map(|(below, next)| Spot::Under(below, next)),
            );
            spots.push(Spot::UnderLevel);
        }
        let panels = || setout.panels.iter().flat_map(|run| &run.panels);
        spots.extend(panels().map(Spot::OverPanel));
        if setout.bottom_rail.is_some() || setout.base.is_some() {
            spots.extend(panels().map(Spot::UnderPanel));
        }
        let loose = self.loose.iter().enumerate();
        let loose = loose.filter(|(_, one)| one.run == number);
        spots.extend(loose.map(|(at, _)| Spot::Loose(at)));
        spots
    }

    /// What an opening is called.
    fn named(&self, number: usize, spot: Spot<'_>) -> Option<(Kind, Vec<String>)> {
        let solid = &self.run(number).solid;
        let (site, setout) = (solid.site, solid.setout);
        let ground = |below: Option<&Step>| {
            below.map_or_else(
                || site.named("F0"),
                |tread| site.named(format_args!("T{}", tread.number)),
            )
        };
        let edge = || under::edge(setout).map(|edge| edge.name.to_owned());
        Some(match spot {
            Spot::Gap(gap) => (Kind::Opening, vec![gap.below.clone(), gap.above.clone()]),
            Spot::Under(below, Some(next)) => {
                let kick = site.named(format_args!("K{}", next.number));
                (Kind::Triangle, vec![ground(below), kick])
            }
            Spot::Under(_, None) => (Kind::Opening, vec![site.named("F1"), edge()?]),
            Spot::UnderLevel => (Kind::Opening, vec![site.named("F0"), edge()?]),
            Spot::OverPanel(panel) => (
                Kind::Opening,
                vec![panel.name.clone(), setout.rail.name.clone()],
            ),
            Spot::UnderPanel(panel) => {
                let sill = setout.sill()?;
                (Kind::Opening, vec![panel.name.clone(), sill.name.clone()])
            }
            Spot::Loose(at) => (Kind::Opening, self.loose.get(at)?.between.to_vec()),
        })
    }

    /// An opening measured and judged; `None` where there is none, or no rule on it.
    fn judged(&self, number: usize, spot: Spot<'a>) -> Option<Told> {
        let solid = &self.run(number).solid;
        let (kind, between) = self.named(number, spot)?;
        let (rule, limit) = self.limit_of(solid.job, kind, spot)?;
        let care = match self.care {
            Care::Some(watched) => {
                let key = Key {
                    kind,
                    parts: between.clone(),
                };
                if watched.passed_over.contains(&key) {
                    return None;
                }
                if watched.gauged.contains(&key) {
                    Care::Gauge
                } else {
                    Care::Decide
                }
            }
            care => care,
        };
        let ball = match spot {
            Spot::OverPanel(panel) => self.placed(number, slot::over(solid.setout, panel)?),
            Spot::UnderPanel(panel) => self.placed(number, slot::under(solid.setout, panel)?),
            _ => measured(&self.place_of(number, spot)?, limit, care),
        };
        let mut told = told(solid.job, (kind, between), ball, rule, limit);
        told.1.run = solid.number;
        Some(told)
    }

    /// The rule that an opening is held against, with its length.
    fn limit_of(&self, job: &Job, kind: Kind, spot: Spot<'_>) -> Option<(&'a Rule, Length)> {
        let quantity = match spot {
            Spot::Loose(_) => Quantity::OpeningLevel,
            _ => quantity(job, kind),
        };
        let rule = self.pack.rule(quantity)?;
        Some((rule, rule.length()?))
    }

    /// The cell of an opening and what bounds it; `None` where there is none. Beside a panel there is
    /// no cell: its slot is measured as it is.
    fn place_of(&self, number: usize, spot: Spot<'a>) -> Option<Place<'_>> {
        match spot {
            Spot::Gap(gap) => self.gap(number, gap),
            Spot::Under(below, next) => self.under(number, below, next),
            Spot::UnderLevel => self.under_level(number),
            Spot::OverPanel(_) | Spot::UnderPanel(_) => None,
            Spot::Loose(at) => Some(self.loose_place(self.loose.get(at)?)),
        }
    }

    /// Every opening that a ball is sought in, run by run, as it is bounded.
    pub(super) fn bounded(&self) -> Vec<Bounded> {
        let one = |number: usize, spot: Spot<'a>| {
            let (kind, between) = self.named(number, spot)?;
            let (_, limit) = self.limit_of(self.run(number).solid.job, kind, spot)?;
            let place = self.place_of(number, spot)?;
            Some(Bounded {
                between,
                cell: place.cell,
                pieces: place.pieces().into_iter().cloned().collect(),
                limit,
            })
        };
        let runs = 0..self.bodies.runs().len();
        runs.flat_map(|run| self.spots(run).into_iter().map(move |spot| (run, spot)))
            .filter_map(|(run, spot)| one(run, spot))
            .collect()
    }

    /// A ball of a run's frame in the first run's.
    fn placed(&self, number: usize, ball: Ball) -> Ball {
        let centre = self.run(number).frame.to_first(&ball.centre);
        Ball { centre, ..ball }
    }
}

fn quantity(job: &Job, kind: Kind) -> Quantity {
    if kind == Kind::Triangle {
        Quantity::OpeningTriangle
    } else if job.level.is_some() {
        Quantity::OpeningLevel
    } else {
        Quantity::OpeningStair
    }
}

fn measured(place: &Place<'_>, limit: Length, care: Care<'_>) -> Ball {
    let asked = |width| Asked {
        width,
        limit: Some(limit.as_mm()),
        width_at_limit: BALL_AT_LIMIT_MM,
    };
    let (pieces, cell) = (place.pieces(), &place.cell);
    match care {
        Care::Measure => largest_ball(&pieces, cell, &asked(BALL_MM)),
        Care::Fine => largest_ball(&pieces, cell, &asked(FINE_MM)),
        Care::Gauge => largest_ball(&pieces, cell, &asked(GAUGED_MM)),
        Care::Decide | Care::Some(_) => decided(&pieces, cell, limit.as_mm(), BALL_AT_LIMIT_MM),
    }
}

/// An opening and the ball that passes it, as it is told.
fn told(
    job: &Job,
    (kind, between): (Kind, Vec<String>),
    ball: Ball,
    rule: &Rule,
    limit: Length,
) -> Told {
    let tape = job.tape;
    let middle = Length::mm(f64::midpoint(ball.lower, ball.upper));
    let what = match kind {
        Kind::Triangle if job.design.bottom_rail.is_some() => "under the bottom rail at",
        Kind::Triangle if matches!(job.design.balusters.spacing, Spacing::Panels { .. }) => {
            "under the panels at"
        }
        Kind::Triangle => "under what the balusters stand on at",
        _ => "between",
    };
    let says = format!(
        "a ball of {} passes {what} {}; it must stay under {}",
        tape.print(middle),
        between.join(" and "),
        tape.print(limit)
    );
    found((kind, between), ball, (rule, limit), says)
}

/// An opening and its finding, from the ball that passes it.
pub(super) fn found(
    (kind, between): (Kind, Vec<String>),
    ball: Ball,
    (rule, limit): (&Rule, Length),
    says: String,
) -> (Opening, Finding) {
    let (lower, upper) = (Length::mm(ball.lower), Length::mm(ball.upper));
    let centre = ball.centre;
    let opening = Opening {
        between: between.clone(),
        ball: lower,
        ball_upper: upper,
        limit,
        at: centre,
    };
    let finding = Finding {
        key: Key {
            kind,
            parts: between,
        },
        run: 0,
        lower,
        upper,
        limit,
        sense: rule.sense,
        doubt: None,
        verdict: judge(lower, upper, rule.sense, limit, None),
        severity: Severity::Stop,
        source: rule.clause.clone(),
        at: centre,
        says,
    };
    (opening, finding)
}
