//! The grips without a window: what is asked goes in as actions, frames are counted by hand.

use std::thread;
use std::time::{Duration, Instant};

use bevy::math::Vec2;
use bevy::prelude::{IntoScheduleConfigs as _, Messages, MinimalPlugins};

use super::*;
use crate::viewer::drive::{self, Driven};
use crate::viewer::eye::View;
use crate::viewer::session::Session;
use crate::viewer::sure::Sure;
use crate::viewer::{Pick, order, recompute, scene, session, ways};

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
/// Longest wait for an answer of another thread.
const PATIENCE: Duration = Duration::from_secs(300);

/// The window's work without its picture.
struct Desk(App);

impl Desk {
    /// With the newel picked and set out.
    fn new() -> Self {
        let mut app = App::new();
        let document = Document::parse(DEMO, "test.ron").unwrap();
        app.add_plugins(MinimalPlugins)
            .insert_resource(Session::new(document, None))
            .insert_resource(Waker(Arc::new(|| {})))
            .init_resource::<Showing>()
            .init_resource::<View>()
            .init_resource::<Sure>();
        order(&mut app);
        app.add_plugins((session::plugin, recompute::plugin, ways::plugin, plugin))
            .add_systems(Update, scene::ready.in_set(ViewerSystems::Sync));
        let mut desk = Self(app);
        desk.act(Action::Pick(Some(Pick::Part("N1".to_owned()))));
        desk.until("the newel has grips", |desk| {
            !desk.hand().handles.is_empty()
        });
        desk
    }

    fn act(&mut self, action: Action) {
        let mut actions = self.0.world_mut().resource_mut::<Messages<Action>>();
        actions.write(action);
        self.0.update();
    }

    fn hand(&self) -> &Hand {
        self.0.world().resource()
    }

    fn session(&self) -> &Session {
        self.0.world().resource()
    }

    fn work(&self) -> &Work {
        self.0.world().resource()
    }

    fn until(&mut self, what: &str, there: impl Fn(&Self) -> bool) {
        let until = Instant::now() + PATIENCE;
        while !there(self) {
            assert!(Instant::now() < until, "waited in vain until {what}");
            thread::sleep(Duration::from_millis(5));
            self.0.update();
        }
    }

    /// Tries a value of the grip that is held.
    fn pull(&mut self, inches: f64) {
        let value = Value::Length(Length::inches(inches));
        let edit = self.hand().handles[0].edit(value).unwrap();
        self.act(Action::Hand(Ask::Hold(Aim { value, place: None })));
        self.act(Action::Try(Some(Change::Set(vec![edit]))));
    }

    /// The move of the newel that stands set out.
    fn set_out(&self) -> Option<Length> {
        let job = self.work().document()?.job();
        match &job.design.newels[0].stands {
            crate::job::Stands::Displaces { move_by, .. } => Some(move_by.value),
            crate::job::Stands::At { .. } => None,
        }
    }

    fn last_step(&self) -> Option<&str> {
        self.session().undoes()
    }
}

#[test]
fn a_pull_is_set_out_as_it_goes_and_letting_go_is_one_step() {
    let mut desk = Desk::new();
    let stood = desk.work().stood;
    desk.act(Action::Hand(Ask::Take(0, 0.0)));
    assert!(desk.hand().holds());
    // Faster than it can be set out: what is asked last is set out last, and nothing waits in a row.
    for mark in 1..=40 {
        desk.pull(f64::from(mark) / 16.0);
    }
    desk.until("the last is set out", |desk| {
        desk.set_out() == Some(Length::inches(2.5)) && !desk.work().stale()
    });
    assert!(desk.work().stood - stood <= 40);
    // It was only tried.
    assert_eq!(desk.session().document.text(), DEMO);
    assert_eq!(desk.last_step(), None);
    let told = desk.hand().telling.done.as_ref().unwrap();
    let gap = told.changes.iter().find(|one| one.what == "gap N1 to B01");
    let gap = gap.unwrap();
    approx::assert_relative_eq!(gap.before.unwrap().as_inches(), 3.75, epsilon = 1e-9);
    approx::assert_relative_eq!(gap.after.unwrap().as_inches(), 1.25, epsilon = 1e-9);
    let before = desk.work().stood;
    let made = make(&desk.hand().handles[0], Value::Length(Length::inches(2.5))).unwrap();
    desk.act(Action::Hand(Ask::Let));
    desk.act(made);
    assert!(!desk.hand().holds());
    assert_eq!(desk.last_step(), Some("newel N1 2 1/2\" up the flight"));
    // What was tried stands already.
    desk.0.update();
    assert!(!desk.work().stale());
    assert_eq!(desk.work().stood, before);
    desk.act(Action::Undo);
    assert_eq!(desk.session().document.text(), DEMO);
}

