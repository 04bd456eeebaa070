//! The bar above (the job, saving, viewpoints) and the line below (notices, the caution).

use bevy_egui::egui::{self, Ui};

use crate::publish::grouped;

use super::super::files::{Ask, Want};
use super::super::look::{self, ink};
use super::super::recompute::Work;
use super::super::session::{Action, Notice, Session};
use super::super::sure::{Standing, Sure};
use super::super::{Mood, Place, Showing, Solved, Viewpoint};
use super::tour;

/// What stands in the bar.
pub(super) struct BarView {
    job: String,
    file: Option<String>,
    unsaved: bool,
    undoes: Option<String>,
    redoes: Option<String>,
    computing: bool,
    error: Option<String>,
    notice: Option<Notice>,
    mood: Mood,
    place: Place,
    /// The job has alternatives.
    ways: bool,
    /// What is shown instead of the job as it stands.
    shown: Option<String>,
    /// How far the draws have come, where their own place is not open.
    drawing: Option<String>,
}

fn drawing(sure: &Sure, place: Place) -> Option<String> {
    match sure.standing() {
        Standing::Drawing(progress, _) if place != Place::Sure => Some(format!(
            "{} of {} draws at most, F4",
            grouped(progress.done),
            grouped(progress.most)
        )),
        _ => None,
    }
}

/// Gathers it.
pub(super) fn view(
    session: &Session,
    solved: Option<&Solved>,
    showing: &Showing,
    (work, sure): (&Work, &Sure),
) -> BarView {
    let job = session.document.job();
    let name = &job.name;
    let way = showing.way.and_then(|way| job.alternatives.get(way));
    BarView {
        job: if name.is_empty() {
            "a job without a name".to_owned()
        } else {
            name.clone()
        },
        file: session.path.as_ref().map(|path| path.display().to_string()),
        unsaved: session.unsaved(),
        undoes: session.undoes().map(str::to_owned),
        redoes: session.redoes().map(str::to_owned),
        computing: solved.is_none() || work.stale(),
        error: work.error.clone(),
        notice: session.notice.clone(),
        mood: showing.mood,
        place: showing.place,
        ways: !job.alternatives.is_empty(),
        shown: way.map(|way| way.name.clone()),
        drawing: drawing(sure, showing.place),
    }
}

/// The bar.
pub(super) fn bar_ui(ui: &mut Ui, view: &BarView) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let title = egui::RichText::new(&view.job).size(17.0).strong();
        ui.label(title);
        if view.unsaved {
            ui.label(
                egui::RichText::new("not saved")
                    .color(ink(look::CRAYON))
                    .size(12.5),
            );
        }
        ui.add_space(10.0);
        asked.extend(saving(ui, view));
        asked.extend(places(ui, view));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            asked.extend(moods(ui, view.mood));
            ui.add_space(12.0);
            asked.extend(viewpoints(ui));
        });
    });
    asked
}

fn saving(ui: &mut Ui, view: &BarView) -> Vec<Action> {
    let mut asked = Vec::new();
    let open = ui
        .button("Open")
        .on_hover_text("open a job, or begin one: Ctrl+O");
    tour::mark(ui.ctx(), "Open", open.rect);
    if open.clicked() {
        asked.push(Action::File(Ask::List(Want::Open)));
    }
    if view.file.is_none() {
        let save = ui
            .button("Save as")
            .on_hover_text("save it in a file: Ctrl+Shift+S");
        if save.clicked() {
            asked.push(Action::File(Ask::List(Want::SaveAs(None))));
        }
    } else {
        let save = ui.add_enabled(view.unsaved, egui::Button::new("Save"));
        if save.on_hover_text("save it in its file: Ctrl+S").clicked() {
            asked.push(Action::Save);
        }
    }
    let mut offer = |word, name: &Option<String>, key, action| {
        let button = ui.add_enabled(name.is_some(), egui::Button::new(word));
        let says = name.as_deref().unwrap_or("nothing");
        if button.on_hover_text(format!("{says}, {key}")).clicked() {
            asked.push(action);
        }
    };
    offer("Undo", &view.undoes, "Ctrl+Z", Action::Undo);
    offer("Redo", &view.redoes, "Ctrl+Shift+Z", Action::Redo);
    asked
}

fn places(ui: &mut Ui, view: &BarView) -> Vec<Action> {
    ui.add_space(10.0);
    let mut asked = Vec::new();
    let mut offer = |place, word, key: &str| {
        let open = view.place == place;
        let other = if open { Place::SetOut } else { place };
        let label = ui.selectable_label(open, word).on_hover_text(key);
        tour::mark(ui.ctx(), word, label.rect);
        if label.clicked() {
            asked.push(Action::Place(other));
        }
    };
    offer(
        Place::Readings,
        "Readings",
        "type what was read on site: F2",
    );
    if view.ways || view.place == Place::Ways {
        offer(
            Place::Ways,
            "Ways",
            "the job and its alternatives side by side: F3",
        );
    }
    offer(Place::Sure, "How sure", "what may fail, and how likely: F4");
    asked
}

/// Right to left, as the bar is filled from its right end.
fn viewpoints(ui: &mut Ui) -> Vec<Action> {
    let mut asked = Vec::new();
    for (index, viewpoint) in Viewpoint::PLAIN.iter().enumerate().rev() {
        let button = egui::Button::new(viewpoint.to_string()).frame(false);
        let key = format!("key {}", index + 1);
        if ui.add(button).on_hover_text(key).clicked() {
            asked.push(Action::Look(viewpoint.clone()));
        }
    }
    super::quiet(ui, "look from");
    asked
}

fn moods(ui: &mut Ui, mood: Mood) -> Vec<Action> {
    let mut asked = Vec::new();
    for (other, word) in [(Mood::Show, "show"), (Mood::Work, "work")] {
        if ui
            .selectable_label(mood == other, word)
            .on_hover_text("key M")
            .clicked()
        {
            asked.push(Action::Mood(other));
        }
    }
    asked
}

/// The line below.
pub(super) fn foot_ui(ui: &mut Ui, view: &BarView) {
    ui.horizontal(|ui| {
        if let Some(error) = &view.error {
            let text = format!("cannot be set out: {error}");
            ui.label(egui::RichText::new(text).color(ink(look::CRAYON)));
        } else if let Some(name) = &view.shown {
            let text = format!("the picture shows the alternative {name}; the job stays as it is");
            ui.label(egui::RichText::new(text).color(ink(look::CHALK)));
        } else if let Some(notice) = &view.notice {
            let colour = if notice.wrong {
                look::CRAYON
            } else {
                look::PENCIL
            };
            ui.label(egui::RichText::new(&notice.says).color(ink(colour)));
        } else if view.computing {
            super::quiet(ui, "setting out ...");
        } else if let Some(drawing) = &view.drawing {
            super::quiet(ui, drawing);
        } else {
            super::quiet(
                ui,
                view.file
                    .as_deref()
                    .unwrap_or("the demo that comes with the program"),
            );
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            super::quiet(
                ui,
                "Reports against a rule pack; the adopted local code and its inspector decide.",
            );
        });
    });
}
