//! Every command that writes, on a full disk; and each way to write in a folder that may only be read or
//! is not there, and ended in the middle of a write. What was there stays to the byte, nothing is
//! left beside it, and the fault is told with the name of what was not written.
//!
//! The full disk here is the system's limit on the size of a file (POSIX `ulimit -f`), which refuses a
//! write half way as a full disk does; `tests/faults.sh` does the same on a file system that is full.

use std::os::unix::fs::PermissionsExt as _;
use std::os::unix::process::ExitStatusExt as _;
use std::path::Path;
use std::process::Command;

use super::{holds, is_draft};
use crate::cli::{DEMO, program, write};

/// A job without troubles, which every command goes through quickly.
const JOB: &str = include_str!("../../../scenes/straight.ron");
/// A job with boards to cut from.
const BOARDS: &str = include_str!("../../../demo-scenes/weir-cottage.ron");

/// A command that writes: its arguments before what it writes, and what that is called.
struct Writes {
    args: &'static [&'static str],
    to: &'static str,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// A file that must not be there yet.
    New,
    /// A file, in place of one that may be there.
    Over,
    /// A folder of files.
    Folder,
    /// The job itself, in which the demo's openings are.
    Job,
}

const fn writes(args: &'static [&'static str], to: &'static str, kind: Kind) -> Writes {
    Writes { args, to, kind }
}

/// `JOB` and `BOARDS` stand for the paths of these jobs.
const COMMANDS: [Writes; 20] = [
    writes(&["new"], "new.ron", Kind::New),
    writes(&["inspect", "JOB", "--sheet"], "sheet.pdf", Kind::Over),
    writes(&["inspect", "JOB", "--sheet"], "sheet.html", Kind::Over),
    writes(
        &["inspect", "JOB", "--apply", "opening:B25+W2"],
        "job.ron",
        Kind::Job,
    ),
    writes(
        &[
            "inspect",
            "JOB",
            "--because",
            "seen",
            "--let-stand",
            "opening:B25+W2",
        ],
        "job.ron",
        Kind::Job,
    ),
    writes(&["survey", "JOB", "--walls"], "walls", Kind::Folder),
    writes(
        &[
            "points", "JOB", "--wall", "W1", "--frame", "wall", "--unit", "mm", "--file", "SCAN",
            "--to",
        ],
        "scanned.ron",
        Kind::New,
    ),
    writes(&["stock", "BOARDS", "--csv"], "boards.csv", Kind::Over),
    writes(&["cuts", "JOB", "--csv"], "tables", Kind::Folder),
    writes(&["parts", "JOB", "--csv", "--to"], "parts.csv", Kind::Over),
    writes(&["model", "JOB", "--to"], "model.ifc", Kind::Over),
    writes(&["model", "JOB", "--to"], "model.glb", Kind::Over),
    writes(
        &["page", "JOB", "--no-pictures", "--to"],
        "page.html",
        Kind::Over,
    ),
    writes(&["doubt", "JOB", "--compounding"], "errors.svg", Kind::Over),
    writes(&["doubt", "JOB", "--compounding"], "errors.pdf", Kind::Over),
    writes(
        &["templates", "JOB", "--only", "N1", "--svg", "--to"],
        "templates",
        Kind::Folder,
    ),
    writes(&["pole", "JOB", "--to"], "pole.pdf", Kind::Over),
    writes(&["sheets", "JOB", "--svg", "--to"], "sheets", Kind::Folder),
    writes(&["survey-sheet", "JOB", "--to"], "readings.pdf", Kind::New),
    writes(&["manual", "--to"], "manual", Kind::Folder),
];

/// The ways to write.
const WAYS: [Kind; 4] = [Kind::New, Kind::Over, Kind::Folder, Kind::Job];

/// A command that writes in one of these ways: what a fault does is the way's.
fn one_of(kind: Kind) -> &'static Writes {
    COMMANDS.iter().find(|one| one.kind == kind).unwrap()
}

/// The demo's wall on a grid of points, as rows of millimetres.
fn scan() -> String {
    let rows = (0..60).flat_map(|column| (0..60).map(move |row| (column * 80, row * 80)));
    rows.map(|(along, up)| format!("{along} {up} 0\n"))
        .collect()
}

