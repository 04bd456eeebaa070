//! Marks: where balusters, bores and newels go, as a tape reads it from one named end.
//!
//! In: a [`Chain`]. Out: [`MarkSet`], exact lengths as found.

mod block;
mod rows;
mod side;
mod treads;
mod types;

pub use rows::rows;
pub(crate) use rows::sill_piece;
pub(crate) use side::{Side, axis};
pub(crate) use treads::narrow_edge;
pub use types::*;

use crate::chain::{self, Chain};

/// The marks of a whole stair.
#[must_use]
pub fn marks(chain: &Chain) -> MarkSet {
    let runs = (0..chain.runs.len()).map(|number| {
        let run = &chain.runs[number];
        RunMarks {
            run: number,
            rows: rows(run),
            treads: treads::treads(chain, run),
            newels: newels(chain, number),
            block: block::block(run),
        }
    });
    MarkSet {
        runs: runs.collect(),
    }
}

/// The newels of a run on every run that they meet.
fn newels(chain: &Chain, number: usize) -> Vec<NewelMarks> {
    let newels = chain.runs[number].setout.newels.iter();
    newels
        .flat_map(|newel| {
            let fits = chain::dry_fits(chain, &newel.name).into_iter();
            fits.map(|(run, fit)| NewelMarks {
                newel: newel.name.clone(),
                run,
                fit,
            })
        })
        .collect()
}
