//! Treads and kicks as boards of the programme, and its answers as treads and kicks again. mm.
//!
//! Kicks are laid as if the flight were tipped on its face: up is downhill, and the last kick is the
//! lowest board, so that filling behind a kick is filling under a board.

use crate::job::{self, Job, StepReading};
use crate::measure::Length;
use crate::site::Site;
use crate::survey::{Cut, StringerCuts};

use super::programme::{Board, Boards, Laid, Limit, Point, StepLimits};
use super::{
    Answer, Bed, BeddingLimit, BeddingLimits, BothEnds, Give, KickBed, SetBack, TreadBed, fills,
};

/// Boards, and what they are.
pub(super) struct Laying {
    pub(super) boards: Boards,
    /// For each board its step, and the stringer and cut of each of its points; a cut with a fall
    /// has two points, front and back.
    who: Vec<(u32, Vec<(String, Cut)>)>,
    of_kicks: bool,
    /// Where the baluster line is, -1 at the wall end and 1 at the open end.
    line: f64,
    /// The first step's number: steps of the programme count from 0.
    steps: u32,
}

/// The meant tread across the flight: its middle outward from the baluster line, and half its length.
fn width(job: &Job) -> (f64, f64) {
    let half = job.flight.width.mm() / 2.0;
    (job.flight.edge.mm() - half, half)
}

/// The thickness of a tread or kick: the mean of what was read of it, else as meant. (The survey's
/// own estimate also takes in what the cuts are off, which is what is to be filled here.)
fn thickness(job: &Job, number: u32, of_kick: bool) -> f64 {
    let read = job
        .flight
        .readings
        .iter()
        .filter_map(|reading| match reading {
            StepReading::TreadThickness { step, is, .. } if !of_kick && *step == number => {
                Some(is.mm())
            }
            StepReading::KickThickness { step, is, .. } if of_kick && *step == number => {
                Some(is.mm())
            }
            _ => None,
        });
    let (sum, count) = read.fold((0.0, 0.0), |(sum, count), one| (sum + one, count + 1.0));
    if count > 0.0 {
        sum / count
    } else if of_kick {
        job.flight.kick_thickness.mm()
    } else {
        job.flight.tread_thickness.mm()
    }
}

/// The treads over the level cuts.
pub(super) fn treads(
    job: &Job,
    site: &Site,
    cuts: &[StringerCuts],
    settings: &job::Bedding,
    limits: &BeddingLimits,
) -> Laying {
    let flight = &job.flight;
    let (middle, half) = width(job);
    let half_depth = flight.going.mm() / 2.0;
    // The nosing lies before the front of the cut by the kick's thickness and its overhang.
    let edge = -1.0 - (flight.overhang.mm() + flight.kick_thickness.mm()) / half_depth;
    let mut boards = Vec::new();
    let mut who = Vec::new();
    let on: Vec<&StringerCuts> = cuts.iter().filter(|one| !one.level.is_empty()).collect();
    let count = on.first().map_or(0, |one| one.level.len());
    for at in 0..count {
        let step = at as u32 + 1;
        let thickness = thickness(job, step, false);
        let falls = on.iter().any(|one| one.level[at].fall_read);
        let mut points = Vec::new();
        let mut names = Vec::new();
        for one in &on {
            let cut = &one.level[at];
            let across = (one.outward.as_mm() - middle) / half;
            let ends: &[f64] = if falls { &[-1.0, 1.0] } else { &[0.0] };
            for &along in ends {
                points.push(Point {
                    across,
                    along,
                    at: cut.at.as_mm() + thickness - along * cut.fall.as_mm() / 2.0,
                    weight: 1.0 / ends.len() as f64,
                });
                names.push((one.stringer.clone(), cut.clone()));
            }
        }
        boards.push(Board {
            points,
            half_depth: falls.then_some(half_depth),
            edge: if falls { edge } else { 0.0 },
        });
        who.push((step, names));
    }
    let ends = [middle - half, middle + half];
    let first = site.step(1).map_or(0.0, crate::site::Step::nosing_x);
    let upper = site.steps.last();
    let mm = |length: Option<Length>| length.map(Length::as_mm);
    Laying {
        boards: Boards {
            boards,
            half_width: half,
            below: Some(ends.map(|q| site.lower_floor(first, q))),
            above: upper.map(|upper| ends.map(|q| upper.nosing_top(q))),
            limits: StepLimits {
                range: mm(limits.rise_range),
                neighbours: mm(limits.rise_neighbours),
                most: mm(limits.rise_most),
                least: None,
                tilt: limits.slope,
            },
            relieve_most: settings.relieve_most.mm(),
            relieve_cost: settings.relieve_cost,
            level_cost: settings.level_cost,
        },
        who,
        of_kicks: false,
        line: -middle / half,
        steps: 1,
    }
}

