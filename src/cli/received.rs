//! The part of `setout` that says what the parts received do, and where the balusters go.

use super::page::{Page, Push};
use crate::measure::{Tape, tolerance};
use crate::publish::fits::verdict_word;
use crate::setout::received::{
    BalusterWeighed, NewelEffects, NewelWeighed, RailEffects, RailWeighed, ReceivedSet,
};

/// Writes the section, where there is anything in it.
pub(super) fn write(page: &mut Page, received: Option<&ReceivedSet>, tape: Tape) {
    let Some(received) = received else { return };
    page.heading("Parts received");
    for newel in &received.newels {
        write_newel(page, newel, tape);
    }
    for rail in &received.rails {
        write_rail(page, rail, tape);
    }
    write_balusters(page, &received.balusters, tape);
    if !received.unfilled.is_empty() {
        let places = received.unfilled.join(", ");
        page.wrapped(
            "  ",
            &format!("No baluster that was received fills {places}."),
        );
    }
}

fn write_newel(page: &mut Page, newel: &NewelWeighed, tape: Tape) {
    let turned = match newel.quarter_turns {
        0 => String::new(),
        1 => ", turned a quarter to the left".to_owned(),
        2 => ", turned half about".to_owned(),
        _ => ", turned a quarter to the right".to_owned(),
    };
    page.wrapped(
        &format!("  {}  ", newel.name),
        &format!(
            "{}{turned}: {}",
            verdict_word(newel.verdict),
            of_newel(&newel.turned, tape)
        ),
    );
    if newel.quarter_turns != 0 {
        let marked = of_newel(&newel.as_marked, tape);
        page.wrapped("      as marked  ", &marked);
    }
}

fn of_newel(effects: &NewelEffects, tape: Tape) -> String {
    let block = effects
        .block_reveals
        .map_or_else(String::new, |(above, below)| {
            format!(
                "; its block shows {} above the rail and {} below",
                tape.print(above),
                tape.print(below)
            )
        });
    let trim = if effects.trim.as_mm() < tolerance::DEPARTS_MM {
        String::new()
    } else {
        format!("with {} cut off its foot, ", tape.print(effects.trim))
    };
    format!(
        "{trim}gap {} at the foot, {} at the rail; head {} up the flight and {} outward of plumb; cap {} \
         off its height{block}",
        tape.print(effects.gap_at_foot),
        tape.print(effects.gap_at_rail),
        tape.print(effects.lean_uphill),
        tape.print(effects.lean_outward),
        tape.print(effects.cap),
    )
}

fn write_rail(page: &mut Page, rail: &RailWeighed, tape: Tape) {
    let turned = if rail.end_for_end {
        ", end for end"
    } else {
        ""
    };
    let effects = if rail.end_for_end {
        &rail.turned
    } else {
        &rail.as_marked
    };
    page.wrapped(
        &format!("  {}  ", rail.name),
        &format!(
            "{}{turned}: {}",
            verdict_word(rail.verdict),
            of_rail(effects, tape)
        ),
    );
}

fn of_rail(effects: &RailEffects, tape: Tape) -> String {
    let mut says = Vec::new();
    if let Some((lean, name)) = &effects.lean {
        says.push(format!(
            "the head of {name} goes {} outward",
            tape.print(*lean)
        ));
    }
    if let Some((length, name)) = &effects.length {
        says.push(format!(
            "{name} changes by {} in length",
            tape.print(*length)
        ));
    }
    if let Some((height, step)) = &effects.height {
        says.push(format!(
            "over nosing {step} it stands {} off its height",
            tape.print(*height)
        ));
    }
    if !effects.in_window {
        says.push("it leaves the height window".to_owned());
    }
    says.join("; ")
}

fn write_balusters(page: &mut Page, balusters: &[BalusterWeighed], tape: Tape) {
    if balusters.is_empty() {
        return;
    }
    let heads = [
        "mark", "", "place", "turned", "gap", "reveal", "lean", "seat",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(balusters.iter().map(|one| {
        let mut row = vec![one.mark.clone(), verdict_word(one.verdict).to_owned()];
        if let Some(at) = &one.at {
            let turned = match at.fit.quarter_turns {
                0 => "-".to_owned(),
                turns => format!("{}\u{b0}", 90 * u32::from(turns)),
            };
            row.extend([at.place.clone(), turned]);
            let fit = &at.fit;
            let each = [fit.gap, fit.reveal, fit.lean, fit.seat];
            row.extend(each.map(|length| tape.print(length)));
        } else {
            row.push("spare".to_owned());
        }
        row
    }));
    let mut pushes = [Push::Right; 8];
    pushes[..3].fill(Push::Left);
    page.table(2, &pushes, &rows);
}
