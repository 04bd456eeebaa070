//! What is drawn over the picture at a constant size: flags on the troubles, readings beside the
//! plumb bobs, the scale of the walls, and by how much departures are stretched.
//!
//! One painter serves window and picture alike.

use bevy::math::Vec3;
use bevy::prelude::{
    App, Camera, GlobalTransform, IntoScheduleConfigs as _, MessageWriter, Query, Res, Resource,
};
use bevy_egui::egui::{
    self, Align2, Color32, CornerRadius, FontId, LayerId, Painter, Pos2, Rect, Shape, Stroke, Vec2,
    vec2,
};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use crate::inspect::{Finding, Opening, Severity, let_stand};
use crate::job::Job;
use crate::measure::Tape;

use super::divide::Divided;
use super::eye::Mine;
use super::look::{self, ink};
use super::panels::Odds;
use super::scene::{Bobs, Departures, Shown, Tips, opening_of};
use super::session::{Action, Session};
use super::sure::{Drawn, Sure};
use super::{Mood, Pick, Place, Showing, Solved, convert, dims, fan_words};

/// Height of a flag's pin, points.
const PIN: f32 = 30.0;
/// In a narrower picture words do not stand beside the scale of the walls, points.
const SCALE_BESIDE: f32 = 470.0;
/// A slip is pulled into the picture from so far at most, points.
const SLIP_PULLED: f32 = 26.0;
/// Slips nearer than this would lie on each other, points.
const SLIP_APART: f32 = 26.0;
/// How near a click must be to a flag's cloth, points.
const NEAR: f32 = 13.0;

/// The part of the window that is free of panels, points; the whole where there are none.
#[derive(Resource, Clone, Copy, Debug)]
pub(super) struct FreeRect(pub(super) Rect);

/// What is written along the foot of a measured picture takes up so much of it, points.
pub(super) const FOOT_ROOM: f32 = 82.0;

/// A flag where it stands in the picture.
struct Flag<'a> {
    foot: Pos2,
    finding: &'a Finding,
    picked: bool,
    /// The job lets it stand: it is there, and quieter.
    stands: Option<&'a str>,
}

impl Flag<'_> {
    /// The middle of its cloth.
    fn cloth(&self) -> Pos2 {
        self.foot + vec2(8.0, -PIN + 7.0)
    }
}

/// The mark of a severity: a swallowtail to stop, a pennant to fix, a ring to remark. Shape and
/// word tell them apart without colour.
pub(super) fn mark(painter: &Painter, at: Pos2, severity: Severity, size: f32, scale: f32) {
    let colour = ink(look::severity_ink(severity));
    let edge = Stroke::new(1.2 * scale, ink(look::PENCIL));
    let (w, h) = (size * 0.62, size * 0.42);
    match severity {
        Severity::Stop => {
            let notch = at + vec2(w * 0.45, 0.0);
            let [a, b, c, d] =
                [vec2(-w, -h), vec2(w, -h), vec2(w, h), vec2(-w, h)].map(|off| at + off);
            // The tails overlap the cloth, or a seam would shine through.
            painter.rect_filled(Rect::from_two_pos(a, notch + vec2(0.0, h)), 0.0, colour);
            for tail in [b, c] {
                let root = Pos2::new(at.x, tail.y);
                let points = vec![root, tail, notch, at];
                painter.add(Shape::convex_polygon(points, colour, Stroke::NONE));
            }
            painter.add(Shape::closed_line(vec![a, b, notch, c, d], edge));
        }
        Severity::Fix => {
            let points = [vec2(-w, -h), vec2(w, 0.0), vec2(-w, h)].map(|off| at + off);
            painter.add(Shape::convex_polygon(points.to_vec(), colour, edge));
        }
        Severity::Remark => {
            painter.circle(at, h, ink(look::CARD), Stroke::new(2.0 * scale, colour));
        }
    }
}

