//! The Readings place: every reading of the job on one sheet, typed on the keyboard alone, with how
//! it agrees beside each while it is typed.
//!
//! In: the document. Out: actions that change it, one for each reading, so that each is undone by
//! itself.

mod field;
mod paint;
mod rows;
mod standing;
#[cfg(test)]
mod tests;

use bevy_egui::egui::{self, Event, Id, Ui};

use crate::doubt::Advice;
use crate::job::Document;
use crate::measure::Unit;
use crate::site::held::Usual;
use crate::survey::{self, Survey};

use super::super::Place;
use super::super::session::Action;
use super::{heading, quiet};
use field::{Asks, Field};
use rows::Row;
use standing::Told;

/// Width of the sheet, points.
pub(super) const WIDTH: f32 = 592.0;

/// What is under way on the sheet.
#[derive(Default)]
pub(in crate::viewer) struct Hand {
    /// The row that is typed into.
    row: usize,
    field: Field,
    /// The sheet was open in the frame before.
    open: bool,
    /// The keys came here in the frame before.
    holds: bool,
    /// The row changed, and is to be brought into sight.
    moved: bool,
    /// Why the text could not be kept.
    refused: Option<String>,
    survey: Option<(String, Vec<Option<Survey>>)>,
    trial: Option<Trial>,
    /// What the row that is typed into is read of, and whether the eye goes there.
    about: Option<About>,
    pub(in crate::viewer) follows: bool,
    /// It was sent to a row from the picture, and takes the keys.
    called: bool,
}

/// What a row is read of, for the picture.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) struct About {
    /// The run, by its number.
    pub(in crate::viewer) run: usize,
    /// The reading's path in its run by itself.
    pub(in crate::viewer) local: String,
    /// Where it is one that is asked of every step.
    pub(in crate::viewer) usual: Option<(Usual, u32)>,
    /// What it reads, in words.
    pub(in crate::viewer) what: String,
}

impl About {
    fn of(row: &Row) -> Self {
        let Row {
            group, what, run, ..
        } = row;
        let flight = match run.1.as_str() {
            "" => String::new(),
            name => format!("run {name}, "),
        };
        Self {
            run: run.0,
            local: row.local.clone(),
            usual: row.usual,
            what: format!("{flight}{group}: {what}"),
        }
    }
}

/// What the job would make of a text.
struct Trial {
    document: String,
    row: usize,
    text: String,
    told: Option<Told>,
}

/// What the sheet shows.
pub(super) struct ReadingsView {
    rows: Vec<(Row, Option<Told>)>,
    /// The row that is typed into, where the keys come here.
    at: Option<usize>,
    field: Field,
    moved: bool,
    unit: Unit,
    headline: String,
    follows: bool,
}

/// What was clicked on the sheet.
enum Clicked {
    Row(usize),
    Follow(bool),
    Leave,
}

impl Hand {
    /// True where something is typed that is not in the job: undo and save are then the sheet's.
    pub(in crate::viewer) fn typed(&self) -> bool {
        self.holds && self.field.typed()
    }

    /// True while the keys come to the sheet.
    pub(in crate::viewer) const fn holds(&self) -> bool {
        self.open && self.holds
    }

    /// What the row that is typed into is read of, while the sheet is open.
    pub(in crate::viewer) const fn about(&self) -> Option<&About> {
        self.about.as_ref()
    }

    /// Goes to the first reading of a part of the picture; what is typed is kept where it is one.
    pub(in crate::viewer) fn come_to(&mut self, part: &str, document: &Document) -> Option<Action> {
        let all = rows::rows(document.job());
        let to = rows::first_of(document.job(), &all, part)?;
        let mut document = document.clone();
        let kept = self.keep(all.get(self.row)?, &mut document);
        if self.refused.is_none() {
            self.go(to, &rows::rows(document.job()));
        }
        self.called = true;
        kept
    }

    /// Puts the sheet down; what is typed is kept where it is a reading.
    pub(super) fn close(&mut self, document: &Document) -> Option<Action> {
        if !std::mem::take(&mut self.open) {
            return None;
        }
        self.about = None;
        self.let_go(document)
    }

