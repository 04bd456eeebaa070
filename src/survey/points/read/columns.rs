//! [`Column`]: which numbers of a row or vertex make the point.

use std::str::FromStr;

use super::error::{Place, ReadError};

/// The names that are looked for where no columns are given.
const USUAL: [[&str; 3]; 2] = [["x", "y", "z"], ["along", "up", "off"]];

/// A column by its name or its number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Column {
    /// Its name, in capitals or not.
    Name(String),
    /// Its number, counted from 1.
    Number(usize),
}

/// Why three columns are not understood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}; write three names or numbers, as x,y,z or 1,2,3")]
pub struct ColumnsError(String);

impl FromStr for Column {
    type Err = ColumnsError;

    fn from_str(text: &str) -> Result<Self, ColumnsError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(ColumnsError("a column has no name".to_owned()));
        }
        Ok(match text.parse() {
            Ok(0) => return Err(ColumnsError("columns count from 1".to_owned())),
            Ok(number) => Self::Number(number),
            Err(_a_name) => Self::Name(text.to_owned()),
        })
    }
}

impl Column {
    /// Three columns with commas between.
    ///
    /// # Errors
    /// Where there are not three, or two are one.
    pub fn three(text: &str) -> Result<[Self; 3], ColumnsError> {
        let columns: Vec<Self> = text
            .split(',')
            .map(str::parse)
            .collect::<Result<_, ColumnsError>>()?;
        let count = columns.len();
        let three: [Self; 3] = columns
            .try_into()
            .map_err(|_others| ColumnsError(format!("{count} columns make no point")))?;
        if three[0] == three[1] || three[1] == three[2] || three[0] == three[2] {
            return Err(ColumnsError("a column is named twice".to_owned()));
        }
        Ok(three)
    }
}

/// The places of the three columns among named ones.
pub(super) fn among(
    names: &[String],
    wanted: Option<&[Column; 3]>,
    place: Place,
) -> Result<[usize; 3], ReadError> {
    let at = |name: &str| names.iter().position(|own| own.eq_ignore_ascii_case(name));
    let Some(wanted) = wanted else {
        for usual in USUAL {
            if let [Some(a), Some(b), Some(c)] = usual.map(at) {
                return Ok([a, b, c]);
            }
        }
        return Err(ReadError::new(
            place,
            format!("there are no columns x, y, z; there are {}", listed(names)),
            "name the three that hold the points, as --columns east,north,height",
        ));
    };
    let mut places = [0; 3];
    for (place_of, column) in places.iter_mut().zip(wanted) {
        let found = match column {
            Column::Name(name) => at(name),
            Column::Number(number) => Some(number - 1).filter(|at| *at < names.len()),
        };
        *place_of = found.ok_or_else(|| {
            ReadError::new(
                place,
                format!("there is no column {}", called(column)),
                format!("there are {}", listed(names)),
            )
        })?;
    }
    Ok(places)
}

/// The places of the three columns where none has a name.
pub(super) fn unnamed(wanted: Option<&[Column; 3]>, place: Place) -> Result<[usize; 3], ReadError> {
    let Some(wanted) = wanted else {
        return Ok([0, 1, 2]);
    };
    let mut places = [0; 3];
    for (place_of, column) in places.iter_mut().zip(wanted) {
        *place_of = match column {
            Column::Number(number) => number - 1,
            Column::Name(name) => {
                return Err(ReadError::new(
                    place,
                    format!("the first row has no names, so there is no column `{name}`"),
                    "give the columns' numbers, as --columns 1,2,3",
                ));
            }
        };
    }
    Ok(places)
}

fn called(column: &Column) -> String {
    match column {
        Column::Name(name) => format!("`{name}`"),
        Column::Number(number) => number.to_string(),
    }
}

fn listed(names: &[String]) -> String {
    const MOST: usize = 12;
    let mut shown: Vec<String> = names
        .iter()
        .take(MOST)
        .map(|name| super::error::shown(name.as_bytes()))
        .collect();
    if names.len() > MOST {
        shown.push(format!("{} more", names.len() - MOST));
    }
    if shown.is_empty() {
        "none".to_owned()
    } else {
        shown.join(", ")
    }
}
