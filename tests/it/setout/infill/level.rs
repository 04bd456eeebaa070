//! What fills the way under the rail of a level run.

use approx::assert_relative_eq;
use rakewell::chain::{Chain, RunChain};
use rakewell::inspect::Finding;
use rakewell::job::Document;

use super::{inches, run};

const QUARTER: &str = include_str!("../../../../scenes/quarter-turn.ron");

/// The level guard of the quarter turn with other balusters.
fn with(balusters: &str) -> Chain {
    let (before, level) = QUARTER.split_once("name: \"L1\"").unwrap();
    let changed = level.replacen(
        "section: Square(\"1 1/4\"),\n                    spacing: AlongRail(),",
        balusters,
        1,
    );
    assert_ne!(changed, level);
    let text = format!("{before}name: \"L1\"{changed}");
    run(Document::parse(&text, "level").unwrap().job())
}

fn level(chain: &Chain) -> &RunChain {
    let mut runs = chain.runs.iter();
    runs.find(|one| one.run.name == "L1").unwrap()
}

/// Troubles that name one of the run's own parts.
fn troubles<'c>(chain: &'c Chain, mark: &str) -> Vec<&'c Finding> {
    let troubles = chain.inspection.troubles().into_iter();
    troubles
        .filter(|one| one.key.parts.iter().any(|part| part.starts_with(mark)))
        .collect()
}

#[test]
fn a_shoe_on_a_curb() {
    let chain = with(
        "section: Square(\"1 1/4\"), spacing: AlongRail(), on: Shoe(is: HalfWall, above: \"3\", \
         thickness: \"4\", cap: (width: \"5\", thickness: \"3/4\"), \
         shoe: (width: \"2 1/4\", thickness: \"1\"), \
         plough: (width: \"1 1/4\", depth: \"1/4\"), fillet: \"1/4\"),",
    );
    let one = level(&chain);
    let setout = &one.setout;
    assert!(setout.balusters.len() > 5);
    // Level: nothing is longer along the slope, and both ends are square.
    for (fillet, gap) in setout.fillets.iter().zip(&setout.gaps) {
        assert_relative_eq!(inches(fillet.edge), inches(gap.clear), epsilon = 1e-9);
        assert_relative_eq!(
            inches(fillet.long_points),
            inches(gap.clear),
            epsilon = 1e-9
        );
    }
    assert_eq!(setout.fillets.len(), setout.gaps.len());
    // From the bottom of the plough, 3 + 3/4 + 1 - 1/4 over the floor, to the rail's underside.
    for baluster in &setout.balusters {
        let length = 36.5 - 2.375 - 4.5;
        assert_relative_eq!(inches(baluster.long_point), length, epsilon = 1e-6);
    }
    for mark in &setout.marks {
        assert_relative_eq!(inches(mark.level), inches(mark.rake), epsilon = 1e-9);
    }
    let told = troubles(&chain, &one.run.mark);
    assert!(told.is_empty(), "{told:?}");
}

/// A slot between two level faces lets a ball of its own height through; 4 in is the limit away
/// from a stair (IRC R312.1.3), and strict.
#[test]
fn the_slot_under_panels_is_looked_at() {
    for (foot, passes) in [("3 15/16", true), ("4", false)] {
        let chain = with(&format!(
            "section: Square(\"1 1/4\"), spacing: Panels(widths: Alike(count: 1, gap: \"1\"), \
             thickness: \"1/2\", foot: \"{foot}\"),"
        ));
        let mark = &level(&chain).run.mark;
        let slot = chain.inspection.openings.iter();
        let slot = slot
            .rev()
            .find(|one| one.between[0] == format!("{mark}F0"))
            .unwrap();
        let height = rakewell::job::Len::read(foot).unwrap().value;
        assert!((inches(slot.ball) - inches(height)).abs() < 0.004);
        assert_eq!(troubles(&chain, mark).is_empty(), passes, "{foot}");
    }
}

#[test]
fn panels_stand_level() {
    let chain = with(
        "section: Square(\"1 1/4\"), spacing: Panels(widths: Alike(count: 2, gap: \"1\"), \
         thickness: \"1/2\", foot: \"2\"),",
    );
    let one = level(&chain);
    let run = one.setout.panels.as_ref().unwrap();
    for panel in &run.panels {
        assert_relative_eq!(
            inches(panel.lower_edge),
            inches(panel.width),
            epsilon = 1e-9
        );
        let height = 36.5 - 2.375 - 2.0;
        assert_relative_eq!(inches(panel.lower_end), height, epsilon = 1e-6);
        assert!(panel.name.starts_with(&one.run.mark), "{}", panel.name);
    }
    let told = troubles(&chain, &one.run.mark);
    assert!(told.is_empty(), "{told:?}");
}

// Found by tests/fuzz: the wood beside a peg came out infinite where there is no tread, and was a
// finding.
#[test]
fn a_baluster_of_a_level_run_stands_on_no_tread_and_has_no_edge_beside_its_peg() {
    let chain = with("section: Square(\"1 3/8\"),\n                    spacing: AlongRail(),");
    let level = level(&chain);
    assert!(!level.setout.balusters.is_empty());
    for baluster in &level.setout.balusters {
        assert_eq!(baluster.edge_distance, None, "{}", baluster.name);
    }
    for finding in &chain.inspection.findings {
        let bounds = [finding.lower, finding.upper];
        assert!(
            bounds.iter().all(|bound| bound.as_mm().is_finite()),
            "{}",
            finding.says
        );
    }
}
