//! Checks of stringers and skirts.

use super::Check;
use crate::job::limits::{
    BOARD, INSET, MOST_SKIRTS, MOST_STRINGERS, SKIRT_ABOVE, SKIRT_WIDTH, THROAT,
};

pub(super) fn check(check: &mut Check<'_>) {
    stringers(check);
    skirts(check);
}

fn stringers(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few(
        "stringers",
        "stringers",
        job.stringers.len(),
        MOST_STRINGERS,
    ) {
        return;
    }
    for (at, stringer) in job.stringers.iter().enumerate() {
        let path = |field: &str| format!("stringers[{at}].{field}");
        check.length(&path("inset"), "the inset", &stringer.inset, INSET);
        check.length(
            &path("thickness"),
            "the thickness",
            &stringer.thickness,
            BOARD,
        );
        check.length(&path("throat"), "the throat", &stringer.throat, THROAT);
    }
}

fn skirts(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few("skirts", "skirts", job.skirts.len(), MOST_SKIRTS) {
        return;
    }
    for (at, skirt) in job.skirts.iter().enumerate() {
        let path = |field: &str| format!("skirts[{at}].{field}");
        check.length(&path("thickness"), "the thickness", &skirt.thickness, BOARD);
        check.length(
            &path("above"),
            "the height above",
            &skirt.above,
            SKIRT_ABOVE,
        );
        check.length(&path("width"), "the width", &skirt.width, SKIRT_WIDTH);
    }
}
