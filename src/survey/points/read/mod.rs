//! Points read from a file: PLY (text or binary) or columns of numbers.
//!
//! In: bytes, the columns that hold the three numbers of a point, their unit. Out: [`Points`] in
//! mm, in the frame that the file was written in, and what was found on the way. A count that a
//! file declares is never trusted with memory; a number that is none is counted and left out.

mod columns;
mod error;
mod ply;
mod ply_header;
mod table;

use std::io::{BufRead, BufReader, Read};

use nalgebra::Point3;

use crate::measure::Length;

pub use columns::{Column, ColumnsError};
pub use error::{Place, ReadError};

/// No more points than this are taken: a gigabyte of them.
pub const MOST_POINTS: usize = 40_000_000;

/// How much of a file is looked at to tell what it is.
const HEAD_BYTES: u64 = 64 * 1024;

/// A part of a file that is read at a time.
const BUFFER_BYTES: usize = 256 * 1024;

/// The unit of the numbers in a file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PointUnit {
    /// Metres: what most scanners write.
    #[default]
    Metres,
    /// Millimetres.
    Millimetres,
    /// Centimetres.
    Centimetres,
    /// Inches.
    Inches,
    /// Feet (international, 12 inches).
    Feet,
}

impl PointUnit {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Metres,
        Self::Millimetres,
        Self::Centimetres,
        Self::Inches,
        Self::Feet,
    ];

    /// The length of one.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            Self::Metres => Length::mm(1000.0),
            Self::Millimetres => Length::mm(1.0),
            Self::Centimetres => Length::mm(10.0),
            Self::Inches => Length::inches(1.0),
            Self::Feet => Length::inches(12.0),
        }
    }

    /// How it is written: `m`, `mm`, `cm`, `in` or `ft`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Millimetres => "mm",
            Self::Centimetres => "cm",
            Self::Inches => "in",
            Self::Feet => "ft",
        }
    }
}

/// How a file is to be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HowToRead {
    /// The columns of the three numbers; where they are not given, those called x, y, z or
    /// along, up, off, and without names the first three.
    pub columns: Option<[Column; 3]>,
    /// The unit of the numbers.
    pub unit: PointUnit,
}

/// What a file turned out to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// PLY written as text.
    PlyText,
    /// PLY, little end first.
    PlyLittleEndian,
    /// PLY, big end first.
    PlyBigEndian,
    /// Columns of numbers parted by this byte; a blank stands for any blanks.
    Table(u8),
}

/// The points of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Points {
    /// The points whose numbers are numbers, in mm.
    pub points: Vec<Point3<f64>>,
    /// How many others there were: NaN or infinite.
    pub not_numbers: usize,
    /// What the file is.
    pub format: Format,
    /// What the columns are called, or their numbers.
    pub columns: [String; 3],
    /// What is odd about the file though it was read.
    pub warnings: Vec<String>,
}

/// Reads all points of a file.
///
/// # Errors
/// [`ReadError`] says where, what was read, and what would do.
pub fn read(input: impl Read, how: &HowToRead) -> Result<Points, ReadError> {
    let mut input = BufReader::with_capacity(BUFFER_BYTES, input);
    let mut head = Vec::new();
    input
        .by_ref()
        .take(HEAD_BYTES)
        .read_to_end(&mut head)
        .map_err(|error| ReadError::io(Place::File, &error))?;
    if head.is_empty() {
        return Err(ReadError::new(
            Place::File,
            "the file is empty",
            "write the points again",
        ));
    }
    let is_ply = head.starts_with(b"ply") && matches!(head.get(3), Some(b'\r' | b'\n' | b' '));
    let whole = head.as_slice().chain(input);
    if is_ply {
        ply::read(whole, how)
    } else {
        table::read(whole, &head, how)
    }
}

/// The points as they are gathered.
struct Gathered {
    scale: f64,
    points: Vec<Point3<f64>>,
    not_numbers: usize,
}

impl Gathered {
    fn new(how: &HowToRead) -> Self {
        Self {
            scale: how.unit.length().as_mm(),
            points: Vec::new(),
            not_numbers: 0,
        }
    }

    fn push(&mut self, raw: [f64; 3]) -> Result<(), ReadError> {
        let [x, y, z] = raw.map(|number| number * self.scale);
        if !(x.is_finite() && y.is_finite() && z.is_finite()) {
            self.not_numbers += 1;
            return Ok(());
        }
        if self.points.len() >= MOST_POINTS {
            return Err(ReadError::new(
                Place::File,
                format!("there are more than {MOST_POINTS} points"),
                "thin them where they were taken, or cut out the part around the wall",
            ));
        }
        self.points.push(Point3::new(x, y, z));
        Ok(())
    }

    fn done(self, format: Format, columns: [String; 3], warnings: Vec<String>) -> Points {
        Points {
            points: self.points,
            not_numbers: self.not_numbers,
            format,
            columns,
            warnings,
        }
    }
}

/// One line without its end, at most `most` bytes of it; `None` at the end of the file.
fn line_of(
    input: &mut impl BufRead,
    line: &mut Vec<u8>,
    most: u64,
) -> std::io::Result<Option<LineEnd>> {
    line.clear();
    let read = input.by_ref().take(most).read_until(b'\n', line)?;
    if read == 0 {
        return Ok(None);
    }
    let ended = line.ends_with(b"\n");
    while line.last().is_some_and(u8::is_ascii_whitespace) {
        line.pop();
    }
    let full = !ended && read as u64 == most;
    Ok(Some(if full {
        LineEnd::TooLong
    } else {
        LineEnd::Here
    }))
}

/// How a line ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LineEnd {
    /// With the line or the file.
    Here,
    /// Not within the bytes that a line may have.
    TooLong,
}
