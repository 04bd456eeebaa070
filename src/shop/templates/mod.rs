//! Full-size templates: flat outlines, lines to the knife and bores to lay on the wood.
//!
//! In: a [`Chain`]. Out: [`Template`]s in the order of the work: winders, notches, bores in treads, shoes and
//! bottom rails, rail ends,
//! skirt ends, the steps of mitred skirts, angle gauges, run by run. Each lies in a plane of its own: u
//! to the right along its datum
//! edge, v square to it and up the page, seen from outside the wood, true size, mm.
//! Does not: lay out pages; word lengths on a tape.
//!
//! A notch is that of the stair as found ([`crate::setout::dry_fit`]), not a square one.

mod bores;
mod gauge;
mod notch;
mod plane;
mod rail_end;
mod skirt_end;
mod skirt_step;
mod strip;
mod types;
mod winder;

pub use types::*;

use std::collections::BTreeSet;

use crate::chain::{self, Chain, RunChain};
use crate::setout::dry_fit::{Board, DryFit};
use crate::shop::cuts::{is_winder, pieces};

/// Every template of a stair.
#[must_use]
pub fn templates(chain: &Chain) -> Vec<Template> {
    let fits = newels(chain);
    let shorter = only_shorter(chain);
    let mut all = Vec::new();
    for (number, run) in chain.runs.iter().enumerate() {
        let fits: Vec<&DryFit> = fits
            .iter()
            .filter(|(at, _)| *at == number)
            .map(|(_, fit)| fit)
            .collect();
        all.extend(winder::of(chain, run));
        for fit in &fits {
            // What is cut out of a winder's tread is on the winder's own.
            let kick = |one: &Template| one.kind == TemplateKind::Notch(Board::Kick);
            let notches = notch::of(run, fit).into_iter();
            all.extend(notches.filter(|one| {
                if kick(one) {
                    !shorter.contains(&(one.fits.clone(), one.part.clone()))
                } else {
                    !is_winder(chain, &one.part)
                }
            }));
        }
        let bores = bores::of(run, &fits).into_iter();
        all.extend(bores.filter(|one| !is_winder(chain, &one.part)));
        all.extend(strip::of(run));
        all.extend(rail_end::of(run));
        all.extend(skirt_end::of(run));
        all.extend(skirt_step::of(run));
    }
    all.extend(gauge::of(chain));
    all
}

/// The newels that leave a board shorter and not notched, each with the board: the cut list has its length.
fn only_shorter(chain: &Chain) -> BTreeSet<(String, String)> {
    let pieces = pieces(chain);
    let notches = pieces.iter().flat_map(|piece| {
        let only = piece.notches.iter().filter(|one| one.only_shorter());
        only.flat_map(|one| {
            let members = piece.members.iter();
            members.map(|name| (one.newel.clone(), name.clone()))
        })
    });
    notches.collect()
}

/// Every newel set down dry, with the number of the run that it meets there.
fn newels(chain: &Chain) -> Vec<(usize, DryFit)> {
    let names = chain.runs.iter().flat_map(|run| &run.setout.newels);
    names
        .flat_map(|newel| chain::dry_fits(chain, &newel.name))
        .collect()
}

/// The run by its name, where there are several.
fn run_name(run: &RunChain) -> String {
    run.run.name.clone()
}

/// What stands on a tread, in few words.
fn fitted(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first, last] => format!("{first} and {last}"),
        [first, .., last] => format!("{first} to {last}"),
    }
}
