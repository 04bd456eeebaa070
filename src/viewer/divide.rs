//! Two ways in one picture: left of a hanging line the one, right of it the other, seen by the same
//! eye.
//!
//! In: the way that is shown, and which other one stands left of the line. Out: [`Beside`] for the
//! scene, and the picture of it, drawn by a camera of its own into an image as large as the whole
//! picture; of it the part left of the line is laid over the other. So both halves have the same
//! perspective, the line can be pulled without drawing either again, and all else about the picture
//! (picking, flags, the panels) stays that of the way that is shown.

use bevy::camera::visibility::RenderLayers;
use bevy::camera::{Camera, Camera3d, Projection, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::image::Image;
use bevy::math::UVec2;
use bevy::mesh::Mesh3d;
use bevy::prelude::{
    App, Assets, Changed, Commands, Component, DetectChanges as _, Entity, Handle,
    IntoScheduleConfigs as _, Local, MessageReader, Msaa, Query, Res, ResMut, Resource, Transform,
    Update, With,
};
use bevy::render::render_resource::TextureFormat;
use bevy_egui::{EguiTextureHandle, EguiUserTextures, egui};

use crate::chain::Chain;
use crate::chain::compare::deciding;
use crate::measure::Tape;
use crate::publish::compared::figure_words;

use super::camera::Eye;
use super::eye::{Mine, View};
use super::panels::value_words;
use super::recompute::{Work, fetch};
use super::scene::{BESIDE, Beside, PartBeside, Second};
use super::session::Action;
use super::ways::{self, Way, Ways};
use super::{Place, Showing, Solved, ViewerSystems, divide_paint};

/// The line stays this far within the picture, as a share of its width.
const EDGE: f64 = 0.05;
/// A key moves it by so much.
pub(super) const STEP: f64 = 1.0 / 24.0;
/// So many figures stand at a half's name.
const FIGURES: usize = 3;
/// The other half is drawn so many frames more after something of it changed: what is made for it
/// comes to the graphics card a frame or two later.
const SETTLING: u32 = 6;

/// What one can do with the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ask {
    /// Hangs it up, and shows this alternative right of it where one is named.
    Hang(Option<usize>),
    /// Takes it down.
    Down,
    /// Pulls it to a share of the picture's width.
    To(f64),
    /// Moves it by such a share.
    By(f64),
    /// Puts a way left of it, by its number; `None` is the job as it stands.
    Left(Option<usize>),
}

/// The line, as asked for.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub(super) struct Divide {
    /// It hangs.
    pub(super) on: bool,
    /// Where, as a share of the picture's width.
    pub(super) at: f64,
    /// What is left of it.
    pub(super) left: Option<usize>,
}

impl Default for Divide {
    fn default() -> Self {
        Self {
            on: false,
            at: 0.5,
            left: None,
        }
    }
}

impl Divide {
    /// After what was asked.
    fn after(self, ask: Ask) -> Self {
        let to = |at: f64| Self {
            at: at.clamp(EDGE, 1.0 - EDGE),
            ..self
        };
        match ask {
            Ask::Hang(_) => Self { on: true, ..self },
            Ask::Down => Self { on: false, ..self },
            Ask::To(at) => to(at),
            Ask::By(by) => to(self.at + by),
            Ask::Left(left) => Self { left, ..self },
        }
    }
}

/// Hangs the line up, with an alternative beside the job as it stands where nothing else is shown; or
/// takes it down.
pub(super) fn turn(divide: &Divide, shown: Option<usize>, ways: Option<&[Way]>) -> Action {
    if divide.on {
        return Action::Divide(Ask::Down);
    }
    let other = ways.filter(|_| shown == divide.left).and_then(|ways| {
        let mut all = ways.iter().enumerate();
        let other = |(at, way): &(usize, &Way)| way.done.is_ok() && Some(*at) != divide.left;
        all.find(other).map(|(at, _)| at)
    });
    Action::Divide(Ask::Hang(other))
}

/// What a half of the picture shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Half {
    /// Its name.
    pub(super) name: String,
    /// The figures that decide.
    pub(super) figures: Vec<String>,
}

