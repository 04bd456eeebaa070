//! What a step of a climb is, in words of the tape.

use crate::inspect::climb::{Climb, ClimbLimit, ClimbStep, Of};
use crate::measure::{Length, Tape};
use crate::rules::Sense;

/// What a quantity is called on its button.
pub(in crate::viewer) const fn short(of: Of) -> &'static str {
    match of {
        Of::Heights => "heights",
        Of::Places => "places",
        Of::Rises => "rises",
        Of::Goings => "goings",
        Of::Across => "level across",
        Of::Back => "level back",
        Of::TreadEnds => "tread ends",
        Of::Reveals => "reveals",
        Of::RailHeight => "rail height",
        Of::Wall => "wall",
    }
}

/// What the strip shows, as its title.
pub(in crate::viewer) const fn title(of: Of) -> &'static str {
    match of {
        Of::Heights => "How far each nosing is too high, as the rises add up",
        Of::Places => "How far each nosing is too far on, as the goings add up",
        Of::Rises => "Each rise",
        Of::Goings => "Each going",
        Of::Across => "How far each tread's open end is high",
        Of::Back => "How far each tread's nosing is high",
        Of::TreadEnds => "How far each tread's open end is too far out",
        Of::Reveals => "What shows between baluster and tread end",
        Of::RailHeight => "The rail over each nosing",
        Of::Wall => "How far the wall at rail height stands into the room",
    }
}

/// A length with the word for its side, or another word where the tape shows none.
fn sided(tape: Tape, by: Length, [over, under]: [&str; 2], none: &str) -> String {
    if by.abs() < tape.mark() / 2.0 {
        return none.to_owned();
    }
    let side = if by > Length::ZERO { over } else { under };
    format!("{} {side}", tape.print(by.abs()))
}

const AS_MEANT: &str = "as meant";
const MORE: [&str; 2] = ["more than meant", "less than meant"];
const HIGH: [&str; 2] = ["too high", "too low"];
const ON: [&str; 2] = ["too far on", "short"];

/// The value at a step, in a few words; `None` where the step has none.
pub(in crate::viewer) fn value(of: Of, step: &ClimbStep, tape: Tape) -> Option<String> {
    let is_tread = step.going.is_some();
    match of {
        Of::Heights => Some(sided(tape, step.off.up, HIGH, "as high as meant")),
        Of::Places => Some(sided(tape, step.off.along, ON, "where it was meant")),
        Of::Rises => Some(tape.print(step.rise.found)),
        Of::Goings => step.going.map(|going| tape.print(going.found)),
        Of::Across => {
            let sides = ["high at the open end", "high at the wall end"];
            Some(sided(tape, step.across.gap, sides, "level across"))
        }
        Of::Back => is_tread.then(|| {
            let sides = ["high at the nosing", "high at the back"];
            sided(tape, step.back.gap, sides, "level from front to back")
        }),
        Of::TreadEnds => step.end.map(|end| {
            let sides = ["too far out", "too far in"];
            sided(tape, end.off, sides, "where it was meant")
        }),
        Of::Reveals => {
            let each: Vec<String> = step
                .reveals
                .iter()
                .map(|one| tape.print(one.value))
                .collect();
            (!each.is_empty()).then(|| each.join(", "))
        }
        Of::RailHeight => {
            let rail = step.rails.first()?;
            Some(format!("{} over the nosing", tape.print(rail.least)))
        }
        Of::Wall => {
            let wall = step.wall.as_ref()?;
            let sides = ["into the room", "away from the room"];
            let off = sided(tape, wall.off, sides, "where it was meant");
            Some(format!("{} {off}", wall.wall))
        }
    }
}

/// What lies behind the value at a step, in a sentence.
pub(in crate::viewer) fn behind(of: Of, step: &ClimbStep, tape: Tape) -> String {
    let print = |length: Length| tape.print(length);
    match of {
        Of::Heights => format!(
            "its own rise is {}: {}",
            print(step.rise.found),
            sided(tape, step.rise.off, MORE, AS_MEANT)
        ),
        Of::Places => step.going.map_or_else(String::new, |going| {
            format!(
                "its own going is {}: {}",
                print(going.found),
                sided(tape, going.off, MORE, AS_MEANT)
            )
        }),
        Of::Rises => {
            let ends = step.rise_ends.iter().zip(["open", "wall"]);
            let other = |end: &&Length| (**end - step.rise.found).abs() >= tape.mark() / 2.0;
            let told: Vec<String> = ends
                .filter(|(end, _)| other(end))
                .map(|(end, side)| format!("; {} at its {side} end", print(*end)))
                .collect();
            format!(
                "{}, with those below {}{}",
                sided(tape, step.rise.off, MORE, AS_MEANT),
                sided(tape, step.rise.sum, HIGH, AS_MEANT),
                told.concat()
            )
        }
        Of::Goings => step.going.map_or_else(String::new, |going| {
            format!(
                "{}; with those below {}",
                sided(tape, going.off, MORE, AS_MEANT),
                sided(tape, going.sum, ON, AS_MEANT)
            )
        }),
        Of::Across => format!("over {}", print(step.across.span)),
        Of::Back => format!("over {}", print(step.back.span)),
        Of::TreadEnds => step.end.map_or_else(String::new, |end| {
            let sides = [
                "outside a string along the ends",
                "inside a string along the ends",
            ];
            sided(tape, end.off_string, sides, "on a string along the ends")
        }),
        Of::Reveals => step.reveals.first().map_or_else(String::new, |one| {
            let sides = ["more than at the foot", "less than at the foot"];
            format!(
                "{} is wanted; {}",
                print(one.wanted),
                sided(tape, one.drift, sides, "as at the foot")
            )
        }),
        Of::RailHeight => step.rails.first().map_or_else(String::new, |rail| {
            if rail.most - rail.least > tape.mark() / 2.0 {
                format!(
                    "{} over its lower end; {} is wanted",
                    print(rail.most),
                    print(rail.wanted)
                )
            } else {
                format!("{} is wanted", print(rail.wanted))
            }
        }),
        Of::Wall => step.wall.as_ref().map_or_else(String::new, |wall| {
            let sides = [
                "of it by leaning in from the tread up",
                "by leaning out from the tread up",
            ];
            sided(tape, wall.lean, sides, "plumb from the tread up")
        }),
    }
}

/// A limit in words: `at most 7 3/4" (R311.7.5.1)`.
pub(in crate::viewer) fn limit(limit: &ClimbLimit, tape: Tape) -> String {
    let side = match limit.sense {
        Sense::AtLeast => "at least",
        Sense::AtMost => "at most",
        Sense::Under => "under",
    };
    // What leans the other way has a limit of its own, and a length no sign.
    if limit.at < Length::ZERO {
        return format!("at most {} the other way", tape.print(limit.at.abs()));
    }
    format!("{side} {}", tape.print(limit.at))
}

/// The limits of a quantity, each with what it is and who asks.
pub(in crate::viewer) fn limits(climb: &Climb, of: Of, tape: Tape) -> Vec<String> {
    // The same limit the other way round is said once.
    let both = matches!(of, Of::Across | Of::Back);
    let told = climb
        .limits_on(of)
        .filter(|one| !both || one.sense == Sense::AtMost);
    let told = told.map(|one| {
        let source = if one.source.is_empty() {
            String::new()
        } else {
            format!(" ({})", one.source)
        };
        format!("{}: {}{source}", limit(one, tape), one.says)
    });
    told.collect()
}
