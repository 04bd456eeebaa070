//! What the window has to say and to ask about files: the questions that lie over it, and the quiet
//! strip under the bar.

use bevy_egui::egui::{self, Frame, Key, Margin, Modifiers, RichText, Stroke, Ui};

use super::super::files::{self, Answer, Ask, Files, Question, Theirs, Then, short};
use super::super::look::{self, ink};
use super::super::session::{Action, Session};
use super::{open, quiet};

/// So many differences are listed; the rest are counted.
const LISTED: usize = 10;

/// A question with its answers: what each does, in words.
struct Asked {
    title: String,
    says: String,
    answers: [Option<&'static str>; 3],
    /// The answer that the keys come to. An Enter that is held as the question comes writes over
    /// nothing.
    first: Answer,
}

fn then_words(then: &Then) -> String {
    match then {
        Then::Close => "close the window".to_owned(),
        Then::Open(path) => format!("open {}", short(path)),
        Then::Begin(_) => "begin a new job".to_owned(),
    }
}

fn asked(question: &Question, session: &Session) -> Asked {
    let job = session
        .path
        .as_deref()
        .map_or_else(|| "this job".to_owned(), short);
    match question {
        Question::Unsaved(then) => Asked {
            title: format!("The work on {job} is not saved"),
            says: format!("You asked to {}.", then_words(then)),
            answers: [
                Some("Save it, and go on"),
                Some("Throw the work away"),
                Some("Go back"),
            ],
            first: Answer::Keep,
        },
        Question::Over(path, _) => Asked {
            title: format!("{} is there already", short(path)),
            says: format!("Saving writes over {}.", path.display()),
            answers: [Some("Write over it"), None, Some("Go back")],
            first: Answer::Back,
        },
        Question::Changed(path, _) => Asked {
            title: format!("{} was changed by another program", short(path)),
            says: "It is not what this window read or wrote last.".to_owned(),
            answers: [
                Some("Write over it with my work"),
                Some("Take what it holds; Undo brings my work back"),
                Some("Go back"),
            ],
            first: Answer::Back,
        },
    }
}

/// The question that must be answered first.
pub(super) fn question_ui(
    ctx: &egui::Context,
    question: &Question,
    session: &Session,
) -> Option<Action> {
    let asked = asked(question, session);
    let name = format!("question {}", asked.title);
    open::over(ctx, &name, |ui| {
        ui.set_max_width(460.0);
        ui.label(RichText::new(&asked.title).size(18.0));
        ui.label(&asked.says);
        ui.add_space(8.0);
        let answers = [Answer::Keep, Answer::ThrowAway, Answer::Back];
        let mut given = None;
        for (answer, says) in answers.into_iter().zip(asked.answers) {
            let Some(says) = says else { continue };
            let button = egui::Button::new(says).min_size(egui::vec2(ui.available_width(), 28.0));
            let response = ui.add(button);
            if answer == asked.first && ui.memory(|memory| memory.focused().is_none()) {
                response.request_focus();
            }
            if response.clicked() {
                given = Some(answer);
            }
        }
        quiet(ui, "Tab to choose, Enter to take it, Esc to go back");
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
            given = Some(Answer::Back);
        }
        given.map(|answer| Action::File(Ask::Answer(answer)))
    })
}

