//! The grips in the picture: an awl's mark in a ring with a pencil bracket on either side, the way that
//! it goes; and what is said beside the pointer while one is held.

use bevy::math::Vec2 as Place2;
use bevy::prelude::{Camera, GlobalTransform, MessageWriter, Query, Res};
use bevy_egui::EguiContexts;
use bevy_egui::egui::{
    self, Align2, Color32, CornerRadius, FontId, Id, LayerId, Painter, Pos2, Rect, Sense, Shape,
    Stroke, Vec2, vec2,
};
use nalgebra::{Point3, Vector3};

use crate::explain::handle::{Handle, Value};
use crate::measure::{Length, Tape};

use super::super::eye::Mine;
use super::super::flags::FreeRect;
use super::super::look::{self, ink};
use super::super::recompute::Work;
use super::super::scene::Shown;
use super::super::session::{Action, Change, Session};
use super::super::{Solved, convert};
use super::aim::{Aim, aim};
use super::line::{Ray, along};
use super::{Ask, Hand, Held, card};

/// The side of a grip to press on, points.
const SIZE: f32 = 34.0;
/// Radius of its ring.
const RING: f32 = 11.0;
/// A place in reach of the pointer is stopped at: so many points.
const REACH: f64 = 9.0;
/// But never from further off than this.
const REACH_MOST: Length = Length::inches(1.0);
/// The way is seen by so much of it, mm.
const SEEN_MM: f64 = 40.0;
/// The line that it goes along is drawn so far to either side, points.
const GUIDE: f32 = 150.0;
/// A way that is shorter than this in the picture is seen end on.
const LEAST_WAY: f32 = 0.12;

/// What the grips read.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Seen<'w, 's> {
    hand: Res<'w, Hand>,
    solved: Option<Res<'w, Solved>>,
    shown: Option<Res<'w, Shown>>,
    session: Res<'w, Session>,
    work: Res<'w, Work>,
    free: Option<Res<'w, FreeRect>>,
    cameras: Query<'w, 's, (&'static Camera, &'static GlobalTransform), Mine>,
}

impl Seen<'_, '_> {
    /// Points of the panels' library in one of the camera's.
    fn scale(&self, ctx: &egui::Context) -> f32 {
        let camera = self.cameras.single().ok();
        let window = camera.and_then(|(camera, _)| camera.target_scaling_factor());
        window.unwrap_or(1.0) / ctx.pixels_per_point()
    }

    /// Where a place of the shown stair lies in the picture.
    fn on_picture(&self, at: &Point3<f64>, scale: f32) -> Option<Pos2> {
        let (camera, place) = self.cameras.single().ok()?;
        let at = camera.world_to_viewport(place, convert::point(at)).ok()?;
        Some(Pos2::new(at.x, at.y) * scale)
    }

    /// The eye's ray through a place of the picture.
    fn ray(&self, at: Pos2, scale: f32) -> Option<Ray> {
        let (camera, place) = self.cameras.single().ok()?;
        let at = Place2::new(at.x / scale, at.y / scale);
        let ray = camera.viewport_to_world(place, at).ok()?;
        Some(Ray {
            from: convert::back(ray.origin),
            into: convert::back(*ray.direction).coords,
        })
    }
}

/// A grip as it stands in the picture.
struct Grip<'a> {
    handle: &'a Handle,
    /// Where it is drawn, in the picture and in the first run's frame.
    at: Pos2,
    drawn: Point3<f64>,
    /// The way it goes in the picture, of length one where it is square to the eye; and how many
    /// points are a millimetre of it.
    way: Vec2,
    points_per_mm: f64,
}

