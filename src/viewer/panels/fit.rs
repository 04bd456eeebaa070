//! The place of the dry fit: which newel, how far it is lifted, where it is moved, and what is to be
//! marked for it, in the order in which one marks it.

use bevy_egui::egui::{self, RichText, Ui};

use crate::job::Document;
use crate::publish::{DRY_FIT_CAUTION, FitMark, FitTold};

use super::super::fit::{Ask, Fit};
use super::super::look::{self, ink};
use super::super::session::Action;
use super::edit::newel_field;
use super::tape_field::{LenField, tape_field};
use super::{heading, line, place_head, soft};

/// Width of the panel, points.
pub(super) const WIDTH: f32 = 352.0;

/// What the panel shows.
pub(super) struct FitView {
    newels: Vec<String>,
    chosen: Option<String>,
    up: f64,
    playing: bool,
    moves: Option<(&'static str, LenField)>,
    told: Vec<(Option<String>, FitTold)>,
    cuts: bool,
}

/// Gathers what the panel shows. What is typed comes from the job as it stands now, what follows
/// from it from the last result.
pub(super) fn view(fit: &Fit, document: &Document) -> FitView {
    let chosen = fit.newel.clone();
    let stage = fit.stage.as_ref();
    FitView {
        newels: stage.map(|stage| stage.newels.clone()).unwrap_or_default(),
        up: fit.up,
        playing: fit.playing,
        moves: chosen.as_deref().and_then(|name| field(document, name)),
        told: stage.map(|stage| stage.told.clone()).unwrap_or_default(),
        cuts: stage
            .is_some_and(|stage| stage.fits.iter().any(crate::setout::dry_fit::DryFit::cuts)),
        chosen,
    }
}

/// The field that moves a newel.
fn field(document: &Document, name: &str) -> Option<(&'static str, LenField)> {
    document.each_run().iter().find_map(|run| {
        let mut newels = run.job.design.newels.iter().enumerate();
        let (index, newel) = newels.find(|(_, newel)| newel.name == name)?;
        let (says, mut field) = newel_field(&run.job, index, newel);
        field.path = run.path(&field.path);
        Some((says, field))
    })
}

/// The panel.
pub(super) fn fit_ui(ui: &mut Ui, view: &FitView) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "Dry fit"));
    if view.newels.is_empty() {
        soft(ui, "The stair has no newel to set down.");
        return asked;
    }
    asked.extend(choice(ui, view));
    asked.extend(lifting(ui, view));
    soft(ui, DRY_FIT_CAUTION);
    egui::ScrollArea::vertical().id_salt("fit").show(ui, |ui| {
        ui.set_width(ui.available_width());
        if let Some((moves, field)) = &view.moves {
            heading(ui, "Its place");
            soft(ui, *moves);
            asked.extend(tape_field(ui, field));
        }
        let mut number = 0;
        for (title, told) in &view.told {
            if let Some(title) = title {
                ui.add_space(6.0);
                let title = RichText::new(format!("On run {title}")).size(15.0);
                ui.label(title.color(ink(look::PENCIL)));
            }
            told_ui(ui, told, view.cuts, &mut number);
        }
    });
    asked
}

/// Which newel.
fn choice(ui: &mut Ui, view: &FitView) -> Option<Action> {
    let mut asked = None;
    ui.horizontal_wrapped(|ui| {
        for name in &view.newels {
            let chosen = view.chosen.as_ref() == Some(name);
            let label = RichText::new(name).size(14.5);
            let label = ui.selectable_label(chosen, label);
            if label.on_hover_text("N for the next").clicked() && !chosen {
                asked = Some(Action::Fit(Ask::Newel(name.clone())));
            }
        }
    });
    asked
}

/// How far it is lifted.
fn lifting(ui: &mut Ui, view: &FitView) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let word = if view.playing { "Stop" } else { "Lower it" };
        let button = egui::Button::new(RichText::new(word).size(14.0));
        let button = ui.add(button.min_size(egui::vec2(78.0, 26.0)));
        if button.on_hover_text("Enter").clicked() {
            asked.push(Action::Fit(Ask::Play));
        }
        // The slider runs from clear to standing.
        let mut down = 1.0 - view.up;
        ui.spacing_mut().slider_width = (ui.available_width() - 66.0).max(60.0);
        let slider = egui::Slider::new(&mut down, 0.0..=1.0).show_value(false);
        let slider = ui.add(slider);
        if slider.on_hover_text("Page Down, Page Up").changed() {
            asked.push(Action::Fit(Ask::Up(1.0 - down)));
        }
        let word = if view.up < 1e-3 { "stands" } else { "lifted" };
        ui.label(RichText::new(word).size(13.0).color(ink(look::PENCIL)));
    });
    asked
}

fn told_ui(ui: &mut Ui, told: &FitTold, cuts: bool, number: &mut usize) {
    ui.add_space(4.0);
    line(ui, &told.stands);
    line(ui, &told.cap);
    if !told.marks.is_empty() {
        heading(ui, "Marks to knife, in order");
        for mark in &told.marks {
            *number += 1;
            mark_ui(ui, *number, mark);
        }
    }
    list(ui, "Behind", &told.behind, |ui, one| {
        let colour = if one.engineer {
            look::CRAYON
        } else {
            look::PENCIL
        };
        let text = RichText::new(&one.says).size(13.0).color(ink(colour));
        ui.add(egui::Label::new(text).wrap());
    });
    list(ui, "Beside it", &told.beside, |ui, says| line(ui, says));
    if !told.marks.is_empty() || !told.shows.is_empty() {
        heading(ui, "Cut square, this would show");
        if told.shows.is_empty() {
            line(ui, "nothing that the tape reads");
        }
        for says in &told.shows {
            line(ui, says);
        }
        if !told.marks.is_empty() {
            soft(ui, format!("To the lines it is {}.", told.allowance));
        }
    }
    list(
        ui,
        "And this stand open unseen",
        &told.unseen,
        |ui, says| {
            soft(ui, says);
        },
    );
    list(ui, "Too narrow to stand", &told.strips, |ui, says| {
        line(ui, says);
    });
    if !told.foot.is_empty() {
        heading(ui, "Its foot");
        for (index, mark) in told.foot.iter().enumerate() {
            // Where nothing is cut these are the marks, numbered as in the picture.
            let numbered = if cuts { 0 } else { index + 1 };
            mark_ui(ui, numbered, mark);
        }
    }
}

fn list<T>(ui: &mut Ui, title: &str, all: &[T], each: impl Fn(&mut Ui, &T)) {
    if all.is_empty() {
        return;
    }
    heading(ui, title);
    for one in all {
        each(ui, one);
    }
}

/// A mark: its number, where it is, and its two distances.
fn mark_ui(ui: &mut Ui, number: usize, mark: &FitMark) {
    ui.horizontal_top(|ui| {
        let number = if number == 0 {
            String::new()
        } else {
            number.to_string()
        };
        let number = RichText::new(number).size(15.0).strong();
        let number = egui::Label::new(number.color(ink(look::PENCIL)));
        ui.add_sized([22.0, 18.0], number);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            soft(ui, format!("{}, {}", mark.place, mark.side));
            let off = RichText::new(&mark.off).size(14.0).strong();
            ui.add(egui::Label::new(off.color(ink(look::PENCIL))).wrap());
            line(ui, &mark.along);
            if let Some(out) = &mark.out {
                let out = RichText::new(out).size(13.0).color(ink(look::CRAYON));
                ui.label(out);
            }
            ui.add_space(3.0);
        });
    });
}