/// How the picture is divided now.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(super) struct Divided {
    /// Where the line hangs, as a share of the picture's free width; `None` where none does.
    pub(super) at: Option<f64>,
    /// Left and right of it.
    pub(super) halves: [Half; 2],
}

impl Divided {
    /// Where the line hangs in the free part of the picture, points.
    pub(super) fn line(&self, free: egui::Rect) -> Option<f32> {
        let at = super::convert::single(self.at?);
        Some(egui::lerp(free.x_range(), at).round())
    }

    /// The part of the picture that shows the way that is shown.
    pub(super) fn right(&self, free: egui::Rect) -> egui::Rect {
        self.line(free).map_or(free, |x| free.with_min_x(x))
    }
}

/// Names both halves, with the figures in which they differ.
pub(super) fn halves(names: [&str; 2], chains: [&Chain; 2], tape: Tape) -> [Half; 2] {
    let rows = deciding(chains[0], chains[1], tape, FIGURES);
    [0, 1].map(|half| {
        let figure = |row: &crate::chain::compare::Row| {
            let words = figure_words(row.what, &row.part);
            format!("{words}: {}", value_words(row.values[half], tape))
        };
        Half {
            name: names[half].to_owned(),
            figures: rows.iter().map(figure).collect(),
        }
    })
}

/// Carries out what was asked. What is picked for one half while it is in the other changes places
/// with it.
fn apply(
    mut actions: MessageReader<Action>,
    showing: Res<Showing>,
    mut divide: ResMut<Divide>,
    mut shown: Local<Option<usize>>,
) {
    let mut now = *divide;
    for action in actions.read() {
        if let Action::Divide(ask) = action {
            now = now.after(*ask);
        }
    }
    if showing.place != Place::Ways {
        now.on = false;
    }
    if now.on && showing.way != *shown && showing.way == now.left {
        now.left = *shown;
    }
    *shown = showing.way;
    if *divide != now {
        *divide = now;
    }
}

/// The name of a way.
fn name(way: Option<usize>, ways: &[Way]) -> String {
    let known = way.and_then(|way| Some((way, ways.get(way)?)));
    known.map_or_else(
        || "as it stands".to_owned(),
        |(at, way)| format!("{}  {}", ways::letter(at), way.name),
    )
}

/// Finds the second stair.
fn second(
    (divide, showing): (Res<Divide>, Res<Showing>),
    (work, ways): (Res<Work>, Res<Ways>),
    solved: Option<Res<Solved>>,
    mut beside: ResMut<Beside>,
    mut divided: ResMut<Divided>,
) {
    let Some(solved) = solved.filter(|_| divide.on && showing.place == Place::Ways) else {
        if beside.0.is_some() {
            beside.0 = None;
        }
        if divided.at.is_some() {
            *divided = Divided::default();
        }
        return;
    };
    let (Some(standing), Some(tried)) = (&work.standing, ways.of(work.stood)) else {
        return;
    };
    let origin = (work.stood, divide.left);
    let there = beside.0.as_ref();
    let fresh = !there.is_some_and(|one| one.is(origin, showing.stretch));
    if fresh {
        let Some(computed) = ways::wanted(standing, divide.left, Some(tried)) else {
            return;
        };
        let second = Second::of(computed.solved(work.stood, origin), showing.stretch);
        beside.0 = Some(second);
    }
    let Some(second) = &beside.0 else { return };
    if fresh || solved.is_changed() {
        let names = [divide.left, solved.origin.1].map(|way| name(way, tried));
        let chains = [&*second.solved.found, solved.as_found()];
        divided.halves = halves([&names[0], &names[1]], chains, solved.job.tape);
    }
    if divided.at != Some(divide.at) {
        divided.at = Some(divide.at);
    }
}

/// The eye that sees the second stair.
#[derive(Component)]
pub(super) struct OtherEye;

/// The image that it draws into, and what egui knows it by.
#[derive(Resource, Clone, Default)]
pub(super) struct OtherPicture {
    image: Handle<Image>,
    size: UVec2,
    /// None while nothing is drawn.
    pub(super) texture: Option<egui::TextureId>,
}

/// What the other eye follows.
type Followed = (
    &'static Camera,
    &'static Transform,
    &'static Projection,
    &'static Msaa,
);

