//! The program as a person runs it: exit status, standard output, standard error, files.

mod bad_input;
mod compare;
mod compounding;
mod doubt;
mod dry_fit;
mod full_size;
pub(crate) mod json;
mod manual;
mod new;
mod readme;
mod stand;
mod survey;
mod tell;

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

/// The shipped demo and starter, as their files say.
pub(crate) const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

/// The demo that was surveyed thoroughly, with two slips in it.
pub(crate) const SURVEYED: &str = include_str!("../../../demo-scenes/mill-row.ron");

/// The program with nothing to draw on, so that no test opens a window.
pub(crate) fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_rakewell"));
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "CLICOLOR_FORCE", "RUST_LOG"] {
        program.env_remove(name);
    }
    program.stdin(Stdio::null());
    program
}

/// What one run gave.
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program; a panic fails the test wherever it happens.
pub(crate) fn rakewell<S: AsRef<OsStr>>(args: &[S]) -> Ran {
    let Output {
        status,
        stdout,
        stderr,
    } = program().args(args).output().unwrap();
    let ran = Ran {
        status: status.code().unwrap_or(-1),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    };
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

/// The demo's inspection as text: a run of a second or so that many tests look at.
pub(crate) fn demo_inspected() -> &'static Ran {
    static RAN: OnceLock<Ran> = OnceLock::new();
    RAN.get_or_init(|| rakewell(&["inspect"]))
}

/// The demo's inspection as JSON.
pub(crate) fn demo_json() -> &'static Ran {
    static RAN: OnceLock<Ran> = OnceLock::new();
    RAN.get_or_init(|| rakewell(&["inspect", "--json"]))
}

/// Writes a job into a folder and gives its path.
pub(crate) fn write(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path.to_str().unwrap().to_owned()
}

/// The demo with one text in it replaced by another.
pub(crate) fn demo_with(old: &str, new: &str) -> String {
    assert_eq!(
        DEMO.matches(old).count(),
        1,
        "{old:?} stands in the demo once"
    );
    DEMO.replacen(old, new, 1)
}
