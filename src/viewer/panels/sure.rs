//! The place that says how sure the stair is: draws it, and tells what may fail and how likely.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::doubt::{Chance, Ended, MISS, Measured, Progress, Sample, Tally};
use crate::inspect::{Key, Severity};
use crate::measure::{Length, Tape};
use crate::publish::{grouped, odds, odds_within, per_cent};

use super::super::convert;
use super::super::flags::mark;
use super::super::look::{self, ink};
use super::super::session::{Action, Session};
use super::super::sure::{Drawn, Standing, Sure};
use super::super::{MOST_STRETCH, Pick, Showing};
use super::troubles::{limit_words, sentence};
use super::{heading, place_head, quiet};

/// Width of the panel, points.
pub(super) const WIDTH: f32 = 430.0;
/// So many lines of a kind are told.
const TOLD: usize = 30;
/// Sources named under the line that is picked, and under the others.
const SOURCES: (usize, usize) = (3, 2);
/// A source with less of a share is not named.
const SHARE_TOLD: f64 = 0.05;

/// How likely something is, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Odds {
    /// As one bets.
    pub(in crate::viewer) says: String,
    /// From what to what it may lie.
    pub(in crate::viewer) within: String,
}

impl Odds {
    /// Of something that was counted.
    pub(in crate::viewer) fn of(tally: &Tally) -> Self {
        let (low, high) = tally.interval(MISS);
        match tally.hits {
            0 => Self {
                says: "not once".to_owned(),
                within: format!("{} at most", odds(high)),
            },
            hits if hits == tally.of => Self {
                says: "every time".to_owned(),
                within: format!("{} at least", odds(low)),
            },
            _ => Self {
                says: odds(tally.share()),
                within: odds_within((low, high)),
            },
        }
    }
}

/// Where a value may lie, as shares of the width of a drawing.
struct Strip {
    /// 19 times in 20.
    outer: (f32, f32),
    /// Half of the time.
    inner: (f32, f32),
    planned: f32,
    limit: f32,
}

/// Something that may fail.
struct Line {
    key: Key,
    severity: Severity,
    odds: Odds,
    /// It fails in every draw.
    always: bool,
    says: String,
    numbers: String,
    strip: Option<Strip>,
    /// Shares of its variance, and what they come from.
    sources: Vec<(f64, String)>,
    picked: bool,
}

/// A trouble that only some draws have.
struct Fresh {
    severity: Severity,
    odds: String,
    says: String,
}

/// What came of the draws.
struct Told {
    stale: bool,
    said: String,
    unread: Option<String>,
    whole: Option<Odds>,
    none: Vec<String>,
    kept: Vec<Line>,
    /// Troubles of the plan that are not there in every draw.
    open: Vec<Line>,
    /// And those that are.
    always: Vec<Line>,
    more: usize,
    fresh: Vec<Fresh>,
    results: Vec<[String; 4]>,
    /// What is to be known of pieces that are cut to the plan.
    pieces: Vec<String>,
    safe: usize,
}

/// What the panel shows.
pub(super) struct SureView {
    standing: Standing,
    most: u64,
    refused: Option<&'static str>,
    told: Option<Told>,
    fan: bool,
    stretch: f64,
}

fn said(sample: &Sample) -> String {
    let draws = grouped(sample.draws);
    match sample.ended {
        Ended::Enough => format!("drawn {draws} times: every chance is known well enough"),
        Ended::Most => format!("drawn {draws} times"),
        Ended::Cancelled if sample.draws == 0 => {
            "ended before a single draw was counted".to_owned()
        }
        Ended::Cancelled => {
            format!("ended early, after {draws} draws: these are only what came until then")
        }
    }
}

fn unread(count: usize) -> Option<String> {
    let words = match count {
        0 => return None,
        1 => "1 quantity that nobody read stands as meant".to_owned(),
        count => format!("{count} quantities that nobody read stand as meant"),
    };
    Some(words)
}

fn line(one: &Chance, drawn: &Drawn, showing: &Showing, tape: Tape) -> Line {
    let plan = &one.plan;
    let planned = format!("planned {}", tape.print(plan.value()));
    let limit = limit_words(plan, tape);
    let numbers = match one.within() {
        Some((low, high)) => {
            let (low, high) = (tape.print(low), tape.print(high));
            format!("{planned}; 19 times in 20: {low} to {high}; {limit}")
        }
        None => format!("{planned}; {limit}"),
    };
    let seen = one.shares.iter().filter(|(_, share)| *share >= SHARE_TOLD);
    let sources = seen.take(SOURCES.0);
    Line {
        key: plan.key.clone(),
        severity: plan.severity,
        odds: Odds::of(&one.tally),
        always: one.always(),
        says: sentence(&plan.says),
        numbers,
        strip: strip(one),
        sources: sources
            .map(|&(source, share)| (share.min(1.0), drawn.sources[source].clone()))
            .collect(),
        picked: showing.picked == Some(Pick::Trouble(plan.key.clone())),
    }
}

