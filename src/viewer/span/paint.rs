//! The tape as it is drawn over the picture: a yellow ribbon with its marks between the two places, and
//! what it reads on a slip beside it. Text keeps its size at every distance.

use bevy::math::Vec3;
use bevy::prelude::{App, Camera, GlobalTransform, IntoScheduleConfigs as _, Query, Res};
use bevy_egui::egui::{
    self, Align2, CornerRadius, FontId, LayerId, Painter, Pos2, Rect, Shape, Stroke, vec2,
};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::Point3;

use crate::chain::Taped;
use crate::inspect::span::{Hook, Span};
use crate::measure::{Length, Tape, Unit};

use super::super::eye::Mine;
use super::super::flags::FreeRect;
use super::super::look::{self, ink};
use super::super::scene::Shown;
use super::super::{Mood, Showing, Solved, convert};
use super::{Laying, Noted};

/// Width of the ribbon, points.
const RIBBON: f32 = 5.0;
/// Marks nearer than this are left out, points.
const MARKS_APART: f32 = 5.0;
/// And more than so many.
const MOST_MARKS: f64 = 240.0;

/// An angle in degrees and as rise in run.
pub(in crate::viewer) fn angle_words(span: &Span, tape: Tape) -> Option<String> {
    let degrees = span.angle?.print_degrees(2);
    let (run, says) = match tape.unit() {
        Unit::Inches => (Length::inches(12.0), "12 in"),
        Unit::Millimetres => (Length::mm(1000.0), "1000 mm"),
    };
    Some(match span.rise_in(run) {
        Some(rise) => format!("{degrees}, {} in {says}", tape.print(rise)),
        None => degrees,
    })
}

/// What a tape reads, for the slip beside it: the clear distance, then the rest.
fn told(span: &Span, tape: Tape) -> [String; 3] {
    let along = if span.up_flight.abs() > tape.mark() {
        format!("along the rake {}", tape.print(span.along_rake))
    } else {
        String::new()
    };
    let angle = angle_words(span, tape).map(|angle| format!("angle {angle}"));
    let more = [Some(along).filter(|along| !along.is_empty()), angle];
    [
        format!("{} clear", tape.print(span.clear)),
        format!(
            "plumb {}, level {}",
            tape.print(span.plumb),
            tape.print(span.level)
        ),
        more.into_iter().flatten().collect::<Vec<_>>().join("; "),
    ]
}

/// What is painted over.
#[derive(bevy::ecs::system::SystemParam)]
struct Seen<'w, 's> {
    solved: Option<Res<'w, Solved>>,
    shown: Option<Res<'w, Shown>>,
    showing: Res<'w, Showing>,
    laying: Res<'w, Laying>,
    noted: Res<'w, Noted>,
    free: Option<Res<'w, FreeRect>>,
    cameras: Query<'w, 's, (&'static Camera, &'static GlobalTransform), Mine>,
}

impl Seen<'_, '_> {
    fn on_picture(&self, at: Vec3) -> Option<Pos2> {
        let (camera, place) = self.cameras.single().ok()?;
        let at = camera.world_to_viewport(place, at).ok()?;
        Some(Pos2::new(at.x, at.y))
    }

    /// A place of the stair as drawn.
    fn drawn(&self, at: &Point3<f64>) -> Option<Pos2> {
        self.on_picture(convert::point(at))
    }

    /// The two ends of a tape, where they are drawn: they go with their parts.
    fn ends(&self, taped: &Taped, shown: &Shown) -> Option<[Point3<f64>; 2]> {
        let (span, from, to) = (taped.span?, taped.from.as_ref()?, taped.to.as_ref()?);
        let place = |at: &Point3<f64>, hook: &Hook| {
            shown.place(at, std::slice::from_ref(&hook.hooked.part))
        };
        // Not stretched it lies where it was measured.
        if self.showing.stretch > 1.0 {
            Some([place(&span.from, from), place(&span.to, to)])
        } else {
            Some([span.from, span.to])
        }
    }

    /// The ribbon between two places, with a mark for every inch or fifty millimetres of the tape.
    fn ribbon(&self, painter: &Painter, ends: &[Point3<f64>; 2], clear: Length, tape: Tape) {
        let [Some(a), Some(b)] = [&ends[0], &ends[1]].map(|at| self.drawn(at)) else {
            return;
        };
        let along = (b - a).normalized();
        let aside = along.rot90();
        let pencil = ink(look::PENCIL);
        if (b - a).length() < 2.0 {
            painter.circle_stroke(a, 6.0, Stroke::new(2.0, pencil));
            return;
        }
        painter.line_segment([a, b], Stroke::new(RIBBON + 2.0, pencil));
        painter.line_segment([a, b], Stroke::new(RIBBON, ink(look::TAPE)));
        let every = match tape.unit() {
            Unit::Inches => Length::inches(1.0),
            Unit::Millimetres => Length::mm(50.0),
        };
        let count = (clear / every).floor();
        let apart = (b - a).length() * convert::single(every / clear.max(every));
        if count <= MOST_MARKS && apart >= MARKS_APART {
            let mut mark = 1.0;
            while mark <= count {
                let at = ends[0] + (ends[1] - ends[0]) * (every * mark / clear);
                if let Some(at) = self.drawn(&at) {
                    let half = aside * RIBBON * 0.5;
                    painter.line_segment([at - half, at + half * 0.2], Stroke::new(1.0, pencil));
                }
                mark += 1.0;
            }
        }
        for end in [a, b] {
            let half = aside * (RIBBON + 2.5);
            painter.line_segment([end - half, end + half], Stroke::new(2.5, pencil));
        }
    }

