//! Everything made true: no departure is left, and no trouble.

use proptest::prelude::*;
use rakewell::chain;

use super::{drawn, off, run};

proptest! {
    #![proptest_config(drawn(8))]

    #[test]
    fn no_trouble_is_left_where_everything_is_made_true(off in off(24)) {
        let found = run(&off.text("Left"));
        let held = chain::run_true(&found).unwrap();
        let afresh = chain::run_on(&chain::meant(&found), found.all_true(), &[]).unwrap();
        // What was read stands: the newel's lean is one of its own readings.
        let lean = off.lean != [0, 0];
        for chain in [&afresh] {
            for trouble in chain.inspection.troubles() {
                let of_lean = lean && trouble.key.parts.iter().any(|part| part == "N1");
                prop_assert!(of_lean, "{}: {}", trouble.key.id(), trouble.says);
            }
        }
        prop_assert!(held.first().estimates.faults().is_empty());
        prop_assert!(afresh.first().estimates.faults().is_empty());
    }
}
