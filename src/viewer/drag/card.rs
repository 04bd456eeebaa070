//! The card beside a grip: what is moved, where it stands, and what follows from it.

use bevy_egui::egui::{self, Align2, Frame, Margin, Pos2, Rect, RichText, Stroke, Ui, vec2};

use crate::explain::Asked;
use crate::explain::handle::{Handle, Takes, Value, hangs};
use crate::inspect::Severity;
use crate::job::Job;
use crate::measure::{Length, Tape, Unit, parse_length};

use super::super::flags::mark;
use super::super::look::{self, ink};
use super::super::named::number;
use super::super::panels::in_place;
use super::super::session::Action;
use super::super::{Pick, Solved};
use super::{Ask, Hand, make};

/// Width of the card, points.
const WIDTH: f32 = 258.0;
/// From the grip to the card, points.
const AWAY: f32 = 64.0;

/// A number beside what is moved.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    what: String,
    now: String,
    /// As it was before, where it is another.
    was: Option<String>,
    /// What to ask about it, and whether it can be set.
    asked: Option<(Asked, bool)>,
}

/// What the card shows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CardView {
    title: String,
    /// Where it stands.
    value: String,
    /// How far that is from where it stood.
    went: Option<String>,
    /// The place that it stops at.
    stop: Option<String>,
    rows: Vec<Row>,
    /// How many troubles come and go.
    troubles: Option<(usize, usize)>,
    worst: Option<(Severity, String)>,
    /// The picture is not there yet.
    waits: bool,
    /// It is held by the pointer.
    held: bool,
    opens_wall: bool,
    length: bool,
}

/// How a value is said.
pub(super) fn said(value: Value, tape: Tape) -> String {
    match value {
        Value::Length(length) => tape.print(length),
        Value::Count(count) => number(count),
    }
}

/// How far a value lies from where it stood, in the handle's words.
pub(super) fn went(handle: &Handle, value: Value, tape: Tape) -> Option<String> {
    let by = |length: Length, more: bool| {
        let way = handle.ways[usize::from(!more)];
        format!("{} {way}", tape.print(length.abs()))
    };
    match (handle.now(), value) {
        (Value::Length(now), Value::Length(there)) => {
            let moved = there - now;
            (moved.abs() > Length::mm(0.01)).then(|| by(moved, moved > Length::ZERO))
        }
        (Value::Count(now), Value::Count(there)) if now != there => {
            Some(format!("instead of {}", number(now)))
        }
        _ => None,
    }
}

/// Gathers the card of what is held, or of the grip that is chosen.
pub(super) fn view(hand: &Hand, solved: &Solved, waits: bool) -> Option<CardView> {
    let tape = solved.job.tape;
    let lit = hand.lit.and_then(|lit| hand.handles.get(lit));
    let (handle, value, place) = match &hand.held {
        Some(held) => (&held.handle, held.aim.value, held.aim.place.as_ref()),
        None => lit.map(|handle| (handle, handle.now(), None))?,
    };
    let told = hand.telling.done.as_ref();
    let row = |change: &crate::explain::handle::Change| {
        let print = |length: Option<Length>| length.map(|length| tape.print(length));
        let (now, was) = (print(change.after), print(change.before));
        Row {
            what: change.what.clone(),
            was: was.filter(|was| Some(was) != now.as_ref()),
            now: now.unwrap_or_else(|| "none".to_owned()),
            asked: change
                .asked
                .clone()
                .map(|asked| (asked.clone(), hangs(&solved.found, &asked))),
        }
    };
    let held = hand.held.is_some();
    Some(CardView {
        title: handle.what.clone(),
        value: said(value, tape),
        went: went(handle, value, tape).filter(|_| held),
        stop: place.map(|place| place.says.clone()),
        rows: told
            .iter()
            .flat_map(|told| &told.changes)
            .map(row)
            .collect(),
        troubles: told
            .filter(|_| held)
            .map(|told| (told.brought, told.cleared)),
        worst: told.and_then(|told| told.worst.clone()).filter(|_| held),
        waits: waits || hand.telling.running.is_some(),
        held,
        opens_wall: handle.opens_wall(),
        length: matches!(handle.takes, Takes::Length(_)),
    })
}

