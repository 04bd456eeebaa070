//! Columns of numbers: a point a row, parted by commas, semicolons, tabs or blanks.

use std::io::BufRead;

use super::error::{Place, ReadError, shown};
use super::ply::parsed;
use super::{Format, Gathered, HowToRead, LineEnd, Points, columns, line_of};

/// No row parted by blanks is longer than this.
const LONGEST_LINE: u64 = 64 * 1024;

/// How many rows are looked at for what parts them.
const LOOKED_AT: usize = 20;

pub(super) fn read(input: impl BufRead, head: &[u8], how: &HowToRead) -> Result<Points, ReadError> {
    let parted = parted_by(head)?;
    let mut rows = Rows {
        how,
        gathered: Gathered::new(how),
        places: None,
        names: None,
    };
    match parted {
        b' ' => by_blanks(input, &mut rows)?,
        parted => by_marks(input, parted, &mut rows)?,
    }
    let Some(places) = rows.places else {
        return Err(ReadError::new(
            Place::File,
            "the file has no rows",
            "one point a row, as 1.234, 5.678, 0.012",
        ));
    };
    let names = places.map(|place| {
        let name = rows.names.as_ref().and_then(|names| names.get(place));
        name.map_or_else(|| (place + 1).to_string(), Clone::clone)
    });
    Ok(rows.gathered.done(Format::Table(parted), names, Vec::new()))
}

/// What parts the columns: the first of tab, semicolon and comma that stands at least twice in
/// every row looked at, else blanks.
fn parted_by(head: &[u8]) -> Result<u8, ReadError> {
    if let Some(at) = head.iter().position(|byte| *byte == 0) {
        return Err(ReadError::new(
            Place::File,
            format!("this is neither PLY nor text: byte {at} is zero"),
            "write the points as PLY, or as rows of numbers",
        ));
    }
    let rows: Vec<&[u8]> = head
        .split(|byte| *byte == b'\n')
        .filter(|line| !is_remark(line))
        .take(LOOKED_AT)
        .collect();
    // The last line looked at may be half a line.
    let whole = match rows.len() {
        0 | 1 => rows.as_slice(),
        more => &rows[..more - 1],
    };
    let parts = |mark: &u8| {
        !whole.is_empty()
            && whole
                .iter()
                .all(|line| line.iter().filter(|byte| *byte == mark).count() >= 2)
    };
    Ok([b'\t', b';', b','].into_iter().find(parts).unwrap_or(b' '))
}

/// True for an empty line and for one that begins with `#` or `//`.
fn is_remark(line: &[u8]) -> bool {
    let line = line.trim_ascii();
    line.is_empty() || line.starts_with(b"#") || line.starts_with(b"//")
}

fn by_marks(input: impl BufRead, mark: u8, rows: &mut Rows<'_>) -> Result<(), ReadError> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(mark)
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(input);
    let mut record = csv::ByteRecord::new();
    loop {
        let line = reader.position().line();
        let more = reader.read_byte_record(&mut record).map_err(|error| {
            ReadError::new(
                Place::Line(line),
                format!("the row cannot be read: {error}"),
                "one point a row",
            )
        })?;
        if !more {
            return Ok(());
        }
        let line = record.position().map_or(line, csv::Position::line);
        if record
            .get(0)
            .is_some_and(|first| first.trim_ascii().starts_with(b"//"))
        {
            continue;
        }
        if record.iter().all(|field| field.trim_ascii().is_empty()) {
            continue;
        }
        rows.take(Place::Line(line), record.len(), |at| record.get(at))?;
    }
}

fn by_blanks(mut input: impl BufRead, rows: &mut Rows<'_>) -> Result<(), ReadError> {
    let mut line = Vec::new();
    let mut ends: Vec<(usize, usize)> = Vec::new();
    let mut number = 0;
    loop {
        number += 1;
        let place = Place::Line(number);
        let ended = line_of(&mut input, &mut line, LONGEST_LINE);
        match ended.map_err(|error| ReadError::io(place, &error))? {
            None => return Ok(()),
            Some(LineEnd::Here) => {}
            Some(LineEnd::TooLong) => {
                return Err(ReadError::new(
                    place,
                    "the line does not end",
                    "one point a row, as 1.234 5.678 0.012",
                ));
            }
        }
        if is_remark(&line) {
            continue;
        }
        ends.clear();
        let mut start = None;
        for (at, byte) in line.iter().enumerate() {
            match (byte.is_ascii_whitespace(), start) {
                (true, Some(from)) => {
                    ends.push((from, at));
                    start = None;
                }
                (false, None) => start = Some(at),
                _ => {}
            }
        }
        if let Some(from) = start {
            ends.push((from, line.len()));
        }
        rows.take(place, ends.len(), |at| {
            ends.get(at).map(|(from, to)| &line[*from..*to])
        })?;
    }
}

/// The rows as they come.
struct Rows<'h> {
    how: &'h HowToRead,
    gathered: Gathered,
    places: Option<[usize; 3]>,
    names: Option<Vec<String>>,
}

impl Rows<'_> {
    fn take<'r>(
        &mut self,
        place: Place,
        width: usize,
        field: impl Fn(usize) -> Option<&'r [u8]>,
    ) -> Result<(), ReadError> {
        let places = match self.places {
            Some(places) => places,
            None => {
                let named = self.begin(place, width, &field)?;
                match (named, self.places) {
                    (false, Some(places)) => places,
                    _ => return Ok(()),
                }
            }
        };
        let mut point = [0.0; 3];
        for (number, at) in point.iter_mut().zip(places) {
            *number = self.number(place, at, width, field(at))?;
        }
        self.gathered.push(point)
    }

    /// Finds the columns at the first row; true where it holds their names.
    fn begin<'r>(
        &mut self,
        place: Place,
        width: usize,
        field: &impl Fn(usize) -> Option<&'r [u8]>,
    ) -> Result<bool, ReadError> {
        let fields = || (0..width).filter_map(field).map(<[u8]>::trim_ascii);
        let numbers = fields().filter(|word| parsed::<f64>(word).is_some());
        let wanted = self.how.columns.as_ref();
        if numbers.count() >= 3 {
            self.places = Some(columns::unnamed(wanted, place)?);
            return Ok(false);
        }
        let names: Vec<String> = fields()
            .map(|word| String::from_utf8_lossy(word).into_owned())
            .collect();
        self.places = Some(columns::among(&names, wanted, place)?);
        self.names = Some(names);
        Ok(true)
    }

    fn number(
        &self,
        place: Place,
        at: usize,
        width: usize,
        field: Option<&[u8]>,
    ) -> Result<f64, ReadError> {
        let column = match self.names.as_ref().and_then(|names| names.get(at)) {
            Some(name) => format!("`{name}`"),
            None => (at + 1).to_string(),
        };
        let Some(word) = field.map(<[u8]>::trim_ascii) else {
            return Err(ReadError::new(
                place,
                format!("the row has {width} columns, so none for column {column}"),
                "every row has the same columns",
            ));
        };
        parsed(word).ok_or_else(|| {
            let help = if word.contains(&b',') {
                "write a point, not a comma, before the decimals"
            } else {
                "write it as 1.234 or 1.234e-3"
            };
            ReadError::new(
                place,
                format!("{} in column {column} is no number", shown(word)),
                help,
            )
        })
    }
}
