//! The site sheets in the driven window: real keys.

use super::Sheets;
use crate::job::Document;
use crate::viewer::drive::Driven;
use crate::viewer::files::beside;
use crate::viewer::{Place, Showing};
use std::path::Path;

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

fn pages(window: &Driven) -> usize {
    let laid = window.get::<Sheets>().laid();
    laid.and_then(|laid| laid.as_ref().ok())
        .map_or(0, |made| made.pages.len())
}

#[test]
fn sheets_are_laid_out_looked_at_and_follow_an_edit() {
    let mut window = Driven::open(DEMO);
    window.key("F6");
    assert_eq!(window.get::<Showing>().place, Place::Sheets);
    window.until("the sheets are painted", |window| {
        window.get::<Sheets>().painted().is_some()
    });
    assert!(pages(&window) > 3);
    let first = window.get::<Sheets>().painted().unwrap().clone();
    // Ink on it, and most of it paper.
    let inked = first.pixels.chunks_exact(4).filter(|pixel| pixel[0] < 128);
    let share = inked.count() as f64 / (first.size[0] * first.size[1]) as f64;
    assert!((0.001..0.5).contains(&share), "{share}");
    window.key("PageDown");
    assert_eq!(window.get::<Sheets>().at, 1);
    window.until("the next is painted", |window| {
        let now = window.get::<Sheets>().painted().unwrap();
        now.pixels != first.pixels
    });
    window.key("PageUp");
    window.key("PageUp");
    assert_eq!(window.get::<Sheets>().at, pages(&window) - 1);
    window.key("Esc");
    assert_eq!(window.get::<Showing>().place, Place::SetOut);
}

#[test]
fn the_folder_is_named_after_the_job() {
    let document = Document::parse(DEMO, "quarry-lane.ron").unwrap();
    let there = beside(Some(Path::new("/jobs/lane 4.ron")), &document, "-sheets");
    assert_eq!(there, Path::new("/jobs/lane 4-sheets"));
    let nowhere = beside(None, &document, "-sheets");
    assert_eq!(nowhere.components().count(), 1, "{nowhere:?}");
}
