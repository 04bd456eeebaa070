//! Effects are shed by themselves where frames come too slowly, and taken back when nothing moves:
//! what one looks at at leisure is always drawn in full.

use std::time::{Duration, Instant};

use bevy::camera::Camera3d;
use bevy::ecs::message::MessageCursor;
use bevy::light::{DirectionalLight, DirectionalLightShadowMap};
use bevy::prelude::{
    App, Camera, Commands, DetectChanges as _, DetectChangesMut as _, Entity,
    IntoScheduleConfigs as _, Last, Local, Messages, Msaa, Query, Res, ResMut, Resource, Update,
    Visibility, With,
};
use bevy::window::RequestRedraw;

use super::super::{Mood, Showing, ViewerSystems, rest};
use super::coarse::Coarse;
use super::lights::{Floor, Sun};
use super::ready;

/// A frame may take so long while something moves: ten a second, with a little to spare.
const SLOW: Duration = Duration::from_millis(90);
/// What is this quick could carry more.
const QUICK: Duration = Duration::from_millis(28);
/// So many frames are looked at before something is shed: a single slow one is none of its matter.
const SEEN: usize = 5;
/// And so many in a row must be quick before something is taken back.
const QUICK_ONES: usize = 60;
/// The first frames after a change are slow by the change.
const PASSED_OVER: usize = 2;
/// The most that can be shed.
const MOST: usize = 4;

/// How much is shed now: nought draws all.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::viewer) struct Effects {
    pub(in crate::viewer) shed: usize,
}

impl Effects {
    /// Side of the shadow map, pixels, a power of two; none draws no shadows. Fewer blur the shadows, as a clouded
    /// sun does.
    const fn shadows(self, mood: Mood) -> Option<usize> {
        match (self.shed, mood) {
            (0, Mood::Work) => Some(2048),
            (0, Mood::Show) => Some(1024),
            (1 | 2, _) => Some(512),
            _ => None,
        }
    }

    /// True where frames are so slow that a processor must be what draws them: it is not to do all
    /// else at once.
    pub(in crate::viewer) const fn shares_the_processor(self) -> bool {
        self.shed >= 3
    }

    /// True where the stair is drawn coarser than the window.
    const fn coarse(self) -> bool {
        self.shed >= 4
    }

    /// How edges are smoothed.
    const fn edges(self) -> Msaa {
        match self.shed {
            0 | 1 => Msaa::Sample4,
            _ => Msaa::Off,
        }
    }
}

/// What is shed while something moves, by how long its frames took.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Governor {
    shed: usize,
    seen: Vec<Duration>,
    quick: usize,
    passed_over: usize,
}

impl Governor {
    /// Takes up how long a frame took.
    fn frame(&mut self, took: Duration) {
        if self.passed_over < PASSED_OVER {
            self.passed_over += 1;
            return;
        }
        self.quick = if took < QUICK { self.quick + 1 } else { 0 };
        self.seen.push(took);
        if self.seen.len() > SEEN {
            self.seen.remove(0);
        }
        let mut sorted = self.seen.clone();
        sorted.sort_unstable();
        let full = sorted.len() == SEEN;
        if full && sorted[SEEN / 2] > SLOW && self.shed < MOST {
            self.change_to(self.shed + 1);
        } else if self.quick >= QUICK_ONES && self.shed > 0 {
            self.change_to(self.shed - 1);
        }
    }

    fn change_to(&mut self, shed: usize) {
        *self = Self {
            shed,
            ..Self::default()
        };
    }
}

/// Measures frames while something moves, and sheds or takes back.
fn govern(
    mut redraws: ResMut<Messages<RequestRedraw>>,
    mut heard: Local<MessageCursor<RequestRedraw>>,
    mut governor: Local<Governor>,
    mut before: Local<Option<Instant>>,
    mut effects: ResMut<Effects>,
) {
    let moves = heard.read(&redraws).count() > 0;
    let now = Instant::now();
    if let Some(before) = before.take() {
        governor.frame(now - before);
    }
    // Only where another frame is asked for is the time until then a frame's.
    *before = moves.then_some(now);
    let shed = if moves { governor.shed } else { 0 };
    if effects.shed != shed {
        effects.shed = shed;
        if !moves {
            redraws.write(RequestRedraw);
            // This one is for the still picture, and no movement.
            heard.clear(&redraws);
        }
    }
}

