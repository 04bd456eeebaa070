//! One row of the sheet as drawn: what, the field, what all make of it, what it is off by, how it
//! stands.

use bevy_egui::egui::{self, Align2, FontId, Pos2, Rect, Response, Sense, Stroke, Ui, vec2};

use super::super::super::look::{self, Tone, ink};
use super::field::Field;
use super::rows::Row;
use super::standing::Told;

/// Where the columns stand from the left, points.
const WHAT: f32 = 64.0;
const FIELD: (f32, f32) = (196.0, 292.0);
const ALL: f32 = 360.0;
const OFF: f32 = 412.0;
const WORDS: f32 = 424.0;
/// The least height of a row.
const HEIGHT: f32 = 25.0;
/// What a row has above and below its text.
const AIR: f32 = 4.0;
/// Space above the first row of a group.
const GAP: f32 = 5.0;

/// What a row shows.
pub(super) struct Line<'a> {
    pub(super) row: &'a Row,
    pub(super) told: Option<&'a Told>,
    /// The field, where this is the row that is typed into.
    pub(super) field: Option<&'a Field>,
    /// It begins a group.
    pub(super) first: bool,
}

fn font(size: f32) -> FontId {
    FontId::proportional(size)
}

/// A text that wraps in a column.
fn wrapped(ui: &Ui, text: &str, colour: Tone, width: f32) -> std::sync::Arc<egui::Galley> {
    let layout = |fonts: FontId| {
        ui.painter()
            .layout(text.to_owned(), fonts, ink(colour), width)
    };
    layout(font(12.5))
}

/// What the columns hold.
pub(super) fn heads_ui(ui: &mut Ui) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 16.0), Sense::HOVER);
    let heads = [
        ("read", FIELD.0 + 7.0, Align2::LEFT_BOTTOM),
        ("all make it", ALL, Align2::RIGHT_BOTTOM),
        ("off by", OFF, Align2::RIGHT_BOTTOM),
    ];
    for (head, at, align) in heads {
        let at = Pos2::new(rect.left() + at, rect.bottom());
        let light = ink(look::PENCIL_LIGHT);
        ui.painter().text(at, align, head, font(11.5), light);
    }
}

/// Draws it.
pub(super) fn line_ui(ui: &mut Ui, line: &Line<'_>) -> Response {
    let width = ui.available_width();
    let what = wrapped(ui, &line.row.what, look::PENCIL, FIELD.0 - WHAT - 6.0);
    let words = line.told.map(|told| {
        let colour = if told.again {
            look::CRAYON
        } else {
            look::PENCIL_LIGHT
        };
        wrapped(ui, &told.words, colour, width - WORDS)
    });
    let tall = words.as_ref().map_or(0.0, |words| words.size().y);
    let height = (what.size().y.max(tall) + 2.0 * AIR).max(HEIGHT);
    let gap = if line.first { GAP } else { 0.0 };
    let (outer, response) = ui.allocate_exact_size(vec2(width, height + gap), Sense::CLICK);
    if !ui.is_rect_visible(outer) {
        return response;
    }
    let rect = outer.with_min_y(outer.top() + gap);
    let painter = ui.painter();
    if line.field.is_some() {
        painter.rect_filled(rect, 2.0, ink(look::PAPER));
        let mark = Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        painter.rect_filled(mark, 0.0, ink(look::CHALK));
    }
    if line.first {
        let rule = Stroke::new(1.0, ink(look::PENCIL_FAINT));
        painter.hline(outer.x_range(), outer.top() + GAP / 2.0, rule);
        painter.text(
            rect.left_top() + vec2(8.0, AIR + 1.0),
            Align2::LEFT_TOP,
            &line.row.group,
            font(12.5),
            ink(look::PENCIL_SOFT),
        );
    }
    let top = |galley: &egui::Galley| {
        let spare = rect.height() - galley.size().y;
        rect.top() + (spare / 2.0).min(AIR + 1.0)
    };
    let at = Pos2::new(rect.left() + WHAT, top(&what));
    painter.galley(at, what, ink(look::PENCIL));
    field_ui(ui, rect, line);
    if let Some(told) = line.told {
        for (text, right) in [(&told.all, ALL), (&told.off, OFF)] {
            painter.text(
                Pos2::new(rect.left() + right, rect.top() + AIR + 1.0),
                Align2::RIGHT_TOP,
                text,
                font(12.5),
                ink(look::PENCIL),
            );
        }
    }
    if let Some(words) = words {
        let at = Pos2::new(rect.left() + WORDS, top(&words));
        painter.galley(at, words, ink(look::PENCIL_LIGHT));
    }
    response.on_hover_cursor(egui::CursorIcon::Text)
}

/// The field: its text, and the cursor where it is typed into.
fn field_ui(ui: &Ui, row: Rect, line: &Line<'_>) {
    let painter = ui.painter();
    let left = row.left();
    let height = HEIGHT - 4.0;
    let rect = Rect::from_min_max(
        Pos2::new(left + FIELD.0, row.top() + 2.0),
        Pos2::new(left + FIELD.1, row.top() + 2.0 + height),
    );
    painter.rect_filled(rect, 2.0, ink(look::CARD));
    let edge = if line.field.is_some() {
        look::CHALK
    } else {
        look::PENCIL_FAINT
    };
    let edge = Stroke::new(1.0, ink(edge));
    painter.rect_stroke(rect, 2.0, edge, egui::StrokeKind::Inside);
    let inside = painter.with_clip_rect(rect.intersect(ui.clip_rect()));
    let text = line.field.map_or(&line.row.text, |field| &field.text);
    let start = Pos2::new(rect.left() + 7.0, rect.center().y);
    if text.is_empty() {
        let faint = ink(look::PENCIL_LIGHT);
        inside.text(
            start,
            Align2::LEFT_CENTER,
            &line.row.meant,
            font(13.0),
            faint,
        );
    }
    let galley = inside.layout_no_wrap(text.clone(), font(13.5), ink(look::PENCIL));
    let place = Rect::from_min_size(
        Pos2::new(start.x, start.y - galley.size().y / 2.0),
        galley.size(),
    );
    if let Some(field) = line.field {
        if field.marked {
            let marked = ui.visuals().selection.bg_fill;
            inside.rect_filled(place.expand2(vec2(2.0, 0.0)), 1.0, marked);
        }
        let cursor = galley.pos_from_cursor(egui::text::CCursor::new(field.at));
        let x = place.left() + cursor.left();
        let mark = Stroke::new(1.5, ink(look::CHALK));
        inside.vline(x, place.y_range(), mark);
    }
    inside.galley(place.min, galley, ink(look::PENCIL));
}
