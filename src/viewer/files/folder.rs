//! What stands in a folder, for choosing a job: a typed path names the folder, and what is typed
//! behind it narrows the list.

use std::path::{MAIN_SEPARATOR, Path, PathBuf};

/// So many entries are listed; a folder of jobs has fewer.
const MOST: usize = 500;

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Entry {
    /// Its name.
    pub(in crate::viewer) name: String,
    /// Where it is.
    pub(in crate::viewer) path: PathBuf,
    /// A folder to go into.
    pub(in crate::viewer) folder: bool,
}

/// A folder's jobs and folders.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::viewer) struct Listing {
    /// The folder.
    pub(in crate::viewer) folder: PathBuf,
    /// What is in it: folders first, each by name.
    pub(in crate::viewer) entries: Vec<Entry>,
    /// Why it cannot be listed.
    pub(in crate::viewer) problem: Option<String>,
    /// There are more than are listed.
    pub(in crate::viewer) more: bool,
}

/// Where a typed path leads: the folder, and what is typed of a name in it. A path that does not
/// begin at the root begins at `base`; `~` is the home.
pub(in crate::viewer) fn split(typed: &str, base: &Path) -> (PathBuf, String) {
    let cut = typed.rfind(['/', MAIN_SEPARATOR]).map_or(0, |at| at + 1);
    let (folder, name) = typed.split_at(cut);
    let home = || std::env::var_os("HOME").map(PathBuf::from);
    let folder = match folder.strip_prefix("~/") {
        Some(rest) => home().unwrap_or_else(|| PathBuf::from("~")).join(rest),
        None => base.join(folder),
    };
    (folder, name.to_owned())
}

/// The file that a typed path names, an ending added where it names no kind.
pub(in crate::viewer) fn named(typed: &str, base: &Path, ending: &str) -> Option<PathBuf> {
    let (folder, name) = split(typed.trim(), base);
    if name.is_empty() {
        return None;
    }
    let path = folder.join(&name);
    // `No. 12 Quarry Lane` has a dot, and no ending.
    let letters = |tail: &str| tail.chars().all(|letter| letter.is_ascii_alphabetic());
    let tail = path.extension().and_then(|tail| tail.to_str());
    Some(if tail.is_some_and(letters) {
        path
    } else {
        folder.join(format!("{name}.{ending}"))
    })
}

/// Reads a folder. What is hidden is left out, as are files whose names end otherwise.
pub(in crate::viewer) fn list(folder: &Path, endings: &[&str]) -> Listing {
    let mut listing = Listing {
        folder: folder.to_owned(),
        ..Listing::default()
    };
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) => {
            let why = match error.kind() {
                std::io::ErrorKind::NotFound => "is not there".to_owned(),
                std::io::ErrorKind::PermissionDenied => "may not be looked into".to_owned(),
                std::io::ErrorKind::NotADirectory => "is no folder".to_owned(),
                _ => format!("cannot be listed: {}", super::state::plain(&error)),
            };
            listing.problem = Some(format!("{} {why}", folder.display()));
            return listing;
        }
    };
    for entry in entries.filter_map(Result::ok) {
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = entry.path();
        // Through links: a link to a folder is gone into like one.
        let is_folder = path.is_dir();
        let tail = path.extension().and_then(|tail| tail.to_str());
        let wanted = tail.is_some_and(|tail| endings.contains(&tail));
        if name.starts_with('.') || !(is_folder || wanted) {
            continue;
        }
        if listing.entries.len() == MOST {
            listing.more = true;
            break;
        }
        listing.entries.push(Entry {
            name,
            path,
            folder: is_folder,
        });
    }
    listing
        .entries
        .sort_by_cached_key(|entry| (!entry.folder, entry.name.to_lowercase()));
    listing
}

/// The entries whose names begin as typed, whatever the case.
pub(in crate::viewer) fn matching<'a>(listing: &'a Listing, typed: &str) -> Vec<&'a Entry> {
    let wanted = typed.to_lowercase();
    let begins = |entry: &&Entry| entry.name.to_lowercase().starts_with(&wanted);
    listing.entries.iter().filter(begins).collect()
}

/// What Tab makes of a typed path: as much as all that match have in common, and a folder's stroke.
pub(in crate::viewer) fn completed(typed: &str, listing: &Listing, base: &Path) -> Option<String> {
    let (_, name) = split(typed, base);
    let found = matching(listing, &name);
    let first = found.first()?;
    let common = found
        .iter()
        .skip(1)
        .fold(first.name.as_str(), |common, entry| {
            let same = common
                .char_indices()
                .zip(entry.name.chars())
                .take_while(|((_, a), b)| a.to_lowercase().eq(b.to_lowercase()))
                .last();
            same.map_or("", |((at, letter), _)| &common[..at + letter.len_utf8()])
        });
    let head = typed.len() - name.len();
    let stroke = if found.len() == 1 && first.folder {
        "/"
    } else {
        ""
    };
    let whole = format!("{}{common}{stroke}", &typed[..head]);
    (whole.len() > typed.len() || (stroke == "/" && !typed.ends_with('/'))).then_some(whole)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn folder() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for file in ["Mill.ron", "mill-2.ron", "notes.txt", ".hidden.ron"] {
            fs::write(folder.path().join(file), "").unwrap();
        }
        fs::create_dir(folder.path().join("old jobs")).unwrap();
        folder
    }

    #[test]
    fn folders_and_jobs_are_listed_and_nothing_else() {
        let folder = folder();
        let listing = list(folder.path(), &["ron"]);
        let names: Vec<&str> = listing
            .entries
            .iter()
            .map(|entry| entry.name.as_str())
            .collect();
        assert_eq!(names, ["old jobs", "mill-2.ron", "Mill.ron"]);
        assert!(listing.entries[0].folder && listing.problem.is_none());
        assert_eq!(matching(&listing, "MILL").len(), 2);
    }

    #[test]
    fn a_folder_that_cannot_be_listed_says_why() {
        let folder = folder();
        let gone = list(&folder.path().join("gone"), &["ron"]);
        assert!(gone.problem.unwrap().ends_with("is not there"));
        let file = list(&folder.path().join("Mill.ron"), &["ron"]);
        assert!(file.problem.unwrap().ends_with("is no folder"));
    }

    #[test]
    fn tab_completes_as_far_as_names_agree() {
        let folder = folder();
        let listing = list(folder.path(), &["ron"]);
        let base = folder.path();
        assert_eq!(completed("m", &listing, base).as_deref(), Some("mill"));
        assert_eq!(completed("o", &listing, base).as_deref(), Some("old jobs/"));
        assert_eq!(
            completed("mill-", &listing, base).as_deref(),
            Some("mill-2.ron")
        );
        assert_eq!(completed("x", &listing, base), None);
        assert_eq!(completed("mill", &listing, base), None);
    }

    #[test]
    fn a_typed_path_names_a_file() {
        let base = Path::new("/jobs");
        assert_eq!(named("a", base, "ron"), Some(PathBuf::from("/jobs/a.ron")));
        assert_eq!(
            named("/b/c.txt", base, "ron"),
            Some(PathBuf::from("/b/c.txt"))
        );
        assert_eq!(
            named("No. 12 Quarry Lane", base, "ron"),
            Some(PathBuf::from("/jobs/No. 12 Quarry Lane.ron"))
        );
        assert_eq!(named("sub/", base, "ron"), None);
        assert_eq!(split("/b/c", base), (PathBuf::from("/b/"), "c".to_owned()));
    }
}
