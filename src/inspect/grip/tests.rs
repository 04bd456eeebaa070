//! Sections at the edges of the published sizes.
//!
//! Sizes: IRC R311.7.8.5 and R320.6 (type I round 1 1/4 to 2 in; other shapes 4 to 6 1/4 in round and
//! 2 1/4 in across at most; type II: recess within 3/4 in of the tallest point, 5/16 in deep within
//! 7/8 in below the widest, for 3/8 in, down to 1 3/4 in, 1 1/4 to 2 3/4 in wide above it); ADA
//! 505.7.1 and 505.7.2 have the same for type I.

use super::*;
use crate::job::{Len, Recess};

fn inches(value: f64) -> Len {
    Len::inches(value)
}

fn published() -> GripSizes {
    GripSizes {
        round_least: inches(1.25),
        round_most: inches(2.0),
        perimeter_least: inches(4.0),
        perimeter_most: inches(6.25),
        section_most: inches(2.25),
        recess: Some(Recess {
            begins_within: inches(0.75),
            depth: inches(0.3125),
            depth_within: inches(0.875),
            continues: inches(0.375),
            down_to: inches(1.75),
            width_least: inches(1.25),
            width_most: inches(2.75),
        }),
    }
}

fn outline(corners: &[(f64, f64)]) -> Profile {
    let corners = corners.iter().map(|&(a, u)| (inches(a), inches(u)));
    Profile::Outline(corners.collect())
}

fn rectangle(width: f64, depth: f64) -> Profile {
    let half = width / 2.0;
    outline(&[(half, 0.0), (half, -depth), (-half, -depth), (-half, 0.0)])
}

fn of(profile: &Profile) -> Grip {
    grip(profile, &published())
}

fn passes(profile: &Profile) -> bool {
    let grip = of(profile);
    assert_eq!(grip.faults.is_empty(), grip.off <= Length::ZERO);
    grip.faults.is_empty()
}

#[test]
fn rounds_go_by_their_diameter() {
    for (diameter, good) in [(1.25, true), (2.0, true), (2.01, false), (1.24, false)] {
        let grip = of(&Profile::Round(inches(diameter)));
        assert_eq!(grip.held_as, GripType::Round);
        assert_eq!(grip.faults.is_empty(), good, "{diameter}");
    }
    let off = of(&Profile::Round(inches(2.01))).off.as_inches();
    assert!((off - 0.01).abs() < 1e-9);
}

#[test]
fn other_shapes_go_by_perimeter_and_greatest_dimension() {
    // A square of 1 1/2 in: 6 in round, 2.121 across. One of 1.6 in: 6.4 in round.
    assert!(passes(&rectangle(1.5, 1.5)));
    let square = of(&rectangle(1.6, 1.6));
    assert_eq!(square.held_as, GripType::Other);
    assert!((square.off.as_inches() - 0.15).abs() < 1e-9);
    // 1 by 2 1/4: 6 1/2 round, and 2.462 from corner to corner.
    let slat = of(&rectangle(1.0, 2.25));
    assert_eq!(slat.faults.len(), 2);
    let greatest = &slat.faults[1];
    assert!((greatest.is.as_inches() - 1.0_f64.hypot(2.25)).abs() < 1e-9);
    // Perimeter exactly 4 and 6 1/4.
    assert!(passes(&rectangle(1.0, 1.0)));
    assert!(!passes(&rectangle(1.0, 0.99)));
    assert!(passes(&rectangle(1.5625, 1.5625)));
    assert!(!passes(&rectangle(1.5625, 1.563)));
}

/// A bread-loaf head over a recess on both sides, and a foot as wide as the head.
struct Loaf {
    begins: f64,
    deep_at: f64,
    deep_to: f64,
    depth: f64,
    width: f64,
}

impl Loaf {
    fn usual() -> Self {
        Self {
            begins: 0.75,
            deep_at: 1.625,
            deep_to: 2.0,
            depth: 0.3125,
            width: 2.25,
        }
    }

