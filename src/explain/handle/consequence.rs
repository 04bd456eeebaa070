//! What a move does: the numbers beside a part before and after it, and the troubles that come and go.

use crate::chain::Chain;
use crate::chain::compare::{Figure, Value as FigureValue, What, brought_and_cleared, figures};
use crate::inspect::Severity;
use crate::measure::Length;

use super::super::Asked;

/// A number before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What it is, in trade words: `gap N1 to B02`.
    pub what: String,
    /// Before; `None` where there was none.
    pub before: Option<Length>,
    /// After; `None` where there is none.
    pub after: Option<Length>,
    /// What to ask to learn why it is so, where it can be asked.
    pub asked: Option<Asked>,
}

/// What a move does.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Consequences {
    /// The numbers beside the part.
    pub changes: Vec<Change>,
    /// How many troubles it brings or makes worse.
    pub brought: usize,
    /// How many it clears.
    pub cleared: usize,
    /// The worst that it brings, in one sentence, and how bad it is.
    pub worst: Option<(Severity, String)>,
}

/// What lies between two chains, as far as it is about a part or about the whole railing.
#[must_use]
pub fn consequences(before: &Chain, after: &Chain, part: &str) -> Consequences {
    let (brought, cleared) = brought_and_cleared(before, after);
    let worst = brought.first().map(|one| (one.severity, one.says.clone()));
    Consequences {
        changes: changes(before, after, part),
        brought: brought.len(),
        cleared: cleared.len(),
        worst,
    }
}

fn changes(before: &Chain, after: &Chain, part: &str) -> Vec<Change> {
    let mut all: Vec<Change> = Vec::new();
    let (was, is) = (figures(before), figures(after));
    for [low, high] in gap_sides(after, part) {
        let asked = Asked::Gap {
            below: low.clone(),
            above: high.clone(),
        };
        // Its neighbour may have another name, or be another: the gap on that side counts.
        let old = gap_sides(before, part)
            .into_iter()
            .find(|[below, above]| {
                (*below == part) == (low == part) && (*above == part) == (high == part)
            })
            .and_then(|[below, above]| Asked::Gap { below, above }.value(before));
        all.push(Change {
            what: format!("gap {low} to {high}"),
            before: old,
            after: asked.value(after),
            asked: Some(asked),
        });
    }
    let newels = |chain: &Chain| {
        let runs = chain.runs.iter();
        runs.flat_map(|run| run.setout.newels.iter().map(|one| one.name.clone()))
            .any(|name| name == part)
    };
    if newels(after) {
        let face = Asked::NewelFace(part.to_owned());
        all.extend(asked("face behind the kick", face, before, after));
        let deepest = |all: &[Figure]| figure(all, What::NotchDepth, part);
        all.extend(change(
            "notch in from the nosing",
            deepest(&was),
            deepest(&is),
        ));
    } else {
        for (what, words) in [
            (What::LowestRail, "rail lowest over a nosing"),
            (What::HighestRail, "rail highest over a nosing"),
        ] {
            let of = |all: &[Figure]| figure(all, what, part);
            all.extend(change(words, of(&was), of(&is)));
        }
        for (what, words) in [
            (What::LeastReveal, "least reveal"),
            (What::GreatestReveal, "greatest reveal"),
        ] {
            let of = |all: &[Figure]| figure(all, what, "");
            all.extend(moved(words, of(&was), of(&is)));
        }
    }
    for (what, words) in [
        (What::GreatestGap, "greatest gap"),
        (What::WorstLean, "worst lean"),
    ] {
        let of = |all: &[Figure]| figure(all, what, "");
        all.extend(change(words, of(&was), of(&is)));
    }
    all
}

/// The gaps that a part bounds: neighbours from the bottom up.
fn gap_sides(chain: &Chain, part: &str) -> Vec<[String; 2]> {
    let gaps = chain.runs.iter().flat_map(|run| &run.setout.gaps);
    gaps.filter(|gap| gap.below == part || gap.above == part)
        .map(|gap| [gap.below.clone(), gap.above.clone()])
        .collect()
}

fn asked(what: &str, asked: Asked, before: &Chain, after: &Chain) -> Option<Change> {
    let told = change(what, asked.value(before), asked.value(after))?;
    Some(Change {
        asked: Some(asked),
        ..told
    })
}

fn change(what: &str, before: Option<Length>, after: Option<Length>) -> Option<Change> {
    (before.is_some() || after.is_some()).then(|| Change {
        what: what.to_owned(),
        before,
        after,
        asked: None,
    })
}

/// The same, where it changed.
fn moved(what: &str, before: Option<Length>, after: Option<Length>) -> Option<Change> {
    let same = before
        .zip(after)
        .is_some_and(|(a, b)| (a - b).abs() < Length::mm(0.01));
    change(what, before, after).filter(|_| !same)
}

fn figure(all: &[Figure], what: What, part: &str) -> Option<Length> {
    let found = all
        .iter()
        .find(|one| one.what == what && one.part == part)?;
    match found.value {
        FigureValue::Length(length) => Some(length),
        FigureValue::Count(_) => None,
    }
}