/// The mark of a trouble that is let stand: its shape alone, in a light pencil.
pub(super) fn mark_quiet(painter: &Painter, at: Pos2, severity: Severity, size: f32) {
    let edge = Stroke::new(1.3, ink(look::PENCIL_SOFT));
    let (w, h) = (size * 0.62, size * 0.42);
    let points = match severity {
        Severity::Stop => vec![
            vec2(-w, -h),
            vec2(w, -h),
            vec2(w * 0.45, 0.0),
            vec2(w, h),
            vec2(-w, h),
        ],
        Severity::Fix => vec![vec2(-w, -h), vec2(w, 0.0), vec2(-w, h)],
        Severity::Remark => {
            painter.circle_stroke(at, h, edge);
            return;
        }
    };
    let points = points.into_iter().map(|off| at + off).collect();
    painter.add(Shape::closed_line(points, edge));
}

/// One flag: a pin with its head in the place, and the mark as its cloth.
fn fly(painter: &Painter, flag: &Flag) {
    let scale = if flag.picked { 1.25 } else { 1.0 };
    let pencil = if flag.stands.is_some() {
        look::PENCIL_SOFT
    } else {
        look::PENCIL
    };
    let head = flag.foot - vec2(0.0, PIN * scale);
    if flag.picked {
        let ring = Stroke::new(2.0, ink(look::CHALK));
        painter.circle_stroke(flag.foot, 9.0, ring);
    }
    painter.line_segment([flag.foot, head], Stroke::new(1.6 * scale, ink(pencil)));
    painter.circle_filled(flag.foot, 2.2 * scale, ink(pencil));
    let cloth = head + vec2(8.5, 6.0) * scale;
    if flag.stands.is_some() {
        mark_quiet(painter, cloth, flag.finding.severity, 12.0 * scale);
    } else {
        mark(painter, cloth, flag.finding.severity, 13.0 * scale, scale);
    }
}

/// The place that a slip of paper takes.
pub(super) fn slip_size(
    painter: &Painter,
    at: Pos2,
    anchor: Align2,
    text: &str,
    size: f32,
) -> Rect {
    let font = FontId::proportional(size);
    let galley = painter.layout_no_wrap(text.to_owned(), font, ink(look::PENCIL));
    anchor
        .anchor_size(at, galley.size())
        .expand2(vec2(4.0, 2.0))
}

/// A slip that would be cut off at the edge of the picture moves inside it; what lies outside stays
/// there.
fn drawn_in(slip: Rect, picture: Rect) -> Rect {
    if !picture.expand(SLIP_PULLED).contains_rect(slip) {
        return slip;
    }
    let into =
        |low: f32, high: f32, from: f32, to: f32| (from - low).max(0.0) - (high - to).max(0.0);
    slip.translate(vec2(
        into(slip.left(), slip.right(), picture.left(), picture.right()),
        into(slip.top(), slip.bottom(), picture.top(), picture.bottom()),
    ))
}

/// Text on a slip of paper.
pub(super) fn slip(
    painter: &Painter,
    at: Pos2,
    anchor: Align2,
    text: &str,
    size: f32,
    colour: Color32,
) {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(size), colour);
    let rect = anchor
        .anchor_size(at, galley.size())
        .expand2(vec2(4.0, 2.0));
    let rect = drawn_in(rect, painter.clip_rect().shrink(2.0));
    painter.rect_filled(
        rect,
        CornerRadius::same(2),
        ink(look::CARD).gamma_multiply(0.88),
    );
    painter.galley(rect.min + vec2(4.0, 2.0), galley, colour);
}

