//! Clashes as a stair tells them: each class with geometry that can be checked by hand.

mod classes;
mod edges;
mod fixings;
mod refused;

use nalgebra::{Isometry3, Vector3};
use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Inspection, Kind};
use rakewell::job::Document;
use rakewell::solids::{Convex, Part, Solids};

const STARTER: &str = include_str!("../../../scenes/straight.ron");
const HALF: &str = include_str!("../../../scenes/half-turn.ron");
/// The starter made 7 1/2 in 10, a 3-4-5 triangle, so that cos pitch is 0.8.
const THREE_FOUR_FIVE: [&str; 2] = ["going: \"10 1/4\"", "going: \"10\""];
const WALL: &str = "from: (x: \"-36\", y: \"-35 3/4\"),
            to: (x: \"180\", y: \"-35 3/4\"),";
const IN: f64 = 25.4;

/// A scene with stretches of its text replaced, each of which stands in it once.
fn text(scene: &str, changes: &[[&str; 2]]) -> String {
    let mut text = scene.to_owned();
    for [old, new] in changes {
        assert_eq!(text.matches(old).count(), 1, "{old} stands in it once");
        text = text.replacen(old, new, 1);
    }
    text
}

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "test").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

/// The starter, open on the left or mirrored so that it is open on the right.
fn starter(right: bool, changes: &[[&str; 2]]) -> Chain {
    let mut all = vec![THREE_FOUR_FIVE];
    // The room lies on the left hand of a wall's line.
    let mirrored = "from: (x: \"180\", y: \"35 3/4\"), to: (x: \"-36\", y: \"35 3/4\"),";
    if right {
        all.push(["open_side: Left, ", "open_side: Right, "]);
        all.push([WALL, mirrored]);
    }
    all.extend_from_slice(changes);
    run(&text(STARTER, &all))
}

/// Looks again at a stair whose solids were changed, as if its parts had been fitted otherwise.
fn changed(chain: &Chain, change: impl FnOnce(&mut Solids)) -> Inspection {
    let mut solids = chain.solids.clone();
    change(&mut solids);
    let runs = chain::again(chain);
    let laid = chain::lay(&runs, &chain.estimates(), &[], &chain.pack).unwrap();
    laid.inspection(&runs, &[], &solids, &chain.pack)
}

fn part<'s>(solids: &'s mut Solids, name: &str) -> &'s mut Part {
    let mut parts = solids.parts.iter_mut();
    parts.find(|part| part.name == name).unwrap()
}

/// Moves a part, by inches.
fn shift(solids: &mut Solids, name: &str, by: [f64; 3]) {
    let part = part(solids, name);
    part.pieces = moved(&part.pieces, by);
}

fn moved(pieces: &[Convex], by: [f64; 3]) -> Vec<Convex> {
    let by = Isometry3::translation(by[0] * IN, by[1] * IN, by[2] * IN);
    pieces.iter().map(|piece| piece.moved(&by)).collect()
}

fn find<'i>(inspection: &'i Inspection, kind: Kind, parts: &[&str]) -> &'i Finding {
    let mut findings = inspection.findings.iter();
    findings
        .find(|one| one.key.kind == kind && one.key.parts == parts)
        .unwrap_or_else(|| panic!("no {kind:?} of {parts:?}"))
}

fn troubles(inspection: &Inspection, kind: Kind) -> Vec<&Finding> {
    let troubles = inspection.troubles().into_iter();
    troubles.filter(|one| one.key.kind == kind).collect()
}

fn inches(finding: &Finding) -> f64 {
    finding.value().as_inches()
}

/// Out of the open side.
fn outward(right: bool) -> Vector3<f64> {
    if right { -Vector3::y() } else { Vector3::y() }
}
