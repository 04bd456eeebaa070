//! The tape in hand: what it is hooked on, what it reads, and the notes that are kept.

use bevy_egui::egui::{self, RichText, Ui, vec2};

use crate::inspect::span::Hook;
use crate::job::Note;
use crate::measure::{Length, Tape};

use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::span::{Ask, Laying, Noted, angle_words, keep, take_out};
use super::super::{Showing, Solved};
use super::{comes_to, heading, quiet};

/// What the panel shows.
pub(super) struct SpanView {
    out: bool,
    ends: [Option<String>; 2],
    figures: Vec<(&'static str, String)>,
    /// Something to say of it: departures are stretched, a part is gone.
    mind: Vec<String>,
    words: String,
    offers: Vec<(String, bool)>,
    hooks: Vec<Hook>,
    finds: u32,
    note: Option<Note>,
    kept: Vec<Kept>,
}

/// A note that is kept.
struct Kept {
    note: Note,
    says: String,
    reads: String,
    gone: bool,
}

fn ends_of(laying: &Laying) -> [Option<String>; 2] {
    let taped = laying.reads.as_ref().map(|(_, taped)| taped);
    let says = |hook: Option<&Hook>| hook.map(|hook| hook.says.clone());
    let first = says(laying.first.as_ref());
    match taped {
        Some(taped) => [says(taped.from.as_ref()), says(taped.to.as_ref())],
        None => [first, None],
    }
}

/// Gathers what the panel shows.
pub(super) fn view(
    solved: &Solved,
    showing: &Showing,
    (laying, noted): (&Laying, &Noted),
) -> SpanView {
    let tape = solved.job.tape;
    let taped = laying.reads.as_ref().map(|(_, taped)| taped);
    let mut mind = Vec::new();
    if showing.stretch > 1.0 {
        mind.push("Measured on the stair as found, not as it is drawn.".to_owned());
    }
    for part in taped.iter().flat_map(|taped| &taped.gone) {
        mind.push(format!("{part} is not there any more."));
    }
    let span = taped.and_then(|taped| taped.span);
    SpanView {
        out: laying.out,
        ends: ends_of(laying),
        figures: span.map_or_else(Vec::new, |span| figures(&span, tape)),
        mind,
        words: laying.words.clone(),
        offers: laying
            .found
            .iter()
            .enumerate()
            .map(|(at, hook)| (hook.says.clone(), at == laying.at))
            .collect(),
        hooks: laying.found.clone(),
        finds: laying.finds,
        note: laying.note(""),
        kept: noted
            .all
            .iter()
            .map(|(note, taped)| Kept {
                note: note.clone(),
                says: match (&*note.says, &taped.from, &taped.to) {
                    ("", Some(from), Some(to)) => format!("{} to {}", from.says, to.says),
                    ("", ..) => format!("{} to {}", note.from.part, note.to.part),
                    (says, ..) => says.to_owned(),
                },
                reads: match taped.span {
                    Some(span) => tape.print(span.clear),
                    None => format!("{} is gone", taped.gone.join(" and ")),
                },
                gone: taped.span.is_none(),
            })
            .collect(),
    }
}

fn figures(span: &crate::inspect::span::Span, tape: Tape) -> Vec<(&'static str, String)> {
    let way = |length: Length, there: &str, back: &str| {
        let word = if length < Length::ZERO { back } else { there };
        format!("{} {word}", tape.print(length.abs()))
    };
    let seen = |length: Length| length.abs() >= tape.mark() / 2.0;
    let mut all = vec![
        ("clear", tape.print(span.clear)),
        ("plumb", way(span.plumb, "up", "down")),
        ("level", tape.print(span.level)),
    ];
    if seen(span.up_flight) && seen(span.aside) {
        all.push((
            "of it",
            way(span.up_flight, "up the flight", "down the flight"),
        ));
        all.push(("and", way(span.aside, "to the left", "to the right")));
    }
    all.push(("along the rake", tape.print(span.along_rake)));
    all.extend(angle_words(span, tape).map(|angle| ("angle", angle)));
    all
}

/// The panel while the tape is out; else only the notes, and the way to take it out.
pub(super) fn span_ui(ui: &mut Ui, view: &SpanView, word: &mut String) -> Vec<Action> {
    let mut asked = Vec::new();
    if view.out {
        asked.extend(out_ui(ui, view, word));
    }
    asked.extend(kept_ui(ui, view));
    if !view.out {
        ui.add_space(8.0);
        let take = ui.button("Lay the tape between two things");
        if take.on_hover_text("key L").clicked() {
            asked.push(Action::Tape(Ask::Out(true)));
        }
    }
    asked
}

fn out_ui(ui: &mut Ui, view: &SpanView, word: &mut String) -> Vec<Action> {
    let mut asked = Vec::new();
    heading(ui, "Tape");
    let says = "Click two things in the picture: it hooks on corners, edges and faces; with Shift on \
                the whole part. Or type their names.";
    ui.add(egui::Label::new(RichText::new(says).size(12.0).color(ink(look::PENCIL_SOFT))).wrap());
    ui.add_space(4.0);
    for (label, end) in [("from", &view.ends[0]), ("to", &view.ends[1])] {
        ui.horizontal_wrapped(|ui| {
            quiet(ui, label);
            ui.label(RichText::new(end.as_deref().unwrap_or("...")).size(13.5));
        });
    }
    asked.extend(words_ui(ui, view));
    if !view.figures.is_empty() {
        ui.add_space(4.0);
        egui::Grid::new("tape")
            .num_columns(2)
            .spacing(vec2(10.0, 3.0))
            .show(ui, |ui| {
                for (at, (label, value)) in view.figures.iter().enumerate() {
                    quiet(ui, label);
                    let size = if at == 0 { 17.0 } else { 14.0 };
                    ui.label(RichText::new(value).size(size).strong());
                    ui.end_row();
                }
            });
    }
    for mind in &view.mind {
        ui.add(egui::Label::new(RichText::new(mind).size(12.5).color(ink(look::CRAYON))).wrap());
    }
    if let Some(note) = &view.note {
        asked.extend(keep_ui(ui, note, word));
    }
    ui.horizontal(|ui| {
        if ui.button("Let go").on_hover_text("Esc").clicked() {
            asked.push(Action::Tape(Ask::LetGo));
        }
        if ui.button("Put it away").on_hover_text("key L").clicked() {
            asked.push(Action::Tape(Ask::Out(false)));
        }
    });
    asked
}

/// The line to type names on. Up and down go through what was found, Enter hooks the tape on it.
fn words_ui(ui: &mut Ui, view: &SpanView) -> Vec<Action> {
    let mut asked = Vec::new();
    let id = ui.id().with("names");
    if ui.memory(|memory| memory.has_focus(id)) {
        let pressed = |key| ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key));
        if pressed(egui::Key::ArrowDown) {
            asked.push(Action::Tape(Ask::Step { backwards: false }));
        }
        if pressed(egui::Key::ArrowUp) {
            asked.push(Action::Tape(Ask::Step { backwards: true }));
        }
        if pressed(egui::Key::Enter) {
            asked.push(match (&view.note, view.words.trim()) {
                (Some(note), "") => keep(note),
                _ => Action::Tape(Ask::Enter),
            });
        }
    }
    let mut words = view.words.clone();
    let line = egui::TextEdit::singleline(&mut words)
        .id(id)
        .char_limit(80)
        .desired_width(f32::INFINITY)
        .hint_text("name, as N1 or T3 nosing");
    let line = ui.add(line);
    if line.changed() {
        asked.push(Action::Tape(Ask::Words(words)));
    }
    let seen = ui.data_mut(|data| *data.get_temp_mut_or_default::<u32>(id));
    if seen != view.finds {
        ui.data_mut(|data| data.insert_temp(id, view.finds));
        line.request_focus();
    }
    egui::ScrollArea::vertical()
        .id_salt("offers")
        .max_height(170.0)
        .show(ui, |ui| {
            for ((says, at), hook) in view.offers.iter().zip(&view.hooks) {
                let text = RichText::new(says).size(13.0);
                let text = if *at { text.strong().underline() } else { text };
                let line = ui.selectable_label(*at, text);
                if *at && comes_to(ui, "names", line.id) {
                    line.scroll_to_me(None);
                }
                if line.clicked() {
                    asked.push(Action::Tape(Ask::Hold(hook.hooked.clone())));
                }
            }
        });
    asked
}

