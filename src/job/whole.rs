//! Files written whole or not at all: the job's, those that the program writes out, and what the window
//! keeps aside.
//!
//! In: a path and bytes. Out: the file, or what was there before. The bytes go to a draft beside the
//! file, to the disk, and then take the file's name, so that no moment leaves half a file. Before each
//! [`Step`] a [`Steps`] is asked: the program goes on, a test lets the step fail or ends there.

use std::fs::{self, File, Permissions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use tempfile::TempPath;

/// What a writing does, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A draft is made beside the file.
    Draft,
    /// A piece of the bytes goes into it.
    Write,
    /// It is given the rights of the file that it stands for.
    Permit,
    /// It goes to the disk.
    Flush,
    /// The file is looked at again: is it what was read?
    Look,
    /// The draft takes the file's name.
    Name,
    /// The name goes to the disk.
    Settle,
}

/// Asked before each step of a writing.
pub trait Steps {
    /// Lets a step be done.
    ///
    /// # Errors
    /// The step is taken to have failed with this.
    fn before(&self, step: Step) -> io::Result<()>;
}

/// Every step is done: what the program asks.
#[derive(Clone, Copy, Debug)]
pub struct Go;

impl Steps for Go {
    fn before(&self, _step: Step) -> io::Result<()> {
        Ok(())
    }
}

/// Who may read a file that is not there yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rights {
    /// As any new document: the system's mask takes its share off.
    Document,
    /// Its owner alone.
    Own,
}

/// Why a file is not written over, before anything is tried.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Something that is no file has this name.
    #[error("{} is not a file; choose another name", .0.display())]
    NotAFile(PathBuf),
    /// Somebody marked it as read-only, though the folder would let us.
    #[error("{} is marked as read-only; save under another name", .0.display())]
    ReadOnly(PathBuf),
}

/// So many bytes go into a draft at a time.
const PIECE: usize = 4096;
/// A draft that is older was left behind by a program that is gone.
const LEFT: Duration = Duration::from_secs(60 * 60);
/// What drafts are called, with something random between.
const DRAFT: (&str, &str) = (".rakewell-", ".tmp");

/// A file that may be written over.
#[derive(Debug)]
pub struct Place {
    /// The file, behind any links.
    pub(super) path: PathBuf,
    /// The rights of what is there.
    former: Option<Permissions>,
}

impl Place {
    /// Looks at what is there. A link keeps pointing at the file, and the file keeps its rights.
    ///
    /// # Errors
    /// [`Refused`].
    pub fn of(path: &Path) -> Result<Self, Refused> {
        let path = behind_links(path)?;
        match fs::metadata(&path) {
            Ok(former) if !former.is_file() => Err(Refused::NotAFile(path)),
            Ok(former) if former.permissions().readonly() => Err(Refused::ReadOnly(path)),
            Ok(former) => Ok(Self {
                path,
                former: Some(former.permissions()),
            }),
            Err(_none_yet) => Ok(Self { path, former: None }),
        }
    }

    /// A place where nothing stands yet; [`Draft::place`] finds out whether that is so.
    #[must_use]
    pub fn new(path: &Path) -> Self {
        Self {
            path: path.to_owned(),
            former: None,
        }
    }

    /// The bytes in a draft beside the file, on the disk.
    ///
    /// # Errors
    /// As the system has it; the draft is gone then.
    pub fn draft(self, bytes: &[u8], rights: Rights, steps: &impl Steps) -> io::Result<Draft> {
        steps.before(Step::Draft)?;
        let mut draft = new_file(folder_of(&self.path), rights)?;
        for piece in bytes.chunks(PIECE) {
            steps.before(Step::Write)?;
            draft.write_all(piece)?;
        }
        if let Some(former) = self.former {
            steps.before(Step::Permit)?;
            draft.as_file().set_permissions(former)?;
        }
        steps.before(Step::Flush)?;
        draft.as_file().sync_all()?;
        // Closed: a folder of drafts would take more open files than a program may have.
        Ok(Draft {
            file: draft.into_temp_path(),
            to: self.path,
        })
    }
}

