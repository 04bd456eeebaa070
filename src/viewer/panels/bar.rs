//! The bar above (the job, saving, viewpoints) and the line below (notices, the caution).

use bevy::prelude::{MessageReader, ResMut};
use bevy_egui::egui::{self, Ui};

use crate::publish::grouped;

use super::super::dress;
use super::super::files::{Ask, Want};
use super::super::look::{self, ink};
use super::super::recompute::Work;
use super::super::session::{Action, Notice, Session};
use super::super::sure::{Standing, Sure};
use super::super::{Mood, Place, Showing, Solved, Viewpoint, viewpoints};
use super::{Typing, tour};

/// What stands in the bar.
pub(super) struct BarView {
    job: String,
    file: Option<String>,
    unsaved: bool,
    undoes: Option<String>,
    redoes: Option<String>,
    computing: bool,
    error: Option<String>,
    notice: Option<Notice>,
    mood: Mood,
    /// Names of the looks, and which is shown.
    dresses: (Vec<String>, usize),
    place: Place,
    /// The job has alternatives, or was edited so that there may be one.
    ways: bool,
    /// What is shown instead of the job as it stands.
    shown: Option<String>,
    /// How far the draws have come, where their own place is not open.
    drawing: Option<String>,
    /// The places to look from.
    viewpoints: Vec<Viewpoint>,
}

fn drawing(sure: &Sure, place: Place) -> Option<String> {
    match sure.standing() {
        Standing::Drawing(progress, _) if place != Place::Sure => Some(format!(
            "{} of {} draws at most, F4",
            grouped(progress.done),
            grouped(progress.most)
        )),
        _ => None,
    }
}

/// Gathers it.
pub(super) fn view(
    session: &Session,
    solved: Option<&Solved>,
    showing: &Showing,
    (work, sure): (&Work, &Sure),
) -> BarView {
    let job = session.document.job();
    let name = &job.name;
    let way = showing.way.and_then(|way| job.alternatives.get(way));
    BarView {
        job: if name.is_empty() {
            "a job without a name".to_owned()
        } else {
            name.clone()
        },
        file: session.path.as_ref().map(|path| path.display().to_string()),
        unsaved: session.unsaved(),
        undoes: session.undoes().map(str::to_owned),
        redoes: session.redoes().map(str::to_owned),
        computing: solved.is_none() || work.stale(),
        error: work.error.clone(),
        notice: session.notice.clone(),
        mood: showing.mood,
        dresses: dress::names(job, showing),
        place: showing.place,
        ways: !job.alternatives.is_empty() || session.unsaved(),
        shown: way.map(|way| way.name.clone()),
        drawing: drawing(sure, showing.place),
        viewpoints: solved.map_or_else(Vec::new, |solved| viewpoints(&solved.found)),
    }
}

/// The bar.
pub(super) fn bar_ui(ui: &mut Ui, view: &BarView, typing: &mut Typing) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        let title = egui::RichText::new(&view.job).size(17.0).strong();
        let folds = Folds::of(title_width(ui, &view.job), ui.available_width());
        ui.scope(|ui| {
            // The job's name gives way before what is clicked.
            ui.set_max_width((ui.available_width() - folds.rest()).max(LEAST_TITLE));
            ui.add(egui::Label::new(title).truncate());
        });
        if view.unsaved {
            ui.label(
                egui::RichText::new("not saved")
                    .color(ink(look::CRAYON))
                    .size(12.5),
            );
        }
        ui.add_space(10.0);
        if folds == Folds::Both {
            asked.extend(folded(ui, &JOB, |ui| saving(ui, view)));
        } else {
            asked.extend(saving(ui, view));
        }
        if folds == Folds::Neither {
            ui.add_space(10.0);
            asked.extend(places(ui, view));
        } else {
            asked.extend(folded(ui, &PLACES, |ui| places(ui, view)));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            asked.extend(moods(ui, view.mood));
            if view.mood == Mood::Show {
                asked.extend(dresses(ui, &view.dresses));
            }
            ui.add_space(12.0);
            asked.extend(looks(ui, &view.viewpoints, &mut typing.viewpoints));
        });
    });
    asked
}

