//! The list of what can be done: every act by its name and key, to be looked for by typing.
//!
//! In: the table of acts. Out: the action of the one that is taken.

use bevy::prelude::{App, IntoScheduleConfigs as _, MessageWriter, ResMut, Resource, Result};
use bevy_egui::egui::{self, Align2, Frame, Id, Key, Modifiers, RichText, Ui, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::super::acts::chord::Chord;
use super::super::acts::{Knows, table};
use super::super::look::{self, ink};
use super::super::session::Action;
use super::quiet;

/// Size of the sheet, points.
const WIDTH: f32 = 470.0;
const HEIGHT: f32 = 430.0;

/// Whether the list lies open.
#[derive(Resource, Default)]
pub(in crate::viewer) struct ActList(bool);

impl ActList {
    /// True while it lies open.
    pub(in crate::viewer) const fn open(&self) -> bool {
        self.0
    }
}

/// What is typed into it.
#[derive(Resource, Default)]
struct Hand {
    /// It lay open in the frame before: the keys are its own.
    open: bool,
    typed: String,
    at: usize,
}

/// One line of the list.
#[derive(Clone, Debug)]
pub(super) struct Line {
    name: String,
    words: &'static str,
    key: String,
    /// What it asks for; `None` where it cannot be done now.
    action: Option<Action>,
}

/// How well a line answers what was typed: less is better; `None` where it does not.
fn fits(line: &Line, typed: &str) -> Option<u32> {
    let name = line.name.to_lowercase();
    let mut sum = 0;
    for word in typed.to_lowercase().split_whitespace() {
        let begins = |text: &str| {
            text.split(|c: char| !c.is_alphanumeric())
                .any(|own| own.starts_with(word))
        };
        sum += match () {
            () if begins(&name) => 0,
            () if name.contains(word) => 1,
            () if begins(line.words) => 2,
            () => return None,
        };
    }
    Some(sum)
}

/// The lines that answer what was typed, the best first; what can be done before what cannot.
fn chosen(lines: Vec<Line>, typed: &str) -> Vec<Line> {
    let rank = |line: Line| fits(&line, typed).map(|sum| ((line.action.is_none(), sum), line));
    let mut found: Vec<_> = lines.into_iter().filter_map(rank).collect();
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, line)| line).collect()
}

/// All lines as things stand.
fn lines(knows: &Knows) -> Vec<Line> {
    let acts = table::all().map(|act| Line {
        name: act.name.to_owned(),
        words: act.words,
        key: act.key.map(Chord::says).unwrap_or_default(),
        action: (act.gives)(knows),
    });
    let entries = table::entries(knows).into_iter().map(|entry| Line {
        name: entry.name,
        words: "",
        key: String::new(),
        action: Some(entry.action),
    });
    acts.chain(entries).collect()
}

/// What the keys of this frame did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Took {
    Nothing,
    Close,
    Take,
}

/// Up, down, Enter and Escape; the rest is text.
fn keys(ui: &Ui, list: &mut Hand, count: usize) -> Took {
    let pressed = |key| ui.input_mut(|input| input.count_and_consume_key(Modifiers::NONE, key));
    let (down, up) = (pressed(Key::ArrowDown), pressed(Key::ArrowUp));
    let last = count.saturating_sub(1);
    list.at = (list.at + down).saturating_sub(up).min(last);
    match () {
        () if pressed(Key::Escape) > 0 => Took::Close,
        () if pressed(Key::Enter) > 0 => Took::Take,
        () => Took::Nothing,
    }
}

/// The sheet; gives the action that was taken.
fn list_ui(ui: &mut Ui, list: &mut Hand, all: Vec<Line>) -> Vec<Action> {
    let field = Id::new("acts typed");
    ui.set_width(WIDTH);
    ui.label(
        RichText::new("What can be done")
            .size(17.0)
            .color(ink(look::PENCIL)),
    );
    let before = list.typed.clone();
    // The field must not take these for its own.
    let mut found = chosen(all, &list.typed);
    let took = keys(ui, list, found.len());
    let edit = egui::TextEdit::singleline(&mut list.typed)
        .id(field)
        .hint_text("type a word of it")
        .desired_width(f32::INFINITY);
    ui.add(edit);
    if !std::mem::replace(&mut list.open, true) {
        ui.memory_mut(|memory| memory.request_focus(field));
    }
    if before != list.typed {
        list.at = 0;
        ui.ctx().request_repaint();
    }
    ui.add_space(4.0);
    let mut clicked = None;
    egui::ScrollArea::vertical()
        .max_height(HEIGHT)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            for (place, line) in found.iter().enumerate() {
                if row(ui, line, place == list.at) && line.action.is_some() {
                    clicked = Some(place);
                }
            }
            if found.is_empty() {
                quiet(ui, "nothing goes by that word");
            }
        });
    quiet(ui, "up, down: choose   Enter: do it   Esc: close");
    let close = Action::ActList(false);
    let taken = match took {
        Took::Close => return vec![close],
        Took::Take => Some(list.at),
        Took::Nothing => clicked,
    };
    let line = taken.filter(|place| *place < found.len());
    let action = line.and_then(|place| found.swap_remove(place).action);
    action.map_or_else(Vec::new, |action| vec![close, action])
}