    /// The keys go elsewhere: what is typed is kept where it is a reading.
    fn let_go(&mut self, document: &Document) -> Option<Action> {
        self.holds = false;
        let mut document = document.clone();
        let all = rows::rows(document.job());
        let kept = self.keep(all.get(self.row)?, &mut document);
        self.go(self.row, &rows::rows(document.job()));
        self.moved = false;
        kept
    }

    fn go(&mut self, row: usize, rows: &[Row]) {
        self.row = row.min(rows.len().saturating_sub(1));
        let text = rows.get(self.row).map_or("", |row| row.text.as_str());
        self.field = Field::of(text);
        self.moved = true;
        self.refused = None;
    }

    /// The job as it is with what the keys of this frame changed, and the actions that change it.
    fn keys(&mut self, events: &[Event], document: &Document) -> (Document, Vec<Action>) {
        let (mut document, mut asked) = (document.clone(), Vec::new());
        let mut all = rows::rows(document.job());
        if !self.field.typed() {
            // An undo may have changed what stands here; the cursor stays where it was.
            let text = all.get(self.row).map_or("", |row| row.text.as_str());
            if text != self.field.text {
                self.field = Field::of(text);
            }
        }
        for event in events {
            let Some(row) = all.get(self.row) else { break };
            let asks = self.field.take(event, row.takes, document.job().units);
            match asks {
                Asks::Nothing => continue,
                Asks::Leave => {
                    asked.push(Action::Place(Place::SetOut));
                    break;
                }
                Asks::Next | Asks::Back | Asks::Save => {}
            }
            if let Some(action) = self.keep(row, &mut document) {
                asked.push(action);
                all = rows::rows(document.job());
            }
            if self.refused.is_some() {
                continue;
            }
            let next = match asks {
                Asks::Next => self.row + 1,
                Asks::Back => self.row.saturating_sub(1),
                _ => self.row,
            };
            self.go(next, &all);
            if asks == Asks::Save {
                asked.push(Action::Save);
            }
        }
        (document, asked)
    }

    /// Keeps what is typed, or says why not.
    fn keep(&mut self, row: &Row, document: &mut Document) -> Option<Action> {
        self.refused = None;
        let change = match row.change(&self.field.text, document.job().units) {
            Ok(change) => change?,
            Err(problem) => {
                self.refused = Some(problem);
                return None;
            }
        };
        match change.of(document) {
            Ok(next) => {
                *document = next;
                Some(Action::Reading(change))
            }
            Err(faults) => {
                self.refused = Some(problem(&faults));
                None
            }
        }
    }

    /// What the job as it stands makes of the readings of each run.
    fn survey(&mut self, document: &Document) -> &[Option<Survey>] {
        let fresh = matches!(&self.survey, Some((text, _)) if text == document.text());
        let kept = self.survey.take().filter(|_| fresh);
        let of_each = || {
            let runs = document.job().each_run().into_iter();
            let all = runs.map(|run| run.has_stair().then(|| survey::survey(&run.job)));
            (document.text().to_owned(), all.collect())
        };
        let (_, all) = self.survey.insert(kept.unwrap_or_else(of_each));
        all
    }

    /// What it would make of what is being typed.
    fn trial(&mut self, row: &Row, document: &Document) -> Option<Told> {
        if !self.field.typed() {
            return None;
        }
        let same = |trial: &Trial| {
            trial.row == self.row
                && trial.text == self.field.text
                && trial.document == document.text()
        };
        if !self.trial.as_ref().is_some_and(same) {
            self.trial = Some(Trial {
                document: document.text().to_owned(),
                row: self.row,
                text: self.field.text.clone(),
                told: tried(row, &self.field.text, document),
            });
        }
        self.trial.as_ref().and_then(|trial| trial.told.clone())
    }

