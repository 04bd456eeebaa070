//! What may fail, line by line, with its odds; and what marks and cuts come to.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::publish::per_cent;

use super::super::super::flags::mark;
use super::super::super::look::{self, ink};
use super::super::super::session::Action;
use super::super::super::{Pick, convert};
use super::super::{heading, quiet};
use super::rows::{Fresh, Line, Odds, SOURCES, Strip, Told};

pub(super) fn told_ui(ui: &mut Ui, told: &Told) -> Vec<Action> {
    let mut asked = Vec::new();
    if let Some(whole) = &told.whole {
        heading(ui, "The whole stair");
        if told.planned > 0 {
            let text = match told.planned {
                1 => "As planned, 1 trouble is there already.".to_owned(),
                count => format!("As planned, {count} troubles are there already."),
            };
            ui.label(
                RichText::new(text)
                    .size(14.5)
                    .strong()
                    .color(ink(look::CRAYON)),
            );
        }
        odds_ui(ui, whole, 24.0);
        ui.label(RichText::new("that something else fails, which the plan keeps").size(13.5));
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
        "the strong band half of the time, the faint one 19 times in 20; the short tick the plan, the tall one the limit",
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
