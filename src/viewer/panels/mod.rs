//! The panels beside the picture. Each is a plain function of a view struct that gives back actions;
//! the one system here gathers the views, draws them and sends the actions.

mod bar;
mod edit;
mod facts;
mod readings;
mod sure;
mod tape_field;
mod trade;
mod troubles;
mod ways;

use bevy::prelude::{App, Commands, Local, MessageWriter, Res, ResMut, Resource, Result};
use bevy_egui::egui::{self, Frame, LayerId, Margin, Panel, Stroke, Ui, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::camera::Free;
use super::eye::View;
use super::flags::FreeRect;
use super::look::{self, ink};
use super::recompute::{Advised, Explained, Work};
use super::session::{Action, Session};
use super::sure::Sure;
use super::ways::Ways;
use super::{Place, Showing, Solved};

pub(super) use sure::Odds;

/// Width of the side panels, points.
const LEFT: f32 = 318.0;
const RIGHT: f32 = 276.0;

/// A press longer than this is no click, seconds.
const LONGEST_CLICK_S: f64 = 10.0;

/// Everything that the panels show.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Shows<'w> {
    session: Res<'w, Session>,
    solved: Option<Res<'w, Solved>>,
    showing: Res<'w, Showing>,
    work: Res<'w, Work>,
    explained: Res<'w, Explained>,
    advised: Res<'w, Advised>,
    ways: Res<'w, Ways>,
    sure: Res<'w, Sure>,
}

/// Text being typed into the panels, not yet an edit.
#[derive(Resource, Default)]
pub(super) struct Typing {
    /// The file name for the first saving.
    pub(super) file: String,
    /// The sheet of readings.
    pub(super) readings: readings::Hand,
}

/// A sheet of paper to put widgets on.
fn sheet() -> Frame {
    Frame::new()
        .fill(ink(look::SHEET))
        .inner_margin(Margin::symmetric(14, 10))
        .stroke(Stroke::new(1.0, ink(look::PENCIL_FAINT)))
}

/// A heading in small pencil capitals, with a rule under it.
fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(6.0);
    ui.label(
        egui::RichText::new(text)
            .size(15.0)
            .strong()
            .color(ink(look::PENCIL)),
    );
    let rect = ui.available_rect_before_wrap();
    let at = ui.cursor().top() - 1.0;
    ui.painter().hline(
        rect.x_range(),
        at,
        Stroke::new(1.0, ink(look::PENCIL_FAINT)),
    );
    ui.add_space(5.0);
}

/// The head of a place of the window, with the way back from it.
fn place_head(ui: &mut Ui, title: &str) -> Option<Action> {
    let mut back = None;
    ui.horizontal(|ui| {
        ui.label(
            egui::RichText::new(title)
                .size(17.0)
                .color(ink(look::PENCIL)),
        );
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Back").on_hover_text("Esc").clicked() {
                back = Some(Action::Place(Place::SetOut));
            }
        });
    });
    back
}

/// Quiet text.
fn quiet(ui: &mut Ui, text: &str) {
    ui.label(
        egui::RichText::new(text)
            .size(12.0)
            .color(ink(look::PENCIL_LIGHT)),
    );
}

/// Draws all panels and sends what was asked for.
pub(super) fn draw(
    mut contexts: EguiContexts,
    mut commands: Commands,
    shows: Shows,
    mut typing: ResMut<Typing>,
    mut view: ResMut<View>,
    mut dressed: Local<bool>,
    mut actions: MessageWriter<Action>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    if !std::mem::replace(&mut *dressed, true) {
        dress(ctx);
    }
    let whole = ctx.viewport_rect();
    let about = UiBuilder::new()
        .layer_id(LayerId::background())
        .max_rect(whole);
    let mut ui = Ui::new(ctx.clone(), "window".into(), about);
    let asked = all(&mut ui, &shows, &mut typing);
    actions.write_batch(asked);
    let free = ui.available_rect_before_wrap();
    commands.insert_resource(FreeRect(free));
    view.free = share(whole, free);
    Ok(())
}

/// The free part as shares of the whole.
fn share(whole: egui::Rect, free: egui::Rect) -> Option<Free> {
    let (width, height) = (f64::from(whole.width()), f64::from(whole.height()));
    let seen = free.width() > 1.0 && free.height() > 1.0;
    seen.then(|| Free {
        aspect: width / height,
        across: [free.left(), free.right()].map(|x| f64::from(x) / width),
        down: [free.top(), free.bottom()].map(|y| f64::from(y) / height),
    })
}

