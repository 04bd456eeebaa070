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

/// The band that values must lie in to differ by no more than so much: that about the middle of the
/// least and the greatest. All of them lie in it where the rule on their range is met, and both of
/// those lie outside where it is not.
fn band(
    of: Of,
    values: impl Iterator<Item = Length> + Clone,
    (by, source): (Length, String),
    says: &'static str,
) -> Vec<ClimbLimit> {
    let ends = least(values.clone()).zip(values.max_by(Length::total_cmp));
    let Some((low, high)) = ends else {
        return Vec::new();
    };
    let middle = (low + high) / 2.0;
    let side = |at, sense| ClimbLimit {
        of,
        at,
        sense,
        says,
        source: source.clone(),
    };
    vec![
        side(middle + by / 2.0, Sense::AtMost),
        side(middle - by / 2.0, Sense::AtLeast),
    ]
}

/// A limit of a rule.
fn ruled(
    pack: &Pack,
    (of, quantity): (Of, Quantity),
    sense: Sense,
    says: &'static str,
) -> Option<ClimbLimit> {
    let (at, source) = of_rule(pack, quantity)?;
    Some(ClimbLimit {
        of,
        at,
        sense,
        says,
        source,
    })
}

fn rises(pack: &Pack, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let most = (Of::Rises, Quantity::RiseMax);
    let low = (Of::Rises, Quantity::RiseLeast);
    // Of both ends and the baluster line, where they differ most.
    let sides: [fn(&ClimbStep) -> Length; 3] = [
        |step| step.rise.found,
        |step| step.rise_ends[0],
        |step| step.rise_ends[1],
    ];
    let range = |side: fn(&ClimbStep) -> Length| {
        let all = || steps.iter().map(side);
        let most = all().max_by(Length::total_cmp).unwrap_or_default();
        most - least(all()).unwrap_or_default()
    };
    let wider = |a, b| if range(b) > range(a) { b } else { a };
    let [line, open, wall] = sides;
    let found = steps.iter().map(wider(wider(line, open), wall));
    let vary = "within what the rises of a flight may differ by";
    let band = of_rule(pack, Quantity::RiseVariation)
        .map(|rule| band(Of::Rises, found, rule, vary))
        .unwrap_or_default();
    let greatest = ruled(pack, most, Sense::AtMost, "the greatest rise");
    let least = ruled(pack, low, Sense::AtLeast, "the least rise");
    greatest.into_iter().chain(band).chain(least).collect()
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
    let low = (Of::Goings, Quantity::TreadDepth);
    let most = (Of::Goings, Quantity::TreadDepthMost);
    let goings = steps.iter().filter_map(|step| Some(step.going?.found));
    let vary = "within what the treads of a flight may differ by";
    let band = of_rule(of.pack, Quantity::TreadVariation)
        .map(|rule| band(Of::Goings, goings, rule, vary))
        .unwrap_or_default();
    let least = ruled(of.pack, low, Sense::AtLeast, "the least tread");
    let greatest = ruled(of.pack, most, Sense::AtMost, "the greatest tread");
    least.into_iter().chain(band).chain(greatest).collect()
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

/// How much reveals beside the run's own rail may differ by before the eye sees it.
fn reveals(of: &ClimbOf<'_>, steps: &[ClimbStep]) -> Vec<ClimbLimit> {
    let Some(railing) = of.railings.first() else {
        return Vec::new();
    };
    let rail = &railing.setout.rail.name;
    let all = steps.iter().flat_map(|step| &step.reveals);
    let own = all.filter(|one| one.rail == *rail).map(|one| one.value);
    let eye = railing.job.design.eye().reveal.value;
    let source = crate::inspect::railing::PRACTICE.to_owned();
    let vary = "within what the eye lets pass from end to end";
    band(Of::Reveals, own, (eye, source), vary)
}
