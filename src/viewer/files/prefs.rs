//! What the user set for every job: the size of the text, paper or slate, that the tour was shown.

use std::path::{Path, PathBuf};

use serde_json::{Map, Value};

use super::state;

/// The sizes of the text, percent.
pub(in crate::viewer) const TEXT: [u32; 8] = [75, 90, 100, 115, 130, 150, 175, 200];
/// The size as the window comes.
pub(in crate::viewer) const PLAIN_TEXT: u32 = 100;

/// The preferences.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Prefs {
    /// The size of the text, percent: one of [`TEXT`].
    pub(in crate::viewer) text: u32,
    /// The tour was shown or declined.
    pub(in crate::viewer) toured: bool,
    /// It is drawn on slate.
    pub(in crate::viewer) slate: bool,
    /// What other versions of the program wrote stays.
    others: Map<String, Value>,
}

impl Default for Prefs {
    fn default() -> Self {
        Self {
            text: PLAIN_TEXT,
            toured: false,
            slate: false,
            others: Map::new(),
        }
    }
}

fn file(folder: &Path) -> PathBuf {
    folder.join("preferences.json")
}

impl Prefs {
    /// As they were written; each that cannot be read is as the window comes.
    pub(super) fn load(folder: &Path) -> Self {
        let Some(Value::Object(mut all)) = state::read_json(&file(folder)) else {
            return Self::default();
        };
        let text = all.remove("text").and_then(|size| size.as_u64());
        let text = text.and_then(|size| u32::try_from(size).ok());
        let mut flag = |name| all.remove(name).and_then(|value| value.as_bool());
        let (toured, slate) = (flag("toured"), flag("slate"));
        Self {
            text: text.map_or(PLAIN_TEXT, nearest),
            toured: toured.unwrap_or(false),
            slate: slate.unwrap_or(false),
            others: all,
        }
    }

    /// Writes them down.
    pub(super) fn store(&self, folder: &Path) -> std::io::Result<()> {
        let mut all = self.others.clone();
        all.insert("text".to_owned(), Value::from(self.text));
        all.insert("toured".to_owned(), Value::from(self.toured));
        all.insert("slate".to_owned(), Value::from(self.slate));
        let whole = Value::Object(all).to_string();
        state::write_whole(&file(folder), whole.as_bytes())
    }

    /// The next size of the text, larger or smaller.
    pub(in crate::viewer) fn text_step(&self, larger: bool) -> u32 {
        let at = TEXT.iter().position(|size| *size == self.text).unwrap_or(2);
        let next = if larger { at + 1 } else { at.saturating_sub(1) };
        TEXT[next.min(TEXT.len() - 1)]
    }
}

/// The nearest size that there is.
fn nearest(asked: u32) -> u32 {
    let near = TEXT.into_iter().min_by_key(|size| size.abs_diff(asked));
    near.unwrap_or(PLAIN_TEXT)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_come_back_as_set_and_what_another_version_wrote_stays() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(file(folder.path()), r#"{"later": [1], "text": 148}"#).unwrap();
        let mut prefs = Prefs::load(folder.path());
        assert_eq!((prefs.text, prefs.toured), (150, false));
        prefs.toured = true;
        prefs.slate = true;
        prefs.store(folder.path()).unwrap();
        assert_eq!(Prefs::load(folder.path()), prefs);
        assert_eq!(prefs.others.get("later"), Some(&serde_json::json!([1])));
    }

    #[test]
    fn garbage_is_as_the_window_comes() {
        let folder = tempfile::tempdir().unwrap();
        for garbage in [
            "",
            "[]",
            "{\"text\": \"big\"}",
            "{\"text\": -3, \"toured\": 1}",
            "\u{0}",
        ] {
            std::fs::write(file(folder.path()), garbage).unwrap();
            assert_eq!(Prefs::load(folder.path()), Prefs::default(), "{garbage}");
        }
        std::fs::write(file(folder.path()), r#"{"text": 999999999999}"#).unwrap();
        assert_eq!(Prefs::load(folder.path()).text, PLAIN_TEXT);
    }

    #[test]
    fn text_goes_by_steps_and_stops_at_its_ends() {
        let mut prefs = Prefs::default();
        for _ in 0..20 {
            prefs.text = prefs.text_step(true);
        }
        assert_eq!(prefs.text, 200);
        for _ in 0..20 {
            prefs.text = prefs.text_step(false);
        }
        assert_eq!(prefs.text, 75);
    }
}
