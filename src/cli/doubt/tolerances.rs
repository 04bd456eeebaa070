//! What `doubt --tolerances` prints: how loose each operation may be.

use crate::cli::page::{Page, Push};
use crate::doubt::{Allowed, Loosest, MISS, Tally, Together, Way};
use crate::measure::Tape;
use crate::publish::compounding::fine;
use crate::publish::{grouped, odds, odds_within, per_cent, sentence};

use super::safe::chance;

pub(super) fn written(page: &mut Page, loosest: &Loosest, tape: Tape) {
    page.heading("How loose each operation may be");
    page.wrapped("", &wanted(loosest, tape));
    page.wrapped(
        "",
        &format!(
            "With the tolerances as stated that fails {}; without any error of hand and saw {}.",
            drawn(&loosest.stated),
            drawn(&loosest.without)
        ),
    );
    if let Some(way) = &loosest.way {
        page.wrapped("", &stands_in_the_way(way));
    }
    page.space();
    let heads = ["", "stated", "loosest alone", "loosest together"].map(str::to_owned);
    let rows = loosest.alone.iter().map(|alone| {
        let together = loosest.together.as_ref();
        let set = together.and_then(|all| all.set.iter().find(|one| one.0 == alone.operation));
        vec![
            alone.operation.word().to_owned(),
            fine(tape, alone.stated),
            allowed(alone.loosest, tape),
            set.map_or_else(
                || "-".to_owned(),
                |(_, allowed_set)| allowed(*allowed_set, tape),
            ),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(heads.to_vec()).chain(rows).collect();
    let push = [Push::Left, Push::Right, Push::Right, Push::Right];
    page.table(0, &push, &rows);
    page.space();
    page.wrapped(
        "",
        "Alone: the others stay as stated. Each is this much either way, a mark of the tape, and \
         drawn.",
    );
    if let Some(together) = &loosest.together {
        page.wrapped("", &all_together(together));
    }
}

fn wanted(loosest: &Loosest, tape: Tape) -> String {
    let reveal = loosest.purpose.reveal.map_or_else(String::new, |reveal| {
        format!(
            ", and no reveal is off its plan by more than {}",
            tape.print(reveal)
        )
    });
    let left_out = match loosest.left_out {
        0 => String::new(),
        1 => " The plan's own trouble is left out: no tolerance cures it.".to_owned(),
        count => format!(" The plan's own {count} troubles are left out: no tolerance cures them."),
    };
    format!(
        "Wanted, with a chance of {}: every limit that the plan keeps is kept{reveal}.{left_out}",
        chance(loosest.purpose.chance)
    )
}

fn drawn(tally: &Tally) -> String {
    format!(
        "{} ({}; {} draws)",
        odds(tally.share()),
        odds_within(tally.interval(MISS)),
        grouped(tally.of)
    )
}

fn allowed(allowed: Allowed, tape: Tape) -> String {
    match allowed {
        Allowed::NoPart => "none of it here".to_owned(),
        Allowed::Any => "no limit here tells".to_owned(),
        Allowed::UpTo(length) => fine(tape, length),
        Allowed::Never => "fails even exact".to_owned(),
    }
}

fn all_together(together: &Together) -> String {
    let drawn = drawn(&together.drawn);
    if !together.holds {
        return format!(
            "Together: a few marks back from what the draws foretold were not enough; so set it still \
             fails {drawn}."
        );
    }
    let end = if together.is_loosest {
        "none of these can be loosened by a mark without losing it"
    } else {
        "one or the other may still have a mark to give"
    };
    format!(
        "Together it fails {drawn}, and {end}. Other sets do it too: what one gives up another may \
         have."
    )
}

fn stands_in_the_way(way: &Way) -> String {
    let mut text = format!(
        "No tolerance gives it. Without any error of hand and saw this fails {}: {}",
        odds(way.tally.share()),
        sentence(&way.says)
    );
    if let Some((what, field, share)) = &way.source {
        let field = field
            .as_ref()
            .map_or_else(String::new, |field| format!(" ({field})"));
        text.push_str(&format!(
            " The most of its doubt, {}, comes from {what}{field}: read that again, more closely.",
            per_cent(*share)
        ));
    } else {
        text.push_str(" No reading has the most of its doubt.");
    }
    text.push_str(" Or give it more room: --safe says by how much.");
    text
}
