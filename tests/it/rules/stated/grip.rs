//! Sections of rails: IRC R311.7.8.5 (R320.6 in 2024), type I and type II; ADA 505.7 for type I.

use rakewell::inspect::{Kind, Verdict};

use super::{BOTH_SIDES, STRAIGHT, WALL_RAIL, edited, found, is, one, rule};

/// The sizes as published.
pub(super) fn published() -> String {
    rule(
        "Grip",
        "AtMost",
        r#"Grip((
            round_least: "1 1/4 in", round_most: "2 in",
            perimeter_least: "4 in", perimeter_most: "6 1/4 in", section_most: "2 1/4 in",
            recess: Some((
                begins_within: "3/4 in", depth: "5/16 in", depth_within: "7/8 in",
                continues: "3/8 in", down_to: "1 3/4 in",
                width_least: "1 1/4 in", width_most: "2 3/4 in",
            )),
        ))"#,
    )
}

/// The wall rail with another section.
fn wall_rail(width: &str, depth: &str, more: &str) -> String {
    let size = format!("width: \"{width}\",\n            depth: \"{depth}\",\n            {more}");
    edited(
        WALL_RAIL,
        &[(
            "width: \"1 3/4\",\n            depth: \"1 3/4\",\n            bevel: \"1/4\",\n            \
             profile: Round(\"1 3/4\"),",
            &size,
        )],
    )
}

// Rounds of 1 1/4, 2 and 2.01 in; squares of 1 1/2 and 1.6 in; 1 by 2 1/4 in.
#[test]
fn the_classifier_at_its_published_edges() {
    let cases = [
        ("1.25", "1.25", "profile: Round(\"1.25\"),", 0.0),
        ("2", "2", "profile: Round(\"2\"),", 0.0),
        ("2.01", "2.01", "profile: Round(\"2.01\"),", 0.01),
        ("1.5", "1.5", "", 0.0),
        ("1.6", "1.6", "", 0.15),
        ("1", "2.25", "", 0.25),
    ];
    for (width, depth, more, off) in cases {
        let finding = one(&wall_rail(width, depth, more), &published(), Kind::Grip);
        let verdict = if off > 0.0 {
            Verdict::Broken
        } else {
            Verdict::Met
        };
        is(&finding, verdict, off, 1e-6);
        assert_eq!(finding.key.parts, ["R2"]);
    }
    // Its bevelled square: 1 3/4 in with 1/4 in off two edges is 6.707 in round.
    let bevelled = wall_rail("1 3/4", "1 3/4", "bevel: \"1/4\",");
    let bevelled = one(&bevelled, &published(), Kind::Grip);
    let round = 4.0 * 1.75 - 2.0 * (2.0 - 2.0_f64.sqrt()) * 0.25;
    is(&bevelled, Verdict::Broken, round - 6.25, 1e-6);
    assert!(bevelled.says.contains("perimeter"), "{}", bevelled.says);
}

#[test]
fn only_a_rail_to_hold_is_held_against_it() {
    // The shaped rail of the starter has its finger recesses.
    is(
        &one(STRAIGHT, &published(), Kind::Grip),
        Verdict::Met,
        0.0,
        1e-9,
    );
    let guard = edited(STRAIGHT, &[("duty: Both", "duty: Guard")]);
    assert!(found(&guard, &published(), Kind::Grip).is_empty());
    let both = found(BOTH_SIDES, &published(), Kind::Grip);
    let rails: Vec<&str> = both.iter().map(|one| one.key.parts[0].as_str()).collect();
    assert_eq!(rails, ["R1", "R2"]);
    // Without its section stated it is the block that it is cut from.
    let start = STRAIGHT.find("profile: Outline").unwrap();
    let end = start + STRAIGHT[start..].find("]),").unwrap() + 3;
    let block = format!("{}{}", &STRAIGHT[..start], &STRAIGHT[end..]);
    let block = one(&block, &published(), Kind::Grip);
    assert_eq!(block.verdict, Verdict::Broken);
    assert!(block.says.contains("finger recess"), "{}", block.says);
}
