//! Figures beside what a climb draws on the stair: each on a slip of paper, the ones that matter
//! first, and none over another.

use bevy::prelude::{App, Camera, GlobalTransform, IntoScheduleConfigs as _, Query, Res, Resource};
use bevy_egui::egui::{Align2, LayerId, Painter, Pos2, Rect, Vec2, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::Point3;

use super::super::eye::Mine;
use super::super::flags::{self, FreeRect};
use super::super::look::{self, ink};
use super::super::{Mood, Showing, convert};

/// What a figure is about must be drawn at least so long for the figure to stand beside it, points.
const NEAR: f32 = 22.0;
/// Figures keep this much apart, points.
const APART: Vec2 = vec2(3.0, 2.0);

/// A figure.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) struct Note {
    /// Where it stands, as drawn, mm.
    pub(in crate::viewer) at: Point3<f64>,
    /// What it says.
    pub(in crate::viewer) says: String,
    /// The line that it is about, as drawn: it is shown only where that is long enough in the
    /// picture. `None`: it is always shown.
    pub(in crate::viewer) about: Option<[Point3<f64>; 2]>,
    /// It is of what is lit, and larger.
    pub(in crate::viewer) lit: bool,
    /// Its ink.
    pub(in crate::viewer) ink: look::Tone,
}

/// The figures that stand now, of the lit step, the reveal bars and the level lines.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(in crate::viewer) struct Notes {
    pub(in crate::viewer) step: Vec<Note>,
    pub(in crate::viewer) bars: Vec<Note>,
    pub(in crate::viewer) levels: Vec<Note>,
}

impl Notes {
    /// All of them, what must be seen first.
    fn in_order(&self) -> Vec<&Note> {
        let mut all: Vec<&Note> = self
            .step
            .iter()
            .chain(&self.bars)
            .chain(&self.levels)
            .collect();
        all.sort_by_key(|note| (!note.lit, note.about.is_some()));
        all
    }
}

/// How far below its place each figure stands, so that none covers one before it: what must be seen
/// gives way up or down, all else is left out.
fn standing(places: impl IntoIterator<Item = (Rect, bool)>) -> Vec<Option<f32>> {
    let mut taken: Vec<Rect> = Vec::new();
    let mut stands = Vec::new();
    for (place, must) in places {
        let tall = place.height() + 2.0 * APART.y;
        let ways = [0.0, tall, -tall, 2.0 * tall, -2.0 * tall];
        let ways = if must { &ways[..] } else { &ways[..1] };
        let down = |by: f32| place.translate(vec2(0.0, by));
        let free = |by: &&f32| taken.iter().all(|other| !other.intersects(down(**by)));
        let by = ways.iter().find(free).copied();
        taken.extend(by.map(|by| down(by).expand2(APART)));
        stands.push(by);
    }
    stands
}

fn paint(
    mut contexts: EguiContexts,
    notes: Res<Notes>,
    showing: Res<Showing>,
    free: Option<Res<FreeRect>>,
    cameras: Query<(&Camera, &GlobalTransform), Mine>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let Ok((camera, place)) = cameras.single() else {
        return Ok(());
    };
    if showing.mood == Mood::Show {
        return Ok(());
    }
    let free = free.map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let on_picture = |at: &Point3<f64>| {
        let at = camera.world_to_viewport(place, convert::point(at)).ok()?;
        Some(Pos2::new(at.x, at.y))
    };
    let seen = |note: &Note| {
        let at = on_picture(&note.at).filter(|at| free.contains(*at))?;
        let long_enough = note.about.as_ref().is_none_or(|[from, to]| {
            let ends = on_picture(from).zip(on_picture(to));
            ends.is_some_and(|(from, to)| from.distance(to) > NEAR)
        });
        long_enough.then_some(at)
    };
    let notes: Vec<(Pos2, &Note)> = notes
        .in_order()
        .into_iter()
        .filter_map(|note| Some((seen(note)?, note)))
        .collect();
    let size = |note: &Note| if note.lit { 14.0 } else { 12.0 };
    let places = notes.iter().map(|(at, note)| {
        let size = size(note);
        let place = flags::slip_size(&painter, *at, Align2::CENTER_BOTTOM, &note.says, size);
        (place, note.about.is_none())
    });
    let stands = standing(places);
    // The first lies on top.
    for ((at, note), stands) in notes.iter().zip(stands).rev() {
        if let Some(by) = stands {
            let ink = ink(note.ink);
            flags::slip(
                &painter,
                *at + vec2(0.0, by),
                Align2::CENTER_BOTTOM,
                &note.says,
                size(note),
                ink,
            );
        }
    }
    Ok(())
}

pub(in crate::viewer) fn plugin(app: &mut App) {
    app.init_resource::<Notes>().add_systems(
        EguiPrimaryContextPass,
        paint.after(super::super::panels::draw),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_figure_covers_one_that_matters_more() {
        let slip = |x: f32| Rect::from_center_size(Pos2::new(x, 10.0), vec2(40.0, 16.0));
        let four = |must| [0.0, 30.0, 50.0, 91.0].map(|x| (slip(x), must));
        let (here, gone) = (Some(0.0), None);
        assert_eq!(standing(four(false)), [here, gone, here, gone]);
        // What must be seen gives way downwards.
        let down = Some(16.0 + 2.0 * APART.y);
        assert_eq!(standing(four(true)), [here, down, here, down]);
    }

    #[test]
    fn what_is_lit_comes_first_and_what_may_be_left_out_last() {
        let note = |says: &str, about, lit| Note {
            at: Point3::origin(),
            says: says.to_owned(),
            about,
            lit,
            ink: look::PENCIL,
        };
        let line = Some([Point3::origin(), Point3::new(1.0, 0.0, 0.0)]);
        let notes = Notes {
            step: vec![note("step 7", None, true)],
            bars: vec![note("some", line, false), note("worst", None, false)],
            levels: Vec::new(),
        };
        let order: Vec<&str> = notes.in_order().iter().map(|note| &*note.says).collect();
        assert_eq!(order, ["step 7", "worst", "some"]);
    }
}
