//! What `doubt --safe` prints: what to set.

use crate::cli::page::Page;
use crate::doubt::{MISS, Need, Safe, Setting, Tally, Trial};
use crate::measure::{Length, Tape};
use crate::publish::{grouped, odds, odds_within, per_cent, sentence};
use crate::rules::Sense;

pub(super) fn written(page: &mut Page, safe: &Safe, tape: Tape) {
    page.heading(&format!(
        "What to set, for {} that all of it keeps its limits together",
        chance(safe.chance)
    ));
    page.wrapped("", &as_planned(safe));
    // What only gives of its room to others fails no more for it.
    let short = |need: &&Need| {
        need.planned.hits > 0 || need.alone.is_some_and(|alone| alone > Length::ZERO)
    };
    for need in safe.needs.iter().filter(short) {
        page.wrapped("  ", &needed(need, tape));
    }
    settings(page, safe, tape);
    page.space();
    page.wrapped("", &tried(safe));
    if let Trial::Drawn { edits, .. } = &safe.trial {
        for (field, value) in edits {
            page.wrapped("    ", &format!("{field}: {value}"));
        }
    }
    beyond(page, safe);
}

/// A wanted chance, as `99 %`.
pub(super) fn chance(share: f64) -> String {
    let text = format!("{:.2}", share * 100.0);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

fn as_planned(safe: &Safe) -> String {
    let now = odds(safe.planned.share());
    if safe.is_as_planned() {
        format!(
            "As planned something that a setting moves fails: {now}. Nothing has to be changed."
        )
    } else {
        format!("As planned something that a setting could keep fails: {now}.")
    }
}

/// What is to be kept, on the side of its limit that is right.
fn kept(need: &Need, tape: Tape) -> String {
    let side = match need.sense {
        Sense::AtLeast => "or more",
        Sense::AtMost | Sense::Under => "or less",
    };
    format!("{} {side}", tape.print(need.keep))
}

fn needed(need: &Need, tape: Tape) -> String {
    let limit = match need.sense {
        Sense::AtLeast => "at least",
        Sense::AtMost => "at most",
        Sense::Under => "under",
    };
    let kind = sentence(&need.kind.word().replace('-', " "));
    let keep = if need.moves.as_mm().abs() < HAIR_MM {
        "as planned".to_owned()
    } else {
        format!("plan it at {}", kept(need, tape))
    };
    let kind = kind.trim_end_matches('.');
    let (worst, fails) = (tape.print(need.worst), odds(need.planned.share()));
    let mut text = if need.limit.abs().as_mm() < HAIR_MM && need.keep < Length::ZERO {
        // What is to be nothing at most is told by what it has to spare.
        let spare = tape.print(-need.keep);
        format!("{kind}: plan it with {spare} to spare; it is {worst} past now, and fails {fails}.")
    } else {
        let asked = tape.print(need.limit);
        format!("{kind}: {keep}; it is {worst} now, with {limit} {asked} asked, and fails {fails}.")
    };
    if let Some(alone) = need.alone.filter(|alone| *alone > Length::ZERO) {
        text.push_str(&format!(
            " By itself it would need {} more room.",
            tape.print(tape.round_up(alone))
        ));
    }
    if need.moves.as_mm() < -HAIR_MM {
        text.push_str(&format!(
            " It gives {} of its room to what is set for the others.",
            tape.print(-need.moves)
        ));
    }
    text
}

/// Less than this is not told, mm.
const HAIR_MM: f64 = 0.1;

fn settings(page: &mut Page, safe: &Safe, tape: Tape) {
    let told = safe.settings.iter().filter(|one| !one.what.is_empty());
    for one in told {
        page.wrapped("  - ", &setting(one, tape));
    }
}

fn setting(one: &Setting, tape: Tape) -> String {
    let room = one.room.map(|(from, to)| {
        format!(
            "anything from {} to {} does, the others as said (foretold, not drawn)",
            tape.print(from),
            tape.print(to)
        )
    });
    if one.what.is_empty() {
        let room = room.map_or_else(String::new, |room| format!("; {room}"));
        return format!("{} stays at {}{room}.", one.field, tape.print(one.now));
    }
    let mut text = sentence(&format!(
        "{}: {} instead of {}",
        one.what,
        tape.print(one.to),
        tape.print(one.now)
    ));
    if !one.field.is_empty() {
        text.push_str(&format!(" Its field is {}.", one.field));
    }
    if let Some(room) = room {
        text.push(' ');
        text.push_str(&sentence(&room));
    }
    text
}

fn drawn(tally: &Tally) -> String {
    format!(
        "{} ({}) of {} draws",
        odds(tally.share()),
        odds_within(tally.interval(MISS)),
        grouped(tally.of)
    )
}

fn tried(safe: &Safe) -> String {
    match &safe.trial {
        Trial::NotMade(why) => format!(
            "Not verified: {why}. The draws as planned, moved so, foretell {}.",
            odds(safe.foretold.share())
        ),
        Trial::Drawn { tally, .. } if safe.is_as_planned() => {
            format!("Drawn as planned, something fails: {}.", drawn(tally))
        }
        Trial::Drawn { tally, tries, .. } => {
            let on = match tries {
                0 => String::new(),
                1 => ", stepped on by a mark once".to_owned(),
                tries => format!(", stepped on by a mark {tries} times"),
            };
            if safe.allows(tally) {
                format!(
                    "Verified: the job changed so and drawn again{on}, something fails: {}.",
                    drawn(tally)
                )
            } else {
                format!(
                    "No setting of these gives the wanted chance. This is the best there is{on}; the \
                     job changed so and drawn again, something fails: {}.",
                    drawn(tally)
                )
            }
        }
    }
}

fn beyond(page: &mut Page, safe: &Safe) {
    if safe.unmoved.hits > 0 {
        page.wrapped(
            "",
            &format!(
                "In {} of the draws nothing stands, or something comes about that the plan has not; \
                 no setting is known to move those.",
                per_cent(safe.unmoved.share())
            ),
        );
    }
    if safe.beyond.is_empty() {
        return;
    }
    page.space();
    page.wrapped(
        "",
        "No length of the railing cures these, or none beside the others; they are not counted above:",
    );
    for one in &safe.beyond {
        let often = odds(one.tally.share());
        page.wrapped("  - ", &format!("fails {often}. {}", sentence(&one.says)));
    }
}
