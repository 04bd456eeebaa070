//! What is there already is neither cut nor bought: counted by hand.

use rakewell::chain;
use rakewell::job::{BoardFor, Document, Work};
use rakewell::publish::shop::there_words;
use rakewell::shop::cuts::{PieceKind, Standing, cut_list};
use rakewell::shop::hours::hours;
use rakewell::shop::prices::{NEWEL_CAP, Prices};
use rakewell::shop::reckoning::{Reckoning, reckon};

use super::{STRAIGHT, with};

/// N1 and a baluster stand; N2 and two balusters were delivered.
const THERE: &str =
    "received: (newels: [(name: \"N2\")], balusters: [(mark: \"a1\"), (mark: \"a2\")]),
    built: [
        Newel(name: \"N1\", x: \"-3/4\", y: \"0\"),
        Baluster(step: 3, place: 1, x: \"21 1/4\"),";

fn told(says: &str) -> (chain::Chain, Reckoning) {
    let text = with(STRAIGHT, &[("built: [", says)]);
    let document = Document::parse(&text, "test").unwrap();
    let chain = chain::run(document.job()).unwrap();
    let fitted = chain::fitted(&chain).unwrap();
    let reckoned = reckon(&chain, document.job(), &fitted, &Prices::default());
    (chain, reckoned)
}

/// How many of an item are needed.
fn needed(reckoned: &Reckoning, item: &str) -> u64 {
    let lines = reckoned.purchase.lines.iter();
    lines
        .filter(|one| one.item == item)
        .map(|one| one.needed)
        .sum()
}

#[test]
fn what_stands_or_was_delivered_is_listed_as_there_and_not_had_again() {
    let (chain, reckoned) = told(THERE);
    let list = cut_list(&chain);
    // What stands is not cut.
    let balusters = chain.first().setout.balusters.len();
    assert!(list.of("N1").all(|one| one.kind != PieceKind::Newel));
    assert_eq!(list.there.fitted[0], "N1");
    assert_eq!(list.there.fitted.len(), 2);
    let stands = &list.there.fitted[1];
    let one = chain.first().setout.balusters.iter();
    let one = one.into_iter().find(|one| one.name == *stands).unwrap();
    assert_eq!((one.step, one.place), (3, 1));
    assert!(list.of(stands).next().is_none());
    // What was delivered is cut from what came.
    let newel = list.of("N2").find(|one| one.kind == PieceKind::Newel);
    let came = Standing::Received(vec!["N2".to_owned()]);
    assert_eq!(newel.unwrap().there, came);
    let marks: Vec<&str> = list
        .there
        .received
        .iter()
        .map(|one| one.1.as_str())
        .collect();
    assert_eq!(marks.len(), 3);
    assert!(["N2", "a1", "a2"].iter().all(|mark| marks.contains(mark)));
    let cut = list
        .pieces
        .iter()
        .filter(|one| one.kind == PieceKind::Baluster);
    assert_eq!(
        cut.map(|one| one.quantity as usize).sum::<usize>(),
        balusters - 1
    );
    // Neither is bought: no newel at all, three balusters fewer, and one cap.
    assert_eq!(needed(&reckoned, BoardFor::Newels.word()), 0);
    assert_eq!(
        needed(&reckoned, BoardFor::Balusters.word()),
        balusters as u64 - 3
    );
    assert_eq!(needed(&reckoned, NEWEL_CAP), 1);
    let says = there_words(&reckoned.purchase.there).join("\n");
    assert!(says.contains("neither cut nor bought: N1"), "{says}");
    assert!(says.contains("Delivered already, so not bought"), "{says}");
}

#[test]
fn with_nothing_there_all_is_cut_and_bought() {
    let (chain, reckoned) = told("built: [");
    let list = cut_list(&chain);
    assert!(list.there.is_empty() && there_words(&list.there).is_empty());
    assert_eq!(needed(&reckoned, BoardFor::Newels.word()), 2);
    assert_eq!(needed(&reckoned, NEWEL_CAP), 2);
    let balusters = chain.first().setout.balusters.len() as u64;
    assert_eq!(needed(&reckoned, BoardFor::Balusters.word()), balusters);
}

/// What stands is not worked on again: one newel, one baluster and one notch fewer, counted by hand; what
/// was delivered is still to be fitted.
#[test]
fn hours_are_of_what_is_not_fitted_yet() {
    let count = |says: &str, work: Work| -> (usize, Vec<String>) {
        let (chain, _) = told(says);
        let lines = hours(&chain, &chain.first().run.job).lines;
        let on = lines.into_iter().find(|one| one.work == work).unwrap().on;
        (on.len(), on)
    };
    let (all, with_newels) = count("built: [", Work::Newels);
    let (left, newels) = count(THERE, Work::Newels);
    assert_eq!((all, left), (2, 1));
    assert_eq!(with_newels, ["N1", "N2"]);
    assert_eq!(newels, ["N2"]);
    for work in [Work::Balusters, Work::Notches] {
        let (all, _) = count("built: [", work);
        let (left, on) = count(THERE, work);
        assert_eq!(left + 1, all, "{work:?} {on:?}");
    }
    let (_, notches) = count(THERE, Work::Notches);
    assert!(notches.iter().all(|one| !one.starts_with("N1 ")));
    // Both ends of its rail are still to be joined.
    assert_eq!(
        count(THERE, Work::RailJoints).0,
        count("built: [", Work::RailJoints).0
    );
}

/// A newel twelve inches too short is within no limit: another is bought, and that is said.
#[test]
fn what_goes_back_is_bought_again() {
    let says = "received: (newels: [(name: \"N2\", length: \"30\")]),\n    built: [";
    let (chain, reckoned) = told(says);
    assert_eq!(reckoned.purchase.there.goes_back, ["N2"]);
    assert_eq!(needed(&reckoned, BoardFor::Newels.word()), 2);
    let list = cut_list(&chain);
    let newel = list.of("N2").find(|one| one.kind == PieceKind::Newel);
    assert_eq!(newel.unwrap().there, Standing::Wanted);
    let says = there_words(&list.there).join("\n");
    assert!(
        says.contains("to go back, so another is bought: N2"),
        "{says}"
    );
}
