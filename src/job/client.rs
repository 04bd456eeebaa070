//! The shapes of a job file: what the client sees and decides: looks of the finished stair, what is
//! asked, and what was answered. Field names are the file's words.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::edit::quoted;

/// What the client sees and decides. All of it may be left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Client {
    /// How the stair may be finished, the first as it is shown until the client has chosen one;
    /// absent: as is usual.
    pub looks: Vec<Look>,
    /// What the client is asked to decide.
    pub asks: Vec<Ask>,
    /// What the client answered.
    pub answers: Vec<Answer>,
}

/// One way to finish the stair and the room about it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Look {
    /// What it is called.
    pub name: String,
    /// A word to it.
    #[serde(default)]
    pub note: String,
    /// How parts are finished; what is not named here is finished as is usual. Of two that name one
    /// part, the later counts.
    #[serde(default)]
    pub finishes: Vec<FinishOf>,
    /// The colour of the walls; absent: off-white.
    #[serde(default)]
    pub wall: Option<Colour>,
    /// The floors; absent: a light timber.
    #[serde(default)]
    pub floor: Option<Finish>,
    /// The light that it is shown in.
    #[serde(default)]
    pub light: Light,
}

/// The finish of some parts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FinishOf {
    /// Which parts.
    pub of: Vec<Finished>,
    /// How they are finished.
    pub is: Finish,
}

/// Parts that are finished alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Finished {
    /// Treads and their return nosings.
    Treads,
    /// Kicks.
    Kicks,
    /// Skirts.
    Skirts,
    /// Stringers.
    Stringers,
    /// Newels and half newels.
    Newels,
    /// Rails, handrails on the wall side, rosettes.
    Rails,
    /// Bottom rails.
    BottomRails,
    /// Balusters.
    Balusters,
    /// Panels.
    Panels,
    /// Shoes and caps.
    Shoes,
    /// Half walls and closed strings.
    HalfWalls,
}

impl Finished {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 11] = [
        Self::Treads,
        Self::Kicks,
        Self::Skirts,
        Self::Stringers,
        Self::Newels,
        Self::Rails,
        Self::BottomRails,
        Self::Balusters,
        Self::Panels,
        Self::Shoes,
        Self::HalfWalls,
    ];

    /// What they are called in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Treads => "treads",
            Self::Kicks => "kicks",
            Self::Skirts => "skirts",
            Self::Stringers => "stringers",
            Self::Newels => "newels",
            Self::Rails => "rails",
            Self::BottomRails => "bottom rails",
            Self::Balusters => "balusters",
            Self::Panels => "panels",
            Self::Shoes => "shoes and caps",
            Self::HalfWalls => "half walls and closed strings",
        }
    }
}

/// How something is finished.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Finish {
    /// Timber whose grain shows.
    Timber {
        /// Its species; absent: as `design.wood` says for these parts, else white oak.
        #[serde(default)]
        species: Option<String>,
        /// A stain under the finish; absent: none.
        #[serde(default)]
        stain: Option<Colour>,
        /// How it shines.
        #[serde(default)]
        sheen: Sheen,
    },
    /// Paint.
    Paint {
        /// Its colour.
        colour: Colour,
        /// How it shines.
        #[serde(default)]
        sheen: Sheen,
    },
    /// Metal.
    Metal(Metal),
}

/// How a finish shines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sheen {
    /// Not at all: oil, wax, flat paint.
    Matt,
    /// A little.
    #[default]
    Satin,
    /// Much.
    Gloss,
}

impl Sheen {
    /// What it is called in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Matt => "matt",
            Self::Satin => "satin",
            Self::Gloss => "gloss",
        }
    }
}

/// A metal with its surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Metal {
    /// Iron, blacked.
    Blacked,
    /// Steel, brushed.
    Steel,
    /// Brass.
    Brass,
    /// Bronze, dark.
    Bronze,
}