/// What follows.
type Follower = (
    Entity,
    &'static mut Camera,
    &'static mut Transform,
    &'static mut Projection,
    &'static mut Msaa,
);

/// Parts of the second stair that have another shape, or their shade now.
type Shaded = (With<PartBeside>, Changed<Mesh3d>);

/// What it was drawn from last.
#[derive(Default)]
struct Last {
    place: Option<(Transform, Option<Eye>)>,
    left: u32,
}

/// Opens the other eye, has it follow the first, and closes it.
fn follow(
    mut commands: Commands,
    (beside, divided): (Res<Beside>, Res<Divided>),
    (view, showing): (Res<View>, Res<Showing>),
    (main, shaded): (Query<Followed, Mine>, Query<(), Shaded>),
    mut others: Query<Follower, With<OtherEye>>,
    mut makers: (ResMut<Assets<Image>>, ResMut<EguiUserTextures>),
    (mut picture, mut last): (ResMut<OtherPicture>, Local<Last>),
) {
    let open = beside.0.is_some() && divided.at.is_some();
    let Some((camera, place, projection, msaa)) = main.single().ok().filter(|_| open) else {
        for (other, ..) in &others {
            commands.entity(other).despawn();
        }
        if picture.texture.is_some() {
            makers.1.remove_image(&picture.image);
            *picture = OtherPicture::default();
        }
        return;
    };
    let size = camera
        .physical_target_size()
        .unwrap_or(UVec2::ONE)
        .max(UVec2::ONE);
    let resized = picture.size != size || picture.texture.is_none();
    if resized {
        renew(&mut picture, size, &mut makers);
    }
    let now = Some((*place, view.eye));
    let changed = beside.is_changed() || showing.is_changed() || !shaded.is_empty();
    let fresh = resized || last.place != now || changed;
    last.place = now;
    if fresh {
        last.left = SETTLING;
    }
    let target = || RenderTarget::Image(picture.image.clone().into());
    let drawn = camera.is_active && last.left > 0;
    if camera.is_active {
        last.left = last.left.saturating_sub(1);
    }
    let Ok((other, mut camera, mut stands, mut lens, mut samples)) = others.single_mut() else {
        let camera = Camera {
            // Before the picture that it is laid over.
            order: -1,
            is_active: drawn,
            ..Camera::default()
        };
        let sees = (RenderLayers::layer(BESIDE), OtherEye, target());
        let lens = (*place, projection.clone(), *msaa, Tonemapping::None);
        commands.spawn((Camera3d::default(), camera, lens, sees));
        return;
    };
    if resized {
        commands.entity(other).insert(target());
    }
    if camera.is_active != drawn {
        camera.is_active = drawn;
    }
    if fresh {
        *stands = *place;
        *lens = projection.clone();
    }
    if *samples != *msaa {
        *samples = *msaa;
    }
}

/// Another image, of another size.
fn renew(
    picture: &mut OtherPicture,
    size: UVec2,
    (images, textures): &mut (ResMut<Assets<Image>>, ResMut<EguiUserTextures>),
) {
    if picture.texture.is_some() {
        textures.remove_image(&picture.image);
    }
    let format = TextureFormat::Rgba8UnormSrgb;
    let target = Image::new_target_texture(size.x, size.y, format, None);
    picture.image = images.add(target);
    picture.size = size;
    let handle = EguiTextureHandle::Strong(picture.image.clone());
    picture.texture = Some(textures.add_image(handle));
}

/// What window and picture have.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Divided>()
        .init_resource::<OtherPicture>()
        .add_systems(
            Update,
            follow.in_set(ViewerSystems::Sync).after(super::eye::follow),
        )
        .add_plugins(divide_paint::plugin);
}

