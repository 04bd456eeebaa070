//! Checks of bottom steps whose open end is not like the others.

use super::Check;
use crate::job::BottomStep;
use crate::job::limits::{BEYOND, FLARE, GOING, MOST_BOTTOM_STEPS, OVERHANG, WIDTH};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let bottom = &check.job.flight.bottom;
    let most = MOST_BOTTOM_STEPS as usize;
    if !check.few("flight.bottom", "shaped bottom steps", bottom.len(), most) {
        return;
    }
    for (at, shaped) in bottom.iter().enumerate() {
        let path = format!("flight.bottom[{at}]");
        if check.tread(&format!("{path}.step"), shaped.step) {
            place(check, &path, at);
        }
        let good = check.length(
            &format!("{path}.beyond"),
            "the end beyond the others",
            &shaped.beyond,
            BEYOND,
        );
        check.length(&format!("{path}.flare"), "the flare", &shaped.flare, FLARE);
        if good {
            round(check, &path, shaped);
        }
    }
}

/// Each step once, and none that hangs over one below it that reaches less far.
fn place(check: &mut Check<'_>, path: &str, at: usize) {
    let bottom = &check.job.flight.bottom;
    let shaped = &bottom[at];
    if let Some(former) = bottom[..at].iter().position(|one| one.step == shaped.step) {
        check.tell_both(
            &format!("{path}.step"),
            format!("step {} is shaped twice", shaped.step),
            "leave one of them out",
            &format!("flight.bottom[{former}]"),
            "the other one",
        );
        return;
    }
    let below = shaped.step.saturating_sub(1);
    if below > 0 && check.job.flight.edge_of(below) < check.job.flight.edge_of(shaped.step) {
        let problem = format!("step {} hangs over step {below}", shaped.step);
        let help = format!("let step {below} reach as far beyond, or further");
        check.tell(&format!("{path}.beyond"), problem, help);
    }
}

/// A rounded end lies in what reaches beyond, and leaves the tread its depth.
fn round(check: &mut Check<'_>, path: &str, shaped: &BottomStep) {
    let Some(radius) = &shaped.round else { return };
    let flight = &check.job.flight;
    let at = format!("{path}.round");
    let most = WIDTH.most;
    if !check.over_zero(&at, "the radius", radius, most) {
        return;
    }
    if radius.value > shaped.beyond.value {
        let help = format!(
            "the tread reaches {} beyond them; round it less or let it reach further",
            check.print(shaped.beyond.value)
        );
        check.tell(
            &at,
            "the rounded end cuts into the line of the others",
            help,
        );
        return;
    }
    let sound = GOING.hold(flight.going.value) && OVERHANG.hold(flight.overhang.value);
    let half: Length = (flight.going.value + flight.overhang.value) / 2.0;
    if sound && radius.value > half {
        let help = format!(
            "half of the tread's depth is {}: that makes a half-round end",
            check.print(half)
        );
        check.tell(
            &at,
            "the radius is more than half of the tread's depth",
            help,
        );
    }
}