/// One command with what it reads in one folder and what it writes in another.
struct Trial {
    command: &'static Writes,
    read: tempfile::TempDir,
    written: tempfile::TempDir,
}

impl Trial {
    fn of(command: &'static Writes) -> Self {
        let trial = Self {
            command,
            read: tempfile::tempdir().unwrap(),
            written: tempfile::tempdir().unwrap(),
        };
        write(trial.read.path(), "scan.xyz", scan());
        let to = trial.written.path();
        match command.kind {
            Kind::Job => {
                write(to, "job.ron", DEMO);
            }
            Kind::New => {}
            Kind::Over => {
                write(to, command.to, "what was there");
            }
            Kind::Folder => {
                std::fs::create_dir(to.join(command.to)).unwrap();
                write(&to.join(command.to), "old.txt", "what was there");
            }
        }
        write(trial.read.path(), "job.ron", JOB);
        write(trial.read.path(), "boards.ron", BOARDS);
        trial
    }

    /// Its arguments, where it writes into a folder.
    fn args(&self, folder: &Path) -> Vec<String> {
        let path = |folder: &Path, name: &str| folder.join(name).to_str().unwrap().to_owned();
        let job = match self.command.kind {
            Kind::Job => path(folder, "job.ron"),
            _ => path(self.read.path(), "job.ron"),
        };
        let mut args: Vec<String> = self
            .command
            .args
            .iter()
            .map(|arg| match *arg {
                "JOB" => job.clone(),
                "BOARDS" => path(self.read.path(), "boards.ron"),
                "SCAN" => path(self.read.path(), "scan.xyz"),
                other => other.to_owned(),
            })
            .collect();
        if self.command.kind != Kind::Job {
            args.push(path(folder, self.command.to));
        }
        args
    }

    /// What it writes, in words.
    fn says(&self) -> String {
        format!("{} {}", self.command.args.join(" "), self.command.to)
    }

    /// The folder in which the files themselves lie.
    fn within(&self) -> std::path::PathBuf {
        match self.command.kind {
            Kind::Folder => self.written.path().join(self.command.to),
            _ => self.written.path().to_owned(),
        }
    }
}

/// Runs the program under a shell that first does something.
fn after(prepares: &str, args: &[String]) -> std::process::Output {
    let rakewell = program();
    let mut shell = Command::new("sh");
    shell
        .arg("-c")
        .arg(format!("{prepares}; exec \"$0\" \"$@\""))
        .arg(rakewell.get_program())
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .stdin(std::process::Stdio::null());
    shell.output().unwrap()
}

/// The program's standard error, where it told a fault as one of the machine.
fn told(trial: &Trial, ran: &std::process::Output) -> String {
    let says = String::from_utf8(ran.stderr.clone()).unwrap();
    assert_eq!(ran.status.code(), Some(2), "{}: {says}", trial.says());
    assert!(!says.contains("panicked"), "{}: {says}", trial.says());
    assert!(
        !says.contains(".rakewell-"),
        "{}: names a draft: {says}",
        trial.says()
    );
    assert!(!says.contains("os error"), "{}: {says}", trial.says());
    says
}

#[test]
fn on_a_full_disk_every_command_leaves_what_was_there_and_says_so() {
    for command in &COMMANDS {
        let trial = Trial::of(command);
        let before = holds(&trial.within());
        let ran = after(
            "trap '' XFSZ; ulimit -f 1",
            &trial.args(trial.written.path()),
        );
        let says = told(&trial, &ran);
        assert!(
            says.contains("large") || says.contains("full"),
            "{}: {says}",
            trial.says()
        );
        assert!(
            says.contains(trial.written.path().to_str().unwrap()),
            "{says}"
        );
        let there = holds(&trial.within());
        let files = |all: &[(String, Vec<u8>)]| {
            let full = |(_, bytes): &&(String, Vec<u8>)| !bytes.is_empty();
            all.iter().filter(full).cloned().collect::<Vec<_>>()
        };
        // A folder for drawings may be there now; no file is.
        assert!(files(&there) == files(&before), "{}", trial.says());
    }
}