fn all(ui: &mut Ui, shows: &Shows, typing: &mut Typing) -> Vec<Action> {
    let mut asked = Vec::new();
    let solved = shows.solved.as_deref();
    let bar = bar::view(
        &shows.session,
        solved,
        &shows.showing,
        (&shows.work, &shows.sure),
    );
    let top = Panel::top("bar").frame(sheet()).show_separator_line(false);
    asked.extend(top.show(ui, |ui| bar::bar_ui(ui, &bar, typing)).inner);
    let bottom = Panel::bottom("foot")
        .frame(sheet())
        .show_separator_line(false);
    bottom.show(ui, |ui| bar::foot_ui(ui, &bar));
    let side = || sheet().stroke(Stroke::NONE);
    if shows.showing.place == Place::Readings {
        let document = &shows.session.document;
        let next = solved.and_then(|solved| shows.advised.of(solved.generation));
        let left = Panel::left("readings")
            .exact_size(readings::WIDTH)
            .resizable(false)
            .frame(side());
        let draw = |ui: &mut Ui| readings::readings_ui(ui, &mut typing.readings, document, next);
        asked.extend(left.show(ui, draw).inner);
        return asked;
    }
    asked.extend(typing.readings.close(&shows.session.document));
    if shows.showing.place == Place::Sure {
        let view = sure::view(&shows.sure, &shows.session, &shows.showing);
        let left = Panel::left("sure")
            .exact_size(sure::WIDTH)
            .resizable(false)
            .frame(side());
        asked.extend(left.show(ui, |ui| sure::sure_ui(ui, &view)).inner);
        return asked;
    }
    if shows.showing.mood == super::Mood::Show && shows.showing.place == Place::SetOut {
        return asked;
    }
    let Some(solved) = solved else { return asked };
    if shows.showing.place == Place::Ways {
        asked.extend(ways_panel(ui, shows));
        return asked;
    }
    let drawn = shows.sure.current(&shows.session).map(|drawn| &**drawn);
    let troubles = troubles::view(solved, &shows.showing, &shows.explained, drawn);
    let left = Panel::left("troubles")
        .exact_size(LEFT)
        .resizable(false)
        .frame(side());
    asked.extend(
        left.show(ui, |ui| troubles::troubles_ui(ui, &troubles))
            .inner,
    );
    let edit = edit::view(shows.session.document.job(), solved, &shows.showing);
    let right = Panel::right("set-out")
        .exact_size(RIGHT)
        .resizable(false)
        .frame(side());
    asked.extend(right.show(ui, |ui| edit::edit_ui(ui, &edit)).inner);
    asked
}

/// The job and its alternatives, where it was set out.
fn ways_panel(ui: &mut Ui, shows: &Shows) -> Vec<Action> {
    let Some(standing) = &shows.work.standing else {
        return Vec::new();
    };
    let tape = shows.session.document.job().tape;
    let ways = shows.ways.of(shows.work.stood);
    let view = ways::view(standing.found(), ways, shows.showing.way, tape);
    let left = Panel::left("ways")
        .exact_size(ways::WIDTH)
        .resizable(false)
        .frame(sheet().stroke(Stroke::NONE));
    left.show(ui, |ui| ways::ways_ui(ui, &view)).inner
}

/// Our own look for egui's widgets: paper, pencil, calm spacing.
pub(super) fn dress(ctx: &egui::Context) {
    let mut fonts = egui::FontDefinitions::default();
    // Primes, arrows and the like are in Hack only, and the text family does not fall back to it.
    if let Some(text) = fonts.families.get_mut(&egui::FontFamily::Proportional) {
        text.push("Hack".to_owned());
    }
    ctx.set_fonts(fonts);
    ctx.set_theme(egui::Theme::Light);
    // Where no graphics card is, a frame may take longer than egui's 0.8 s between press and
    // release, and a click is a click all the same.
    ctx.options_mut(|options| options.input_options.max_click_duration = LONGEST_CLICK_S);
    ctx.all_styles_mut(|style| {
        style.spacing.item_spacing = egui::vec2(8.0, 6.0);
        style.spacing.button_padding = egui::vec2(8.0, 3.0);
        style.spacing.interact_size.y = 22.0;
        for (kind, id) in &mut style.text_styles {
            id.size = match kind {
                egui::TextStyle::Small => 11.5,
                egui::TextStyle::Heading => 18.0,
                _ => 13.5,
            };
        }
        paint_widgets(&mut style.visuals);
    });
}

fn paint_widgets(visuals: &mut egui::Visuals) {
    let corner = egui::CornerRadius::same(2);
    let dress = |widget: &mut egui::style::WidgetVisuals, fill: look::Rgb, edge: look::Rgb| {
        widget.bg_fill = ink(fill);
        widget.weak_bg_fill = ink(fill);
        widget.bg_stroke = Stroke::new(1.0, ink(edge));
        widget.fg_stroke = Stroke::new(1.0, ink(look::PENCIL));
        widget.corner_radius = corner;
        widget.expansion = 0.0;
    };
    let widgets = &mut visuals.widgets;
    dress(&mut widgets.noninteractive, look::SHEET, look::PENCIL_FAINT);
    dress(&mut widgets.inactive, look::CARD, look::PENCIL_FAINT);
    dress(&mut widgets.hovered, look::CARD, look::PENCIL);
    dress(&mut widgets.active, look::PAPER, look::CHALK);
    dress(&mut widgets.open, look::CARD, look::PENCIL);
    visuals.selection.bg_fill = ink(look::CHALK).gamma_multiply(0.22);
    visuals.selection.stroke = Stroke::new(1.0, ink(look::CHALK));
    visuals.panel_fill = ink(look::SHEET);
    visuals.window_fill = ink(look::CARD);
    visuals.extreme_bg_color = ink(look::CARD);
    visuals.override_text_color = Some(ink(look::PENCIL));
    visuals.slider_trailing_fill = true;
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Typing>()
        .add_systems(EguiPrimaryContextPass, draw);
}

/// Moves the picked newel (or the only one) by so many marks of the tape.
pub(super) fn nudge(
    job: &crate::job::Job,
    picked: Option<&super::Pick>,
    marks: f64,
) -> Option<Action> {
    let names = picked.map(super::Pick::parts).unwrap_or_default();
    let runs = job.each_run();
    let all: Vec<(&crate::job::OneRun, usize)> = runs
        .iter()
        .flat_map(|run| (0..run.job.design.newels.len()).map(move |index| (run, index)))
        .collect();
    let named = all
        .iter()
        .find(|(run, index)| names.contains(&run.job.design.newels[*index].name.as_str()));
    let only = (all.len() == 1).then(|| &all[0]);
    let (run, index) = named.or(only)?;
    let newel = &run.job.design.newels[*index];
    let (_, mut field) = edit::newel_field(&run.job, *index, newel);
    field.path = run.path(&field.path);
    Some(field.marks(marks))
}
