//! The folder where the window keeps what is no part of a job: recent jobs, preferences, unsaved
//! work. Files in it are written whole or not at all, and garbage in them is as good as nothing.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use crate::job::whole::{self, Go, Place, Rights, Steps};

/// Nothing that is kept here is larger; a job's text is at most half of it.
const MOST_BYTES: u64 = 24 * 1024 * 1024;

/// The folder, as the platform has it. `None` where the environment names no home.
pub(in crate::viewer) fn folder() -> Option<PathBuf> {
    folder_in(&|name| std::env::var_os(name))
}

/// As [`folder`], with the environment given.
fn folder_in(environment: &dyn Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    // A path that is not absolute is to be passed over: XDG Base Directory Specification 0.8.
    let absolute = |name: &str| {
        let path = PathBuf::from(environment(name)?);
        path.is_absolute().then_some(path)
    };
    if let Some(state) = absolute("XDG_STATE_HOME") {
        return Some(state.join("rakewell"));
    }
    if cfg!(windows) {
        return absolute("APPDATA").map(|data| data.join("Rakewell"));
    }
    let home = absolute("HOME")?;
    Some(if cfg!(target_os = "macos") {
        home.join("Library/Application Support/Rakewell")
    } else {
        home.join(".local/state/rakewell")
    })
}

/// Writes a file whole or not at all; its folder is made where it is not there.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_whole_by(path, bytes, &Go)
}

/// As [`write_whole`], asking before each step.
pub(super) fn write_whole_by(path: &Path, bytes: &[u8], steps: &impl Steps) -> io::Result<()> {
    let folder = whole::folder_of(path);
    fs::create_dir_all(folder)?;
    whole::clear_left(folder);
    // Never through a link: nobody but the window puts anything here.
    Place::new(path)
        .draft(bytes, Rights::Own, steps)?
        .replace(steps)
}

/// What a file holds, where it can be read and is of a size that we write.
pub(super) fn read(path: &Path) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let file = File::open(path).ok()?;
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).ok()?;
    (bytes.len() as u64 <= MOST_BYTES).then_some(bytes)
}

/// What a file holds as JSON; nothing where it is none.
pub(super) fn read_json(path: &Path) -> Option<serde_json::Value> {
    serde_json::from_slice(&read(path)?).ok()
}

/// What the system says of a file, without the number that it adds.
pub(in crate::viewer) fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "it can only be read there".to_owned(),
        io::ErrorKind::PermissionDenied => "it may not be written there".to_owned(),
        _ => {
            let text = error.to_string();
            let end = text.find(" (os error").unwrap_or(text.len());
            text[..end].to_lowercase()
        }
    }
}

/// Seconds since 1970, for what is written down.
pub(in crate::viewer) fn seconds(time: SystemTime) -> u64 {
    let since = time.duration_since(SystemTime::UNIX_EPOCH);
    since.map_or(0, |since| since.as_secs())
}

/// How long ago, in words. A clock that was set back makes it "just now".
pub(in crate::viewer) fn ago(then: u64, now: u64) -> String {
    let past = Duration::from_secs(now.saturating_sub(then)).as_secs();
    let said = |count: u64, one: &str| match count {
        1 => format!("1 {one} ago"),
        _ => format!("{count} {one}s ago"),
    };
    match past {
        0..60 => "just now".to_owned(),
        60..3_600 => said(past / 60, "minute"),
        3_600..86_400 => said(past / 3_600, "hour"),
        _ => said(past / 86_400, "day"),
    }
}

/// A number by which two texts are told apart: FNV-1a, 64 bits. It guards against no malice.
pub(super) fn mark_of(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// The same file under any name for it, as far as the system tells.
pub(super) fn settled(path: &Path) -> PathBuf {
    let absolute = || std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    fs::canonicalize(path).unwrap_or_else(|_| absolute())
}

/// A file's name without its folder, for sentences.
pub(in crate::viewer) fn short(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_is_where_the_platform_wants_it() {
        let set = |pairs: &'static [(&str, &str)]| {
            folder_in(&move |name| {
                let found = pairs.iter().find(|(known, _)| *known == name);
                found.map(|(_, value)| OsString::from(value))
            })
        };
        assert_eq!(set(&[]), None);
        if cfg!(all(unix, not(target_os = "macos"))) {
            // XDG Base Directory Specification: $XDG_STATE_HOME, else ~/.local/state; not relative.
            let home = Some(PathBuf::from("/home/ada/.local/state/rakewell"));
            assert_eq!(set(&[("HOME", "/home/ada")]), home);
            assert_eq!(
                set(&[("HOME", "/home/ada"), ("XDG_STATE_HOME", "here")]),
                home
            );
            assert_eq!(
                set(&[("HOME", "/home/ada"), ("XDG_STATE_HOME", "/var/s")]),
                Some(PathBuf::from("/var/s/rakewell"))
            );
        }
    }

    #[test]
    fn texts_are_told_apart_as_the_published_hash_does() {
        // Test vectors of FNV-1a 64 as its authors publish them (Fowler, Noll, Vo).
        assert_eq!(mark_of(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(mark_of("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(mark_of("foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_file_is_written_whole_and_a_full_disk_leaves_what_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a/b.json");
        write_whole(&path, b"one").unwrap();
        write_whole(&path, b"two").unwrap();
        assert_eq!(read(&path).unwrap(), b"two");
        let beside = fs::read_dir(folder.path().join("a")).unwrap().count();
        assert_eq!(beside, 1, "nothing half-written stays");
        // A file where the folder should be: it cannot be written, and says why.
        let blocked = path.join("c.json");
        assert!(write_whole(&blocked, b"three").is_err());
        assert_eq!(read(&path).unwrap(), b"two");
        assert!(plain(&io::Error::from(io::ErrorKind::StorageFull)).contains("full"));
    }

    #[test]
    fn times_are_said_as_one_says_them() {
        assert_eq!(ago(100, 90), "just now");
        assert_eq!(ago(0, 60), "1 minute ago");
        assert_eq!(ago(0, 7_300), "2 hours ago");
        assert_eq!(ago(0, 86_400 * 3), "3 days ago");
    }
}
