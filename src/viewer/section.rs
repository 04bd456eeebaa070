//! A section anywhere: a plumb cut through the stair, slid along it.
//!
//! [`Section`] says where the cut is; the eye ([`super::eye`]) hides what lies before it, the scene
//! draws the cut faces. Here: what is asked of it, the words in the picture, and the slide beside it.

use bevy::prelude::{
    App, IntoScheduleConfigs as _, MessageReader, MessageWriter, Res, ResMut, Resource, Update,
};
use bevy_egui::egui::{self, Align2, Color32, CornerRadius, FontId, LayerId, Painter, Ui, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use nalgebra::Vector3;

use crate::chain::Chain;
use crate::measure::Length;
use crate::publish::sight::cut::{Plumb, middle, range};

use super::acts::chord::{Stroke, plain, typed};
use super::acts::{Act, Knows};
use super::eye::{Look, View};
use super::flags::FreeRect;
use super::look::{self, ink};
use super::session::Action;
use super::{Place, Solved, ViewerSystems, Viewpoint, Way, sift, span};

/// A key slides the cut by this much, mm: an inch, or nearly.
const STEP_MM: f64 = 25.0;
/// The cut faces lie this far behind the cut, mm: at the cut itself nothing is drawn any more.
pub(super) const BEHIND_MM: f64 = 0.3;
/// The foot of the picture, with what bands mean and how departures are drawn, points.
const FOOT: f32 = 128.0;
/// How far from the sides of the picture the slide stands, points, and how long it is at most.
const SLIDE_OFF: f32 = 16.0;
const SLIDE_LONG: f32 = 300.0;

/// Whether an action sends the eye to something, whatever it did until then.
pub(super) const fn sends_eye(action: &Action) -> bool {
    matches!(
        action,
        Action::Look(_)
            | Action::Frame(_)
            | Action::NextTrouble { .. }
            | Action::Point(Some(_))
            | Action::Sift(sift::Ask::Enter)
            | Action::Tape(span::Ask::Show(_))
            | Action::Fit(_)
            | Action::Place(Place::Fit | Place::Readings)
    )
}

/// Where the stair is cut, if it is.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub(super) struct Section {
    /// The cut.
    pub(super) now: Option<Plumb>,
    /// The eye before it.
    before: Option<super::camera::Eye>,
}

impl Section {
    /// Cut from the beginning, as in a picture.
    pub(super) fn cut(now: Option<Plumb>) -> Self {
        Self { now, before: None }
    }
}

/// What can be asked of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ask {
    /// Cuts the stair, or makes it whole again.
    Turn,
    /// Cuts it this way.
    Cut(Way),
    /// Slides the cut by so much.
    By(Length),
    /// Slides it to a distance.
    To(Length),
}

/// Whether an action looks somewhere else, so that the stair is whole again.
const fn looks_away(action: &Action) -> bool {
    sends_eye(action) || matches!(action, Action::Walk(_))
}

/// Carries out what is asked.
fn ask(
    mut actions: MessageReader<Action>,
    solved: Option<Res<Solved>>,
    mut section: ResMut<Section>,
    mut view: ResMut<View>,
) {
    for action in actions.read() {
        let Some(solved) = &solved else { continue };
        let chain = &*solved.found;
        match action {
            Action::Look(Viewpoint::Section(cut)) => {
                section.before = section.before.or(view.goal);
                section.now = Plumb::of(cut, chain);
            }
            Action::Section(Ask::Turn) if section.now.is_some() => {
                section.now = None;
                if let Some(before) = section.before.take() {
                    view.go_to(before, chain, &chain.solids);
                }
            }
            Action::Section(Ask::Turn) => begin(Way::Across, chain, &mut section, &mut view),
            Action::Section(Ask::Cut(way)) => begin(*way, chain, &mut section, &mut view),
            Action::Section(Ask::By(by)) => {
                let at = section.now.map(|now| now.at + by.as_mm());
                slide(at, chain, &mut section, &mut view);
            }
            Action::Section(Ask::To(at)) => {
                slide(Some(at.as_mm()), chain, &mut section, &mut view);
            }
            other if looks_away(other) && section.now.is_some() => {
                section.now = None;
                section.before = None;
            }
            _ => {}
        }
    }
    let cut = section.now.is_some();
    if view.cut != cut {
        view.cut = cut;
    }
}

/// Cuts the stair through its middle.
fn begin(way: Way, chain: &Chain, section: &mut Section, view: &mut View) {
    let Some(cut) = middle(chain, way) else {
        return;
    };
    section.before = section.before.or(view.goal);
    section.now = Plumb::of(&cut, chain);
    view.look = Some(Look::From(Viewpoint::Section(cut)));
}

