//! The header of a PLY file, read strictly: every line must be understood, no name may stand
//! twice. The grammar of a line is ply-rs-bw's.

use std::collections::BTreeSet;
use std::io::BufRead;

use ply_rs_bw::parser::{Parser, Reader};
use ply_rs_bw::ply::{DefaultElement, Encoding, PropertyDef};

use super::LineEnd;
use super::error::{Place, ReadError, shown};

/// No header is longer than this.
const LONGEST_HEADER: usize = 256 * 1024;

/// One list of things in the file.
#[derive(Debug)]
pub(super) struct Element {
    pub(super) name: String,
    pub(super) count: usize,
    pub(super) properties: Vec<PropertyDef>,
}

/// A header.
#[derive(Debug)]
pub(super) struct Header {
    pub(super) encoding: Encoding,
    pub(super) elements: Vec<Element>,
    /// How many lines it has.
    pub(super) lines: u64,
}

/// Reads up to and with `end_header`.
pub(super) fn read(input: &mut impl BufRead) -> Result<Header, ReadError> {
    let parser = Parser::<DefaultElement>::new();
    let mut draft = Draft::default();
    let mut line = Vec::new();
    loop {
        let place = Place::Line(draft.lines + 1);
        let room = LONGEST_HEADER.saturating_sub(draft.text.len());
        let found = super::line_of(input, &mut line, room as u64)
            .map_err(|error| ReadError::io(place, &error))?;
        if room == 0 || found == Some(LineEnd::TooLong) {
            return Err(ReadError::new(place, "the header does not end", CLOSES));
        }
        if found.is_none() {
            return Err(ReadError::new(
                place,
                "the file ends within the header",
                CLOSES,
            ));
        }
        let text = String::from_utf8_lossy(&line);
        if parser.read_header_line(&text).is_err() {
            return Err(ReadError::new(
                place,
                format!("{} is no line of a PLY header", shown(&line)),
                "its lines are format, comment, element NAME COUNT, property TYPE NAME, \
                 property list TYPE TYPE NAME, and end_header",
            ));
        }
        draft.lines += 1;
        draft.text += &text;
        draft.text.push('\n');
        if draft.take(&text, place)? {
            return draft.done(&parser);
        }
    }
}

const CLOSES: &str = "a PLY header closes with a line `end_header`; copy the file again";

/// The header as far as it is read.
#[derive(Default)]
struct Draft {
    lines: u64,
    text: String,
    has_format: bool,
    elements: BTreeSet<String>,
    /// Of the last element.
    properties: BTreeSet<String>,
}

impl Draft {
    /// Takes one line of good form; true at the header's end. The library lets a second element or
    /// property of a name take the place of the first, and the body would then be read askew.
    fn take(&mut self, line: &str, place: Place) -> Result<bool, ReadError> {
        let refuse = |problem: String, help: &str| Err(ReadError::new(place, problem, help));
        let words: Vec<&str> = line.split_whitespace().collect();
        let first = words.first().copied().unwrap_or_default();
        let name = match first {
            "element" => words.get(1),
            _ => words.last(),
        };
        let name = name.copied().unwrap_or_default();
        match first {
            "end_header" => return Ok(true),
            "ply" if self.lines > 1 => {
                return refuse(
                    "`ply` stands here again".to_owned(),
                    "it stands first, once",
                );
            }
            "format" if self.has_format => {
                return refuse("the format stands twice".to_owned(), "give it once");
            }
            "format" if name != "1.0" => {
                return refuse(format!("`{name}` is not version 1.0"), "write PLY 1.0");
            }
            "format" => self.has_format = true,
            "element" if !self.elements.insert(name.to_owned()) => {
                return refuse(format!("the element `{name}` stands twice"), "give it once");
            }
            "element" => self.properties.clear(),
            "property" if self.elements.is_empty() => {
                return refuse(
                    format!("the property `{name}` belongs to no element"),
                    "an element comes before its properties",
                );
            }
            "property" if !self.properties.insert(name.to_owned()) => {
                return refuse(
                    format!("the property `{name}` stands twice"),
                    "give it once",
                );
            }
            _ => {}
        }
        Ok(false)
    }

    fn done(self, parser: &Parser<DefaultElement>) -> Result<Header, ReadError> {
        let refuse = |problem: String, help: &str| Err(ReadError::new(Place::File, problem, help));
        if !self.has_format {
            return refuse(
                "the header has no line `format`".to_owned(),
                "write `format ascii 1.0`, or binary_little_endian or binary_big_endian",
            );
        }
        let read = match parser.read_header(&mut Reader::new(self.text.as_bytes())) {
            Ok(read) => read,
            // Every line has passed, so that only a count past 64 bits is left.
            Err(error) => {
                let told = error.to_string();
                let told: Vec<&str> = told.split_whitespace().collect();
                return refuse(
                    format!("the header cannot be read: {}", told.join(" ")),
                    "are its counts right?",
                );
            }
        };
        let elements: Vec<Element> = read
            .elements
            .into_values()
            .map(|element| Element {
                name: element.name,
                count: element.count,
                properties: element.properties.into_values().collect(),
            })
            .collect();
        if let Some(bare) = elements
            .iter()
            .find(|one| one.properties.is_empty() && one.count > 0)
        {
            return refuse(
                format!("the element `{}` has no properties", bare.name),
                "give it some, or take it out",
            );
        }
        Ok(Header {
            encoding: read.encoding,
            elements,
            lines: self.lines,
        })
    }
}
