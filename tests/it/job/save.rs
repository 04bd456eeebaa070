//! Saving is whole or not at all.

use std::fs;

use super::{SAMPLE, sample};
use rakewell::job::{Document, SaveError};

fn names(folder: &std::path::Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("an entry").file_name().display().to_string())
        .collect();
    names.sort();
    names
}

#[test]
fn what_is_saved_is_read_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.ron");
    sample().save_new(&path).expect("saved");
    assert_eq!(fs::read_to_string(&path).expect("a file"), SAMPLE);
    let loaded = Document::load(&path).expect("valid");
    let edited = loaded.set("flight.rise", "7.25").expect("a length");
    edited.save(&path).expect("saved");
    assert_eq!(Document::load(&path).expect("valid").text(), edited.text());
    assert!(edited.text().contains("// One flight, read on a Tuesday."));
    assert_eq!(
        names(folder.path()),
        ["job.ron"],
        "nothing else is left there"
    );
}

#[test]
fn a_new_file_takes_no_others_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.ron");
    fs::write(&path, "mine").expect("written");
    let error = sample().save_new(&path).expect_err("it is there");
    assert!(matches!(error, SaveError::Exists { .. }), "{error}");
    assert_eq!(fs::read_to_string(&path).expect("a file"), "mine");
    assert_eq!(names(folder.path()), ["job.ron"]);
}

#[test]
fn a_vanished_folder_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let gone = folder.path().join("gone");
    for result in [
        sample().save(&gone.join("job.ron")),
        sample().save_new(&gone.join("job.ron")),
    ] {
        let error = result.expect_err("no folder");
        assert!(
            matches!(&error, SaveError::NoFolder { folder } if *folder == gone),
            "{error}"
        );
    }
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_folder_in_the_way_stays() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.ron");
    fs::create_dir(&path).expect("a folder");
    let error = sample().save(&path).expect_err("a folder is no file");
    assert!(matches!(error, SaveError::NotAFile { .. }), "{error}");
    assert!(path.is_dir());
    assert_eq!(names(folder.path()), ["job.ron"]);
    // A file where the folder should be.
    let file = folder.path().join("file");
    fs::write(&file, "").expect("written");
    let error = sample()
        .save(&file.join("job.ron"))
        .expect_err("a file is no folder");
    assert!(matches!(error, SaveError::NoFolder { .. }), "{error}");
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt as _, symlink};

    fn mode(path: &std::path::Path) -> u32 {
        fs::metadata(path).expect("a file").permissions().mode() & 0o777
    }

    #[test]
    fn permissions_are_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("job.ron");
        fs::write(&path, SAMPLE).expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).expect("set");
        sample().save(&path).expect("saved");
        assert_eq!(mode(&path), 0o640);
        // A new file has what any new file has.
        let (new, plain) = (folder.path().join("new.ron"), folder.path().join("plain"));
        sample().save_new(&new).expect("saved");
        fs::write(&plain, "").expect("written");
        assert_eq!(mode(&new), mode(&plain));
    }

    #[test]
    fn a_file_marked_as_read_only_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("job.ron");
        fs::write(&path, "mine").expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("set");
        let error = sample().save(&path).expect_err("read-only");
        assert!(matches!(error, SaveError::ReadOnly { .. }), "{error}");
        assert_eq!(fs::read_to_string(&path).expect("a file"), "mine");
    }

    #[test]
    fn a_link_keeps_pointing_at_the_file() {
        let folder = tempfile::tempdir().expect("a folder");
        let inner = folder.path().join("inner");
        fs::create_dir(&inner).expect("a folder");
        let (file, link) = (inner.join("job.ron"), folder.path().join("link.ron"));
        fs::write(&file, "old").expect("written");
        symlink("inner/job.ron", &link).expect("a link");
        sample().save(&link).expect("saved");
        assert!(fs::symlink_metadata(&link).expect("a link").is_symlink());
        assert_eq!(fs::read_to_string(&file).expect("a file"), SAMPLE);
        assert_eq!(names(&inner), ["job.ron"]);
        // A link to itself ends.
        let round = folder.path().join("round.ron");
        symlink("round.ron", &round).expect("a link");
        assert!(sample().save(&round).is_err());
    }

    #[test]
    fn a_full_disk_leaves_the_old_file() {
        // The one place on Linux that is always full.
        let error = sample()
            .save(std::path::Path::new("/dev/full"))
            .expect_err("no file");
        assert!(matches!(error, SaveError::NotAFile { .. }), "{error}");
    }
}
