//! The limits that a strip can show: those of the rule pack on what it counts, and what a careful
//! eye lets pass.

use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::rules::{Pack, Quantity, Sense};

use super::{ClimbLimit, ClimbOf, ClimbStep, Of};

/// Every limit on a climb.
pub(super) fn limits(of: &ClimbOf<'_>, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let mut told = rises(of.pack, steps);
    told.extend(goings(of, steps));
    told.extend(slopes(of.pack, steps));
    told.extend(rails(of));
    told.extend(reveals(of, steps));
    told
}

fn of_rule(pack: &Pack, quantity: Quantity) -> Option<(Length, String)> {
    let rule = pack.rule(quantity)?;
    Some((rule.length()?, rule.clause.clone()))
}

fn least(values: impl Iterator<Item = Length>) -> Option<Length> {
    values.min_by(Length::total_cmp)
}

fn rises(pack: &Pack, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let limit = |(at, source), sense, says| ClimbLimit {
        of: Of::Rises,
        at,
        sense,
        says,
        source,
    };
    let least = least(steps.iter().map(|step| step.rise.found));
    let over = of_rule(pack, Quantity::RiseVariation)
        .zip(least)
        .map(|((by, source), least)| (least + by, source));
    [
        (
            of_rule(pack, Quantity::RiseMax),
            Sense::AtMost,
            "the greatest rise",
        ),
        (
            over,
            Sense::AtMost,
            "as far over the least as rises may vary",
        ),
        (
            of_rule(pack, Quantity::RiseLeast),
            Sense::AtLeast,
            "the least rise",
        ),
    ]
    .into_iter()
    .filter_map(|(rule, sense, says)| Some(limit(rule?, sense, says)))
    .collect()
}

/// The rules are on tread depths, nosing to nosing, which are the goings where all nosings overhang
/// alike, and only then.
fn goings(of: &ClimbOf<'_>, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let found = &of.found.site.steps;
    let mut pairs = found.windows(2);
    let alike = pairs.all(|pair| (pair[0].overhang - pair[1].overhang).abs() <= SAME_POINT_MM);
    if !alike {
        return Vec::new();
    }
    let limit = |(at, source), sense, says| ClimbLimit {
        of: Of::Goings,
        at,
        sense,
        says,
        source,
    };
    let goings = steps.iter().filter_map(|step| Some(step.going?.found));
    let over = of_rule(of.pack, Quantity::TreadVariation)
        .zip(least(goings))
        .map(|((by, source), least)| (least + by, source));
    [
        (
            over,
            Sense::AtMost,
            "as far over the least as treads may vary",
        ),
        (
            of_rule(of.pack, Quantity::TreadDepth),
            Sense::AtLeast,
            "the least tread",
        ),
        (
            of_rule(of.pack, Quantity::TreadDepthMost),
            Sense::AtMost,
            "the greatest tread",
        ),
    ]
    .into_iter()
    .filter_map(|(rule, sense, says)| Some(limit(rule?, sense, says)))
    .collect()
}

/// What a tread's slope may come to over the shortest of the treads, either way.
fn slopes(pack: &Pack, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let Some(rule) = pack.rule(Quantity::TreadSlope) else {
        return Vec::new();
    };
    let treads = || steps.iter().filter(|step| step.going.is_some());
    let spans = [
        (Of::Across, least(treads().map(|step| step.across.span))),
        (Of::Back, least(treads().map(|step| step.back.span))),
    ];
    let both = spans.into_iter().filter_map(|(of, span)| {
        let most = rule.limit.over(span?);
        let limit = |at, sense| ClimbLimit {
            of,
            at,
            sense,
            says: "as far out of level as a tread may be",
            source: rule.clause.clone(),
        };
        let sides = [
            limit(most, Sense::AtMost),
            limit(most * -1.0, Sense::AtLeast),
        ];
        Some(sides)
    });
    both.flatten().collect()
}

/// The height window of the run's own rail.
fn rails(of: &ClimbOf<'_>) -> Vec<ClimbLimit> {
    let Some(railing) = of.railings.first() else {
        return Vec::new();
    };
    let (low, high) = railing.setout.rail.window.asked;
    let (lows, most) = crate::inspect::railing::height_rules(railing.job);
    let clause = |quantity: Option<Quantity>, at: Length| {
        let of = |one: &Quantity| of_rule(of.pack, *one);
        let asked = lows.iter().chain(&quantity).filter_map(of);
        let mut alike = asked.filter(|one| (one.0 - at).abs() <= Length::mm(SAME_POINT_MM));
        alike.next().map(|one| one.1).unwrap_or_default()
    };
    let limit = |at, sense, says| ClimbLimit {
        of: Of::RailHeight,
        at,
        sense,
        says,
        source: clause(most, at),
    };
    let low = low.map(|at| limit(at, Sense::AtLeast, "the least height"));
    let high = high.map(|at| limit(at, Sense::AtMost, "the greatest height"));
    low.into_iter().chain(high).collect()
}

/// How far over the least reveal another is seen, beside the run's own rail.
fn reveals(of: &ClimbOf<'_>, steps: &[ClimbStep]) -> Option<ClimbLimit> {
    let railing = of.railings.first()?;
    let rail = &railing.setout.rail.name;
    let all = steps.iter().flat_map(|step| &step.reveals);
    let least = least(all.filter(|one| one.rail == *rail).map(|one| one.value))?;
    Some(ClimbLimit {
        of: Of::Reveals,
        at: least + railing.job.design.eye().reveal.value,
        sense: Sense::AtMost,
        says: "as far over the least as the eye lets pass",
        source: crate::inspect::railing::PRACTICE.to_owned(),
    })
}