/// A file's bytes on the disk under another name, which goes when this is dropped.
#[derive(Debug)]
pub struct Draft {
    file: TempPath,
    to: PathBuf,
}

impl Draft {
    /// Takes the file's name from what has it.
    ///
    /// # Errors
    /// As the system has it; what was there is there still.
    pub fn replace(self, steps: &impl Steps) -> io::Result<()> {
        steps.before(Step::Name)?;
        self.file.persist(&self.to)?;
        settle(&self.to, steps);
        Ok(())
    }

    /// Takes a name that nothing has.
    ///
    /// # Errors
    /// As the system has it; [`io::ErrorKind::AlreadyExists`] where something has it.
    pub fn place(self, steps: &impl Steps) -> io::Result<()> {
        steps.before(Step::Name)?;
        self.file.persist_noclobber(&self.to)?;
        settle(&self.to, steps);
        Ok(())
    }
}

/// Puts the new name on the disk too. The file is whole either way, so a system that cannot do this is
/// not asked twice.
fn settle(target: &Path, steps: &impl Steps) {
    if steps.before(Step::Settle).is_ok()
        && let Ok(folder) = File::open(folder_of(target))
    {
        drop(folder.sync_all());
    }
}

/// The folder that a path lies in.
#[must_use]
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn new_file(folder: &Path, rights: Rights) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(DRAFT.0).suffix(DRAFT.1);
    #[cfg(unix)]
    if rights == Rights::Document {
        use std::os::unix::fs::PermissionsExt as _;
        // A temporary file alone would be closed to everyone else.
        builder.permissions(Permissions::from_mode(0o666));
    }
    #[cfg(not(unix))]
    let _as_the_folder_has_it = rights;
    builder.tempfile_in(folder)
}

/// Takes drafts out of a folder that programs left which were killed. One that is in use is younger, or
/// its program stood still for an hour: it then fails without harm.
pub fn clear_left(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    let now = SystemTime::now();
    for entry in entries.filter_map(Result::ok) {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let named = name.starts_with(DRAFT.0) && name.ends_with(DRAFT.1);
        let old = || {
            let about = entry.metadata().ok()?;
            let age = now.duration_since(about.modified().ok()?).ok()?;
            Some(about.is_file() && age > LEFT)
        };
        if named && old() == Some(true) {
            // What cannot be taken out is found again the next time.
            drop(fs::remove_file(entry.path()));
        }
    }
}

/// What the system says, without the number that it adds.
#[must_use]
pub fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    let end = text.find(" (os error").unwrap_or(text.len());
    let mut chars = text[..end].chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_lowercase().to_string() + chars.as_str()
    })
}

/// The file that a path leads to through any links.
fn behind_links(path: &Path) -> Result<PathBuf, Refused> {
    // As many as Linux follows.
    const MOST_LINKS: usize = 40;
    let mut target = path.to_owned();
    for _link in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = folder_of(&target).join(next),
            Err(_no_link) => return Ok(target),
        }
    }
    Err(Refused::NotAFile(path.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drafts_left_behind_go_after_an_hour_and_nothing_else_does() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let names = [
            ".rakewell-abc.tmp",
            ".rakewell-new.tmp",
            ".other.tmp",
            ".rakewell-b.txt",
        ];
        let long_ago = SystemTime::now() - 2 * LEFT;
        for name in names {
            fs::write(at(name), "half").unwrap();
            if !name.contains("new") {
                let file = File::options().write(true).open(at(name)).unwrap();
                file.set_modified(long_ago).unwrap();
            }
        }
        clear_left(folder.path());
        let left = names.map(|name| at(name).exists());
        assert_eq!(left, [false, true, true, true]);
    }
}
