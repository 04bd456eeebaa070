//! What of the picture a tape would hook on: the corner or edge within reach of the pointer, else the
//! face under it, else (with Shift) the whole part.

use bevy::input::ButtonInput;
use bevy::prelude::{
    Camera, GlobalTransform, KeyCode, Local, MessageWriter, MouseButton, Query, Res, ResMut,
    Single, Vec2, With,
};
use bevy::window::{PrimaryWindow, Window};
use bevy_egui::input::EguiWantsInput;
use nalgebra::{Point3, Vector3};

use crate::chain;
use crate::inspect::span::{Hook, Way};
use crate::job::HookedOn;
use crate::solids::{Convex, Part, PartKind, Solids};

use super::super::eye::Mine;
use super::super::scene::Shown;
use super::super::session::Action;
use super::super::{Solved, convert};
use super::{Ask, Laying};

/// A tape hooks on a corner or an edge this near to the pointer, points.
const REACH: f32 = 12.0;
/// A press that moved farther before it was let go turned the stair, points.
const STILL: f32 = 5.0;
/// A corner or an edge this far off a face is not on it, mm: the stair as drawn may be stretched, and
/// its faces a little out of flat.
const ON_FACE_MM: f64 = 1.5;

/// Where a ray strikes a part.
struct Struck<'a> {
    part: &'a Part,
    at: Point3<f64>,
    normal: Vector3<f64>,
    far: f64,
}

/// Where a ray enters a convex piece, how far along, and the face's normal.
fn enters(piece: &Convex, from: &Point3<f64>, along: &Vector3<f64>) -> Option<(f64, Vector3<f64>)> {
    let (mut near, mut far) = (0.0_f64, f64::INFINITY);
    let mut normal = None;
    for plane in piece.planes() {
        let towards = plane.normal.dot(along);
        let out = plane.distance(from);
        if towards.abs() < f64::EPSILON {
            if out > 0.0 {
                return None;
            }
            continue;
        }
        let at = -out / towards;
        if towards < 0.0 {
            if at > near {
                near = at;
                normal = Some(plane.normal.into_inner());
            }
        } else {
            far = far.min(at);
        }
    }
    normal.filter(|_| near < far).map(|normal| (near, normal))
}

/// The first part that a ray strikes; a wall only where nothing else is struck, for walls are drawn as
/// faces that hide nothing.
fn struck<'a>(solids: &'a Solids, from: &Point3<f64>, along: &Vector3<f64>) -> Option<Struck<'a>> {
    let hits = solids.parts.iter().flat_map(|part| {
        part.pieces.iter().filter_map(move |piece| {
            let (far, normal) = enters(piece, from, along)?;
            let at = from + along * far;
            Some(Struck {
                part,
                at,
                normal,
                far,
            })
        })
    });
    let wall = |one: &Struck| one.part.kind == PartKind::Wall;
    hits.min_by(|a, b| wall(a).cmp(&wall(b)).then(a.far.total_cmp(&b.far)))
}

/// How far a point of the picture lies from a stretch of it.
fn off(at: Vec2, from: Vec2, to: Vec2) -> f32 {
    let along = to - from;
    let share = (at - from).dot(along) / along.length_squared().max(f32::MIN_POSITIVE);
    (from + along * share.clamp(0.0, 1.0)).distance(at)
}

/// Of what a struck part offers, what the tape hooks on at a place of the picture.
fn hooked(
    hooks: Vec<Hook>,
    struck: &Struck,
    pointer: Vec2,
    on_picture: impl Fn(&Point3<f64>) -> Option<Vec2>,
) -> Option<Hook> {
    let on_face = |at: &Point3<f64>| struck.normal.dot(&(at - struck.at)).abs() < ON_FACE_MM;
    let apart = |hook: &Hook| -> Option<(u8, f32)> {
        let corners = hook.hold.pieces.first()?;
        match hook.hooked.on {
            HookedOn::Whole => None,
            HookedOn::Corner | HookedOn::Edge => {
                let seen: Option<Vec<Vec2>> = corners.iter().map(&on_picture).collect();
                let seen = seen.filter(|_| corners.iter().all(on_face))?;
                let (from, to) = (*seen.first()?, *seen.last()?);
                let far = off(pointer, from, to);
                let rank = u8::from(hook.hooked.on == HookedOn::Edge);
                (far < REACH).then_some((rank, far))
            }
            HookedOn::Face => {
                let Some(Way::SquareTo(normal)) = hook.hold.way else {
                    return None;
                };
                let mut rings = hook.hold.pieces.iter().flatten();
                let on = rings.all(on_face) && normal.dot(&struck.normal) > 0.9;
                on.then_some((2, 0.0))
            }
        }
    };
    hooks
        .into_iter()
        .filter_map(|hook| Some((apart(&hook)?, hook)))
        .min_by(|(a, _), (b, _)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))
        .map(|(_, hook)| hook)
}

