//! The panels beside the picture. Each is a plain function of a view struct that gives back actions;
//! the one system here gathers the views, draws them and sends the actions.

pub(super) mod acts;
mod asks;
mod bar;
mod because;
mod causes;
mod client;
mod climb;
mod edit;
mod facts;
mod fit;
pub(super) mod in_place;
mod let_stand;
#[cfg(test)]
mod letters;
mod open;
mod readings;
mod sheets;
mod span;
pub(super) mod steps;
mod sure;
mod tape_field;
pub(super) mod tour;
mod trade;
mod troubles;
mod ways;

use bevy::prelude::{
    App, Commands, IntoScheduleConfigs as _, Local, MessageWriter, Res, ResMut, Resource, Result,
    Update,
};
use bevy_egui::egui::{self, Frame, LayerId, Margin, Panel, Stroke, Ui, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::camera::Free;
use super::client::{Came, Making};
use super::compounding::Compound;
use super::divide::Divide;
use super::eye::View;
use super::files::Files;
use super::fit::Fit;
use super::flags::FreeRect;
use super::ground::{self, Ground};
use super::look::{self, ink};
use super::recompute::{Advised, Explained, Work};
use super::session::{Action, Session};
use super::sheets::Sheets;
use super::sift::Sift;
use super::span::{Laying, Noted};
use super::sure::Sure;
use super::ways::Ways;
use super::{Place, Showing, Solved, ViewerSystems};

pub(super) use readings::About;
pub(super) use sure::Odds;
pub(super) use ways::value_words;

/// Width of the side panels, points.
const LEFT: f32 = 318.0;
const RIGHT: f32 = 304.0;
/// With less left for the picture than this, one panel has to do, points.
const LEAST_PICTURE: f32 = 380.0;

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
    climbing: Res<'w, super::climb::Climbing>,
    sift: Res<'w, Sift>,
    laying: Res<'w, Laying>,
    noted: Res<'w, Noted>,
    divide: Res<'w, Divide>,
    compound: Res<'w, Compound>,
    fit: Res<'w, Fit>,
    sheets: Res<'w, Sheets>,
    files: Res<'w, Files>,
    came: Res<'w, Came>,
    making: Res<'w, Making>,
}

impl Shows<'_> {
    /// The document with what is tried on it, once that is set out.
    fn tried(&self) -> Option<&std::sync::Arc<crate::job::Document>> {
        let trial = self.session.trial().is_some();
        self.work.document().filter(|_| trial)
    }
}

