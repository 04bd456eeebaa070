//! What a divided picture has over it: the half of the second stair with its flags, the hanging line,
//! and the names of both halves.

use bevy::prelude::IntoScheduleConfigs as _;
use bevy::prelude::{
    App, Camera, Camera3d, GlobalTransform, MessageWriter, Query, Res, With, Without,
};
use bevy_egui::egui::{
    self, Align2, Color32, Id, LayerId, Order, Painter, Pos2, Rect, Sense, Shape, Stroke, pos2,
    vec2,
};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::divide::{Ask, Divided, Half, OtherEye, OtherPicture};
use super::flags::{self, FreeRect};
use super::look::{self, ink};
use super::scene::Beside;
use super::session::Action;
use super::{Mood, Pick, Showing, convert};

/// How near the line the hand may take hold of it, points.
const GRIP: f32 = 9.0;
/// The bob hangs this far above the lower edge, points.
const ABOVE_EDGE: f32 = 110.0;
/// Names stand this far from the line and from the upper edge, points.
const OFF_LINE: f32 = 14.0;
const BELOW_EDGE: f32 = 12.0;

/// What it is painted from.
#[derive(bevy::ecs::system::SystemParam)]
struct Seen<'w, 's> {
    divided: Res<'w, Divided>,
    beside: Res<'w, Beside>,
    picture: Res<'w, OtherPicture>,
    showing: Res<'w, Showing>,
    free: Option<Res<'w, FreeRect>>,
    cameras: Query<'w, 's, Standing, (With<Camera3d>, Without<OtherEye>)>,
}

/// A camera and where it stands.
type Standing = (&'static Camera, &'static GlobalTransform);

impl Seen<'_, '_> {
    /// Where a place lies in the picture: both halves have the same eye.
    fn on_picture(&self, at: &nalgebra::Point3<f64>, zoom: f32) -> Option<Pos2> {
        let (camera, place) = self.cameras.single().ok()?;
        let at = camera.world_to_viewport(place, convert::point(at)).ok()?;
        // The window's points may be larger than the picture's.
        Some(pos2(at.x / zoom, at.y / zoom))
    }
}

fn paint(
    mut contexts: EguiContexts,
    seen: Seen,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let free = seen.free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let (Some(x), Some(texture), Some(second)) = (
        seen.divided.line(free),
        seen.picture.texture,
        &seen.beside.0,
    ) else {
        return Ok(());
    };
    let left = free.with_max_x(x);
    let painter = Painter::new(ctx.clone(), LayerId::background(), left);
    painter.image(
        texture,
        left,
        share(left, ctx.viewport_rect()),
        Color32::WHITE,
    );
    let measured = seen.showing.mood == Mood::Work;
    if measured {
        let troubles = second.solved.found.inspection.troubles();
        let place = |finding: &crate::inspect::Finding| {
            let at = second.shown.place(&finding.at, &finding.key.parts);
            seen.on_picture(&at, ctx.zoom_factor())
        };
        let picked = |finding: &crate::inspect::Finding| {
            seen.showing.picked == Some(Pick::Trouble(finding.key.clone()))
        };
        flags::fly_all(&painter, &troubles, &second.solved.job, place, picked);
    }
    let whole = Painter::new(ctx.clone(), LayerId::background(), free);
    if let Some(to) = hang(ctx, &whole, free, x) {
        actions.write(Action::Divide(Ask::To(to)));
    }
    let [one, other] = &seen.divided.halves;
    let y = free.top() + BELOW_EDGE;
    label(
        &painter,
        pos2(x - OFF_LINE, y),
        Align2::RIGHT_TOP,
        one,
        measured,
    );
    let right = Painter::new(ctx.clone(), LayerId::background(), free.with_min_x(x));
    label(
        &right,
        pos2(x + OFF_LINE, y),
        Align2::LEFT_TOP,
        other,
        measured,
    );
    Ok(())
}

/// A part of the picture as shares of the whole.
fn share(part: Rect, whole: Rect) -> Rect {
    let at = |point: Pos2| ((point - whole.min) / whole.size()).to_pos2();
    Rect::from_min_max(at(part.min), at(part.max))
}