/// Where the value may lie, beside its plan and its limit.
fn strip(one: &Chance) -> Option<Strip> {
    let outer = one.spread.within(1.0 - MISS)?;
    let inner = one.spread.within(0.5)?;
    let (planned, limit) = (one.plan.value().as_mm(), one.plan.limit.as_mm());
    let all = [outer.0, outer.1, planned, limit];
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let wide = most - least;
    (wide.is_finite() && wide > 0.0).then(|| {
        let at = |value: f64| convert::single((value - least) / wide);
        Strip {
            outer: (at(outer.0), at(outer.1)),
            inner: (at(inner.0), at(inner.1)),
            planned: at(planned),
            limit: at(limit),
        }
    })
}

fn result(one: &Measured, tape: Tape) -> Option<[String; 4]> {
    let (low, high) = one.spread.within(1.0 - MISS)?;
    let comes = |by: f64| tape.print(one.planned + Length::mm(by));
    let planned = tape.print(one.planned);
    Some([sentence(&one.what), planned, comes(low), comes(high)])
}

/// The numbers of the set-out, and of the reveals the one that is least sure.
fn results(all: &[Measured], tape: Tape) -> Vec<[String; 4]> {
    let reveal = |one: &&Measured| one.what.starts_with("reveal");
    let sd = |one: &Measured| one.spread.sd().unwrap_or_default();
    let reveals = all.iter().filter(reveal);
    let loosest = reveals.max_by(|a, b| sd(a).total_cmp(&sd(b)));
    let others = all.iter().filter(|one| !reveal(one) && !one.piece);
    let told = others.chain(loosest);
    told.filter_map(|one| result(one, tape)).collect()
}

/// How a piece that is cut to the plan comes out.
fn piece(one: &Measured, tape: Tape) -> Option<String> {
    let (low, high) = one.spread.within(1.0 - MISS)?;
    let (short, long) = (Length::mm((-low).max(0.0)), Length::mm(high.max(0.0)));
    Some(sentence(&format!(
        "{} cut to the plan comes out up to {} short or {} long: leave it {} longer and fit it.",
        one.what,
        tape.print(short),
        tape.print(long),
        tape.print(tape.round_up(short))
    )))
}

fn told(drawn: &Drawn, current: bool, showing: &Showing, tape: Tape) -> Told {
    let sample = &drawn.sample;
    let counted = sample.draws > 0;
    let lists = sample.listed();
    let more = lists.iter().map(|list| list.len().saturating_sub(TOLD));
    let more = more.sum();
    let [kept, open, always] = lists.map(|mut list| -> Vec<Line> {
        // What only a careful eye sees comes after what counts.
        list.sort_by_key(|one| one.plan.severity == Severity::Remark);
        let some = list.into_iter().take(TOLD).filter(|_| counted);
        let lines = some.map(|one| line(one, drawn, showing, tape));
        // Of another state of the job nothing is picked.
        lines
            .map(|line| Line {
                picked: line.picked && current,
                ..line
            })
            .collect()
    });
    let none = sample.none.iter();
    let fresh = sample.fresh.iter();
    let measured: &[Measured] = if counted { &sample.results } else { &[] };
    let pieces = measured.iter().filter(|one| one.piece);
    Told {
        stale: !current,
        said: said(sample),
        unread: unread(drawn.unread),
        whole: counted.then(|| Odds::of(&sample.anything)),
        none: none
            .map(|(why, tally)| {
                let odds = odds(tally.share());
                format!("{odds}: nothing stands at all. {}", sentence(why))
            })
            .collect(),
        kept,
        open,
        always,
        more: if counted { more } else { 0 },
        fresh: fresh
            .map(|one| Fresh {
                severity: one.severity,
                odds: odds(one.tally.share()),
                says: sentence(&one.says),
            })
            .collect(),
        results: results(measured, tape),
        pieces: pieces.filter_map(|one| piece(one, tape)).collect(),
        safe: sample.safe + sample.near().count(),
    }
}

