//! Places of a length that are worth stopping at: where two gaps agree, where a face is flush with a
//! kick's, where all gaps are even.
//!
//! Gaps are straight pieces over the length, so between two set-outs with the same parts the place
//! where two of them agree is found by one more set-out, and held against it.

use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::setout::{Gap, NewelSet, SetOut, plan};

use super::super::cure::Lever;
use super::probe::{NOUGHT_MM, Probe, nought};

/// A place of a length.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The length there, exact.
    pub is: Length,
    /// Why to stop there: `gap equals B02 to B03: 3 3/4"`.
    pub says: String,
}

/// Looked at on either side of where the length stands.
const PARTS: u32 = 18;
/// Gaps that differ by less than this are even: a hundredth of a tape's mark.
const EVEN_MM: f64 = 0.01;
/// Places nearer to each other than this are one.
const ONE: Length = Length::mm(0.02);

/// The places of a length within so much of where it stands, least first.
#[must_use]
pub fn places(chain: &Chain, lever: &Lever, within: Length) -> Vec<Place> {
    let Some(probe) = Probe::of(chain, lever) else {
        return Vec::new();
    };
    let mut all = flush(&probe, lever, within);
    all.extend(even(&probe, within, lever.job().tape));
    all.sort_by(|a, b| a.is.total_cmp(&b.is));
    merged(all)
}

/// Places at one length are one, with all that is said of them.
fn merged(all: Vec<Place>) -> Vec<Place> {
    let mut merged: Vec<Place> = Vec::new();
    for place in all {
        match merged.last_mut() {
            Some(last) if (place.is - last.is).abs() < ONE => {
                if !last.says.contains(&place.says) {
                    last.says = format!("{}; {}", last.says, place.says);
                }
            }
            _ => merged.push(place),
        }
    }
    merged
}

/// Where a newel's face is flush with the face of a kick. It moves with its length, one to one.
fn flush(probe: &Probe<'_>, lever: &Lever, within: Length) -> Vec<Place> {
    let (site, now) = (&probe.run.site, lever.now());
    let field = lever.own_field();
    if field.ends_with("set_back") {
        let is = Length::ZERO;
        let near = (is - now).abs() <= within;
        let says = "first faces flush with their kicks".to_owned();
        return near.then_some(Place { is, says }).into_iter().collect();
    }
    let newels = probe.run.setout.newels.iter().enumerate();
    let moved = newels.filter(|(at, _)| {
        let own = format!("design.newels[{at}].stands.");
        field
            .strip_prefix(&own)
            .is_some_and(|which| which != "At.y")
    });
    let of = |newel: &NewelSet| {
        let (low, high) = plan::extent(&newel.footprint, |point| point.x);
        let q = site.outward * newel.foot.y;
        let mut places = Vec::new();
        for step in &site.steps {
            for (face, which) in [(high, "uphill"), (low, "downhill")] {
                let is = now + Length::mm(step.kick_at(q) - face);
                let kick = site.named(format_args!("K{}", step.number));
                let says = format!("{which} face flush with kick {kick}");
                places.push(Place { is, says });
            }
        }
        places
    };
    let all = moved.flat_map(|(_, newel)| of(newel));
    all.filter(|place| (place.is - now).abs() <= within && lever.bounds().hold(place.is))
        .collect()
}

/// A length looked at, and its gaps.
struct Looked {
    is: Length,
    gaps: Vec<Gap>,
}

/// Where two gaps beside each other agree that do not agree everywhere.
fn even(probe: &Probe<'_>, within: Length, tape: Tape) -> Vec<Place> {
    let look = |is: Length| {
        let gaps = uprights(probe, probe.at(is)?);
        Some(Looked { is, gaps })
    };
    let looked: Vec<Looked> = probe
        .grid(within, PARTS)
        .into_iter()
        .filter_map(look)
        .collect();
    let mut found = Vec::new();
    for pair in looked.windows(2) {
        let [low, high] = pair else { continue };
        if !same(&low.gaps, &high.gaps) {
            continue;
        }
        for at in 1..low.gaps.len() {
            let differ = |gaps: &[Gap]| (gaps[at - 1].clear - gaps[at].clear).as_mm();
            let (from, to) = (differ(&low.gaps), differ(&high.gaps));
            // The end of a piece is the beginning of the next; nought there is looked at once.
            let over = (from < 0.0) != (to < 0.0) || from.abs() < NOUGHT_MM;
            if (to - from).abs() < NOUGHT_MM || !over {
                continue;
            }
            let value = |is: Length| {
                let there = look(is).filter(|there| same(&there.gaps, &low.gaps))?;
                Some(differ(&there.gaps))
            };
            let is = if from.abs() < NOUGHT_MM {
                Some(low.is)
            } else {
                nought((low.is, from), (high.is, to), value)
            };
            let Some(there) = is.and_then(look) else {
                continue;
            };
            // Which of the two goes with the length: it equals the other, which is named.
            let went = |at: usize| (high.gaps[at].clear - low.gaps[at].clear).abs();
            let still = if went(at - 1) > went(at) { at } else { at - 1 };
            found.push(Place {
                is: there.is,
                says: said(&there.gaps, still, tape),
            });
        }
    }
    found
}

/// The gaps between uprights, without what is left at a wall.
fn uprights(probe: &Probe<'_>, setout: SetOut) -> Vec<Gap> {
    let wall = |name: &String| probe.run.site.wall(name).is_some();
    let gaps = setout.gaps.into_iter();
    gaps.filter(|gap| !wall(&gap.below) && !wall(&gap.above))
        .collect()
}

fn same(a: &[Gap], b: &[Gap]) -> bool {
    let names = |gap: &Gap| (gap.below.clone(), gap.above.clone());
    a.iter().map(names).eq(b.iter().map(names))
}

fn said(gaps: &[Gap], still: usize, tape: Tape) -> String {
    let gap = &gaps[still];
    let size = tape.print(gap.clear);
    let first = gap.clear;
    let alike = |gap: &Gap| (gap.clear - first).abs().as_mm() < EVEN_MM;
    if gaps.len() > 2 && gaps.iter().all(alike) {
        return format!("all gaps even: {size}");
    }
    format!("gap equals {} to {}: {size}", gap.below, gap.above)
}
