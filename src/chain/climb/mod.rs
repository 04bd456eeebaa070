//! Up every flight of a chain step by step, beside the stair that was meant.

use crate::inspect::climb::{Climb, ClimbOf, Railing, Stands, climb};
use crate::site::{self, Placed};

use super::{Chain, RunChain, meant};

/// Climbs every run that has steps, in their order. Only the stair is laid out as it was meant, and
/// no railing, so this is quick and never fails.
#[must_use]
pub fn climbs(chain: &Chain) -> Vec<Climb> {
    let runs = meant(chain);
    let sites = runs
        .iter()
        .zip(chain.all_true())
        .map(|(run, estimates)| site::build(&run.job, &estimates))
        .collect();
    let true_stair = site::place(&runs, sites);
    let each = chain.stairs();
    each.filter_map(|(number, run)| {
        let meant: &Placed = true_stair.get(number)?;
        let shares = |other: &&RunChain| {
            let beside = other.run.beside.as_ref();
            beside.is_some_and(|(stair, _)| *stair == number)
        };
        let others = chain.runs.iter().filter(shares);
        climb(&ClimbOf {
            run: number,
            name: &run.run.name,
            found: stands(run),
            meant: Stands {
                frame: &meant.frame,
                site: &meant.site,
            },
            railings: std::iter::once(run).chain(others).map(railing).collect(),
            pack: &chain.pack,
        })
    })
    .collect()
}

fn stands(run: &RunChain) -> Stands<'_> {
    Stands {
        frame: &run.frame,
        site: &run.site,
    }
}

fn railing(run: &RunChain) -> Railing<'_> {
    Railing {
        job: &run.run.job,
        stands: stands(run),
        setout: &run.setout,
    }
}

#[cfg(test)]
mod tests;