/// Gathers what the panel shows.
pub(super) fn view(sure: &Sure, session: &Session, showing: &Showing) -> SureView {
    let drawn = sure.drawn(session);
    SureView {
        standing: sure.standing(),
        most: sure.most(),
        refused: sure.refused,
        told: drawn.map(|(drawn, current)| {
            let tape = drawn.found.runs.first().map(|run| run.run.job.tape);
            let tape = tape.unwrap_or(session.document.job().tape);
            told(drawn, current, showing, tape)
        }),
        fan: showing.fan,
        stretch: showing.stretch,
    }
}

/// The panel.
pub(super) fn sure_ui(ui: &mut Ui, view: &SureView) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "How sure"));
    asked.extend(drawing_ui(ui, view));
    let Some(told) = &view.told else {
        return asked;
    };
    ui.add_space(4.0);
    egui::ScrollArea::vertical().id_salt("sure").show(ui, |ui| {
        ui.set_width(ui.available_width());
        if told.stale {
            // Its parts need not be there any more, so nothing of it can be picked.
            ui.set_opacity(0.5);
            let _gone = told_ui(ui, told);
        } else {
            if told.whole.is_some() {
                asked.extend(fan_ui(ui, view));
            }
            asked.extend(told_ui(ui, told));
        }
    });
    asked
}

/// The button that draws, how far it has come, and how it ended.
fn drawing_ui(ui: &mut Ui, view: &SureView) -> Option<Action> {
    match view.standing {
        Standing::Drawing(progress, ending) => return progress_ui(ui, progress, ending),
        Standing::Waiting => {
            quiet(ui, "setting the stair out first ...");
            return ui.button("Cancel").clicked().then_some(Action::Draw(false));
        }
        Standing::Still => {}
    }
    if let Some(why) = view.refused {
        let text = RichText::new(sentence(why)).size(12.5);
        ui.add(egui::Label::new(text.color(ink(look::CRAYON))).wrap());
    }
    let word = match &view.told {
        None => {
            let text = format!(
                "The stair is drawn up to {} times as its readings leave it open and as hand and saw \
                 make it, and what fails is counted.",
                grouped(view.most)
            );
            let text = RichText::new(text)
                .size(13.0)
                .color(ink(look::PENCIL_LIGHT));
            ui.add(egui::Label::new(text).wrap());
            "Draw the stair"
        }
        Some(told) => {
            if told.stale {
                let text = RichText::new("Of the stair before your last change.").size(13.5);
                ui.label(text.strong().color(ink(look::OCHRE)));
            } else {
                quiet(ui, &told.said);
            }
            "Draw it again"
        }
    };
    let again = view
        .told
        .as_ref()
        .is_none_or(|told| told.stale || told.said.starts_with("ended"));
    if !again {
        return None;
    }
    // Letters that were not drawn before come a frame late, and news of the draws are one frame each.
    let soon = "0123456789, of draws at most beginning ending ... Cancel";
    for size in [12.0, 13.5] {
        let font = egui::FontId::proportional(size);
        let _known = ui
            .painter()
            .layout_no_wrap(soon.to_owned(), font, ink(look::PENCIL));
    }
    let button = egui::Button::new(RichText::new(word).size(14.5)).min_size(vec2(0.0, 28.0));
    let clicked = ui.add(button).on_hover_text("Enter").clicked();
    clicked.then_some(Action::Draw(true))
}

fn progress_ui(ui: &mut Ui, progress: Progress, ending: bool) -> Option<Action> {
    let (done, most) = (grouped(progress.done), grouped(progress.most));
    let words = match () {
        () if ending => "ending ...".to_owned(),
        () if progress.most == 0 => "beginning ...".to_owned(),
        () => format!("{done} of {most} draws at most"),
    };
    quiet(ui, &words);
    let mut asked = None;
    ui.horizontal(|ui| {
        let room = vec2(ui.available_width() - 84.0, 22.0);
        let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
        let bar = rect.shrink2(vec2(0.0, 6.0));
        ui.painter().rect_filled(bar, 1.0, ink(look::CARD));
        let parts = (progress.done.min(progress.most) * 10_000).checked_div(progress.most);
        let parts = u32::try_from(parts.unwrap_or(0)).unwrap_or(0);
        let share = convert::single(parts) / 10_000.0;
        let size = vec2(bar.width() * share, bar.height());
        let done = egui::Rect::from_min_size(bar.min, size);
        ui.painter().rect_filled(done, 1.0, ink(look::CHALK));
        let edge = Stroke::new(1.0, ink(look::PENCIL_LIGHT));
        ui.painter()
            .rect_stroke(bar, 1.0, edge, egui::StrokeKind::Outside);
        let cancel = ui.add_enabled(!ending, egui::Button::new("Cancel"));
        if cancel.on_hover_text("Esc").clicked() {
            asked = Some(Action::Draw(false));
        }
    });
    asked
}

