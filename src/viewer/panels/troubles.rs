//! The list of troubles, worst first, and the numbers of the one that is picked.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::explain::{Asked, Because, Cure, Explanation, Method};
use crate::inspect::{Finding, Key, Kind, Sense as Side, Severity, Verdict};
use crate::measure::{Length, Tape};

use super::super::convert;
use super::super::flags::mark;
use super::super::look::{self, ink};
use super::super::recompute::{Explained, shows};
use super::super::session::Action;
use super::super::sure::Drawn;
use super::super::{Cause, Pick, Showing, Solved};
use super::facts;
use super::{Odds, heading, quiet};

/// One line of the list.
struct Row {
    key: Key,
    severity: Severity,
    says: String,
    picked: bool,
    /// It is not there while something is made true for a moment.
    gone: bool,
    /// How often it comes so, where the stair was drawn.
    odds: Option<String>,
}

/// The numbers of the picked trouble, or of another number that is asked about.
struct Detail {
    title: Option<String>,
    value: String,
    /// The value while something is made true for a moment.
    then: Option<String>,
    held: Option<Held>,
    odds: Option<Odds>,
    why: Option<Why>,
    refused: Option<String>,
}

/// A limit that a number is held against.
struct Held {
    limit: String,
    source: String,
    too_close: bool,
    caution: Option<&'static str>,
}

/// Because and cure, once they are computed.
struct Why {
    because: Vec<Share>,
    said: String,
    when_true: Option<String>,
    /// Cures are for troubles.
    cured: bool,
    /// The cure, and the value after it.
    cures: Vec<(Cure, String)>,
}

