//! Copying, cutting and pasting text: between fields of the window and with other programs.

use bevy::prelude::{
    App, DetectChanges, IntoScheduleConfigs as _, NonSendMut, PostUpdate, PreUpdate, Query, Ref,
};
use bevy_egui::egui::{Event, Key, OutputCommand};
use bevy_egui::{EguiInput, EguiOutput, EguiPostUpdateSet, EguiPreUpdateSet};

/// What was copied. It is asked of the system, and where that has nowhere to keep it (no display), what
/// was copied in this window is known all the same.
#[derive(Default)]
pub(super) struct Copied {
    /// Asked for once, when it is first needed; none where there is none.
    system: Option<Option<arboard::Clipboard>>,
    own: String,
}

impl Copied {
    fn system(&mut self) -> Option<&mut arboard::Clipboard> {
        let system = self
            .system
            .get_or_insert_with(|| arboard::Clipboard::new().ok());
        system.as_mut()
    }

    /// The text that was copied last; empty where there is none.
    pub(super) fn text(&mut self) -> String {
        let there = self.system().and_then(|system| system.get_text().ok());
        there.unwrap_or_else(|| self.own.clone())
    }

    fn put(&mut self, text: &str) {
        text.clone_into(&mut self.own);
        if let Some(system) = self.system() {
            // What cannot be handed over is kept here.
            let _kept = system.set_text(text.to_owned());
        }
    }
}

/// Tells the fields that their keys for it were pressed.
fn take(mut inputs: Query<&mut EguiInput>, mut copied: NonSendMut<Copied>) {
    for mut input in &mut inputs {
        let pressed = input.events.iter().filter_map(|event| match event {
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } if modifiers.command && !modifiers.alt => Some(*key),
            _ => None,
        });
        let asked: Vec<Key> = pressed
            .filter(|key| matches!(key, Key::C | Key::X | Key::V))
            .collect();
        for key in asked {
            input.events.push(match key {
                Key::C => Event::Copy,
                Key::X => Event::Cut,
                _ => Event::Paste(copied.text()),
            });
        }
    }
}

/// Hands over what a field copied or cut.
fn give(outputs: Query<Ref<EguiOutput>>, mut copied: NonSendMut<Copied>) {
    for output in outputs.iter().filter(DetectChanges::is_changed) {
        for command in &output.platform_output.commands {
            if let OutputCommand::CopyText(text) = command
                && !text.is_empty()
            {
                copied.put(text);
            }
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_non_send::<Copied>()
        .add_systems(
            PreUpdate,
            take.after(EguiPreUpdateSet::ProcessInput)
                .before(EguiPreUpdateSet::BeginPass),
        )
        .add_systems(PostUpdate, give.after(EguiPostUpdateSet::ProcessOutput));
}