/// The fan in the picture.
fn fan_ui(ui: &mut Ui, view: &SureView) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let mut fan = view.fan;
        let words = "where the rail may lie, in the picture";
        if ui
            .checkbox(&mut fan, words)
            .on_hover_text("key D")
            .clicked()
        {
            asked.push(Action::Fan(fan));
        }
        let mut stretch = view.stretch;
        ui.add_enabled_ui(view.fan, |ui| {
            ui.spacing_mut().slider_width = (ui.available_width() - 52.0).max(40.0);
            let slider = egui::Slider::new(&mut stretch, 1.0..=MOST_STRETCH)
                .step_by(1.0)
                .custom_formatter(|value, _| format!("x{value:.0}"));
            let slider = ui.add(slider);
            if slider
                .on_hover_text("drawn so many times as large; keys [ and ]")
                .changed()
            {
                asked.push(Action::Stretch(stretch));
                asked.push(Action::Ghost(stretch > 1.0));
            }
        });
    });
    asked
}

fn told_ui(ui: &mut Ui, told: &Told) -> Vec<Action> {
    let mut asked = Vec::new();
    if let Some(whole) = &told.whole {
        heading(ui, "The whole stair");
        odds_ui(ui, whole, 24.0);
        ui.label(RichText::new("that something fails which the plan keeps").size(13.5));
    }
    for says in &told.none {
        let text = RichText::new(says).size(13.0).color(ink(look::CRAYON));
        ui.add(egui::Label::new(text).wrap());
    }
    if told.whole.is_none() {
        return asked;
    }
    if let Some(unread) = &told.unread {
        quiet(ui, unread);
    }
    heading(ui, "Kept on the plan, and may fail");
    quiet(
        ui,
        "dark half of the time, light 19 times in 20; black the plan, red the limit",
    );
    if told.kept.is_empty() {
        quiet(ui, "none");
    }
    for line in &told.kept {
        asked.extend(line_ui(ui, line));
    }
    if !told.fresh.is_empty() {
        heading(ui, "Troubles that the plan has not");
        for one in &told.fresh {
            fresh_ui(ui, one);
        }
    }
    let lists = [
        (&told.open, "Troubles of the plan: how often each is there"),
        (&told.always, "Troubles of the plan in every draw"),
    ];
    for (lines, title) in lists {
        if !lines.is_empty() {
            heading(ui, title);
        }
        for line in lines {
            asked.extend(line_ui(ui, line));
        }
    }
    let safe = format!("{} more limits were kept in every draw", told.safe);
    let rest = match told.more {
        0 => safe,
        more => format!("{more} less likely ones are in `rakewell doubt --json`; {safe}"),
    };
    ui.add_space(4.0);
    quiet(ui, &rest);
    results_ui(ui, &told.results);
    for says in &told.pieces {
        ui.add(egui::Label::new(RichText::new(says).size(12.5)).wrap());
    }
    asked
}

/// The odds, large, and from what to what they may lie.
fn odds_ui(ui: &mut Ui, odds: &Odds, size: f32) {
    let plain = |text: RichText| egui::Label::new(text).selectable(false);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 7.0;
        ui.add(plain(RichText::new(&odds.says).size(size).strong()));
        if odds.within != odds.says {
            let within = RichText::new(&odds.within).size(11.5);
            ui.add(plain(within.color(ink(look::PENCIL_LIGHT))));
        }
    });
}

