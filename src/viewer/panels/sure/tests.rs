//! What the place that says how sure the stair is tells and asks for.

use super::rows::Line;
use super::*;
use crate::doubt::{Progress, Tally};
use crate::inspect::{Key, Severity};
use crate::viewer::Pick;
use bevy_egui::egui::vec2;
use bevy_egui::egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect};

fn tally(hits: u64, of: u64) -> Tally {
    Tally { hits, of }
}

#[test]
fn what_never_came_is_not_called_impossible_and_what_always_came_not_certain() {
    let never = Odds::of(&tally(0, 4_000));
    assert_eq!(never.says, "not once");
    assert!(
        never.within.starts_with("1 in ") && never.within.ends_with("at most"),
        "{never:?}"
    );
    let always = Odds::of(&tally(4_000, 4_000));
    assert_eq!(always.says, "every time");
    assert!(always.within.ends_with("at least"), "{always:?}");
    assert_eq!(Odds::of(&tally(1_000, 12_000)).says, "1 in 12");
}

fn empty(standing: Standing) -> SureView {
    SureView {
        standing,
        most: 10_000,
        refused: None,
        told: None,
        fan: true,
        stretch: 1.0,
        chart: None,
    }
}

fn told(key: &Key, stale: bool) -> Told {
    Told {
        planned: 0,
        stale,
        said: "drawn 4,000 times".to_owned(),
        unread: None,
        whole: Some(Odds::of(&tally(400, 4_000))),
        none: Vec::new(),
        kept: vec![Line {
            key: key.clone(),
            severity: Severity::Stop,
            odds: Odds::of(&tally(400, 4_000)),
            always: false,
            says: "The gap is kept".to_owned(),
            numbers: "planned 3 7/8".to_owned(),
            strip: None,
            sources: vec![(0.4, "reading: one".to_owned())],
            picked: false,
        }],
        open: Vec::new(),
        always: Vec::new(),
        more: 0,
        fresh: Vec::new(),
        results: Vec::new(),
        pieces: Vec::new(),
        safe: 3,
    }
}

/// Clicks everywhere in the panel and gives what was asked for, each thing once.
fn clicks(view: &SureView) -> Vec<String> {
    let context = egui::Context::default();
    let mut asked = Vec::new();
    let mut frame = |events| {
        let input = RawInput {
            events,
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(WIDTH, 900.0))),
            ..RawInput::default()
        };
        let mut said = Vec::new();
        let mut drawn = context.run_ui(input, |ui| said = sure_ui(ui, view));
        drawn.textures_delta.clear();
        asked.extend(said.iter().map(|one| format!("{one:?}")));
    };
    frame(Vec::new());
    for y in (10..420_u16).step_by(12) {
        for x in [60.0, 200.0, WIDTH - 60.0] {
            let at = Pos2::new(x, f32::from(y));
            let button = |pressed| Event::PointerButton {
                pos: at,
                button: PointerButton::Primary,
                pressed,
                modifiers: Modifiers::NONE,
            };
            frame(vec![Event::PointerMoved(at)]);
            frame(vec![button(true)]);
            frame(vec![button(false)]);
        }
    }
    asked.sort();
    asked.dedup();
    asked
}

fn some_key() -> Key {
    let text = include_str!("../../../../demo-scenes/quarry-lane.ron");
    let document = crate::job::Document::parse(text, "test.ron").unwrap();
    let chain = crate::chain::run(document.job()).unwrap();
    chain.inspection.findings[0].key.clone()
}

#[test]
fn a_click_draws_or_ends_the_draws_and_a_line_flies_to_its_place() {
    let still = clicks(&empty(Standing::Still));
    assert!(still.contains(&"Draw(true)".to_owned()), "{still:?}");
    let progress = Progress {
        done: 500,
        most: 10_256,
    };
    let drawing = clicks(&empty(Standing::Drawing(progress, false)));
    assert!(drawing.contains(&"Draw(false)".to_owned()), "{drawing:?}");
    assert!(!drawing.contains(&"Draw(true)".to_owned()), "{drawing:?}");
    let ending = clicks(&empty(Standing::Drawing(progress, true)));
    assert!(
        !ending.iter().any(|one| one.starts_with("Draw")),
        "{ending:?}"
    );

    let key = some_key();
    let fly = format!("{:?}", Action::Frame(Pick::Trouble(key.clone())));
    let current = SureView {
        told: Some(told(&key, false)),
        ..empty(Standing::Still)
    };
    let current = clicks(&current);
    assert!(
        current.contains(&fly) && current.contains(&"Fan(false)".to_owned()),
        "{current:?}"
    );
    // Of another state of the job nothing can be picked, and it can be drawn again.
    let stale = SureView {
        told: Some(told(&key, true)),
        ..empty(Standing::Still)
    };
    let stale = clicks(&stale);
    assert!(!stale.contains(&fly), "{stale:?}");
    assert!(stale.contains(&"Draw(true)".to_owned()), "{stale:?}");
}
