//! The marking block: a stick as long as the gap, hooked on one face after another.

use std::collections::BTreeMap;

use crate::chain::RunChain;
use crate::measure::Length;
use crate::setout::Gap;

use super::MarkingBlock;

/// The block for the gap that the run has most of, as its tape reads it. `None` where no two gaps
/// read alike.
pub(super) fn block(run: &RunChain) -> Option<MarkingBlock> {
    let tape = run.run.job.tape;
    let gaps = &run.setout.gaps;
    if run.setout.balusters.is_empty() {
        return None;
    }
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for gap in gaps {
        *counts.entry(tape.print(gap.clear)).or_default() += 1;
    }
    // The text breaks ties, so that it is always the same one.
    let (common, count) = counts.iter().max_by_key(|(_, count)| **count)?;
    if *count < 2 {
        return None;
    }
    let (serves, not): (Vec<&Gap>, Vec<&Gap>) = gaps
        .iter()
        .partition(|gap| tape.print(gap.clear) == *common);
    let sum: Length = serves.iter().map(|gap| gap.clear).sum();
    let number = serves.len() as f64;
    let level = sum / number;
    let pitch = run.setout.rail.pitch;
    let slope = (pitch.slope().abs() > LEVEL).then(|| pitch.rake_over(level));
    Some(MarkingBlock {
        level,
        slope,
        hooks_on: serves.first().map(|gap| gap.below.clone())?,
        serves: serves
            .iter()
            .map(|gap| (gap.below.clone(), gap.above.clone()))
            .collect(),
        not: not
            .iter()
            .map(|gap| (gap.below.clone(), gap.above.clone(), gap.clear))
            .collect(),
        creeps: (tape.round(level) - level) * number,
    })
}

/// A run that climbs less than this, no unit, is level: a tenth of a mark in ten feet.
const LEVEL: f64 = 5e-5;
