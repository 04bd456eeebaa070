//! Two programs that write one job: the second is told, and nothing that either wrote is lost.

use std::path::Path;
use std::process::Stdio;

use super::old_and_new;
use crate::cli::{DEMO, program, write};
use rakewell::job::{Document, SaveError};

#[test]
fn the_second_to_save_is_told_that_the_file_was_changed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.ron");
    let [old, first] = old_and_new();
    old.save_new(&path).unwrap();
    let second = old.set_length("design.rail.height", "37").unwrap();
    first.save_after(&path, old.text()).unwrap();
    let error = second.save_after(&path, old.text()).unwrap_err();
    assert!(matches!(error, SaveError::Changed { .. }), "{error}");
    let says = error.to_string();
    assert!(
        says.contains("job.ron was changed by another program"),
        "{says}"
    );
    assert_eq!(std::fs::read_to_string(&path).unwrap(), first.text());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    // Read again, it goes; and so it does where the file is gone, for then nothing is written over.
    second.save_after(&path, first.text()).unwrap();
    std::fs::remove_file(&path).unwrap();
    second.save_after(&path, first.text()).unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), second.text());
}

/// A reading that nobody else takes.
fn reading(writer: usize, note: usize) -> String {
    let along = 20 + 10 * writer + note;
    format!("Offset(along: \"{along}\", up: \"40\", is: \"0\", note: \"of {writer}, {note}\")")
}

/// Each adds a reading at a time to what it reads, and reads again where it is told to.
#[test]
fn of_many_that_write_at_once_every_reading_stays() {
    const WRITERS: usize = 4;
    const NOTES: usize = 6;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.ron");
    let text = include_str!("../../../scenes/straight.ron");
    Document::parse(text, "job.ron")
        .unwrap()
        .save_new(&path)
        .unwrap();
    let add = |writer: usize, path: &Path| {
        let mut told = 0;
        for note in 0..NOTES {
            loop {
                let read = Document::load(path).unwrap();
                let more = read
                    .append("walls[0].readings", &reading(writer, note))
                    .unwrap();
                match more.save_after(path, read.text()) {
                    Ok(()) => break,
                    Err(SaveError::Changed { .. }) => told += 1,
                    Err(other) => panic!("{other}"),
                }
            }
        }
        told
    };
    let told: usize = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..WRITERS)
            .map(|writer| {
                scope.spawn({
                    let path = &path;
                    move || add(writer, path)
                })
            })
            .collect();
        threads
            .into_iter()
            .map(|thread| thread.join().unwrap())
            .sum()
    });
    let last = Document::load(&path).unwrap();
    for writer in 0..WRITERS {
        for note in 0..NOTES {
            assert!(
                last.text().contains(&reading(writer, note)),
                "{writer} {note}"
            );
        }
    }
    assert!(told > 0, "they never met");
}

#[test]
fn of_two_commands_on_one_job_one_is_told_or_both_reasons_stand() {
    let ids = ["opening:B25+W2", "stringer-cut:N1+S1"];
    let mut told = 0;
    for _round in 0..4 {
        let folder = tempfile::tempdir().unwrap();
        let path = write(folder.path(), "job.ron", DEMO);
        let both = ids.map(|id| {
            let args = ["inspect", &path, "--because", "seen", "--let-stand", id];
            let mut command = program();
            command
                .args(args)
                .stdout(Stdio::null())
                .stderr(Stdio::piped());
            command.spawn().unwrap()
        });
        let ended = both.map(|child| child.wait_with_output().unwrap());
        let text = std::fs::read_to_string(&path).unwrap();
        Document::parse(&text, "job.ron").unwrap();
        for (id, ran) in ids.iter().zip(&ended) {
            let says = String::from_utf8_lossy(&ran.stderr);
            let stands = text.contains(&format!("{id:?}"));
            match ran.status.code() {
                Some(0) => assert!(stands, "{id} was lost"),
                Some(2) => {
                    assert!(says.contains("was changed by another program"), "{says}");
                    assert!(!stands);
                    told += 1;
                }
                _ => panic!("{}: {says}", ran.status),
            }
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
    assert!(told <= 4, "one of the two at least is written each time");
}