/// Text being typed into the panels, not yet an edit.
#[derive(Resource, Default)]
pub(super) struct Typing {
    /// What is typed and chosen in the list of files.
    pub(super) open: open::Hand,
    /// Why a trouble is let stand.
    pub(super) reason: let_stand::Reason,
    /// A word to the tape that is kept.
    pub(super) word: String,
    /// A question to the client.
    pub(super) question: client::Question,
    /// The sheet of readings.
    pub(super) readings: readings::Hand,
    /// Keys are text now.
    pub(super) text: bool,
    /// The keys have come to a button.
    pub(super) button: bool,
    /// What was typed there when the hand was sent to another row.
    pub(super) kept: Vec<Action>,
    /// In a narrow window what can be changed stands where the troubles do.
    pub(super) other_side: bool,
    /// The list of viewpoints was asked for by its key.
    pub(super) viewpoints: bool,
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

/// Text of a line.
fn line(ui: &mut Ui, text: impl Into<String>) {
    let text = egui::RichText::new(text)
        .size(13.0)
        .color(ink(look::PENCIL));
    ui.add(egui::Label::new(text).wrap());
}

/// Text beside a line, softer.
fn soft(ui: &mut Ui, text: impl Into<String>) {
    let text = egui::RichText::new(text)
        .size(12.5)
        .color(ink(look::PENCIL_SOFT));
    ui.add(egui::Label::new(text).wrap());
}

/// Quiet text.
fn quiet(ui: &mut Ui, text: &str) {
    ui.label(
        egui::RichText::new(text)
            .size(12.0)
            .color(ink(look::PENCIL_LIGHT)),
    );
}

/// True where the keys have come to another line of a list since it was last drawn: then it is
/// scrolled to, and not again, so that a wheel may scroll away from it.
fn comes_to(ui: &Ui, list: &'static str, line: egui::Id) -> bool {
    let last = egui::Id::new(("keys at", list));
    ui.data_mut(|data| {
        let at = data.get_temp_mut_or_default::<Option<egui::Id>>(last);
        at.replace(line) != Some(line)
    })
}

/// Draws all panels and sends what was asked for.
pub(super) fn draw(
    mut contexts: EguiContexts,
    mut commands: Commands,
    shows: Shows,
    mut typing: ResMut<Typing>,
    mut view: ResMut<View>,
    (mut dressed, mut letters): (Local<Option<Ground>>, Local<Letters>),
    mut actions: MessageWriter<Action>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    if dressed.replace(ground::now()) != Some(ground::now()) {
        dress(ctx);
    }
    alphabet(ctx, &mut letters);
    let whole = ctx.viewport_rect();
    let about = UiBuilder::new()
        .layer_id(LayerId::background())
        .max_rect(whole);
    let mut ui = Ui::new(ctx.clone(), "window".into(), about);
    let asked = all(&mut ui, &shows, &mut typing);
    actions.write_batch(asked);
    let free = ui.available_rect_before_wrap();
    commands.insert_resource(FreeRect(free));
    let ctx = ui.ctx();
    actions.write_batch(over(ctx, &shows, &mut typing));
    typing.text = ctx.text_edit_focused() || typing.readings.holds();
    typing.button = !typing.text && ctx.memory(|memory| memory.focused().is_some());
    let seen = share(whole, seen(free, shows.showing.mood));
    if view.free != seen {
        view.free = seen;
    }
    Ok(())
}

/// For which size of a point the letters are known, and in how many frames they were drawn.
#[derive(Default)]
pub(super) struct Letters(f32, u8);

/// A letter that was never drawn comes a frame or more late, and words stand with gaps until then: so
/// all of them are laid out while the window opens.
fn alphabet(ctx: &egui::Context, known: &mut Letters) {
    const SIZES: [f32; 10] = [11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 14.5, 15.0, 17.0, 18.0];
    // The first frames have no fonts of ours yet.
    const FRAMES: u8 = 4;
    let points = ctx.pixels_per_point();
    if known.0.to_bits() != points.to_bits() {
        *known = Letters(points, 0);
    }
    if known.1 == FRAMES {
        return;
    }
    known.1 += 1;
    let letters: String = (' '..='~')
        .chain("\u{b1}\u{d7}\u{bc}\u{bd}\u{be}".chars())
        .collect();
    let painter = ctx.layer_painter(LayerId::background());
    for size in SIZES {
        let font = egui::FontId::proportional(size);
        let _known = painter.layout_no_wrap(letters.clone(), font, ink(look::PENCIL));
    }
}

/// The part of the free that nothing is written over.
pub(super) fn seen(free: egui::Rect, mood: super::Mood) -> egui::Rect {
    let foot = match mood {
        super::Mood::Work => super::flags::FOOT_ROOM,
        super::Mood::Show => 0.0,
    };
    // A low window shows the stair all the same.
    free.with_max_y(free.bottom() - foot.min(free.height() / 4.0))
}

/// What lies over the window: a question, or the list of files.
fn over(ctx: &egui::Context, shows: &Shows, typing: &mut Typing) -> Option<Action> {
    let files = &shows.files;
    asks::held_ui(ctx, files);
    if files.list.is_none() {
        typing.open = open::Hand::default();
    }
    if let Some(question) = &files.question {
        return asks::question_ui(ctx, question, &shows.session);
    }
    let want = files.list.as_ref()?;
    open::list_ui(ctx, want, (files, &shows.session), &mut typing.open)
}

/// The free part as shares of the whole.
pub(super) fn share(whole: egui::Rect, free: egui::Rect) -> Option<Free> {
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
    asked.extend(asks::strip_ui(ui, &shows.files, &shows.session));
    let bottom = Panel::bottom("foot")
        .frame(sheet())
        .show_separator_line(false);
    asked.extend(bottom.show(ui, |ui| bar::foot_ui(ui, &bar)).inner);
    let strip = solved.and_then(|solved| climb::view(&shows.climbing, &shows.showing, solved));
    if let Some(strip) = strip {
        let panel = Panel::bottom("climb")
            .frame(sheet())
            .show_separator_line(false);
        asked.extend(panel.show(ui, |ui| climb::climb_ui(ui, &strip)).inner);
    }
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
        let view = sure::view(&shows.sure, &shows.session, &shows.showing, &shows.compound);
        let left = Panel::left("sure")
            .exact_size(sure::width(&view))
            .resizable(false)
            .frame(side());
        asked.extend(left.show(ui, |ui| sure::sure_ui(ui, &view)).inner);
        return asked;
    }
    if shows.showing.place == Place::Fit {
        let view = fit::view(&shows.fit, &shows.session.document);
        let left = Panel::left("fit")
            .exact_size(fit::WIDTH)
            .resizable(false)
            .frame(side());
        asked.extend(left.show(ui, |ui| fit::fit_ui(ui, &view)).inner);
        return asked;
    }
    if shows.showing.place == Place::Sheets {
        let view = sheets::view(&shows.sheets, shows.session.document.job());
        let left = Panel::left("sheets")
            .exact_size(sheets::WIDTH)
            .resizable(false)
            .frame(side());
        asked.extend(left.show(ui, |ui| sheets::sheets_ui(ui, &view)).inner);
        let free = ui.available_rect_before_wrap();
        asked.extend(sheets::page_ui(ui.ctx(), free, &view));
        return asked;
    }
    if shows.showing.place == Place::Client {
        asked.extend(client_panel(ui, shows, typing));
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
    asked.extend(set_out(ui, shows, solved, typing));
    asked
}

/// The troubles on the left; on the right what can be changed, and the tape.
fn set_out(ui: &mut Ui, shows: &Shows, solved: &Solved, typing: &mut Typing) -> Vec<Action> {
    let mut asked = Vec::new();
    let side = || sheet().stroke(Stroke::NONE);
    let drawn = shows.sure.current(&shows.session).map(|drawn| &**drawn);
    let troubles = troubles::view(
        solved,
        (&shows.showing, &shows.sift),
        &shows.explained,
        drawn,
    );
    let narrow = ui.ctx().viewport_rect().width() < LEFT + RIGHT + LEAST_PICTURE;
    if !(narrow && typing.other_side) {
        let panel = Panel::left("troubles")
            .exact_size(LEFT)
            .resizable(false)
            .frame(side());
        let draw = |ui: &mut Ui| {
            sides_ui(ui, narrow, typing);
            troubles::troubles_ui(ui, &troubles, &mut typing.reason)
        };
        asked.extend(panel.show(ui, draw).inner);
        if narrow {
            return asked;
        }
    }
    let document = shows.tried().unwrap_or(&shows.session.document);
    let edit = edit::view(document, solved, &shows.showing);
    let right = match narrow {
        true => Panel::left("set-out").exact_size(LEFT),
        false => Panel::right("set-out").exact_size(RIGHT),
    };
    let right = right.resizable(false).frame(side());
    let tape = (&*shows.laying, &*shows.noted);
    let tape = span::view(solved, &shows.showing, tape);
    let draw = |ui: &mut Ui| {
        sides_ui(ui, narrow, typing);
        if shows.laying.out {
            return span::span_ui(ui, &tape, &mut typing.word);
        }
        let foot = Panel::bottom("tape")
            .frame(Frame::new())
            .show_separator_line(false);
        let word = &mut typing.word;
        let mut asked = foot.show(ui, |ui| span::span_ui(ui, &tape, word)).inner;
        asked.extend(edit::edit_ui(ui, &edit));
        asked
    };
    asked.extend(right.show(ui, draw).inner);
    asked
}

/// Where the window is too narrow for both panels: which of them stands there.
fn sides_ui(ui: &mut Ui, narrow: bool, typing: &mut Typing) {
    if !narrow {
        return;
    }
    ui.horizontal(|ui| {
        for (other, word) in [(false, "Troubles"), (true, "What can be changed")] {
            if ui
                .selectable_label(typing.other_side == other, word)
                .clicked()
            {
                typing.other_side = other;
            }
        }
    });
}

/// What the client is shown, asked, and has answered.
fn client_panel(ui: &mut Ui, shows: &Shows, typing: &mut Typing) -> Vec<Action> {
    let document = &shows.session.document;
    let back = (&*shows.came, &*shows.making);
    let view = client::view(document, shows.solved.as_deref(), &shows.showing, back);
    let left = Panel::left("client")
        .exact_size(client::WIDTH)
        .resizable(false)
        .frame(sheet().stroke(Stroke::NONE));
    let draw = |ui: &mut Ui| client::client_ui(ui, &view, &mut typing.question);
    left.show(ui, draw).inner
}

/// The job and its alternatives, where it was set out.
fn ways_panel(ui: &mut Ui, shows: &Shows) -> Vec<Action> {
    let Some(standing) = &shows.work.standing else {
        return Vec::new();
    };
    let tape = shows.session.document.job().tape;
    let ways = shows.ways.of(shows.work.stood);
    let edited = shows.session.unsaved();
    let shown = (shows.showing.way, *shows.divide, edited);
    let view = ways::view(standing.found(), ways, shown, tape);
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
    ctx.set_theme(match ground::now() {
        Ground::Paper => egui::Theme::Light,
        Ground::Slate => egui::Theme::Dark,
    });
    // Where no graphics card is, a frame may take longer than egui's 0.8 s between press and
    // release, and a click is a click all the same.
    ctx.options_mut(|options| {
        options.input_options.max_click_duration = LONGEST_CLICK_S;
        // The size of the text is ours (`text_size`): both together would make it larger twice.
        options.zoom_with_keyboard = false;
    });
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
    // What stands in an empty field is read as well.
    visuals.weak_text_color = Some(ink(look::PENCIL_LIGHT));
    let corner = egui::CornerRadius::same(2);
    let dress = |widget: &mut egui::style::WidgetVisuals, fill: look::Tone, edge: look::Tone| {
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
        .add_systems(Update, bar::listen.in_set(ViewerSystems::Edit))
        .add_systems(EguiPrimaryContextPass, draw);
}

/// Moves the picked newel (or the only one) by so many marks of the tape.
pub(super) fn nudge(
    document: &crate::job::Document,
    picked: Option<&super::Pick>,
    marks: f64,
) -> Option<Action> {
    let names = picked.map(super::Pick::parts).unwrap_or_default();
    let runs = document.each_run();
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
