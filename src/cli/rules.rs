//! The rule table on a terminal.

use super::page::{Page, Push};
use crate::inspect::Verdict;
use crate::measure::Tape;
use crate::publish::{
    Report, RuleLine, limit_words, rule_lines, rule_name, spare, to_measure, verdict_sign,
    verdict_words, worst_words,
};
use crate::rules::{GripSizes, Limit};

/// Every rule with its answer; below it what is not shown and what would show it, what is not asked
/// of this stair and why, and what a limit is read with.
pub(super) fn write(page: &mut Page, report: &Report<'_>, tape: Tape) {
    let pack = &report.chain.pack;
    let edition = &pack.edition;
    page.heading(&format!("Rules: {edition}"));
    if let Some(local) = &pack.local {
        page.wrapped("  ", &format!("Amended by {local}, as the job says."));
    }
    page.wrapped("  ", &format!("For: {}", pack.applies));
    let lines = rule_lines(report);
    let asked: Vec<&RuleLine<'_>> = lines.iter().filter(|one| one.not_asked.is_none()).collect();
    let rows: Vec<Vec<String>> = asked.iter().map(|line| row(line, edition, tape)).collect();
    page.table(2, &[Push::Left, Push::Left, Push::Right, Push::Left], &rows);
    list(page, "Not shown, and what would show it", &asked, |line| {
        line.measure.map(str::to_owned)
    });
    list(page, "Not read", &asked, |line| to_measure(line));
    let all: Vec<&RuleLine<'_>> = lines.iter().collect();
    list(page, "Not asked of this stair", &all, |line| {
        line.not_asked.clone()
    });
    list(page, "Read with", &asked, with);
}

/// Rules under a heading, those with the same words together.
fn list(
    page: &mut Page,
    heading: &str,
    lines: &[&RuleLine<'_>],
    says: impl Fn(&RuleLine<'_>) -> Option<String>,
) {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for line in lines {
        let Some(says) = says(line) else { continue };
        let name = rule_name(line.rule.quantity);
        match told.iter_mut().find(|one| one.0 == says) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => told.push((says, vec![name])),
        }
    }
    if told.is_empty() {
        return;
    }
    page.heading(heading);
    for (says, names) in told {
        page.wrapped("  ", &format!("{}: {says}", names.join(", ")));
    }
}

/// Where a rule is asked, what more its limit is, and what there is to say of it.
fn with(line: &RuleLine<'_>) -> Option<String> {
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

fn row(line: &RuleLine<'_>, edition: &str, tape: Tape) -> Vec<String> {
    let verdict = match line.verdict {
        Verdict::TooClose => "too close",
        verdict => verdict_words(verdict),
    };
    let clause = line.rule.clause.strip_prefix(edition);
    let clause = clause.unwrap_or(&line.rule.clause);
    let clause = clause.trim_start_matches([',', ' ']);
    let spare = line.margin.and_then(|margin| spare(margin, tape));
    let amended = line.amended.then(|| "amended".to_owned());
    let last: Vec<String> = [spare, amended, Some(clause.to_owned())]
        .into_iter()
        .flatten()
        .collect();
    vec![
        format!("{} {verdict}", verdict_sign(line.verdict)),
        rule_name(line.rule.quantity).to_owned(),
        worst_words(line, tape),
        limit_words(line, tape),
        last.join("; "),
    ]
}