#[test]
fn ended_in_the_middle_of_a_write_what_was_there_stays() {
    // As the signal has it by itself (POSIX: "abnormal termination"), without what is left of it. Each
    // step of each way is ended in `killed.rs`.
    for command in WAYS.map(one_of) {
        let trial = Trial::of(command);
        let before = holds(&trial.within());
        let ran = after(
            "ulimit -c 0; ulimit -f 1",
            &trial.args(trial.written.path()),
        );
        assert!(
            ran.status.signal().is_some(),
            "{}: {}",
            trial.says(),
            ran.status
        );
        let there: Vec<(String, Vec<u8>)> = holds(&trial.within())
            .into_iter()
            .filter(|(name, bytes)| !(is_draft(name) || bytes.is_empty()))
            .collect();
        assert!(there == before, "{}", trial.says());
    }
}

#[test]
fn in_a_folder_that_may_only_be_read_nothing_changes() {
    // Whom the system lets write everywhere gives that right away first.
    let probe = tempfile::tempdir().unwrap();
    let only_read = |folder: &Path| {
        let mode = std::fs::Permissions::from_mode(0o500);
        std::fs::set_permissions(folder, mode).unwrap();
    };
    only_read(probe.path());
    let master = std::fs::write(probe.path().join("probe"), "").is_ok();
    for command in WAYS.map(one_of) {
        let trial = Trial::of(command);
        let before = holds(&trial.within());
        only_read(&trial.within());
        let mut args = trial.args(trial.written.path());
        let mut run = if master {
            let mut run = Command::new("setpriv");
            run.arg("--bounding-set=-dac_override,-dac_read_search");
            run.arg(program().get_program());
            run
        } else {
            program()
        };
        let ran = run.args(args.drain(..)).output().unwrap();
        let says = told(&trial, &ran);
        assert!(
            says.contains("may not be written"),
            "{}: {says}",
            trial.says()
        );
        assert!(holds(&trial.within()) == before, "{}", trial.says());
        let mode = std::fs::Permissions::from_mode(0o700);
        std::fs::set_permissions(trial.within(), mode).unwrap();
    }
}

#[test]
fn where_its_folder_is_not_there_nothing_is_made() {
    let files = WAYS.into_iter().filter(|kind| *kind != Kind::Job);
    for command in files.map(one_of) {
        let trial = Trial::of(command);
        // A file in the way, where a command makes its folder itself.
        let folder = match command.kind {
            Kind::Folder => trial.read.path().join("scan.xyz"),
            _ => trial.written.path().join("gone"),
        };
        let ran = program().args(trial.args(&folder)).output().unwrap();
        let says = told(&trial, &ran);
        assert!(says.contains("folder"), "{}: {says}", trial.says());
        assert!(
            says.contains(folder.to_str().unwrap()),
            "{}: {says}",
            trial.says()
        );
        assert!(!trial.written.path().join("gone").exists());
    }
}

#[test]
fn what_is_no_file_is_left_alone() {
    // The program once gave its draft the name of whatever stood there, a device among them.
    let trial = Trial::of(&COMMANDS[9]);
    let pipe = trial.written.path().join(trial.command.to);
    std::fs::remove_file(&pipe).unwrap();
    let made = Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    let ran = program()
        .args(trial.args(trial.written.path()))
        .output()
        .unwrap();
    let says = told(&trial, &ran);
    assert!(says.contains("is not a file"), "{says}");
    let about = std::fs::symlink_metadata(&pipe).unwrap();
    assert!(!about.is_file() && !about.is_dir());
}

#[test]
fn a_link_keeps_pointing_and_a_file_marked_as_read_only_stays() {
    let trial = Trial::of(&COMMANDS[9]);
    let place = trial.written.path().join(trial.command.to);
    let behind = trial.read.path().join("behind.csv");
    std::fs::rename(&place, &behind).unwrap();
    std::os::unix::fs::symlink(&behind, &place).unwrap();
    let args = trial.args(trial.written.path());
    assert!(program().args(&args).status().unwrap().success());
    assert!(std::fs::symlink_metadata(&place).unwrap().is_symlink());
    let text = std::fs::read(&behind).unwrap();
    assert!(text.starts_with(b"name,"));
    let only_read = std::fs::Permissions::from_mode(0o444);
    std::fs::set_permissions(&behind, only_read).unwrap();
    let ran = program().args(&args).output().unwrap();
    let says = told(&trial, &ran);
    assert!(says.contains("read-only"), "{says}");
    assert_eq!(std::fs::read(&behind).unwrap(), text);
}