    fn view(&mut self, document: &Document, has_keys: bool) -> ReadingsView {
        let job = document.job();
        let all = rows::rows(job);
        self.row = self.row.min(all.len().saturating_sub(1));
        self.about = all.get(self.row).map(About::of);
        let surveys = self.survey(document);
        let headline = headline(surveys);
        let told = all.iter().map(|row| match row.place {
            rows::Place::There { .. } => {
                let survey = surveys.get(row.run.0)?.as_ref()?;
                Told::of(survey, &row.local, job.tape)
            }
            rows::Place::New { .. } => None,
        });
        let mut told: Vec<Option<Told>> = told.collect();
        if let Some((row, told)) = all.get(self.row).zip(told.get_mut(self.row)) {
            if self.field.typed() {
                *told = self.trial(row, document);
            }
            if let Some(refused) = &self.refused {
                *told = Some(Told {
                    again: true,
                    ..Told::wrong(refused)
                });
            }
        }
        ReadingsView {
            rows: all.into_iter().zip(told).collect(),
            at: has_keys.then_some(self.row),
            field: self.field.clone(),
            moved: std::mem::take(&mut self.moved),
            unit: job.units,
            headline,
            follows: self.follows,
        }
    }
}

/// How a text would stand if it were kept.
fn tried(row: &Row, text: &str, document: &Document) -> Option<Told> {
    let change = match row.change(text, document.job().units) {
        Ok(Some(change)) => change,
        Ok(None) => return None,
        Err(problem) => return Some(Told::wrong(problem)),
    };
    if text.trim().is_empty() {
        return Some(Told::wrong("will be taken out"));
    }
    match change.of(document) {
        Ok(next) => {
            let runs = next.job().each_run();
            let survey = survey::survey(&runs.get(row.run.0)?.job);
            Told::of(&survey, &row.local, next.job().tape)
        }
        Err(faults) => Some(Told::wrong(problem(&faults))),
    }
}

fn problem(faults: &crate::job::Faults) -> String {
    let first = faults.diagnostics.iter();
    let mut errors = first.filter(|one| one.severity == crate::job::Severity::Error);
    errors
        .next()
        .map_or_else(String::new, |one| one.problem.clone())
}

fn headline(surveys: &[Option<Survey>]) -> String {
    let all = || surveys.iter().flatten();
    let count = all().map(|survey| survey.readings.len()).sum::<usize>();
    let slips = match all().map(|survey| survey.suspects.len()).sum::<usize>() {
        0 => "none looks like a slip".to_owned(),
        1 => "one looks like a slip".to_owned(),
        slips => format!("{slips} look like slips"),
    };
    let lone = all()
        .flat_map(|survey| &survey.readings)
        .filter(|one| one.r < survey::CHECKABLE);
    format!(
        "{count} readings: {slips}; {} cannot be checked by any other.",
        lone.count()
    )
}

/// The sheet: takes the keys, draws the rows.
pub(super) fn readings_ui(
    ui: &mut Ui,
    hand: &mut Hand,
    document: &Document,
    next: Option<&[Advice]>,
) -> Vec<Action> {
    let keyboard = Id::new("readings keyboard");
    if !std::mem::replace(&mut hand.open, true) {
        ui.memory_mut(|memory| memory.request_focus(keyboard));
        hand.go(hand.row, &rows::rows(document.job()));
        hand.follows = true;
    }
    if std::mem::take(&mut hand.called) {
        ui.memory_mut(|memory| memory.request_focus(keyboard));
    }
    // One widget holds the keyboard for all rows, and no key is the library's to move it with.
    ui.memory_mut(|memory| {
        if memory.has_focus(keyboard) {
            memory.move_focus(egui::FocusDirection::None);
        }
    });
    ui.interact(
        ui.max_rect(),
        keyboard,
        egui::Sense::focusable_noninteractive(),
    );
    let has_keys = ui.memory(|memory| memory.has_focus(keyboard));
    let every = egui::EventFilter {
        tab: true,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: true,
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(keyboard, every));
    let events = if has_keys {
        ui.input(|input| input.events.clone())
    } else {
        Vec::new()
    };
    let (document, mut asked) = if hand.holds && !has_keys {
        let kept = hand.let_go(document);
        (document.clone(), kept.into_iter().collect())
    } else {
        hand.keys(&events, document)
    };
    hand.holds = has_keys;
    let view = hand.view(&document, has_keys);
    match sheet_ui(ui, &view, next) {
        Some(Clicked::Row(row)) => {
            ui.memory_mut(|memory| memory.request_focus(keyboard));
            let mut document = document;
            let all = rows::rows(document.job());
            if let Some(at) = all.get(hand.row) {
                asked.extend(hand.keep(at, &mut document));
            }
            if hand.refused.is_none() {
                hand.go(row, &rows::rows(document.job()));
                // It is in sight: it was clicked.
                hand.moved = false;
            }
        }
        Some(Clicked::Follow(follows)) => {
            ui.memory_mut(|memory| memory.request_focus(keyboard));
            hand.follows = follows;
        }
        Some(Clicked::Leave) => asked.push(Action::Place(Place::SetOut)),
        None => {}
    }
    asked
}

