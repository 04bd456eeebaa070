//! Balusters of several widths that take turns, and thin ones of metal.

use approx::assert_relative_eq;
use rakewell::job::Material;

use super::{LOWER_AT, SECTION, SPACING, UPPER_AT, inches, run, starter, troubles};

const TWO: (&str, &str) = (
    SECTION,
    "section: Square(\"1 1/4\"), pattern: [Square(\"1 1/4\"), Round(\"3/4\")]",
);

#[test]
fn a_tread_shares_what_its_widths_leave() {
    // (10 1/4 - 1 1/4 - 3/4) / 2 = 4 1/8 in; centres 5/8 and 1 1/4 + 4 1/8 + 3/8 in behind the kick.
    let mut job = starter(&[TWO]);
    job.design.balusters.peg_diameter = rakewell::job::Len::read("1/2").unwrap();
    let chain = run(&job);
    for one in &chain.first().setout.balusters {
        let step = chain.first().site.step(one.step).unwrap();
        let behind = (one.foot.x - step.kick_x) / 25.4;
        let (width, place) = if one.place == 1 {
            (1.25, 0.625)
        } else {
            (0.75, 5.75)
        };
        assert_relative_eq!(inches(one.along), width, epsilon = 1e-9);
        assert_relative_eq!(behind, place, epsilon = 1e-9);
        assert_eq!(one.round, one.place == 2);
    }
    for gap in &chain.first().setout.gaps {
        assert_relative_eq!(inches(gap.clear), 4.125, epsilon = 1e-9);
    }
    assert!(chain.inspection.clashes.is_empty());
}

#[test]
fn turns_go_on_from_tread_to_tread() {
    // Three on a tread of two kinds: wide narrow wide, then narrow wide narrow.
    let job = starter(&[
        TWO,
        (SPACING, "PerTread(count: 3),"),
        ("peg_diameter: \"5/8\"", "peg_diameter: \"1/2\""),
    ]);
    let chain = run(&job);
    for tread in &chain.first().setout.spacing.treads {
        let taken = if tread.step % 2 == 1 {
            2.0 * 1.25 + 0.75
        } else {
            1.25 + 2.0 * 0.75
        };
        assert_relative_eq!(inches(tread.gap), (10.25 - taken) / 3.0, epsilon = 1e-9);
    }
    // So gaps wander by a sixth of an inch: (3 1/4 - 2 3/4) / 3.
    assert_relative_eq!(
        inches(chain.first().setout.spacing.variation),
        0.5 / 3.0,
        epsilon = 1e-9
    );
}

#[test]
fn along_the_rail_every_gap_is_alike() {
    let job = starter(&[
        TWO,
        LOWER_AT,
        UPPER_AT,
        (SPACING, "AlongRail(),"),
        ("peg_diameter: \"5/8\"", "peg_diameter: \"1/2\""),
    ]);
    let chain = run(&job);
    let balusters = &chain.first().setout.balusters;
    let count = balusters.len();
    // Newels 3 1/2 in wide at -1/2 and 134: clear 134 1/2 - 3 1/2 = 131 in.
    let widths = |count: usize| (0..count).map(|at| [1.25, 0.75][at % 2]).sum::<f64>();
    let gap = |count: usize| (131.0 - widths(count)) / (count as f64 + 1.0);
    for one in &chain.first().setout.gaps {
        assert_relative_eq!(inches(one.clear), gap(count), epsilon = 1e-9);
    }
    let limit = 4.375 - 0.0625;
    assert!(gap(count) < limit && gap(count - 1) >= limit, "{count}");
    assert_eq!(
        chain
            .first()
            .setout
            .spacing
            .least
            .map(|least| least as usize),
        Some(count)
    );
}

#[test]
fn half_inch_bars_of_metal() {
    // Going 10, two of 1/2 in: gap 4 1/2, which fails 4 3/8 (arithmetic); three leave 2 5/6.
    let thin = [
        super::THREE_FOUR_FIVE,
        (SECTION, "section: Square(\"1/2\"), of: Metal"),
        ("peg_diameter: \"5/8\"", "peg_diameter: \"1/2\""),
    ];
    let chain = run(&starter(&thin));
    let tread = chain.first().setout.spacing.treads[3];
    assert_relative_eq!(inches(tread.gap), 4.5, epsilon = 1e-9);
    assert_eq!(tread.least, Some(3));
    assert!(
        troubles(&chain)
            .iter()
            .any(|says| says.contains("a ball of"))
    );
    let three = [&thin[..], &[(SPACING, "PerTread(count: 3),")]].concat();
    let chain = run(&starter(&three));
    let tread = chain.first().setout.spacing.treads[3];
    assert_relative_eq!(inches(tread.gap), 8.5 / 3.0, epsilon = 1e-9);
    assert!(troubles(&chain).is_empty(), "{:?}", troubles(&chain));
    assert!(
        chain
            .first()
            .setout
            .balusters
            .iter()
            .all(|one| one.of == Material::Metal)
    );
}
