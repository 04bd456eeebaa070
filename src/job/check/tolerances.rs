//! Checks of how true the work is said to be cut and fitted.

use super::Check;
use crate::job::limits::TOLERANCE;
use crate::job::{Operation, Tolerances};

/// Checks those of the job and of each of its runs.
pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    one(check, "design", &job.design.tolerances);
    for (at, run) in job.runs.iter().enumerate() {
        if let Some(design) = &run.design {
            one(check, &format!("runs[{at}].design"), &design.tolerances);
        }
    }
}

fn one(check: &mut Check<'_>, path: &str, stated: &Tolerances) {
    for operation in Operation::ALL {
        if let Some(length) = stated.stated(operation) {
            let field = format!("{path}.tolerances.{}", operation.field());
            let what = format!("what is allowed for {}", operation.word());
            check.length(&field, &what, length, TOLERANCE);
        }
    }
}
