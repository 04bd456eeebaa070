//! The shapes of a job file: alternatives. Each has a name and the changes that make it of the job
//! as it stands; only what differs is written.

use std::fmt;

use ron::value::RawValue;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// One way to do it otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alternative {
    /// What it is called.
    pub name: String,
    /// A remark.
    #[serde(default)]
    pub note: String,
    /// What differs, in order: each change is made on what those before it have left.
    pub changes: Vec<Change>,
}

/// One field that differs: `(field: "design.balusters.section", is: Round("5/8"))`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// The field's path, as messages write it: `design.newels[0].height`. A field that is not
    /// written yet is added; so is a list's item one past its last.
    pub field: String,
    /// Its other value, written as it would stand in its place.
    #[serde(default, skip_serializing_if = "Written::is_absent")]
    pub is: Written,
    /// It is taken out instead: a list's item, or a field that then takes its default.
    #[serde(default)]
    pub remove: bool,
}

/// A value of any kind, kept as it is written; which field it is for tells what it may be.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written(String);

impl Written {
    /// The text as it is written, without blanks and comments around it; empty where there is none.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0
    }

    /// True where nothing is written.
    #[must_use]
    pub fn is_absent(&self) -> bool {
        self.0.is_empty()
    }
}

impl fmt::Display for Written {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw = Box::<RawValue>::deserialize(deserializer)?;
        Ok(Self(raw.trim().get_ron().to_owned()))
    }
}

impl Serialize for Written {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        RawValue::from_ron(&self.0)
            .map_err(serde::ser::Error::custom)?
            .serialize(serializer)
    }
}
