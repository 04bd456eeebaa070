//! The list of files, drawn by ourselves: jobs that were open lately, a folder, starters. A typed
//! path leads everywhere; arrows, Enter, Tab and Escape do the rest.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use bevy_egui::egui::{self, Frame, Key, Margin, Modifiers, RichText, Stroke, Ui};

use crate::job::STARTERS;

use super::super::client;
use super::super::files::{
    self, Ask, Entry, Files, Listing, Then, Want, ago, completed, matching, named, seconds, short,
    split,
};
use super::super::look::{self, ink};
use super::super::session::{Action, Session};
use super::quiet;

/// Width of what lies over the window, points.
const WIDTH: f32 = 660.0;
/// Height of the list, points.
const HEIGHT: f32 = 400.0;

/// What is typed and chosen in the list of files.
#[derive(Default)]
pub(in crate::viewer) struct Hand {
    /// What the list is open for.
    about: Option<Want>,
    /// Where a typed path begins.
    base: PathBuf,
    typed: String,
    row: Option<usize>,
    listing: Listing,
    /// Which of the recent jobs are there.
    there: Vec<bool>,
    /// The typed text is new: the cursor goes to its end.
    to_end: bool,
}

impl Hand {
    /// Ready for what the list was opened for.
    fn begin(&mut self, want: &Want, files: &Files, session: &Session) {
        if self.about.as_ref() == Some(want) {
            return;
        }
        let here = session.path.as_deref().and_then(Path::parent);
        let here = here.filter(|folder| !folder.as_os_str().is_empty());
        let base = here.map_or_else(
            || std::env::current_dir().unwrap_or_default(),
            Path::to_owned,
        );
        let base = std::path::absolute(&base).unwrap_or(base);
        let typed = match (want, &session.path) {
            (Want::SaveAs(_), Some(path)) => short(path),
            _ => String::new(),
        };
        *self = Self {
            about: Some(want.clone()),
            listing: files::list(&base, endings(want)),
            base,
            typed,
            row: None,
            there: files.recent.iter().map(|one| one.path.is_file()).collect(),
            to_end: true,
        };
    }

    /// Lists the folder that the typed path leads to, where that is another.
    fn follow(&mut self) {
        let (folder, _) = split(&self.typed, &self.base);
        if folder != self.listing.folder {
            let endings = self.about.as_ref().map_or(&["ron"][..], endings);
            self.listing = files::list(&folder, endings);
            self.row = None;
        }
    }

    /// Goes into a folder.
    fn enter(&mut self, folder: &Path) {
        self.typed = format!("{}/", folder.display().to_string().trim_end_matches('/'));
        self.row = None;
        self.to_end = true;
        self.follow();
    }
}

/// How files are called that are looked for.
const fn endings(want: &Want) -> &'static [&'static str] {
    match want {
        Want::Open | Want::SaveAs(_) => &["ron"],
        Want::Answers => &["json", "txt"],
    }
}

/// A line of the list.
enum Row {
    Head(String),
    /// Text that cannot be chosen.
    Says(String),
    Offer(usize, String, String),
    Job(PathBuf, String, String),
    Up(PathBuf),
    Entry(Entry),
    Starter(usize),
}

impl Row {
    const fn chosen(&self) -> bool {
        !matches!(self, Self::Head(_) | Self::Says(_))
    }

    fn words(&self) -> (String, String) {
        match self {
            Self::Head(text) | Self::Says(text) => (text.clone(), String::new()),
            Self::Offer(_, says, more) | Self::Job(_, says, more) => (says.clone(), more.clone()),
            Self::Up(_) => ("..".to_owned(), "the folder around it".to_owned()),
            Self::Entry(entry) if entry.folder => (format!("{}/", entry.name), String::new()),
            Self::Entry(entry) => (entry.name.clone(), String::new()),
            Self::Starter(place) => (STARTERS[*place].name.to_owned(), STARTERS[*place].about()),
        }
    }
}

fn offers(files: &Files, rows: &mut Vec<Row>) {
    if files.offers.is_empty() {
        return;
    }
    rows.push(Row::Head("Kept aside".to_owned()));
    for (place, offer) in files.offers.iter().enumerate() {
        let differs = offer.differs.map(files::values).unwrap_or_default();
        rows.push(Row::Offer(place, offer.says(), differs));
    }
}

