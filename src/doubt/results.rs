//! What the set-out comes to beside its findings: the numbers that are marked and cut to.

use crate::chain::{Chain, ChainError};
use crate::measure::Length;
use crate::setout::SetOut;

use super::model::{Drawn, Model};
use super::outcome;
use super::spread::Spread;

/// A number of the set-out and how it spreads.
#[derive(Clone, Debug)]
pub struct Measured {
    /// The run, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// What it is, in trade words.
    pub what: String,
    /// True of a piece that is cut to the plan: off is how much longer it is than its place.
    pub piece: bool,
    /// As planned.
    pub planned: Length,
    /// How far off the plan it comes, mm.
    pub spread: Spread,
}

/// The numbers of a plan.
pub(super) fn of(model: &Model, plan: &Drawn, chain: &Chain) -> Vec<Measured> {
    let mut all = Vec::new();
    for (run, setout) in plan.laid.setouts.iter().enumerate() {
        let job = &model.runs()[run].job;
        let told = outcome::values(job, setout);
        all.extend(told.into_iter().map(|(what, value)| Measured {
            run,
            what,
            piece: false,
            planned: Length::mm(value),
            spread: Spread::about(0.0, 0.0, 0),
        }));
        let cut = &chain.runs[run].setout;
        all.extend(
            cut_pieces(cut, setout, Length::ZERO)
                .into_iter()
                .map(|(what, planned, _)| Measured {
                    run,
                    what,
                    piece: true,
                    planned,
                    spread: Spread::about(0.0, 0.0, 0),
                }),
        );
    }
    all
}

/// How far off the plan each comes in a draw, in the same order; `None` where it is not there.
pub(super) fn off(model: &Model, drawn: &Drawn, planned: &[Measured]) -> Vec<Option<f64>> {
    let mut off = Vec::with_capacity(planned.len());
    let mut planned = planned.iter().peekable();
    for (run, setout) in drawn.laid.setouts.iter().enumerate() {
        let job = &model.runs()[run].job;
        let values: Vec<(String, f64)> = outcome::values(job, setout);
        let cut = cut_pieces(model.plan(run), setout, drawn.cut[run]);
        let mut next = 0;
        while let Some(one) = planned.next_if(|one| one.run == run && !one.piece) {
            // The same results stand in the same order, unless one is not there.
            let there = values.get(next).filter(|value| value.0 == one.what);
            let found = there.or_else(|| values.iter().find(|value| value.0 == one.what));
            off.push(found.map(|value| value.1 - one.planned.as_mm()));
            next += 1;
        }
        while let Some(one) = planned.next_if(|one| one.run == run) {
            let piece = cut.iter().find(|piece| piece.0 == one.what);
            off.push(piece.map(|piece| piece.2.as_mm()));
        }
    }
    off
}

/// Pieces cut to the plan: what each is, its planned length, and by how much it comes out longer than
/// the place that it goes to.
fn cut_pieces(plan: &SetOut, there: &SetOut, cut: Length) -> Vec<(String, Length, Length)> {
    let rail = plan.rail.name.clone();
    let long = plan.rail.long_points;
    let mut all = vec![(rail, long, long + cut - there.rail.long_points)];
    if plan.balusters.len() == there.balusters.len() {
        let pairs = plan.balusters.iter().zip(&there.balusters);
        let misfit =
            pairs.map(|(plan, there)| (plan.long_point, plan.long_point - there.long_point));
        let least = misfit.clone().min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((length, misfit)) = least {
            all.push((
                format!("the baluster under {} that falls shortest", plan.rail.name),
                length,
                misfit,
            ));
        }
    }
    all
}

/// What stands in the way of a draw, so that draws with the same trouble are one.
pub(super) fn in_the_way(error: &ChainError) -> String {
    error
        .to_string()
        .chars()
        .map(|one| if one.is_ascii_digit() { '#' } else { one })
        .collect()
}
