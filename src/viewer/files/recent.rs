//! The jobs that were opened or saved last: a path and a time each, and nothing else.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::state;

/// So many are kept.
const MOST: usize = 12;

/// A job that was open before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Recent {
    /// Where it is.
    pub(in crate::viewer) path: PathBuf,
    /// When it was opened or saved last, seconds since 1970.
    pub(in crate::viewer) at: u64,
}

fn file(folder: &Path) -> PathBuf {
    folder.join("recent.json")
}

/// The list, the latest first. What cannot be read is no list.
pub(super) fn load(folder: &Path) -> Vec<Recent> {
    let all = state::read_json(&file(folder));
    let all = all.as_ref().and_then(Value::as_array);
    let one = |value: &Value| {
        let path = PathBuf::from(value.get("path")?.as_str()?);
        let at = value.get("at").and_then(Value::as_u64).unwrap_or(0);
        path.is_absolute().then_some(Recent { path, at })
    };
    all.map_or_else(Vec::new, |all| {
        all.iter().filter_map(one).take(MOST).collect()
    })
}

/// The list with a job at its head.
pub(super) fn with(mut list: Vec<Recent>, path: &Path, at: u64) -> Vec<Recent> {
    let path = state::settled(path);
    list.retain(|one| one.path != path);
    list.insert(0, Recent { path, at });
    list.truncate(MOST);
    list
}

/// Writes the list down. A path that is no Unicode is left out: it cannot be written so.
pub(super) fn store(folder: &Path, list: &[Recent]) -> std::io::Result<()> {
    let rows = list.iter().filter_map(|one| {
        let path = one.path.to_str()?;
        Some(json!({ "path": path, "at": one.at }))
    });
    let rows = Value::from(rows.collect::<Vec<_>>());
    state::write_whole(&file(folder), rows.to_string().as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_stands_first_once_and_the_oldest_goes() {
        let mut list = Vec::new();
        for at in 0..20_u64 {
            list = with(list, Path::new(&format!("/nowhere/{}.ron", at % 15)), at);
        }
        assert_eq!(list.len(), MOST);
        assert_eq!(list[0].path, Path::new("/nowhere/4.ron"));
        let again = list.iter().filter(|one| one.path == list[0].path).count();
        assert_eq!(again, 1);
    }

    #[test]
    fn it_comes_back_as_written_and_garbage_is_no_list() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(load(folder.path()), []);
        let list = with(Vec::new(), &folder.path().join("stair.ron"), 7);
        store(folder.path(), &list).unwrap();
        assert_eq!(load(folder.path()), list);
        for garbage in ["", "{", "[{\"path\": 3}, 4, {}]", "\u{0}\u{1}", "[[[["] {
            std::fs::write(file(folder.path()), garbage).unwrap();
            assert_eq!(load(folder.path()), [], "{garbage}");
        }
    }
}
