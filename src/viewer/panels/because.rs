//! The numbers of what is picked: its value, its causes with their shares, its cures with what they
//! bring along, and why it is let stand.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::explain::{Asked, Because, Cure, Explanation, Method};
use crate::inspect::{self, Finding, Key, Kind, Severity, Verdict};
use crate::job::LetStand;
use crate::measure::{Length, Tape};
use crate::publish::{amount, stands_words};

use super::super::convert;
use super::super::look::{self, ink};
use super::super::recompute::{Explained, shows};
use super::super::session::{Action, Change};
use super::super::sift::{Ask, Sift};
use super::super::sure::Drawn;
use super::super::{Cause, Pick, Showing, Solved};
use super::troubles::{limit_words, past_words, sentence};
use super::{Odds, heading, quiet};

/// The numbers of the picked trouble, or of another number that is asked about.
pub(super) struct Detail {
    title: Option<String>,
    value: String,
    /// The value while something is made true for a moment.
    then: Option<String>,
    held: Option<Held>,
    odds: Option<Odds>,
    why: Option<Why>,
    refused: Option<String>,
    /// Whether it is let stand, where it is a trouble.
    stands: Option<Stand>,
}

/// A limit that a number is held against.
struct Held {
    limit: String,
    past: Option<String>,
    source: String,
    too_close: bool,
    caution: Option<&'static str>,
}

/// Whether a trouble is let stand.
struct Stand {
    trouble: Key,
    /// What a reason is made of: its text is to be put in.
    blank: LetStand,
    /// The reason, where it stands in the job, and what is said of it.
    told: Option<(usize, String, Vec<String>)>,
    /// The reason is being written.
    writing: bool,
    /// Somebody could be hurt, or an inspector would reject it.
    stop: bool,
}

impl Stand {
    /// Writes that it is let stand for a reason.
    fn let_stand(&self, because: &str) -> Action {
        let written = LetStand {
            because: because.to_owned(),
            ..self.blank.clone()
        };
        let change = match self.told {
            Some((at, ..)) => Change::Set(vec![(format!("lets_stand[{at}]"), written.written())]),
            None => Change::Append {
                list: "lets_stand".to_owned(),
                item: written.written(),
            },
        };
        Action::Make {
            change,
            name: Some(format!("let {} stand", self.blank.trouble)),
        }
    }
}

/// Because and cure, once they are computed.
struct Why {
    because: Vec<Share>,
    /// What most of it comes from, in a sentence.
    first: Option<String>,
    /// How the shares were worked out and what they leave over.
    said: String,
    when_true: Option<String>,
    /// Cures are for troubles.
    cured: bool,
    cures: Vec<Offer>,
}

/// A cure with what it would bring.
struct Offer {
    cure: Cure,
    after: String,
    /// What it does to the other parts, in words.
    does: String,
}

