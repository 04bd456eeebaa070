//! The figures of the dry fit, painted over the picture at a constant size: each mark by its number in
//! the list, what is cut behind, the gap beside, and, once the newel stands, what would stay open. No
//! two lie on each other.

use bevy::math::Vec3;
use bevy::prelude::{App, Camera, GlobalTransform, IntoScheduleConfigs as _, Query, Res};
use bevy_egui::egui::{
    Align2, CornerRadius, FontId, LayerId, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2, vec2,
};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::{Point3, Vector3};

use crate::measure::Tape;
use crate::publish::{FitMark, seen_least};
use crate::setout::dry_fit::Board;
use crate::solids::PartKind;

use super::eye::Mine;
use super::fit::{Fit, Stage};
use super::flags::FreeRect;
use super::look::{self, Tone, ink};
use super::scene::DIMENSION_UP_MM;
use super::{Place, Showing, Solved, convert};

/// Size of the words, points.
const SIZE: f32 = 14.0;
/// How far from its place a slip may stand, nearest first, points.
const RADII: [f32; 5] = [26.0, 44.0, 66.0, 92.0, 124.0];
/// Ways that it may stand off in.
const WAYS: u16 = 16;
/// Slips keep this much between them, points.
const APART: f32 = 4.0;
/// At most so many gaps are written into the picture; the list has them all.
const MOST_OPEN: usize = 4;

/// A figure and the place that it is of.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    at: Point3<f64>,
    text: String,
    ink: Tone,
}

/// The figures of a mark: one in its middle, or one at each end where they differ.
fn of_mark(number: usize, mark: &FitMark) -> Vec<Figure> {
    let [near, far] = &mark.figures;
    let figure = |at: Point3<f64>, text: String| Figure {
        at,
        text,
        ink: look::PENCIL,
    };
    let [from, to] = mark.ends;
    if near == far {
        let text = format!("mark {number}: {}", mark.off);
        vec![figure(nalgebra::center(&from, &to), text)]
    } else {
        vec![
            figure(from, format!("mark {number}: {near}")),
            figure(to, format!("mark {number}: {far}")),
        ]
    }
}

/// What is written about a staged newel, the most needed first.
fn figures(stage: &Stage, down: bool, tape: Tape) -> Vec<Figure> {
    let mut all = Vec::new();
    for one in stage
        .uncut
        .iter()
        .filter(|one| one.part.kind == PartKind::Stringer)
    {
        let corners = one.waste.iter().flat_map(crate::solids::Convex::corners);
        if let Some(bounds) = crate::solids::Bounds::around(corners) {
            all.push(Figure {
                at: bounds.centre(),
                text: format!("{} would be cut: engineer", one.part.name),
                ink: look::CRAYON,
            });
        }
    }
    for one in stage.fits.iter().flat_map(|fit| &fit.beside) {
        let gaps = [(one.foot, Some(one.at_foot)), (one.rail, one.at_rail)];
        for (ends, gap) in gaps {
            if let (Some([a, b]), Some(gap)) = (ends, gap) {
                all.push(Figure {
                    at: nalgebra::center(&a, &b) + Vector3::z() * DIMENSION_UP_MM,
                    text: format!("{} to {}", tape.print(gap), one.other),
                    ink: look::CHALK,
                });
            }
        }
    }
    let numbered = stage
        .told
        .iter()
        .flat_map(|(_, told)| &told.marks)
        .enumerate();
    // Once it stands it covers its own marks.
    let shown = numbered.filter(|(_, mark)| !down && !matches!(mark.on, Board::Nose | Board::End));
    all.extend(shown.flat_map(|(index, mark)| of_mark(index + 1, mark)));
    if stage.fits.iter().all(|fit| !fit.cuts()) {
        let feet = stage.told.iter().flat_map(|(_, told)| &told.foot);
        all.extend(
            feet.enumerate()
                .flat_map(|(index, mark)| of_mark(index + 1, mark)),
        );
    }
    if down {
        let least = seen_least(tape);
        let mut open: Vec<_> = stage
            .fits
            .iter()
            .flat_map(|fit| fit.widest(least))
            .collect();
        open.sort_by(|a, b| b.greatest.total_cmp(&a.greatest));
        all.extend(open.iter().take(MOST_OPEN).map(|gap| Figure {
            at: gap.at,
            text: format!("open {} if cut square", tape.print(gap.greatest)),
            ink: look::OCHRE,
        }));
    }
    all
}

