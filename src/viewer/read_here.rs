//! Where the reading that is typed is taken, in the picture: what is held there, the parts it is
//! about lit up, and the eye going along until it is turned by hand.
//!
//! In: the row of the sheet that the keys go to, the stair as found. Out: [`ReadHere`] for the scene
//! and the overlay. A click on a step or a wall goes the other way, to its first reading.

use bevy::prelude::{
    App, IntoScheduleConfigs as _, Local, MessageReader, MessageWriter, Query, Res, ResMut,
    Resource, Update,
};
use bevy_egui::egui::{Align2, LayerId, Painter, Pos2, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::site::held::{Held, ReadAt, read_at, usual};
use crate::solids::PartKind;

use super::camera::Eye;
use super::eye::{self, Look, Mine, View};
use super::flags::{self, FreeRect};
use super::look::{self, ink};
use super::lookout::around;
use super::panels::{About, Typing};
use super::scene::{self, Shown};
use super::session::{Action, Session};
use super::{Pick, Place, Showing, Solved, ViewerSystems, convert};

/// Around what is held so much is shown, mm: a step or two.
const ABOUT_MM: f64 = 420.0;
/// A wall is looked at from so far beside its plumb line, radians.
const BESIDE_WALL: f64 = 0.55;

/// Where the reading that is typed is taken, in the first run's frame as found, mm.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(super) struct ReadHere(pub(super) Option<Here>);

/// One such place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Here {
    /// What it reads, in words.
    pub(super) what: String,
    /// Parts of the picture, and what is held.
    pub(super) at: ReadAt,
    /// The way into the room, where it is a wall that is read.
    room: Option<Vector3<f64>>,
}

impl Here {
    /// The middle of what is held last: the tape where there is one.
    pub(super) fn middle(&self) -> Option<Point3<f64>> {
        self.at.held.last().map(|held| match held {
            Held::Tape(from, to) | Held::Level(from, to) => nalgebra::center(from, to),
            Held::Cross(at, _) => *at,
        })
    }

    /// The look that shows it.
    fn look(&self, shown: &Shown) -> Look {
        let places = self.at.points();
        let drawn = |at: &Point3<f64>| shown.place(at, &self.at.parts);
        Look::Near {
            points: places
                .iter()
                .flat_map(|at| around(&drawn(at), ABOUT_MM))
                .collect(),
            // A face is seen from its room only.
            yaw: self.room.map(|room| room.y.atan2(room.x) + BESIDE_WALL),
        }
    }
}

/// Where a row's reading is taken on a stair.
fn here(about: &About, chain: &Chain) -> Option<Here> {
    let run = chain.runs.get(about.run)?;
    // One that is not in the job yet is held where such readings usually are.
    let asked = || {
        about
            .usual
            .and_then(|(what, step)| usual(&run.site, what, step))
    };
    let mut at = read_at(&run.site, &run.run.job, &about.local).or_else(asked)?;
    let is_wall = |name: &String| {
        let mut parts = chain.solids.parts.iter();
        parts.any(|part| part.kind == PartKind::Wall && part.name == *name)
    };
    let face = at.parts.first().filter(|name| is_wall(name));
    let room = face.and_then(|name| {
        let wall = run.site.wall(name)?;
        let along = wall.to - wall.from;
        let into = Vector3::new(-along.y, along.x, 0.0).normalize();
        Some(run.frame.way_to_first(&into))
    });
    at.parts
        .retain(|name| chain.solids.parts.iter().any(|part| part.name == *name));
    for held in &mut at.held {
        let point = |at: &Point3<f64>| run.frame.to_first(at);
        *held = match held {
            Held::Tape(from, to) => Held::Tape(point(from), point(to)),
            Held::Level(from, to) => Held::Level(point(from), point(to)),
            Held::Cross(at, out) => Held::Cross(point(at), run.frame.way_to_first(out)),
        };
    }
    Some(Here {
        what: about.what.clone(),
        at,
        room,
    })
}

/// What the place was last found for.
#[derive(Default)]
struct Last {
    about: Option<About>,
    generation: u64,
    /// Where the eye was sent; what it is sent to otherwise, the hand did.
    goal: Option<Eye>,
    sent: bool,
    followed: bool,
    /// Where it stood before it was sent the first time.
    before: Option<Eye>,
}

/// Finds the place of the row that is typed into, and sends the eye there.
fn find(
    showing: Res<Showing>,
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    mut typing: ResMut<Typing>,
    (mut view, mut read): (ResMut<View>, ResMut<ReadHere>),
    mut last: Local<Last>,
) {
    let open = showing.place == Place::Readings;
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    let about = typing.readings.about().filter(|_| open).cloned();
    let resumed = typing.readings.follows && !last.followed;
    // The eye was sent in the frame before, and has its goal now.
    if std::mem::take(&mut last.sent) {
        last.goal = view.goal;
    } else if !resumed && last.about.is_some() && view.goal != last.goal {
        typing.readings.follows = false;
    }
    // Whoever did not turn it finds it where it stood.
    let back = last.before.take_if(|_| !open);
    if let Some(back) = back.filter(|_| last.followed && view.goal == last.goal) {
        view.go_to(back, &solved.found, &shown.solids);
    }
    last.followed = typing.readings.follows;
    let moved = resumed || last.about != about;
    if !moved && last.generation == solved.generation {
        return;
    }
    last.generation = solved.generation;
    let found = about
        .as_ref()
        .and_then(|about| here(about, solved.as_found()));
    let follows = typing.readings.follows;
    if let Some(found) = found.as_ref().filter(|_| moved && follows) {
        if last.before.is_none() {
            last.before = view.goal;
        }
        view.look = Some(found.look(&shown));
        last.sent = true;
    }
    last.about = about;
    last.goal = last.about.as_ref().and(view.goal);
    if read.0 != found {
        read.0 = found;
    }
}

