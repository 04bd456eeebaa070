//! The client's page as a text: whole, without a way to fetch, and deaf to what stands in names.

use rakewell::job::Document;
use rakewell::publish::page::{PageOf, Priced, Shot, WayShown, escaped, notes, page, views};
use rakewell::shop::parts::parts;
use serde_json::Value;

use super::{all, worked};

const ATTACK: &str =
    "</script><script>alert(1)</script><img src=x onerror=alert(2)>{{data}}&\u{2028}";

fn of(document: &Document, more: impl FnOnce(&mut PageOf<'_>)) -> String {
    let job = document.job();
    let chain = worked(job);
    let parts = parts(&chain);
    let mut of = PageOf {
        ways: vec![WayShown {
            name: None,
            note: "",
            job,
            chain: &chain,
            parts: &parts,
        }],
        prices: None,
        shots: Vec::new(),
    };
    more(&mut of);
    page(&of).unwrap()
}

/// The data of a page, as its script reads it.
pub(super) fn data(page: &str) -> Value {
    let begins = "<script type=\"application/json\" id=\"job\">";
    let from = page.find(begins).unwrap() + begins.len();
    let to = from + page[from..].find("</script>").unwrap();
    serde_json::from_str(&page[from..to]).unwrap()
}

#[test]
fn every_scene_makes_a_page_of_less_than_four_megabytes_that_asks_for_nothing() {
    for (name, document) in all() {
        let page = of(&document, |_| {});
        assert!(page.len() < 4_000_000, "{name}: {} bytes", page.len());
        for mark in [
            "{{title}}",
            "{{data}}",
            "{{plain}}",
            "{{csp}}",
            "{{three}}",
            "{{script}}",
        ] {
            assert!(!page.contains(mark), "{name}: {mark} is not filled in");
        }
        let told = data(&page);
        assert_eq!(told["format"], 1);
        assert!(told["views"].as_array().unwrap().len() >= 4, "{name}");
        assert!(told["prices"].is_null(), "{name}: nobody asked for prices");
        // What a browser would load: addresses in attributes.
        for loads in ["src=\"http", "href=\"http", "url(http", "@import"] {
            assert!(!page.contains(loads), "{name}: {loads}");
        }
    }
}

#[test]
fn what_stands_in_names_and_notes_stays_text() {
    let text = include_str!("../../../scenes/straight.ron");
    let end = text.trim_end().strip_suffix(')').unwrap();
    let quoted = |text: &str| text.replace('\\', "\\\\").replace('"', "\\\"");
    let attack = quoted(&ATTACK.replace('\u{2028}', ""));
    let text = format!(
        "{end}    client: (asks: [(name: \"cap\", question: \"{attack}\", choices: [\"{attack}\", \"flat\"])]),\n)\n"
    );
    let mut document = Document::parse(&text, "test.ron").unwrap();
    document = document.called(ATTACK.to_owned());
    let page = of(&document, |of| {
        of.prices = Some(Priced {
            currency: ATTACK.to_owned(),
            lines: vec![(ATTACK.to_owned(), ATTACK.to_owned())],
            total: ATTACK.to_owned(),
            says: ATTACK.to_owned(),
        });
        of.shots = vec![Shot {
            way: Some(0),
            look: Some(0),
            view: Some("front".to_owned()),
            alt: ATTACK.to_owned(),
            png: b"\x89PNG".to_vec(),
        }];
    });
    assert!(!page.contains("<script>alert"));
    assert!(!page.contains("<img src=x"));
    assert!(!page.contains('\u{2028}') || !data(&page).is_null());
    let told = data(&page);
    assert_eq!(told["title"], ATTACK);
    assert_eq!(told["pictures"][0]["alt"], ATTACK);
    let question = &told["asks"].as_array().unwrap().last().unwrap()["question"];
    assert_eq!(question.as_str().unwrap(), ATTACK.replace('\u{2028}', ""));
    assert!(page.contains(&escaped(ATTACK)));
    // What stands in scripts is no element; those of the page begin a line of the template.
    assert_eq!(page.matches("\n<script").count(), 3);
}

#[test]
fn walls_are_told_by_what_was_read_and_what_is_done_about_them() {
    let document = all()
        .into_iter()
        .find(|(name, _)| name == "quarry-lane")
        .unwrap()
        .1;
    let job = document.job();
    let chain = worked(job);
    let told = notes(job, &chain);
    let wall = told
        .iter()
        .find(|note| note.title.starts_with("Wall W2 leans by"));
    let wall = wall.expect("W2 of the demo leans");
    assert!(wall.text.contains("cut to the wall"), "{}", wall.text);
    assert!(wall.at.is_some());
    // A client has no strong and scant marks.
    for note in &told {
        for sign in ["\"+", "\"-"] {
            assert!(
                !note.text.contains(sign) && !note.title.contains(sign),
                "{note:?}"
            );
        }
    }
}

#[test]
fn every_view_looks_at_the_stair_from_above_its_foot() {
    for (name, document) in all() {
        let chain = worked(document.job());
        let views = views(&chain);
        assert!(views.iter().any(|view| view.id == "front"), "{name}");
        for view in views {
            let apart: f64 = (0..3)
                .map(|axis| (view.eye[axis] - view.target[axis]).powi(2))
                .sum();
            assert!(apart.sqrt() > 0.2, "{name}: {}", view.id);
            assert!(
                view.fov_deg > 5.0 && view.fov_deg < 120.0,
                "{name}: {}",
                view.id
            );
        }
    }
}
