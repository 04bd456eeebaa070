//! What can be changed here: where the newels stand, balusters per tread, the rail's height; and
//! how the stair is drawn.

use bevy_egui::egui::{self, RichText, Ui};

use crate::chain::RunChain;
use crate::job::{Document, HeightPolicy, Job, Newel, OneRun, Spacing, Stands};
use crate::measure::{Length, Tape};
use crate::setout::{Gap, SetOut};

use super::super::flags::stretch_words;
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::{MOST_STRETCH, Pick, Showing, Solved};
use super::facts::{self, Fact};
use super::tape_field::{LenField, tape_field};
use super::trade::{self, TradeView, trade_ui};
use super::{comes_to, heading, quiet, soft};

/// At most so many balusters on a tread are offered.
const MOST_PER_TREAD: u32 = 6;
/// So many runs are laid out below one another; of a taller stair the one that is worked on.
const AT_ONCE: usize = 4;

/// A newel to move.
struct NewelEdit {
    name: String,
    moves: &'static str,
    field: LenField,
    facts: Vec<Fact>,
    cuts_stringer: bool,
}

/// What can be changed on one run.
struct RunEdit {
    /// Which run, where there are several.
    title: Option<String>,
    newels: Vec<NewelEdit>,
    per_tread: Option<u32>,
    /// The field of the count on each tread.
    count_path: String,
    along_rail: bool,
    gap: Option<String>,
    /// What is picked belongs to this group.
    lit: Option<Group>,
    trade: Option<TradeView>,
    rail: LenField,
    hold: HeightPolicy,
    /// The field of how the rail's height is chosen.
    hold_path: String,
}

/// Which of many runs is laid out, and a newel of the one before and after it.
struct Turned {
    says: String,
    before: Option<String>,
    after: Option<String>,
}

/// What the panel shows.
pub(super) struct EditView {
    runs: Vec<RunEdit>,
    turned: Option<Turned>,
    stretch: f64,
    ghost: bool,
    can_stretch: bool,
}

/// The field that moves a newel, and what it says.
pub(in crate::viewer) fn newel_field(
    job: &Job,
    index: usize,
    newel: &Newel,
) -> (&'static str, LenField) {
    let (says, tail, typed) = match &newel.stands {
        Stands::Displaces { move_by, .. } => {
            ("moved up the flight by", "Displaces.move_by", move_by)
        }
        Stands::At { x, .. } => ("stands up the flight at", "At.x", x),
    };
    let field = LenField {
        path: format!("design.newels[{index}].stands.{tail}"),
        text: typed.text.clone(),
        value: typed.value,
        tape: job.tape,
        unit: job.units,
    };
    (says, field)
}

/// Gathers what the panel shows. What is typed comes from the job as it stands now, what follows
/// from it from the last result.
pub(super) fn view(document: &Document, solved: &Solved, showing: &Showing) -> EditView {
    let runs = document.each_run();
    let several = runs.len() > 1;
    let all = &solved.found.runs;
    let at = (runs.len() > AT_ONCE).then(|| worked_on(all, showing));
    let shown = |place: &usize| at.is_none_or(|at| at == *place);
    // Until the next result is there, a run that was added has none.
    let pairs = runs.iter().zip(all).enumerate();
    let pairs = pairs
        .filter(|(place, _)| shown(place))
        .map(|(_, pair)| pair);
    EditView {
        runs: pairs
            .map(|(run, found)| run_view((run, found), several, (solved, showing)))
            .collect(),
        turned: at.map(|at| turned(all, at)),
        stretch: showing.stretch,
        ghost: showing.ghost,
        can_stretch: solved.ideal.is_some(),
    }
}

/// Whether a part is one that a run sets.
fn sets(run: &RunChain, name: &str) -> bool {
    let (setout, mark) = (&run.setout, run.site.named(""));
    setout.newel(name).is_some()
        || setout.balusters.iter().any(|one| one.name == name)
        || (!mark.is_empty() && name.starts_with(&mark))
}

/// The run of what is picked, or the first.
fn worked_on(runs: &[RunChain], showing: &Showing) -> usize {
    let picked = showing.picked.as_ref().map(Pick::parts).unwrap_or_default();
    let of = |run: &RunChain| picked.iter().any(|name| sets(run, name));
    runs.iter().position(of).unwrap_or_default()
}

fn turned(runs: &[RunChain], at: usize) -> Turned {
    let newel = |run: &RunChain| run.setout.newels.first().map(|newel| newel.name.clone());
    Turned {
        says: format!("run {} of {}", at + 1, runs.len()),
        before: runs[..at].iter().rev().find_map(newel),
        after: runs.iter().skip(at + 1).find_map(newel),
    }
}

