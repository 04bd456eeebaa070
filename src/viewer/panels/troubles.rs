//! The list of troubles, worst first, and the numbers of the one that is picked.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::explain::{Cure, Explanation};
use crate::inspect::{Finding, Key, Kind, Sense as Side, Severity, Verdict};
use crate::measure::Tape;

use super::super::convert;
use super::super::flags::mark;
use super::super::look::{self, ink};
use super::super::recompute::Explained;
use super::super::session::Action;
use super::super::{Pick, Showing, Solved};
use super::facts;
use super::{heading, quiet};

/// One line of the list.
struct Row {
    key: Key,
    severity: Severity,
    says: String,
    picked: bool,
}

/// The numbers of the picked trouble.
struct Detail {
    value: String,
    limit: String,
    source: String,
    too_close: bool,
    caution: Option<&'static str>,
    why: Option<Why>,
}

/// Because and cure, once they are computed.
struct Why {
    /// What, its share as text, and as part of the largest.
    because: Vec<(String, String, f32)>,
    remainder: String,
    when_true: Option<String>,
    /// The cure, and the value after it.
    cures: Vec<(Cure, String)>,
}

/// What the panel shows.
pub(super) struct TroublesView {
    rows: Vec<Row>,
    detail: Option<Detail>,
    part: Option<(String, Vec<facts::Fact>)>,
}

/// The word for a severity.
pub(super) const fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "Stop",
        Severity::Fix => "Fix",
        Severity::Remark => "Remark",
    }
}

/// A sentence with a capital, as a list of its own wants it.
pub(super) fn sentence(says: &str) -> String {
    let mut letters = says.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn limit_words(finding: &Finding, tape: Tape) -> String {
    let limit = tape.print(finding.limit);
    match finding.sense {
        Side::AtMost => format!("at most {limit}"),
        Side::AtLeast => format!("at least {limit}"),
        Side::Under => format!("under {limit}"),
    }
}

fn why(explanation: &Explanation, tape: Tape) -> Why {
    let largest = explanation
        .because
        .iter()
        .map(|one| one.share.abs())
        .fold(crate::measure::Length::ZERO, crate::measure::Length::max);
    let part = |share: crate::measure::Length| {
        if largest > crate::measure::Length::ZERO {
            convert::single(share.abs() / largest)
        } else {
            0.0
        }
    };
    Why {
        because: explanation
            .because
            .iter()
            .map(|one| (one.what.clone(), tape.print(one.share), part(one.share)))
            .collect(),
        remainder: tape.print(explanation.remainder),
        when_true: explanation.when_true.map(|value| tape.print(value)),
        cures: explanation
            .cures
            .iter()
            .map(|cure| (cure.clone(), tape.print(cure.value_after)))
            .collect(),
    }
}

/// What needs more than a cure.
fn caution(kind: Kind) -> Option<&'static str> {
    (kind == Kind::StringerCut)
        .then_some("A stringer carries the stair. Ask an engineer before cutting it.")
}

/// Gathers what the panel shows.
pub(super) fn view(solved: &Solved, showing: &Showing, explained: &Explained) -> TroublesView {
    let tape = solved.job.tape;
    let picked = match &showing.picked {
        Some(Pick::Trouble(key)) => Some(key),
        _ => None,
    };
    let troubles = solved.found.inspection.troubles();
    let rows = troubles.iter().map(|finding| Row {
        key: finding.key.clone(),
        severity: finding.severity,
        says: sentence(&finding.says),
        picked: picked == Some(&finding.key),
    });
    let detail = picked
        .and_then(|key| solved.found.inspection.find(key))
        .map(|finding| Detail {
            value: tape.print(finding.value()),
            limit: limit_words(finding, tape),
            source: finding.source.clone(),
            too_close: finding.verdict == Verdict::TooClose,
            caution: caution(finding.key.kind),
            why: explained
                .of(solved.generation, &finding.key)
                .map(|found| why(found, tape)),
        });
    let part = match &showing.picked {
        Some(Pick::Part(name)) => Some((name.clone(), facts::of_part(name, solved))),
        _ => None,
    };
    TroublesView {
        rows: rows.collect(),
        detail,
        part,
    }
}

/// The panel.
pub(super) fn troubles_ui(ui: &mut Ui, view: &TroublesView) -> Vec<Action> {
    let mut asked = Vec::new();
    heading(ui, "Troubles");
    counts(ui, &view.rows);
    let below = view.detail.is_some() || view.part.is_some();
    let room = ui.available_height();
    let list = if below { room * 0.46 } else { room };
    egui::ScrollArea::vertical()
        .id_salt("list")
        .max_height(list)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            for row in &view.rows {
                asked.extend(row_ui(ui, row));
            }
        });
    if !below {
        return asked;
    }
    egui::ScrollArea::vertical()
        .id_salt("detail")
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            if let Some(detail) = &view.detail {
                asked.extend(detail_ui(ui, detail));
            }
            if let Some((name, found)) = &view.part {
                heading(ui, name);
                facts::facts_ui(ui, found);
            }
        });
    asked
}

