//! The place of the client: the looks that he may choose among, what he is asked, and what he answered.

mod asked;
mod finish;

use bevy_egui::egui::{self, RichText, Ui};

use crate::job::{Document, Finished, Look, Wood};
use crate::publish::finish::{looks, sorts};
use crate::publish::page::answered::{Decisions, decisions};

use super::super::client::{Ask, Came, Making};
use super::super::files::{self, Want};
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::{Mood, Showing, Solved, dress};
use super::{heading, line, place_head, soft};

pub(in crate::viewer) use asked::Question;

/// Width of the panel, points.
pub(super) const WIDTH: f32 = 372.0;

/// What the panel shows.
pub(super) struct ClientView {
    looks: Vec<Look>,
    /// What the stair is made of, where the job says so.
    wood: Option<Wood>,
    at: usize,
    /// It is shown finished.
    finished: bool,
    /// The sorts of parts that the stair has.
    has: Vec<Finished>,
    decisions: Decisions,
    /// Where the job's own questions begin among them.
    own_from: usize,
    came: Came,
    /// His page is being made.
    making: bool,
}

/// Gathers it.
pub(super) fn view(
    document: &Document,
    solved: Option<&Solved>,
    showing: &Showing,
    (came, making): (&Came, &Making),
) -> ClientView {
    let job = document.job();
    let (_, at) = dress::names(job, showing);
    let kinds = solved.map(|solved| {
        let parts = solved.found.solids.parts.iter();
        parts.map(|part| part.kind).collect::<Vec<_>>()
    });
    let decisions = decisions(job);
    ClientView {
        looks: looks(job),
        wood: job.design.wood.clone(),
        at,
        finished: showing.mood == Mood::Show,
        has: sorts(kinds.unwrap_or_default()),
        own_from: decisions.asked.len().saturating_sub(job.client.asks.len()),
        decisions,
        came: came.clone(),
        making: making.busy(),
    }
}

/// The panel.
pub(super) fn client_ui(ui: &mut Ui, view: &ClientView, typed: &mut Question) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "The client"));
    let area = egui::ScrollArea::vertical().id_salt("client");
    area.auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        asked.extend(came_ui(ui, &view.came));
        heading(ui, "Looks to choose among");
        asked.extend(finish::looks_ui(ui, view));
        heading(ui, "What the client is asked");
        asked.extend(asked::asked_ui(ui, view, typed));
        heading(ui, "The page, and the answers");
        asked.extend(page_ui(ui, view.making));
        asked.extend(answers_ui(ui));
    });
    asked
}

/// What came back last, until it is read.
fn came_ui(ui: &mut Ui, came: &Came) -> Option<Action> {
    if came.empty() {
        return None;
    }
    let frame = egui::Frame::new()
        .fill(ink(look::CARD))
        .stroke(egui::Stroke::new(1.0, ink(look::PENCIL_FAINT)))
        .inner_margin(egui::Margin::symmetric(10, 8));
    let shown = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        if let Some(why) = &came.refused {
            let text = RichText::new(format!("Nothing was taken. {why}"));
            let text = text.size(13.0).color(ink(look::CRAYON));
            ui.add(egui::Label::new(text).wrap());
        }
        for says in &came.did {
            line(ui, says);
        }
        for says in &came.mind {
            let text = RichText::new(says).size(13.0).color(ink(look::CRAYON));
            ui.add(egui::Label::new(text).wrap());
        }
        ui.button("Understood").clicked()
    });
    ui.add_space(4.0);
    shown.inner.then_some(Action::Client(Ask::Understood))
}

/// The page to send him.
fn page_ui(ui: &mut Ui, making: bool) -> Option<Action> {
    let button = ui.add_enabled(!making, egui::Button::new("Make the page"));
    let says = "one file beside the job, to send: the stair to turn, the looks, what he is asked";
    let clicked = button.on_hover_text(says).clicked();
    soft(
        ui,
        "With pictures for a browser that shows no 3D: rakewell page, on the command line.",
    );
    clicked.then_some(Action::Client(Ask::Page))
}

/// How answers come back.
fn answers_ui(ui: &mut Ui) -> Vec<Action> {
    let mut asked = Vec::new();
    soft(
        ui,
        "The page saves a small file, or copies a message. Drop the file on the window, or:",
    );
    ui.horizontal(|ui| {
        if ui.button("Read a file").clicked() {
            asked.push(Action::File(files::Ask::List(Want::Answers)));
        }
        let paste = ui.button("Take what was copied");
        if paste
            .on_hover_text("the whole message, with the last line")
            .clicked()
        {
            asked.push(Action::Client(Ask::Paste));
        }
    });
    soft(
        ui,
        "What was chosen is written into the job; an alternative that was chosen is noted, and built only \
         when you take it.",
    );
    asked
}
