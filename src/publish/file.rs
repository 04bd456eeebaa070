//! Files written whole or not at all.
//!
//! In: a path and bytes. Out: the file, or what was there before.

use std::io::{self, ErrorKind};
use std::path::{Component, Path, PathBuf};

use crate::job::whole::{self, Draft, Go, Place, Refused, Rights, Steps};

/// Writes a file that must not be there yet.
///
/// # Errors
/// As the system has it; [`why`] says it in words.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    whole::clear_left(whole::folder_of(path));
    Place::new(path)
        .draft(bytes, Rights::Document, &Go)?
        .place(&Go)
}

/// Writes a file, in the place of one that may be there. A link keeps pointing at the file, and the
/// file keeps its permissions.
///
/// # Errors
/// As the system has it, and where something that is no file, or a file marked as read-only, has the
/// name; [`why`] says it in words.
pub fn write_over(path: &Path, bytes: &[u8]) -> io::Result<()> {
    whole::clear_left(whole::folder_of(path));
    drafted(path, bytes, &Go)?.replace(&Go)
}

/// Why a file could not be written, without the name of the draft.
#[must_use]
pub fn why(path: &Path, error: &io::Error) -> String {
    let reason = match error.kind() {
        ErrorKind::NotFound => "its folder is not there".to_owned(),
        ErrorKind::PermissionDenied => "its folder may not be written to".to_owned(),
        ErrorKind::AlreadyExists => "it is there already and is left as it is".to_owned(),
        _ => whole::plain(error),
    };
    format!("cannot write {}: {reason}", path.display())
}

fn drafted(path: &Path, bytes: &[u8], steps: &impl Steps) -> io::Result<Draft> {
    let place = Place::of(path).map_err(|refused| {
        let says = match refused {
            Refused::NotAFile(_) => "it is not a file; choose another name",
            Refused::ReadOnly(_) => "it is marked as read-only; choose another name",
        };
        io::Error::new(ErrorKind::InvalidInput, says)
    })?;
    place.draft(bytes, Rights::Document, steps)
}

/// Writes files under a folder, which is made where it is not there. Everything is in memory by now, and
/// all of it is on the disk before the first file takes its name, so that nothing is written where
/// something could not be made or has no room.
///
/// # Errors
/// In words: the folder or file that could not be written, and why.
pub fn write_all(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), String> {
    write_all_by(folder, files, &Go)
}

/// True for a name that stays in its folder on every system: plain names with `/` between.
fn is_inside(name: &str) -> bool {
    let plain = |part: Component<'_>| matches!(part, Component::Normal(_));
    !name.is_empty()
        && Path::new(name).components().all(plain)
        // Elsewhere these begin a drive, another folder or a stream of the file.
        && !name.contains(['\\', ':'])
        && !name.chars().any(char::is_control)
}

/// As [`write_all`], asking before each step.
///
/// # Errors
/// As [`write_all`].
pub fn write_all_by(
    folder: &Path,
    files: &[(String, Vec<u8>)],
    steps: &impl Steps,
) -> Result<(), String> {
    let mut drafts: Vec<(PathBuf, Draft)> = Vec::with_capacity(files.len());
    let mut last: Option<PathBuf> = None;
    for (name, bytes) in files {
        if !is_inside(name) {
            return Err(format!(
                "{name:?} is no name of a file in {}",
                folder.display()
            ));
        }
        let path = folder.join(name);
        let within = path.parent().unwrap_or(folder);
        if last.as_deref() != Some(within) {
            std::fs::create_dir_all(within).map_err(|error| {
                let reason = whole::plain(&error);
                format!("cannot make the folder {}: {reason}", within.display())
            })?;
            whole::clear_left(within);
            last = Some(within.to_owned());
        }
        let draft = drafted(&path, bytes, steps).map_err(|error| why(&path, &error))?;
        drafts.push((path, draft));
    }
    for (path, draft) in drafts {
        draft.replace(steps).map_err(|error| why(&path, &error))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let above = tempfile::tempdir().unwrap();
        let folder = above.path().join("into");
        let outside = [
            "../a",
            "/a",
            "a/../../b",
            "..",
            ".",
            "",
            "C:\\a",
            "C:a",
            "..\\a",
            "\\\\host\\a",
            "a:b",
            "a\u{0}",
        ];
        for name in outside {
            let files = [
                ("good".to_owned(), Vec::new()),
                (name.to_owned(), Vec::new()),
            ];
            let why = write_all(&folder, &files).unwrap_err();
            assert!(why.contains("is no name of a file in"), "{name:?}: {why}");
            let left = std::fs::read_dir(&folder).unwrap().count();
            assert_eq!(left, 0, "{name:?}");
        }
        let within = [("a/b.c".to_owned(), b"x".to_vec())];
        write_all(&folder, &within).unwrap();
        assert_eq!(std::fs::read(folder.join("a/b.c")).unwrap(), b"x");
        assert_eq!(std::fs::read_dir(above.path()).unwrap().count(), 1);
    }
}
