//! The numbers of what is picked: its value, its causes with their shares, its cures with what they
//! bring along, and why it is let stand.

use bevy_egui::egui::{self, RichText, Ui, vec2};

use crate::explain::{Asked, Cure, Explanation, Method};
use crate::inspect::{Key, Kind, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::amount;

use super::super::look::{self, ink};
use super::super::recompute::{Explained, shows};
use super::super::session::Action;
use super::super::sift::Sift;
use super::super::sure::Drawn;
use super::super::{Pick, Showing, Solved};
use super::causes::{Share, heads_ui, share, share_ui};
use super::let_stand::{Reason, Stand, stand, stand_ui};
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