/// What of the bar is folded into a list, where the window is too narrow for all of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Folds {
    Neither,
    Places,
    Both,
}

/// What the bar takes beside the job's name, points: with everything in it, with the places in a list,
/// with the file in one as well.
const ALL: f32 = 1050.0;
const WITHOUT_PLACES: f32 = 760.0;
const WITHOUT_BOTH: f32 = 500.0;
/// The least of a job's name that is of any use, points.
const LEAST_TITLE: f32 = 60.0;
/// The most that a name may have before something is folded for it.
const MOST_TITLE: f32 = 300.0;

impl Folds {
    fn of(title: f32, room: f32) -> Self {
        let title = title.min(MOST_TITLE);
        match room - title {
            left if left >= ALL => Self::Neither,
            left if left >= WITHOUT_PLACES => Self::Places,
            _ => Self::Both,
        }
    }

    /// What is wanted beside the name.
    const fn rest(self) -> f32 {
        match self {
            Self::Neither => ALL,
            Self::Places => WITHOUT_PLACES,
            Self::Both => WITHOUT_BOTH,
        }
    }
}

fn title_width(ui: &Ui, title: &str) -> f32 {
    let font = egui::FontId::proportional(17.0);
    let galley = ui
        .painter()
        .layout_no_wrap(title.to_owned(), font, ink(look::PENCIL));
    galley.size().x
}

/// A list that some of the bar is folded into: its word, what it says of itself, and what of the tour
/// is found there.
struct Fold {
    word: &'static str,
    says: &'static str,
    holds: &'static [&'static str],
}

const JOB: Fold = Fold {
    word: "Job",
    says: "the file, and what was done",
    holds: &["Open"],
};
const PLACES: Fold = Fold {
    word: "Places",
    says: "F2 to F7",
    holds: &[
        "Readings", "Ways", "How sure", "Dry fit", "Sheets", "Client",
    ],
};

/// Some of the bar in a list of its own.
fn folded(ui: &mut Ui, fold: &Fold, content: impl FnOnce(&mut Ui) -> Vec<Action>) -> Vec<Action> {
    let button = ui.button(fold.word).on_hover_text(fold.says);
    let mut asked = Vec::new();
    egui::Popup::menu(&button).show(|ui| {
        ui.set_min_width(150.0);
        asked.extend(content(ui));
        if !asked.is_empty() {
            ui.close();
        }
    });
    // Who is shown round finds there what is folded away.
    for name in fold.holds {
        tour::mark(ui.ctx(), name, button.rect);
    }
    asked
}

fn saving(ui: &mut Ui, view: &BarView) -> Vec<Action> {
    let mut asked = Vec::new();
    let open = ui
        .button("Open")
        .on_hover_text("open a job, or begin one: Ctrl+O");
    tour::mark(ui.ctx(), "Open", open.rect);
    if open.clicked() {
        asked.push(Action::File(Ask::List(Want::Open)));
    }
    if view.file.is_none() {
        let save = ui
            .button("Save as")
            .on_hover_text("save it in a file: Ctrl+Shift+S");
        if save.clicked() {
            asked.push(Action::File(Ask::List(Want::SaveAs(None))));
        }
    } else {
        let save = ui.add_enabled(view.unsaved, egui::Button::new("Save"));
        if save.on_hover_text("save it in its file: Ctrl+S").clicked() {
            asked.push(Action::Save);
        }
    }
    let mut offer = |word, name: &Option<String>, key, action| {
        let button = ui.add_enabled(name.is_some(), egui::Button::new(word));
        let says = name.as_deref().unwrap_or("nothing");
        if button.on_hover_text(format!("{says}, {key}")).clicked() {
            asked.push(action);
        }
    };
    offer("Undo", &view.undoes, "Ctrl+Z", Action::Undo);
    offer("Redo", &view.redoes, "Ctrl+Shift+Z", Action::Redo);
    let some = view.undoes.is_some() || view.redoes.is_some();
    let steps = ui.add_enabled(some, egui::Button::new("Steps"));
    if steps.on_hover_text("all that was done, key Z").clicked() {
        asked.push(Action::List(true));
    }
    asked
}