/// The scale of the walls, in marks of the tape.
fn legend(painter: &Painter, free: Rect, departures: &Departures, tape: Tape) {
    let Some(most) = departures.most else { return };
    let (width, height) = (210.0, 11.0);
    let left_top = free.right_bottom() - vec2(width + 30.0, 58.0);
    let bar = Rect::from_min_size(left_top, vec2(width, height));
    painter.rect_filled(
        bar.expand2(vec2(22.0, 26.0)).translate(vec2(0.0, 1.0)),
        CornerRadius::same(3),
        ink(look::CARD).gamma_multiply(0.86),
    );
    let cells = 60_i16;
    for cell in 0..cells {
        let share = |i: i16| -1.0 + 2.0 * f32::from(i) / f32::from(cells);
        let x = |i: i16| egui::lerp(bar.x_range(), f32::from(i) / f32::from(cells));
        let rect = Rect::from_x_y_ranges(x(cell)..=x(cell + 1) + 0.5, bar.y_range());
        let middle = f32::midpoint(share(cell), share(cell + 1));
        painter.rect_filled(rect, CornerRadius::ZERO, look::departure_ink(middle));
    }
    let pencil = Stroke::new(1.0, ink(look::PENCIL));
    painter.rect_stroke(bar, CornerRadius::ZERO, pencil, egui::StrokeKind::Middle);
    for fifth in 0..=4_i16 {
        let share = f64::from(fifth - 2) / 2.0;
        let x = egui::lerp(bar.x_range(), f32::from(fifth) / 4.0);
        painter.vline(x, bar.bottom()..=bar.bottom() + 4.0, pencil);
        let text = tape.print(most * share);
        let at = Pos2::new(x, bar.bottom() + 5.0);
        painter.text(
            at,
            Align2::CENTER_TOP,
            text,
            FontId::proportional(11.0),
            ink(look::PENCIL),
        );
    }
    let title = "wall off plumb: away from the room / into it";
    let at = Pos2::new(bar.center().x, bar.top() - 4.0);
    painter.text(
        at,
        Align2::CENTER_BOTTOM,
        title,
        FontId::proportional(11.5),
        ink(look::PENCIL),
    );
}

/// How far departures are stretched, in words.
pub(super) fn stretch_words(stretch: f64) -> String {
    if stretch > 1.0 {
        let times = (stretch * 10.0).round() / 10.0;
        format!("departures drawn {times} times as large; blue lines are the true stair")
    } else {
        "departures drawn as they are".to_owned()
    }
}

/// What the overlay reads.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Seen<'w, 's> {
    solved: Option<Res<'w, Solved>>,
    shown: Option<Res<'w, Shown>>,
    showing: Res<'w, Showing>,
    bobs: Res<'w, Bobs>,
    departures: Option<Res<'w, Departures>>,
    tips: Res<'w, Tips>,
    sure: Option<Res<'w, Sure>>,
    session: Option<Res<'w, Session>>,
    free: Option<Res<'w, FreeRect>>,
    divided: Option<Res<'w, Divided>>,
    cameras: Query<'w, 's, (&'static Camera, &'static GlobalTransform), Mine>,
}

impl Seen<'_, '_> {
    /// Where a place of the shown stair lies in the picture.
    fn on_picture(&self, at: Vec3) -> Option<Pos2> {
        let (camera, place) = self.cameras.single().ok()?;
        let at = camera.world_to_viewport(place, at).ok()?;
        Some(Pos2::new(at.x, at.y))
    }

    /// What was drawn of the job as it stands; of what is made true for a moment nothing was.
    fn drawn(&self) -> Option<&Drawn> {
        if self.showing.moment {
            return None;
        }
        let (sure, session) = (self.sure.as_ref()?, self.session.as_ref()?);
        sure.current(session).map(|drawn| &**drawn)
    }

    /// Where the rails may come to lie, in words.
    fn fans(&self, painter: &Painter, free: Rect, tape: Tape) {
        for tip in &self.tips.0 {
            if let Some(at) = self.on_picture(convert::point(&tip.at)) {
                fan_words::label(painter, free, at, tip, tape);
            }
        }
        if !self.tips.0.is_empty() {
            fan_words::legend(painter, free.left_bottom() + vec2(10.0, -38.0));
        }
    }

    /// A picked place that is no trouble on the plan has no flag: a ring shows it, and its odds.
    fn ring(&self, painter: &Painter, solved: &Solved, shown: &Shown) {
        let (Some(Pick::Trouble(key)), Some(drawn)) = (&self.showing.picked, self.drawn()) else {
            return;
        };
        let Some(finding) = solved.found.inspection.find(key) else {
            return;
        };
        let place = shown.place(&finding.at, &key.parts);
        let (Some(chance), Some(at)) = (drawn.chance(key), self.on_picture(convert::point(&place)))
        else {
            return;
        };
        let side = if finding.is_trouble() {
            vec2(32.0, -PIN)
        } else {
            painter.circle_stroke(at, 9.0, Stroke::new(2.0, ink(look::CHALK)));
            vec2(16.0, 0.0)
        };
        let says = format!("fails {}", Odds::of(&chance.tally).says);
        slip(
            painter,
            at + side,
            Align2::LEFT_CENTER,
            &says,
            13.0,
            ink(look::PENCIL),
        );
    }

