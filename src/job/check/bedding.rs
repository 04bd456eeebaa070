//! Checks of how treads and kicks are bedded.

use super::Check;
use crate::job::limits::{BEAD, LEVEL_COST, NEIGHBOURS, RELIEVE, RELIEVE_COST};
use crate::job::{Across, Job, StepReading, Surface};

pub(super) fn check(check: &mut Check<'_>) {
    let Some(bedding) = &check.job.bedding else {
        return;
    };
    let beads = [
        ("bedding.light", "the light bead", &bedding.light),
        ("bedding.normal", "the normal bead", &bedding.normal),
        ("bedding.heavy", "the heavy bead", &bedding.heavy),
    ];
    let mut sound = true;
    for (path, what, bead) in beads {
        sound &= check.length(path, what, bead, BEAD);
    }
    for pair in beads.windows(2) {
        let ((_, thin, light), (path, thick, heavy)) = (pair[0], pair[1]);
        if sound && heavy.value <= light.value {
            check.tell(
                path,
                format!("{thick} fills no more than {thin}"),
                format!("write more than {}", check.print(light.value)),
            );
        }
    }
    let most = "the most that a cut is relieved";
    check.length("bedding.relieve_most", most, &bedding.relieve_most, RELIEVE);
    if let Some(neighbours) = &bedding.neighbours {
        let what = "the most that neighbours differ";
        check.length("bedding.neighbours", what, neighbours, NEIGHBOURS);
    }
    let costs = [
        ("relieve", &RELIEVE_COST, bedding.relieve_cost),
        ("level", &LEVEL_COST, bedding.level_cost),
    ];
    for (what, bounds, cost) in costs {
        // A range holds no NaN.
        if !bounds.contains(&cost) {
            check.tell(
                &format!("bedding.{what}_cost"),
                "this is so many times what filling costs",
                format!("write {} to {}", bounds.start(), bounds.end()),
            );
        }
    }
    if !has_cuts(check.job) {
        check.warn(
            "bedding",
            "no stringer's cut was read, so nothing can be bedded",
            "read each: Rise(step: 1, is: \"7 1/4\", on: Rough, side: Stringer(\"S1\"))",
        );
    }
}

/// True where some reading was taken on a stringer's cut.
fn has_cuts(job: &Job) -> bool {
    let on_cut = |reading: &StepReading| {
        *reading.on() == Surface::Rough && matches!(reading.side(), Across::Stringer(_))
    };
    job.flight.readings.iter().any(on_cut)
}
