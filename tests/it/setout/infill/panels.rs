//! Panels in plain runs.

use approx::assert_relative_eq;
use rakewell::inspect::{Kind, Verdict};
use rakewell::job::Infill;
use rakewell::solids::Convex;

use super::{LOWER_AT, SPACING, THREE_FOUR_FIVE, UPPER_AT, inches, run, starter};

fn panels(widths: &str, foot: &str) -> rakewell::job::Job {
    let spacing = format!("Panels(widths: {widths}, thickness: \"1/2\", foot: \"{foot}\"),");
    starter(&[
        THREE_FOUR_FIVE,
        ("overhang: \"1\"", "overhang: \"0\""),
        LOWER_AT,
        UPPER_AT,
        (SPACING, &spacing),
    ])
}

#[test]
fn alike_between_given_gaps() {
    let chain = run(&panels("Alike(count: 3, gap: \"1/2\")", "1"));
    let found = chain.first().setout.panels.as_ref().unwrap();
    assert_eq!(found.of, Infill::Glass);
    // 131 in between the newels' faces, four gaps of 1/2: three of 43.
    for panel in &found.panels {
        assert_relative_eq!(inches(panel.width), 43.0, epsilon = 1e-9);
        // Both edges along the slope of 3-4-5, ends plumb: 36 less the rail's 2 3/8 times 1 1/4,
        // less 1 at the foot.
        assert_relative_eq!(inches(panel.lower_edge), 43.0 / 0.8, epsilon = 1e-6);
        assert_relative_eq!(inches(panel.upper_edge), 43.0 / 0.8, epsilon = 1e-6);
        let height = 36.0 - 2.375 * 1.25 - 1.0;
        assert_relative_eq!(inches(panel.lower_end), height, epsilon = 1e-6);
        assert_relative_eq!(inches(panel.upper_end), height, epsilon = 1e-6);
        // A parallelogram's area is its level width times its plumb height.
        let part = chain
            .solids
            .parts
            .iter()
            .find(|part| part.name == panel.name)
            .unwrap();
        let volume: f64 = part.pieces.iter().map(Convex::volume).sum();
        assert_relative_eq!(
            volume / 25.4_f64.powi(3),
            43.0 * height * 0.5,
            max_relative = 1e-6
        );
    }
    let names: Vec<_> = chain
        .first()
        .setout
        .gaps
        .iter()
        .map(|gap| gap.above.as_str())
        .collect();
    assert_eq!(names, ["P01", "P02", "P03", "N2"]);
    for gap in &chain.first().setout.gaps {
        assert_relative_eq!(inches(gap.clear), 0.5, epsilon = 1e-9);
    }
    for opening in &chain.inspection.openings {
        let ball = inches(opening.ball);
        if opening.between.iter().any(|name| name.starts_with('P')) {
            assert!((ball - 0.5).abs() < 0.01, "{:?}: {ball}", opening.between);
        }
    }
    // Nothing but the nosings, which are taken away here.
    let troubles = chain.inspection.troubles().into_iter();
    let others: Vec<_> = troubles
        .filter(|one| one.key.kind != Kind::Nosing)
        .collect();
    assert!(others.is_empty(), "{others:?}");
}

#[test]
fn given_widths_share_what_is_left() {
    let chain = run(&panels("Given([\"40\", \"50\", \"38\"])", "1"));
    for gap in &chain.first().setout.gaps {
        assert_relative_eq!(inches(gap.clear), (131.0 - 128.0) / 4.0, epsilon = 1e-9);
    }
}

#[test]
fn the_triangle_under_a_panel() {
    // 7 1/2 in 10 without overhang: an edge 1 1/2 plumb over the nosing line lets a ball of exactly
    // 6 in through (h = 6 R / (R + T - c) - R, elementary).
    let chain = run(&panels("Alike(count: 2, gap: \"1\")", "1 1/2"));
    let triangles: Vec<_> = chain
        .inspection
        .findings
        .iter()
        .filter(|one| one.key.kind == Kind::Triangle)
        .collect();
    assert!(triangles.len() >= 12);
    for one in &triangles[1..12] {
        assert!((inches(one.value()) - 6.0).abs() < 0.005, "{}", one.says);
        assert!(one.says.contains("under the panels"), "{}", one.says);
    }
}

#[test]
fn what_does_not_fit_says_what_would() {
    let told = |widths: &str| {
        let error = rakewell::chain::run(&panels(widths, "1")).unwrap_err();
        assert_eq!(error.path, "design.balusters.spacing.widths");
        format!("{}; {}", error.problem, error.help)
    };
    let crowded = told("Alike(count: 9, gap: \"14\")");
    assert!(
        crowded.contains("9 panels leave no width") && crowded.contains("8 at most"),
        "{crowded}"
    );
    let wide = told("Given([\"80\", \"60\"])");
    assert!(wide.contains("together at most"), "{wide}");
}

// Two parallel edges stand a plumb distance times the cosine of the pitch apart, elementary: 12 in
// over a panel on a 3-4-5 flight is a slot of 12 * 0.8 = 9.6 in.
#[test]
fn the_slot_over_a_panel_is_judged_along_it() {
    let slots = |head: &str| {
        let spacing = format!(
            "Panels(widths: Alike(count: 1, gap: \"1/2\"), thickness: \"1/2\", foot: \"0\", head: \"{head}\"),"
        );
        let chain = run(&starter(&[
            THREE_FOUR_FIVE,
            LOWER_AT,
            UPPER_AT,
            (SPACING, &spacing),
        ]));
        let findings = chain.inspection.findings.into_iter();
        findings
            .filter(|one| one.key.parts == ["P01", "R1"])
            .filter(|one| one.key.kind == Kind::Opening)
            .collect::<Vec<_>>()
    };
    let wide = slots("12");
    assert_eq!(wide.len(), 1);
    assert!(
        (inches(wide[0].value()) - 9.6).abs() < 0.005,
        "{}",
        wide[0].says
    );
    assert_eq!(wide[0].verdict, Verdict::Broken, "{}", wide[0].says);
    // 4 in plumb is 3.2 in square: a ball of 4 in does not pass. No head leaves no slot.
    let narrow = slots("4");
    assert!(
        (inches(narrow[0].value()) - 3.2).abs() < 0.005,
        "{}",
        narrow[0].says
    );
    assert_eq!(narrow[0].verdict, Verdict::Met, "{}", narrow[0].says);
    assert!(slots("0").is_empty());
}