fn keep_ui(ui: &mut Ui, note: &Note, word: &mut String) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let line = egui::TextEdit::singleline(word)
            // What is told above it changes with what is picked.
            .id(egui::Id::new("a word to the tape"))
            .char_limit(crate::job::limits::LONGEST_REMARK)
            .desired_width(150.0)
            .hint_text("a word to it");
        let line = ui.add(line);
        let enter = line.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        let kept = ui.button("Keep it").on_hover_text("Enter").clicked();
        if kept || enter {
            let says = std::mem::take(word).trim().to_owned();
            asked.push(keep(&Note {
                says,
                ..note.clone()
            }));
        }
    });
    asked
}

fn kept_ui(ui: &mut Ui, view: &SpanView) -> Vec<Action> {
    let mut asked = Vec::new();
    if view.kept.is_empty() {
        return asked;
    }
    heading(ui, "Measured and kept");
    egui::ScrollArea::vertical()
        .id_salt("kept")
        .max_height(180.0)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            for (at, kept) in view.kept.iter().enumerate() {
                asked.extend(one_kept(ui, at, kept));
            }
        });
    asked
}

fn one_kept(ui: &mut Ui, at: usize, kept: &Kept) -> Vec<Action> {
    let mut asked = Vec::new();
    let colour = if kept.gone {
        look::CRAYON
    } else {
        look::PENCIL
    };
    ui.horizontal(|ui| {
        let reads = RichText::new(&kept.reads).size(13.5).strong();
        ui.label(reads.color(ink(colour)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.small_button("take out").clicked() {
                asked.push(take_out(at, &kept.note));
            }
            if ui.small_button("show").clicked() {
                asked.push(Action::Tape(Ask::Show(at)));
            }
        });
    });
    ui.add(egui::Label::new(RichText::new(&kept.says).size(12.5)).wrap());
    asked
}
