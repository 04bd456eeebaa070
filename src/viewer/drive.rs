//! The window driven without a display: real key and pointer messages go in where the window system
//! would put them, and what the window makes of them is asked for. For tests only.
//!
//! Nothing is drawn; the chain, the panels, the picking and the eye run as they do in the window.

#![allow(dead_code, reason = "a kit: each test takes what it needs")]

use std::path::PathBuf;
use std::time::{Duration, Instant};

use bevy::app::{App, PluginGroup as _};
use bevy::camera::Camera;
use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyCode, KeyboardInput};
use bevy::input::mouse::{MouseButton, MouseButtonInput, MouseMotion, MouseScrollUnit, MouseWheel};
use bevy::log::LogPlugin;
use bevy::math::Vec2;
use bevy::prelude::{DefaultPlugins, Entity, GlobalTransform, Resource, With};
use bevy::render::RenderPlugin;
use bevy::render::settings::{RenderCreation, WgpuSettings};
use bevy::time::TimeUpdateStrategy;
use bevy::window::{CursorMoved, PrimaryWindow, Window, WindowEvent};
use bevy::winit::WinitPlugin;
use nalgebra::Point3;

use crate::job::Document;

use super::eye::{Mine, View};
use super::recompute::Work;
use super::scene::Shown;
use super::session::Session;
use super::{Showing, Solved, convert, window};

/// The demo that comes with the program.
pub(super) const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
/// One frame of the driven window.
const FRAME: Duration = Duration::from_millis(50);
/// A driven window that did not come to rest after so long never will.
const PATIENCE: Duration = Duration::from_secs(90);

/// A window that is driven.
pub(super) struct Driven {
    app: App,
    window: Entity,
    at: Vec2,
}

impl Driven {
    /// Opens it on the text of a job, and waits until it is set out and the eye is at rest.
    pub(super) fn open(text: &str) -> Self {
        let document = Document::parse(text, "driven.ron").unwrap();
        Self::open_document(document, None)
    }

    /// The same with a file that saving writes to.
    pub(super) fn open_document(document: Document, path: Option<PathBuf>) -> Self {
        let nothing = RenderPlugin {
            render_creation: RenderCreation::Automatic(Box::new(WgpuSettings {
                backends: None,
                ..WgpuSettings::default()
            })),
            ..RenderPlugin::default()
        };
        let plugins = DefaultPlugins
            .set(window::window())
            .set(nothing)
            .disable::<WinitPlugin>()
            .disable::<LogPlugin>();
        let mut app = window::app(plugins, document, path);
        // Cameras that are put up later tell a renderer of it, there or not.
        app.add_plugins(bevy::render::sync_world::SyncWorldPlugin);
        app.insert_resource(TimeUpdateStrategy::ManualDuration(FRAME));
        app.finish();
        app.cleanup();
        let world = app.world_mut();
        let window = world
            .query_filtered::<Entity, With<PrimaryWindow>>()
            .single(world)
            .unwrap();
        let mut driven = Self {
            app,
            window,
            at: Vec2::ZERO,
        };
        driven.settle();
        driven
    }

    /// One frame.
    pub(super) fn frame(&mut self) {
        self.app.update();
    }

