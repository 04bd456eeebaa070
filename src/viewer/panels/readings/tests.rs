//! The sheet by its keys, without a window.

use bevy_egui::egui::{self, Event, Key, Modifiers, RawInput};

use super::*;
use crate::viewer::session::Session;

const DEMO: &str = include_str!("../../../../demo-scenes/quarry-lane.ron");

/// A sheet with its session, as the window has them.
struct Desk {
    context: egui::Context,
    hand: Hand,
    session: Session,
    left: bool,
    saved: String,
}

impl Desk {
    fn open(text: &str) -> Self {
        let document = Document::parse(text, "test.ron").unwrap();
        let mut desk = Self {
            context: egui::Context::default(),
            hand: Hand::default(),
            session: Session::new(document, None),
            left: false,
            saved: String::new(),
        };
        desk.frame(Vec::new());
        desk
    }

    fn frame(&mut self, events: Vec<Event>) {
        let input = RawInput {
            events,
            screen_rect: Some(egui::Rect::from_min_size(
                egui::Pos2::ZERO,
                egui::vec2(WIDTH, 700.0),
            )),
            ..RawInput::default()
        };
        let (hand, document) = (&mut self.hand, self.session.document.clone());
        let mut asked = Vec::new();
        let mut drawn = self.context.run_ui(input, |ui| {
            asked.extend(readings_ui(ui, hand, &document, None));
        });
        drawn.textures_delta.clear();
        for action in asked {
            match action {
                Action::Reading(change) => self.session.edit(&change, None),
                Action::Place(_) => self.left = true,
                Action::Save => self.saved = self.session.document.text().to_owned(),
                other => panic!("{other:?}"),
            }
        }
    }

    /// Keys as a hand presses them, one frame each or all in one.
    fn press(&mut self, keys: &[&str], in_one_frame: bool) {
        let events: Vec<Vec<Event>> = keys.iter().map(|key| pressed(key)).collect();
        if in_one_frame {
            self.frame(events.concat());
        } else {
            for event in events {
                self.frame(event);
            }
        }
    }

    /// Goes to a row by its group and words.
    fn go(&mut self, group: &str, what: &str) {
        let all = rows::rows(self.session.document.job());
        let place = |row: &Row| row.group == group && row.what == what;
        let row = all.iter().position(place).unwrap();
        self.hand.go(row, &all);
    }

    fn told(&mut self) -> Told {
        let document = self.session.document.clone();
        let view = self.hand.view(&document, true);
        view.rows[self.hand.row].1.clone().unwrap_or_default()
    }

    fn here(&self) -> Row {
        rows::rows(self.session.document.job())[self.hand.row].clone()
    }

    /// The lines that differ from the demo.
    fn changed(&self) -> Vec<&str> {
        let before: Vec<&str> = DEMO.lines().collect();
        let now = self.session.document.text().lines();
        now.filter(|line| !before.contains(line))
            .map(str::trim)
            .collect()
    }
}

fn pressed(key: &str) -> Vec<Event> {
    let plain = |key: Key| (key, Modifiers::NONE);
    let (key, modifiers) = match key {
        "Tab" => plain(Key::Tab),
        "Enter" => plain(Key::Enter),
        "Down" => plain(Key::ArrowDown),
        "Up" => plain(Key::ArrowUp),
        "Esc" => plain(Key::Escape),
        "Back" => plain(Key::Backspace),
        "Left" => plain(Key::ArrowLeft),
        "Shift+Tab" => (Key::Tab, Modifiers::SHIFT),
        "Ctrl+S" => (Key::S, Modifiers::CTRL | Modifiers::COMMAND),
        "Ctrl+Z" => (Key::Z, Modifiers::CTRL | Modifiers::COMMAND),
        text => return vec![Event::Text(text.to_owned())],
    };
    vec![Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers,
    }]
}

