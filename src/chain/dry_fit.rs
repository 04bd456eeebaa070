//! The dry fit of a newel on a whole stair: on every run that it meets.

use crate::setout::dry_fit::{DryFit, Standing, Turns, dry_fit};
use crate::site::Frame;
use crate::solids::{self, Uncut};

use super::Chain;

/// A newel set down on every run that it meets, with the number of the run, each in that run's frame:
/// its own run first. A run in which it is given but meets no board is left out. Empty where the
/// stair has no newel of this name.
#[must_use]
pub fn dry_fits(chain: &Chain, newel: &str) -> Vec<(usize, DryFit)> {
    let own = |run: &super::RunChain| run.setout.newels.iter().any(|one| one.name == newel);
    let mut fits: Vec<(usize, DryFit)> = chain
        .runs
        .iter()
        .enumerate()
        .filter_map(|(number, run)| {
            let fit = dry_fit_on(chain, number, newel)?;
            let tells = own(run) || fit.stands != Standing::Elsewhere || !fit.beside.is_empty();
            tells.then_some((number, fit))
        })
        .collect();
    fits.sort_by_key(|(number, _)| (!own(&chain.runs[*number]), *number));
    fits
}

/// A newel set down on one run by its number, in that run's frame; `None` where the run has none of this
/// name.
#[must_use]
pub fn dry_fit_on(chain: &Chain, number: usize, newel: &str) -> Option<DryFit> {
    let run = chain.runs.get(number)?;
    let turns = Turns {
        frame: run.frame,
        turns: chain.runs.iter().flat_map(|run| &run.turns).collect(),
    };
    dry_fit(&run.run.job, &run.site, &run.setout, (newel, &turns))
}

/// The boards that a newel goes into before they are cut for it, in the first run's frame.
#[must_use]
pub fn uncut(chain: &Chain, newel: &str) -> Vec<Uncut> {
    let frames: Vec<Frame> = chain.runs.iter().map(|run| run.frame).collect();
    let runs: Vec<solids::Run<'_>> = chain
        .runs
        .iter()
        .enumerate()
        .map(|(number, run)| solids::Run {
            number,
            beside: run.run.beside.as_ref().map(|(stair, _)| *stair),
            turns: &run.turns,
            job: &run.run.job,
            site: &run.site,
            setout: &run.setout,
        })
        .collect();
    solids::uncut(&runs, &frames, newel)
}