/// One line: its mark, its odds, what it is, its numbers and what they hang on. A click flies there.
fn line_ui(ui: &mut Ui, line: &Line) -> Option<Action> {
    let width = ui.available_width();
    let inner = ui.scope(|ui| {
        let margin = egui::Margin {
            left: 30,
            right: 6,
            top: 4,
            bottom: 6,
        };
        let fill = if line.picked {
            ink(look::CARD)
        } else {
            egui::Color32::TRANSPARENT
        };
        let frame = egui::Frame::new()
            .inner_margin(margin)
            .fill(fill)
            .corner_radius(2);
        frame.show(ui, |ui| {
            ui.set_width(width - 36.0);
            ui.spacing_mut().item_spacing.y = 1.0;
            if !line.always {
                odds_ui(ui, &line.odds, 17.0);
            }
            let plain = |text: RichText| egui::Label::new(text).wrap().selectable(false);
            ui.add(plain(RichText::new(&line.says).size(13.0)));
            let light = |text: &str| {
                RichText::new(text)
                    .size(12.0)
                    .color(ink(look::PENCIL_LIGHT))
            };
            if let Some(strip) = &line.strip {
                strip_ui(ui, strip);
            }
            ui.add(plain(light(&line.numbers)));
            if line.picked {
                ui.add_space(3.0);
                for (share, what) in &line.sources {
                    source_ui(ui, *share, what);
                }
            } else if !line.sources.is_empty() {
                let some = line.sources.iter().take(SOURCES.1);
                let some = some.map(|(share, what)| format!("{} {what}", per_cent(*share)));
                let text = format!("from {}", some.collect::<Vec<_>>().join("; "));
                ui.add(plain(light(&text)));
            }
        })
    });
    let rect = inner.response.rect;
    let id = ui
        .id()
        .with(("chance", &line.key.parts))
        .with(line.key.kind as u8);
    let response = ui.interact(rect, id, Sense::click());
    if line.picked {
        let bar = egui::Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        ui.painter().rect_filled(bar, 0.0, ink(look::CHALK));
    } else if response.hovered() {
        let edge = Stroke::new(1.0, ink(look::PENCIL_FAINT));
        let kind = egui::StrokeKind::Inside;
        ui.painter().rect_stroke(rect, 2.0, edge, kind);
    }
    let at = rect.left_top() + vec2(17.0, 16.0);
    mark(ui.painter(), at, line.severity, 13.0, 1.0);
    let pick = Pick::Trouble(line.key.clone());
    response.clicked().then_some(Action::Frame(pick))
}

/// The bands as washes, the plan as a pencil tick, the limit as the red pointer of the tapes.
fn strip_ui(ui: &mut Ui, strip: &Strip) {
    let size = vec2(ui.available_width(), 18.0);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let room = rect.shrink2(vec2(4.0, 3.0));
    let x = |share: f32| egui::lerp(room.x_range(), share);
    let painter = ui.painter();
    let faint = Stroke::new(1.0, ink(look::PENCIL_FAINT));
    painter.hline(room.x_range(), room.center().y, faint);
    for ((low, high), cover, tall) in [(strip.outer, 0.22, 4.0), (strip.inner, 0.5, 4.0)] {
        let y = room.center().y;
        let bar =
            egui::Rect::from_x_y_ranges(x(low)..=x(high).max(x(low) + 1.0), y - tall..=y + tall);
        painter.rect_filled(bar, 0.0, look::tint(look::INDELIBLE, cover));
    }
    let pencil = Stroke::new(1.5, ink(look::PENCIL));
    painter.vline(x(strip.planned), room.y_range(), pencil);
    let red = Stroke::new(2.0, ink(look::CRAYON));
    painter.vline(x(strip.limit), rect.y_range(), red);
}

/// A source, with a pencil bar as long as its share.
fn source_ui(ui: &mut Ui, share: f64, what: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(44.0, 13.0), Sense::hover());
        let rect = rect.shrink2(vec2(0.0, 2.0));
        let part = convert::single(share.clamp(0.02, 1.0));
        ui.painter().rect_filled(rect, 1.0, ink(look::SHEET));
        let bar = egui::Rect::from_min_size(rect.min, vec2(rect.width() * part, rect.height()));
        ui.painter().rect_filled(bar, 1.0, ink(look::INDELIBLE));
        let text = RichText::new(format!("{}  {what}", per_cent(share))).size(12.5);
        ui.add(egui::Label::new(text).wrap().selectable(false));
    });
}

fn fresh_ui(ui: &mut Ui, one: &Fresh) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(24.0, 15.0), Sense::hover());
        mark(ui.painter(), rect.center(), one.severity, 12.0, 1.0);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(RichText::new(&one.odds).size(15.0).strong());
            let text = RichText::new(&one.says).size(12.5);
            ui.add(egui::Label::new(text).wrap());
        });
    });
}

fn results_ui(ui: &mut Ui, results: &[[String; 4]]) {
    if results.is_empty() {
        return;
    }
    heading(ui, "Marks and cuts, 19 times in 20");
    egui::Grid::new("comes to")
        .num_columns(4)
        .spacing(vec2(10.0, 3.0))
        .show(ui, |ui| {
            for head in ["", "planned", "from", "to"] {
                quiet(ui, head);
            }
            ui.end_row();
            for [what, planned, low, high] in results {
                ui.scope(|ui| {
                    ui.set_max_width(150.0);
                    let text = RichText::new(what)
                        .size(12.0)
                        .color(ink(look::PENCIL_LIGHT));
                    ui.add(egui::Label::new(text).wrap());
                });
                for value in [planned, low, high] {
                    ui.label(RichText::new(value).size(12.5));
                }
                ui.end_row();
            }
        });
}

#[cfg(test)]
mod tests;
