//! The place of the client, driven by keys and files.

use std::path::PathBuf;

use bevy::prelude::{Entity, With};
use bevy::window::{FileDragAndDrop, PrimaryWindow};

use crate::publish::page::answered::MOST_BYTES;
use crate::viewer::drive::{DEMO, Driven};
use crate::viewer::session::{Action, Session};
use crate::viewer::{Mood, Place, Showing};

use super::{Ask, Came, Dressing};
use crate::job::{Colour, Light};

/// What the demo's page saves when the second look is chosen. No hash: the page was made of another
/// state of the job, which is told.
fn said(job: &str) -> String {
    format!(
        "{{\"format\":1,\"made_for\":{{\"job\":{job:?},\"hash\":\"0\"}},\"look\":\"white oak throughout\",\
         \"alternative\":null,\"answers\":[],\"note\":\"Can it be \\u201cquiet\\u201d?\",\"by\":\"M. Arden\",\"on\":\"2026-11-20\"}}"
    )
}

fn drop_file(window: &mut Driven, path: PathBuf) {
    let world = window.world();
    let mut windows = world.query_filtered::<Entity, With<PrimaryWindow>>();
    let entity = windows.single(world).unwrap();
    world.write_message(FileDragAndDrop::DroppedFile {
        window: entity,
        path_buf: path,
    });
    window.settle();
}

#[test]
fn answers_that_are_dropped_stand_in_the_job_and_can_be_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = Driven::open(DEMO);
    let before = window.session().document.text().to_owned();
    let job = window.session().document.job().clone();
    let look = crate::publish::finish::looks(&job)[1].name.clone();
    let path = folder.path().join("answers-quarry.json");
    std::fs::write(
        &path,
        said(&job.name).replace("white oak throughout", &look),
    )
    .unwrap();
    drop_file(&mut window, path);
    assert_eq!(window.get::<Showing>().place, Place::Client);
    let came = window.get::<Came>().clone();
    assert_eq!(came.refused, None);
    assert!(came.did.iter().any(|says| says.contains(&look)), "{came:?}");
    let answers = window.session().document.job().client.answers.clone();
    assert!(
        answers
            .iter()
            .any(|one| one.chose == look && one.by == "M. Arden")
    );
    assert!(answers.iter().any(|one| one.note.contains("quiet")));
    // The look that was chosen is the first from now on.
    let job = window.session().document.job().clone();
    assert_eq!(crate::publish::finish::looks(&job)[0].name, look);
    window.key("Ctrl+z");
    window.settle();
    assert_eq!(window.session().document.text(), before);
}

#[test]
fn what_is_no_answer_is_refused_in_words_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = Driven::open(DEMO);
    let before = window.session().document.text().to_owned();
    let large = vec![b'x'; MOST_BYTES + 10];
    let other = said("Another house").into_bytes();
    for (name, bytes) in [
        ("a.json", &b"{}"[..]),
        ("b.txt", b"\xff\xfe"),
        ("c.json", &large),
        ("d.json", &other),
    ] {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        drop_file(&mut window, path);
        let came = window.get::<Came>();
        assert!(
            came.refused.as_ref().is_some_and(|why| !why.is_empty()),
            "{name}"
        );
        assert_eq!(window.session().document.text(), before);
    }
    drop_file(&mut window, folder.path().join("gone.json"));
    let refused = window.get::<Came>().refused.clone().unwrap();
    assert!(refused.contains("gone.json"), "{refused}");
}

#[test]
fn a_look_is_changed_in_the_job_and_shown_at_once() {
    let mut window = Driven::open(DEMO);
    window.key("F7");
    window.settle();
    assert_eq!(window.get::<Showing>().place, Place::Client);
    let send = |window: &mut Driven, action: Action| {
        window.world().write_message(action);
        window.settle();
    };
    send(&mut window, Action::Mood(Mood::Show));
    let job = window.session().document.job().clone();
    let name = crate::publish::finish::looks(&job)[0].name.clone();
    let wall = Dressing::Wall(Some(Colour([148, 158, 134])));
    send(&mut window, Action::Client(Ask::Dress(name.clone(), wall)));
    send(
        &mut window,
        Action::Client(Ask::Dress(name.clone(), Dressing::Light(Light::Evening))),
    );
    let looks = window.session().document.job().client.looks.clone();
    assert_eq!(looks.len(), crate::publish::finish::usual_looks().len());
    assert_eq!(looks[0].wall, Some(Colour([148, 158, 134])));
    assert_eq!(looks[0].light, Light::Evening);
    send(
        &mut window,
        Action::Client(Ask::Dress(name, Dressing::Another)),
    );
    let shown = window.get::<Showing>().look;
    assert_eq!(shown, looks.len());
    let undoes = window.get::<Session>().undoes().map(str::to_owned);
    assert!(undoes.is_some_and(|undoes| undoes.starts_with("another look")));
    window.key("Esc");
    window.settle();
    assert_eq!(window.get::<Showing>().place, Place::SetOut);
}

#[test]
fn his_page_is_made_beside_the_job() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lane.ron");
    std::fs::write(&path, DEMO).unwrap();
    let document = crate::job::Document::load(&path).unwrap();
    let mut window = Driven::open_document(document, Some(path));
    window.world().write_message(Action::Client(Ask::Page));
    let page = folder.path().join("lane-client.html");
    window.until("the page is said to be written", |window| {
        let notice = window.session().notice.as_ref();
        notice.is_some_and(|notice| notice.says.contains("lane-client.html"))
    });
    let text = std::fs::read_to_string(page).unwrap();
    assert!(text.starts_with("<!doctype html>") || text.starts_with("<!DOCTYPE html>"));
    assert!(text.len() < 4_000_000);
}

#[test]
fn a_question_is_typed_and_asked() {
    let mut window = Driven::open(DEMO);
    let count = window.session().document.job().client.asks.len();
    let question = Ask::Question(
        "Round or square caps?".to_owned(),
        vec!["round".to_owned(), "square".to_owned()],
    );
    window.world().write_message(Action::Client(question));
    window.settle();
    let asks = window.session().document.job().client.asks.clone();
    assert_eq!(asks.len(), count + 1);
    assert_eq!(asks[count].choices, ["round", "square"]);
    window
        .world()
        .write_message(Action::Client(Ask::NoQuestion(count)));
    window.settle();
    assert_eq!(window.session().document.job().client.asks.len(), count);
}
