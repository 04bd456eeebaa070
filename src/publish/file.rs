//! Files written whole or not at all.
//!
//! In: a path and bytes. Out: the file, or what was there before.

use std::io::{ErrorKind, Write as _};
use std::path::Path;

use tempfile::NamedTempFile;

/// Writes a file that must not be there yet.
///
/// # Errors
/// As the system has it; [`why`] says it in words.
pub fn write_new(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    drafted(path, bytes)?.persist_noclobber(path)?;
    Ok(())
}

/// Writes a file, in the place of one that may be there.
///
/// # Errors
/// As the system has it; [`why`] says it in words.
pub fn write_over(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    drafted(path, bytes)?.persist(path)?;
    Ok(())
}

/// Why a file could not be written, without the name of the draft.
#[must_use]
pub fn why(path: &Path, error: &std::io::Error) -> String {
    let reason = match error.kind() {
        ErrorKind::NotFound => "its folder is not there".to_owned(),
        ErrorKind::PermissionDenied => "its folder may not be written to".to_owned(),
        ErrorKind::AlreadyExists => "it is there already and is left as it is".to_owned(),
        _ => error.to_string(),
    };
    format!("cannot write {}: {reason}", path.display())
}

/// The bytes on disk beside the file, under a name that goes when it is dropped.
fn drafted(path: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut draft = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new document; the umask takes its share off.
        draft.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut draft = draft.tempfile_in(folder)?;
    draft.write_all(bytes)?;
    draft.as_file().sync_all()?;
    Ok(draft)
}

/// Writes files under a folder, which is made where it is not there. Everything is in memory by now, so
/// that nothing is written where something could not be made.
///
/// # Errors
/// In words: the folder or file that could not be written, and why.
pub fn write_all(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), String> {
    for (name, bytes) in files {
        let path = folder.join(name);
        let within = path.parent().unwrap_or(folder);
        std::fs::create_dir_all(within)
            .map_err(|error| format!("cannot make the folder {}: {error}", within.display()))?;
        write_over(&path, bytes).map_err(|error| why(&path, &error))?;
    }
    Ok(())
}