/// The kicks before the plumb cuts.
pub(super) fn kicks(
    job: &Job,
    cuts: &[StringerCuts],
    settings: &job::Bedding,
    limits: &BeddingLimits,
) -> Laying {
    let (middle, half) = width(job);
    let on: Vec<&StringerCuts> = cuts.iter().filter(|one| !one.plumb.is_empty()).collect();
    let count = on.first().map_or(0, |one| one.plumb.len());
    let mut boards = Vec::new();
    let mut who = Vec::new();
    for at in (0..count).rev() {
        let thickness = thickness(job, at as u32 + 1, true);
        let point = |one: &&StringerCuts| Point {
            across: (one.outward.as_mm() - middle) / half,
            along: 0.0,
            at: thickness - one.plumb[at].at.as_mm(),
            weight: 1.0,
        };
        boards.push(Board {
            points: on.iter().map(point).collect(),
            half_depth: None,
            edge: 0.0,
        });
        let names = on
            .iter()
            .map(|one| (one.stringer.clone(), one.plumb[at].clone()));
        who.push((at as u32 + 1, names.collect()));
    }
    let mm = |length: Option<Length>| length.map(Length::as_mm);
    Laying {
        boards: Boards {
            boards,
            half_width: half,
            below: None,
            above: None,
            limits: StepLimits {
                range: mm(limits.going_range),
                neighbours: mm(limits.going_neighbours),
                most: None,
                least: mm(limits.going_least),
                tilt: None,
            },
            relieve_most: settings.relieve_most.mm(),
            relieve_cost: settings.relieve_cost,
            level_cost: settings.level_cost,
        },
        who,
        of_kicks: true,
        line: -middle / half,
        steps: count as u32,
    }
}

impl Laying {
    /// The number that the trade gives to a step of the programme: the step that a rise reaches, or
    /// the tread of a going.
    fn step(&self, number: usize) -> u32 {
        let number = number as u32;
        if self.of_kicks {
            self.steps.saturating_sub(1 + number)
        } else {
            self.steps + number
        }
    }

    /// The steps that go past a limit as it was asked.
    pub(super) fn past(&self, laid: &[Laid], limit: Option<Limit>) -> Vec<u32> {
        let limits: Vec<Limit> = match limit {
            Some(limit) => vec![limit],
            None => self.boards.set_limits().collect(),
        };
        let mut steps: Vec<u32> = limits
            .into_iter()
            .flat_map(|limit| {
                let past = self.boards.breaches(laid, limit);
                let past = past
                    .into_iter()
                    .filter(|&(_, past)| past > 2.0 * super::programme::SIMPLEX_MM);
                past.map(move |(number, _)| match limit {
                    // These are told of boards, not of the steps between them.
                    Limit::Tilt | Limit::Relieve => self.who[number].0,
                    _ => self.step(number),
                })
            })
            .collect();
        steps.sort_unstable();
        steps.dedup();
        steps
    }

