//! The head of the place: the button that draws, how far it has come, and the fan in the picture.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::doubt::Progress;
use crate::publish::grouped;

use super::super::super::look::{self, ink};
use super::super::super::session::Action;
use super::super::super::sure::Standing;
use super::super::super::{MOST_STRETCH, convert};
use super::super::quiet;
use super::super::troubles::sentence;
use super::SureView;

/// The button that draws, how far it has come, and how it ended.
pub(super) fn drawing_ui(ui: &mut Ui, view: &SureView) -> Option<Action> {
    match view.standing {
        Standing::Drawing(progress, ending) => return progress_ui(ui, progress, ending),
        Standing::Waiting => {
            quiet(ui, "setting the stair out first ...");
            return ui.button("Cancel").clicked().then_some(Action::Draw(false));
        }
        Standing::Still => {}
    }
    if let Some(why) = view.refused {
        let text = RichText::new(sentence(why)).size(12.5);
        ui.add(egui::Label::new(text.color(ink(look::CRAYON))).wrap());
    }
    let word = match &view.told {
        None => {
            let text = format!(
                "The stair is drawn up to {} times as its readings leave it open and as hand and saw \
                 make it, and what fails is counted.",
                grouped(view.most)
            );
            let text = RichText::new(text)
                .size(13.0)
                .color(ink(look::PENCIL_LIGHT));
            ui.add(egui::Label::new(text).wrap());
            "Draw the stair"
        }
        Some(told) => {
            if told.stale {
                let text = RichText::new("Of the stair before your last change.").size(13.5);
                ui.label(text.strong().color(ink(look::OCHRE)));
            } else {
                quiet(ui, &told.said);
            }
            "Draw it again"
        }
    };
    let again = view
        .told
        .as_ref()
        .is_none_or(|told| told.stale || told.said.starts_with("ended"));
    if !again {
        return None;
    }
    // Letters that were not drawn before come a frame late, and news of the draws are one frame each.
    let soon = "0123456789, of draws at most beginning ending ... Cancel";
    for size in [12.0, 13.5] {
        let font = egui::FontId::proportional(size);
        let _known = ui
            .painter()
            .layout_no_wrap(soon.to_owned(), font, ink(look::PENCIL));
    }
    let button = egui::Button::new(RichText::new(word).size(14.5)).min_size(vec2(0.0, 28.0));
    let clicked = ui.add(button).on_hover_text("Enter").clicked();
    clicked.then_some(Action::Draw(true))
}

fn progress_ui(ui: &mut Ui, progress: Progress, ending: bool) -> Option<Action> {
    let (done, most) = (grouped(progress.done), grouped(progress.most));
    let words = match () {
        () if ending => "ending ...".to_owned(),
        () if progress.most == 0 => "beginning ...".to_owned(),
        () => format!("{done} of {most} draws at most"),
    };
    quiet(ui, &words);
    let mut asked = None;
    ui.horizontal(|ui| {
        let room = vec2(ui.available_width() - 84.0, 22.0);
        let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
        let bar = rect.shrink2(vec2(0.0, 6.0));
        ui.painter().rect_filled(bar, 1.0, ink(look::CARD));
        let parts = (progress.done.min(progress.most) * 10_000).checked_div(progress.most);
        let parts = u32::try_from(parts.unwrap_or(0)).unwrap_or(0);
        let share = convert::single(parts) / 10_000.0;
        let size = vec2(bar.width() * share, bar.height());
        let done = egui::Rect::from_min_size(bar.min, size);
        ui.painter().rect_filled(done, 1.0, ink(look::CHALK));
        let edge = Stroke::new(1.0, ink(look::PENCIL_LIGHT));
        ui.painter()
            .rect_stroke(bar, 1.0, edge, egui::StrokeKind::Outside);
        let cancel = ui.add_enabled(!ending, egui::Button::new("Cancel"));
        if cancel.on_hover_text("Esc").clicked() {
            asked = Some(Action::Draw(false));
        }
    });
    asked
}

/// The fan in the picture.
pub(super) fn fan_ui(ui: &mut Ui, view: &SureView) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let mut fan = view.fan;
        let words = "where the rail may lie, in the picture";
        if ui
            .checkbox(&mut fan, words)
            .on_hover_text("key D")
            .clicked()
        {
            asked.push(Action::Fan(fan));
        }
        let mut stretch = view.stretch;
        ui.add_enabled_ui(view.fan, |ui| {
            ui.spacing_mut().slider_width = (ui.available_width() - 52.0).max(40.0);
            let slider = egui::Slider::new(&mut stretch, 1.0..=MOST_STRETCH)
                .step_by(1.0)
                .custom_formatter(|value, _| format!("x{value:.0}"));
            let slider = ui.add(slider);
            if slider
                .on_hover_text("drawn so many times as large; keys [ and ]")
                .changed()
            {
                asked.push(Action::Stretch(stretch));
                asked.push(Action::Ghost(stretch > 1.0));
            }
        });
    });
    asked
}
