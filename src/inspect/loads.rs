//! What the anchors of a railing carry, as their details state: nothing is calculated here.

use nalgebra::Point3;

use crate::job::{Anchor, Anchored, Job, Len};
use crate::measure::{Force, Length, Spread};
use crate::rules::{Limit as RuleLimit, Pack, Quantity, Rule};

use super::railing::{Limit, exact};
use super::{Finding, Key, Kind, Severity};

/// Each anchor detail of the job held against the load that the pack asks of it. One that is stated
/// in another way than the rule asks, or over a larger patch, shows nothing.
pub(super) fn loads(job: &Job, pack: &Pack, at: Point3<f64>) -> Vec<Finding> {
    job.anchors
        .iter()
        .enumerate()
        .filter_map(|(number, anchor)| {
            let rule = pack.rule(quantity(anchor.what))?;
            held(number, anchor, rule, at)
        })
        .collect()
}

const fn quantity(what: Anchored) -> Quantity {
    match what {
        Anchored::Top => Quantity::TopLoad,
        Anchored::TopLine => Quantity::TopLineLoad,
        Anchored::Infill => Quantity::InfillLoad,
    }
}

fn held(number: usize, anchor: &Anchor, rule: &Rule, at: Point3<f64>) -> Option<Finding> {
    let RuleLimit::Load { force, on } = &rule.limit else {
        return None;
    };
    let carries = anchor.carries.value;
    let alike = carries.spread() == force.value.spread();
    if !alike || carries.spread() == Spread::Point && !as_hard(anchor.on.as_ref(), on.as_ref()) {
        return None;
    }
    let what = match anchor.what {
        Anchored::Top => "the top",
        Anchored::TopLine => "the top along its length",
        Anchored::Infill => "the infill",
    };
    let says = format!(
        "{what} is held by {}, which carries {} as {} states, not checked here; {} is asked",
        anchor.detail.trim(),
        anchor.carries.text,
        anchor.source.trim(),
        force.text
    );
    let key = Key {
        kind: Kind::Load,
        parts: vec![what.to_owned(), format!("anchor {}", number + 1)],
    };
    let limit = Limit {
        limit: as_number(force.value),
        sense: rule.sense,
        source: &rule.clause,
    };
    let severity = Severity::Stop;
    Some(exact(key, as_number(carries), limit, severity, at, says))
}

/// A force is no length: its newtons stand where a length does.
fn as_number(force: Force) -> Length {
    Length::mm(force.as_newtons())
}

/// True where a force over the stated patch is as hard on the railing as over the asked one: on a
/// patch no greater either way. One stated at a point is the hardest.
fn as_hard(stated: Option<&(Len, Len)>, asked: Option<&(Len, Len)>) -> bool {
    let sorted = |(a, b): &(Len, Len)| {
        let (a, b) = (a.value, b.value);
        if a < b { (a, b) } else { (b, a) }
    };
    match (stated.map(sorted), asked.map(sorted)) {
        (None, _) => true,
        (Some(_), None) => false,
        (Some(stated), Some(asked)) => {
            let fits = |one: Length, most: Length| crate::rules::Sense::AtMost.holds(one, most);
            fits(stated.0, asked.0) && fits(stated.1, asked.1)
        }
    }
}