    /// A limit that gives way, as it is told.
    pub(super) fn give(&self, limit: Option<Limit>, by: f64) -> Give {
        let asked = |of: &Boards| {
            let limits = &of.limits;
            Some(match limit? {
                Limit::Range => limits.range?,
                Limit::Neighbours => limits.neighbours?,
                Limit::Most => limits.most?,
                Limit::Least => limits.least?,
                Limit::Tilt => limits.tilt? * 2.0 * of.half_width,
                Limit::Relieve => of.relieve_most,
            })
        };
        let named = match (limit, self.of_kicks) {
            (None, _) => BeddingLimit::All,
            (Some(Limit::Range), false) => BeddingLimit::RiseRange,
            (Some(Limit::Range), true) => BeddingLimit::GoingRange,
            (Some(Limit::Neighbours), false) => BeddingLimit::RiseNeighbours,
            (Some(Limit::Neighbours), true) => BeddingLimit::GoingNeighbours,
            (Some(Limit::Most), _) => BeddingLimit::RiseMost,
            (Some(Limit::Least), _) => BeddingLimit::GoingLeast,
            (Some(Limit::Tilt), _) => BeddingLimit::Slope,
            (Some(Limit::Relieve), _) => BeddingLimit::Relieve,
        };
        Give {
            limit: named,
            asked: asked(&self.boards).map(Length::mm),
            needed: asked(&self.boards.given(limit, by)).map(Length::mm),
            by: Length::mm(by),
        }
    }
}

/// What is less than this is nothing: the programme's own error.
fn clean(mm: f64) -> Length {
    let nothing = mm.abs() < super::programme::SIMPLEX_MM;
    Length::mm(if nothing { 0.0 } else { mm })
}

impl Answer {
    /// The steps at both ends, from the bottom.
    pub(super) fn steps(&self) -> Vec<BothEnds> {
        let boards = &self.laying.boards;
        let [wall, open] = [0, 1].map(|end| boards.steps(&self.laid, end));
        wall.iter()
            .zip(&open)
            .enumerate()
            .map(|(number, (wall, open))| BothEnds {
                step: self.laying.step(number),
                open: Length::mm(*open),
                wall: Length::mm(*wall),
            })
            .collect()
    }

    /// The goings at both ends, from the bottom.
    pub(super) fn goings(&self) -> Vec<BothEnds> {
        let mut steps = self.steps();
        steps.reverse();
        steps
    }

    pub(super) fn treads(&self, settings: &job::Bedding) -> Vec<TreadBed> {
        let boards = self.laying.boards.boards.iter();
        let all = boards.zip(&self.laid).zip(&self.laying.who);
        all.map(|((board, laid), (step, names))| TreadBed {
            step: *step,
            height: Length::mm(laid.at(self.laying.line, 0.0)),
            across: clean(2.0 * laid.tilt),
            fall: clean(2.0 * laid.fall),
            beds: beds(board, laid, names, settings),
        })
        .collect()
    }

    pub(super) fn kicks(&self, settings: &job::Bedding) -> Vec<KickBed> {
        let boards = self.laying.boards.boards.iter();
        let all = boards.zip(&self.laid).zip(&self.laying.who);
        let mut kicks: Vec<KickBed> = all
            .map(|((board, laid), (step, names))| KickBed {
                step: *step,
                face: Length::mm(-laid.at(self.laying.line, 0.0)),
                skew: clean(-2.0 * laid.tilt),
                beds: beds(board, laid, names, settings)
                    .into_iter()
                    .map(|bed| SetBack {
                        stringer: bed.stringer,
                        set_back: bed.front,
                        fills: bed.fills,
                        sd: bed.sd,
                        read: bed.read,
                    })
                    .collect(),
            })
            .collect();
        kicks.reverse();
        kicks
    }
}

/// What is between a board and each stringer.
fn beds(board: &Board, laid: &Laid, names: &[(String, Cut)], settings: &job::Bedding) -> Vec<Bed> {
    let points: Vec<(&Point, &(String, Cut))> = board.points.iter().zip(names).collect();
    points
        .chunk_by(|one, other| one.1.0 == other.1.0)
        .filter_map(|of_stringer| {
            let (first, (stringer, cut)) = of_stringer.first()?;
            let (last, _) = of_stringer.last()?;
            let (front, back) = (laid.gap(first), laid.gap(last));
            let least = front.min(back);
            let tells = if fills(settings, least) == super::Fills::Relieve {
                least
            } else {
                front.max(back)
            };
            Some(Bed {
                stringer: stringer.clone(),
                front: clean(front),
                back: clean(back),
                fills: fills(settings, tells),
                sd: cut.sd,
                read: cut.read,
            })
        })
        .collect()
}