    /// Frames until something is so.
    pub(super) fn until(&mut self, what: &str, so: impl Fn(&Self) -> bool) {
        let began = Instant::now();
        loop {
            self.frame();
            if so(self) {
                return;
            }
            assert!(began.elapsed() < PATIENCE, "waited in vain until {what}");
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    /// Frames until the job is set out as it stands and the eye has come to rest.
    pub(super) fn settle(&mut self) {
        // What was asked for takes a frame to begin.
        self.frame();
        self.frame();
        self.until("the window is at rest", |driven| {
            let world = driven.app.world();
            let text = driven.session().document.text();
            let set_out = world.resource::<Work>().set_out(text).is_some();
            let moving = world.resource::<View>().moving();
            set_out && world.contains_resource::<Shown>() && !moving
        });
        self.frame();
        self.frame();
    }

    /// Something that the window holds.
    pub(super) fn get<R: Resource>(&self) -> &R {
        self.app.world().resource::<R>()
    }

    /// The session.
    pub(super) fn session(&self) -> &Session {
        self.get()
    }

    /// What is shown.
    pub(super) fn showing(&self) -> &Showing {
        self.get()
    }

    /// What was set out.
    pub(super) fn solved(&self) -> &Solved {
        self.get()
    }

    /// The world, for what has no word here.
    pub(super) fn world(&mut self) -> &mut bevy::prelude::World {
        self.app.world_mut()
    }

    fn send(&mut self, event: impl Into<WindowEvent>) {
        self.app.world_mut().write_message(event.into());
    }

    fn stroke(&mut self, key: &Key, state: ButtonState) {
        let text = match key {
            Key::Character(text) => Some(text.clone()),
            Key::Space => Some(" ".into()),
            _ => None,
        };
        let input = KeyboardInput {
            key_code: code(key),
            logical_key: key.clone(),
            state,
            text: text.filter(|_| state == ButtonState::Pressed),
            repeat: false,
            window: self.window,
        };
        self.app.world_mut().write_message(input.clone());
        self.send(input);
    }

    /// Presses and lets go a key, with what is held beside it: `n`, `F2`, `Ctrl+Shift+z`, `Enter`.
    pub(super) fn key(&mut self, chord: &str) {
        let (held, key) = match chord.rsplit_once('+') {
            Some((held, key)) if !held.is_empty() => (held, key),
            _ => ("", chord),
        };
        let held: Vec<Key> = held
            .split('+')
            .filter(|one| !one.is_empty())
            .map(named)
            .collect();
        let shift = held.contains(&Key::Shift);
        let key = match named(key) {
            Key::Character(text) if shift => Key::Character(text.to_uppercase().as_str().into()),
            key => key,
        };
        for one in &held {
            self.stroke(one, ButtonState::Pressed);
        }
        // The panels see what is held a frame before the key, as with a hand.
        self.frame();
        self.stroke(&key, ButtonState::Pressed);
        self.frame();
        self.stroke(&key, ButtonState::Released);
        for one in &held {
            self.stroke(one, ButtonState::Released);
        }
        self.frame();
    }

    /// Types a text, letter by letter.
    pub(super) fn types(&mut self, text: &str) {
        for letter in text.chars() {
            let key = match letter {
                ' ' => Key::Space,
                letter => Key::Character(letter.to_string().as_str().into()),
            };
            self.stroke(&key, ButtonState::Pressed);
            self.frame();
            self.stroke(&key, ButtonState::Released);
        }
        self.frame();
    }

    /// Moves the pointer, points from the window's upper left corner.
    pub(super) fn point(&mut self, to: Vec2) {
        let delta = to - self.at;
        self.at = to;
        let moved = CursorMoved {
            window: self.window,
            position: to,
            delta: Some(delta),
        };
        let motion = MouseMotion { delta };
        let world = self.app.world_mut();
        world.write_message(moved.clone());
        world.write_message(motion);
        if let Some(mut window) = world.get_mut::<Window>(self.window) {
            window.set_cursor_position(Some(to));
        }
        self.send(moved);
        self.send(motion);
        self.frame();
    }

    fn button(&mut self, button: MouseButton, state: ButtonState) {
        let input = MouseButtonInput {
            button,
            state,
            window: self.window,
        };
        self.app.world_mut().write_message(input);
        self.send(input);
        self.frame();
    }

    /// Presses the button of the hand.
    pub(super) fn press(&mut self) {
        self.button(MouseButton::Left, ButtonState::Pressed);
    }

    /// Lets it go.
    pub(super) fn let_go(&mut self) {
        self.button(MouseButton::Left, ButtonState::Released);
        self.frame();
    }

    /// Clicks at a place.
    pub(super) fn click(&mut self, at: Vec2) {
        self.point(at);
        self.frame();
        self.press();
        self.let_go();
    }

    /// Drags from a place to another, in so many steps.
    pub(super) fn drag(&mut self, from: Vec2, to: Vec2, steps: u16) {
        self.point(from);
        self.frame();
        self.press();
        for step in 1..=steps {
            self.point(from.lerp(to, f32::from(step) / f32::from(steps)));
        }
        self.let_go();
    }

    /// Turns the wheel by so many notches.
    pub(super) fn wheel(&mut self, notches: f32) {
        let turned = MouseWheel {
            unit: MouseScrollUnit::Line,
            x: 0.0,
            y: notches,
            window: self.window,
            phase: bevy::input::touch::TouchPhase::Moved,
        };
        self.app.world_mut().write_message(turned);
        self.send(turned);
        self.frame();
    }

    /// Where a place of the stair lies in the window.
    pub(super) fn on_screen(&mut self, at: &Point3<f64>) -> Vec2 {
        let at = convert::point(at);
        let world = self.app.world_mut();
        let mut cameras = world.query_filtered::<(&Camera, &GlobalTransform), Mine>();
        let (camera, place) = cameras.iter(world).next().unwrap();
        camera.world_to_viewport(place, at).unwrap()
    }

    /// Where the middle of a part lies in the window.
    pub(super) fn part(&mut self, name: &str) -> Vec2 {
        let shown = self.get::<Shown>().solids.clone();
        let part = shown.parts.iter().find(|part| part.name == name).unwrap();
        let middle = part.bounds().unwrap().centre();
        self.on_screen(&middle)
    }
}

/// A key by its name.
fn named(name: &str) -> Key {
    match name {
        "Ctrl" => Key::Control,
        "Shift" => Key::Shift,
        "Alt" => Key::Alt,
        "Enter" => Key::Enter,
        "Esc" => Key::Escape,
        "Tab" => Key::Tab,
        "Space" => Key::Space,
        "Home" => Key::Home,
        "End" => Key::End,
        "PageUp" => Key::PageUp,
        "PageDown" => Key::PageDown,
        "Delete" => Key::Delete,
        "Backspace" => Key::Backspace,
        "Left" => Key::ArrowLeft,
        "Right" => Key::ArrowRight,
        "Up" => Key::ArrowUp,
        "Down" => Key::ArrowDown,
        "F1" => Key::F1,
        "F2" => Key::F2,
        "F3" => Key::F3,
        "F4" => Key::F4,
        "F5" => Key::F5,
        "F6" => Key::F6,
        "F7" => Key::F7,
        letter => Key::Character(letter.into()),
    }
}

/// Where a key lies on an American keyboard: the panels and what is held go by that.
fn code(key: &Key) -> KeyCode {
    match key {
        Key::Control => KeyCode::ControlLeft,
        Key::Shift => KeyCode::ShiftLeft,
        Key::Alt => KeyCode::AltLeft,
        Key::Enter => KeyCode::Enter,
        Key::Escape => KeyCode::Escape,
        Key::Tab => KeyCode::Tab,
        Key::Space => KeyCode::Space,
        Key::Home => KeyCode::Home,
        Key::End => KeyCode::End,
        Key::PageUp => KeyCode::PageUp,
        Key::PageDown => KeyCode::PageDown,
        Key::Delete => KeyCode::Delete,
        Key::Backspace => KeyCode::Backspace,
        Key::ArrowLeft => KeyCode::ArrowLeft,
        Key::ArrowRight => KeyCode::ArrowRight,
        Key::ArrowUp => KeyCode::ArrowUp,
        Key::ArrowDown => KeyCode::ArrowDown,
        _ => KeyCode::F35,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::viewer::{Mood, Pick, Place};

    #[test]
    fn keys_go_to_troubles_and_move_the_newel_and_undo_gives_the_file_back() {
        let mut window = Driven::open(DEMO);
        window.key("n");
        let first = window.solved().found.inspection.troubles()[0].key.clone();
        assert_eq!(window.showing().picked, Some(Pick::Trouble(first)));
        window.key("Esc");
        assert_eq!(window.showing().picked, None);
        let gap = |window: &Driven| window.solved().found.first().setout.gaps[0].clear;
        let before = gap(&window);
        window.key(",");
        window.key(",");
        window.settle();
        assert!(window.session().unsaved());
        let moved = before - gap(&window);
        approx::assert_relative_eq!(moved.as_mm().abs(), 25.4 / 8.0, epsilon = 1e-6);
        window.key("Ctrl+z");
        window.key("Ctrl+z");
        window.settle();
        assert_eq!(window.session().document.text(), DEMO);
        window.key("Ctrl+Shift+z");
        assert!(window.session().unsaved());
    }

    #[test]
    fn a_click_picks_a_part_and_a_drag_turns_the_stair_instead() {
        let mut window = Driven::open(DEMO);
        let at = window.part("N1");
        window.click(at);
        assert_eq!(window.showing().picked, Some(Pick::Part("N1".to_owned())));
        window.key("Esc");
        let yaw = |window: &Driven| window.get::<View>().goal.unwrap().yaw;
        let before = yaw(&window);
        // From the paper beside the stair: on a part it may be a grip.
        window.drag(Vec2::new(400.0, 640.0), Vec2::new(520.0, 640.0), 6);
        window.settle();
        assert!((yaw(&window) - before).abs() > 0.1);
        assert_eq!(window.showing().picked, None);
    }

    #[test]
    fn the_list_of_what_can_be_done_is_searched_and_carried_out_by_keys() {
        let mut window = Driven::open(DEMO);
        window.key("F1");
        window.types("finished");
        window.key("Enter");
        window.frame();
        assert_eq!(window.showing().mood, Mood::Show);
        // Letters typed into the list are no keys of the window.
        assert!(!window.session().unsaved());
        window.key("F4");
        assert_eq!(window.showing().place, Place::Sure);
        window.key("Esc");
        assert_eq!(window.showing().place, Place::SetOut);
    }
}
