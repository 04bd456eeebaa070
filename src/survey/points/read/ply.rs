//! The body of a PLY file.
//!
//! Binary bodies are read by ply-rs-bw, a part at a time, so that a header which lies about its
//! count cannot ask for memory. Text bodies are split here: that library refuses `nan`, which
//! scanners write where nothing came back, and cannot say which number of a line is wrong.

use std::io::{BufRead, ErrorKind};

use ply_rs_bw::parser::{Parser, Reader};
use ply_rs_bw::ply::{
    Addable as _, ElementDef, Encoding, Header as LibraryHeader, Property, PropertyAccess,
    PropertyAccessResult, PropertyDef, PropertyType,
};

use crate::measure::grouped;

use super::error::{Place, ReadError, shown};
use super::ply_header::{self, Element, Header};
use super::{Format, Gathered, HowToRead, LineEnd, Points, columns, line_of};

/// How many items are read at a time.
const PART: usize = 64 * 1024;

/// No line of a text body is longer than this.
const LONGEST_LINE: u64 = 1024 * 1024;

/// The names that the three numbers of a point go by here, whatever the file calls them.
const OWN: [&str; 3] = ["x", "y", "z"];

pub(super) fn read(mut input: impl BufRead, how: &HowToRead) -> Result<Points, ReadError> {
    let header = ply_header::read(&mut input)?;
    let places = places(&header, how)?;
    let names = names_of(&header, places);
    let mut gathered = Gathered::new(how);
    let warnings = match header.encoding {
        Encoding::Ascii => text(&mut input, &header, places, &mut gathered)?,
        _ => binary(input, &header, places, &mut gathered)?,
    };
    let format = match header.encoding {
        Encoding::Ascii => Format::PlyText,
        Encoding::BinaryLittleEndian => Format::PlyLittleEndian,
        Encoding::BinaryBigEndian => Format::PlyBigEndian,
    };
    Ok(gathered.done(format, names, warnings))
}

fn vertices(header: &Header) -> Option<&Element> {
    header.elements.iter().find(|one| one.name == "vertex")
}

/// Which properties of a vertex make the point.
fn places(header: &Header, how: &HowToRead) -> Result<[usize; 3], ReadError> {
    let Some(vertex) = vertices(header) else {
        return Err(ReadError::new(
            Place::File,
            "the header has no element `vertex`",
            "points stand in an element of that name",
        ));
    };
    let names: Vec<String> = vertex
        .properties
        .iter()
        .map(|one| one.name.clone())
        .collect();
    let places = columns::among(&names, how.columns.as_ref(), Place::File)?;
    for place in places {
        if matches!(vertex.properties[place].data_type, PropertyType::List(..)) {
            return Err(ReadError::new(
                Place::File,
                format!("the property `{}` is a list", names[place]),
                "name one that is a number",
            ));
        }
    }
    Ok(places)
}

fn names_of(header: &Header, places: [usize; 3]) -> [String; 3] {
    let properties = vertices(header).map(|vertex| vertex.properties.as_slice());
    places.map(|place| {
        let property = properties.and_then(|all| all.get(place));
        property.map_or_else(String::new, |one| one.name.clone())
    })
}

/// What was found too few of.
fn cut_short(place: Place, element: &Element, read: usize) -> ReadError {
    ReadError::new(
        place,
        format!(
            "the file ends after {} of the {} items of `{}` that its header declares",
            grouped(read),
            grouped(element.count),
            element.name
        ),
        "it was cut short, or its count is wrong; write it again",
    )
}

/// The three numbers of a vertex; any other property is let go.
#[derive(Clone, Copy, Debug)]
struct Vertex([f64; 3]);

impl Vertex {
    fn set(&mut self, name: &str, value: f64) -> PropertyAccessResult {
        if let Some(place) = OWN.iter().position(|own| *own == name) {
            self.0[place] = value;
        }
        PropertyAccessResult::Set
    }
}

impl PropertyAccess for Vertex {
    fn new() -> Self {
        Self([f64::NAN; 3])
    }

    fn set_float(&mut self, name: &str, value: f32) -> PropertyAccessResult {
        self.set(name, value.into())
    }

    fn set_double(&mut self, name: &str, value: f64) -> PropertyAccessResult {
        self.set(name, value)
    }

    fn set_property(&mut self, name: &str, property: Property) -> PropertyAccessResult {
        match property {
            Property::Char(value) => self.set(name, value.into()),
            Property::UChar(value) => self.set(name, value.into()),
            Property::Short(value) => self.set(name, value.into()),
            Property::UShort(value) => self.set(name, value.into()),
            Property::Int(value) => self.set(name, value.into()),
            Property::UInt(value) => self.set(name, value.into()),
            Property::Float(value) => self.set(name, value.into()),
            Property::Double(value) => self.set(name, value),
            _list => PropertyAccessResult::Set,
        }
    }
}

/// The element as the library takes it, the point's properties under their own names here and all
/// others under names that the library takes for none of them.
fn definition(element: &Element, places: Option<[usize; 3]>) -> ElementDef {
    let mut made = ElementDef::new(element.name.clone());
    for (at, property) in element.properties.iter().enumerate() {
        let own = places.and_then(|places| places.iter().position(|place| *place == at));
        let name = own.map_or_else(|| format!("-{at}"), |own| OWN[own].to_owned());
        made.properties
            .add(PropertyDef::new(name, property.data_type.clone()));
    }
    made
}

