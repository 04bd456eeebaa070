//! Checks of local amendments and anchor details, as far as they can be seen without the rules.

use super::Check;
use crate::job::limits::{LONGEST_CITATION, MOST_AMENDMENTS, MOST_ANCHORS, PATCH};
use crate::job::{AnchorAt, Anchored, Limit};
use crate::measure::Spread;

pub(super) fn check(check: &mut Check<'_>) {
    for at in 0..check.job.runs.len() {
        let design = check.job.runs[at].design.as_ref();
        let whole = &check.job.design.rules;
        let other = design.map(|design| &design.rules);
        if other.is_some_and(|other| !other.is_empty() && other != whole) {
            let problem = format!("one rule pack is for the whole job, and that is {whole:?}");
            check.tell(
                &format!("runs[{at}].design.rules"),
                problem,
                "write the same, or choose the pack in the file's first `design`",
            );
        }
        let design = check.job.runs[at].design.as_ref();
        if design.is_some_and(|design| design.local.is_some()) {
            check.tell(
                &format!("runs[{at}].design.local"),
                "local amendments are of the whole job",
                "write them in the file's first `design`",
            );
        }
    }
    local(check);
    anchors(check);
}

/// True for words that say something and fit on a line; else it is told.
fn words(check: &mut Check<'_>, path: &str, what: &str, text: &str) -> bool {
    let long = text.chars().count() > LONGEST_CITATION;
    if text.trim().is_empty() {
        check.tell(path, format!("{what} is empty"), "write it in words");
    } else if long {
        check.tell(
            path,
            format!("{what} is longer than {LONGEST_CITATION} letters"),
            "shorten it",
        );
    }
    !long && !text.trim().is_empty()
}

fn local(check: &mut Check<'_>) {
    let Some(local) = &check.job.design.local else {
        return;
    };
    words(
        check,
        "design.local.name",
        "the name of the local text",
        &local.name,
    );
    words(check, "design.local.edition", "its edition", &local.edition);
    let (amends, drops) = (local.amends.len(), local.drops.len());
    if !check.few(
        "design.local",
        "amendments",
        amends + drops,
        MOST_AMENDMENTS,
    ) {
        return;
    }
    if amends + drops == 0 {
        check.tell(
            "design.local",
            "the local text amends nothing",
            "give it `amends: [..]` or `drops: [..]`, or leave `local` out",
        );
    }
    for (at, amend) in local.amends.iter().enumerate() {
        let path = format!("design.local.amends[{at}]");
        words(
            check,
            &format!("{path}.clause"),
            "the local clause",
            &amend.clause,
        );
        if let Some(says) = &amend.says {
            words(check, &format!("{path}.says"), "what it asks", says);
        }
        if !is_sound(&amend.limit) {
            check.tell(
                &format!("{path}.limit"),
                "the limit is no number that a stair can keep",
                "write one of zero or more, each least below its most",
            );
        }
        once(check, &path, &amend.rule, at);
    }
    for (at, dropped) in local.drops.iter().enumerate() {
        let path = format!("design.local.drops[{at}]");
        words(
            check,
            &format!("{path}.clause"),
            "the local clause",
            &dropped.clause,
        );
        once(check, &path, &dropped.rule, amends + at);
    }
}

/// Tells a rule that an earlier amendment is about already.
fn once(check: &mut Check<'_>, path: &str, rule: &str, at: usize) {
    let Some(local) = &check.job.design.local else {
        return;
    };
    let amended = local.amends.iter().map(|one| one.rule.as_str());
    let dropped = local.drops.iter().map(|one| one.rule.as_str());
    let earlier = amended.chain(dropped).take(at).position(|one| one == rule);
    let Some(earlier) = earlier else { return };
    let first = match earlier.checked_sub(local.amends.len()) {
        Some(drop) => format!("design.local.drops[{drop}].rule"),
        None => format!("design.local.amends[{earlier}].rule"),
    };
    check.tell_both(
        &format!("{path}.rule"),
        format!("`{rule}` is amended twice"),
        "keep the one that the local text says",
        &first,
        "it is amended here already",
    );
}

fn anchors(check: &mut Check<'_>) {
    let anchors = &check.job.anchors;
    if !check.few("anchors", "anchor details", anchors.len(), MOST_ANCHORS) {
        return;
    }
    for (at, anchor) in anchors.iter().enumerate() {
        let path = format!("anchors[{at}]");
        words(
            check,
            &format!("{path}.detail"),
            "the detail",
            &anchor.detail,
        );
        words(
            check,
            &format!("{path}.source"),
            "the source of the detail",
            &anchor.source,
        );
        joints(check, &path, anchor.what, &anchor.at);
        let spread = anchor.carries.value.spread();
        let fits = match anchor.what {
            Anchored::Top => spread == Spread::Point,
            Anchored::TopLine => spread == Spread::Line,
            Anchored::Infill => spread != Spread::Line,
        };
        if !fits {
            let help = match anchor.what {
                Anchored::Top => "write the force at a point that the top carries, as 200 lb",
                Anchored::TopLine => "write what the top carries along its length, as 50 lb/ft",
                Anchored::Infill => "write what the infill carries, as 50 lb or 1.0 kN/m2",
            };
            check.tell(
                &format!("{path}.carries"),
                format!("this is a force {}", spread.words()),
                help,
            );
        }
        if let Some((a, b)) = &anchor.on {
            let sides = check.length(&format!("{path}.on"), "the side of the patch", a, PATCH)
                && check.length(&format!("{path}.on"), "the side of the patch", b, PATCH);
            if sides && spread != Spread::Point {
                check.tell(
                    &format!("{path}.on"),
                    "only a force at a point is stated over a patch",
                    "leave it out",
                );
            }
        }
    }
}

/// The joints that a detail is drawn for are those of what it holds.
fn joints(check: &mut Check<'_>, path: &str, what: Anchored, at: &[AnchorAt]) {
    if !check.few(&format!("{path}.at"), "joints", at.len(), MOST_ANCHORS) {
        return;
    }
    let infill = what == Anchored::Infill;
    if let Some(place) = at
        .iter()
        .position(|joint| (*joint == AnchorAt::BalusterEnds) != infill)
    {
        let help = if infill {
            "the infill's joints are BalusterEnds"
        } else {
            "the top's joints are NewelBase, RailToNewel and RailToWall"
        };
        check.tell(
            &format!("{path}.at[{place}]"),
            "this joint does not hold what the detail is about",
            help,
        );
    }
}

/// Whether a limit is made of numbers that can be kept; what the rule takes is for the rules to say.
fn is_sound(limit: &Limit) -> bool {
    let in_bounds = match limit {
        Limit::Slope(climb, run) => (1.0..=10_000.0).contains(&(run / climb)),
        Limit::Treads(treads) => *treads <= 10.0,
        _ => true,
    };
    // A length of nothing is a limit too, for a gap that may not be there.
    in_bounds && limit.is_positive() || limit.length().is_some_and(super::is_zero)
}