/// The line: a cord with a bob, taken hold of anywhere along it. Gives where it is pulled to.
fn hang(ctx: &egui::Context, painter: &Painter, free: Rect, x: f32) -> Option<f64> {
    let grip = Rect::from_x_y_ranges(x - GRIP..=x + GRIP, free.y_range());
    let area = egui::Area::new(Id::new("hanging line"))
        .order(Order::Middle)
        .fixed_pos(grip.min)
        .constrain(false)
        .show(ctx, |ui| ui.allocate_response(grip.size(), Sense::drag()));
    let hand = area
        .inner
        .on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
    let held = hand.dragged() || hand.hovered();
    let bob = pos2(x, free.bottom() - ABOVE_EDGE);
    let cord = Stroke::new(if held { 3.0 } else { 2.0 }, ink(look::CHALK));
    // A pale edge, so that it is seen over timber and plaster alike.
    let pale = Stroke::new(cord.width + 2.0, ink(look::CARD).gamma_multiply(0.75));
    for stroke in [pale, cord] {
        painter.vline(x, free.y_range(), stroke);
    }
    let outline = Stroke::new(1.2, ink(look::PENCIL));
    let corner = |(right, down): (f32, f32)| bob + vec2(right, down);
    let points = [
        (-5.0, -20.0),
        (5.0, -20.0),
        (9.0, -13.0),
        (9.0, 0.0),
        (0.0, 20.0),
    ];
    let body = points.into_iter().chain([(-9.0, 0.0), (-9.0, -13.0)]);
    let body = body.map(corner).collect();
    painter.add(Shape::convex_polygon(body, ink(look::BRASS), outline));
    for side in [-1.0, 1.0] {
        let tip = corner((side * 22.0, -7.0));
        let back = [tip + vec2(-side * 7.0, -5.0), tip + vec2(-side * 7.0, 5.0)];
        let head = vec![back[0], tip, back[1]];
        painter.add(Shape::convex_polygon(head, ink(look::CARD), outline));
    }
    let pointer = hand.dragged().then(|| hand.interact_pointer_pos())??;
    Some(f64::from((pointer.x - free.left()) / free.width().max(1.0)))
}

/// A half's name, and under it what decides.
fn label(painter: &Painter, at: Pos2, anchor: Align2, half: &Half, measured: bool) {
    let lay = |text: &str, size: f32, colour: look::Tone| {
        let font = egui::FontId::proportional(size);
        painter.layout_no_wrap(text.to_owned(), font, ink(colour))
    };
    let mut lines = vec![lay(&half.name, 17.0, look::CHALK)];
    let figures = half.figures.iter().filter(|_| measured);
    lines.extend(figures.map(|figure| lay(figure, 13.0, look::PENCIL)));
    let width = lines.iter().map(|line| line.size().x).fold(0.0, f32::max);
    let height = lines.iter().map(|line| line.size().y + 1.0).sum::<f32>();
    let card = anchor
        .anchor_size(at, vec2(width, height))
        .expand2(vec2(8.0, 5.0));
    let shift = match anchor {
        Align2::RIGHT_TOP => -8.0,
        _ => 8.0,
    };
    let card = card.translate(vec2(shift, 5.0));
    painter.rect_filled(card, 2.0, ink(look::CARD).gamma_multiply(0.9));
    let mut y = card.top() + 5.0;
    for line in lines {
        let x = match anchor {
            Align2::RIGHT_TOP => card.right() - 8.0 - line.size().x,
            _ => card.left() + 8.0,
        };
        let tall = line.size().y + 1.0;
        painter.galley(pos2(x, y), line, ink(look::PENCIL));
        y += tall;
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, paint.after(flags::paint));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_is_cut_out_of_the_whole_by_shares() {
        let whole = Rect::from_min_size(Pos2::ZERO, vec2(1000.0, 500.0));
        let part = Rect::from_min_max(pos2(250.0, 100.0), pos2(500.0, 500.0));
        let cut = share(part, whole);
        assert_eq!(cut, Rect::from_min_max(pos2(0.25, 0.2), pos2(0.5, 1.0)));
    }
}
