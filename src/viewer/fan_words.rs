//! The words and the legend of the fan of rails, painted over the picture.

use bevy_egui::egui::{Align2, CornerRadius, FontId, Painter, Pos2, Rect, Shape, Stroke, vec2};

use crate::measure::{Length, Tape};

use super::look::{self, ink};
use super::scene::Tip;

/// Size of the words, points.
const SIZE: f32 = 12.5;
/// How far from the rail's end its words stand.
const OFF: f32 = 26.0;

/// How far something may come off its plan either way, on the tape: up to a whole mark, for what is
/// left out is not sure.
pub(super) fn give(tape: Tape, (low, high): (Length, Length)) -> String {
    let up_to = |by: Length| tape.print(tape.round_up(by.abs()));
    let (down, up) = (up_to(low), up_to(high));
    let both = low <= Length::ZERO && high >= Length::ZERO;
    let none = up == tape.print(Length::ZERO);
    if down == up && (both || none) {
        return format!("\u{b1}{up}");
    }
    let sign = |by: Length| if by < Length::ZERO { "-" } else { "+" };
    format!("{}{up} {}{down}", sign(high), sign(low))
}

/// What stands beside the top end of a rail.
fn told(tip: &Tip, tape: Tape) -> [String; 2] {
    let [plumb, out] = tip.bands;
    [
        format!("95 %: {} up or down", give(tape, plumb)),
        format!("{} in or out", give(tape, out)),
    ]
}

/// The label of a rail's top end, where that lies in the picture.
pub(super) fn label(painter: &Painter, free: Rect, at: Pos2, tip: &Tip, tape: Tape) {
    if !free.contains(at) {
        return;
    }
    let font = FontId::proportional(SIZE);
    let lines = told(tip, tape)
        .into_iter()
        .zip([look::MADDER, look::VERDIGRIS]);
    let galleys: Vec<_> = lines
        .map(|(text, colour)| painter.layout_no_wrap(text, font.clone(), ink(colour)))
        .collect();
    let width = galleys.iter().map(|one| one.size().x).fold(0.0, f32::max);
    let height: f32 = galleys.iter().map(|one| one.size().y).sum();
    let pad = vec2(7.0, 4.0);
    let size = vec2(width, height) + pad * 2.0;
    // Beside the end, on the side where there is room.
    let left = if at.x + OFF + size.x < free.right() - 6.0 {
        at.x + OFF
    } else {
        at.x - OFF - size.x
    };
    let left = left.clamp(
        free.left() + 6.0,
        (free.right() - size.x - 6.0).max(free.left() + 6.0),
    );
    let top = (at.y - OFF - size.y).clamp(free.top() + 6.0, free.bottom() - size.y - 6.0);
    let rect = Rect::from_min_size(Pos2::new(left, top), size);
    let pencil = Stroke::new(1.0, ink(look::PENCIL_SOFT));
    let corner = if left > at.x {
        rect.left_bottom()
    } else {
        rect.right_bottom()
    };
    painter.line_segment([at, corner], pencil);
    painter.circle_filled(at, 2.4, ink(look::PENCIL));
    painter.rect(
        rect,
        CornerRadius::same(2),
        ink(look::CARD).gamma_multiply(0.94),
        Stroke::new(1.0, ink(look::PENCIL_FAINT)),
        bevy_egui::egui::StrokeKind::Inside,
    );
    let mut place = rect.min + pad;
    for galley in galleys {
        let down = galley.size().y;
        painter.galley(place, galley, ink(look::PENCIL));
        place.y += down;
    }
}

/// What the ribbons mean, above the words of the stretch.
pub(super) fn legend(painter: &Painter, at: Pos2) {
    let size = vec2(268.0, 58.0);
    let rect = Rect::from_min_size(at - vec2(0.0, size.y), size);
    painter.rect_filled(
        rect,
        CornerRadius::same(3),
        ink(look::CARD).gamma_multiply(0.88),
    );
    let pencil = ink(look::PENCIL);
    let text = |at: Pos2, words: &str| {
        painter.text(
            at,
            Align2::LEFT_CENTER,
            words,
            FontId::proportional(12.0),
            pencil,
        );
    };
    let row = |down: f32| rect.left_top() + vec2(9.0, down);
    text(row(12.0), "where the top of the rail may come to lie:");
    let stroke = Stroke::new(1.8, pencil);
    let solid = row(30.0);
    painter.line_segment([solid, solid + vec2(26.0, 0.0)], stroke);
    text(solid + vec2(33.0, 0.0), "half of the time");
    let dashes = solid + vec2(134.0, 0.0);
    let points = [dashes, dashes + vec2(26.0, 0.0)];
    painter.extend(Shape::dashed_line(&points, stroke, 5.5, 3.5));
    text(dashes + vec2(33.0, 0.0), "19 times in 20");
    let swatch = |at: Pos2, colour: look::Tone, words: &str| {
        let patch = Rect::from_min_size(at + vec2(0.0, -5.0), vec2(26.0, 10.0));
        painter.rect_filled(patch, CornerRadius::same(1), look::tint(colour, 0.34));
        let edge = Stroke::new(1.0, ink(colour));
        painter.rect_stroke(
            patch,
            CornerRadius::same(1),
            edge,
            bevy_egui::egui::StrokeKind::Inside,
        );
        text(at + vec2(33.0, 0.0), words);
    };
    swatch(row(47.0), look::MADDER, "up or down");
    swatch(row(47.0) + vec2(134.0, 0.0), look::VERDIGRIS, "in or out");
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    #[test]
    fn the_give_is_told_in_marks_of_the_tape() {
        let tape = crate::job::Document::parse(DEMO, "test.ron")
            .unwrap()
            .job()
            .tape;
        let inch = |part: f64| Length::mm(25.4 * part);
        let print = |part: f64| tape.print(inch(part));
        let even = give(tape, (inch(-0.3125), inch(0.3125)));
        assert_eq!(even, format!("\u{b1}{}", print(0.3125)));
        let uneven = give(tape, (inch(-0.25), inch(0.375)));
        assert_eq!(uneven, format!("+{} -{}", print(0.375), print(0.25)));
        let aside = give(tape, (inch(0.125), inch(0.5)));
        assert_eq!(aside, format!("+{} +{}", print(0.5), print(0.125)));
        // An end that is held has no give, and no sign of it either.
        let held = give(tape, (Length::mm(1e-9), Length::mm(2e-9)));
        assert_eq!(held, format!("\u{b1}{}", print(0.0)));
        // What lies between two marks is told by the wider one.
        let between = give(tape, (inch(-0.26), inch(0.3)));
        assert_eq!(between, give(tape, (inch(-0.3), inch(0.26))));
        assert_eq!(between, even);
    }
}