fn title(run: &OneRun) -> String {
    let what = match (&run.beside, &run.job.level) {
        (Some(_), _) => ", wall side",
        (None, Some(_)) => ", level",
        (None, None) => "",
    };
    format!("Run {}{what}", run.name)
}

/// The widest gap on the line of the balusters, and the ball that passes between the same two, where
/// they open elsewhere.
fn gap_words(gap: &Gap, solved: &Solved, tape: Tape) -> String {
    let (below, above) = (&gap.below, &gap.above);
    let clear = tape.print(gap.clear);
    let says = format!("widest gap on the line: {clear} from {below} to {above}");
    let between = |names: &[String]| names.contains(below) && names.contains(above);
    let openings = solved.found.inspection.openings.iter();
    let balls = openings
        .filter(|one| between(&one.between))
        .map(|one| one.ball);
    match balls.max_by(Length::total_cmp) {
        Some(ball) if ball > gap.clear + tape.mark() / 2.0 => {
            let ball = tape.print(ball);
            format!("{says}; elsewhere between them a ball of {ball} passes")
        }
        _ => says,
    }
}

/// Which group of the panel what is picked belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Group {
    Newel(String),
    Balusters,
    Rail,
}

fn lit(setout: &SetOut, showing: &Showing) -> Option<Group> {
    let names = showing.picked.as_ref().map(Pick::parts)?;
    let any = |of: &dyn Fn(&str) -> bool| names.iter().any(|name| of(name));
    let newel = names.iter().find(|name| setout.newel(name).is_some());
    match newel {
        Some(name) => Some(Group::Newel((*name).to_owned())),
        None if any(&|name| setout.balusters.iter().any(|one| one.name == name)) => {
            Some(Group::Balusters)
        }
        None => any(&|name| setout.rail.name == name).then_some(Group::Rail),
    }
}

fn run_view(
    (run, found): (&OneRun, &RunChain),
    several: bool,
    (solved, showing): (&Solved, &Showing),
) -> RunEdit {
    let (job, setout) = (&run.job, &found.setout);
    let newels = job.design.newels.iter().enumerate().map(|(index, newel)| {
        let (moves, mut field) = newel_field(job, index, newel);
        field.path = run.path(&field.path);
        let set = setout.newels.iter().find(|set| set.name == newel.name);
        NewelEdit {
            name: newel.name.clone(),
            moves,
            field,
            facts: set
                .map(|set| facts::of_newel(set, solved))
                .unwrap_or_default(),
            cuts_stringer: set.is_some_and(|set| set.behind.iter().any(|cut| cut.carries)),
        }
    });
    let per_tread = match &job.design.balusters.spacing {
        Spacing::PerTread { count, .. } => Some(*count),
        Spacing::AlongRail { .. } | Spacing::Panels { .. } => None,
    };
    let widest = setout
        .gaps
        .iter()
        .max_by(|a, b| a.clear.total_cmp(&b.clear));
    let rail = &job.design.rail.height;
    RunEdit {
        title: several.then(|| title(run)),
        newels: newels.collect(),
        per_tread,
        count_path: run.path("design.balusters.spacing.PerTread.count"),
        along_rail: matches!(job.design.balusters.spacing, Spacing::AlongRail { .. }),
        gap: widest.map(|gap| gap_words(gap, solved, job.tape)),
        lit: lit(setout, showing),
        trade: trade::view(run, found),
        hold: job.design.rail.hold,
        hold_path: run.path("design.rail.hold"),
        rail: LenField {
            path: run.path("design.rail.height"),
            text: rail.text.clone(),
            value: rail.value,
            tape: job.tape,
            unit: job.units,
        },
    }
}

/// The panel.
pub(super) fn edit_ui(ui: &mut Ui, view: &EditView) -> Vec<Action> {
    let mut asked = Vec::new();
    egui::ScrollArea::vertical().id_salt("edit").show(ui, |ui| {
        ui.set_width(ui.available_width());
        asked.extend(
            view.turned
                .as_ref()
                .and_then(|turned| turned_ui(ui, turned)),
        );
        for run in &view.runs {
            if let Some(title) = &run.title {
                ui.add_space(6.0);
                ui.label(RichText::new(title).size(17.0).color(ink(look::PENCIL)));
            }
            for newel in &run.newels {
                let lit = run.lit.as_ref();
                let lit = lit.is_some_and(|lit| *lit == Group::Newel(newel.name.clone()));
                asked.extend(newel_ui(ui, newel, lit));
            }
            asked.extend(balusters_ui(ui, run));
            group_ui(ui, "Rail", run.lit == Some(Group::Rail));
            quiet(ui, "top above the nosings, wanted");
            asked.extend(tape_field(ui, &run.rail));
            asked.extend(hold_ui(ui, run));
        }
        asked.extend(drawing_ui(ui, view));
    });
    asked
}

