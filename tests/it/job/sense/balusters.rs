//! Balusters on their treads.

use super::check;
use crate::job::faults_with;

#[test]
fn balusters_on_their_treads() {
    let spacing = "PerTread(count: 2)";
    check(&[
        (
            spacing,
            "PerTread(count: 0)",
            "design.balusters.spacing.count",
            "0",
            "0 balusters",
            "write 1 to 40",
        ),
        (
            spacing,
            "PerTread(count: 8)",
            "design.balusters.spacing.count",
            "8",
            "8 balusters of",
            "the going of tread 1 is",
        ),
        (
            spacing,
            "PerTread(count: 2, but: [(step: 4, count: 3), (step: 4, count: 1)])",
            "design.balusters.spacing.but[1]",
            "(step: 4, count: 1)",
            "its own count twice",
            "keep one",
        ),
        (
            spacing,
            "PerTread(count: 2, but: [(step: 14, count: 3)])",
            "design.balusters.spacing.but[0].step",
            "14",
            "there is no tread 14",
            "treads 1 to 13",
        ),
        // Tread 6 is read short: 9 3/4 in, and 8 times 1 1/4 in is 10 in.
        (
            spacing,
            "PerTread(count: 2, but: [(step: 6, count: 8)])",
            "design.balusters.spacing.but[0].count",
            "8",
            "do not fit on tread 6",
            "the going of tread 6 is",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, align: Share(1.5)",
            "design.balusters.align.Share",
            "1.5",
            "not between 0 and 1",
            "0 for plumb",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, align: Share(NaN)",
            "design.balusters.align.Share",
            "NaN",
            "not between 0 and 1",
            "0 for plumb",
        ),
    ]);
}

#[test]
fn a_baluster_wider_than_its_tread() {
    let faults = faults_with(
        "balusters: (section: Square(1.25)",
        "balusters: (section: Square(11)",
    );
    let told = faults.to_string();
    assert!(
        told.contains("design.balusters.section: a baluster is wider than tread 1"),
        "{told}"
    );
}
