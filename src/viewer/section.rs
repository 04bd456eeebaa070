//! A section anywhere: a plumb cut through the stair, slid along it.
//!
//! [`Section`] says where the cut is; the eye ([`super::eye`]) hides what lies before it, the scene
//! draws the cut faces. Here: what is asked of it, the words in the picture, and the slide beside it.

use bevy::prelude::{
    App, IntoScheduleConfigs as _, MessageReader, MessageWriter, Res, ResMut, Resource, Update,
};
use bevy_egui::egui::{self, Align2, Color32, CornerRadius, FontId, LayerId, Painter, Ui, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::solids::Plane;

use super::acts::chord::{Stroke, plain, typed};
use super::acts::{Act, Knows};
use super::eye::{Look, View};
use super::flags::FreeRect;
use super::look::{self, ink};
use super::lookout::sends_eye;
use super::session::Action;
use super::viewpoint::{Cut, around_stair};
use super::{Solved, ViewerSystems, Viewpoint, Way};

/// A key slides the cut by this much, mm: an inch, or nearly.
const STEP_MM: f64 = 25.0;
/// The cut faces lie this far behind the cut, mm: at the cut itself nothing is drawn any more.
pub(super) const BEHIND_MM: f64 = 0.3;
/// How far from the sides of the picture the slide stands, points, and how long it is at most.
const SLIDE_OFF: f32 = 16.0;
const SLIDE_LONG: f32 = 300.0;

/// A plumb cut in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plumb {
    /// Which way it cuts.
    pub(super) way: Way,
    /// Its distance ([`Way`]), mm.
    pub(super) at: f64,
    /// +1 where the open side is on the left going up, -1 where it is on the right.
    outward: f64,
}

impl Plumb {
    /// The cut that is asked for on a stair. `None` where its distance is no length.
    pub(super) fn of(cut: &Cut, chain: &Chain) -> Option<Self> {
        let first = chain.first();
        Some(Self {
            way: cut.way,
            at: cut.distance(first.run.job.units)?.as_mm(),
            outward: first.site.outward,
        })
    }

    /// The plane; its outward side is what is cut away, where the eye is. Never `None` in truth, for
    /// its normal has a length.
    pub(super) fn plane(&self) -> Option<Plane> {
        match self.way {
            Way::Across => Plane::through(Point3::new(self.at, 0.0, 0.0), -Vector3::x()),
            Way::Along => {
                let out = Vector3::y() * self.outward;
                Plane::through(Point3::new(0.0, self.at, 0.0), out)
            }
        }
    }

    /// The same cut, slid.
    fn slid_to(self, at: f64) -> Self {
        Self { at, ..self }
    }

    /// Where it is, in words.
    pub(super) fn says(&self, tape: Tape) -> String {
        let print = |mm: f64| tape.print_feet(Length::mm(mm));
        match self.way {
            Way::Across if self.at < 0.0 => {
                format!(
                    "section across, {} before the face of the first kick",
                    print(-self.at)
                )
            }
            Way::Across => format!(
                "section across, {} up the flight from the face of the first kick",
                print(self.at)
            ),
            Way::Along => {
                let inward = -self.at * self.outward;
                let side = if inward < 0.0 {
                    "out, to the open side"
                } else {
                    "in, to the wall side"
                };
                format!(
                    "section along, {} {side} of the baluster line",
                    print(inward.abs())
                )
            }
        }
    }
}

/// How far a cut may be slid, mm: over the stair's own length or width.
fn range(chain: &Chain, way: Way) -> Option<(f64, f64)> {
    let bounds = around_stair(&chain.solids)?;
    let axis = match way {
        Way::Across => 0,
        Way::Along => 1,
    };
    Some((bounds.low[axis].ceil(), bounds.high[axis].floor()))
}

/// The cut through the middle of the first flight: in the middle of a tread's going, so that it meets
/// no kick on its flat.
pub(super) fn middle(chain: &Chain, way: Way) -> Option<Cut> {
    let site = &chain.first().site;
    let at = match way {
        Way::Across => match site.steps.get(site.steps.len().saturating_sub(1) / 2) {
            Some(step) => step.kick_x + step.going / 2.0,
            None => range(chain, way).map(|(low, high)| f64::midpoint(low, high))?,
        },
        Way::Along => {
            let (wall, open) = site.across()?;
            site.outward * f64::midpoint(wall, open)
        }
    };
    Some(Cut::new(way, Length::mm(at.round())))
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
    let at = free.0.left_center() + vec2(SLIDE_OFF, 0.0);
    let area = egui::Area::new("section".into())
        .fixed_pos(at)
        .pivot(Align2::LEFT_CENTER)
        .constrain_to(free.0);
    let long = SLIDE_LONG.min(free.0.height() * 0.6);
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
    fn what_is_cut_away_lies_where_the_eye_is() {
        // A stair open on the left going up: it is seen from the left, and up the flight.
        let chain = chain();
        let cut = |way, at| Plumb::of(&Cut::new(way, Length::mm(at)), &chain).unwrap();
        let across = cut(Way::Across, 500.0).plane().unwrap();
        assert!(across.distance(&Point3::new(400.0, 0.0, 0.0)) > 0.0);
        let along = cut(Way::Along, -300.0).plane().unwrap();
        assert!(along.distance(&Point3::new(0.0, -200.0, 0.0)) > 0.0);
        approx::assert_relative_eq!(
            along.distance(&Point3::new(0.0, -350.0, 0.0)),
            -50.0,
            epsilon = 1e-9
        );
    }

    #[test]
    fn its_place_is_told_on_the_tape() {
        let chain = chain();
        let says = |way, inches: f64| {
            let cut = Cut::new(way, Length::inches(inches));
            Plumb::of(&cut, &chain).unwrap().says(Tape::Sixteenths)
        };
        assert_eq!(
            says(Way::Across, 62.5),
            "section across, 5' 2 1/2\" up the flight from the face of the first kick"
        );
        assert!(says(Way::Across, -3.0).contains("before"));
        assert!(says(Way::Along, -12.0).contains("to the wall side"));
        assert!(says(Way::Along, 2.0).contains("to the open side"));
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
        view.goal = super::super::viewpoint::eye(&viewpoint, &chain, &chain.solids, &free);
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
