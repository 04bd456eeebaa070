//! Faults of the machine while something is written: the job is the old one or the new one, whole, and
//! what went wrong is told.

mod killed;
#[cfg(unix)]
mod program;
mod steps;
mod together;

use std::cell::RefCell;
use std::io;
use std::path::Path;
#[cfg(unix)]
use std::path::PathBuf;

use rakewell::job::Document;
use rakewell::job::whole::{Step, Steps};

/// What happens at one step of a writing, counted from 0.
pub(crate) enum End {
    /// The step fails as on a full disk.
    Fails,
    /// The program is gone.
    Dies,
}

/// Ends a writing at one step.
pub(crate) struct EndsAt {
    pub(crate) step: usize,
    pub(crate) end: End,
    /// The steps that were asked for.
    pub(crate) seen: RefCell<Vec<Step>>,
}

impl EndsAt {
    pub(crate) fn new(step: usize, end: End) -> Self {
        Self {
            step,
            end,
            seen: RefCell::default(),
        }
    }

    /// True where the writing was over before it came to its step.
    pub(crate) fn outlived(&self) -> bool {
        self.seen.borrow().len() <= self.step
    }
}

impl Steps for EndsAt {
    fn before(&self, step: Step) -> io::Result<()> {
        self.seen.borrow_mut().push(step);
        if self.seen.borrow().len() == self.step + 1 {
            match self.end {
                End::Fails => return Err(io::ErrorKind::StorageFull.into()),
                End::Dies => std::process::abort(),
            }
        }
        Ok(())
    }
}

/// A job of several pieces, and the same with another rail height.
pub(crate) fn old_and_new() -> [Document; 2] {
    let text = include_str!("../../../demo-scenes/quarry-lane.ron").to_owned();
    let text =
        text + &"// A remark at its end, so that it goes to the disk in pieces.\n".repeat(200);
    let old = Document::parse(&text, "job.ron").unwrap();
    let new = old.set_length("design.rail.height", "35 1/2").unwrap();
    assert_ne!(old.text(), new.text());
    [old, new]
}

/// The names and the bytes of what is in a folder, in order.
pub(crate) fn holds(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if path.is_dir() {
            let within = holds(&path).into_iter();
            all.extend(within.map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)));
            all.push((name, Vec::new()));
        } else {
            all.push((name, std::fs::read(&path).unwrap()));
        }
    }
    all.sort();
    all
}

/// A job in a folder of its own, and a symbolic link to it beside that folder.
#[cfg(unix)]
pub(crate) struct Linked {
    pub(crate) inner: PathBuf,
    pub(crate) link: PathBuf,
}

#[cfg(unix)]
impl Linked {
    const TARGET: &str = "inner/job.ron";

    /// Makes both, with the job in its place.
    pub(crate) fn made(folder: &Path, job: &Document) -> Self {
        let linked = Self::at(folder);
        std::fs::create_dir(&linked.inner).unwrap();
        job.save_new(&linked.inner.join("job.ron")).unwrap();
        std::os::unix::fs::symlink(Self::TARGET, &linked.link).unwrap();
        linked
    }

    /// Where both lie.
    pub(crate) fn at(folder: &Path) -> Self {
        Self {
            inner: folder.join("inner"),
            link: folder.join("link.ron"),
        }
    }

    /// The job's text behind the link, which is the link that was made.
    pub(crate) fn text(&self) -> String {
        let target = std::fs::read_link(&self.link).unwrap();
        assert_eq!(target, Path::new(Self::TARGET));
        let beside = std::fs::read_dir(self.link.parent().unwrap()).unwrap();
        assert_eq!(beside.count(), 2, "nothing is made beside the link");
        std::fs::read_to_string(&self.link).unwrap()
    }
}

pub(crate) fn is_draft(name: &str) -> bool {
    name.starts_with(".rakewell-") && name.ends_with(".tmp")
}
