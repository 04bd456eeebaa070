//! A line of the rule table in words, alike on the terminal and on paper.

use super::RuleLine;
use crate::measure::{Angle, Length, Tape};
use crate::rules::{GripSizes, Limit, Quantity, Sense};

/// Where a rule is asked, what more its limit is, and what there is to say of it.
#[must_use]
pub fn rule_with(line: &RuleLine<'_>) -> Option<String> {
    let limit = match &line.rule.limit {
        Limit::Grip(sizes) => Some(grip(sizes)),
        Limit::Load {
            force,
            on: Some((a, b)),
        } => Some(format!("{} over {} by {}", force.text, a.text, b.text)),
        _ => None,
    };
    let parts: Vec<String> = [limit, line.rule.when.clone(), line.remark.clone()]
        .into_iter()
        .flatten()
        .collect();
    let parts: Vec<&str> = parts
        .iter()
        .map(|part| part.trim_end_matches('.'))
        .collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn grip(sizes: &GripSizes) -> String {
    let second = if sizes.recess.is_some() {
        ", or with finger recesses"
    } else {
        ""
    };
    format!(
        "round {} to {}, or {} to {} round about and {} across at most{second}",
        sizes.round_least.text,
        sizes.round_most.text,
        sizes.perimeter_least.text,
        sizes.perimeter_most.text,
        sizes.section_most.text
    )
}

/// What was found against a rule, on the tape; nothing where nothing was.
#[must_use]
pub fn rule_found(line: &RuleLine<'_>, tape: Tape) -> String {
    let counts = matches!(line.rule.limit, Limit::Count(_));
    line.worst.map_or_else(String::new, |(worst, limit)| {
        if let Limit::Pitch(angle) = &line.rule.limit {
            // Both are climbs over one run.
            let slope = angle.value.as_radians().tan() * (worst / limit);
            return Angle::radians(slope.atan()).print_degrees(1);
        }
        // How far it is out of the sizes that a hand closes on says nothing where it is within them.
        if matches!(line.rule.limit, Limit::Grip(_)) && worst <= limit {
            "within".to_owned()
        } else if counts {
            format!("{:.0}", worst.as_mm())
        } else {
            tape.print(worst)
        }
    })
}

/// What a value keeps from its limit, or is past it by.
#[must_use]
pub fn rule_spare(line: &RuleLine<'_>, tape: Tape) -> Option<String> {
    if matches!(line.rule.limit, Limit::Pitch(_)) {
        return None;
    }
    let margin = line.margin?;
    if margin.abs() < tape.mark() / 8.0 {
        return None;
    }
    let word = if margin < Length::ZERO {
        "past"
    } else {
        "spare"
    };
    Some(format!("{} {word}", tape.print(margin.abs())))
}

/// The clause of a rule without the edition that stands over the table.
#[must_use]
pub fn rule_clause<'a>(line: &RuleLine<'a>, edition: &str) -> &'a str {
    let clause = &line.rule.clause;
    let own = clause.strip_prefix(edition).unwrap_or(clause);
    own.trim_start_matches([',', ' '])
}

/// What a rule asks, in few words.
#[must_use]
pub fn rule_asks(line: &RuleLine<'_>, tape: Tape) -> String {
    let side = match line.rule.sense {
        Sense::AtMost => "most",
        Sense::AtLeast => "least",
        Sense::Under => "under",
    };
    let limit = match (&line.rule.limit, line.worst) {
        (Limit::Slope(climb, run), None) => format!("{climb} in {run}"),
        (Limit::Pitch(angle), _) => angle.value.to_string(),
        // The limit of a slope as a length is that of the tread it was read on, and of a pitch that
        // of the flight; of so many treads that of the flight's own.
        (Limit::Slope(..) | Limit::Treads(_), Some((_, limit))) => tape.print(limit),
        (Limit::Length(length), _) => tape.print(length.value),
        (Limit::Count(count), _) => count.to_string(),
        (Limit::Treads(treads), None) => format!("{treads} tread"),
        (Limit::Load { force, .. }, _) => force.text.clone(),
        (Limit::Grip(_), _) => return "by its size".to_owned(),
        (Limit::ByEye, _) => return "look".to_owned(),
    };
    match line.rule.quantity {
        // These say from where something is asked.
        Quantity::HandrailRisers | Quantity::HandrailBothWidth => format!("from {limit}"),
        Quantity::GuardDrop if line.rule.sense == Sense::Under => format!("from {limit}"),
        Quantity::GuardDrop => format!("over {limit}"),
        _ => format!("{side} {limit}"),
    }
}