/// What the hand reads.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Hand<'w, 's> {
    buttons: Res<'w, ButtonInput<MouseButton>>,
    keys: Res<'w, ButtonInput<KeyCode>>,
    wants: Res<'w, EguiWantsInput>,
    window: Single<'w, 's, &'static Window, With<PrimaryWindow>>,
    cameras: Query<'w, 's, (&'static Camera, &'static GlobalTransform), Mine>,
    solved: Option<Res<'w, Solved>>,
    shown: Option<Res<'w, Shown>>,
}

impl Hand<'_, '_> {
    /// What is under the pointer.
    fn over(&self, pointer: Vec2) -> Option<Hook> {
        let (solved, shown) = (self.solved.as_ref()?, self.shown.as_ref()?);
        let (camera, place) = self.cameras.single().ok()?;
        let ray = camera.viewport_to_world(place, pointer).ok()?;
        let (from, along) = (convert::back(ray.origin), convert::way_back(*ray.direction));
        let struck = struck(&shown.solids, &from, &along)?;
        let mut hooks = chain::hooks_of(&solved.found, &shown.solids, &struck.part.name);
        let either = [KeyCode::ShiftLeft, KeyCode::ShiftRight];
        if self.keys.any_pressed(either) && !hooks.is_empty() {
            return Some(hooks.swap_remove(0));
        }
        let on_picture =
            |at: &Point3<f64>| camera.world_to_viewport(place, convert::point(at)).ok();
        hooked(hooks, &struck, pointer, on_picture)
    }
}

/// Follows the pointer while the tape is out, and hooks it on at a click.
pub(super) fn hand(
    hand: Hand,
    mut laying: ResMut<Laying>,
    mut last: Local<Option<(Vec2, bool)>>,
    mut pressed: Local<Option<Vec2>>,
    mut actions: MessageWriter<Action>,
) {
    if !laying.out {
        return;
    }
    let away = hand.wants.is_pointer_over_area();
    let pointer = hand.window.cursor_position().filter(|_| !away);
    if hand.buttons.just_pressed(MouseButton::Left) {
        *pressed = pointer;
    }
    let clicked = hand.buttons.just_released(MouseButton::Left);
    let still =
        pointer.is_some_and(|here| pressed.is_some_and(|there: Vec2| there.distance(here) < STILL));
    let shift = hand
        .keys
        .any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let now = pointer.map(|at| (at, shift));
    if *last != now || clicked {
        *last = now;
        let over = pointer.and_then(|pointer| hand.over(pointer));
        let same = |a: &Option<Hook>, b: &Option<Hook>| {
            a.as_ref().map(|hook| &hook.hooked) == b.as_ref().map(|hook| &hook.hooked)
        };
        if !same(&over, &laying.over) {
            laying.over = over;
        }
    }
    if clicked && still {
        let hook = laying.over.as_ref().map(|hook| hook.hooked.clone());
        actions.write_batch(hook.map(|hooked| Action::Tape(Ask::Hold(hooked))));
    }
    if clicked {
        *pressed = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspect::span::hooks;
    use crate::site::Frame;

    fn post() -> Part {
        let high = Point3::new(90.0, 80.0, 1000.0);
        Part {
            name: "N1".to_owned(),
            kind: PartKind::Newel,
            pieces: vec![Convex::cuboid(Point3::origin(), high).unwrap()],
        }
    }

    /// What is hooked on when one looks level up the flight, a point of the picture for a millimetre.
    fn at(y: f64, z: f64) -> Option<String> {
        let solids = Solids {
            parts: vec![post()],
            runs: vec![0],
            joints: Vec::new(),
        };
        let (from, along) = (Point3::new(-500.0, y, z), Vector3::x());
        let struck = struck(&solids, &from, &along)?;
        let all = hooks(struck.part, &Frame::default(), 1.0);
        let flat =
            |at: &Point3<f64>| Some(Vec2::new(convert::single(at.y), convert::single(-at.z)));
        let pointer = Vec2::new(convert::single(y), convert::single(-z));
        hooked(all, &struck, pointer, flat).map(|hook| hook.says)
    }

    #[test]
    fn corners_come_before_edges_and_edges_before_the_face() {
        let says = |y, z| at(y, z).unwrap();
        assert_eq!(says(40.0, 500.0), "newel N1, downhill face");
        assert_eq!(says(75.0, 500.0), "newel N1, downhill open-side edge");
        assert_eq!(says(75.0, 995.0), "newel N1, top downhill open-side corner");
        // Past its edge there is nothing to hook on.
        assert_eq!(at(95.0, 500.0), None);
    }
}