/// Where a slip of some size may stand: off its place, inside the free part, on no other slip and on
/// no other place. `None` where there is no room.
fn room(
    at: Pos2,
    size: Vec2,
    free: Rect,
    taken: &[Rect],
    places: &[Pos2],
    away: Vec2,
) -> Option<Rect> {
    let start = if away.length() > 1.0 {
        away.angle()
    } else {
        -std::f32::consts::FRAC_PI_2
    };
    let turn = |way: u16| {
        // From where it points away from the middle, to both sides in turn.
        let half = f32::from(way.div_ceil(2)) * std::f32::consts::TAU / f32::from(WAYS);
        if way.is_multiple_of(2) {
            start + half
        } else {
            start - half
        }
    };
    RADII.iter().find_map(|radius| {
        (0..WAYS).find_map(|way| {
            let off = Vec2::angled(turn(way)) * *radius;
            let beside = vec2(off.x.signum() * size.x / 2.0 * (off.x.abs() / radius), 0.0);
            let rect = Rect::from_center_size(at + off + beside, size);
            let clear = taken.iter().all(|one| !one.intersects(rect.expand(APART)));
            let open = places.iter().all(|one| !rect.expand(APART).contains(*one));
            (free.shrink(6.0).contains_rect(rect) && clear && open).then_some(rect)
        })
    })
}

/// Writes the figures whose places are seen.
fn write(painter: &Painter, free: Rect, seen: &[(Pos2, &Figure)]) {
    let places: Vec<Pos2> = seen.iter().map(|(at, _)| *at).collect();
    let sum = places.iter().fold(Vec2::ZERO, |sum, at| sum + at.to_vec2());
    let middle = sum / convert::count(places.len().max(1));
    let mut taken: Vec<Rect> = Vec::new();
    for (at, figure) in seen {
        let font = FontId::proportional(SIZE);
        let galley = painter.layout_no_wrap(figure.text.clone(), font, ink(figure.ink));
        let size = galley.size() + vec2(12.0, 6.0);
        let Some(rect) = room(*at, size, free, &taken, &places, at.to_vec2() - middle) else {
            continue;
        };
        taken.push(rect);
        let near = rect.clamp(*at);
        painter.line_segment([*at, near], Stroke::new(1.2, ink(figure.ink)));
        painter.circle_filled(*at, 2.6, ink(figure.ink));
        let edge = Stroke::new(1.0, ink(figure.ink).gamma_multiply(0.55));
        let paper = ink(look::CARD).gamma_multiply(0.95);
        painter.rect(rect, CornerRadius::same(2), paper, edge, StrokeKind::Inside);
        painter.galley(rect.min + vec2(6.0, 3.0), galley, ink(figure.ink));
    }
}

/// The line under the picture.
fn legend(painter: &Painter, free: Rect, text: &str) {
    let font = FontId::proportional(13.0);
    let galley = painter.layout_no_wrap(text.to_owned(), font, ink(look::PENCIL_SOFT));
    let at = free.left_bottom() + vec2(14.0, -12.0);
    let rect = Align2::LEFT_BOTTOM.anchor_size(at, galley.size() + vec2(8.0, 4.0));
    let paper = ink(look::CARD).gamma_multiply(0.9);
    painter.rect_filled(rect, CornerRadius::same(2), paper);
    painter.galley(rect.min + vec2(4.0, 2.0), galley, ink(look::PENCIL_SOFT));
}