    fn profile(&self) -> Profile {
        let half = self.width / 2.0;
        let right = [
            (half - 0.25, 0.0),
            (half, -0.25),
            (half, -self.begins),
            (half - self.depth, -self.deep_at),
            (half - self.depth, -self.deep_to),
            (half, -self.deep_to - 0.125),
            (half, -self.deep_to - 0.5),
        ];
        let left = right.iter().rev().map(|&(a, u)| (-a, u));
        outline(&right.iter().copied().chain(left).collect::<Vec<_>>())
    }
}

#[test]
fn a_rail_with_finger_recesses_keeps_every_size_at_its_edge() {
    let usual = of(&Loaf::usual().profile());
    assert_eq!(usual.held_as, GripType::Recessed);
    assert!(usual.faults.is_empty(), "{:?}", usual.faults);
    let worse = |change: fn(&mut Loaf)| {
        let mut loaf = Loaf::usual();
        change(&mut loaf);
        let grip = of(&loaf.profile());
        assert_eq!(grip.held_as, GripType::Recessed);
        let what: Vec<&str> = grip.faults.iter().map(|fault| fault.what).collect();
        what.join(", ")
    };
    let begins = worse(|loaf| {
        loaf.begins = 0.76;
        loaf.deep_at = 1.63;
        loaf.deep_to = 2.01;
    });
    assert_eq!(begins, "the depth below its top at which the recess begins");
    let late = worse(|loaf| loaf.deep_at = 1.626);
    assert!(
        late.contains("how far below its widest it is so deep"),
        "{late}"
    );
    assert_eq!(worse(|loaf| loaf.depth = 0.312), "the depth of the recess");
    let short = worse(|loaf| loaf.deep_to = 1.99);
    assert_eq!(short, "how far it stays so deep");
    let high = worse(|loaf| {
        loaf.begins = 0.5;
        loaf.deep_at = 1.0;
        loaf.deep_to = 1.74;
    });
    assert_eq!(high, "how far down from its top it stays so deep");
    assert_eq!(
        worse(|loaf| loaf.width = 2.76),
        "its width above the recess"
    );
    let wide = Loaf {
        width: 2.75,
        ..Loaf::usual()
    };
    assert!(passes(&wide.profile()));
}

#[test]
fn one_side_without_a_recess_is_not_enough() {
    let Profile::Outline(mut corners) = Loaf::usual().profile() else {
        panic!("a loaf is an outline");
    };
    // The left side straight down from its widest.
    corners.retain(|(across, _)| across.value > Length::ZERO);
    let right: Vec<(f64, f64)> = corners
        .iter()
        .map(|(a, u)| (a.value.as_inches(), u.value.as_inches()))
        .collect();
    let left = [(-1.125, -2.5), (-1.125, -0.25), (-0.875, 0.0)];
    let half = outline(&right.into_iter().chain(left).collect::<Vec<_>>());
    assert!(!passes(&half));
    // A section is the same seen in a mirror, and the other way round its corners.
    let Profile::Outline(corners) = &half else {
        panic!("it is an outline");
    };
    let mirrored = corners
        .iter()
        .map(|(a, u)| (-a.value.as_inches(), u.value.as_inches()));
    let mirrored = outline(&mirrored.collect::<Vec<_>>());
    assert!((of(&mirrored).off - of(&half).off).abs().as_mm() < 1e-9);
}

#[test]
fn a_plain_block_of_a_rail_is_told_by_its_missing_recess() {
    let block = of(&rectangle(2.25, 2.375));
    assert_eq!(block.held_as, GripType::Recessed);
    assert!(!block.faults.is_empty());
    let none = GripSizes {
        recess: None,
        ..published()
    };
    let other = grip(&rectangle(2.25, 2.375), &none);
    assert_eq!(other.held_as, GripType::Other);
    // Four sides less the most round: 9 1/4 less 6 1/4.
    assert!((other.off.as_inches() - 3.0).abs() < 1e-9);
}