fn places(ui: &mut Ui, view: &BarView) -> Vec<Action> {
    let mut asked = Vec::new();
    let mut offer = |place, word, key: &str| {
        let open = view.place == place;
        let other = if open { Place::SetOut } else { place };
        let label = ui.selectable_label(open, word).on_hover_text(key);
        tour::mark(ui.ctx(), word, label.rect);
        if label.clicked() {
            asked.push(Action::Place(other));
        }
    };
    offer(
        Place::Readings,
        "Readings",
        "type what was read on site: F2",
    );
    if view.ways || view.place == Place::Ways {
        offer(
            Place::Ways,
            "Ways",
            "the job and its alternatives side by side: F3",
        );
    }
    offer(Place::Sure, "How sure", "what may fail, and how likely: F4");
    offer(
        Place::Fit,
        "Dry fit",
        "a newel set down before it is cut in: F5",
    );
    offer(Place::Sheets, "Sheets", "what is printed to work from: F6");
    offer(
        Place::Client,
        "Client",
        "what the client is shown, asked, and has answered: F7",
    );
    asked
}

/// Takes note that the list of viewpoints was asked for.
pub(super) fn listen(mut actions: MessageReader<Action>, mut typing: ResMut<Typing>) {
    let asked = |action: &Action| matches!(action, Action::Viewpoints);
    if actions.read().filter(|action| asked(action)).count() % 2 == 1 {
        typing.viewpoints = !typing.viewpoints;
    }
}

/// The places to look from, in a list that opens at the bar.
fn looks(ui: &mut Ui, viewpoints: &[Viewpoint], by_key: &mut bool) -> Vec<Action> {
    let mut asked = Vec::new();
    let button = ui.add(egui::Button::new("Look from"));
    let button = button.on_hover_text("key V");
    let turned = std::mem::take(by_key);
    let was_open = egui::Popup::is_id_open(ui.ctx(), egui::Popup::default_response_id(&button));
    let command = turned.then_some(egui::SetOpenCommand::Toggle);
    let mut menu = egui::Popup::menu(&button);
    if command.is_some() {
        menu = menu.open_memory(command);
    }
    menu.show(|ui| {
        ui.set_min_width(232.0);
        let most = ui.ctx().content_rect().height() * 0.8;
        egui::ScrollArea::vertical()
            .max_height(most)
            .show(ui, |ui| {
                for (index, viewpoint) in viewpoints.iter().enumerate() {
                    if index > 0 && kind(viewpoint) != kind(&viewpoints[index - 1]) {
                        ui.separator();
                    }
                    let item = item(ui, viewpoint);
                    if index == 0 && turned && !was_open {
                        item.request_focus();
                    }
                    if item.clicked() {
                        asked.push(Action::Look(viewpoint.clone()));
                        ui.close();
                    }
                }
            });
    });
    asked
}

/// One viewpoint of the list, with its key.
fn item(ui: &mut Ui, viewpoint: &Viewpoint) -> egui::Response {
    let mut button = egui::Button::new(viewpoint.words()).frame(false);
    let key = Viewpoint::PLAIN.iter().position(|one| one == viewpoint);
    button = match key {
        Some(key) => button.shortcut_text((key + 1).to_string()),
        // Something to the right, or the words would stand in the middle.
        None => button.right_text(""),
    };
    ui.add_sized([ui.available_width(), 20.0], button)
}

/// Which part of the list a viewpoint stands in.
const fn kind(viewpoint: &Viewpoint) -> u8 {
    match viewpoint {
        Viewpoint::End | Viewpoint::Door | Viewpoint::Str(_) => 1,
        Viewpoint::Newel(_) => 2,
        Viewpoint::Wall(_) => 3,
        Viewpoint::Section(_) => 4,
        _ => 0,
    }
}