#[test]
fn rows_follow_the_walk_and_hold_every_reading_once() {
    let document = Document::parse(DEMO, "test.ron").unwrap();
    let all = rows::rows(document.job());
    let said: Vec<String> = all[..8]
        .iter()
        .map(|row| format!("{} {}", row.group, row.what))
        .collect();
    let want = [
        "flight total rise",
        "flight total run",
        "step 1 rise",
        "step 1 going",
        "step 1 tread end",
        "step 1 level",
        "step 1 nosing",
        "step 2 rise",
    ];
    assert_eq!(said, want);
    let survey = survey::survey(document.job());
    let mut there: Vec<String> = all
        .iter()
        .filter(|row| matches!(row.place, rows::Place::There { .. }))
        .map(|row| row.local.clone())
        .collect();
    let mut read: Vec<String> = survey.readings.iter().map(|one| one.path.clone()).collect();
    there.sort();
    read.sort();
    assert_eq!(there, read);
}

#[test]
fn a_new_reading_is_typed_with_fraction_keys_alone() {
    for in_one_frame in [false, true] {
        let mut desk = Desk::open(DEMO);
        desk.go("step 3", "rise");
        desk.press(&["7", "q", "e", "s", "Tab"], in_one_frame);
        assert_eq!(desk.changed(), [r#"Rise(step: 3, is: "7 7/16"),"#]);
        assert_eq!(
            (desk.here().group.as_str(), desk.here().what.as_str()),
            ("step 3", "going")
        );
        desk.session.undo();
        assert_eq!(desk.session.document.text(), DEMO);
    }
}

#[test]
fn a_reading_that_is_there_is_written_over_alone_and_each_is_undone_by_itself() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 2", "rise");
    desk.press(&["7", "h", "Down"], true);
    desk.press(&["9", " ", "7", "/", "8", "Enter"], true);
    assert_eq!(
        desk.changed(),
        [
            r#"Rise(step: 2, is: "7 1/2"),"#,
            r#"Going(step: 2, is: "9 7/8"),"#
        ]
    );
    desk.session.undo();
    assert_eq!(desk.changed(), [r#"Rise(step: 2, is: "7 1/2"),"#]);
}

#[test]
fn an_emptied_field_takes_the_reading_out() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 6", "going");
    desk.press(&["Back", "Tab"], true);
    assert!(!desk.session.document.text().contains("9 3/4"));
    assert!(
        desk.session
            .document
            .text()
            .contains("// Short: the old string")
    );
    // The rows behind it moved up in the file; the next edit finds its own all the same.
    desk.press(&["2", "q", "Tab"], true);
    assert!(
        desk.session
            .document
            .text()
            .contains(r#"Edge(step: 6, is: "2 1/4")"#)
    );
}

#[test]
fn a_level_takes_the_end_that_is_higher() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 5", "level");
    desk.press(&["e", "Tab"], true);
    assert_eq!(desk.told().words, "which end is higher? o or w");
    assert!(desk.changed().is_empty());
    desk.press(&["o", "w", "s", "Tab"], true);
    assert_eq!(
        desk.changed(),
        [r#"Level(step: 5, is: "3/16", high: Wall),"#]
    );
    desk.go("step 9", "level");
    desk.press(&["w", "Tab"], true);
    assert!(
        desk.session
            .document
            .text()
            .contains(r#"Level(step: 9, is: "3/16", high: Wall)"#)
    );
}

#[test]
fn a_walls_gap_is_written_where_the_file_has_it() {
    let mut desk = Desk::open(DEMO);
    let all = rows::rows(desk.session.document.job());
    let row = all.iter().position(|row| row.text == "9/16").unwrap();
    desk.hand.go(row, &all);
    desk.press(&["h", "Tab"], true);
    let text = desk.session.document.text();
    assert!(
        text.contains(r#"level: "48", gap: "1 1/16", at: Top"#),
        "{text}"
    );
}

#[test]
fn the_misfit_follows_each_key_before_anything_is_kept() {
    let more =
        "Height(step: 3, above: 0, is: \"22 7/16\"), Rise(step: 1, is: \"7 1/2\"), Rise(step: 2,";
    let text = DEMO.replacen("Rise(step: 2,", more, 1);
    let mut desk = Desk::open(&text);
    desk.go("step 3", "rise");
    desk.press(&["7", "h"], false);
    assert_eq!(desk.told().words, "agrees");
    let good = desk.told();
    // A slip of half an inch is named against the total as soon as it stands there.
    desk.press(&["h"], false);
    let slip = desk.told();
    assert!(
        slip.again && slip.words.starts_with("read again"),
        "{slip:?}"
    );
    assert_ne!(good.off, slip.off);
    assert_eq!(desk.session.document.text(), text);
    desk.press(&["/"], false);
    let half = desk.told();
    assert!(
        !half.again && !half.words.is_empty() && half.all.is_empty(),
        "{half:?}"
    );
}

#[test]
fn escape_and_undo_take_back_the_typing_before_anything_else() {
    for key in ["Esc", "Ctrl+Z"] {
        let mut desk = Desk::open(DEMO);
        desk.go("step 2", "rise");
        desk.press(&["8", key], false);
        assert_eq!(desk.hand.field.text, "7 7/16");
        assert!(!desk.hand.typed() && !desk.left);
        desk.press(&["Esc"], false);
        assert!(desk.left);
    }
}

#[test]
fn saving_keeps_what_is_typed_first() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 3", "rise");
    desk.press(&["7", "q", "Ctrl+S"], false);
    assert!(desk.saved.contains(r#"Rise(step: 3, is: "7 1/4")"#));
    assert_eq!(desk.here().what, "rise");
}

#[test]
fn what_the_job_refuses_stays_in_the_field_with_the_reason() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 3", "rise");
    desk.press(&["7", "/", "Tab", "Tab"], false);
    assert_eq!(
        (desk.here().what.as_str(), desk.hand.field.text.as_str()),
        ("rise", "7/")
    );
    assert!(desk.told().again && !desk.told().words.is_empty());
    assert_eq!(desk.session.document.text(), DEMO);
}

#[test]
fn closing_the_sheet_keeps_a_reading_and_drops_what_is_none() {
    for (keys, kept) in [(["7", "h"], true), (["7", "/"], false)] {
        let mut desk = Desk::open(DEMO);
        desk.go("step 3", "rise");
        desk.press(&keys, false);
        let document = desk.session.document.clone();
        let action = desk.hand.close(&document);
        assert_eq!(matches!(action, Some(Action::Reading(_))), kept);
        assert!(!desk.hand.typed());
    }
}

#[test]
fn the_way_back_and_keys_inside_the_field() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 2", "rise");
    desk.press(&["Up", "Shift+Tab", "Shift+Tab"], false);
    assert_eq!(desk.here().what, "tread end");
    desk.press(&["Left", "Left", "Back", "3", "Tab"], false);
    assert_eq!(desk.changed(), [r#"Edge(step: 1, is: "2 3/4"),"#]);
}

#[test]
fn in_millimetres_the_letters_are_letters() {
    let mut field = Field::of("260");
    field.marked = false;
    field.take(
        &Event::Text("m".to_owned()),
        rows::Takes::Length,
        Unit::Millimetres,
    );
    field.take(
        &Event::Text("h".to_owned()),
        rows::Takes::Length,
        Unit::Millimetres,
    );
    assert_eq!(field.text, "260mh");
}

const COTTAGE: &str = include_str!("../../../../demo-scenes/weir-cottage.ron");

#[test]
fn every_run_has_its_readings_and_each_stands_at_its_own_place_in_the_file() {
    let document = Document::parse(COTTAGE, "test.ron").unwrap();
    let all = rows::rows(document.job());
    let runs = document.job().each_run();
    let stairs: Vec<usize> = (0..runs.len()).filter(|at| runs[*at].has_stair()).collect();
    let mut shown: Vec<usize> = all.iter().map(|row| row.run.0).collect();
    shown.dedup();
    assert!(stairs.len() > 1);
    assert_eq!(shown, stairs, "run by run, as one walks up");
    let mut there = 0;
    for row in &all {
        let rows::Place::There { path, .. } = &row.place else {
            continue;
        };
        there += 1;
        // The text in the file at that path is that of the reading.
        let number = row.text.split(' ').next().unwrap();
        let text = document.value_text(path).unwrap();
        assert!(text.contains(number), "{path}: {text} for {}", row.text);
    }
    let counted = stairs.iter().map(|at| {
        let job = &runs[*at].job;
        let walls = job.walls.iter().map(|wall| wall.readings.len());
        let floors = job.floors.iter().map(|floor| floor.readings.len());
        job.flight.readings.len() + walls.sum::<usize>() + floors.sum::<usize>()
    });
    assert_eq!(there, counted.sum::<usize>());
}

#[test]
fn a_new_reading_of_a_further_run_is_written_there_and_judged_by_its_own_survey() {
    let mut desk = Desk::open(COTTAGE);
    let all = rows::rows(desk.session.document.job());
    let row = all.iter().position(|row| {
        row.run.0 > 0 && row.what == "rise" && matches!(row.place, rows::Place::New { .. })
    });
    let row = row.or_else(|| {
        all.iter().position(|row| {
            let whole = row.what.starts_with("total");
            row.run.0 > 0 && !whole && matches!(row.place, rows::Place::New { .. })
        })
    });
    let row = row.unwrap();
    let (group, run) = (all[row].group.clone(), all[row].run.clone());
    let rows::Place::New { list, .. } = all[row].place.clone() else {
        unreachable!()
    };
    assert!(list.starts_with("runs["), "{list}");
    desk.hand.go(row, &all);
    let about = {
        let document = desk.session.document.clone();
        let _view = desk.hand.view(&document, true);
        desk.hand.about().cloned().unwrap()
    };
    assert_eq!(about.run, run.0);
    assert!(about.what.starts_with(&format!("run {}, {group}", run.1)));
    let keys: &[&str] = if all[row].takes == rows::Takes::Level {
        &["e", "w", "Enter"]
    } else {
        &["2", "q", "Enter"]
    };
    desk.press(keys, true);
    let after = rows::rows(desk.session.document.job());
    let there = after.iter().filter(
        |one| matches!(&one.place, rows::Place::There { path, .. } if path.starts_with(&list)),
    );
    let before = all.iter().filter(
        |one| matches!(&one.place, rows::Place::There { path, .. } if path.starts_with(&list)),
    );
    assert_eq!(
        there.count(),
        before.count() + 1,
        "{} {:?}",
        all[row].what,
        desk.hand.refused
    );
}

#[test]
fn a_part_of_the_picture_leads_to_its_first_reading() {
    let document = Document::parse(COTTAGE, "test.ron").unwrap();
    let job = document.job();
    let all = rows::rows(job);
    for (number, run) in job.each_run().iter().enumerate() {
        if !run.has_stair() || run.job.level.is_some() {
            continue;
        }
        for part in ["T2", "K2"] {
            let name = format!("{}{part}", run.mark);
            let row = &all[rows::first_of(job, &all, &name).unwrap()];
            assert_eq!((row.run.0, &row.of), (number, &rows::Of::Step(2)), "{name}");
            assert_eq!(row.what, "rise");
        }
    }
    assert!(rows::first_of(job, &all, "N1").is_none());
    let demo = Document::parse(DEMO, "test.ron").unwrap();
    let all = rows::rows(demo.job());
    let wall = &all[rows::first_of(demo.job(), &all, "W2").unwrap()];
    assert_eq!(wall.of, rows::Of::Wall("W2".to_owned()));
}

#[test]
fn sent_from_the_picture_the_hand_keeps_what_was_typed() {
    let mut desk = Desk::open(DEMO);
    desk.go("step 2", "rise");
    desk.press(&["7", "h"], true);
    let document = desk.session.document.clone();
    let kept = desk.hand.come_to("T6", &document);
    assert!(matches!(kept, Some(Action::Reading(_))), "{kept:?}");
    assert_eq!(
        (desk.here().group.as_str(), desk.here().what.as_str()),
        ("step 6", "rise")
    );
    // What is no reading stays, and so does the hand.
    desk.go("step 3", "rise");
    desk.press(&["7", "/"], false);
    assert!(desk.hand.come_to("T6", &document).is_none());
    assert_eq!(desk.here().group, "step 3");
}