/// Lays the effects on lights and camera.
fn lay_on(
    effects: Res<Effects>,
    showing: Res<Showing>,
    mut map: ResMut<DirectionalLightShadowMap>,
    mut suns: Query<&mut DirectionalLight, With<Sun>>,
    mut commands: Commands,
    mut cameras: Query<(Entity, &Camera, &mut Msaa), With<Camera3d>>,
    mut floors: Query<&mut Visibility, With<Floor>>,
) {
    if !effects.is_changed() && !showing.is_changed() {
        return;
    }
    let shadows = effects.shadows(showing.mood);
    if let Some(size) = shadows.filter(|size| map.size != *size) {
        map.size = size;
    }
    for mut sun in &mut suns {
        if sun.shadow_maps_enabled != shadows.is_some() {
            sun.shadow_maps_enabled = shadows.is_some();
        }
    }
    // Without shadows the floor is of the tone of the paper around it: a processor need not paint it.
    let floor = match shadows {
        Some(_) => Visibility::Inherited,
        None => Visibility::Hidden,
    };
    for mut seen in &mut floors {
        let _changed = seen.set_if_neq(floor);
    }
    // A picture that a line divides has two cameras in one window.
    let alone = cameras
        .iter()
        .filter(|(_, camera, _)| camera.is_active)
        .count()
        == 1;
    for (entity, _, mut edges) in &mut cameras {
        if effects.coarse() && alone {
            commands.entity(entity).insert(Coarse::FEWER);
        } else {
            commands.entity(entity).remove::<Coarse>();
        }
        if *edges != effects.edges() {
            *edges = effects.edges();
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Effects>()
        .add_systems(Update, lay_on.in_set(ViewerSystems::Sync).after(ready));
}

/// The governor, which a picture does not have: it may take its time.
pub(in crate::viewer) fn governor_plugin(app: &mut App) {
    super::coarse::plugin(app);
    app.add_systems(Last, govern.after(rest::rest));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(frames: impl IntoIterator<Item = u64>) -> Governor {
        let mut governor = Governor::default();
        for took in frames {
            governor.frame(Duration::from_millis(took));
        }
        governor
    }

    #[test]
    fn slow_frames_shed_step_by_step_and_no_further_than_there_is_to_shed() {
        let shed = |count: usize| after(std::iter::repeat_n(200, count)).shed;
        assert_eq!(shed(PASSED_OVER + SEEN - 1), 0);
        assert_eq!(shed(PASSED_OVER + SEEN), 1);
        assert_eq!(shed(2 * (PASSED_OVER + SEEN)), 2);
        assert_eq!(shed(100), MOST);
    }

    #[test]
    fn one_slow_frame_now_and_then_sheds_nothing() {
        let frames = (0..200).map(|i| if i % 4 == 0 { 400 } else { 40 });
        assert_eq!(after(frames).shed, 0);
    }

    #[test]
    fn ten_frames_a_second_are_kept_as_they_are() {
        assert_eq!(after(std::iter::repeat_n(80, 500)).shed, 0);
        let slow_then_fair = std::iter::repeat_n(150, 8).chain(std::iter::repeat_n(60, 500));
        assert_eq!(after(slow_then_fair).shed, 1);
    }

    #[test]
    fn what_was_shed_comes_back_where_frames_are_quick_for_long() {
        let frames = std::iter::repeat_n(200, 8).chain(std::iter::repeat_n(10, QUICK_ONES));
        assert_eq!(after(frames.clone()).shed, 1);
        assert_eq!(after(frames.chain([10, 10, 10])).shed, 0);
    }

    #[test]
    fn each_step_draws_less_than_the_one_before() {
        for mood in [Mood::Work, Mood::Show] {
            let cost = |shed| {
                let effects = Effects { shed };
                (
                    effects.shadows(mood).unwrap_or(0),
                    effects.edges().samples(),
                    u32::from(!effects.coarse()),
                )
            };
            for shed in 0..MOST {
                let (more, less) = (cost(shed), cost(shed + 1));
                assert!(less.0 <= more.0 && less.1 <= more.1 && less.2 <= more.2);
                assert_ne!(less, more);
            }
        }
    }
}
