//! The strip worked by real keys and a real pointer.

use bevy::math::Vec2;

use super::notes::Notes;
use super::{Climbing, Of};
use crate::viewer::drive::{DEMO, Driven};

/// On the strip, which lies over the foot of the window, left and right of its middle.
const LEFT: Vec2 = Vec2::new(420.0, 690.0);
const RIGHT: Vec2 = Vec2::new(930.0, 690.0);

fn step(window: &Driven) -> u32 {
    window.get::<Climbing>().step
}

#[test]
fn keys_and_a_drag_go_up_and_down_the_flight() {
    let mut window = Driven::open(DEMO);
    // Without the strip these keys go nowhere.
    window.key("PageUp");
    assert_eq!(step(&window), 1);
    window.key("s");
    assert!(window.get::<Climbing>().on);
    window.key("PageUp");
    window.key("PageUp");
    assert_eq!(step(&window), 3);
    window.key("PageDown");
    assert_eq!(step(&window), 2);
    // The lit step's figure: the demo's second rise was read 1/16 scant.
    window.settle();
    let notes = window.get::<Notes>();
    assert_eq!(notes.step[0].says, "2: 1/16\" too low");
    assert!(notes.bars.is_empty() && notes.levels.is_empty());
    // A drag along the strip goes with the pointer.
    window.drag(LEFT, RIGHT, 8);
    let far = step(&window);
    assert!(far > 8, "{far}");
    window.drag(RIGHT, LEFT, 8);
    assert!(step(&window) < far);
    window.key("Ctrl+PageUp");
    assert_eq!(step(&window), 14);
    window.key("Ctrl+PageDown");
    assert_eq!(step(&window), 1);
    // Nothing of this is an edit.
    assert!(!window.session().unsaved());
}

#[test]
fn bars_stand_on_the_tread_ends_while_the_strip_is_of_reveals() {
    let mut window = Driven::open(DEMO);
    window.key("s");
    while window.get::<Climbing>().of != Of::Reveals {
        window.key("Shift+PageDown");
    }
    window.settle();
    let reveals = window.solved().found.first().setout.reveals.len();
    assert_eq!(window.get::<Notes>().bars.len(), reveals);
    // From the strip of levels: the two treads of the demo that are out of level, and no others.
    while window.get::<Climbing>().of != Of::Across {
        window.key("Shift+PageUp");
    }
    window.settle();
    let told = |window: &Driven| -> Vec<String> {
        let levels = &window.get::<Notes>().levels;
        levels.iter().map(|note| note.says.clone()).collect()
    };
    assert_eq!(told(&window), ["1/8\"", "3/16\""]);
    assert!(window.get::<Notes>().bars.is_empty());
    // Taken away, nothing of it stays.
    window.key("s");
    window.settle();
    assert!(told(&window).is_empty() && window.get::<Notes>().step.is_empty());
}