/// One cause, with its shares as text and as part of the largest.
struct Share {
    cause: Cause,
    alone: String,
    additive: Option<String>,
    part: f32,
    /// Without it the trouble would be worse.
    helps: bool,
    /// It is pointed at; and made true for a moment.
    pointed: Option<bool>,
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
        helps: because.share < Length::ZERO,
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

/// What a cure does to the other parts.
fn does(cure: &Cure, tape: Tape) -> String {
    let of = cure.disturbance;
    let mut says = Vec::new();
    let pieces = |count: usize| match count {
        1 => "1 part".to_owned(),
        count => format!("{count} parts"),
    };
    if of.touched > 0 {
        says.push(format!(
            "{} moved or cut otherwise, {} in all",
            pieces(of.touched),
            tape.print(of.moved)
        ));
    }
    if of.recut > 0 {
        says.push(format!("{} to cut anew", of.recut));
    }
    if of.new_or_gone > 0 {
        says.push(format!("{} new or gone", pieces(of.new_or_gone)));
    }
    if of.opens_wall {
        says.push("a finished wall to open".to_owned());
    }
    if says.is_empty() {
        return "no other part moves".to_owned();
    }
    says.join("; ")
}

fn why(
    explanation: &Explanation,
    cured: bool,
    showing: &Showing,
    (tape, print): (Tape, &dyn Fn(Length) -> String),
) -> Why {
    let shares = explanation.because.iter().map(|one| one.share.abs());
    let largest = shares.fold(Length::ZERO, Length::max);
    let most = explanation.because.iter().find(|one| shows(one, tape));
    let first = most.filter(|one| one.share > Length::ZERO).map(|one| {
        let what = sentence(&one.what);
        format!("{what} makes {} of it.", tape.print(one.share))
    });
    Why {
        first,
        because: explanation
            .because
            .iter()
            .filter(|one| shows(one, tape))
            .map(|one| share(one, largest, showing, tape))
            .collect(),
        said: said(explanation, tape),
        when_true: explanation.when_true.map(print),
        cured,
        cures: explanation
            .cures
            .iter()
            .map(|cure| Offer {
                after: print(cure.value_after),
                does: does(cure, tape),
                cure: cure.clone(),
            })
            .collect(),
    }
}

/// What needs more than a cure.
fn caution(kind: Kind) -> Option<&'static str> {
    (kind == Kind::StringerCut)
        .then_some("A stringer carries the stair. Ask an engineer before cutting it.")
}

fn stand(finding: &Finding, solved: &Solved, sift: &Sift) -> Stand {
    let tape = solved.job.tape;
    let told = inspect::let_stand(&solved.job, finding).map(|stands| {
        let says = stands_words(finding, &stands, tape);
        (stands.at, stands.why.because.clone(), says)
    });
    Stand {
        trouble: finding.key.clone(),
        blank: inspect::reason(finding, "", tape),
        told,
        writing: sift.reasoning,
        stop: finding.severity == Severity::Stop,
    }
}

/// The numbers of what is picked, where it is one.
pub(super) fn detail(
    solved: &Solved,
    (showing, sift): (&Showing, &Sift),
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
    // Some stand for a count or a force.
    let print = |value: Length| match finding {
        Some(finding) => amount(finding, value, tape),
        None => tape.print(value),
    };
    let held = finding.map(|finding| Held {
        limit: limit_words(finding, tape),
        past: past_words(finding, tape),
        source: finding.source.clone(),
        too_close: finding.verdict == Verdict::TooClose,
        caution: caution(finding.key.kind),
    });
    let then = solved.base.as_ref().map(|_| {
        asked
            .value(&solved.found)
            .map_or_else(|| "not there".to_owned(), print)
    });
    let trouble = finding.filter(|finding| finding.is_trouble());
    Some(Detail {
        title: finding.is_none().then(|| sentence(&asked.words())),
        value: print(value),
        then,
        odds: finding.and_then(|finding| odds(drawn, &finding.key)),
        held,
        why: explained
            .of(solved, &asked)
            .map(|found| why(found, trouble.is_some(), showing, (tape, &print))),
        refused: solved.refused.clone(),
        stands: trouble.map(|finding| stand(finding, solved, sift)),
    })
}

/// How often something fails, where the stair was drawn and it may.
pub(super) fn odds(drawn: Option<&Drawn>, key: &Key) -> Option<Odds> {
    Some(Odds::of(&drawn?.chance(key)?.tally))
}