fn recent(files: &Files, hand: &Hand, rows: &mut Vec<Row>) {
    if files.recent.is_empty() {
        return;
    }
    rows.push(Row::Head("Lately".to_owned()));
    let now = seconds(SystemTime::now());
    for (one, there) in files.recent.iter().zip(&hand.there) {
        let folder = one
            .path
            .parent()
            .map_or_else(String::new, |folder| folder.display().to_string());
        if *there {
            let more = format!("{}, in {folder}", ago(one.at, now));
            rows.push(Row::Job(one.path.clone(), short(&one.path), more));
        } else {
            let text = format!("{} is not in {folder} any more", short(&one.path));
            rows.push(Row::Says(text));
        }
    }
}

fn rows(want: &Want, files: &Files, hand: &Hand) -> Vec<Row> {
    let mut rows = Vec::new();
    let (_, name) = split(&hand.typed, &hand.base);
    let open = *want == Want::Open;
    if open && hand.typed.is_empty() {
        offers(files, &mut rows);
        recent(files, hand, &mut rows);
    }
    rows.push(Row::Head(hand.listing.folder.display().to_string()));
    if let Some(problem) = &hand.listing.problem {
        rows.push(Row::Says(problem.clone()));
    }
    if let Some(around) = hand.listing.folder.parent() {
        rows.push(Row::Up(around.to_owned()));
    }
    let reads = !matches!(want, Want::SaveAs(_));
    let wanted = if reads { name.as_str() } else { "" };
    let found = matching(&hand.listing, wanted);
    if found.is_empty() && hand.listing.problem.is_none() {
        let none = match want {
            Want::Answers => "no answers and no folder of that name here",
            _ => "no job and no folder of that name here",
        };
        rows.push(Row::Says(none.to_owned()));
    }
    rows.extend(found.into_iter().cloned().map(Row::Entry));
    if hand.listing.more {
        rows.push(Row::Says("and more: type a name".to_owned()));
    }
    if open {
        let typed = hand.typed.to_lowercase();
        let fits = |place: &usize| STARTERS[*place].name.contains(&typed);
        let starters: Vec<usize> = (0..STARTERS.len()).filter(fits).collect();
        if !starters.is_empty() {
            rows.push(Row::Head("Begin from".to_owned()));
            rows.extend(starters.into_iter().map(Row::Starter));
        }
    }
    rows
}

/// What choosing a line does.
fn choose(row: &Row, want: &Want, hand: &mut Hand) -> Option<Action> {
    let go = |then| Some(Action::File(Ask::Go(then)));
    match row {
        Row::Head(_) | Row::Says(_) => None,
        Row::Offer(place, ..) => Some(Action::File(Ask::TakeUp(*place))),
        Row::Job(path, ..) => go(Then::Open(path.clone())),
        Row::Up(folder) => {
            hand.enter(folder);
            None
        }
        Row::Entry(entry) if entry.folder => {
            hand.enter(&entry.path);
            None
        }
        Row::Entry(entry) if *want == Want::Open => go(Then::Open(entry.path.clone())),
        Row::Entry(entry) if *want == Want::Answers => {
            Some(Action::Client(client::Ask::Read(entry.path.clone())))
        }
        Row::Entry(entry) => {
            let (folder, _) = split(&hand.typed, &hand.base);
            hand.typed = folder.join(&entry.name).display().to_string();
            hand.row = None;
            hand.to_end = true;
            None
        }
        Row::Starter(place) => go(Then::Begin(*place)),
    }
}

/// What Enter does with the typed path.
fn enter(want: &Want, hand: &mut Hand) -> Option<Action> {
    let (folder, name) = split(&hand.typed, &hand.base);
    let whole = folder.join(&name);
    if !name.is_empty() && whole.is_dir() {
        hand.enter(&whole);
        return None;
    }
    let path = named(&hand.typed, &hand.base, endings(want)[0])?;
    Some(match want {
        Want::Answers if whole.is_file() => Action::Client(client::Ask::Read(whole)),
        Want::Answers => Action::Client(client::Ask::Read(path)),
        // A name without its tail is looked for as it is typed first.
        Want::Open if whole.is_file() => Action::File(Ask::Go(Then::Open(whole))),
        Want::Open => Action::File(Ask::Go(Then::Open(path))),
        Want::SaveAs(_) => Action::SaveAs(path),
    })
}

