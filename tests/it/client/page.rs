//! The client's page as a text: whole, without a way to fetch, and deaf to what stands in names.

use nalgebra::{Point3, Vector3};
use rakewell::job::Document;
use rakewell::measure::Length;
use rakewell::publish::page::{
    PageOf, PageView, Priced, Shot, WayShown, escaped, notes, page, views,
};
use rakewell::shop::parts::parts;
use rakewell::solids::Convex;
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
        let views = views(&chain, &notes(document.job(), &chain));
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

/// Where a view shows a place, as shares of half its picture across and up; `None` behind the eye. The
/// projection of any camera: offsets over depth.
fn shown(view: &PageView, at: &Point3<f64>) -> Option<(f64, f64)> {
    let of = |[x, y, z]: [f64; 3]| Vector3::new(x, y, z);
    let (eye, target) = (of(view.eye), of(view.target));
    // Metres and y up, as in a page's data.
    let to = Vector3::new(at.x, at.z, -at.y) / 1000.0 - eye;
    let ahead = (target - eye).normalize();
    let right = ahead.cross(&Vector3::y()).normalize();
    let deep = to.dot(&ahead);
    let half = (view.fov_deg.to_radians() / 2.0).tan() * deep;
    (deep > 0.0).then(|| {
        let up = right.cross(&ahead);
        (to.dot(&right) / half / (4.0 / 3.0), to.dot(&up) / half)
    })
}

#[test]
fn the_whole_stair_is_seen_with_every_note_that_points_at_a_place() {
    for (name, document) in all() {
        let chain = worked(document.job());
        let notes = notes(document.job(), &chain);
        let views = views(&chain, &notes);
        for id in ["front", "above"] {
            let view = views.iter().find(|view| view.id == id).unwrap();
            for at in notes.iter().filter_map(|note| note.at) {
                let (across, up) = shown(view, &at).unwrap();
                // Over it hangs its tag.
                assert!(across.abs() <= 1.0, "{name}, {id}: {across}");
                assert!((-0.9..=0.78).contains(&up), "{name}, {id}: {up}");
            }
        }
    }
}

#[test]
fn a_newel_is_seen_from_foot_to_head() {
    for (name, document) in all() {
        let chain = worked(document.job());
        for view in views(&chain, &[]) {
            let Some(newel) = view.id.strip_prefix("newel:") else {
                continue;
            };
            let part = chain.solids.parts.iter().find(|part| part.name == newel);
            let pieces = &part.unwrap().pieces;
            for at in pieces.iter().flat_map(Convex::corners) {
                let (across, up) = shown(&view, at).unwrap();
                assert!(
                    across.abs().max(up.abs()) <= 1.0,
                    "{name}, {newel}: {across}, {up}"
                );
            }
        }
    }
}

#[test]
fn a_ball_that_is_greater_than_the_gaps_is_told_apart_from_them() {
    let found = all().into_iter().find(|(name, _)| name == "quarry-lane");
    let (_, document) = found.unwrap();
    let job = document.job();
    let chain = worked(job);
    let told = notes(job, &chain);
    let note = told.iter().find(|note| note.title.contains("balusters"));
    let note = note.unwrap();
    // Of the set-out and of the inspection: neither of them is worked out on the page.
    let gaps = chain.runs.iter().flat_map(|run| &run.setout.gaps);
    let gap = gaps.map(|gap| gap.clear).reduce(Length::max).unwrap();
    let balusters = chain.runs.iter().flat_map(|run| &run.setout.balusters);
    let balusters: Vec<&String> = balusters.map(|one| &one.name).collect();
    let beside = |names: &[String]| names.iter().any(|name| balusters.contains(&name));
    let openings = chain.inspection.openings.iter();
    let openings = openings.filter(|one| beside(&one.between));
    let ball = openings.map(|one| one.ball).reduce(Length::max).unwrap();
    assert!(ball > gap + Length::inches(0.25));
    for length in [gap, ball] {
        let said = job.tape.print(job.tape.round(length));
        assert!(note.text.contains(&said), "{said}: {}", note.text);
    }
    assert!(note.text.contains("higher up, between"), "{}", note.text);
    assert!(note.at.is_some());
}
