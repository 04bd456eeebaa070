//! Saving: the whole file or nothing, and nothing over what another program wrote meanwhile.
//!
//! In: a document and a path. Out: the file ([`whole`] writes it), or why there is none.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use super::Document;
use super::document::MAX_BYTES;
use super::whole::{self, Go, Place, Refused, Rights, Step, Steps, folder_of, plain};

/// Why a job was not saved. The file is as it was.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// A new file was wanted, and there is one already.
    #[error("{} is there already; choose another name", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The file is not what was read.
    #[error("{} was changed by another program since it was read, and is left as it is; read it again", path.display())]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// The folder is not there (any more).
    #[error("the folder {} is not there; save the job elsewhere", folder.display())]
    NoFolder {
        /// The folder.
        folder: PathBuf,
    },
    /// The file or its folder may not be written.
    #[error("{} may not be written; save the job elsewhere", path.display())]
    ReadOnly {
        /// The file or folder.
        path: PathBuf,
    },
    /// Something that is no file has this name.
    #[error("{} is not a file; choose another name", path.display())]
    NotAFile {
        /// Its path.
        path: PathBuf,
    },
    /// The system refused for another reason, such as a full disk.
    #[error("{} was not saved: {}", path.display(), plain(source))]
    Failed {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl SaveError {
    /// Whether another folder would do: this one is not there, or may not be written.
    #[must_use]
    pub fn of_the_place(&self) -> bool {
        matches!(self, Self::NoFolder { .. } | Self::ReadOnly { .. })
    }
}

/// What a job may be saved in place of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over<'a> {
    /// Whatever is there.
    Anything,
    /// This text, as it was read; or a file that is gone.
    Read(&'a str),
    /// Nothing: the file must be new.
    Nothing,
}

impl Document {
    /// Saves the text under a path, in place of what is there. A link keeps pointing at the file,
    /// and the file keeps its permissions.
    ///
    /// # Errors
    /// [`SaveError`]; the file is then as it was.
    pub fn save(&self, path: &Path) -> Result<(), SaveError> {
        self.save_by(path, Over::Anything, &Go)
    }

    /// Saves the text in place of the one that was read from there.
    ///
    /// # Errors
    /// [`SaveError::Changed`] where the file holds another text by now; else as [`Document::save`].
    pub fn save_after(&self, path: &Path, read: &str) -> Result<(), SaveError> {
        self.save_by(path, Over::Read(read), &Go)
    }

    /// Saves the text under a path where nothing is yet.
    ///
    /// # Errors
    /// [`SaveError::Exists`] where something is; else as [`Document::save`].
    pub fn save_new(&self, path: &Path) -> Result<(), SaveError> {
        self.save_by(path, Over::Nothing, &Go)
    }

    /// Saves the text, asking before each step.
    ///
    /// # Errors
    /// [`SaveError`]; the file is then as it was.
    pub fn save_by(
        &self,
        path: &Path,
        over: Over<'_>,
        steps: &impl Steps,
    ) -> Result<(), SaveError> {
        let place = match over {
            Over::Nothing if fs::symlink_metadata(path).is_ok() => {
                return Err(SaveError::Exists {
                    path: path.to_owned(),
                });
            }
            Over::Nothing => Place::new(path),
            Over::Anything | Over::Read(_) => Place::of(path)?,
        };
        let target = place.path.clone();
        let failed = |error| why(&target, error);
        whole::clear_left(folder_of(&target));
        let bytes = self.text().as_bytes();
        let draft = place
            .draft(bytes, Rights::Document, steps)
            .map_err(failed)?;
        // From the look to the new name no other saving comes between.
        let held = held(&target).map_err(failed)?;
        if let Over::Read(read) = over {
            steps.before(Step::Look).map_err(failed)?;
            if !is_as_read(&target, read).map_err(failed)? {
                return Err(SaveError::Changed { path: target });
            }
        }
        let done = match over {
            Over::Nothing => draft.place(steps),
            Over::Anything | Over::Read(_) => draft.replace(steps),
        };
        drop(held);
        done.map_err(failed)
    }
}

/// True where a file holds a text, or is gone.
fn is_as_read(path: &Path, read: &str) -> io::Result<bool> {
    use io::Read as _;
    let file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(true),
        Err(error) => return Err(error),
    };
    let mut bytes = Vec::new();
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes)?;
    Ok(bytes == read.as_bytes())
}

/// The file that stands there, locked against other savings; none where there is none, or where the
/// file system knows no locks. A lock is asked for between programs like this one; it hinders no other.
#[cfg(unix)]
fn held(target: &Path) -> io::Result<Option<File>> {
    use std::fs::TryLockError;
    use std::os::unix::fs::MetadataExt as _;

    // Two seconds in all: a saving takes a few hundredths.
    const TRIES: u32 = 200;
    const WAIT: std::time::Duration = std::time::Duration::from_millis(10);

    for _try in 0..TRIES {
        let Ok(file) = File::open(target) else {
            return Ok(None);
        };
        match file.try_lock() {
            Ok(()) => {
                // Another saving may have put a new file in its place before the lock was ours.
                let same = match (file.metadata(), fs::metadata(target)) {
                    (Ok(ours), Ok(there)) => (ours.dev(), ours.ino()) == (there.dev(), there.ino()),
                    _ => false,
                };
                if same {
                    return Ok(Some(file));
                }
            }
            Err(TryLockError::WouldBlock) => std::thread::sleep(WAIT),
            Err(TryLockError::Error(_no_locks)) => return Ok(None),
        }
    }
    let busy = "another program holds it; try again";
    Err(io::Error::new(io::ErrorKind::WouldBlock, busy))
}

/// Elsewhere an open file may be in the way of its own replacing, so that nothing is held.
#[cfg(not(unix))]
fn held(_target: &Path) -> io::Result<Option<File>> {
    Ok(None)
}

impl From<Refused> for SaveError {
    fn from(refused: Refused) -> Self {
        match refused {
            Refused::NotAFile(path) => Self::NotAFile { path },
            Refused::ReadOnly(path) => Self::ReadOnly { path },
        }
    }
}

fn why(target: &Path, error: io::Error) -> SaveError {
    let path = target.to_owned();
    let folder = folder_of(target);
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => SaveError::NoFolder {
            folder: folder.to_owned(),
        },
        io::ErrorKind::AlreadyExists => SaveError::Exists { path },
        io::ErrorKind::IsADirectory => SaveError::NotAFile { path },
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            SaveError::ReadOnly {
                path: folder.to_owned(),
            }
        }
        _ => SaveError::Failed {
            path,
            source: error,
        },
    }
}