impl<'a> Grip<'a> {
    fn of(seen: &Seen, scale: f32, handle: &'a Handle, drawn: Point3<f64>) -> Option<Self> {
        let at = seen.on_picture(&drawn, scale)?;
        let there = |way: Vector3<f64>| Some(seen.on_picture(&(drawn + way), scale)? - at);
        let went = there(handle.way * SEEN_MM)?;
        // How long the same length is where it lies square to the eye.
        let square = [Vector3::x(), Vector3::y(), Vector3::z()];
        let lengths = square.into_iter().filter_map(|axis| there(axis * SEEN_MM));
        let most = lengths.map(Vec2::length).fold(went.length(), f32::max);
        Some(Self {
            handle,
            at,
            drawn,
            way: went / most.max(f32::MIN_POSITIVE),
            points_per_mm: f64::from(went.length()) / SEEN_MM,
        })
    }

    /// So near to the pointer a place is stopped at.
    fn reach(&self, tape: Tape) -> Length {
        let reach = Length::mm(REACH / self.points_per_mm.max(f64::MIN_POSITIVE));
        reach.min(REACH_MOST).max(tape.mark() * 0.6)
    }
}

/// Draws the grips and reads what the pointer does with them.
pub(super) fn draw(
    mut contexts: EguiContexts,
    seen: Seen,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(solved), Some(shown)) = (&seen.solved, &seen.shown) else {
        return Ok(());
    };
    if seen.hand.handles.is_empty() && !seen.hand.holds() {
        return Ok(());
    }
    let free = seen.free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let scale = seen.scale(ctx);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    if let Some(held) = &seen.hand.held {
        let went = held.handle.way * held.handle.along(held.aim.value);
        let Some(grip) = Grip::of(&seen, scale, &held.handle, held.drawn + went) else {
            return Ok(());
        };
        guide(&painter, &seen, (held, &grip), scale);
        let response = button(ctx, &grip, seen.hand.lit.unwrap_or(0), true);
        let tape = solved.job.tape;
        actions.write_batch(pulled(ctx, &seen, (held, &grip), &response, (scale, tape)));
        beside_pointer(ctx, (grip.at, free), held, tape);
        show_card(ctx, &seen, solved, (grip.at, free), &mut actions);
        return Ok(());
    }
    let mut card_at = None;
    for (index, handle) in seen.hand.handles.iter().enumerate() {
        let drawn = shown.place(&handle.at, std::slice::from_ref(&handle.part));
        let Some(grip) = Grip::of(&seen, scale, handle, drawn) else {
            continue;
        };
        if !free.shrink(4.0).contains(grip.at) {
            continue;
        }
        let lit = seen.hand.lit == Some(index);
        bevy::log::debug!(
            "grip of {}: {} at {:.0} {:.0}",
            handle.part,
            index,
            grip.at.x,
            grip.at.y
        );
        let response = button(ctx, &grip, index, lit);
        actions.write_batch(touched(ctx, &seen, &grip, (index, &response), scale));
        if lit {
            card_at = Some(grip.at);
        }
    }
    if let Some(at) = card_at {
        show_card(ctx, &seen, solved, (at, free), &mut actions);
    }
    Ok(())
}

fn show_card(
    ctx: &egui::Context,
    seen: &Seen,
    solved: &Solved,
    at: (Pos2, Rect),
    actions: &mut MessageWriter<Action>,
) {
    let waits = seen.work.stale();
    if let Some(view) = card::view(&seen.hand, solved, waits) {
        let job = seen.session.document.job();
        actions.write_batch(card::show(ctx, at, &view, (&seen.hand, job)));
    }
}

/// What is asked of a grip that is not held: a press that moves takes hold of it, one that does not
/// chooses it for the keys, as the Tab key does.
fn touched(
    ctx: &egui::Context,
    seen: &Seen,
    grip: &Grip,
    (index, response): (usize, &egui::Response),
    scale: f32,
) -> Option<Action> {
    if response.drag_started_by(egui::PointerButton::Primary) {
        let from = ctx.input(|input| input.pointer.press_origin())?;
        let ray = seen.ray(from, scale)?;
        let grabbed = along(&ray, &grip.drawn, &grip.handle.way)?;
        return Some(Action::Hand(Ask::Take(index, grabbed)));
    }
    let focused = response.gained_focus();
    if response.has_focus() {
        // Keys that move it are the window's, not the panels'.
        ctx.memory_mut(|memory| memory.surrender_focus(response.id));
    }
    (response.clicked() || focused).then_some(Action::Hand(Ask::Light(index)))
}

