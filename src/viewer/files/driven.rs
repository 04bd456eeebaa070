//! The manners of files in the driven window: real keys, what the window system asks for, dropped
//! files.

use std::fs;
use std::path::PathBuf;

use bevy::prelude::{Entity, With};
use bevy::window::{FileDragAndDrop, PrimaryWindow, Window, WindowCloseRequested, WindowResized};

use super::super::Solved;
use super::super::drive::{DEMO, Driven};
use super::super::tour::Tour;
use super::*;
use crate::measure::Tape;

/// A window on the demo in a file of its own.
fn open() -> (tempfile::TempDir, PathBuf, Driven) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lane.ron");
    fs::write(&path, DEMO).unwrap();
    let document = Document::load(&path).unwrap();
    let driven = Driven::open_document(document, Some(path.clone()));
    (folder, path, driven)
}

fn window(driven: &mut Driven) -> Entity {
    let world = driven.world();
    let mut windows = world.query_filtered::<Entity, With<PrimaryWindow>>();
    windows.single(world).unwrap()
}

fn frames(driven: &mut Driven) {
    for _ in 0..4 {
        driven.frame();
    }
}

fn name(driven: &Driven) -> String {
    driven.session().document.job().name.clone()
}

#[test]
fn closing_and_opening_ask_first_and_keys_answer() {
    let (folder, path, mut driven) = open();
    driven.key(",");
    driven.settle();
    assert!(driven.session().unsaved());
    let window = window(&mut driven);
    driven
        .world()
        .write_message(WindowCloseRequested { window });
    frames(&mut driven);
    assert!(driven.get::<Files>().question.is_some());
    // The stair does not hear the keys meanwhile.
    driven.key("n");
    assert!(driven.showing().picked.is_none());
    driven.key("Esc");
    assert!(driven.get::<Files>().question.is_none());
    // A starter, by typing its name; the work is saved on the way.
    driven.key("Ctrl+o");
    frames(&mut driven);
    driven.types("winders");
    driven.key("Up");
    for _ in 0..4 {
        driven.key("Down");
    }
    driven.key("Enter");
    frames(&mut driven);
    assert!(driven.get::<Files>().question.is_some(), "it asks first");
    driven.key("Enter");
    driven.settle();
    let saved = fs::read_to_string(&path).unwrap();
    assert_ne!(saved, DEMO);
    assert!(saved.contains("-1/16"));
    assert!(driven.session().path.is_none() && !driven.session().unsaved());
    // A file that is dropped on the window, and one that is none.
    let other = folder.path().join("other.ron");
    fs::write(&other, crate::job::STARTERS[0].text).unwrap();
    for file in [folder.path().join("gone.ron"), other.clone()] {
        let dropped = FileDragAndDrop::DroppedFile {
            window,
            path_buf: file,
        };
        driven.world().write_message(dropped);
        frames(&mut driven);
    }
    driven.settle();
    assert_eq!(driven.session().path.as_ref(), Some(&other));
    assert_eq!(name(&driven), "A straight flight");
    // Nothing is unsaved: closing asks nothing.
    driven
        .world()
        .write_message(WindowCloseRequested { window });
    driven.frame();
    assert!(driven.get::<Files>().closing);
}

#[test]
fn tape_text_tour_and_a_window_of_no_size() {
    let (_folder, path, mut driven) = open();
    driven.key("u");
    driven.until("lengths are on the next tape", |driven| {
        driven.get::<Solved>().job.tape == Tape::ThirtySeconds
    });
    assert_eq!(fs::read_to_string(&path).unwrap(), DEMO);
    driven.key("Ctrl+=");
    driven.settle();
    let window = window(&mut driven);
    let scale = |driven: &mut Driven| {
        let world = driven.world();
        world
            .get::<Window>(window)
            .unwrap()
            .resolution
            .scale_factor()
    };
    approx::assert_relative_eq!(scale(&mut driven), 1.15);
    driven.key("Ctrl+0");
    driven.settle();
    approx::assert_relative_eq!(scale(&mut driven), 1.0);
    // The tour, found in the list of what can be done; Enter goes on to its end.
    driven.key("F1");
    frames(&mut driven);
    driven.types("tour of a minute");
    driven.key("Enter");
    frames(&mut driven);
    assert!(driven.get::<Tour>().on());
    for _ in 0..8 {
        driven.settle();
        driven.key("Enter");
    }
    frames(&mut driven);
    assert!(!driven.get::<Tour>().on());
    approx::assert_relative_eq!(driven.showing().stretch, 1.0);
    // A window of one point, of none, and back.
    let before = driven.get::<View>().free;
    for (width, height) in [(1, 1), (0, 0), (1360, 820)] {
        let world = driven.world();
        let mut shown = world.get_mut::<Window>(window).unwrap();
        shown.resolution.set_physical_resolution(width, height);
        let (width, height) = (shown.width(), shown.height());
        world.write_message(WindowResized {
            window,
            width,
            height,
        });
        frames(&mut driven);
    }
    driven.settle();
    assert!(driven.get::<View>().free.is_some() && before.is_some());
}
