//! The Ways place: the job as it stands and its alternatives side by side, and which of them the
//! picture shows.

use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

use crate::chain::Chain;
use crate::chain::compare::{Row, Value, brought_and_cleared, table};
use crate::inspect::{Finding, Severity};
use crate::measure::Tape;
use crate::publish::compared::figure_words;

use super::super::divide::{Ask, Divide};
use super::super::flags::mark;
use super::super::look::{self, ink};
use super::super::recompute::Computed;
use super::super::session::Action;
use super::super::ways::{self, Way};
use super::troubles::sentence;
use super::{heading, place_head, quiet};

/// Width of the panel, points.
pub(super) const WIDTH: f32 = 470.0;
/// Where the words of a figure break, points.
const WORDS: f32 = 150.0;

/// An alternative in the panel.
struct Column {
    letter: String,
    name: String,
    note: String,
    /// Why it cannot be set out.
    refused: Option<String>,
    brings: Vec<(Severity, String)>,
    clears: Vec<(Severity, String)>,
}

/// A name in the head of a column breaks before this many letters.
const HEAD_LETTERS: usize = 14;

impl Column {
    /// What stands over its figures: its letter, and its name in short lines.
    fn head(&self) -> String {
        let mut head = self.letter.clone();
        let mut room = 0;
        for word in self.name.split_whitespace() {
            let long = word.chars().count();
            if room < long + 1 {
                head.push('\n');
                room = HEAD_LETTERS;
            } else {
                head.push(' ');
            }
            head.push_str(word);
            room = room.saturating_sub(long + 1);
        }
        head
    }
}

/// One figure: its words, and its value as the job stands and in each alternative.
struct Line {
    words: String,
    values: Vec<String>,
}

/// What the panel shows.
pub(super) struct WaysView {
    columns: Vec<Column>,
    lines: Vec<Line>,
    shown: Option<usize>,
    divide: Divide,
    /// The job was edited since it was saved.
    edited: bool,
    /// Alternatives are written, and are not set out yet.
    waiting: bool,
}

/// A figure's value on the tape.
pub(in crate::viewer) fn value_words(value: Option<Value>, tape: Tape) -> String {
    match value {
        None => "-".to_owned(),
        Some(Value::Count(count)) => count.to_string(),
        Some(Value::Length(length)) => tape.print(length),
    }
}

fn line(row: &Row, tape: Tape) -> Line {
    Line {
        words: figure_words(row.what, &row.part),
        values: row
            .values
            .iter()
            .map(|value| value_words(*value, tape))
            .collect(),
    }
}

fn told(findings: &[&Finding]) -> Vec<(Severity, String)> {
    let told = findings.iter();
    told.map(|one| (one.severity, sentence(&one.says)))
        .collect()
}

fn column(place: usize, way: &Way, standing: &Chain) -> Column {
    let (mut brings, mut clears) = (Vec::new(), Vec::new());
    if let Ok(done) = &way.done {
        let (brought, cleared) = brought_and_cleared(standing, done.found());
        (brings, clears) = (told(&brought), told(&cleared));
    }
    Column {
        letter: ways::letter(place),
        name: way.name.clone(),
        note: way.note.clone(),
        refused: way.done.as_ref().err().cloned(),
        brings,
        clears,
    }
}

/// Gathers it from the job as it stands and what came of its alternatives, where that is known yet.
pub(super) fn view(
    standing: &Chain,
    ways: Option<&[Way]>,
    (shown, divide, edited): (Option<usize>, Divide, bool),
    tape: Tape,
) -> WaysView {
    let columns: Vec<Column> = ways
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(place, way)| column(place, way, standing))
        .collect();
    let tried = ways.into_iter().flatten();
    let chains: Vec<Option<&Chain>> = std::iter::once(Some(standing))
        .chain(tried.map(|way| way.done.as_ref().ok().map(Computed::found)))
        .collect();
    WaysView {
        columns,
        lines: table(&chains).iter().map(|row| line(row, tape)).collect(),
        shown,
        divide,
        edited,
        waiting: ways.is_none(),
    }
}

/// The panel.
pub(super) fn ways_ui(ui: &mut Ui, view: &WaysView) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "Ways to do it"));
    if view.waiting {
        quiet(ui, "setting the alternatives out ...");
    } else if view.columns.is_empty() {
        quiet(ui, "no alternatives are written in this job");
    } else {
        quiet(
            ui,
            "pick a column, or step with . and , to see it in the picture",
        );
        asked.extend(divide_ui(ui, view));
    }
    egui::ScrollArea::vertical().id_salt("ways").show(ui, |ui| {
        ui.set_width(ui.available_width());
        egui::ScrollArea::horizontal()
            .id_salt("figures")
            .show(ui, |ui| asked.extend(table_ui(ui, view)));
        for (place, column) in view.columns.iter().enumerate() {
            asked.extend(column_ui(ui, place, column, view.shown == Some(place)));
        }
        if view.edited && !view.waiting {
            asked.extend(keep_ui(ui));
        }
    });
    asked
}