/// What the pointer does with what is held.
fn pulled(
    ctx: &egui::Context,
    seen: &Seen,
    (held, grip): (&Held, &Grip),
    response: &egui::Response,
    (scale, tape): (f32, Tape),
) -> Vec<Action> {
    let down = ctx.input(|input| input.pointer.primary_down());
    let pointer = ctx.input(|input| input.pointer.latest_pos());
    let free = ctx.input(|input| input.modifiers.alt);
    let aimed = pointer.and_then(|pointer| {
        let ray = seen.ray(pointer, scale)?;
        let there = along(&ray, &held.drawn, &held.handle.way)? - held.grabbed;
        let stops = (seen.hand.stops(&held.handle), grip.reach(tape));
        Some(aim(&held.handle, there, stops, free, tape))
    });
    let aimed = aimed.unwrap_or_else(|| held.aim.clone());
    if response.drag_stopped() || !down {
        return let_go(held, &aimed);
    }
    if aimed == held.aim {
        return Vec::new();
    }
    let mut asked = vec![Action::Hand(Ask::Hold(aimed.clone()))];
    if aimed.value != held.aim.value {
        asked.extend(tried(&held.handle, aimed.value));
    }
    asked
}

/// The action that tries a value.
fn tried(handle: &Handle, value: Value) -> Option<Action> {
    let change = Change::Set(vec![handle.edit(value)?]);
    Some(Action::Try(Some(change)))
}

/// Letting go makes what was tried; where that is what it was, nothing is made.
fn let_go(held: &Held, aimed: &Aim) -> Vec<Action> {
    let made = super::make(&held.handle, aimed.value).filter(|_| aimed.value != held.handle.now());
    vec![Action::Hand(Ask::Let), made.unwrap_or(Action::Try(None))]
}

/// The place to press on, and the grip in it.
fn button(ctx: &egui::Context, grip: &Grip, index: usize, lit: bool) -> egui::Response {
    let side = vec2(SIZE, SIZE);
    let area = egui::Area::new(Id::new(("grip", index)))
        .order(egui::Order::Middle)
        .fixed_pos(grip.at - side / 2.0)
        .constrain(false)
        .fade_in(false);
    let shown = area.show(ctx, |ui| {
        let (rect, response) = ui.allocate_exact_size(side, Sense::click_and_drag());
        let over = response.hovered() || response.is_pointer_button_down_on();
        let painter = ui.painter().clone().with_clip_rect(rect.expand(24.0));
        paint(&painter, grip, lit || over);
        let says = format!("{}: pull it, or H and the keys", grip.handle.what);
        response
            .on_hover_cursor(egui::CursorIcon::Grab)
            .on_hover_text(says)
    });
    shown.inner
}

/// An awl's mark in a ring, and a pencil bracket on either side along its way.
fn paint(painter: &Painter, grip: &Grip, strong: bool) {
    let (colour, width) = if strong {
        (ink(look::CHALK), 2.2)
    } else {
        (ink(look::PENCIL), 1.5)
    };
    let stroke = Stroke::new(width, colour);
    painter.circle_filled(grip.at, RING + 3.0, ink(look::CARD).gamma_multiply(0.9));
    painter.circle_stroke(grip.at, RING, stroke);
    // The prick of the awl, with the little cross that finds it again.
    for arm in [vec2(4.0, 0.0), vec2(0.0, 4.0)] {
        let fine = Stroke::new(1.0, colour);
        painter.line_segment([grip.at - arm, grip.at + arm], fine);
    }
    painter.circle_filled(grip.at, 1.9, colour);
    if grip.way.length() < LEAST_WAY {
        return;
    }
    let way = grip.way.normalized();
    let aside = way.rot90();
    for side in [1.0_f32, -1.0] {
        let tip = grip.at + way * (side * (RING + 10.0));
        let back = tip - way * (side * 6.0);
        let line = vec![back + aside * 6.0, tip, back - aside * 6.0];
        painter.add(Shape::line(
            line.clone(),
            Stroke::new(width + 3.0, ink(look::CARD)),
        ));
        painter.add(Shape::line(line, stroke));
    }
}

