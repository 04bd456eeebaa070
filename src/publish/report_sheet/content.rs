//! What stands on the sheet, whatever it is printed on.

use std::sync::Arc;

use crate::inspect::Severity;
use crate::publish::drawing::Drawing;
pub use crate::publish::grid::{Cell, Grid, Head};

/// The inspection report as it is told.
#[derive(Clone, Debug)]
pub struct ReportSheet {
    /// What the sheet is about.
    pub title: Title,
    /// How many troubles there are, in one line.
    pub verdict: String,
    /// Pictures to lead with.
    pub pictures: Vec<Picture>,
    /// The stair drawn, flags on its troubles.
    pub drawings: Vec<Drawing>,
    /// The troubles, worst first.
    pub troubles: Vec<Card>,
    /// Those that the job lets stand, with their reasons; numbered with the others.
    pub let_stand: Vec<Card>,
    /// The balls.
    pub openings: Option<Grid>,
    /// The reveals, run by run.
    pub reveals: Vec<Strip>,
    /// Every rule.
    pub rules: Grid,
    /// What nothing in the job answers, and what would.
    pub not_shown: Vec<String>,
    /// What was not read and stands as meant.
    pub not_read: Vec<String>,
    /// What is not asked of this stair, and why.
    pub not_asked: Vec<String>,
    /// What else belongs to a rule: where it is asked, what more its limit is.
    pub read_with: Vec<String>,
    /// What was measured between two things and kept.
    pub measured: Vec<String>,
    /// What the client decided, as it came back.
    pub decided: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// What the sheet is worth, and who decides.
    pub worth: Vec<String>,
    /// Who signs.
    pub signers: Vec<&'static str>,
}

/// What the sheet is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Title {
    /// The job's name.
    pub job: String,
    /// The pack.
    pub pack: String,
    /// The edition that its clauses are numbered by.
    pub edition: String,
    /// The day, if the caller gave one.
    pub date: Option<String>,
    /// What made the sheet.
    pub program: String,
}

/// A picture that was made elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// What it shows.
    pub caption: String,
    /// The bytes of a PNG file.
    pub png: Arc<[u8]>,
}

impl Picture {
    /// Its height over its width, as its header says (PNG, 11.2.1: IHDR stands first); nothing where
    /// the bytes are no PNG.
    pub(super) fn shape(&self) -> Option<f64> {
        let header = self.png.strip_prefix(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")?;
        let number = |at: usize| {
            let bytes = header.get(at..at + 4)?;
            Some(f64::from(u32::from_be_bytes(bytes.try_into().ok()?)))
        };
        let (width, height) = (number(0)?, number(4)?);
        (width > 0.0 && height > 0.0).then_some(height / width)
    }
}

/// What is said over what was measured between two things.
pub(super) const AS_FOUND: &str = "Tapes that the job keeps as notes, laid on the stair as found.";

/// The heading over what the client decided.
pub(in crate::publish) const DECIDED: &str = "What the client decided";

/// What is said over it.
pub(super) const AS_ANSWERED: &str =
    "As the job has it from the client, with who answered and when.";

/// The headings over the troubles, and over those that are let stand.
pub(super) const HEADS: [(&str, &str); 2] = [
    ("Troubles", "numbered as their flags in the drawings"),
    (
        "Let stand",
        "troubles that whoever wrote the job lets stand, with his reasons; a reason makes none of them less of a trouble",
    ),
];

/// One trouble.
#[derive(Clone, Debug)]
pub struct Card {
    /// Its number, as on its flag.
    pub number: usize,
    /// How much it matters.
    pub severity: Severity,
    /// The same from run to run.
    pub id: String,
    /// What is wrong, in one sentence.
    pub says: String,
    /// What was found.
    pub found: String,
    /// What was asked.
    pub asked: String,
    /// The answer, and by how much.
    pub verdict: Cell,
    /// Whose limit it is.
    pub source: String,
    /// Why it is let stand, and what that leaves to say; empty where it is not.
    pub stands: Vec<String>,
    /// What each fault has to do with it, the greatest first.
    pub because: Option<Grid>,
    /// What the shares do not say.
    pub rest: String,
    /// What clears it, the least disturbance first.
    pub cures: Vec<CureTold>,
    /// What is near it.
    pub closeup: Option<Drawing>,
}

/// A cure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CureTold {
    /// What to do, and the value that it leaves.
    pub says: String,
    /// What it would break, in a sentence each.
    pub breaks: Vec<String>,
}

/// The reveals of a run as bars.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    /// Of which run.
    pub called: String,
    /// The least, the greatest, and how far they lie apart.
    pub says: String,
    /// A bar for every tread end, up the flight.
    pub bars: Vec<Bar>,
}

/// One reveal.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Where: the tread.
    pub tread: u32,
    /// The part beside it.
    pub part: String,
    /// Its height against the greatest of the strip, 0 to 1.
    pub share: f64,
    /// Its value on the tape.
    pub text: String,
    /// Whether it is the least or the greatest.
    pub end: bool,
}