/// A click on a part of the picture sends the hand to its first reading.
fn come_to(
    mut actions: MessageReader<Action>,
    (showing, session): (Res<Showing>, Res<Session>),
    mut typing: ResMut<Typing>,
) {
    for action in actions.read() {
        let (Action::Pick(Some(Pick::Part(name))) | Action::Frame(Pick::Part(name))) = action
        else {
            continue;
        };
        if showing.place == Place::Readings {
            let kept = typing.readings.come_to(name, &session.document);
            typing.kept.extend(kept);
        }
    }
}

/// Sends what was typed before the hand was sent away.
fn send(mut typing: ResMut<Typing>, mut actions: MessageWriter<Action>) {
    if !typing.kept.is_empty() {
        actions.write_batch(std::mem::take(&mut typing.kept));
    }
}

/// What it reads, on a slip beside what is held.
fn paint(
    mut contexts: EguiContexts,
    (read, free): (Res<ReadHere>, Option<Res<FreeRect>>),
    shown: Option<Res<Shown>>,
    cameras: Query<(&bevy::prelude::Camera, &bevy::prelude::GlobalTransform), Mine>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(here), Some(shown), Ok((camera, place))) = (&read.0, shown, cameras.single()) else {
        return Ok(());
    };
    let free = free.as_ref().map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let at = here.middle().map(|at| shown.place(&at, &here.at.parts));
    let at = at.and_then(|at| camera.world_to_viewport(place, convert::point(&at)).ok());
    if let Some(at) = at {
        // The window's points may be larger than the picture's.
        let at = (Pos2::new(at.x, at.y).to_vec2() / ctx.zoom_factor()).to_pos2();
        let at = at + vec2(16.0, -16.0);
        let colour = ink(look::CHALK);
        flags::slip(&painter, at, Align2::LEFT_BOTTOM, &here.what, 14.0, colour);
    }
    Ok(())
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<ReadHere>()
        .add_systems(Update, (come_to, send).chain().in_set(ViewerSystems::Edit))
        .add_systems(
            Update,
            find.in_set(ViewerSystems::Sync)
                .after(scene::ready)
                .before(eye::look),
        )
        .add_systems(EguiPrimaryContextPass, paint.after(flags::paint));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::viewer::Viewpoint;
    use crate::viewer::drive::{DEMO, Driven};
    use bevy::math::Vec2;

    fn what(window: &Driven) -> String {
        let here = &window.get::<ReadHere>().0;
        here.as_ref()
            .map_or_else(String::new, |here| here.what.clone())
    }

    #[test]
    fn the_row_that_is_typed_into_is_held_in_the_picture_until_the_place_is_left() {
        let mut window = Driven::open(DEMO);
        let stood = window.get::<View>().goal.unwrap();
        window.key("F2");
        window.settle();
        assert!(what(&window).ends_with("total rise"), "{}", what(&window));
        let count = window.session().document.job().flight.count;
        let at = window.get::<ReadHere>().0.clone().unwrap().at;
        let [Held::Tape(from, to)] = at.held[..] else {
            panic!("{at:?}")
        };
        let top = window
            .solved()
            .found
            .first()
            .site
            .step(count)
            .unwrap()
            .height;
        approx::assert_relative_eq!((to - from).norm(), top, epsilon = 1e-6);
        // The eye goes along.
        let goal = |window: &Driven| window.get::<View>().goal.unwrap();
        let before = goal(&window);
        assert_ne!(before, stood);
        window.key("Down");
        window.key("Down");
        window.settle();
        assert!(what(&window).ends_with("step 1: rise"), "{}", what(&window));
        assert!(!before.at(&goal(&window)));
        // Turned by hand it stays, whatever is typed next.
        window.drag(Vec2::new(900.0, 640.0), Vec2::new(1020.0, 640.0), 6);
        window.settle();
        assert!(!window.get::<Typing>().readings.follows);
        let turned = goal(&window);
        window.key("Down");
        window.settle();
        assert_eq!(goal(&window), turned);
        window.key("Esc");
        window.settle();
        assert!(window.get::<ReadHere>().0.is_none());
        assert_eq!(goal(&window), turned);
    }

    #[test]
    fn an_eye_that_went_along_comes_back_where_it_stood() {
        let mut window = Driven::open(DEMO);
        let goal = |window: &Driven| window.get::<View>().goal.unwrap();
        let stood = goal(&window);
        for _ in 0..2 {
            window.key("F2");
            window.settle();
            window.key("Down");
            window.settle();
            assert!(!stood.at(&goal(&window)));
            window.key("Esc");
            window.settle();
            assert_eq!(goal(&window), stood);
        }
    }

    #[test]
    fn a_click_on_a_step_goes_to_its_first_reading() {
        let mut window = Driven::open(DEMO);
        window.key("F2");
        window.settle();
        let look = Action::Look(Viewpoint::Front);
        window.world().write_message(look);
        window.settle();
        let step = window.solved().found.first().site.step(6).unwrap().clone();
        let site = window.solved().found.first().site.clone();
        // Balusters stand before some of it.
        for share in 1..10 {
            let q = step.wall_q + (step.open_q - step.wall_q) * f64::from(share) / 10.0;
            let x = step.nosing_x() + 40.0;
            let at = window.on_screen(&site.at(x, q, step.top(x, q)));
            window.click(at);
            window.settle();
            if what(&window).ends_with("step 6: rise") {
                return;
            }
        }
        panic!("no click led there: {}", what(&window));
    }
}
