//! The causes of a number in columns: a pencil bar, what each takes off by itself, its share.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::explain::Because;
use crate::measure::{Length, Tape};

use super::super::convert;
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::{Cause, Showing};
use super::quiet;

/// One cause, with its shares as text and as part of the largest.
pub(super) struct Share {
    cause: Cause,
    alone: String,
    pub(super) additive: Option<String>,
    part: f32,
    /// Without it the trouble would be worse.
    helps: bool,
    /// It is pointed at; and made true for a moment.
    pointed: Option<bool>,
}

pub(super) fn share(because: &Because, largest: Length, showing: &Showing, tape: Tape) -> Share {
    let cause = Cause::of(because);
    let part = if largest > Length::ZERO {
        convert::single(because.share.abs() / largest)
    } else {
        0.0
    };
    let error = because.error.filter(|error| *error > tape.mark() / 4.0);
    let give = error.map_or_else(String::new, |error| {
        format!(" \u{b1} {}", tape.print(error))
    });
    Share {
        pointed: (showing.cause.as_ref() == Some(&cause)).then_some(showing.moment),
        cause,
        alone: tape.print(because.share),
        additive: because
            .shapley
            .map(|share| format!("{}{give}", tape.print(share))),
        part,
        helps: because.share < Length::ZERO,
    }
}

/// Width of a bar, and of the figures behind it, points.
const BAR: f32 = 30.0;
const ALONE: f32 = 54.0;
const SHARED: f32 = 54.0;

/// What the figures of the causes are.
pub(super) fn heads_ui(ui: &mut Ui, shared: bool) {
    ui.horizontal(|ui| {
        let (_, _) = ui.allocate_exact_size(vec2(BAR, 10.0), Sense::hover());
        let head = |ui: &mut Ui, width: f32, word: &str, says: &str| {
            let text = RichText::new(word)
                .size(12.0)
                .color(ink(look::PENCIL_LIGHT));
            figure_ui(ui, width, text).on_hover_text(says.to_owned());
        };
        head(
            ui,
            ALONE,
            "alone",
            "what making it true by itself would take off",
        );
        if shared {
            let says = "its part when all are made true, over every order";
            head(ui, SHARED, "shared", says);
        }
        quiet(ui, "made true");
    });
}

/// A figure in a column of its own.
fn figure_ui(ui: &mut Ui, width: f32, text: RichText) -> egui::Response {
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let draw = |ui: &mut Ui| {
        ui.set_min_width(width);
        ui.add(egui::Label::new(text).selectable(false))
    };
    ui.allocate_ui_with_layout(vec2(width, 16.0), layout, draw)
        .inner
}

/// One cause, with a pencil bar as long as its part of the largest. A click points at it in the
/// picture; then it can be made true for a moment.
pub(super) fn share_ui(ui: &mut Ui, share: &Share) -> Vec<Action> {
    let mut asked = Vec::new();
    let line = ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(BAR, 10.0), Sense::hover());
        let bar = egui::Rect::from_min_size(
            rect.min,
            vec2(rect.width() * share.part.max(0.03), rect.height()),
        );
        let tone = if share.pointed.is_some() {
            look::INDELIBLE
        } else {
            look::PENCIL_LIGHT
        };
        // What helps is drawn hollow, and its figure has a minus.
        if share.helps {
            let edge = Stroke::new(1.2, ink(tone));
            let inside = egui::StrokeKind::Inside;
            ui.painter().rect_stroke(bar, 1.0, edge, inside);
        } else {
            ui.painter().rect_filled(bar, 1.0, ink(tone));
        }
        let strong = |text: &str| RichText::new(text).strong().size(13.0);
        figure_ui(ui, ALONE, strong(&share.alone));
        if let Some(additive) = &share.additive {
            figure_ui(ui, SHARED, strong(additive));
        }
        let what = RichText::new(&share.cause.what).size(13.0);
        ui.add(egui::Label::new(what).selectable(false).wrap());
    });
    let rect = line.response.rect;
    let id = ui.id().with(("cause", &share.cause.what));
    let response = ui.interact(rect, id, Sense::click());
    if response.hovered() && share.pointed.is_none() {
        let edge = Stroke::new(1.0, ink(look::PENCIL_FAINT));
        let kind = egui::StrokeKind::Outside;
        ui.painter().rect_stroke(rect, 2.0, edge, kind);
    }
    if response.clicked() {
        let cause = share.pointed.is_none().then(|| share.cause.clone());
        asked.push(Action::Point(cause));
    }
    if let Some(made) = share.pointed {
        let word = if made {
            "Back to what was found"
        } else {
            "Make it true for a moment"
        };
        if ui.button(word).clicked() {
            asked.push(Action::Moment(!made));
        }
    }
    asked
}