/// The line that divides the picture, and what stands on either side of it.
fn divide_ui(ui: &mut Ui, view: &WaysView) -> Vec<Action> {
    let mut asked = Vec::new();
    let mut on = view.divide.on;
    let words = "two in one picture, a line between them";
    let hint = "key /; the line is pulled, or moved with Ctrl and the arrows left and right";
    if ui.checkbox(&mut on, words).on_hover_text(hint).clicked() {
        // Beside itself a way shows nothing.
        let alike = view.shown == view.divide.left;
        let first = view.columns.iter().position(|one| one.refused.is_none());
        asked.push(Action::Divide(match on {
            true => Ask::Hang(first.filter(|_| alike)),
            false => Ask::Down,
        }));
    }
    if !view.divide.on {
        return asked;
    }
    egui::Grid::new("sides")
        .spacing(vec2(6.0, 3.0))
        .show(ui, |ui| {
            for (side, now) in [
                ("left of it", view.divide.left),
                ("right of it", view.shown),
            ] {
                quiet(ui, side);
                for at in 0..=view.columns.len() {
                    let way = at.checked_sub(1);
                    let can = way.is_none_or(|place| view.columns[place].refused.is_none());
                    let head = way.map_or("as it stands", |place| &view.columns[place].letter);
                    let text = RichText::new(head).size(12.5);
                    let button = egui::Button::selectable(now == way, text);
                    if ui.add_enabled(can, button).clicked() && now != way {
                        asked.push(match side {
                            "left of it" => Action::Divide(Ask::Left(way)),
                            _ => Action::Way(way),
                        });
                    }
                }
                ui.end_row();
            }
        });
    asked
}

/// The ink of a value: that of what is picked, or quiet where it is as the job stands.
fn value_ink(line: &Line, at: usize, shown: bool) -> look::Tone {
    match () {
        () if shown => look::CHALK,
        () if at > 0 && line.values[at] == line.values[0] => look::PENCIL_LIGHT,
        () => look::PENCIL,
    }
}

fn table_ui(ui: &mut Ui, view: &WaysView) -> Option<Action> {
    let mut asked = None;
    // The first column is the job as it stands.
    let way = |at: usize| at.checked_sub(1);
    let can = |at: usize| way(at).is_none_or(|place| view.columns[place].refused.is_none());
    egui::Grid::new("figures")
        .striped(false)
        .spacing(vec2(14.0, 3.0))
        .show(ui, |ui| {
            ui.label("");
            for at in 0..=view.columns.len() {
                let head = way(at).map_or_else(
                    || "as it stands".to_owned(),
                    |place| view.columns[place].head(),
                );
                let text = RichText::new(head).size(13.0).strong();
                let head = egui::Button::selectable(view.shown == way(at), text);
                if ui.add_enabled(can(at), head).clicked() {
                    asked = Some(Action::Way(way(at)));
                }
            }
            ui.end_row();
            for line in &view.lines {
                let words = RichText::new(&line.words).size(12.0);
                ui.scope(|ui| {
                    ui.set_max_width(WORDS);
                    ui.add(egui::Label::new(words.color(ink(look::PENCIL_LIGHT))).wrap());
                });
                for (at, value) in line.values.iter().enumerate() {
                    let colour = ink(value_ink(line, at, view.shown == way(at)));
                    let text = RichText::new(value).size(13.0).color(colour);
                    let cell = egui::Label::new(text)
                        .selectable(false)
                        .sense(Sense::click());
                    if ui.add(cell).clicked() && can(at) {
                        asked = Some(Action::Way(way(at)));
                    }
                }
                ui.end_row();
            }
        });
    asked
}

fn column_ui(ui: &mut Ui, place: usize, column: &Column, shown: bool) -> Option<Action> {
    heading(ui, &format!("{}  {}", column.letter, column.name));
    if !column.note.is_empty() {
        quiet(ui, &column.note);
    }
    if let Some(refused) = &column.refused {
        let text = RichText::new(format!("Cannot be set out: {refused}"));
        ui.add(egui::Label::new(text.size(12.5).color(ink(look::CRAYON))).wrap());
        return None;
    }
    let mut asked = None;
    let word = if shown {
        "shown in the picture"
    } else {
        "show it"
    };
    ui.horizontal(|ui| {
        let button = egui::Button::selectable(shown, RichText::new(word).size(12.5));
        if ui.add(button).clicked() {
            asked = Some(Action::Way((!shown).then_some(place)));
        }
        let hint = "its changes are written into the job, as one edit; Enter takes the one shown";
        let take = egui::Button::new(RichText::new("take this one").size(12.5));
        if ui.add(take).on_hover_text(hint).clicked() {
            asked = Some(Action::Ways(ways::Ask::Take(column.name.clone())));
        }
    });
    if column.brings.is_empty() && column.clears.is_empty() {
        quiet(ui, "brings no trouble and clears none");
    }
    troubles_ui(ui, "brings", &column.brings);
    troubles_ui(ui, "clears", &column.clears);
    asked
}

