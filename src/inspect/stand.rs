//! Troubles that the job lets stand, with their reasons.
//!
//! In: what was found and what the job says of it. Out: the reason of a trouble, and whether it has
//! changed since. Does not: make a trouble less of one.

use crate::job::{Document, Faults, Job, Len, LetStand};
use crate::measure::{Length, Tape};

use super::{Finding, Inspection};

/// A trouble that is let stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stands<'a> {
    /// Its place in [`Job::lets_stand`].
    pub at: usize,
    /// The reason, as the job has it.
    pub why: &'a LetStand,
    /// What it measured when that was written, where it has changed by more than a mark since.
    pub was: Option<Length>,
}

/// Whether a trouble is let stand, and why.
#[must_use]
pub fn let_stand<'a>(job: &'a Job, finding: &Finding) -> Option<Stands<'a>> {
    if job.lets_stand.is_empty() || !finding.is_trouble() {
        return None;
    }
    let id = finding.key.id();
    let mut all = job.lets_stand.iter().enumerate();
    let (at, why) = all.find(|(_, one)| one.trouble == id)?;
    Some(Stands {
        at,
        why,
        was: changed(why, finding, job.tape),
    })
}

/// The former value, where it is no more the same.
fn changed(why: &LetStand, finding: &Finding, tape: Tape) -> Option<Length> {
    let was = why.was.as_ref()?.value;
    let moved = (finding.value() - was).abs() > tape.mark();
    (finding.is_length() && moved).then_some(was)
}

/// What the job lets stand that is no trouble, or not there at all.
#[must_use]
pub fn no_more_there<'a>(job: &'a Job, inspection: &Inspection) -> Vec<&'a LetStand> {
    if job.lets_stand.is_empty() {
        return Vec::new();
    }
    let troubles = inspection.findings.iter().filter(|one| one.is_trouble());
    let there: std::collections::BTreeSet<String> = troubles.map(|one| one.key.id()).collect();
    let all = job.lets_stand.iter();
    all.filter(|one| !there.contains(&one.trouble)).collect()
}

/// A reason why a trouble is let stand, with what it measures now.
#[must_use]
pub fn reason(finding: &Finding, because: &str, tape: Tape) -> LetStand {
    let was = finding.is_length().then(|| Len {
        value: finding.value(),
        text: tape.print_exact(finding.value()),
    });
    LetStand {
        trouble: finding.key.id(),
        because: because.trim().to_owned(),
        was,
    }
}

/// The document with a trouble let stand for a reason, in place of one that may be there.
///
/// # Errors
/// Where the reason is none: empty, too long, or of characters that do not print.
pub fn lets_stand(
    document: &Document,
    finding: &Finding,
    because: &str,
) -> Result<Document, Faults> {
    let job = document.job();
    let written = reason(finding, because, job.tape);
    let mut all = job.lets_stand.iter();
    match all.position(|one| one.trouble == written.trouble) {
        Some(at) => document.set(&format!("lets_stand[{at}]"), &written.written()),
        None => document.append("lets_stand", &written.written()),
    }
}
