//! The card of the tour's stop, and a pencil arrow from it to what it is about.

use bevy_egui::egui::{self, Context, Frame, Id, Margin, Pos2, Rect, RichText, Stroke, Vec2, vec2};

use super::super::look::{self, ink};
use super::super::tour::Ask;
use super::quiet;

/// Width of the card, points.
const WIDTH: f32 = 350.0;
/// Its height until it has been drawn once.
const HEIGHT: f32 = 150.0;
/// The card keeps this far from what it is about and from the edges.
const AWAY: f32 = 46.0;

/// What the card shows.
pub(in crate::viewer) struct Card {
    /// What the stop says.
    pub(in crate::viewer) says: String,
    /// Which stop it is, from 1.
    pub(in crate::viewer) place: usize,
    /// Of so many.
    pub(in crate::viewer) of: usize,
    /// What it points at, in points.
    pub(in crate::viewer) target: Option<Pos2>,
}

fn id(name: &str) -> Id {
    Id::new(("tour points at", name))
}

/// Notes where something of the panels stands, so that the tour can point at it.
pub(super) fn mark(ctx: &Context, name: &str, rect: Rect) {
    ctx.data_mut(|data| data.insert_temp(id(name), rect));
}

/// Where it stands, if it was drawn.
pub(in crate::viewer) fn marked(ctx: &Context, name: &str) -> Option<Rect> {
    ctx.data(|data| data.get_temp(id(name)))
}

/// Where the card lies: as near to its target as it can without hiding it.
fn place(free: Rect, size: Vec2, target: Option<Pos2>) -> Rect {
    let inner = free.shrink(16.0);
    let clear = |at: &Rect| target.is_none_or(|target| !at.expand(AWAY).contains(target));
    let far = |at: &Rect| target.map_or(0.0, |target| at.distance_to_pos(target));
    let mut best: Option<Rect> = None;
    for row in 0..=4_u8 {
        for column in 0..=4_u8 {
            let share = vec2(f32::from(column), f32::from(row)) / 4.0;
            let room = (inner.size() - size).max(Vec2::ZERO);
            let at = Rect::from_min_size(inner.min + room * share, size);
            if clear(&at) && best.is_none_or(|best| far(&at) < far(&best)) {
                best = Some(at);
            }
        }
    }
    best.unwrap_or_else(|| Rect::from_min_size(inner.left_bottom() - vec2(0.0, size.y), size))
}

/// A pencil arrow, a little bent as a hand draws it.
fn arrow(painter: &egui::Painter, from: Pos2, to: Pos2) {
    let way = to - from;
    if way.length() < 12.0 {
        return;
    }
    let side = vec2(-way.y, way.x).normalized();
    let bend = from + way * 0.5 + side * (way.length() * 0.12).min(40.0);
    let at = |t: f32| {
        let a = from.lerp(bend, t);
        let b = bend.lerp(to, t);
        a.lerp(b, t)
    };
    let line = Stroke::new(2.2, ink(look::PENCIL));
    let points: Vec<Pos2> = (0..=16_u8).map(|part| at(f32::from(part) / 16.0)).collect();
    painter.add(egui::Shape::line(points, line));
    let back = (at(0.86) - to).normalized();
    for turn in [0.42_f32, -0.42] {
        let (sin, cos) = turn.sin_cos();
        let barb = vec2(back.x * cos - back.y * sin, back.x * sin + back.y * cos);
        painter.line_segment([to, to + barb * 15.0], line);
    }
}

/// Draws the card; says what was asked of the tour.
pub(in crate::viewer) fn card_ui(ctx: &Context, free: Rect, card: &Card) -> Option<Ask> {
    let kept = Id::new("tour card size");
    let size = ctx
        .data(|data| data.get_temp(kept))
        .unwrap_or(vec2(WIDTH + 36.0, HEIGHT));
    let rect = place(free, size, card.target);
    if let Some(target) = card.target {
        let layer = egui::LayerId::new(egui::Order::Middle, Id::new("tour arrow"));
        let painter = egui::Painter::new(ctx.clone(), layer, ctx.content_rect());
        let from = rect.clamp(target);
        let tip = target + (from - target).normalized() * 8.0;
        arrow(&painter, from, tip);
    }
    let area = egui::Area::new(Id::new("tour"))
        .fixed_pos(rect.min)
        .order(egui::Order::Middle);
    let shown = area.show(ctx, |ui| {
        let frame = Frame::new()
            .fill(ink(look::CARD))
            .stroke(Stroke::new(1.2, ink(look::PENCIL)))
            .inner_margin(Margin::symmetric(16, 12));
        frame
            .show(ui, |ui| {
                ui.set_width(WIDTH);
                ui.label(RichText::new(&card.says).size(15.0));
                ui.add_space(4.0);
                let mut asked = None;
                ui.horizontal(|ui| {
                    let last = card.place == card.of;
                    let word = if last { "Begin" } else { "Next" };
                    if ui.button(format!("{word} (Enter)")).clicked() {
                        asked = Some(Ask::Next);
                    }
                    let back = ui.add_enabled(card.place > 1, egui::Button::new("Back"));
                    if back.clicked() {
                        asked = Some(Ask::Before);
                    }
                    if ui.button("End (Esc)").clicked() {
                        asked = Some(Ask::End);
                    }
                    quiet(ui, &format!("{} of {}", card.place, card.of));
                });
                asked
            })
            .inner
    });
    let drawn = shown.response.rect.size();
    ctx.data_mut(|data| data.insert_temp(kept, drawn));
    shown.inner
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_card_never_hides_what_it_is_about_and_stays_in_the_picture() {
        let free = Rect::from_min_max(Pos2::new(320.0, 60.0), Pos2::new(1080.0, 780.0));
        let size = vec2(386.0, 150.0);
        for x in 0..12_u8 {
            for y in 0..9_u8 {
                let target = Pos2::new(f32::from(x) * 120.0, f32::from(y) * 100.0);
                let at = place(free, size, Some(target));
                assert!(free.contains_rect(at), "{target:?}");
                assert!(!at.contains(target), "{target:?}");
            }
        }
        let small = Rect::from_min_size(Pos2::ZERO, vec2(1.0, 1.0));
        assert!(place(small, size, Some(Pos2::ZERO)).is_finite());
    }
}
