//! The stair with its open side on the other hand.

use approx::assert_relative_eq;
use proptest::prelude::*;
use rakewell::shop::cuts::cut_list;
use rakewell::shop::parts::parts;

use super::{drawn, off, run, same_findings, same_setout};

proptest! {
    #![proptest_config(drawn(8))]

    #[test]
    fn every_number_of_the_mirrored_stair_is_the_mirror_image(off in off(12)) {
        let [left, right] = ["Left", "Right"].map(|open| run(&off.text(open)));
        same_setout(&left.first().setout, &right.first().setout, -1.0);
        same_findings(&left, &right);
        let [one, seen] = [&left, &right].map(cut_list);
        prop_assert_eq!(one.pieces.len(), seen.pieces.len());
        for (a, b) in one.pieces.iter().zip(&seen.pieces) {
            assert_relative_eq!(a.rough.as_mm(), b.rough.as_mm(), epsilon = 2e-4);
        }
        let [one, seen] = [&left, &right].map(parts);
        prop_assert_eq!(one.len(), seen.len());
        for (a, b) in one.iter().zip(&seen) {
            assert_relative_eq!(a.volume, b.volume, max_relative = 1e-6);
        }
    }
}