#[test]
fn escape_takes_back_what_is_held_and_nothing_was_done() {
    let mut desk = Desk::new();
    desk.act(Action::Hand(Ask::Take(0, 0.0)));
    desk.pull(1.0);
    desk.until("it is set out", |desk| {
        desk.set_out() == Some(Length::inches(1.0))
    });
    desk.act(Action::Try(None));
    assert!(!desk.hand().holds());
    desk.until("it is as it was", |desk| {
        desk.set_out() == Some(Length::ZERO) && !desk.work().stale()
    });
    assert_eq!(desk.session().document.text(), DEMO);
    assert_eq!(desk.last_step(), None);
}

#[test]
fn keys_move_the_chosen_grip_by_marks_and_from_stop_to_stop() {
    let mut desk = Desk::new();
    let nudge = |desk: &Desk| {
        let made = nudged(desk.hand(), &desk.session().document, 1.0, true);
        made.unwrap()
    };
    // Faster than it is set out, each press counts.
    for _ in 0..3 {
        let made = nudge(&desk);
        desk.act(made);
    }
    assert!(desk.session().document.text().contains("move_by: \"3/16\""));
    desk.act(Action::Hand(Ask::Next));
    desk.act(Action::Hand(Ask::Next));
    let made = nudge(&desk);
    desk.act(made);
    assert_eq!(desk.last_step(), Some("newel N1 1/16\" taller"));
    // Back at the first grip: down the flight a face comes flush with its kick at -1 1/4.
    desk.act(Action::Hand(Ask::Light(0)));
    desk.until("its stops are there", |desk| {
        let handle = &desk.hand().handles[0];
        !desk.work().stale() && !desk.hand().stops(handle).is_empty()
    });
    let mut stops = Vec::new();
    for _ in 0..7 {
        let made = leapt(desk.hand(), &desk.session().document, false).unwrap();
        desk.act(made);
        let handle = &desk.hand().handles[0];
        if let Value::Length(now) = stands(&desk.session().document, handle) {
            stops.push((now.as_inches() * 16.0).round());
        }
    }
    assert_eq!(stops, [0.0, -4.0, -8.0, -12.0, -16.0, -20.0, -24.0]);
}

#[test]
fn a_gap_that_is_typed_moves_the_newel_and_one_that_cannot_be_is_said() {
    let mut desk = Desk::new();
    let gap = |below: &str, above: &str| Asked::Gap {
        below: below.to_owned(),
        above: above.to_owned(),
    };
    desk.act(Action::Hand(Ask::Set(
        gap("N1", "B01"),
        Length::inches(4.0),
    )));
    desk.until("it is set", |desk| desk.last_step().is_some());
    assert_eq!(
        desk.last_step().unwrap(),
        "the clear gap between N1 and B01 set to 4\": move newel N1 1/4\" down the flight"
    );
    assert!(desk.session().document.text().contains("move_by: \"-1/4\""));
    desk.until("it is set out", |desk| !desk.work().stale());
    desk.act(Action::Hand(Ask::Set(
        gap("B02", "B03"),
        Length::inches(4.0),
    )));
    desk.until("it is said", |desk| desk.session().notice.is_some());
    let notice = desk.session().notice.as_ref().unwrap();
    assert!(
        notice.wrong && notice.says.contains("no single length"),
        "{}",
        notice.says
    );
}