    /// The size of the ball that passes, written under it.
    fn ball(&self, painter: &Painter, opening: &Opening, shown: &Shown, tape: Tape) {
        let centre = shown.place(&opening.at, &opening.between);
        let under = centre - nalgebra::Vector3::z() * (opening.ball.as_mm() / 2.0);
        if let Some(at) = self.on_picture(convert::point(&under)) {
            let text = format!("ball {}", tape.print(opening.ball));
            let at = at + vec2(0.0, 6.0);
            slip(
                painter,
                at,
                Align2::CENTER_TOP,
                &text,
                12.5,
                ink(look::CRAYON),
            );
        }
    }

    /// What a flag is about, why it is let stand, and its odds.
    fn says(&self, finding: &Finding, job: &Job) -> String {
        let mut says = finding.says.clone();
        if let Some(stands) = let_stand(job, finding) {
            says.push_str(&format!("\nLet stand: {}", stands.why.because));
        }
        if let Some(chance) = self.drawn().and_then(|drawn| drawn.chance(&finding.key)) {
            says.push_str(&format!("\nFails {}", Odds::of(&chance.tally).says));
        }
        says
    }

    /// The flags of all troubles.
    fn flags<'a>(&self, troubles: &[&'a Finding], job: &'a Job, shown: &Shown) -> Vec<Flag<'a>> {
        let place = |finding: &Finding| {
            let at = shown.place(&finding.at, &finding.key.parts);
            self.on_picture(convert::point(&at))
        };
        let picked = |one: &Finding| self.showing.picked == Some(Pick::Trouble(one.key.clone()));
        put_out(troubles, job, place, picked)
    }
}

/// Flags at their places, the least first so that the worst lies on top, and what is picked last.
fn put_out<'a>(
    troubles: &[&'a Finding],
    job: &'a Job,
    place: impl Fn(&Finding) -> Option<Pos2>,
    picked: impl Fn(&Finding) -> bool,
) -> Vec<Flag<'a>> {
    let flag = |finding: &&'a Finding| {
        Some(Flag {
            foot: place(finding)?,
            finding,
            picked: picked(finding),
            stands: let_stand(job, finding).map(|stands| stands.why.because.as_str()),
        })
    };
    let mut flags: Vec<Flag> = troubles.iter().rev().filter_map(flag).collect();
    flags.sort_by_key(|flag| flag.picked);
    flags
}

/// Flies the flags of some troubles.
pub(super) fn fly_all(
    painter: &Painter,
    troubles: &[&Finding],
    job: &Job,
    place: impl Fn(&Finding) -> Option<Pos2>,
    picked: impl Fn(&Finding) -> bool,
) {
    for flag in &put_out(troubles, job, place, picked) {
        fly(painter, flag);
    }
}

