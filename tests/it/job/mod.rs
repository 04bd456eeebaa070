//! The job document: reading, faults, edits and saving.

mod alternatives;
mod bad_input;
mod edit;
mod load;
mod properties;
mod railing;
mod save;
mod sense;

use rakewell::job::{Document, Faults};

/// A whole job, used wherever a valid file is wanted.
pub(crate) const SAMPLE: &str = include_str!("sample.ron");

/// The sample as a document.
pub(crate) fn sample() -> Document {
    Document::parse(SAMPLE, "sample.ron").expect("the sample is valid")
}

/// The sample with one stretch of text replaced.
fn with(old: &str, new: &str) -> String {
    assert_eq!(
        SAMPLE.matches(old).count(),
        1,
        "{old} stands once in the sample"
    );
    SAMPLE.replacen(old, new, 1)
}

/// The faults of the sample with one stretch of text replaced.
fn faults_with(old: &str, new: &str) -> Faults {
    Document::parse(&with(old, new), "job.ron").expect_err(new)
}

/// Checks that a text has one fault: its line in the file, field, what was read, what is wrong
/// and what would do (parts of these two).
#[track_caller]
fn one_fault(text: &str, path: &str, read: &str, problem: &str, help: &str) {
    let faults = Document::parse(text, "job.ron").expect_err(problem);
    assert_eq!(faults.diagnostics.len(), 1, "one fault only:\n{faults}");
    let fault = &faults.diagnostics[0];
    assert_eq!(fault.path, path, "{faults}");
    assert_eq!(fault.read, read, "{faults}");
    assert!(fault.problem.contains(problem), "{faults}");
    assert!(fault.help.contains(help), "{faults}");
    // The place is where the text says it is.
    let line = text.lines().nth(fault.line - 1).expect("the line is there");
    let from: String = line.chars().skip(fault.column - 1).collect();
    let start: String = fault.read.chars().take_while(|c| *c != '.').collect();
    let told = text.get(fault.bytes.clone()).expect("the bytes are there");
    assert!(
        from.starts_with(told.lines().next().unwrap_or("")),
        "{faults}"
    );
    assert!(told.is_empty() || line.contains(&start), "{faults}");
    // Both forms of the message hold all of it.
    for message in [faults.to_string(), faults.render(false)] {
        let place = format!("job.ron:{}:{}", fault.line, fault.column);
        for part in [&place, path, problem, help] {
            assert!(message.contains(part), "{part} is missing in:\n{message}");
        }
    }
    assert!(
        read.is_empty() || faults.to_string().contains(read),
        "{faults}"
    );
}