fn counts(ui: &mut Ui, rows: &[Row]) {
    let of = |severity| rows.iter().filter(|row| row.severity == severity).count();
    let counts = [
        (Severity::Stop, "to stop for"),
        (Severity::Fix, "to fix"),
        (Severity::Remark, "remarks"),
    ];
    let said: Vec<String> = counts
        .iter()
        .filter(|(severity, _)| of(*severity) > 0)
        .map(|(severity, words)| format!("{} {words}", of(*severity)))
        .collect();
    let text = if said.is_empty() {
        "none found".to_owned()
    } else {
        said.join(", ")
    };
    quiet(ui, &text);
}

/// One line: the mark, the word, the sentence.
fn row_ui(ui: &mut Ui, row: &Row) -> Option<Action> {
    let width = ui.available_width();
    let text = RichText::new(&row.says).size(13.0).color(ink(look::PENCIL));
    let inner = ui.scope(|ui| {
        let frame = egui::Frame::new()
            .inner_margin(egui::Margin {
                left: 30,
                right: 6,
                top: 5,
                bottom: 5,
            })
            .fill(if row.picked {
                ink(look::CARD)
            } else {
                egui::Color32::TRANSPARENT
            })
            .corner_radius(2);
        frame.show(ui, |ui| {
            ui.set_width(width - 36.0);
            ui.spacing_mut().item_spacing.y = 1.0;
            let colour = ink(look::severity_ink(row.severity));
            ui.add(
                egui::Label::new(
                    RichText::new(word(row.severity))
                        .size(12.0)
                        .strong()
                        .color(colour),
                )
                .selectable(false),
            );
            ui.add(egui::Label::new(text).wrap().selectable(false));
        })
    });
    let rect = inner.response.rect;
    let response = ui.interact(
        rect,
        ui.id().with(&row.key.parts).with(row.key.kind as u8),
        Sense::click(),
    );
    if row.picked {
        let bar = egui::Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        ui.painter().rect_filled(bar, 0.0, ink(look::CHALK));
    } else if response.hovered() {
        ui.painter().rect_stroke(
            rect,
            2.0,
            Stroke::new(1.0, ink(look::PENCIL_FAINT)),
            egui::StrokeKind::Inside,
        );
    }
    mark(
        ui.painter(),
        rect.left_top() + vec2(17.0, 15.0),
        row.severity,
        13.0,
        1.0,
    );
    response
        .clicked()
        .then(|| Action::Frame(Pick::Trouble(row.key.clone())))
}

fn detail_ui(ui: &mut Ui, detail: &Detail) -> Vec<Action> {
    heading(ui, "The numbers");
    egui::Grid::new("numbers")
        .num_columns(2)
        .spacing(vec2(10.0, 3.0))
        .show(ui, |ui| {
            let rows = [("is", &detail.value), ("must be", &detail.limit)];
            for (label, value) in rows {
                quiet(ui, label);
                ui.label(RichText::new(value).size(15.0).strong());
                ui.end_row();
            }
        });
    ui.label(
        RichText::new(&detail.source)
            .size(12.0)
            .color(ink(look::PENCIL_LIGHT)),
    );
    if detail.too_close {
        ui.label("Too close to call: the limit lies within the doubt.");
    }
    if let Some(caution) = detail.caution {
        ui.label(RichText::new(caution).color(ink(look::CRAYON)));
    }
    match &detail.why {
        Some(why) => why_ui(ui, why),
        None => {
            quiet(ui, "looking for the cause ...");
            Vec::new()
        }
    }
}

fn why_ui(ui: &mut Ui, why: &Why) -> Vec<Action> {
    if !why.because.is_empty() {
        heading(ui, "Because");
        quiet(ui, "made true alone, each would take off:");
        for (what, share, part) in &why.because {
            share_ui(ui, what, share, *part);
        }
        if let Some(value) = &why.when_true {
            quiet(
                ui,
                &format!(
                    "on the true stair {value}; shares leave over {}",
                    why.remainder
                ),
            );
        }
    }
    heading(ui, "Cures");
    if why.cures.is_empty() {
        quiet(ui, "no single move of newel, balusters or rail clears it");
    }
    let mut asked = Vec::new();
    for (cure, after) in &why.cures {
        asked.extend(cure_ui(ui, cure, after));
    }
    asked
}

/// One share, with a pencil bar as long as its part of the largest.
fn share_ui(ui: &mut Ui, what: &str, share: &str, part: f32) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(46.0, 10.0), Sense::hover());
        let bar =
            egui::Rect::from_min_size(rect.min, vec2(rect.width() * part.max(0.03), rect.height()));
        ui.painter().rect_filled(bar, 1.0, ink(look::PENCIL_LIGHT));
        ui.label(RichText::new(share).strong().size(13.0));
        ui.add(egui::Label::new(RichText::new(what).size(13.0)).wrap());
    });
}

fn cure_ui(ui: &mut Ui, cure: &Cure, after: &str) -> Option<Action> {
    let mut asked = None;
    egui::Frame::new()
        .fill(ink(look::CARD))
        .inner_margin(8.0)
        .corner_radius(2)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(egui::Label::new(RichText::new(&cure.what).size(13.0)).wrap());
            quiet(ui, &format!("then {after}"));
            for broken in &cure.breaks {
                let text = format!("but: {broken}");
                ui.add(
                    egui::Label::new(RichText::new(text).size(12.0).color(ink(look::OCHRE))).wrap(),
                );
            }
            if !cure.edits.is_empty() && ui.button("Apply").clicked() {
                asked = Some(Action::Cure(cure.clone()));
            }
        });
    asked
}