/// Slides the cut, and the eye with it.
fn slide(at: Option<f64>, chain: &Chain, section: &mut Section, view: &mut View) {
    let (Some(now), Some(at)) = (section.now, at) else {
        return;
    };
    let Some((low, high)) = range(chain, now.way) else {
        return;
    };
    let next = now.slid_to(at.clamp(low, high));
    let axis = match now.way {
        Way::Across => Vector3::x(),
        Way::Along => Vector3::y(),
    };
    let by = axis * (next.at - now.at);
    for eye in [&mut view.eye, &mut view.goal].into_iter().flatten() {
        eye.target += by;
    }
    section.now = Some(next);
}

/// Its keys.
pub(super) const ACTS: &[Act] = &[
    Act::new(
        typed('x'),
        "cut the stair across, or make it whole again",
        "section slice elevation inside",
        |_| Some(Action::Section(Ask::Turn)),
    ),
    Act::new(
        typed('x').shift(),
        "cut the stair along, or across again",
        "section slice elevation inside lengthwise",
        |knows| {
            let along = knows.section.now.is_some_and(|now| now.way == Way::Along);
            let way = if along { Way::Across } else { Way::Along };
            Some(Action::Section(Ask::Cut(way)))
        },
    ),
    Act::new(
        plain(Stroke::PageUp),
        "slide the cut up the flight, or to the left",
        "section",
        |knows| slid(knows, STEP_MM),
    )
    .repeating(),
    Act::new(
        plain(Stroke::PageDown),
        "slide the cut down the flight, or to the right",
        "section",
        |knows| slid(knows, -STEP_MM),
    )
    .repeating(),
    Act::new(
        plain(Stroke::Escape),
        "make the stair whole again",
        "section back",
        |knows| {
            let cut = knows.section.now.is_some();
            cut.then_some(Action::Section(Ask::Turn))
        },
    ),
];

fn slid(knows: &Knows, mm: f64) -> Option<Action> {
    let cut = knows.section.now.is_some();
    cut.then(|| Action::Section(Ask::By(Length::mm(mm))))
}

/// What stands beside the picture while the stair is cut.
struct SlideView {
    plumb: Plumb,
    range: (f64, f64),
}

/// The slide, and which way it cuts.
fn slide_ui(ui: &mut Ui, view: &SlideView) -> Vec<Action> {
    let mut asked = Vec::new();
    let (low, high) = view.range;
    let ways = [(Way::Across, "across"), (Way::Along, "along")];
    for (way, word) in ways {
        let open = view.plumb.way == way;
        if ui.selectable_label(open, word).clicked() && !open {
            asked.push(Action::Section(Ask::Cut(way)));
        }
    }
    let mut at = view.plumb.at;
    let slider = egui::Slider::new(&mut at, low..=high)
        .vertical()
        .show_value(false);
    if ui.add(slider).changed() {
        asked.push(Action::Section(Ask::To(Length::mm(at))));
    }
    let whole = ui.button("whole").on_hover_text("the stair uncut: key X");
    if whole.clicked() {
        asked.push(Action::Section(Ask::Turn));
    }
    asked
}

/// Draws the slide beside the picture.
fn slide_beside(
    mut contexts: EguiContexts,
    section: Res<Section>,
    solved: Option<Res<Solved>>,
    free: Option<Res<FreeRect>>,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let (Some(plumb), Some(solved), Some(free)) = (section.now, solved, free) else {
        return Ok(());
    };
    let Some(range) = range(&solved.found, plumb.way) else {
        return Ok(());
    };
    let view = SlideView { plumb, range };
    let ctx = contexts.ctx_mut()?;
    // What is written at the foot of the picture stays free.
    let room = free
        .0
        .with_max_y(free.0.bottom() - FOOT.min(free.0.height() / 4.0));
    let at = room.left_center() + vec2(SLIDE_OFF, 0.0);
    let area = egui::Area::new("section".into())
        .fixed_pos(at)
        .pivot(Align2::LEFT_CENTER)
        .constrain_to(room);
    let long = SLIDE_LONG.min(room.height() * 0.6);
    let shown = area.show(ctx, |ui| {
        let frame = egui::Frame::new()
            .fill(ink(look::CARD).gamma_multiply(0.92))
            .corner_radius(CornerRadius::same(3))
            .inner_margin(8.0);
        let inside = |ui: &mut Ui| {
            ui.spacing_mut().slider_width = long;
            slide_ui(ui, &view)
        };
        frame.show(ui, inside).inner
    });
    actions.write_batch(shown.inner);
    Ok(())
}

