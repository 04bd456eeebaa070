//! Sizes of paper, upright. Millimetres.

use std::fmt;

use crate::measure::Unit;
use crate::publish::sheet::Paper;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PaperSize {
    /// What it is called; empty for one by its measures.
    pub name: &'static str,
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
}

const fn inches(name: &'static str, width: f64, height: f64) -> PaperSize {
    mm(name, width * 25.4, height * 25.4)
}

const fn mm(name: &'static str, width: f64, height: f64) -> PaperSize {
    PaperSize {
        name,
        width,
        height,
    }
}

/// The sizes known by name, upright: ISO 216 (A4 to A1); ASME Y14.1 sizes A to E (letter, tabloid,
/// ANSI C to E); the architectural sizes A to E (common practice, no source).
pub const PAPERS: [PaperSize; 14] = [
    inches("letter", 8.5, 11.0),
    mm("a4", 210.0, 297.0),
    mm("a3", 297.0, 420.0),
    mm("a2", 420.0, 594.0),
    mm("a1", 594.0, 841.0),
    inches("tabloid", 11.0, 17.0),
    inches("ansi-c", 17.0, 22.0),
    inches("ansi-d", 22.0, 34.0),
    inches("ansi-e", 34.0, 44.0),
    inches("arch-a", 9.0, 12.0),
    inches("arch-b", 12.0, 18.0),
    inches("arch-c", 18.0, 24.0),
    inches("arch-d", 24.0, 36.0),
    inches("arch-e", 36.0, 48.0),
];

impl PaperSize {
    /// The size of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let name = name.trim().to_ascii_lowercase();
        PAPERS.into_iter().find(|size| size.name == name)
    }

    /// The size that goes with a job's units: letter, or A4.
    #[must_use]
    pub fn usual(units: Unit) -> Self {
        Self::from(match units {
            Unit::Inches => Paper::Letter,
            Unit::Millimetres => Paper::A4,
        })
    }

    /// A size by its measures, mm.
    #[must_use]
    pub const fn of(width: f64, height: f64) -> Self {
        mm("", width, height)
    }

    /// The same lying on its side.
    #[must_use]
    pub const fn turned(self) -> Self {
        Self {
            width: self.height,
            height: self.width,
            ..self
        }
    }
}

impl From<Paper> for PaperSize {
    fn from(paper: Paper) -> Self {
        let (width, height) = paper.size();
        match paper {
            Paper::Letter => mm("letter", width, height),
            Paper::A4 => mm("a4", width, height),
        }
    }
}

impl fmt::Display for PaperSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.name {
            "" => write!(f, "{:.0} by {:.0} mm", self.width, self.height),
            name => f.write_str(name),
        }
    }
}