/// One line; true where it was clicked.
fn row(ui: &mut Ui, line: &Line, at: bool) -> bool {
    let able = line.action.is_some();
    let colour = ink(if able {
        look::PENCIL
    } else {
        look::PENCIL_LIGHT
    });
    let wide = ui.available_width();
    let mut name = line.name.clone();
    if !able {
        name.push_str(" (not now)");
    }
    let text = RichText::new(name).color(colour).size(13.5);
    let key = RichText::new(&line.key).color(colour).size(12.5);
    let shown = ui.scope(|ui| {
        ui.set_width(wide);
        ui.horizontal(|ui| {
            let room = wide - 110.0;
            // Nothing at its right keeps the words at its left.
            let name = egui::Button::selectable(at, text).truncate().right_text("");
            let clicked = ui.add_sized(vec2(room, 20.0), name);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add_space(8.0);
                ui.label(key);
            });
            clicked
        })
        .inner
    });
    if at {
        shown.inner.scroll_to_me(None);
    }
    shown.inner.clicked()
}

fn draw(
    mut contexts: EguiContexts,
    knows: Knows,
    mut hand: ResMut<Hand>,
    mut actions: MessageWriter<Action>,
) -> Result {
    if !knows.list.open() {
        if hand.open {
            *hand = Hand::default();
        }
        return Ok(());
    }
    let context = contexts.ctx_mut()?;
    let all = lines(&knows);
    let hand = &mut *hand;
    let sheet = Frame::new()
        .fill(ink(look::CARD))
        .stroke(egui::Stroke::new(1.0, ink(look::PENCIL_LIGHT)))
        .inner_margin(egui::Margin::symmetric(16, 12))
        .corner_radius(3);
    let shown = egui::Area::new(Id::new("acts"))
        .order(egui::Order::Foreground)
        .anchor(Align2::CENTER_TOP, vec2(0.0, 70.0))
        .show(context, |ui| {
            sheet.show(ui, |ui| list_ui(ui, hand, all)).inner
        });
    actions.write_batch(shown.inner);
    Ok(())
}

/// Opens and closes it.
fn turn(mut asked: bevy::prelude::MessageReader<Action>, mut list: ResMut<ActList>) {
    for action in asked.read() {
        if let Action::ActList(open) = action {
            list.0 = *open;
        }
    }
}

pub(in crate::viewer) fn plugin(app: &mut App) {
    app.init_resource::<ActList>()
        .init_resource::<Hand>()
        .add_systems(
            bevy::prelude::Update,
            turn.in_set(super::super::ViewerSystems::Edit),
        )
        .add_systems(EguiPrimaryContextPass, draw.after(super::draw));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(name: &str, words: &'static str, able: bool) -> Line {
        Line {
            name: name.to_owned(),
            words,
            key: String::new(),
            action: able.then_some(Action::Undo),
        }
    }

    fn names(typed: &str) -> Vec<String> {
        let all = vec![
            line("stretch departures more", "exaggerate", true),
            line("show the next trouble", "fault", true),
            line("let go of the cause", "back", false),
            line("undo", "take back", true),
        ];
        let found = chosen(all, typed);
        found.into_iter().map(|line| line.name).collect()
    }

    #[test]
    fn every_word_typed_must_be_there_by_name_or_by_another_word() {
        assert_eq!(names("dep"), ["stretch departures more"]);
        assert_eq!(names("NEXT tro"), ["show the next trouble"]);
        assert_eq!(names("fault"), ["show the next trouble"]);
        assert!(names("next stretch").is_empty());
    }

    #[test]
    fn what_can_be_done_now_comes_first_and_nothing_typed_shows_all() {
        assert_eq!(names("back"), ["undo", "let go of the cause"]);
        assert_eq!(names("").last().unwrap(), "let go of the cause");
        assert_eq!(names("").len(), 4);
    }
}
