//! Why a trouble is let stand, and the line on which that is written.

use bevy_egui::egui::{self, RichText, Ui};

use crate::inspect::{self, Finding, Key, Severity};
use crate::job::LetStand;
use crate::publish::stands_words;

use super::super::Solved;
use super::super::look::{self, ink};
use super::super::session::{Action, Change};
use super::super::sift::{Ask, Sift};
use super::heading;

/// Whether a trouble is let stand.
pub(super) struct Stand {
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

/// What is said of a trouble that may be let stand.
pub(super) fn stand(finding: &Finding, solved: &Solved, sift: &Sift) -> Stand {
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

/// A reason being written: of which trouble, and its text so far.
#[derive(Default)]
pub(in crate::viewer) struct Reason {
    about: Option<Key>,
    text: String,
}

/// Why the trouble is let stand, or the way to say so.
pub(super) fn stand_ui(ui: &mut Ui, stand: &Stand, reason: &mut Reason) -> Vec<Action> {
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