impl Metal {
    /// What it is called in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Blacked => "blacked iron",
            Self::Steel => "brushed steel",
            Self::Brass => "brass",
            Self::Bronze => "dark bronze",
        }
    }
}

/// The light that a finished stair is shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Light {
    /// By day.
    #[default]
    Day,
    /// By lamps, in the evening.
    Evening,
}

/// A colour of sRGB (IEC 61966-2-1), written as the web does: `#d9c7a3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Colour(pub [u8; 3]);

impl fmt::Display for Colour {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.0;
        write!(out, "#{red:02x}{green:02x}{blue:02x}")
    }
}

impl From<Colour> for String {
    fn from(colour: Colour) -> Self {
        colour.to_string()
    }
}

/// A colour that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0:?} is no colour; write # and six digits 0 to 9 or a to f, as \"#d9c7a3\"")]
pub struct NoColour(String);

impl TryFrom<String> for Colour {
    type Error = NoColour;

    fn try_from(text: String) -> Result<Self, NoColour> {
        let parsed = text.trim().strip_prefix('#').and_then(|digits| {
            let sixteen = digits.len() == 6 && digits.bytes().all(|one| one.is_ascii_hexdigit());
            let whole = u32::from_str_radix(digits, 16).ok().filter(|_| sixteen)?;
            let [_, red, green, blue] = whole.to_be_bytes();
            Some(Self([red, green, blue]))
        });
        parsed.ok_or(NoColour(text))
    }
}

/// Something that the client is asked to decide.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ask {
    /// What it is called, short: answers name it.
    pub name: String,
    /// The question, in plain words.
    pub question: String,
    /// A word to it.
    #[serde(default)]
    pub note: String,
    /// What may be chosen; absent: the answer is free.
    #[serde(default)]
    pub choices: Vec<String>,
}

/// What the client answered.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// What was asked: the name of an ask, `look` or `alternative`; empty for a word to the whole.
    #[serde(default)]
    pub to: String,
    /// What was chosen; empty where only a word came.
    #[serde(default)]
    pub chose: String,
    /// What was written to it.
    #[serde(default)]
    pub note: String,
    /// Who answered.
    #[serde(default)]
    pub by: String,
    /// When, as the client's page had it: `2026-03-14`.
    #[serde(default)]
    pub on: String,
}

impl Answer {
    /// What is asked of everybody, without an ask of the job's own: the finish, and which way.
    pub const ALWAYS: [&'static str; 2] = ["look", "alternative"];

    /// What an answer to `alternative` chose where it chose none of them.
    pub const AS_IT_STANDS: &'static str = "as it stands";

    /// As the file writes it: what is empty is left out.
    #[must_use]
    pub fn written(&self) -> String {
        let fields = [
            ("to", &self.to),
            ("chose", &self.chose),
            ("note", &self.note),
            ("by", &self.by),
            ("on", &self.on),
        ];
        let said = fields.into_iter().filter(|(_, text)| !text.is_empty());
        let said: Vec<String> = said
            .map(|(name, text)| format!("{name}: {}", quoted(text)))
            .collect();
        format!("({})", said.join(", "))
    }
}

impl Client {
    /// The answer that counts of those to one asking: the last.
    #[must_use]
    pub fn answer_to(&self, asked: &str) -> Option<&Answer> {
        self.answers.iter().rev().find(|one| one.to == asked)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_is_read_as_the_web_writes_it_and_nothing_else_is() {
        // CSS Color Module Level 4, section 5.2: # and six hexadecimal digits, in any case.
        let read = |text: &str| Colour::try_from(text.to_owned());
        assert_eq!(read("#D9c7a3"), Ok(Colour([0xd9, 0xc7, 0xa3])));
        assert_eq!(Colour([0, 10, 255]).to_string(), "#000aff");
        for bad in [
            "", "#", "d9c7a3", "#d9c7a", "#d9c7a33", "#+9c7a3", "#d9c7g3", "white", "#é9c7a",
        ] {
            assert!(read(bad).is_err(), "{bad}");
        }
    }
}