fn turned_ui(ui: &mut Ui, turned: &Turned) -> Option<Action> {
    let mut asked = None;
    ui.horizontal(|ui| {
        for (word, newel) in [("before", &turned.before), ("next", &turned.after)] {
            let button = egui::Button::new(word).small();
            if ui.add_enabled(newel.is_some(), button).clicked() {
                let pick = newel.clone().map(Pick::Part);
                asked = pick.map(Action::Frame);
            }
        }
        quiet(ui, &turned.says);
    });
    asked
}

/// The heading of a group. That of what is picked has a chalk mark, and comes into sight when it is
/// picked.
fn group_ui(ui: &mut Ui, text: &str, lit: bool) {
    let top = ui.cursor().top();
    heading(ui, text);
    if !lit {
        return;
    }
    let left = ui.max_rect().left() - 8.0;
    let rect = egui::Rect::from_x_y_ranges(left..=left + 3.0, top + 4.0..=ui.cursor().top());
    ui.painter().rect_filled(rect, 0.0, ink(look::CHALK));
    if comes_to(ui, "set out", ui.id().with(text)) {
        ui.scroll_to_rect(rect, Some(egui::Align::TOP));
    }
}

fn newel_ui(ui: &mut Ui, newel: &NewelEdit, lit: bool) -> Vec<Action> {
    let mut asked = Vec::new();
    group_ui(ui, &format!("Newel {}", newel.name), lit);
    ui.horizontal(|ui| {
        quiet(ui, newel.moves);
        if ui.small_button("frame").clicked() {
            asked.push(Action::Frame(Pick::Part(newel.name.clone())));
        }
    });
    asked.extend(tape_field(ui, &newel.field));
    asked.extend(facts::facts_ui(ui, &newel.facts));
    if newel.cuts_stringer {
        let text = "It cuts a stringer: ask an engineer first.";
        ui.label(RichText::new(text).size(12.5).color(ink(look::CRAYON)));
    }
    asked
}

fn balusters_ui(ui: &mut Ui, view: &RunEdit) -> Option<Action> {
    group_ui(ui, "Balusters", view.lit == Some(Group::Balusters));
    let mut asked = None;
    if let Some(count) = view.per_tread {
        ui.horizontal(|ui| {
            quiet(ui, "on each tread");
            // Six of them and the words fill the panel's width.
            ui.spacing_mut().item_spacing.x = 2.0;
            for number in 1..=MOST_PER_TREAD {
                if ui
                    .selectable_label(count == number, number.to_string())
                    .clicked()
                {
                    asked = Some(Action::Edit {
                        path: view.count_path.clone(),
                        value: number.to_string(),
                        drag: None,
                    });
                }
            }
        });
    }
    if view.along_rail {
        quiet(ui, "spaced evenly along the rail");
    }
    if let Some(gap) = &view.gap {
        soft(ui, gap);
    }
    let shared = view.trade.as_ref().and_then(|trade| trade_ui(ui, trade));
    asked.or(shared)
}

/// How the rail's height is chosen inside its window.
fn hold_ui(ui: &mut Ui, view: &RunEdit) -> Option<Action> {
    let ways = [
        (HeightPolicy::Hold, "Hold", "hold it"),
        (
            HeightPolicy::GreatestMargin,
            "GreatestMargin",
            "farthest from both limits",
        ),
    ];
    let mut asked = None;
    ui.horizontal(|ui| {
        for (policy, value, says) in ways {
            let taken = view.hold == policy;
            if ui.selectable_label(taken, says).clicked() && !taken {
                asked = Some(Action::Edit {
                    path: view.hold_path.clone(),
                    value: value.to_owned(),
                    drag: None,
                });
            }
        }
    });
    asked
}

fn drawing_ui(ui: &mut Ui, view: &EditView) -> Vec<Action> {
    let mut asked = Vec::new();
    heading(ui, "Drawing");
    let mut stretch = view.stretch;
    ui.add_enabled_ui(view.can_stretch, |ui| {
        ui.spacing_mut().slider_width = ui.available_width() - 76.0;
        let slider = egui::Slider::new(&mut stretch, 1.0..=MOST_STRETCH)
            .step_by(1.0)
            .custom_formatter(|value, _| format!("x{value:.0}"));
        if ui.add(slider).changed() {
            asked.push(Action::Stretch(stretch));
            // The true stair is what the stretch is to be held against.
            asked.push(Action::Ghost(stretch > 1.0));
        }
    });
    quiet(ui, &stretch_words(view.stretch));
    let mut ghost = view.ghost;
    if ui.checkbox(&mut ghost, "the true stair in chalk").clicked() {
        asked.push(Action::Ghost(ghost));
    }
    asked
}
