//! Saving: the whole file or nothing.
//!
//! The text goes to a new file beside the old one, to the disk, and then takes the old one's
//! name, so that no moment leaves half a file.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::Document;
use super::document::plain;

/// Why a job was not saved. The file is as it was.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// A new file was wanted, and there is one already.
    #[error("{} is there already; choose another name", path.display())]
    Exists {
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

impl Document {
    /// Saves the text under a path, in place of what is there. A link keeps pointing at the file,
    /// and the file keeps its permissions.
    ///
    /// # Errors
    /// [`SaveError`]; the file is then as it was.
    pub fn save(&self, path: &Path) -> Result<(), SaveError> {
        let target = behind_links(path)?;
        let former = match fs::metadata(&target) {
            Ok(former) if !former.is_file() => return Err(SaveError::NotAFile { path: target }),
            // The folder would let us, but somebody has asked for this file to be left alone.
            Ok(former) if former.permissions().readonly() => {
                return Err(SaveError::ReadOnly { path: target });
            }
            Ok(former) => Some(former.permissions()),
            Err(_none_yet) => None,
        };
        let file = self.written_beside(&target, former)?;
        file.persist(&target)
            .map_err(|failed| why(&target, failed.error))?;
        settle(&target);
        Ok(())
    }

    /// Saves the text under a path where nothing is yet.
    ///
    /// # Errors
    /// [`SaveError::Exists`] where something is; else as [`Document::save`].
    pub fn save_new(&self, path: &Path) -> Result<(), SaveError> {
        if fs::symlink_metadata(path).is_ok() {
            return Err(SaveError::Exists {
                path: path.to_owned(),
            });
        }
        let file = self.written_beside(path, None)?;
        // Between the look and here another program may have been quicker.
        file.persist_noclobber(path)
            .map_err(|failed| why(path, failed.error))?;
        settle(path);
        Ok(())
    }

    /// The text in a nameless-to-be file beside the target, on the disk.
    fn written_beside(
        &self,
        target: &Path,
        permissions: Option<fs::Permissions>,
    ) -> Result<NamedTempFile, SaveError> {
        let failed = |error| why(target, error);
        let mut file = new_file(folder_of(target)).map_err(failed)?;
        file.write_all(self.text().as_bytes()).map_err(failed)?;
        if let Some(permissions) = permissions {
            file.as_file()
                .set_permissions(permissions)
                .map_err(failed)?;
        }
        file.as_file().sync_all().map_err(failed)?;
        Ok(file)
    }
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// A file with the permissions that the user's new files have; a temporary one alone would be
/// closed to everyone else.
fn new_file(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".rakewell-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// The file that a path leads to through any links.
fn behind_links(path: &Path) -> Result<PathBuf, SaveError> {
    // As many as Linux follows.
    const MOST_LINKS: usize = 40;
    let mut target = path.to_owned();
    for _link in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = folder_of(&target).join(next),
            Err(_no_link) => return Ok(target),
        }
    }
    Err(SaveError::NotAFile {
        path: path.to_owned(),
    })
}

/// Puts the new name on the disk too. The file is whole either way, so a system that cannot do
/// this is not asked twice.
fn settle(target: &Path) {
    if let Ok(folder) = File::open(folder_of(target)) {
        drop(folder.sync_all());
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
