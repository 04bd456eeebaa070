//! A stair on its sheets from its chain alone.
//!
//! In: a chain, its job, prices, a paper. Out: its [`SiteSheets`] with what they reckon.

use thiserror::Error;

use super::{Chapter, Options, SiteSheets, Told, site_sheets};
use crate::chain::{self, Chain, ChainError};
use crate::explain::{self, Explanation};
use crate::job::Job;
use crate::publish::paper::PaperError;
use crate::publish::{Report, Told as Trouble};
use crate::shop::prices::Prices;
use crate::shop::reckoning::{Reckoning, reckon};

/// Why a stair has no sheets.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SheetsError {
    /// Its treads cannot be bedded as the job has it.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// The paper will not do.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// The sheets of a stair, and what it takes. Its troubles are explained, which takes longest, only where
/// the sheets tell of them.
///
/// # Errors
/// [`SheetsError`], with what would do.
pub fn of_stair(
    chain: &Chain,
    job: &Job,
    prices: &Prices,
    options: &Options,
) -> Result<(SiteSheets, Reckoning), SheetsError> {
    let fitted = chain::fitted(chain)?;
    let reckoned = reckon(chain, job, &fitted, prices);
    let found = chain.inspection.troubles();
    let told = options.only.is_empty() || options.only.contains(&Chapter::Troubles);
    let explained = if told {
        explain::worst(chain, &found)
    } else {
        vec![Explanation::default(); found.len()]
    };
    let troubles = Trouble::each(&found, explained);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    let told = Told {
        report: &report,
        fitted: &fitted,
        reckoned: &reckoned,
        prices,
    };
    let made = site_sheets(&told, options)?;
    Ok((made, reckoned))
}
