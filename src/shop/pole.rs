//! The story pole of a run: what a carpenter would mark on two sticks.
//!
//! In: a [`Chain`]. Out: a [`StoryPole`] for each run: a plumb pole that stands on the lower floor,
//! and a raking pole that lies along the nosing line. Every mark is read from the pole's lower end,
//! so that rounding never adds up. Millimetres, exact.
//! Does not: lay out pages; word lengths on a tape.

use nalgebra::Point2;

use crate::chain::{Chain, RunChain};
use crate::measure::tolerance::TOLD_APART_MM;
use crate::measure::{Length, Pitch};
use crate::setout::NewelSet;
use crate::setout::rail_window::nosing_line;

/// Both poles of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct StoryPole {
    /// The run.
    pub run: String,
    /// Heights above the finished lower floor under the first kick, plumb, from the bottom.
    pub plumb: Vec<PoleMark>,
    /// Distances along the nosing line, from its lowest mark.
    pub raking: Vec<PoleMark>,
    /// How steep the raking pole lies.
    pub pitch: Pitch,
}

/// A mark on a pole.
#[derive(Clone, Debug, PartialEq)]
pub struct PoleMark {
    /// From the pole's lower end.
    pub at: Length,
    /// What is there.
    pub what: PoleWhat,
    /// The part, as the picture names it.
    pub part: String,
    /// The step that it belongs to; 0 for the lower floor, none for a newel.
    pub step: Option<u32>,
}

/// What a mark on a pole is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PoleWhat {
    /// The finished lower floor.
    Floor,
    /// The top of a finished tread, or of the upper floor, on the baluster line.
    Rise,
    /// The top of the rail, plumb over a nosing.
    Rail,
    /// A nosing.
    Nosing,
    /// Where a level run starts.
    Start,
    /// The middle of a baluster's foot.
    Baluster,
    /// The downhill face of a newel on the baluster line.
    NewelDown,
    /// Its uphill face.
    NewelUp,
}

/// The poles of every run.
#[must_use]
pub fn poles(chain: &Chain) -> Vec<StoryPole> {
    chain.runs.iter().map(pole).collect()
}

/// The poles of one run.
#[must_use]
pub fn pole(run: &RunChain) -> StoryPole {
    let pitch = Pitch::from_slope(nosing_line(&run.site).slope);
    StoryPole {
        run: run.run.name.clone(),
        plumb: plumb(run),
        raking: raking(run, pitch),
        pitch,
    }
}

fn mark(at: f64, what: PoleWhat, part: String, step: Option<u32>) -> PoleMark {
    PoleMark {
        at: Length::mm(at),
        what,
        part,
        step,
    }
}

fn plumb(run: &RunChain) -> Vec<PoleMark> {
    let site = &run.site;
    let floor = mark(0.0, PoleWhat::Floor, site.surface_name(0), Some(0));
    let rises = site.steps.iter().map(|step| {
        let part = site.surface_name(step.number);
        mark(step.height, PoleWhat::Rise, part, Some(step.number))
    });
    let rail = &run.setout.rail;
    // A level run has its height over the floor at one end, the middle and the other: once, where
    // they are the same.
    let tops = site.stations().into_iter().filter_map(|station| {
        let top = rail.top(station.x)?;
        Some(mark(
            top.z,
            PoleWhat::Rail,
            rail.name.clone(),
            Some(station.step),
        ))
    });
    let mut marks: Vec<PoleMark> = [floor].into_iter().chain(rises).chain(tops).collect();
    marks.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.what.cmp(&b.what)));
    marks.dedup_by(|b, a| {
        let named = (a.what, &a.part, a.step) == (b.what, &b.part, b.step);
        named && b.at - a.at < Length::mm(TOLD_APART_MM)
    });
    marks
}

fn raking(run: &RunChain, pitch: Pitch) -> Vec<PoleMark> {
    let site = &run.site;
    let line = &run.setout.line;
    let q_at = |x: f64| line.at_foot.as_mm() + line.slope * x;
    // A nosing askew is met where the line crosses it.
    let nosings = site.steps.iter().map(|step| {
        let x = step.nosing_at(q_at(step.nosing_x()));
        let part = site.surface_name(step.number);
        mark(x, PoleWhat::Nosing, part, Some(step.number))
    });
    let start = site
        .level
        .is_some()
        .then(|| mark(0.0, PoleWhat::Start, site.surface_name(0), Some(0)));
    let balusters = run.setout.balusters.iter().map(|one| {
        let step = Some(one.step);
        mark(one.foot.x, PoleWhat::Baluster, one.name.clone(), step)
    });
    let newels = run.setout.all_newels().flat_map(|newel| {
        let (down, up) = faces(newel, |x| site.outward * q_at(x));
        [(down, PoleWhat::NewelDown), (up, PoleWhat::NewelUp)]
            .map(|(x, what)| mark(x, what, newel.name.clone(), None))
    });
    let mut marks: Vec<PoleMark> = nosings
        .chain(start)
        .chain(balusters)
        .chain(newels)
        .collect();
    marks.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.what.cmp(&b.what)));
    let from = marks.first().map_or(Length::ZERO, |mark| mark.at);
    for mark in &mut marks {
        mark.at = pitch.rake_over(mark.at - from);
    }
    marks
}

/// Where a line in plan enters and leaves a newel's foot, x; where it passes by, how far the foot
/// reaches.
fn faces(newel: &NewelSet, line: impl Fn(f64) -> f64) -> (f64, f64) {
    let ring = &newel.footprint;
    let off = |at: &Point2<f64>| at.y - line(at.x);
    let crossings = (0..ring.len()).filter_map(|i| {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        let (here, there) = (off(&a), off(&b));
        (here * there < 0.0).then(|| a.x + (b.x - a.x) * here / (here - there))
    });
    let found: Vec<f64> = crossings.collect();
    let places = if found.len() < 2 {
        ring.iter().map(|at| at.x).collect()
    } else {
        found
    };
    let far = (f64::INFINITY, f64::NEG_INFINITY);
    places
        .iter()
        .fold(far, |(low, high), x| (low.min(*x), high.max(*x)))
}