/// The row after or before the chosen one among those that can be chosen.
fn step(rows: &[Row], at: Option<usize>, down: bool) -> Option<usize> {
    let can: Vec<usize> = (0..rows.len()).filter(|row| rows[*row].chosen()).collect();
    let here = at.and_then(|at| can.iter().position(|row| *row == at));
    match (here, down) {
        (None, true) => can.first().copied(),
        (None, false) | (Some(0), false) => None,
        (Some(here), true) => can.get(here + 1).or(can.last()).copied(),
        (Some(here), false) => can.get(here - 1).copied(),
    }
}

/// Lies over the window; nothing under it is touched.
pub(super) fn over<R>(ctx: &egui::Context, name: &str, content: impl FnOnce(&mut Ui) -> R) -> R {
    let frame = Frame::new()
        .fill(ink(look::CARD))
        .stroke(Stroke::new(1.0, ink(look::PENCIL_LIGHT)))
        .inner_margin(Margin::symmetric(20, 16));
    egui::Modal::new(egui::Id::new(name))
        .frame(frame)
        // As tracing paper laid over the drawing.
        .backdrop_color(ink(look::PAPER).gamma_multiply(0.66))
        .show(ctx, content)
        .inner
}

/// The list of files.
pub(super) fn list_ui(
    ctx: &egui::Context,
    want: &Want,
    (files, session): (&Files, &Session),
    hand: &mut Hand,
) -> Option<Action> {
    hand.begin(want, files, session);
    over(ctx, "files", |ui| {
        let width = WIDTH.min(ctx.content_rect().width() - 60.0);
        ui.set_width(width.max(200.0));
        let title = match want {
            Want::Open => "Open a job, or begin one",
            Want::SaveAs(_) => "Save the job as",
            Want::Answers => "Read what the client answered",
        };
        ui.label(RichText::new(title).size(18.0));
        ui.add_space(4.0);
        let rows = rows(want, files, hand);
        let keys = Keys::of(ui);
        let mut asked = None;
        if keys.down || keys.up {
            hand.row = step(&rows, hand.row, keys.down);
        }
        if keys.enter {
            asked = match hand.row.and_then(|row| rows.get(row)) {
                Some(row) => choose(row, want, hand),
                None => enter(want, hand),
            };
        }
        if keys.tab
            && let Some(whole) = completed(&hand.typed, &hand.listing, &hand.base)
        {
            hand.typed = whole;
            hand.to_end = true;
            hand.row = None;
        }
        path_ui(ui, want, hand);
        if let Some(problem) = &files.problem {
            ui.label(RichText::new(problem).color(ink(look::CRAYON)));
        }
        hand.follow();
        asked = asked.or(rows_ui(ui, want, &rows, hand, keys.down || keys.up));
        ui.add_space(6.0);
        let foot = foot_ui(ui, want, hand);
        if keys.escape {
            return Some(Action::File(Ask::Shut));
        }
        asked.or(foot)
    })
}

/// The keys of the list, taken before the field under it sees them.
struct Keys {
    down: bool,
    up: bool,
    enter: bool,
    tab: bool,
    escape: bool,
}

impl Keys {
    fn of(ui: &Ui) -> Self {
        ui.input_mut(|input| {
            let mut took = |key| input.consume_key(Modifiers::NONE, key);
            Self {
                down: took(Key::ArrowDown),
                up: took(Key::ArrowUp),
                enter: took(Key::Enter),
                tab: took(Key::Tab),
                escape: took(Key::Escape),
            }
        })
    }
}