/// One cause, with its shares as text and as part of the largest.
struct Share {
    cause: Cause,
    alone: String,
    additive: Option<String>,
    part: f32,
    /// It is pointed at; and made true for a moment.
    pointed: Option<bool>,
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

pub(super) fn limit_words(finding: &Finding, tape: Tape) -> String {
    let limit = tape.print(finding.limit);
    match finding.sense {
        Side::AtMost => format!("at most {limit}"),
        Side::AtLeast => format!("at least {limit}"),
        Side::Under => format!("under {limit}"),
    }
}

fn share(because: &Because, largest: Length, showing: &Showing, tape: Tape) -> Share {
    let cause = Cause::of(because);
    let part = if largest > Length::ZERO {
        convert::single(because.share.abs() / largest)
    } else {
        0.0
    };
    let error = because.error.filter(|error| *error > tape.mark() / 4.0);
    let give = error.map_or_else(String::new, |error| {
        format!(" \u{b1} {}", tape.print(error))
    });
    Share {
        pointed: (showing.cause.as_ref() == Some(&cause)).then_some(showing.moment),
        cause,
        alone: tape.print(because.share),
        additive: because
            .shapley
            .map(|share| format!("{}{give}", tape.print(share))),
        part,
    }
}

/// How the shares were worked out and what they leave over.
fn said(explanation: &Explanation, tape: Tape) -> String {
    let left = tape.print(explanation.remainder);
    let additive = match explanation.method {
        Method::Exact => "shared out: over all orders, adds up to the whole".to_owned(),
        Method::Sampled { draws, .. } => {
            format!("shared out: over {draws} drawn orders, adds up to the whole")
        }
        Method::LeftOut { without, of } => {
            format!("not shared out: in {without} of {of} mixes there is no such number")
        }
    };
    format!("alone: leaves {left} over; {additive}")
}

fn why(explanation: &Explanation, cured: bool, showing: &Showing, tape: Tape) -> Why {
    let shares = explanation.because.iter().map(|one| one.share.abs());
    let largest = shares.fold(Length::ZERO, Length::max);
    Why {
        because: explanation
            .because
            .iter()
            .filter(|one| shows(one, tape))
            .map(|one| share(one, largest, showing, tape))
            .collect(),
        said: said(explanation, tape),
        when_true: explanation.when_true.map(|value| tape.print(value)),
        cured,
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

/// The numbers of what is picked, where it is one.
fn detail(
    solved: &Solved,
    showing: &Showing,
    explained: &Explained,
    drawn: Option<&Drawn>,
) -> Option<Detail> {
    let tape = solved.job.tape;
    let asked = showing.picked.as_ref().and_then(Pick::asked)?;
    let base = solved.as_found();
    let value = asked.value(base)?;
    let finding = match &asked {
        Asked::Finding(key) => base.inspection.find(key),
        _ => None,
    };
    let held = finding.map(|finding| Held {
        limit: limit_words(finding, tape),
        source: finding.source.clone(),
        too_close: finding.verdict == Verdict::TooClose,
        caution: caution(finding.key.kind),
    });
    let then = solved.base.as_ref().map(|_| {
        asked
            .value(&solved.found)
            .map_or_else(|| "not there".to_owned(), |value| tape.print(value))
    });
    let trouble = finding.is_some_and(Finding::is_trouble);
    Some(Detail {
        title: finding.is_none().then(|| sentence(&asked.words())),
        value: tape.print(value),
        then,
        odds: finding.and_then(|finding| odds(drawn, &finding.key)),
        held,
        why: explained
            .of(solved, &asked)
            .map(|found| why(found, trouble, showing, tape)),
        refused: solved.refused.clone(),
    })
}

/// How often something fails, where the stair was drawn and it may.
fn odds(drawn: Option<&Drawn>, key: &Key) -> Option<Odds> {
    Some(Odds::of(&drawn?.chance(key)?.tally))
}

/// Gathers what the panel shows.
pub(super) fn view(
    solved: &Solved,
    showing: &Showing,
    explained: &Explained,
    drawn: Option<&Drawn>,
) -> TroublesView {
    let picked = match &showing.picked {
        Some(Pick::Trouble(key)) => Some(key),
        _ => None,
    };
    let base = &solved.as_found().inspection;
    let now = &solved.found.inspection;
    let gone = |key: &Key| solved.base.is_some() && !now.find(key).is_some_and(Finding::is_trouble);
    let rows = base.troubles().into_iter().map(|finding| Row {
        key: finding.key.clone(),
        severity: finding.severity,
        says: sentence(&finding.says),
        picked: picked == Some(&finding.key),
        gone: gone(&finding.key),
        odds: odds(drawn, &finding.key).map(|odds| odds.says),
    });
    let part = match &showing.picked {
        Some(Pick::Part(name)) => Some((name.clone(), facts::of_part(name, solved))),
        _ => None,
    };
    TroublesView {
        rows: rows.collect(),
        detail: detail(solved, showing, explained, drawn),
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
                asked.extend(facts::facts_ui(ui, found));
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
    let text = RichText::new(&row.says).size(13.0);
    let text = if row.gone {
        text.strikethrough().color(ink(look::PENCIL_LIGHT))
    } else {
        text.color(ink(look::PENCIL))
    };
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
            let plain = |text: RichText| egui::Label::new(text).selectable(false);
            let word = RichText::new(word(row.severity)).size(12.0).strong();
            ui.horizontal(|ui| {
                ui.add(plain(word.color(colour)));
                if let Some(odds) = &row.odds {
                    let text = RichText::new(format!("fails {odds}")).size(12.0);
                    ui.add(plain(text.color(ink(look::PENCIL_LIGHT))));
                }
            });
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
    heading(ui, detail.title.as_deref().unwrap_or("The numbers"));
    egui::Grid::new("numbers")
        .num_columns(2)
        .spacing(vec2(10.0, 3.0))
        .show(ui, |ui| {
            let limit = detail.held.as_ref().map(|held| &held.limit);
            let rows = [
                ("is", Some(&detail.value)),
                ("would be", detail.then.as_ref()),
                ("must be", limit),
            ];
            for (label, value) in rows {
                let Some(value) = value else { continue };
                quiet(ui, label);
                ui.label(RichText::new(value).size(15.0).strong());
                ui.end_row();
            }
            if let Some(odds) = &detail.odds {
                quiet(ui, "fails");
                ui.vertical(|ui| {
                    ui.label(RichText::new(&odds.says).size(15.0).strong());
                    if odds.within != odds.says {
                        quiet(ui, &odds.within);
                    }
                });
                ui.end_row();
            }
        });
    if let Some(held) = &detail.held {
        ui.label(
            RichText::new(&held.source)
                .size(12.0)
                .color(ink(look::PENCIL_LIGHT)),
        );
        if held.too_close {
            ui.label("Too close to call: the limit lies within the doubt.");
        }
        if let Some(caution) = held.caution {
            ui.label(RichText::new(caution).color(ink(look::CRAYON)));
        }
    }
    if let Some(why) = &detail.refused {
        let text = format!("It cannot be set out so: {why}");
        ui.label(RichText::new(text).size(12.5).color(ink(look::CRAYON)));
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
    let mut asked = Vec::new();
    if why.because.is_empty() {
        quiet(ui, "no reading has a share in it that a tape shows");
    } else {
        heading(ui, "Because");
        quiet(
            ui,
            "made true alone would take off / its share of the whole:",
        );
        for share in &why.because {
            asked.extend(share_ui(ui, share));
        }
        quiet(ui, &why.said);
        if let Some(value) = &why.when_true {
            quiet(ui, &format!("on the true stair {value}"));
        }
    }
    if !why.cured {
        return asked;
    }
    heading(ui, "Cures");
    if why.cures.is_empty() {
        quiet(ui, "no single change that we know of clears it");
    }
    for (cure, after) in &why.cures {
        asked.extend(cure_ui(ui, cure, after));
    }
    asked
}

/// One cause, with a pencil bar as long as its part of the largest. A click points at it in the
/// picture; then it can be made true for a moment.
fn share_ui(ui: &mut Ui, share: &Share) -> Vec<Action> {
    let mut asked = Vec::new();
    let line = ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(40.0, 10.0), Sense::hover());
        let bar = egui::Rect::from_min_size(
            rect.min,
            vec2(rect.width() * share.part.max(0.03), rect.height()),
        );
        let tone = if share.pointed.is_some() {
            look::INDELIBLE
        } else {
            look::PENCIL_LIGHT
        };
        ui.painter().rect_filled(bar, 1.0, ink(tone));
        let numbers = match &share.additive {
            Some(additive) => format!("{} / {additive}", share.alone),
            None => share.alone.clone(),
        };
        let plain = |text: RichText| egui::Label::new(text).selectable(false);
        ui.add(plain(RichText::new(numbers).strong().size(13.0)));
        ui.add(plain(RichText::new(&share.cause.what).size(13.0)).wrap());
    });
    let rect = line.response.rect;
    let id = ui.id().with(("cause", &share.cause.what));
    let response = ui.interact(rect, id, Sense::click());
    if response.hovered() && share.pointed.is_none() {
        let edge = Stroke::new(1.0, ink(look::PENCIL_FAINT));
        let kind = egui::StrokeKind::Outside;
        ui.painter().rect_stroke(rect, 2.0, edge, kind);
    }
    if response.clicked() {
        let cause = share.pointed.is_none().then(|| share.cause.clone());
        asked.push(Action::Point(cause));
    }
    if let Some(made) = share.pointed {
        let word = if made {
            "Back to what was found"
        } else {
            "Make it true for a moment"
        };
        if ui.button(word).clicked() {
            asked.push(Action::Moment(!made));
        }
    }
    asked
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
