//! The list of troubles sifted, and worked by real keys.

use super::*;
use crate::chain;
use crate::job::Document;
use crate::measure::Length;
use crate::viewer::drive::Driven;

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

/// The demo with troubles enough to sift: its newel driven into what stands beside it.
fn crowded() -> (Chain, Document) {
    let text = DEMO.replacen("move_by: \"0\"", "move_by: \"4\"", 1);
    let document = Document::parse(&text, "test.ron").unwrap();
    (chain::run(document.job()).unwrap(), document)
}

fn ids(found: &[&Finding]) -> Vec<String> {
    found.iter().map(|one| one.key.id()).collect()
}

#[test]
fn sifting_shows_only_what_is_asked_for_and_loses_nothing() {
    let (chain, document) = crowded();
    let job = document.job();
    let all = chain.inspection.troubles();
    let mut sift = Sift::default();
    assert_eq!(ids(&sift.shown(&chain, job)[0]), ids(&all));
    // By topic: the topics share all of it out.
    let mut counted = 0;
    for topic in Topic::ALL {
        let of = Sift {
            topics: vec![topic],
            ..Sift::default()
        };
        let shown = of.shown(&chain, job).concat();
        assert!(shown.iter().all(|one| Topic::of(one.key.kind) == topic));
        counted += shown.len();
    }
    assert_eq!(counted, all.len());
    // By a word that is typed.
    sift.ask(&Ask::Words("w2 OPENING".to_owned()));
    let shown = sift.shown(&chain, job).concat();
    let wanted = |one: &&&Finding| {
        let kind = Topic::of(one.key.kind) == Topic::Opening;
        let text = format!("{} {}", one.says, one.key.id()).to_lowercase();
        (kind || text.contains("opening")) && text.contains("w2")
    };
    assert_eq!(shown.len(), all.iter().filter(wanted).count());
    assert!(
        !shown.is_empty() && shown.len() < all.len(),
        "{} of {:?}",
        shown.len(),
        ids(&all)
    );
    sift.ask(&Ask::All);
    assert!(!sift.sifts());
}

#[test]
fn by_size_the_farthest_past_its_limit_comes_first() {
    let (chain, document) = crowded();
    let sift = Sift {
        order: Order::Size,
        ..Sift::default()
    };
    let shown = sift.shown(&chain, document.job()).concat();
    let past: Vec<Length> = shown
        .iter()
        .filter(|one| one.is_length())
        .map(|one| one.past())
        .collect();
    assert!(past.len() > 3);
    assert!(past.windows(2).all(|pair| pair[0] >= pair[1]), "{past:?}");
}

#[test]
fn up_the_stair_it_goes_from_the_foot_to_the_head() {
    let (chain, document) = crowded();
    let sift = Sift {
        order: Order::Up,
        ..Sift::default()
    };
    let shown = sift.shown(&chain, document.job()).concat();
    let along: Vec<f64> = shown.iter().map(|one| up(&chain, one)).collect();
    assert!(along.windows(2).all(|pair| pair[0] <= pair[1]), "{along:?}");
}

#[test]
fn alike_in_a_row_stand_under_one_line_that_opens() {
    let (chain, document) = crowded();
    let job = document.job();
    // Three of one kind, made by hand of one that is there.
    let one = chain.inspection.troubles()[0].clone();
    let many: Vec<Finding> = ["B03", "B04", "B05"]
        .map(|name| {
            let mut finding = one.clone();
            finding.key.parts = vec![name.to_owned()];
            finding
        })
        .to_vec();
    let all: Vec<&Finding> = many.iter().collect();
    let mut sift = Sift::default();
    let lines = sift.merged(&all, job, None);
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].id(), (&many[0].key, true));
    // One of them is picked, or the line is opened: all are there.
    assert_eq!(sift.merged(&all, job, Some(&many[2].key)).len(), 4);
    sift.ask(&Ask::Open(many[0].key.clone()));
    assert_eq!(sift.merged(&all, job, None).len(), 4);
    // Two alike are told one by one.
    assert_eq!(Sift::default().merged(&all[..2], job, None).len(), 2);
}

#[test]
fn the_keys_go_through_the_lines_as_they_are_shown() {
    let (chain, document) = crowded();
    let mut sift = Sift::default();
    let lines = Sift::default().lines(&chain, document.job(), None).concat();
    for line in &lines {
        sift.step(&lines, None, false);
        assert!(line.is_at(&sift));
    }
    // The last one stays.
    sift.step(&lines, None, false);
    assert!(lines[lines.len() - 1].is_at(&sift));
    sift.step(&lines, None, true);
    assert!(lines[lines.len() - 2].is_at(&sift));
}

#[test]
fn what_is_let_stand_is_told_apart_and_stays_a_trouble() {
    let (chain, document) = crowded();
    let first = chain.inspection.troubles()[0].clone();
    let document = inspect::lets_stand(&document, &first, "seen with the client").unwrap();
    let [others, stand] = Sift::default().shown(&chain, document.job());
    assert_eq!(ids(&stand), [first.key.id()]);
    assert_eq!(others.len() + 1, chain.inspection.troubles().len());
    assert!(stand[0].is_trouble());
}

#[test]
fn the_next_trouble_goes_round() {
    let (chain, _) = crowded();
    let all = chain.inspection.troubles();
    let last = all[all.len() - 1].key.clone();
    assert_eq!(next_trouble(&all, None, false), Some(all[0].key.clone()));
    assert_eq!(next_trouble(&all, None, true), Some(last.clone()));
    assert_eq!(
        next_trouble(&all, Some(&last), false),
        Some(all[0].key.clone())
    );
    assert_eq!(next_trouble(&[], None, true), None);
}

#[test]
fn by_keys_the_list_is_sifted_and_a_trouble_let_stand_and_taken_back() {
    let mut window = Driven::open(DEMO);
    window.key("Ctrl+f");
    window.frame();
    window.types("opening");
    window.key("Down");
    window.key("Enter");
    window.frame();
    let key = picked(window.showing()).unwrap().clone();
    assert_eq!(Topic::of(key.kind), Topic::Opening);
    window.key("Esc");
    window.key("F1");
    window.types("let the picked");
    window.key("Enter");
    // It stands beside the trouble's causes, which are worked out beside the window.
    window.until("the reason can be typed", |window| {
        window.get::<crate::viewer::panels::Typing>().text
    });
    window.types("seen with the client");
    window.key("Enter");
    window.settle();
    let stand = &window.session().document.job().lets_stand;
    assert_eq!(stand.len(), 1);
    assert_eq!(
        (&*stand[0].trouble, &*stand[0].because),
        (&*key.id(), "seen with the client")
    );
    assert!(window.session().undoes().unwrap().contains(&key.id()));
    window.key("Esc");
    window.key("Ctrl+z");
    window.settle();
    assert_eq!(window.session().document.text(), DEMO);
}