pub(super) fn paint(
    mut contexts: EguiContexts,
    seen: Seen,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(solved), Some(shown)) = (&seen.solved, &seen.shown) else {
        return Ok(());
    };
    // A dry fit has words of its own.
    if seen.showing.mood == Mood::Show || seen.showing.place == Place::Fit {
        return Ok(());
    }
    let free = seen.free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let free = seen.divided.as_ref().map_or(free, |two| two.right(free));
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let mut said: Option<Pos2> = None;
    for bob in &seen.bobs.0 {
        let at = seen.on_picture(convert::point(&bob.at));
        // Seen from above, head and foot of a thread are one place.
        let apart = |at: &Pos2| said.is_none_or(|said| (said - *at).length() > SLIP_APART);
        if let Some(at) = at.filter(apart) {
            said = Some(at);
            let text = solved.job.tape.print(bob.off);
            slip(
                &painter,
                at + vec2(0.0, -5.0),
                Align2::CENTER_BOTTOM,
                &text,
                11.5,
                ink(look::PENCIL),
            );
        }
    }
    if let Some(Pick::Trouble(key)) = &seen.showing.picked
        && let Some(opening) = opening_of(&solved.found.inspection, key)
    {
        seen.ball(&painter, opening, shown, solved.job.tape);
    }
    if let Some(pick) = &seen.showing.picked {
        let lengths = dims::of_pick(pick, solved);
        dims::draw(&painter, &lengths, shown, solved.job.tape, |at| {
            seen.on_picture(convert::point(at))
        });
    }
    let troubles = solved.found.inspection.troubles();
    let flags = seen.flags(&troubles, &solved.job, shown);
    for flag in &flags {
        fly(&painter, flag);
    }
    seen.ring(&painter, solved, shown);
    seen.fans(&painter, free, solved.job.tape);
    if let Some(departures) = &seen.departures {
        legend(&painter, free, departures, solved.job.tape);
    }
    if let (Some(cause), Some(_)) = (&seen.showing.cause, &solved.base) {
        let text = format!("{} made true, for a moment: Esc goes back", cause.what);
        let at = free.center_top() + vec2(0.0, 14.0);
        slip(
            &painter,
            at,
            Align2::CENTER_TOP,
            &text,
            15.0,
            ink(look::CHALK),
        );
    }
    let mut words = stretch_words(seen.showing.stretch);
    if seen.showing.stretch > 1.0 && !seen.tips.0.is_empty() {
        words = words.replacen("departures", "departures and bands", 1);
    }
    // In a narrow picture they stand over the walls' scale, not under it.
    let scaled = seen.departures.as_ref().is_some_and(|of| of.most.is_some());
    let up = if scaled && free.width() < SCALE_BESIDE {
        96.0
    } else {
        12.0
    };
    let at = free.left_bottom() + vec2(14.0, -up);
    let ghost = if seen.showing.stretch > 1.0 {
        look::CHALK
    } else {
        look::PENCIL_LIGHT
    };
    slip(&painter, at, Align2::LEFT_BOTTOM, &words, 13.0, ink(ghost));
    let says = |finding: &Finding| seen.says(finding, &solved.job);
    hover(ctx, &painter, &flags, (free, &says), &mut actions);
    Ok(())
}

/// Says what a flag is about under the pointer, and picks it on a click.
fn hover(
    ctx: &egui::Context,
    painter: &Painter,
    flags: &[Flag],
    (free, says): (Rect, &dyn Fn(&Finding) -> String),
    actions: &mut MessageWriter<Action>,
) {
    let Some(pointer) = ctx.pointer_hover_pos().filter(|at| free.contains(*at)) else {
        return;
    };
    if ctx.is_pointer_over_egui() {
        return;
    }
    let near = |flag: &&Flag| (flag.cloth() - pointer).length() < NEAR;
    let Some(flag) = flags.iter().rev().find(near) else {
        return;
    };
    let font = FontId::proportional(13.0);
    let galley = painter.layout(says(flag.finding), font, ink(look::PENCIL), 320.0);
    let at = flag.cloth() + vec2(14.0, -galley.size().y / 2.0);
    let rect = Rect::from_min_size(at, galley.size()).expand2(vec2(8.0, 5.0));
    let inside = Vec2::new((free.right() - 8.0 - rect.right()).min(0.0), 0.0);
    let frame = Stroke::new(1.0, ink(look::PENCIL_LIGHT));
    let rect = rect.translate(inside);
    painter.rect(
        rect,
        CornerRadius::same(3),
        ink(look::CARD),
        frame,
        egui::StrokeKind::Middle,
    );
    painter.galley(rect.min + vec2(8.0, 5.0), galley, ink(look::PENCIL));
    if ctx.input(|input| input.pointer.primary_clicked()) {
        actions.write(Action::Frame(Pick::Trouble(flag.finding.key.clone())));
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, paint.after(super::panels::draw));
}
