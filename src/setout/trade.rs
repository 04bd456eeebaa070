//! The trade between reveals that wander and balusters that lean.

use crate::job::Job;
use crate::measure::Length;
use crate::site::Site;

use super::upright::foot_offset;
use super::{BalusterSet, SetOut};

/// Both prices of one share between plumb (0) and even reveals (1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TradePoint {
    /// The share.
    pub share: f64,
    /// The greatest reveal less the least.
    pub reveal_range: Length,
    /// The greatest lean of a baluster, foot to rail.
    pub worst_lean: Length,
}

/// The shares at which a set-out is priced.
pub(super) const SHARES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// Prices shares of a set-out: its line and rail stay, the feet move. With the rail's line at its
/// best, no other feet give less of one price for the same of the other: whoever wants the range
/// of the reveals less by so much pays half of that in lean.
#[must_use]
pub fn compromise(job: &Job, site: &Site, setout: &SetOut, shares: &[f64]) -> Vec<TradePoint> {
    let even = even_reveal(job, site, setout);
    shares
        .iter()
        .map(|&share| {
            let (mut least, mut most, mut lean) = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
            for one in comparable(job, setout) {
                let Some(step) = site.step(one.step) else {
                    continue;
                };
                let half = one.across.as_mm() / 2.0;
                let plumb = setout.line.at(one.top.x);
                let foot = foot_offset(plumb, step.open_q - half - even, share);
                let reveal = step.open_q - half - foot;
                least = least.min(reveal);
                most = most.max(reveal);
                lean = lean.max((plumb - foot).abs());
            }
            TradePoint {
                share,
                reveal_range: Length::mm((most - least).max(0.0)),
                worst_lean: Length::mm(lean),
            }
        })
        .collect()
}

/// The balusters whose treads end like the others.
fn comparable<'a>(job: &'a Job, setout: &'a SetOut) -> impl Iterator<Item = &'a BalusterSet> {
    let balusters = setout.balusters.iter();
    balusters.filter(|one| !job.flight.reaches_beyond(one.step))
}

/// The reveal that even balusters keep: the wanted one, or the mean of those that plumb ones show.
fn even_reveal(job: &Job, site: &Site, setout: &SetOut) -> f64 {
    let plumb = comparable(job, setout).filter_map(|one| {
        let open = site.step(one.step)?.open_q;
        Some(open - one.across.as_mm() / 2.0 - setout.line.at(one.top.x))
    });
    super::upright::even_reveal(job, plumb)
}
