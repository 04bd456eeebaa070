//! Every input has a most, and past it a clear fault; nothing in a job leads out of its folder, and
//! nothing is run or fetched.

mod lists;
mod outside;
mod paths;
mod texts;

use rakewell::job::{Document, Faults};

use crate::cli::DEMO;

/// The demo with a value at a path, or what is wrong with it then.
fn demo_with_value(path: &str, value: &str) -> Result<Document, Faults> {
    Document::parse(DEMO, "job.ron").unwrap().set(path, value)
}

/// The fault at a place, or of what stands in it.
fn fault_at<'a>(faults: &'a Faults, path: &str) -> Option<&'a rakewell::job::Diagnostic> {
    let mut all = faults.diagnostics.iter();
    all.find(|fault| fault.path == path || fault.path.starts_with(&format!("{path}.")))
}
