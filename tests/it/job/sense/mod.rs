//! Jobs that read but make no sense: each a message with line and field.

mod balusters;
mod bedding;
mod boards;
mod bottom;
mod built;
mod copies;
mod design;
mod figures;
mod flight;
mod floors;
mod how;
mod infill;
mod instruments;
mod kinds;
mod limits;
mod lines;
mod names;
mod shop;
mod slips;
mod stated;
mod steps;
mod tolerances;
mod two_walls;
mod wall_kinds;
mod walls;
mod winders;
mod wood;

use rakewell::job::{Diagnostic, Document, FloorReading, Severity, StepReading, WallReading};

use super::{one_fault, with};

/// One stretch of the sample replaced; then the fault's field, what is read there, the problem
/// and the help.
type Case<'t> = (&'t str, &'t str, &'t str, &'t str, &'t str, &'t str);

fn check(cases: &[Case<'_>]) {
    for (old, new, path, read, problem, help) in cases {
        one_fault(&with(old, new), path, read, problem, help);
    }
}

/// The sample's newel.
const N1: &str =
    "(name: \"N1\", section: Square(3.5), stands: Displaces(step: 1, balusters: 1), height: 48)";

/// A job with every kind of reading, instrument, line and floor, all of it sound. Remarks such as
/// `/*steps*/` mark where a list begins.
const SURVEY: &str = include_str!("../survey.ron");

/// The survey with one more item at the front of a list, on a line of its own.
fn added(list: &str, item: &str) -> String {
    let mark = format!("/*{list}*/");
    assert_eq!(SURVEY.matches(&mark).count(), 1, "{mark} stands once");
    SURVEY.replacen(&mark, &format!("{mark}\n{item},\n"), 1)
}

/// Where a list of the survey stands.
fn place(list: &str) -> &str {
    match list {
        "steps" => "flight.readings",
        "W1" => "walls[0].readings",
        "F1" => "floors[0].readings",
        "F3" => "floors[2].readings",
        other => other,
    }
}

/// An item put in front of a list; then the field in it that is told, what is read there, the
/// problem and the help.
type Item = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

/// Each item is refused, and nothing else is.
#[track_caller]
fn refused(list: &str, items: &[Item]) {
    for (item, field, read, problem, help) in items {
        let path = format!("{}[0]{field}", place(list));
        one_fault(&added(list, item), &path, read, problem, help);
    }
}

/// Each item is taken, with a warning.
#[track_caller]
fn warned(list: &str, items: &[Item]) {
    for (item, field, read, problem, help) in items {
        let warning = one_warning(&added(list, item));
        assert_eq!(warning.path, format!("{}[0]{field}", place(list)), "{item}");
        assert_eq!(warning.read, *read, "{item}");
        assert!(warning.problem.contains(problem), "{warning:?}");
        assert!(warning.help.contains(help), "{warning:?}");
    }
}

/// Each item is taken without a word.
#[track_caller]
fn taken(list: &str, items: &[&str]) {
    for item in items {
        let text = added(list, item);
        let document = Document::parse(&text, "job.ron");
        let document = document.unwrap_or_else(|faults| panic!("{item}: {faults}"));
        assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    }
}

/// The only thing that is said of a text that can be used.
#[track_caller]
fn one_warning(text: &str) -> Diagnostic {
    let document = Document::parse(text, "job.ron");
    let document = document.unwrap_or_else(|faults| panic!("{faults}"));
    let [warning] = document.warnings() else {
        panic!("one warning: {:?}", document.warnings());
    };
    assert_eq!(warning.severity, Severity::Warning);
    warning.clone()
}

#[test]
fn every_kind_of_reading_is_taken_as_it_should_be() {
    let document = Document::parse(SURVEY, "survey.ron").expect("it is sound");
    assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    let job = document.job();
    let told: Vec<&str> = job.flight.readings.iter().map(StepReading::kind).collect();
    for kind in StepReading::KINDS {
        assert!(told.contains(kind), "{kind} is in the survey");
    }
    let told: Vec<&str> = job.walls[0]
        .readings
        .iter()
        .map(WallReading::kind)
        .collect();
    for kind in WallReading::KINDS {
        assert!(told.contains(kind), "{kind} is in the survey");
    }
    let floors = job.floors.iter().flat_map(|floor| &floor.readings);
    let told: Vec<&str> = floors.map(FloorReading::kind).collect();
    for kind in FloorReading::KINDS {
        assert!(told.contains(kind), "{kind} is in the survey");
    }
}
