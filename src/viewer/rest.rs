//! At rest: no frame is drawn and no time is spent while nothing moves.

use std::time::Duration;

use bevy::input::keyboard::KeyboardInput;
use bevy::input::mouse::{MouseButtonInput, MouseWheel};
use bevy::prelude::{
    App, AssetEvent, DetectChanges as _, Image, IntoScheduleConfigs as _, Last, Local,
    MessageReader, MessageWriter, PreUpdate, Query, Res,
};
use bevy::window::{CursorMoved, RequestRedraw, WindowResized};
use bevy::winit::{UpdateMode, WinitSettings};
use bevy_egui::egui::{Event, Modifiers};
use bevy_egui::{EguiInput, EguiPreUpdateSet};

use super::Solved;
use super::eye::View;
use super::files::Files;
use super::recompute::{Advised, Explained};
use super::session::Action;
use super::sure::Sure;
use super::ways::Ways;

/// The window wakes by itself no sooner than this; all else that changes it wakes it.
const ASLEEP: Duration = Duration::from_hours(24);

/// Frames drawn after the last input or result: panels settle in that many.
const SETTLING: u32 = 4;

/// What makes the picture change.
#[derive(bevy::ecs::system::SystemParam)]
struct Stirs<'w, 's> {
    asked: MessageReader<'w, 's, Action>,
    moved: MessageReader<'w, 's, CursorMoved>,
    pressed: MessageReader<'w, 's, MouseButtonInput>,
    turned: MessageReader<'w, 's, MouseWheel>,
    typed: MessageReader<'w, 's, KeyboardInput>,
    sized: MessageReader<'w, 's, WindowResized>,
    /// Letters that were not drawn before come into the panels' picture of letters a frame late.
    drawn: MessageReader<'w, 's, AssetEvent<Image>>,
    view: Res<'w, View>,
    solved: Option<Res<'w, Solved>>,
    explained: Res<'w, Explained>,
    advised: Res<'w, Advised>,
    ways: Res<'w, Ways>,
    sure: Res<'w, Sure>,
    files: Res<'w, Files>,
}

impl Stirs<'_, '_> {
    /// True where something happened in this frame.
    fn any(&mut self) -> bool {
        let counts = [
            self.asked.read().count(),
            self.moved.read().count(),
            self.pressed.read().count(),
            self.turned.read().count(),
            self.typed.read().count(),
            self.sized.read().count(),
            self.drawn.read().count(),
        ];
        let fresh = self
            .solved
            .as_ref()
            .is_some_and(bevy::prelude::DetectChanges::is_changed);
        // News of draws that go on needs the one frame that it wakes the window for, and no more.
        let told = self.explained.is_changed()
            || self.advised.is_changed()
            || self.ways.is_changed()
            || self.sure.is_changed()
            || self.files.is_changed();
        counts.iter().any(|count| *count > 0) || fresh || told
    }
}

/// Draws on while something moves, and rests otherwise.
fn rest(mut stirs: Stirs, mut redraws: MessageWriter<RequestRedraw>, mut settling: Local<u32>) {
    *settling = if stirs.any() {
        SETTLING
    } else {
        settling.saturating_sub(1)
    };
    if *settling > 0 || stirs.view.moving() {
        redraws.write(RequestRedraw);
    }
}

/// The panels are told what is held beside the keys in every frame, and take that for news that needs
/// a further frame, and so on for ever. Only what is held anew is told.
fn tell_news_only(mut inputs: Query<&mut EguiInput>, mut before: Local<Modifiers>) {
    for mut input in &mut inputs {
        let held = |event: &Event| match event {
            Event::ModifiersChanged(held) => Some(*held),
            _ => None,
        };
        let last = *before;
        if let Some(now) = input.events.iter().rev().find_map(held) {
            *before = now;
        }
        input.events.retain(|event| held(event) != Some(last));
    }
}

pub(super) fn plugin(app: &mut App) {
    // What the mouse does outside the window is nothing to it.
    let mode = UpdateMode::reactive_low_power(ASLEEP);
    app.insert_resource(WinitSettings {
        focused_mode: mode,
        unfocused_mode: mode,
    })
    .add_systems(
        PreUpdate,
        tell_news_only
            .after(EguiPreUpdateSet::ProcessInput)
            .before(EguiPreUpdateSet::BeginPass),
    )
    .add_systems(Last, rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_told_once() {
        let mut app = App::new();
        app.add_systems(PreUpdate, tell_news_only);
        let panel = app.world_mut().spawn(EguiInput::default()).id();
        let mut told = |held: Modifiers| {
            let mut input = app.world_mut().get_mut::<EguiInput>(panel).unwrap();
            input.events = vec![Event::ModifiersChanged(held), Event::Copy];
            app.update();
            app.world().get::<EguiInput>(panel).unwrap().events.len()
        };
        assert_eq!(told(Modifiers::NONE), 1);
        assert_eq!(told(Modifiers::SHIFT), 2);
        assert_eq!(told(Modifiers::SHIFT), 1);
        assert_eq!(told(Modifiers::NONE), 2);
    }
}