/// The window with newel N1 picked by a click, and where its first grip lies in it.
fn driven() -> (Driven, Vec2, Vec2) {
    let mut window = Driven::open(drive::DEMO);
    let newel = window.part("N1");
    window.click(newel);
    window.until("the newel has grips", |window| {
        !window.get::<Hand>().handles.is_empty()
    });
    window.frame();
    let handle = &window.get::<Hand>().handles[0];
    let (at, there) = (handle.at, handle.at + handle.way * 3.0 * 25.4);
    let (at, there) = (window.on_screen(&at), window.on_screen(&there));
    (window, at, there)
}

/// How far the newel is moved in the document, inches.
fn moved(window: &Driven) -> f64 {
    let newel = &window.session().document.job().design.newels[0];
    match &newel.stands {
        crate::job::Stands::Displaces { move_by, .. } => move_by.value.as_inches(),
        crate::job::Stands::At { .. } => f64::NAN,
    }
}

#[test]
fn a_newel_goes_with_the_pointer_and_the_stair_does_not_turn() {
    let (mut window, at, there) = driven();
    let goal = window.get::<View>().goal;
    window.point(at);
    window.frame();
    window.press();
    for step in 1..=6_u8 {
        window.point(at.lerp(there, f32::from(step) / 6.0));
    }
    window.frame();
    let held = window.get::<Hand>().held.as_ref().unwrap();
    // Under the hand to a mark, or at a stop within reach of it.
    let along = held.handle.along(held.aim.value).as_mm() / 25.4;
    let off = if held.aim.place.is_some() {
        1.0
    } else {
        1.0 / 16.0
    };
    assert!((along - 3.0).abs() <= off, "{along} {:?}", held.aim);
    assert!(moved(&window).abs() < 1e-9);
    window.let_go();
    window.settle();
    assert!((moved(&window) - along).abs() < 1e-3);
    assert_eq!(window.get::<View>().goal, goal);
    assert_eq!(window.showing().picked, Some(Pick::Part("N1".to_owned())));
    let step = window.session().undoes().unwrap();
    assert!(
        step.starts_with("newel N1 ") && step.ends_with(" up the flight"),
        "{step}"
    );
    assert_eq!(window.session().history().len(), 1);
    window.key("Ctrl+z");
    assert_eq!(window.session().document.text(), drive::DEMO);
}

#[test]
fn escape_while_the_button_is_down_takes_the_pull_back_and_letting_go_makes_nothing() {
    let (mut window, at, there) = driven();
    window.point(at);
    window.frame();
    window.press();
    window.point(at.lerp(there, 0.5));
    window.point(there);
    window.frame();
    assert!(window.get::<Hand>().holds());
    window.key("Esc");
    assert!(!window.get::<Hand>().holds());
    window.point(at.lerp(there, 0.8));
    window.let_go();
    window.settle();
    assert_eq!(window.session().document.text(), drive::DEMO);
    assert_eq!(window.session().history().len(), 0);
}

#[test]
fn a_click_on_a_grip_chooses_it_and_keys_and_typing_move_it() {
    let (mut window, at, _) = driven();
    window.click(at);
    window.frame();
    assert_eq!(window.get::<Hand>().lit, Some(0));
    window.key(".");
    window.key(".");
    assert!((moved(&window) - 0.125).abs() < 1e-9);
    window.settle();
    window.key("Enter");
    window.types("1 1/2");
    window.key("Enter");
    window.frame();
    assert!((moved(&window) - 1.5).abs() < 1e-9);
    // The list of what was done goes back to the beginning.
    window.key("z");
    window.frame();
    assert!(window.get::<crate::viewer::panels::steps::Listed>().0);
    let names: Vec<_> = (0..3)
        .filter_map(|at| window.session().history().name(at))
        .collect();
    assert_eq!(
        names,
        [
            "newel N1 1/16\" up the flight",
            "newel N1 1/16\" up the flight",
            "newel N1 1 3/8\" up the flight"
        ]
    );
}