/// True where the card stands to the right of its grip: where it fits there.
pub(super) fn right_of(at: Pos2, free: Rect) -> bool {
    at.x + AWAY + WIDTH + 6.0 <= free.right()
}

/// The card, beside its grip.
pub(super) fn show(
    ctx: &egui::Context,
    (at, free): (Pos2, Rect),
    view: &CardView,
    (hand, job): (&Hand, &Job),
) -> Vec<Action> {
    let (pivot, aside) = if right_of(at, free) {
        (Align2::LEFT_CENTER, AWAY)
    } else {
        (Align2::RIGHT_CENTER, -AWAY)
    };
    let area = egui::Area::new("grip card".into())
        .order(egui::Order::Middle)
        .pivot(pivot)
        .fixed_pos(at + vec2(aside, 0.0))
        .constrain_to(free.shrink(6.0))
        .fade_in(false)
        .interactable(!view.held);
    let frame = Frame::new()
        .fill(ink(look::CARD))
        .stroke(Stroke::new(1.0, ink(look::PENCIL_SOFT)))
        .inner_margin(Margin::symmetric(12, 9));
    let shown = area.show(ctx, |ui| {
        frame.show(ui, |ui| {
            ui.set_width(WIDTH - 24.0);
            card(ui, view, (hand, job))
        })
    });
    shown.inner.inner
}

fn card(ui: &mut Ui, view: &CardView, (hand, job): (&Hand, &Job)) -> Vec<Action> {
    let mut asked = Vec::new();
    let light = |text: &str| {
        RichText::new(text)
            .size(12.0)
            .color(ink(look::PENCIL_LIGHT))
    };
    ui.label(light(&view.title));
    asked.extend(value(ui, view, (hand, job)));
    if let Some(stop) = &view.stop {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            let (rect, _) = ui.allocate_exact_size(vec2(9.0, 14.0), egui::Sense::hover());
            ui.painter()
                .circle_stroke(rect.center(), 4.0, Stroke::new(1.6, ink(look::CHALK)));
            ui.label(RichText::new(stop).size(13.0).color(ink(look::CHALK)));
        });
    }
    if view.opens_wall {
        ui.label(
            RichText::new("The wall has to be opened for it.")
                .size(12.0)
                .color(ink(look::CRAYON)),
        );
    }
    if !view.rows.is_empty() {
        rule(ui);
        asked.extend(rows(ui, view, job));
    }
    troubles(ui, view);
    if view.waits {
        ui.label(light("setting out ..."));
    } else if !view.held {
        rule(ui);
        let keys = if view.length {
            ", and . a mark   < and > to the next stop   Enter types   H next grip"
        } else {
            ", fewer   . more   H next grip"
        };
        ui.label(light(keys));
    }
    asked
}

fn rule(ui: &mut Ui) {
    ui.add_space(3.0);
    let rect = ui.available_rect_before_wrap();
    let y = ui.cursor().top();
    let line = Stroke::new(1.0, ink(look::PENCIL_FAINT));
    ui.painter().hline(rect.x_range(), y, line);
    ui.add_space(4.0);
}

/// Where it stands, to be typed over.
fn value(ui: &mut Ui, view: &CardView, (hand, job): (&Hand, &Job)) -> Vec<Action> {
    let id = egui::Id::new("grip value");
    let count = id.with("count");
    let begun = ui.data(|data| data.get_temp::<u32>(count)).unwrap_or(0);
    if begun != hand.typed {
        ui.data_mut(|data| data.insert_temp(count, hand.typed));
        if view.length && !view.held {
            in_place::begin(ui, id, &view.value);
        }
    }
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        if in_place::typing(ui, id) {
            if let Some(text) = in_place::field(ui, id) {
                asked.push(typed(hand, job, &text));
            }
            return;
        }
        let text = RichText::new(&view.value)
            .size(21.0)
            .color(ink(look::PENCIL));
        if view.held || !view.length {
            ui.label(text);
        } else {
            let label = egui::Label::new(text).sense(egui::Sense::click());
            let label = ui.add(label).on_hover_text("Type another");
            if label.clicked() || ui.small_button("type").clicked() {
                in_place::begin(ui, id, &view.value);
            }
        }
        if let Some(went) = &view.went {
            ui.label(RichText::new(went).size(13.0).color(ink(look::PENCIL_SOFT)));
        }
    });
    asked
}