/// The looks that it can be finished in, in a list that opens at the bar.
fn dresses(ui: &mut Ui, (names, shown): &(Vec<String>, usize)) -> Vec<Action> {
    let mut asked = Vec::new();
    let button = ui.add(egui::Button::new("Finish"));
    let button = button.on_hover_text("what it is finished with");
    egui::Popup::menu(&button).show(|ui| {
        ui.set_min_width(200.0);
        for (at, name) in names.iter().enumerate() {
            if ui.selectable_label(at == *shown, name).clicked() {
                asked.push(Action::Dress(at));
                ui.close();
            }
        }
    });
    asked
}

fn moods(ui: &mut Ui, mood: Mood) -> Vec<Action> {
    let mut asked = Vec::new();
    for (other, word) in [(Mood::Show, "show"), (Mood::Work, "work")] {
        if ui
            .selectable_label(mood == other, word)
            .on_hover_text("key M")
            .clicked()
        {
            asked.push(Action::Mood(other));
        }
    }
    asked
}

/// What stands under every picture.
const CAUTION: &str =
    "Reports against a rule pack; the adopted local code and its inspector decide.";
/// In a narrower line it stands under the other words, points.
const FOOT: f32 = 760.0;

/// The line below.
pub(super) fn foot_ui(ui: &mut Ui, view: &BarView) -> Option<Action> {
    let mut asked = None;
    let narrow = ui.available_width() < FOOT;
    ui.horizontal(|ui| {
        let wrong = view.notice.as_ref().filter(|notice| notice.wrong);
        if let Some(notice) = wrong {
            ui.label(egui::RichText::new(&notice.says).color(ink(look::CRAYON)));
        } else if let Some(error) = &view.error {
            let text = format!("cannot be set out: {error}");
            ui.label(egui::RichText::new(text).color(ink(look::CRAYON)));
        } else if let Some(name) = &view.shown {
            let text = format!("the picture shows the alternative {name}; the job stays as it is");
            ui.label(egui::RichText::new(text).color(ink(look::CHALK)));
        } else if let Some(notice) = &view.notice {
            ui.label(egui::RichText::new(&notice.says).color(ink(look::PENCIL)));
        } else if view.computing {
            super::quiet(ui, "setting out ...");
        } else if let Some(drawing) = &view.drawing {
            super::quiet(ui, drawing);
        } else {
            super::quiet(
                ui,
                view.file
                    .as_deref()
                    .unwrap_or("the demo that comes with the program"),
            );
        }
        // Where the folder may not be written there is another way on, right beside the words.
        if wrong.is_some_and(|notice| notice.elsewhere)
            && ui
                .small_button("Save as")
                .on_hover_text("Ctrl+Shift+S")
                .clicked()
        {
            asked = Some(Action::File(Ask::List(Want::SaveAs(None))));
        }
        if !narrow {
            let right = egui::Layout::right_to_left(egui::Align::Center);
            ui.with_layout(right, |ui| super::quiet(ui, CAUTION));
        }
    });
    if narrow {
        super::soft(ui, CAUTION);
    }
    asked
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::viewer::camera::Lens;
    use crate::viewer::drive::{DEMO, Driven};
    use crate::viewer::eye::View;

    #[test]
    fn a_narrow_bar_folds_the_places_first_and_the_file_after() {
        assert_eq!(Folds::of(176.0, 1330.0), Folds::Neither);
        assert_eq!(Folds::of(176.0, 1000.0), Folds::Places);
        assert_eq!(Folds::of(176.0, 660.0), Folds::Both);
        // A long name is cut short before anything is folded for it.
        assert_eq!(Folds::of(900.0, 1360.0), Folds::of(MOST_TITLE, 1360.0));
    }

    #[test]
    fn the_list_of_viewpoints_is_opened_and_gone_down_by_keys() {
        let mut window = Driven::open(DEMO);
        let lens = |window: &Driven| window.get::<View>().goal.unwrap().lens;
        window.key("v");
        window.frame();
        // Down from the front to above and the side, which is an elevation.
        window.key("Down");
        window.key("Down");
        window.key("Enter");
        window.settle();
        assert_eq!(lens(&window), Lens::Level);
        // The list has gone, and the digit is a key of the window again.
        window.key("1");
        window.settle();
        assert_eq!(lens(&window), Lens::Perspective);
    }
}
