//! Everything made true: no departure is left, and no trouble.

use std::sync::Arc;

use proptest::prelude::*;
use rakewell::chain::{self, Chain};
use rakewell::job::OneRun;

use super::{drawn, off, run};

/// The runs as they were meant, their newels plumb and square too: a lean is read of the newel itself,
/// not of the stair, so that the chain keeps it where all that was surveyed is made true.
fn all_meant(found: &Chain) -> Vec<Arc<OneRun>> {
    let plumb = |run: Arc<OneRun>| {
        let mut run = Arc::unwrap_or_clone(run);
        for newel in &mut run.job.design.newels {
            newel.lean = None;
            newel.twist = None;
        }
        Arc::new(run)
    };
    chain::meant(found).into_iter().map(plumb).collect()
}

proptest! {
    #![proptest_config(drawn(8))]

    #[test]
    fn no_trouble_is_left_where_everything_is_made_true(off in off(24)) {
        let found = run(&off.text("Left"));
        let held = chain::run_true(&found).unwrap();
        let afresh = chain::run_on(&all_meant(&found), found.all_true(), &[]).unwrap();
        let left = afresh.inspection.troubles().into_iter();
        let left: Vec<String> = left
            .map(|trouble| format!("{}: {}", trouble.key.id(), trouble.says))
            .collect();
        prop_assert!(left.is_empty(), "{left:?}");
        prop_assert!(held.first().estimates.faults().is_empty());
        prop_assert!(afresh.first().estimates.faults().is_empty());
    }
}