/// The edit that a typed value makes, or what is wrong with it.
fn typed(hand: &Hand, job: &Job, text: &str) -> Action {
    let Some(handle) = hand.aimed() else {
        return Action::Hand(Ask::Next);
    };
    match parse_length(text, job.tape.unit()) {
        Ok(length) => make(handle, Value::Length(length)).unwrap_or_else(|| {
            Action::Say(format!(
                "{} cannot be {text}: it is past what a job may hold",
                handle.what
            ))
        }),
        Err(problem) => Action::Say(problem.to_string()),
    }
}

fn rows(ui: &mut Ui, view: &CardView, job: &Job) -> Vec<Action> {
    let mut asked = Vec::new();
    let grid = egui::Grid::new("grip rows")
        .num_columns(3)
        .spacing(vec2(10.0, 3.0));
    grid.show(ui, |ui| {
        for row in &view.rows {
            let light = |text: &str| {
                RichText::new(text)
                    .size(12.0)
                    .color(ink(look::PENCIL_LIGHT))
            };
            ui.label(light(&row.what));
            asked.extend(row_value(ui, view, row, job));
            match &row.was {
                Some(was) => ui.label(light(&format!("was {was}"))),
                None => ui.label(""),
            };
            ui.end_row();
        }
    });
    asked
}

/// A number: asked about by a click, typed over where it hangs on one length.
fn row_value(ui: &mut Ui, view: &CardView, row: &Row, job: &Job) -> Option<Action> {
    let text = RichText::new(&row.now).size(14.0).color(ink(look::PENCIL));
    let text = if row.was.is_some() {
        text.strong()
    } else {
        text
    };
    let asked = row.asked.as_ref().filter(|_| !view.held);
    let Some((asked, hangs)) = asked else {
        ui.label(text);
        return None;
    };
    let id = egui::Id::new(("grip row", asked.id()));
    if in_place::typing(ui, id) {
        let typed = in_place::field(ui, id)?;
        return Some(wanted(asked, &typed, job.tape.unit()));
    }
    let label = egui::Label::new(text.underline()).sense(egui::Sense::click());
    let (says, hangs) = if *hangs {
        ("Type what it is to be", true)
    } else {
        ("Ask why", false)
    };
    let clicked = ui.add(label).on_hover_text(says).clicked();
    if clicked && hangs {
        in_place::begin(ui, id, &row.now);
    }
    (clicked && !hangs).then(|| Action::Pick(Some(Pick::Number(asked.clone()))))
}

/// What a number that was typed asks for.
pub(in crate::viewer) fn wanted(asked: &Asked, text: &str, unit: Unit) -> Action {
    match parse_length(text, unit) {
        Ok(length) => Action::Hand(Ask::Set(asked.clone(), length)),
        Err(problem) => Action::Say(problem.to_string()),
    }
}

/// What comes and what goes, by mark and by word.
fn troubles(ui: &mut Ui, view: &CardView) {
    let Some((brought, cleared)) = view.troubles else {
        return;
    };
    rule(ui);
    let says = match (brought, cleared) {
        (0, 0) => "no trouble comes or goes".to_owned(),
        (brought, 0) => format!("{} come{}", troubles_of(brought), s(brought)),
        (0, cleared) => format!("{} go{}", troubles_of(cleared), es(cleared)),
        (brought, cleared) => {
            format!(
                "{} come{}, {cleared} go{}",
                troubles_of(brought),
                s(brought),
                es(cleared)
            )
        }
    };
    let colour = if brought > 0 {
        look::CRAYON
    } else {
        look::PENCIL
    };
    ui.label(RichText::new(says).size(13.0).color(ink(colour)));
    if let Some((severity, says)) = &view.worst {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 16.0), egui::Sense::hover());
            mark(ui.painter(), rect.center(), *severity, 11.0, 0.9);
            ui.add(egui::Label::new(RichText::new(says).size(12.0)).wrap());
        });
    }
}

fn troubles_of(count: usize) -> String {
    if count == 1 {
        "1 trouble".to_owned()
    } else {
        format!("{count} troubles")
    }
}

const fn s(count: usize) -> &'static str {
    if count == 1 { "s" } else { "" }
}

const fn es(count: usize) -> &'static str {
    if count == 1 { "es" } else { "" }
}