/// The strip under the bar, where there is something to say.
pub(super) fn strip_ui(ui: &mut Ui, files: &Files, session: &Session) -> Vec<Action> {
    let file = session.path.as_deref().map_or_else(String::new, short);
    let mut asked = Vec::new();
    let mut strip = |of: &str, says: &str, more: &mut dyn FnMut(&mut Ui) -> Option<Ask>| {
        let frame = Frame::new()
            .fill(look::tint(look::OCHRE, 0.16))
            .stroke(Stroke::new(1.0, ink(look::PENCIL_FAINT)))
            .inner_margin(Margin::symmetric(14, 6));
        let panel = egui::Panel::top(egui::Id::new(("strip", of)))
            .frame(frame)
            .show_separator_line(false);
        let ask = panel.show(ui, |ui| {
            let ask = ui.horizontal_wrapped(|ui| {
                ui.label(says);
                more(ui)
            });
            ask.inner
        });
        asked.extend(ask.inner.map(Action::File));
    };
    if let Some(theirs) = &files.theirs {
        let says = format!(
            "{file} was changed by another program while your work is not saved: {}.",
            files::values(theirs.differences.len())
        );
        strip("theirs", &says, &mut |ui| theirs_ui(ui, theirs));
    }
    if let Some((place, offer)) = files.offer() {
        let mut says = offer.says();
        if let Some(differs) = offer.differs {
            says.push_str(&format!("; {}", files::values(differs)));
        }
        if offer.moved_on {
            says.push_str("; the file was changed since");
        }
        if let Some(broken) = offer.broken() {
            says.push_str(&format!("; it cannot be taken up: {broken}"));
        }
        says.push('.');
        let can = offer.broken().is_none();
        strip("offer", &says, &mut |ui| {
            if ui
                .add_enabled(can, egui::Button::new("Take it up (Enter)"))
                .clicked()
            {
                return Some(Ask::TakeUp(place));
            }
            ui.button("Leave it (Delete)")
                .clicked()
                .then_some(Ask::Leave)
        });
    }
    if files.twice {
        let says = format!("Another window has {file} open too. What is saved last stands.");
        strip("twice", &says, &mut |ui| {
            ui.button("Understood").clicked().then_some(Ask::Understood)
        });
    }
    if let Some(trouble) = &files.trouble {
        strip("trouble", trouble, &mut |_| None);
    }
    asked
}

fn theirs_ui(ui: &mut Ui, theirs: &Theirs) -> Option<Ask> {
    let mut ask = None;
    if ui.button("Take theirs").clicked() {
        ask = Some(Ask::TakeTheirs);
    }
    if ui.button("Keep mine").clicked() {
        ask = Some(Ask::KeepMine);
    }
    let word = if theirs.looked_at {
        "Look no more"
    } else {
        "Look"
    };
    if ui.button(word).clicked() {
        ask = Some(Ask::Look(!theirs.looked_at));
    }
    if theirs.looked_at {
        ui.end_row();
        egui::Grid::new("differences")
            .num_columns(3)
            .show(ui, |ui| {
                for head in ["field", "mine", "theirs"] {
                    quiet(ui, head);
                }
                ui.end_row();
                for difference in theirs.differences.iter().take(LISTED) {
                    for text in files::said(difference) {
                        ui.label(text);
                    }
                    ui.end_row();
                }
            });
        let more = theirs.differences.len().saturating_sub(LISTED);
        if more > 0 {
            ui.end_row();
            quiet(ui, &format!("and {more} more"));
        }
    }
    ask
}

/// What letting go of a file here would do.
pub(super) fn held_ui(ctx: &egui::Context, files: &Files) {
    let Some(path) = &files.held else { return };
    let layer = egui::LayerId::new(egui::Order::Foreground, egui::Id::new("held"));
    let painter = egui::Painter::new(ctx.clone(), layer, ctx.content_rect());
    let text = format!("let go to open {}", short(path));
    let font = egui::FontId::proportional(20.0);
    let galley = painter.layout_no_wrap(text, font, ink(look::PENCIL));
    let at = ctx.content_rect().center() - galley.size() / 2.0;
    let rect = egui::Rect::from_min_size(at, galley.size()).expand2(egui::vec2(18.0, 12.0));
    let edge = Stroke::new(1.5, ink(look::CHALK));
    painter.rect(rect, 3.0, ink(look::CARD), edge, egui::StrokeKind::Middle);
    painter.galley(at, galley, ink(look::PENCIL));
}