fn sheet_ui(ui: &mut Ui, view: &ReadingsView, next: Option<&[Advice]>) -> Option<Clicked> {
    let mut clicked = None;
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new("Readings").size(15.0).strong());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.small_button("Back").on_hover_text("Esc").clicked() {
                clicked = Some(Clicked::Leave);
            }
            let mut follows = view.follows;
            let hint = "until you turn the stair yourself";
            let follow = ui.checkbox(&mut follows, "the eye goes along");
            if follow.on_hover_text(hint).clicked() {
                clicked = Some(Clicked::Follow(follows));
            }
        });
    });
    quiet(ui, &view.headline);
    quiet(ui, &legend(view.unit));
    paint::heads_ui(ui);
    egui::ScrollArea::vertical()
        .id_salt("readings")
        .auto_shrink(false)
        .max_height(ui.available_height() - NEXT_HEIGHT)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let (mut group, mut run) = ("", "");
            for (number, (row, told)) in view.rows.iter().enumerate() {
                let first = row.group != group || row.run.1 != run;
                if row.run.1 != run {
                    heading(ui, &format!("Run {}", row.run.1));
                }
                (group, run) = (&row.group, &row.run.1);
                let here = view.at == Some(number);
                let line = paint::Line {
                    row,
                    told: told.as_ref(),
                    field: here.then_some(&view.field),
                    first,
                };
                let response = paint::line_ui(ui, &line);
                if here && view.moved {
                    // With some of what comes before and after.
                    ui.scroll_to_rect(response.rect.expand2(egui::vec2(0.0, 60.0)), None);
                }
                if response.clicked() {
                    clicked = Some(Clicked::Row(number));
                }
            }
            ui.add_space(10.0);
            quiet(ui, "New places on walls and floors are added in the file.");
        });
    next_ui(ui, next);
    clicked
}

/// So many readings to take next are told.
const TOLD_NEXT: usize = 3;
/// What they take of the sheet's height, points.
const NEXT_HEIGHT: f32 = 88.0;

/// What to read next, best first; nothing is said while it is being worked out.
fn next_ui(ui: &mut Ui, next: Option<&[Advice]>) {
    heading(ui, "Read next");
    let Some(next) = next else {
        quiet(ui, "working it out ...");
        return;
    };
    if next.is_empty() {
        quiet(ui, "no further reading would make the results surer");
    }
    ui.spacing_mut().item_spacing.y = 1.0;
    for (place, advice) in next.iter().take(TOLD_NEXT).enumerate() {
        let line = format!("{}  {}: {}", place + 1, advice.what, advice.how);
        let line = egui::RichText::new(line).size(12.5);
        ui.add(egui::Label::new(line).truncate().selectable(false));
    }
}

/// What the keys do.
fn legend(unit: Unit) -> String {
    let moves = "Tab, Enter, arrows: next and back. Esc: as it was, then leave. An empty field takes \
                 the reading out.";
    let level = "o / w behind a level: the open or the wall end is higher.";
    if unit != Unit::Inches {
        return format!("{level} {moves}");
    }
    let keys = crate::measure::fraction_keys::KEYS.map(|(key, adds)| format!("{key} {adds}"));
    format!(
        "{} are added to the number; capitals take away. {level} + or - close behind a fraction: \
         strong or scant. {moves}",
        keys.join("   ")
    )
}