/// The numbers, because, cures.
pub(super) fn detail_ui(ui: &mut Ui, detail: &Detail, reason: &mut Reason) -> Vec<Action> {
    let mut asked = Vec::new();
    // What to do comes first: the rest may lie under the fold.
    let best = detail.why.as_ref().and_then(|why| why.cures.first());
    if let Some(offer) = best {
        heading(ui, "What cures it");
        asked.extend(cure_ui(ui, offer));
    }
    heading(ui, detail.title.as_deref().unwrap_or("The numbers"));
    egui::Grid::new("numbers")
        .num_columns(2)
        .spacing(vec2(10.0, 3.0))
        .show(ui, |ui| {
            let limit = detail.held.as_ref().map(|held| &held.limit);
            let past = detail.held.as_ref().and_then(|held| held.past.as_ref());
            let rows = [
                ("is", Some(&detail.value)),
                ("would be", detail.then.as_ref()),
                ("must be", limit),
                ("past by", past),
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
        Some(why) => asked.extend(why_ui(ui, why)),
        None => quiet(ui, "looking for the cause ..."),
    }
    if let Some(stands) = &detail.stands {
        asked.extend(stand_ui(ui, stands, reason));
    }
    asked
}

fn why_ui(ui: &mut Ui, why: &Why) -> Vec<Action> {
    let mut asked = Vec::new();
    if why.because.is_empty() {
        quiet(ui, "no reading has a share in it that a tape shows");
    } else {
        heading(ui, "Because");
        if let Some(first) = &why.first {
            ui.add(egui::Label::new(RichText::new(first).size(13.5).strong()).wrap());
        }
        if let Some(value) = &why.when_true {
            quiet(ui, &format!("On the true stair it would be {value}."));
        }
        heads_ui(ui, why.because.iter().any(|share| share.additive.is_some()));
        for share in &why.because {
            asked.extend(share_ui(ui, share));
        }
        quiet(ui, &why.said);
    }
    if !why.cured {
        return asked;
    }
    if why.cures.is_empty() {
        heading(ui, "Cures");
        quiet(ui, "no single change that we know of clears it");
    }
    if why.cures.len() > 1 {
        heading(ui, "Other cures");
    }
    for offer in why.cures.iter().skip(1) {
        asked.extend(cure_ui(ui, offer));
    }
    asked
}

/// Width of a bar, and of the figures behind it, points.
const BAR: f32 = 30.0;
const ALONE: f32 = 54.0;
const SHARED: f32 = 54.0;

/// What the figures of the causes are.
fn heads_ui(ui: &mut Ui, shared: bool) {
    ui.horizontal(|ui| {
        let (_, _) = ui.allocate_exact_size(vec2(BAR, 10.0), Sense::hover());
        let head = |ui: &mut Ui, width: f32, word: &str, says: &str| {
            let text = RichText::new(word)
                .size(12.0)
                .color(ink(look::PENCIL_LIGHT));
            figure_ui(ui, width, text).on_hover_text(says.to_owned());
        };
        head(
            ui,
            ALONE,
            "alone",
            "what making it true by itself would take off",
        );
        if shared {
            let says = "its part when all are made true, over every order";
            head(ui, SHARED, "shared", says);
        }
        quiet(ui, "made true");
    });
}

/// A figure in a column of its own.
fn figure_ui(ui: &mut Ui, width: f32, text: RichText) -> egui::Response {
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let draw = |ui: &mut Ui| {
        ui.set_min_width(width);
        ui.add(egui::Label::new(text).selectable(false))
    };
    ui.allocate_ui_with_layout(vec2(width, 16.0), layout, draw)
        .inner
}

/// One cause, with a pencil bar as long as its part of the largest. A click points at it in the
/// picture; then it can be made true for a moment.
fn share_ui(ui: &mut Ui, share: &Share) -> Vec<Action> {
    let mut asked = Vec::new();
    let line = ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(BAR, 10.0), Sense::hover());
        let bar = egui::Rect::from_min_size(
            rect.min,
            vec2(rect.width() * share.part.max(0.03), rect.height()),
        );
        let tone = if share.pointed.is_some() {
            look::INDELIBLE
        } else {
            look::PENCIL_LIGHT
        };
        // What helps is drawn hollow, and its figure has a minus.
        if share.helps {
            let edge = Stroke::new(1.2, ink(tone));
            let inside = egui::StrokeKind::Inside;
            ui.painter().rect_stroke(bar, 1.0, edge, inside);
        } else {
            ui.painter().rect_filled(bar, 1.0, ink(tone));
        }
        let strong = |text: &str| RichText::new(text).strong().size(13.0);
        figure_ui(ui, ALONE, strong(&share.alone));
        if let Some(additive) = &share.additive {
            figure_ui(ui, SHARED, strong(additive));
        }
        let what = RichText::new(&share.cause.what).size(13.0);
        ui.add(egui::Label::new(what).selectable(false).wrap());
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

fn cure_ui(ui: &mut Ui, offer: &Offer) -> Option<Action> {
    let cure = &offer.cure;
    let mut asked = None;
    egui::Frame::new()
        .fill(ink(look::CARD))
        .inner_margin(8.0)
        .corner_radius(2)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(egui::Label::new(RichText::new(&cure.what).size(13.0)).wrap());
            let then = RichText::new(format!("then {}", offer.after));
            ui.label(then.size(13.0).strong());
            ui.add(
                egui::Label::new(
                    RichText::new(&offer.does)
                        .size(12.0)
                        .color(ink(look::PENCIL_SOFT)),
                )
                .wrap(),
            );
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

/// A reason being written: of which trouble, and its text so far.
#[derive(Default)]
pub(in crate::viewer) struct Reason {
    about: Option<Key>,
    text: String,
}

/// Why the trouble is let stand, or the way to say so.
fn stand_ui(ui: &mut Ui, stand: &Stand, reason: &mut Reason) -> Vec<Action> {
    let mut asked = Vec::new();
    heading(ui, "Let it stand");
    if let (Some((at, _, says)), false) = (&stand.told, stand.writing) {
        for line in says {
            ui.add(egui::Label::new(RichText::new(line).size(13.0)).wrap());
        }
        ui.horizontal(|ui| {
            if ui.button("Other words").clicked() {
                asked.push(Action::Sift(Ask::Reason(true)));
            }
            if ui.button("No more").clicked() {
                asked.push(Action::Make {
                    change: Change::Remove {
                        path: format!("lets_stand[{at}]"),
                    },
                    name: Some(format!("let {} stand no more", stand.trouble.id())),
                });
            }
        });
        return asked;
    }
    if !stand.writing {
        reason.about = None;
        if ui.button("Let it stand, because ...").clicked() {
            asked.push(Action::Sift(Ask::Reason(true)));
        }
        return asked;
    }
    asked.extend(reason_ui(ui, stand, reason));
    asked
}

/// The line to write the reason on.
fn reason_ui(ui: &mut Ui, stand: &Stand, reason: &mut Reason) -> Vec<Action> {
    let mut asked = Vec::new();
    let fresh = reason.about.as_ref() != Some(&stand.trouble);
    if fresh {
        reason.about = Some(stand.trouble.clone());
        reason.text = stand
            .told
            .as_ref()
            .map_or_else(String::new, |(_, because, _)| because.clone());
    }
    let label = ui.label("because");
    let line = ui
        .add(
            egui::TextEdit::singleline(&mut reason.text)
                // What comes above it while it is typed in does not take the keys from it.
                .id(egui::Id::new("why a trouble is let stand"))
                .desired_width(f32::INFINITY)
                .char_limit(crate::job::limits::LONGEST_REMARK)
                .hint_text("the reason, for the sheet"),
        )
        .labelled_by(label.id);
    if fresh {
        line.request_focus();
        line.scroll_to_me(Some(egui::Align::BOTTOM));
    }
    let note = if stand.stop {
        "It goes on the sheet with its reason, as broken: a reason does not make it met."
    } else {
        "It goes on the sheet with its reason, and stays a trouble."
    };
    ui.add(egui::Label::new(RichText::new(note).size(12.0).color(ink(look::PENCIL_SOFT))).wrap());
    let written = !reason.text.trim().is_empty();
    let enter = line.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let left = line.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Escape));
    ui.horizontal(|ui| {
        let write = ui.add_enabled(written, egui::Button::new("Let it stand"));
        if write.on_hover_text("Enter").clicked() || (enter && written) {
            asked.push(stand.let_stand(reason.text.trim()));
            asked.push(Action::Sift(Ask::Reason(false)));
        }
        if ui.button("Not now").clicked() || left {
            asked.push(Action::Sift(Ask::Reason(false)));
        }
    });
    asked
}