    /// Level from the first end to under (or over) the other, and plumb from there.
    fn legs(&self, painter: &Painter, ends: &[Point3<f64>; 2]) {
        let [from, to] = ends;
        let turn = Point3::new(to.x, to.y, from.z);
        let seen = [from, &turn, to].map(|at| self.drawn(at));
        let [Some(a), Some(b), Some(c)] = seen else {
            return;
        };
        let stroke = Stroke::new(1.4, ink(look::PENCIL_SOFT));
        painter.extend(Shape::dashed_line(&[a, b, c], stroke, 6.0, 4.0));
    }

    /// What the tape in hand is over.
    fn hook(&self, painter: &Painter, hook: &Hook, colour: look::Tone) {
        let stroke = Stroke::new(3.0, ink(colour));
        for piece in &hook.hold.pieces {
            let seen: Option<Vec<Pos2>> = piece.iter().map(|at| self.drawn(at)).collect();
            let Some(seen) = seen else { continue };
            match seen.as_slice() {
                [at] => {
                    painter.circle_stroke(*at, 7.0, stroke);
                }
                [_, _] => {
                    painter.add(Shape::line(seen, stroke));
                }
                _ if hook.hold.way.is_some() => {
                    painter.add(Shape::closed_line(seen, Stroke::new(2.0, ink(colour))));
                }
                _ => {}
            }
        }
    }
}

/// Lines of text on a slip of paper beside a place, kept within the picture.
fn slip(painter: &Painter, free: Rect, at: Pos2, lines: &[(String, f32)]) {
    let pencil = ink(look::PENCIL);
    let galleys: Vec<_> = lines
        .iter()
        .filter(|(text, _)| !text.is_empty())
        .map(|(text, size)| {
            painter.layout(text.clone(), FontId::proportional(*size), pencil, 300.0)
        })
        .collect();
    let width = galleys.iter().map(|one| one.size().x).fold(0.0, f32::max);
    let height: f32 = galleys.iter().map(|one| one.size().y).sum();
    let pad = vec2(7.0, 4.0);
    let size = vec2(width, height) + pad * 2.0;
    let rect = Align2::LEFT_CENTER.anchor_size(at + vec2(14.0, 0.0), size);
    let room = free.shrink(4.0);
    let keep = |low: f32, high: f32, least: f32, most: f32| {
        (least - low).max(0.0) + (most - high).min(0.0)
    };
    let rect = rect.translate(vec2(
        keep(rect.left(), rect.right(), room.left(), room.right()),
        keep(rect.top(), rect.bottom(), room.top(), room.bottom()),
    ));
    painter.rect(
        rect,
        CornerRadius::same(2),
        ink(look::CARD).gamma_multiply(0.94),
        Stroke::new(1.0, ink(look::PENCIL_LIGHT)),
        egui::StrokeKind::Inside,
    );
    let mut place = rect.min + pad;
    for galley in galleys {
        let down = galley.size().y;
        painter.galley(place, galley, pencil);
        place.y += down;
    }
}

fn paint(mut contexts: EguiContexts, seen: Seen) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(solved), Some(shown)) = (&seen.solved, &seen.shown) else {
        return Ok(());
    };
    if seen.showing.mood == Mood::Show {
        return Ok(());
    }
    let free = seen.free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let tape = solved.job.tape;
    for (note, taped) in &seen.noted.all {
        let (Some(ends), Some(span)) = (seen.ends(taped, shown), taped.span) else {
            continue;
        };
        let middle = seen.drawn(&nalgebra::center(&ends[0], &ends[1]));
        let Some(middle) = middle.filter(|at| free.contains(*at)) else {
            continue;
        };
        seen.ribbon(&painter, &ends, span.clear, tape);
        let clear = tape.print(span.clear);
        let says = match note.says.as_str() {
            "" => clear,
            says => format!("{says}: {clear}"),
        };
        slip(&painter, free, middle, &[(says, 13.0)]);
    }
    in_hand(&painter, free, &seen, shown, tape);
    Ok(())
}

/// The tape in hand: what it is over, what it is hooked on, what it reads.
fn in_hand(painter: &Painter, free: Rect, seen: &Seen, shown: &Shown, tape: Tape) {
    let laying = &seen.laying;
    if !laying.out {
        return;
    }
    if let (Some(first), None) = (&laying.first, &laying.reads) {
        seen.hook(painter, first, look::INDELIBLE);
    }
    if let Some(hook) = &laying.over {
        seen.hook(painter, hook, look::CHALK);
        if let Some(at) = seen.drawn(&hook.middle) {
            slip(painter, free, at, &[(hook.says.clone(), 12.5)]);
        }
    }
    let Some((_, taped)) = &laying.reads else {
        return;
    };
    let (Some(ends), Some(span)) = (seen.ends(taped, shown), taped.span) else {
        return;
    };
    seen.legs(painter, &ends);
    seen.ribbon(painter, &ends, span.clear, tape);
    let [clear, plumb, more] = told(&span, tape);
    let mut lines = vec![(clear, 16.0), (plumb, 12.5), (more, 12.5)];
    if seen.showing.stretch > 1.0 {
        lines.push(("measured as found, not as drawn".to_owned(), 12.0));
    }
    if let Some(at) = seen.drawn(&nalgebra::center(&ends[0], &ends[1])) {
        slip(painter, free, at, &lines);
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(
        EguiPrimaryContextPass,
        paint.after(super::super::flags::paint),
    );
}
