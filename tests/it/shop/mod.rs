//! Cuts, marks and fastenings against tables, closed forms and what the set-out holds.

mod bad_input;
mod buy;
mod command;
mod cuts;
mod fastening;
mod marks;
pub(crate) mod mirror;
mod names;
mod program;
mod stock;
mod templates;
mod there;
mod winders;

use rakewell::chain::{self, Chain};
use rakewell::job::Document;

pub(super) const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

/// Every starter and demo, by its file's name.
pub(super) const SCENES: [(&str, &str); 17] = [
    (
        "closed-string",
        include_str!("../../../scenes/closed-string.ron"),
    ),
    ("half-turn", include_str!("../../../scenes/half-turn.ron")),
    ("half-wall", include_str!("../../../scenes/half-wall.ron")),
    (
        "level-guard",
        include_str!("../../../scenes/level-guard.ron"),
    ),
    (
        "metal-pattern",
        include_str!("../../../scenes/metal-pattern.ron"),
    ),
    (
        "open-both-sides",
        include_str!("../../../scenes/open-both-sides.ron"),
    ),
    ("over-post", include_str!("../../../scenes/over-post.ron")),
    ("panels", include_str!("../../../scenes/panels.ron")),
    (
        "quarter-turn",
        include_str!("../../../scenes/quarter-turn.ron"),
    ),
    (
        "shaped-step",
        include_str!("../../../scenes/shaped-step.ron"),
    ),
    ("straight", include_str!("../../../scenes/straight.ron")),
    (
        "two-storeys",
        include_str!("../../../scenes/two-storeys.ron"),
    ),
    ("wall-rail", include_str!("../../../scenes/wall-rail.ron")),
    ("winders", include_str!("../../../scenes/winders.ron")),
    (
        "mill-row",
        include_str!("../../../demo-scenes/mill-row.ron"),
    ),
    (
        "quarry-lane",
        include_str!("../../../demo-scenes/quarry-lane.ron"),
    ),
    (
        "weir-cottage",
        include_str!("../../../demo-scenes/weir-cottage.ron"),
    ),
];

/// A text with changes, each of which must be of something that stands in it once at least.
pub(crate) fn with(text: &str, changes: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "{old:?} is not in the job");
        text = text.replacen(old, new, 1);
    }
    text
}

pub(super) fn chain_of(text: &str) -> Chain {
    let document =
        Document::parse(text, "test").unwrap_or_else(|faults| panic!("{}", faults.render(false)));
    chain::run(document.job()).unwrap()
}
