//! What a job takes: its boards, what is bought and the hours, in one.
//!
//! In: a [`Chain`], its job, a price list. Out: [`Reckoning`].

use crate::chain::{Chain, Fitted};
use crate::job::{BoardFor, Job};

use super::buy::{Purchase, purchase, spares};
use super::cuts::pieces_and_there;
use super::hours::{Hours, hours};
use super::prices::Prices;
use super::stock::{SectionPlan, Unmatched, blanks_of, plans, unmatched};

/// What a job takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoning {
    /// How the boards are cut, section by section.
    pub plans: Vec<SectionPlan>,
    /// Groups of matched pieces that cannot be matched.
    pub unmatched: Vec<Unmatched>,
    /// What is bought.
    pub purchase: Purchase,
    /// The hours.
    pub hours: Hours,
}

impl Reckoning {
    /// True where pieces go on no board that is given: too long for any, or boards too few.
    #[must_use]
    pub fn is_short(&self) -> bool {
        self.plans.iter().any(SectionPlan::is_short)
    }
}

/// Reckons what a job takes; `fitted` is what the chain tells of each run.
#[must_use]
pub fn reckon(chain: &Chain, job: &Job, fitted: &[Fitted], prices: &Prices) -> Reckoning {
    let (cut, there) = pieces_and_there(chain);
    let pieces = blanks_of(&cut, &chain.first().run.job);
    let unmatched = unmatched(&pieces, &job.shop);
    let balusters = pieces
        .iter()
        .filter(|one| one.section.of == BoardFor::Balusters)
        .map(|one| one.blanks.len() as u64)
        .sum();
    let spare = job.shop.spares.map_or(0, |asked| spares(balusters, asked));
    let spare = u32::try_from(spare).unwrap_or(u32::MAX);
    let plans = plans(pieces, &job.shop, prices, spare);
    let purchase = purchase(chain, fitted, (&cut, there), &plans, prices);
    Reckoning {
        plans,
        unmatched,
        purchase,
        hours: hours(chain, job),
    }
}