/// The line that it goes along, where it stood, and the stops on it.
fn guide(painter: &Painter, seen: &Seen, (held, grip): (&Held, &Grip), scale: f32) {
    if grip.way.length() < LEAST_WAY {
        return;
    }
    let way = grip.way.normalized();
    let line = [grip.at - way * GUIDE, grip.at + way * GUIDE];
    let under = Stroke::new(3.4, ink(look::CARD).gamma_multiply(0.8));
    painter.line_segment(line, under);
    let pencil = Stroke::new(1.2, ink(look::PENCIL_SOFT));
    painter.extend(Shape::dashed_line(&line, pencil, 7.0, 4.0));
    let on_line = |value: Value| {
        let there = held.drawn + held.handle.way * held.handle.along(value);
        seen.on_picture(&there, scale)
    };
    let aside = way.rot90();
    for stop in seen.hand.stops(&held.handle) {
        let Some(at) = on_line(Value::Length(stop.is)) else {
            continue;
        };
        if at.distance(grip.at) > GUIDE {
            continue;
        }
        let here = held.aim.place.as_ref() == Some(stop);
        let (reach, stroke) = if here {
            (17.0, Stroke::new(2.2, ink(look::CHALK)))
        } else {
            (7.0, Stroke::new(1.4, ink(look::PENCIL)))
        };
        painter.line_segment([at - aside * reach, at + aside * reach], stroke);
    }
    if let Some(was) = on_line(held.handle.now()) {
        painter.circle_filled(was, 4.5, ink(look::CARD));
        painter.circle_stroke(was, 4.5, Stroke::new(1.4, ink(look::PENCIL_SOFT)));
    }
}

/// What is said beside the pointer: the stop in force, or how far it went.
fn beside_pointer(ctx: &egui::Context, (grip, free): (Pos2, Rect), held: &Held, tape: Tape) {
    let Some(pointer) = ctx.input(|input| input.pointer.latest_pos()) else {
        return;
    };
    let (says, colour) = match &held.aim.place {
        Some(place) => (place.says.clone(), ink(look::CHALK)),
        None => {
            let went = card::went(&held.handle, held.aim.value, tape);
            let says = went.unwrap_or_else(|| "where it was".to_owned());
            (says, ink(look::PENCIL))
        }
    };
    let layer = LayerId::new(egui::Order::Tooltip, Id::new("grip words"));
    let painter = Painter::new(ctx.clone(), layer, free);
    // The card stands on the other side.
    let (anchor, aside) = if card::right_of(grip, free) {
        (Align2::RIGHT_BOTTOM, 14.0)
    } else {
        (Align2::LEFT_BOTTOM, -14.0)
    };
    let at = (anchor, pointer + vec2(aside, -32.0));
    words(&painter, free, at, &says, colour);
}

fn words(painter: &Painter, free: Rect, (anchor, at): (Align2, Pos2), says: &str, colour: Color32) {
    let galley = painter.layout_no_wrap(says.to_owned(), FontId::proportional(13.5), colour);
    let rect = anchor.anchor_size(at, galley.size());
    let rect = rect.expand2(vec2(7.0, 4.0));
    let inside = Vec2::new(
        (free.left() + 6.0 - rect.left()).max(0.0) + (free.right() - 6.0 - rect.right()).min(0.0),
        (free.top() + 6.0 - rect.top()).max(0.0),
    );
    let rect = rect.translate(inside);
    let edge = Stroke::new(1.0, colour);
    painter.rect(
        rect,
        CornerRadius::same(2),
        ink(look::CARD),
        edge,
        egui::StrokeKind::Middle,
    );
    painter.galley(rect.min + vec2(7.0, 4.0), galley, colour);
}