/// The path to type.
fn path_ui(ui: &mut Ui, want: &Want, hand: &mut Hand) {
    let hint = match want {
        Want::Open => "a path, or the beginning of a name",
        Want::SaveAs(_) => "name.ron, or a path",
        Want::Answers => "the file that the client sent: a path, or the beginning of a name",
    };
    let id = egui::Id::new("typed path");
    let edit = egui::TextEdit::singleline(&mut hand.typed)
        .id(id)
        .hint_text(hint)
        .lock_focus(true)
        .desired_width(f32::INFINITY);
    let shown = edit.show(ui);
    let response = shown.response.response;
    response.request_focus();
    if response.changed() {
        hand.row = None;
    }
    if std::mem::take(&mut hand.to_end) {
        let mut state = shown.state;
        let end = egui::text::CCursor::new(hand.typed.chars().count());
        state
            .cursor
            .set_char_range(Some(egui::text::CCursorRange::one(end)));
        state.store(ui.ctx(), id);
    }
}

fn rows_ui(ui: &mut Ui, want: &Want, rows: &[Row], hand: &mut Hand, moved: bool) -> Option<Action> {
    let height = HEIGHT
        .min(ui.ctx().content_rect().height() - 260.0)
        .max(80.0);
    let area = egui::ScrollArea::vertical()
        .id_salt("rows")
        .auto_shrink([false, false])
        .max_height(height);
    let mut picked = None;
    area.show(ui, |ui| {
        for (place, row) in rows.iter().enumerate() {
            let (says, more) = row.words();
            match row {
                Row::Head(_) => super::heading(ui, &says),
                Row::Says(_) => quiet(ui, &says),
                _ => {
                    let chosen = hand.row == Some(place);
                    let line = ui.horizontal(|ui| {
                        let response = ui.selectable_label(chosen, says);
                        quiet(ui, &more);
                        response
                    });
                    if chosen && moved {
                        line.response.scroll_to_me(None);
                    }
                    if line.inner.clicked() {
                        picked = Some(place);
                    }
                }
            }
        }
    });
    let row = rows.get(picked?)?;
    choose(row, want, hand)
}

fn foot_ui(ui: &mut Ui, want: &Want, hand: &mut Hand) -> Option<Action> {
    let mut asked = None;
    ui.horizontal(|ui| {
        let word = match want {
            Want::Open => "Open",
            Want::SaveAs(_) => "Save",
            Want::Answers => "Read",
        };
        let named = !hand.typed.trim().is_empty();
        if ui.add_enabled(named, egui::Button::new(word)).clicked() {
            asked = enter(want, hand);
        }
        if ui.button("Go back").clicked() {
            asked = Some(Action::File(Ask::Shut));
        }
        quiet(
            ui,
            "up and down choose, Enter takes it, Tab completes a name, Esc goes back",
        );
    });
    asked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrows_pass_over_what_cannot_be_chosen() {
        let rows = [
            Row::Head("a".to_owned()),
            Row::Starter(0),
            Row::Says("b".to_owned()),
            Row::Starter(1),
        ];
        assert_eq!(step(&rows, None, true), Some(1));
        assert_eq!(step(&rows, Some(1), true), Some(3));
        assert_eq!(step(&rows, Some(3), true), Some(3));
        assert_eq!(step(&rows, Some(3), false), Some(1));
        assert_eq!(step(&rows, Some(1), false), None);
        assert_eq!(step(&[], None, true), None);
    }

    #[test]
    fn enter_opens_what_is_typed_and_goes_into_folders() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("mill.ron"), "").unwrap();
        std::fs::create_dir(folder.path().join("old")).unwrap();
        let mut hand = Hand {
            base: folder.path().to_owned(),
            typed: "mill".to_owned(),
            ..Hand::default()
        };
        let opened = enter(&Want::Open, &mut hand);
        let wanted = folder.path().join("mill.ron");
        assert!(
            matches!(&opened, Some(Action::File(Ask::Go(Then::Open(path)))) if *path == wanted)
        );
        hand.typed = "old".to_owned();
        assert!(enter(&Want::SaveAs(None), &mut hand).is_none());
        assert!(hand.typed.ends_with("old/"));
        hand.typed.push_str("new");
        let saved = enter(&Want::SaveAs(None), &mut hand);
        let wanted = folder.path().join("old/new.ron");
        assert!(matches!(&saved, Some(Action::SaveAs(path)) if *path == wanted));
    }
}