/// Writes into the picture where the cut is.
fn words(
    mut contexts: EguiContexts,
    section: Res<Section>,
    solved: Option<Res<Solved>>,
    free: Option<Res<FreeRect>>,
) -> bevy::prelude::Result {
    let (Some(plumb), Some(solved)) = (section.now, solved) else {
        return Ok(());
    };
    let ctx = contexts.ctx_mut()?;
    let free = free.map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let text = plumb.says(solved.job.tape);
    let font = FontId::proportional(14.0);
    let galley = painter.layout_no_wrap(text, font, ink(look::PENCIL));
    let at = free.center_top() + vec2(0.0, 16.0);
    let rect = Align2::CENTER_TOP
        .anchor_size(at, galley.size())
        .expand2(vec2(6.0, 3.0));
    let paper: Color32 = ink(look::CARD).gamma_multiply(0.9);
    painter.rect_filled(rect, CornerRadius::same(2), paper);
    painter.galley(rect.min + vec2(6.0, 3.0), galley, ink(look::PENCIL));
    Ok(())
}

/// The cut and its words, for window and pictures.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Section>()
        .add_systems(EguiPrimaryContextPass, words.after(super::panels::draw));
}

/// What is asked of it, and the slide, which a picture does not have.
pub(super) fn hands_plugin(app: &mut App) {
    app.add_systems(Update, ask.in_set(ViewerSystems::Edit))
        .add_systems(
            EguiPrimaryContextPass,
            slide_beside.after(super::panels::draw),
        );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> Chain {
        let text = include_str!("../../scenes/half-turn.ron");
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        crate::chain::run(document.job()).unwrap()
    }

    #[test]
    fn by_keys_it_is_cut_slid_and_made_whole_again_and_the_hand_slides_the_picture() {
        use crate::viewer::camera::Lens;
        use crate::viewer::drive::{DEMO, Driven};
        let mut window = Driven::open(DEMO);
        let goal = |window: &Driven| window.get::<View>().goal.unwrap();
        let at = |window: &Driven| window.get::<Section>().now.map(|now| now.at);
        let before = goal(&window);
        window.key("x");
        window.settle();
        let first = at(&window).unwrap();
        assert_eq!(goal(&window).lens, Lens::Level);
        // Two keys slide it by 25 mm each.
        window.key("PageUp");
        window.key("PageUp");
        approx::assert_relative_eq!(at(&window).unwrap() - first, 50.0, epsilon = 1e-9);
        let yaw = goal(&window).yaw;
        let from = bevy::math::Vec2::new(560.0, 640.0);
        window.drag(from, from + bevy::math::Vec2::new(60.0, 0.0), 4);
        window.settle();
        approx::assert_relative_eq!(goal(&window).yaw, yaw, epsilon = 1e-12);
        window.key("o");
        window.settle();
        assert_eq!(goal(&window).lens, Lens::Perspective);
        assert!(at(&window).is_some(), "a lens is chosen, and the cut stays");
        window.key("Esc");
        window.settle();
        assert_eq!(at(&window), None);
        assert!(goal(&window).at(&before));
    }

    #[test]
    fn sliding_takes_the_eye_along_and_ends_at_the_ends_of_the_stair() {
        let chain = chain();
        let (mut section, mut view) = (Section::default(), View::default());
        begin(Way::Across, &chain, &mut section, &mut view);
        let free = super::super::camera::Free::whole(1.6);
        let Some(Look::From(viewpoint)) = view.look.take() else {
            panic!("it looks at the cut");
        };
        view.goal = super::super::lookout::eye(&viewpoint, &chain, &chain.solids, &free);
        let before = (section.now.unwrap().at, view.goal.unwrap().target.x);
        slide(Some(before.0 + 40.0), &chain, &mut section, &mut view);
        let after = (section.now.unwrap().at, view.goal.unwrap().target.x);
        approx::assert_relative_eq!(after.0 - before.0, 40.0, epsilon = 1e-9);
        approx::assert_relative_eq!(after.1 - before.1, 40.0, epsilon = 1e-9);
        slide(Some(1e6), &chain, &mut section, &mut view);
        let end = section.now.unwrap().at;
        let highest = crate::viewer::lookout::stair(&chain.solids)
            .iter()
            .map(|at| at.x)
            .fold(0.0, f64::max);
        assert!(end <= highest && end > highest - 1.0);
    }
}
