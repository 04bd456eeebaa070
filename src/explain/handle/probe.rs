//! [`Probe`]: a run set out again with one length elsewhere, nothing else looked at.

use crate::chain::{Chain, RunChain};
use crate::inspect;
use crate::measure::Length;
use crate::setout::{Choices, Joined, Limits, SetOut, solve_joined};

use super::super::cure::Lever;

/// What a run is set out with.
pub(super) struct Probe<'a> {
    pub(super) run: &'a RunChain,
    lever: &'a Lever,
    limits: Limits,
    joined: Joined,
    held: Choices,
}

impl<'a> Probe<'a> {
    /// Of a lever; `None` where the chain has no such run.
    pub(super) fn of(chain: &'a Chain, lever: &'a Lever) -> Option<Self> {
        let run = chain.runs.get(lever.run())?;
        let one = &run.run;
        Some(Self {
            run,
            lever,
            limits: inspect::limits(&chain.pack, &one.job),
            joined: Joined::of(&one.job, &run.site, &run.setout),
            held: Choices::default(),
        })
    }

    /// The set-out with the lever at a length; `None` where it cannot stand there.
    pub(super) fn at(&self, length: Length) -> Option<SetOut> {
        let mut job = self.lever.job().clone();
        self.lever.put_exact(&mut job, length)?;
        solve_joined(&job, &self.run.site, &self.limits, &self.held, &self.joined).ok()
    }

    /// The lengths to look at, so far to either side of where it stands, evenly.
    pub(super) fn grid(&self, within: Length, parts: u32) -> Vec<Length> {
        let (now, bounds) = (self.lever.now(), self.lever.bounds());
        let (low, high) = (
            (now - within).max(bounds.least),
            (now + within).min(bounds.most),
        );
        // Where it stands now is one of them.
        let side = |end: Length| {
            (1..=parts).map(move |part| now + (end - now) * (f64::from(part) / f64::from(parts)))
        };
        let mut grid: Vec<Length> = side(low).collect();
        grid.reverse();
        grid.push(now);
        grid.extend(side(high));
        grid.dedup_by(|a, b| (*a - *b).abs() < Length::mm(1e-6));
        grid
    }
}

/// The place between two where a function that is straight there is nought, to the last hair; both
/// ends with their values. Where it bends between, the place is closed in on.
pub(super) fn nought(
    (mut low, mut at_low): (Length, f64),
    (mut high, mut at_high): (Length, f64),
    value: impl Fn(Length) -> Option<f64>,
) -> Option<Length> {
    const MOST: usize = 60;
    for turn in 0..MOST {
        let share = if turn % 4 == 3 {
            0.5
        } else {
            at_low / (at_low - at_high)
        };
        let there = low + (high - low) * share;
        let at = value(there)?;
        if at.abs() < NOUGHT_MM {
            return Some(there);
        }
        if (high - low).abs() < Length::mm(NOUGHT_MM) {
            // It leaps over nought.
            return None;
        }
        if (at < 0.0) == (at_low < 0.0) {
            (low, at_low) = (there, at);
        } else {
            (high, at_high) = (there, at);
        }
    }
    None
}

/// As good as nought: far under what is printed or written, far over what the solver's own
/// arithmetic leaves.
pub(super) const NOUGHT_MM: f64 = 1e-6;
