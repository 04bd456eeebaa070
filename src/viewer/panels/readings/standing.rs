//! How a reading stands, as the sheet says it: what all readings make of it, what it is off by, and
//! the words.

use crate::measure::{Length, Tape};
use crate::publish::survey::read_words;
use crate::survey::{Judged, Read, Standing, Survey};

/// What stands beside a row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Told {
    /// What all readings make of it.
    pub(super) all: String,
    /// What was read less that.
    pub(super) off: String,
    /// How it stands, or why a text is no reading.
    pub(super) words: String,
    /// It is to be read again.
    pub(super) again: bool,
}

impl Told {
    /// A text that is no reading yet.
    pub(super) fn wrong(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            ..Self::default()
        }
    }

    /// The reading at a path of the job.
    pub(super) fn of(survey: &Survey, path: &str, tape: Tape) -> Option<Self> {
        let number = survey.readings.iter().position(|one| one.path == path)?;
        let one = &survey.readings[number];
        let suspect = survey.suspects.iter().find(|one| one.reading == number);
        let make = |value| format!("the others make it {}", read_words(tape, one.read, value));
        let words = match (suspect, one.standing) {
            (Some(suspect), _) => {
                let unit = suspect.unit.map(|unit| format!("; {}", unit.says()));
                let unit = unit.unwrap_or_default();
                format!("read again: {}{unit}", make(suspect.predicted))
            }
            (None, Standing::Agrees) => "agrees".to_owned(),
            (None, Standing::Suspect) => "off; see the slip first".to_owned(),
            (None, Standing::Unchecked) => "nothing checks it".to_owned(),
            (None, Standing::UncheckedAndFar) => {
                "read again: far from what was meant, and nothing checks it".to_owned()
            }
        };
        Some(Self {
            all: read_words(tape, one.read, one.fitted),
            off: off(tape, one),
            words,
            again: suspect.is_some() || one.standing == Standing::UncheckedAndFar,
        })
    }
}

/// The misfit on the tape; what is under half a mark is none that anybody can read.
fn off(tape: Tape, one: &Judged) -> String {
    match one.read {
        Read::Angle => read_words(tape, Read::Angle, one.misfit()),
        Read::Length => tape.print(tape.round(Length::mm(one.misfit()))),
    }
}