fn binary(
    input: impl BufRead,
    header: &Header,
    places: [usize; 3],
    gathered: &mut Gathered,
) -> Result<Vec<String>, ReadError> {
    let mut library = LibraryHeader::new();
    library.encoding = header.encoding;
    let parser = Parser::<Vertex>::new();
    let mut reader = Reader::new(input);
    for element in &header.elements {
        let wanted = (element.name == "vertex").then_some(places);
        let mut part = definition(element, wanted);
        let mut done = 0;
        while done < element.count {
            part.count = PART.min(element.count - done);
            let before = reader.line().max(1);
            let read = parser.read_payload_for_element(&mut reader, &part, &library);
            let items = read.map_err(|error| {
                // The library counts an item as a line.
                let whole = done + reader.line().saturating_sub(before);
                let place = Place::Item(whole as u64 + 1);
                match error.kind() {
                    ErrorKind::UnexpectedEof => cut_short(place, element, whole),
                    _ => ReadError::new(
                        place,
                        format!(
                            "an item of `{}` cannot be read: {}",
                            element.name,
                            plain(&error)
                        ),
                        "the count of an element before it may be wrong; write the file again",
                    ),
                }
            })?;
            if wanted.is_some() {
                for Vertex(raw) in items {
                    gathered.push(raw)?;
                }
            }
            done += part.count;
        }
    }
    let over = bytes_left(reader.get_mut())?;
    Ok(over_warning(over, header, "bytes"))
}

/// The library's message on one line.
fn plain(error: &impl ToString) -> String {
    let text = error.to_string();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn over_warning(over: u64, header: &Header, what: &str) -> Vec<String> {
    if over == 0 {
        return Vec::new();
    }
    let last = header.elements.last().map_or("", |last| last.name.as_str());
    let over = grouped(usize::try_from(over).unwrap_or(usize::MAX));
    vec![format!(
        "{over} {what} follow the last `{last}` that the header declares and are not read; the \
         header's count is too small, or the file has something behind it"
    )]
}

fn bytes_left(input: &mut impl BufRead) -> Result<u64, ReadError> {
    let mut count = 0;
    loop {
        let length = match input.fill_buf() {
            Ok(bytes) => bytes.len(),
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            Err(error) => return Err(ReadError::io(Place::File, &error)),
        };
        if length == 0 {
            return Ok(count);
        }
        count += length as u64;
        input.consume(length);
    }
}

fn text(
    input: &mut impl BufRead,
    header: &Header,
    places: [usize; 3],
    gathered: &mut Gathered,
) -> Result<Vec<String>, ReadError> {
    let mut number = header.lines;
    let mut line = Vec::new();
    for element in &header.elements {
        let mut read = 0;
        while read < element.count {
            number += 1;
            let place = Place::Line(number);
            match next(input, &mut line, place)? {
                None => return Err(cut_short(place, element, read)),
                Some(()) if line.is_empty() => continue,
                Some(()) => read += 1,
            }
            if element.name == "vertex" {
                gathered.push(numbers(&line, element, places, place)?)?;
            }
        }
    }
    let mut over = 0;
    while next(input, &mut line, Place::Line(number + 1))?.is_some() {
        number += 1;
        over += u64::from(!line.is_empty());
    }
    Ok(over_warning(over, header, "lines"))
}

fn next(
    input: &mut impl BufRead,
    line: &mut Vec<u8>,
    place: Place,
) -> Result<Option<()>, ReadError> {
    match line_of(input, line, LONGEST_LINE) {
        Ok(None) => Ok(None),
        Ok(Some(LineEnd::Here)) => Ok(Some(())),
        Ok(Some(LineEnd::TooLong)) => Err(ReadError::new(
            place,
            "the line does not end",
            "is this a binary file whose header says ascii?",
        )),
        Err(error) => Err(ReadError::io(place, &error)),
    }
}

/// The three numbers of a vertex's line.
fn numbers(
    line: &[u8],
    element: &Element,
    places: [usize; 3],
    place: Place,
) -> Result<[f64; 3], ReadError> {
    let mut words = line
        .split(u8::is_ascii_whitespace)
        .filter(|word| !word.is_empty());
    let mut point = [f64::NAN; 3];
    for (at, property) in element.properties.iter().enumerate() {
        let name = &property.name;
        let word = words.next().ok_or_else(|| too_few(place, name, line))?;
        if let PropertyType::List(..) = property.data_type {
            let count: Option<usize> = parsed(word);
            let count = count.ok_or_else(|| no_number(place, name, word))?;
            for _item in 0..count {
                words.next().ok_or_else(|| too_few(place, name, line))?;
            }
        } else if let Some(own) = places.iter().position(|place| *place == at) {
            point[own] = parsed(word).ok_or_else(|| no_number(place, name, word))?;
        }
    }
    match words.next() {
        None => Ok(point),
        Some(word) => Err(ReadError::new(
            place,
            format!("{} is left over behind the last property", shown(word)),
            "one vertex a line, with the properties of the header",
        )),
    }
}

fn too_few(place: Place, name: &str, line: &[u8]) -> ReadError {
    ReadError::new(
        place,
        format!("{} has nothing for the property `{name}`", shown(line)),
        "one vertex a line, with the properties of the header",
    )
}

fn no_number(place: Place, name: &str, word: &[u8]) -> ReadError {
    ReadError::new(
        place,
        format!("{} for `{name}` is no number", shown(word)),
        "write it as 1.234 or 1.234e-3",
    )
}

/// A number of a text.
pub(super) fn parsed<T: std::str::FromStr>(word: &[u8]) -> Option<T> {
    std::str::from_utf8(word).ok()?.parse().ok()
}
