//! Fields of JSON, read with care: what is there is told when it is not what it should be.

use serde_json::{Map, Value};

use super::{Unread, shown};

/// A struct of JSON and where it stands.
pub(super) struct Fields<'v> {
    at: String,
    map: &'v Map<String, Value>,
}

impl<'v> Fields<'v> {
    /// Of a value at a place; the whole stands at "".
    pub(super) fn of(value: &'v Value, at: &str) -> Result<Self, Unread> {
        match value {
            Value::Object(map) => Ok(Self {
                at: at.to_owned(),
                map,
            }),
            other => Err(Unread::at(
                at,
                format!("this is {}, not {{...}}", kind(other)),
                AS_WRITTEN,
            )),
        }
    }

    pub(super) fn get(&self, name: &str) -> Option<&'v Value> {
        self.map.get(name)
    }

    /// Where a field stands.
    pub(super) fn path(&self, name: &str) -> String {
        if self.at.is_empty() {
            name.to_owned()
        } else {
            format!("{}.{name}", self.at)
        }
    }

    /// A text; absent or null is none.
    pub(super) fn text(&self, name: &str, most: usize) -> Result<Option<&'v str>, Unread> {
        let text = match self.get(name) {
            None | Some(Value::Null) => return Ok(None),
            Some(Value::String(text)) => text,
            Some(other) => {
                return Err(Unread::at(
                    self.path(name),
                    format!("this is {}, not text", kind(other)),
                    AS_WRITTEN,
                ));
            }
        };
        let long = text.chars().count();
        if long > most {
            return Err(Unread::at(
                self.path(name),
                format!(
                    "it is {long} characters long, {most} at most: {}",
                    shown(text)
                ),
                "ask for it shorter, or write it into the job by hand",
            ));
        }
        Ok(Some(text))
    }

    /// The names of fields that are not among those known.
    pub(super) fn unknown(&self, known: &[&str]) -> Vec<String> {
        let names = self
            .map
            .keys()
            .filter(|name| !known.contains(&name.as_str()));
        names.map(|name| self.path(name)).collect()
    }
}

/// What would do where a value is of another kind.
pub(super) const AS_WRITTEN: &str = "ask for the answers again, as the page saves them";

/// What a value is, in words, shortened.
pub(super) fn kind(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(is) => format!("{is}"),
        Value::Number(number) => format!("the number {number}"),
        Value::String(text) => format!("the text {}", shown(text)),
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "{...}".to_owned(),
    }
}
