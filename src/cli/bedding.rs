//! The part of `setout` that says how treads and kicks are bedded.

use super::page::Page;
use crate::measure::{Length, Tape, tolerance};
use crate::publish::fits::{fills_word, limit_word};
use crate::setout::bedding::{Bed, Bedded, KickBed, SetBack, Shortfall, TreadBed};

const WHAT: &str = "What goes between each tread or kick and each stringer's cut, chosen for the \
                    whole flight so that rises, goings and slopes keep the rules with the least \
                    filling, and lie level and square where that is worth more. Which bead fills how much is common practice, no source.";

/// Writes the section, where there is anything in it.
pub(super) fn write(page: &mut Page, bedded: Option<&Bedded>, tape: Tape) {
    let Some(bedded) = bedded else { return };
    page.heading("Bedding");
    page.wrapped("", WHAT);
    short(page, bedded.treads_short.as_ref(), tape);
    short(page, bedded.kicks_short.as_ref(), tape);
    for tread in &bedded.treads {
        write_tread(page, tread, tape);
    }
    for kick in &bedded.kicks {
        write_kick(page, kick, tape);
    }
    page.wrapped(
        "  ",
        &format!(
            "Under treads {} to fill and {} to relieve, all stringers together; behind kicks {} \
             and {}.",
            tape.print(bedded.filling),
            tape.print(bedded.relieving),
            tape.print(bedded.set_back),
            tape.print(bedded.set_back_relieving),
        ),
    );
    if !bedded.left_out.is_empty() {
        let names = bedded.left_out.join(", ");
        page.wrapped("  ", &format!("Nothing was read on the cuts of {names}."));
    }
}

fn short(page: &mut Page, short: Option<&Shortfall>, tape: Tape) {
    let Some(short) = short else { return };
    let steps: Vec<String> = short.steps.iter().map(u32::to_string).collect();
    let give = |give: &crate::setout::bedding::Give| {
        let limit = limit_word(give.limit);
        match (give.asked, give.needed) {
            (Some(asked), Some(needed)) => format!(
                "{limit} from {} to {}",
                tape.print(asked),
                tape.print(needed)
            ),
            _ => format!("{limit} by {}", tape.print(give.by)),
        }
    };
    let gives: Vec<String> = short.gives.iter().map(give).collect();
    let Some((first, others)) = gives.split_first() else {
        return;
    };
    let others = if others.is_empty() {
        String::new()
    } else {
        format!(" Instead of it: {}.", others.join("; or "))
    };
    page.wrapped(
        "  ",
        &format!(
            "No bedding keeps every limit. The nearest that can be built gives {first}, at step{} \
             {}; what follows is that one.{others}",
            if steps.len() == 1 { "" } else { "s" },
            steps.join(", "),
        ),
    );
}

fn is_nothing(length: Length) -> bool {
    length.abs().as_mm() < tolerance::DEPARTS_MM
}

fn write_tread(page: &mut Page, tread: &TreadBed, tape: Tape) {
    let beds: Vec<String> = tread.beds.iter().map(|bed| on_cut(bed, tape)).collect();
    let mut lies = format!("top at {}", tape.print(tread.height));
    if !is_nothing(tread.across) {
        let end = if tread.across > Length::ZERO {
            "open"
        } else {
            "wall"
        };
        lies += &format!(", {end} end {} higher", tape.print(tread.across.abs()));
    }
    if !is_nothing(tread.fall) {
        let edge = if tread.fall > Length::ZERO {
            "front"
        } else {
            "back"
        };
        lies += &format!(", {edge} {} higher", tape.print(tread.fall.abs()));
    }
    page.wrapped(
        &format!("  T{:<3} ", tread.step),
        &format!("{lies}: {}", beds.join("; ")),
    );
}

fn on_cut(bed: &Bed, tape: Tape) -> String {
    let amount = if is_nothing(bed.front - bed.back) {
        tape.print(bed.front.abs())
    } else {
        let (front, back) = (tape.print(bed.front), tape.print(bed.back));
        format!("{front} at the front to {back} at the back")
    };
    let unread = if bed.read { "" } else { " (cut as meant)" };
    format!(
        "{} {} {amount}{unread}",
        bed.stringer,
        fills_word(bed.fills)
    )
}

fn write_kick(page: &mut Page, kick: &KickBed, tape: Tape) {
    let beds: Vec<String> = kick.beds.iter().map(|bed| behind(bed, tape)).collect();
    let mut stands = format!("face at {}", tape.print(kick.face));
    if !is_nothing(kick.skew) {
        let end = if kick.skew > Length::ZERO {
            "open"
        } else {
            "wall"
        };
        stands += &format!(", {end} end {} further up", tape.print(kick.skew.abs()));
    }
    page.wrapped(
        &format!("  K{:<3} ", kick.step),
        &format!("{stands}: {}", beds.join("; ")),
    );
}

fn behind(bed: &SetBack, tape: Tape) -> String {
    let unread = if bed.read { "" } else { " (cut as meant)" };
    format!(
        "{} {} {}{unread}",
        bed.stringer,
        fills_word(bed.fills),
        tape.print(bed.set_back.abs()),
    )
}
