//! `setout`'s words on turns: newels in which two runs meet, and winders.

use super::page::{Page, Push};
use crate::chain::{Chain, RunChain};
use crate::measure::{Length, Tape};
use crate::publish::turns::{WinderRow, winder_rows};
use crate::rules::Pack;
use crate::setout::TurnSet;

/// The newels of a run in which another run's rail meets its own.
pub(super) fn write(page: &mut Page, run: &RunChain, chain: &Chain, tape: Tape) {
    if run.setout.turns.is_empty() {
        return;
    }
    page.heading("Where runs meet");
    for turn in &run.setout.turns {
        page.wrapped(&format!("  {}  ", turn.newel), &meets(turn, chain, tape));
    }
}

fn meets(turn: &TurnSet, chain: &Chain, tape: Tape) -> String {
    let [own, other] = &turn.meets;
    let of = |run: usize| {
        chain
            .runs
            .get(run)
            .map_or_else(String::new, |one| format!("run {}", one.run.name))
    };
    let rise = turn.rise;
    let way = if rise.rise < Length::ZERO {
        "below"
    } else {
        "above"
    };
    let range = match (rise.least, rise.most) {
        (Some(least), Some(most)) => format!(
            "; with both rails in their height windows it can be made {} to {}",
            tape.print(least),
            tape.print(most)
        ),
        _ => String::new(),
    };
    format!(
        "rail {} ({}) tops it {} above its foot, rail {} ({}) {}: the one that goes on stands {} \
         {way} the other{range}",
        own.rail,
        of(turn.runs[0]),
        tape.print(own.top),
        other.rail,
        of(turn.runs[1]),
        tape.print(other.top),
        tape.print(rise.rise.abs()),
    )
}

/// The turns on winders that lead to a run.
pub(super) fn write_winders(page: &mut Page, run: &RunChain, pack: &Pack, tape: Tape) {
    for turn in &run.turns {
        page.heading(&format!("Run {}: a turn on winders", turn.name));
        let told = winder_rows(&turn.site, pack);
        page.wrapped(
            "  ",
            &format!(
                "Walk line {} from the narrow side; goings on it between nosings: along it, \
                 straight, and square to the nosing.",
                tape.print(told.walk_line)
            ),
        );
        let mut rows = vec![
            [
                "tread",
                "rise",
                "along",
                "straight",
                "square",
                "least",
                "narrow end",
            ]
            .map(str::to_owned)
            .to_vec(),
        ];
        rows.extend(told.rows.iter().map(|row| words(row, tape)));
        page.table(2, &[Push::Right; 7], &rows);
    }
}

fn words(row: &WinderRow, tape: Tape) -> Vec<String> {
    let walk = |length: Option<Length>| length.map_or_else(String::new, |one| tape.print(one));
    vec![
        row.step.to_string(),
        tape.print(row.rise),
        walk(row.walk.map(|walk| walk.arc)),
        walk(row.walk.map(|walk| walk.chord)),
        walk(row.walk.and_then(|walk| walk.square)),
        walk(row.narrow.map(|narrow| narrow.least)),
        walk(row.narrow.map(|narrow| narrow.narrow_end)),
    ]
}