/// The hands on the line, which a picture does not have.
pub(super) fn hands_plugin(app: &mut App) {
    app.init_resource::<Divide>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(
            Update,
            second
                .in_set(ViewerSystems::Recompute)
                .after(fetch)
                .after(ways::stage),
        );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::viewer::ways::tests::with_ways;

    #[test]
    fn the_line_stays_within_the_picture_and_moves_by_its_steps() {
        let line = Divide::default().after(Ask::Hang(None));
        assert!(line.on);
        let moved = line.after(Ask::By(STEP)).after(Ask::By(-2.0 * STEP));
        approx::assert_relative_eq!(moved.at, 0.5 - STEP, epsilon = 1e-12);
        assert_eq!(
            line.after(Ask::To(7.0)).at.to_bits(),
            (1.0 - EDGE).to_bits()
        );
        assert_eq!(line.after(Ask::To(-7.0)).at.to_bits(), EDGE.to_bits());
    }

    #[test]
    fn hung_up_over_the_job_alone_it_brings_the_first_alternative_that_can_be_set_out() {
        let ways = ways::try_all(&with_ways());
        let asked = turn(&Divide::default(), None, Some(&ways));
        let hung = matches!(asked, Action::Divide(Ask::Hang(Some(0))));
        assert!(hung, "{asked:?}");
        // What is shown already stays.
        let asked = turn(&Divide::default(), Some(1), Some(&ways));
        assert!(
            matches!(asked, Action::Divide(Ask::Hang(None))),
            "{asked:?}"
        );
    }

    #[test]
    fn halves_are_named_with_the_figures_in_which_they_differ() {
        let document = with_ways();
        let one = crate::chain::run(document.job()).unwrap();
        let three = document.alternative("Three on a tread").unwrap();
        let other = crate::chain::run(three.job()).unwrap();
        let told = halves(["a", "b"], [&one, &other], document.job().tape);
        assert!(!told[0].figures.is_empty() && told[0].figures.len() <= FIGURES);
        for (left, right) in told[0].figures.iter().zip(&told[1].figures) {
            assert_ne!(left, right);
            let words = |text: &String| text.split(": ").next().unwrap().to_owned();
            assert_eq!(words(left), words(right));
        }
        // A job has nothing that decides between it and itself.
        let same = halves(["a", "b"], [&one, &one], document.job().tape);
        assert!(same.iter().all(|half| half.figures.is_empty()));
    }

    #[test]
    fn the_line_hangs_by_a_key_is_moved_and_pulled_and_enter_takes_the_way() {
        use crate::viewer::drive::Driven;
        use crate::viewer::flags::FreeRect;
        use bevy::math::Vec2;
        let text = with_ways().text().to_owned();
        let mut window = Driven::open(&text);
        window.key("F3");
        window.until("the ways are set out", |window| {
            let stood = window.get::<Work>().stood;
            window.get::<Ways>().of(stood).is_some()
        });
        window.key("/");
        window.until("two stairs stand there", |window| {
            window.get::<Divided>().at.is_some() && window.solved().origin.1 == Some(0)
        });
        window.settle();
        let beside = window.get::<Beside>().0.clone().unwrap();
        assert_eq!(beside.solved.origin.1, None);
        let rail = |solved: &Solved| solved.found.first().setout.rail.upper.z;
        assert!(rail(window.solved()) > rail(&beside.solved));
        let at = |window: &Driven| window.get::<Divide>().at;
        window.key("Ctrl+Right");
        approx::assert_relative_eq!(at(&window), 0.5 + STEP, epsilon = 1e-12);
        // By the hand, and the eye stays where it is.
        let free = window.get::<FreeRect>().0;
        let goal = window.get::<View>().goal;
        let x = window.get::<Divided>().line(free).unwrap();
        let middle = free.center().y;
        window.drag(Vec2::new(x, middle), Vec2::new(x - 150.0, middle), 6);
        window.frame();
        let pulled = f64::from((x - 150.0 - free.left()) / free.width());
        approx::assert_relative_eq!(at(&window), pulled, epsilon = 2e-3);
        assert_eq!(window.get::<View>().goal, goal);
        // Another one to the left; what is shown already is passed over.
        window.key(">");
        window.until("it stands left", |window| {
            window.get::<Divide>().left == Some(1)
        });
        window.key("Enter");
        window.settle();
        let height = window.session().document.value_text("design.rail.height");
        assert_eq!(height, Some("\"37\""));
        assert_eq!(window.session().document.alternatives().count(), 3);
        window.key("Ctrl+z");
        window.settle();
        assert_eq!(window.session().document.text(), text);
        // It is taken down with the place.
        window.key("Esc");
        window.frame();
        assert!(!window.get::<Divide>().on && window.get::<Divided>().at.is_none());
    }
}
