//! What the client is asked, with what he answered, and a further question.

use bevy_egui::egui::{self, Ui};

use crate::publish::listed;
use crate::publish::page::answered::{Decision, answer_says};

use super::super::super::client::Ask;
use super::super::super::session::Action;
use super::super::{line, soft};
use super::ClientView;

/// A question that is being typed.
#[derive(Default)]
pub(in crate::viewer) struct Question {
    question: String,
    choices: String,
}

/// The questions.
pub(super) fn asked_ui(ui: &mut Ui, view: &ClientView, typed: &mut Question) -> Vec<Action> {
    let mut asked = Vec::new();
    for (at, one) in view.decisions.asked.iter().enumerate() {
        let own = at.checked_sub(view.own_from);
        asked.extend(one_ui(ui, one, own));
    }
    for word in &view.decisions.words {
        line(ui, format!("To the whole: {}", answer_says(word)));
    }
    for gone in &view.decisions.gone {
        soft(
            ui,
            format!("{} (asked no more): {}", gone.to, answer_says(gone)),
        );
    }
    asked.extend(question_ui(ui, typed));
    asked
}

fn one_ui(ui: &mut Ui, one: &Decision, own: Option<usize>) -> Option<Action> {
    line(ui, &one.question);
    match &one.answer {
        Some(answer) => line(ui, format!("   {}", answer_says(answer))),
        None if one.choices.is_empty() => soft(ui, "   not answered yet"),
        None => {
            let choices: Vec<&str> = one.choices.iter().map(String::as_str).collect();
            soft(ui, format!("   not answered yet: {}", listed(&choices)));
        }
    }
    let own = own?;
    let no_more = egui::Button::new("ask it no more").small().frame(false);
    let gone = ui.add(no_more).clicked();
    gone.then_some(Action::Client(Ask::NoQuestion(own)))
}

/// A further question.
fn question_ui(ui: &mut Ui, typed: &mut Question) -> Option<Action> {
    ui.add_space(4.0);
    let field = |ui: &mut Ui, text: &mut String, hint: &str, id: &str| {
        let field = egui::TextEdit::singleline(text).id(egui::Id::new(id));
        ui.add(field.hint_text(hint).desired_width(f32::INFINITY))
    };
    field(
        ui,
        &mut typed.question,
        "a further question",
        "client asked",
    );
    let hint = "what to choose from, with ; between; or nothing";
    let last = field(ui, &mut typed.choices, hint, "client choices");
    let entered = last.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let can = !typed.question.trim().is_empty();
    let button = ui.add_enabled(can, egui::Button::new("Ask it")).clicked();
    if !(can && (button || entered)) {
        return None;
    }
    let typed = std::mem::take(typed);
    let choices = typed.choices.split(';').map(str::trim);
    let choices = choices.filter(|choice| !choice.is_empty());
    let choices = choices.map(str::to_owned).collect();
    Some(Action::Client(Ask::Question(typed.question, choices)))
}
