//! A number that is typed over where it stands.

use bevy_egui::egui::text::{CCursor, CCursorRange};
use bevy_egui::egui::{Id, Key, Modifiers, TextEdit, Ui};

/// Width of the field while it is typed into, points.
const WIDTH: f32 = 84.0;

/// Begins to type over a number: `shown` stands there to be typed over.
pub(in crate::viewer) fn begin(ui: &Ui, id: Id, shown: &str) {
    let text = shown.trim_end_matches('"').to_owned();
    // The Enter that opens it is not the one that closes it.
    ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
    ui.data_mut(|data| data.insert_temp(id.with("typed"), text.clone()));
    let field = id.with("field");
    let mut state = TextEdit::load_state(ui.ctx(), field).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), field);
    ui.memory_mut(|memory| memory.request_focus(field));
}

/// True while it is typed over.
pub(in crate::viewer) fn typing(ui: &Ui, id: Id) -> bool {
    ui.data(|data| data.get_temp::<String>(id.with("typed")).is_some())
}

/// The field while it is typed into. Enter gives the text, Esc leaves it.
pub(in crate::viewer) fn field(ui: &mut Ui, id: Id) -> Option<String> {
    let kept = id.with("typed");
    let mut text = ui.data(|data| data.get_temp::<String>(kept))?;
    let edit = TextEdit::singleline(&mut text)
        .id(id.with("field"))
        .desired_width(WIDTH);
    let response = ui.add(edit);
    if response.lost_focus() {
        ui.data_mut(|data| data.remove::<String>(kept));
        let kept = ui.input(|input| input.key_pressed(Key::Enter));
        return kept.then_some(text);
    }
    ui.data_mut(|data| data.insert_temp(kept, text));
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevy_egui::egui::{Context, Event, RawInput, Rect, pos2, vec2};

    fn frame(context: &Context, events: Vec<Event>, start: bool) -> Option<String> {
        let input = RawInput {
            events,
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(300.0, 200.0))),
            ..RawInput::default()
        };
        let mut typed = None;
        let mut drawn = context.run_ui(input, |ui| {
            let id = Id::new("number");
            if start && !typing(ui, id) && typed.is_none() {
                begin(ui, id, "3 3/4\"");
            }
            typed = field(ui, id).or(typed.take());
        });
        drawn.textures_delta.clear();
        typed
    }

    fn key(key: Key) -> Event {
        Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        }
    }

    #[test]
    fn what_is_typed_takes_the_place_of_what_stood_there_and_enter_gives_it() {
        let context = Context::default();
        assert_eq!(frame(&context, Vec::new(), true), None);
        assert_eq!(
            frame(&context, vec![Event::Text("4".to_owned())], false),
            None
        );
        let given = frame(&context, vec![key(Key::Enter)], false);
        assert_eq!(given.as_deref(), Some("4"));
    }

    #[test]
    fn escape_leaves_it_as_it_was() {
        let context = Context::default();
        frame(&context, Vec::new(), true);
        frame(&context, vec![Event::Text("4".to_owned())], false);
        assert_eq!(frame(&context, vec![key(Key::Escape)], false), None);
        assert_eq!(frame(&context, Vec::new(), false), None);
    }
}