fn paint(
    mut contexts: EguiContexts,
    (fit, showing, solved): (Res<Fit>, Res<Showing>, Option<Res<Solved>>),
    free: Option<Res<FreeRect>>,
    cameras: Query<(&Camera, &GlobalTransform), Mine>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(stage), Some(solved)) = (&fit.stage, solved) else {
        return Ok(());
    };
    let Ok((camera, place)) = cameras.single() else {
        return Ok(());
    };
    if showing.place != Place::Fit {
        return Ok(());
    }
    let free = free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let on_picture = |at: Vec3| {
        let at = camera.world_to_viewport(place, at).ok()?;
        Some(Pos2::new(at.x, at.y)).filter(|at| free.contains(*at))
    };
    let figures = figures(stage, fit.down(), solved.job.tape);
    let seen: Vec<(Pos2, &Figure)> = figures
        .iter()
        .filter_map(|figure| Some((on_picture(convert::point(&figure.at))?, figure)))
        .collect();
    write(&painter, free, &seen);
    let cuts = stage.fits.iter().any(crate::setout::dry_fit::DryFit::cuts);
    let open = figures.iter().any(|figure| figure.text.starts_with("open"));
    let text = if cuts && fit.down() && open {
        "the newel stands: dark, what would stay open were its notch cut square instead of to the lines"
    } else if cuts && fit.down() {
        "the newel stands: cut to the lines or square, nothing stays open that the tape reads"
    } else if cuts {
        "nothing is cut yet: sharp lines to knife, waste crossed, dashed what is under it or still needed"
    } else {
        "nothing is to be cut: dashed, the outline of its foot"
    };
    legend(&painter, free, text);
    Ok(())
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, paint.after(super::panels::draw));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_stand_off_their_places_and_never_on_each_other() {
        let free = Rect::from_min_size(Pos2::ZERO, vec2(900.0, 600.0));
        let size = vec2(150.0, 20.0);
        let places: Vec<Pos2> = (0..7_i16)
            .map(|i| Pos2::new(400.0 + 14.0 * f32::from(i), 300.0 + 9.0 * f32::from(i % 3)))
            .collect();
        let mut taken: Vec<Rect> = Vec::new();
        for at in &places {
            let rect = room(*at, size, free, &taken, &places, vec2(1.0, -2.0)).unwrap();
            assert!(free.contains_rect(rect));
            assert!(taken.iter().all(|one| !one.intersects(rect)));
            assert!(places.iter().all(|one| !rect.contains(*one)));
            taken.push(rect);
        }
    }

    #[test]
    fn without_room_nothing_is_written() {
        let free = Rect::from_min_size(Pos2::ZERO, vec2(60.0, 40.0));
        let at = Pos2::new(30.0, 20.0);
        assert!(room(at, vec2(150.0, 20.0), free, &[], &[at], Vec2::ZERO).is_none());
    }

    #[test]
    fn a_mark_out_of_square_has_a_figure_at_each_end() {
        let mark = |far: &str| FitMark {
            on: Board::Top,
            ends: [Point3::origin(), Point3::new(90.0, 0.0, 0.0)],
            figures: ["2\"", far].map(|figure| format!("{figure} from the nosing")),
            place: String::new(),
            side: String::new(),
            off: "2\" from the nosing".to_owned(),
            along: String::new(),
            out: None,
        };
        let square = of_mark(1, &mark("2\""));
        assert_eq!(square.len(), 1);
        assert_eq!(square[0].text, "mark 1: 2\" from the nosing");
        let aslant = of_mark(1, &mark("2 1/8\""));
        assert_eq!(aslant[1].text, "mark 1: 2 1/8\" from the nosing");
        approx::assert_relative_eq!(aslant[1].at.x, 90.0);
    }
}
