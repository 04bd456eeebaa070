//! What every page that tells of a survey says in the same words.

use crate::measure::{Angle, Length, Tape};
use crate::survey::{Judged, Read, Standing, Suspect};

/// The word for how a reading stands.
#[must_use]
pub const fn standing_word(standing: Standing) -> &'static str {
    match standing {
        Standing::Agrees => "agrees",
        Standing::Suspect => "suspect",
        Standing::Unchecked => "unchecked",
        Standing::UncheckedAndFar => "unchecked-and-far",
    }
}

/// A reading's value (mm or radians), or what it ought to be, as a carpenter would say it.
#[must_use]
pub fn read_words(tape: Tape, read: Read, value: f64) -> String {
    match read {
        Read::Length => tape.print(Length::mm(value)),
        Read::Angle => Angle::radians(value).print_degrees(1),
    }
}

/// A suspect in one sentence.
#[must_use]
pub fn suspect_says(tape: Tape, one: &Judged, suspect: &Suspect) -> String {
    let read = read_words(tape, one.read, one.value);
    let predicted = read_words(tape, one.read, suspect.predicted);
    let unit = suspect
        .unit
        .map_or_else(String::new, |unit| format!("; {}", unit.says()));
    format!(
        "{} reads {read}, the others make it {predicted}: read it again{unit}",
        one.what
    )
}

/// A standard deviation (mm or radians), finer than any tape.
#[must_use]
pub fn sd_words(tape: Tape, read: Read, sd: f64) -> String {
    match (read, tape) {
        (Read::Angle, _) => Angle::radians(sd).print_degrees(2),
        (Read::Length, Tape::Millimetres) => format!("{sd:.1} mm"),
        (Read::Length, _) => format!("{:.3}\"", sd / 25.4),
    }
}

/// Half an interval, to a mark: what lies within it nobody reads.
#[must_use]
pub fn give_words(tape: Tape, give: Length) -> String {
    let mark = tape.mark();
    if give < mark {
        return format!("less than {}", tape.print(mark));
    }
    // Up to the next mark, so that what is said is never too little.
    tape.print(mark * (give / mark).ceil())
}