/// What was edited since the job was saved, to be kept as an alternative under a name.
fn keep_ui(ui: &mut Ui) -> Option<Action> {
    heading(ui, "What you changed since it was saved");
    quiet(
        ui,
        "kept as an alternative, and the job goes back to as it was saved",
    );
    let id = ui.id().with("name of an alternative");
    let kept = ui.data(|data| data.get_temp::<String>(id));
    let mut name = kept.unwrap_or_default();
    let mut asked = None;
    ui.horizontal(|ui| {
        let field = egui::TextEdit::singleline(&mut name)
            .id(id.with("field"))
            .hint_text("its name");
        let typed = ui.add(field.desired_width(190.0));
        let entered = typed.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        let some = !name.trim().is_empty();
        let keep = ui.add_enabled(some, egui::Button::new("keep it"));
        if (keep.clicked() || entered) && some {
            asked = Some(Action::Ways(ways::Ask::Keep(name.trim().to_owned())));
            name.clear();
        }
    });
    ui.data_mut(|data| data.insert_temp(id, name));
    asked
}

fn troubles_ui(ui: &mut Ui, word: &str, troubles: &[(Severity, String)]) {
    if troubles.is_empty() {
        return;
    }
    quiet(ui, &format!("{word} {}", troubles.len()));
    for (severity, says) in troubles {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 15.0), Sense::hover());
            mark(ui.painter(), rect.center(), *severity, 10.0, 0.8);
            let text = RichText::new(says).size(12.5).color(ink(look::PENCIL));
            ui.add(egui::Label::new(text).wrap().selectable(false));
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain;
    use crate::chain::compare::{What, figures};
    use crate::viewer::ways::tests::with_ways;
    use crate::viewer::ways::try_all;
    use bevy_egui::egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect};

    fn drawn(shown: Option<usize>) -> (Chain, WaysView) {
        let document = with_ways();
        let standing = chain::run(document.job()).unwrap();
        let ways = try_all(&document);
        let shown = (shown, Divide::default(), false);
        let view = view(&standing, Some(&ways), shown, document.job().tape);
        (standing, view)
    }

    #[test]
    fn every_figure_of_the_job_stands_in_the_table_as_the_tape_prints_it() {
        let (standing, view) = drawn(None);
        let tape = with_ways().job().tape;
        assert_eq!(view.columns.len(), 3);
        for figure in figures(&standing) {
            let words = figure_words(figure.what, &figure.part);
            let line = view.lines.iter().find(|line| line.words == words).unwrap();
            assert_eq!(
                line.values[0],
                value_words(Some(figure.value), tape),
                "{words}"
            );
            assert_eq!(line.values.len(), 4);
        }
        // The counts of troubles go up by what is brought and down by what is cleared, where no
        // trouble only grew worse.
        let (count, column) = (What::Troubles(Severity::Stop), &view.columns[1]);
        let words = figure_words(count, "");
        let line = view.lines.iter().find(|line| line.words == words).unwrap();
        let number = |at: usize| line.values[at].parse::<i64>().unwrap();
        let of = |told: &[(Severity, String)]| {
            let stops = told
                .iter()
                .filter(|(severity, _)| *severity == Severity::Stop);
            i64::try_from(stops.count()).unwrap()
        };
        assert_eq!(
            number(2) - number(0),
            of(&column.brings) - of(&column.clears)
        );
    }

    #[test]
    fn one_that_cannot_be_set_out_says_why_and_has_no_figures() {
        let (_, view) = drawn(None);
        assert!(view.columns[2].refused.as_ref().unwrap().contains("line"));
        assert!(view.lines.iter().all(|line| line.values[3] == "-"));
    }

    /// Clicks at a place of the panel and gives what was asked for.
    fn click(view: &WaysView, at: Pos2) -> Vec<Action> {
        let context = egui::Context::default();
        let button = |pressed| Event::PointerButton {
            pos: at,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        };
        let mut asked = Vec::new();
        for events in [
            Vec::new(),
            vec![Event::PointerMoved(at)],
            vec![button(true)],
            vec![button(false)],
        ] {
            let input = RawInput {
                events,
                screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(WIDTH, 2000.0))),
                ..RawInput::default()
            };
            let mut drawn = context.run_ui(input, |ui| asked.extend(ways_ui(ui, view)));
            drawn.textures_delta.clear();
        }
        asked
    }

    #[test]
    fn a_click_on_a_column_shows_it_and_one_that_cannot_be_set_out_is_never_shown() {
        let (_, view) = drawn(None);
        let mut ways = Vec::new();
        // Along a line of values, from left to right.
        for x in (0_u8..94).map(|at| f32::from(at) * 5.0) {
            for action in click(&view, Pos2::new(x, 150.0)) {
                let Action::Way(way) = action else {
                    panic!("{action:?}")
                };
                ways.push(way);
            }
        }
        ways.dedup();
        assert_eq!(ways, [None, Some(0), Some(1)]);
    }
}
