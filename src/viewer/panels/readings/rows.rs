//! The rows of the sheet: every reading of the job, and every usual one that is not there yet, in
//! the order that one walks the stair.
//!
//! In: a [`Job`]. Out: [`Row`]s; a row knows the change that a text typed into it makes.

use crate::job::{FloorReading, Job, LevelEnd, Side, StepReading, Surface, WallReading};
use crate::measure::{Length, Unit, parse_angle, parse_length};

use super::super::super::session::Change;
use super::super::tape_field::quoted;

/// What is typed into a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    Length,
    /// A length and the end that stands higher.
    Level,
    Angle,
}

/// Where a row's reading stands in the file, or what is to be written.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Place {
    /// The path of a reading, and of its value in it.
    There { path: String, is: &'static str },
    /// The front of a reading of the steps that is not there yet, as in `Rise(step: 3, `.
    New(String),
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    /// What the rows around it belong to; said where it changes.
    pub(super) group: String,
    /// What is read, in trade words.
    pub(super) what: String,
    pub(super) place: Place,
    /// As the file has it; empty where nobody read it.
    pub(super) text: String,
    /// What was meant, for who has not read it yet.
    pub(super) meant: String,
    pub(super) takes: Takes,
}

/// The lists that readings of the steps are added to.
const STEPS: &str = "flight.readings";

impl Row {
    /// The path that the reading has, or will have once it is added to the job.
    pub(super) fn path(&self, job: &Job) -> String {
        match &self.place {
            Place::There { path, .. } => path.clone(),
            Place::New(_) => format!("{STEPS}[{}]", job.flight.readings.len()),
        }
    }

    /// The change that a text makes; none where it is what stands there.
    ///
    /// # Errors
    /// Says why the text is no such reading.
    pub(super) fn change(&self, text: &str, unit: Unit) -> Result<Option<Change>, String> {
        let text = text.trim();
        if text == self.text {
            return Ok(None);
        }
        if text.is_empty() {
            return Ok(match &self.place {
                Place::There { path, .. } => Some(Change::Remove { path: path.clone() }),
                Place::New(_) => None,
            });
        }
        let (number, high) = match self.takes {
            Takes::Level => higher(text),
            Takes::Length | Takes::Angle => (text, None),
        };
        if self.takes == Takes::Angle {
            parse_angle(number).map_err(|error| error.problem)?;
        } else {
            parse_length(number, unit).map_err(|error| error.problem)?;
        }
        if self.takes == Takes::Level && high.is_none() {
            return Err("which end is higher? o or w".to_owned());
        }
        let high = high.map(|side| format!("{side:?}"));
        Ok(Some(match &self.place {
            Place::There { path, is } => {
                let mut sets = vec![(format!("{path}.{is}"), quoted(number))];
                sets.extend(high.map(|side| (format!("{path}.high"), side)));
                Change::Set(sets)
            }
            Place::New(front) => {
                let high = high.map_or_else(String::new, |side| format!(", high: {side}"));
                Change::Append {
                    list: STEPS.to_owned(),
                    item: format!("{front}is: {}{high})", quoted(number)),
                }
            }
        }))
    }
}

/// A level's number and the letter of the end that stands higher.
pub(super) fn higher(text: &str) -> (&str, Option<Side>) {
    let text = text.trim_end();
    let ends = [('o', Side::Open), ('w', Side::Wall)];
    let found = ends.into_iter().find_map(|(letter, side)| {
        let number = text.strip_suffix([letter, letter.to_ascii_uppercase()])?;
        Some((number.trim_end(), Some(side)))
    });
    found.unwrap_or((text, None))
}

/// A level as it is typed.
fn level_text(is: &str, high: Side) -> String {
    let letter = match high {
        Side::Open => 'o',
        Side::Wall => 'w',
    };
    format!("{is} {letter}")
}

/// All rows.
pub(super) fn rows(job: &Job) -> Vec<Row> {
    let from = Walk { job };
    let mut rows = from.whole();
    for step in 1..=job.flight.count {
        rows.extend(from.step(step));
    }
    rows.extend(from.walls());
    rows.extend(from.floors());
    rows
}

struct Walk<'a> {
    job: &'a Job,
}

/// The readings that are asked of every step.
const ASKED: [(&str, &str); 5] = [
    ("Rise", "rise"),
    ("Going", "going"),
    ("Edge", "tread end"),
    ("Level", "level"),
    ("Overhang", "nosing"),
];

impl Walk<'_> {
    /// The readings of the whole flight.
    fn whole(&self) -> Vec<Row> {
        let flight = &self.job.flight;
        let kicks = f64::from(flight.count);
        let asked = [
            ("TotalRise", "total rise", flight.rise.value * kicks),
            (
                "TotalRun",
                "total run",
                (1..flight.count).map(|step| flight.going_of(step)).sum(),
            ),
        ];
        asked
            .into_iter()
            .flat_map(|(kind, what, meant)| {
                let meant = self.job.tape.print(meant);
                self.asked("flight", kind, None, what, &meant)
            })
            .collect()
    }

    /// The readings of one step: the usual ones, then what else was read there.
    fn step(&self, step: u32) -> Vec<Row> {
        let flight = &self.job.flight;
        let group = format!("step {step}");
        // The last kick carries the floor, which has no going and no tread of its own.
        let asked = if step < flight.count {
            &ASKED[..]
        } else {
            &ASKED[..1]
        };
        let usual = asked.iter().flat_map(|(kind, what)| {
            let meant = match *kind {
                "Rise" => flight.rise.value,
                "Going" => flight.going_of(step),
                "Edge" => flight.edge_of(step),
                "Overhang" => flight.overhang.value,
                _ => Length::ZERO,
            };
            let meant = self.job.tape.print(meant);
            self.asked(&group, kind, Some(step), what, &meant)
        });
        let usual: Vec<Row> = usual.collect();
        let others = flight.readings.iter().enumerate().filter(|(_, reading)| {
            reading.step() == Some(step) && !ASKED.iter().any(|(kind, _)| *kind == reading.kind())
        });
        let others: Vec<Row> = others
            .map(|(at, reading)| self.step_row(&group, at, reading, other_words(reading)))
            .collect();
        usual.into_iter().chain(others).collect()
    }

    /// The rows of a reading that is always asked for: those there are, or one to fill in.
    fn asked(
        &self,
        group: &str,
        kind: &str,
        step: Option<u32>,
        what: &str,
        meant: &str,
    ) -> Vec<Row> {
        let all = self.job.flight.readings.iter().enumerate();
        let there: Vec<Row> = all
            .filter(|(_, reading)| reading.kind() == kind && reading.step() == step)
            .map(|(at, reading)| {
                let what = format!("{what}{}", where_words(reading));
                self.step_row(group, at, reading, what)
            })
            .collect();
        if !there.is_empty() {
            return there;
        }
        let number = step.map_or_else(String::new, |step| format!("step: {step}, "));
        let level = kind == "Level";
        vec![Row {
            group: group.to_owned(),
            what: what.to_owned(),
            place: Place::New(format!("{kind}({number}")),
            text: String::new(),
            meant: if level {
                format!("{meant}  o / w")
            } else {
                meant.to_owned()
            },
            takes: if level { Takes::Level } else { Takes::Length },
        }]
    }

    fn step_row(&self, group: &str, at: usize, reading: &StepReading, what: String) -> Row {
        let (text, takes) = match reading {
            StepReading::Level { is, high, .. } => (level_text(&is.text, *high), Takes::Level),
            StepReading::Pitch { is, .. } => (is.text.clone(), Takes::Angle),
            _ => {
                let is = reading.is().map(|is| is.text.clone());
                (is.unwrap_or_default(), Takes::Length)
            }
        };
        there(group, what, format!("{STEPS}[{at}]"), "is", text, takes)
    }

    fn walls(&self) -> Vec<Row> {
        let walls = self.job.walls.iter().enumerate();
        let rows = walls.flat_map(|(index, wall)| {
            let readings = wall.readings.iter().enumerate();
            readings.map(move |(at, reading)| {
                let is = match reading {
                    WallReading::Plumb { .. } => "gap",
                    _ => "is",
                };
                let path = format!("walls[{index}].readings[{at}]");
                let text = reading.is().text.clone();
                let group = format!("wall {}", wall.name);
                let what = self.wall_words(reading);
                there(&group, what, path, is, text, Takes::Length)
            })
        });
        rows.collect()
    }

    fn wall_words(&self, reading: &WallReading) -> String {
        let print = |length: &crate::job::Len| self.job.tape.print(length.value);
        let up = print(reading.up());
        match reading {
            WallReading::Offset { along, .. } => {
                format!("off the line, {} along, {up} up", print(along))
            }
            WallReading::Plumb {
                along, level, at, ..
            } => {
                let end = match at {
                    LevelEnd::Top => "top",
                    LevelEnd::Bottom => "bottom",
                };
                format!(
                    "{} level, gap at the {end}, {} along, {up} up",
                    print(level),
                    print(along)
                )
            }
            WallReading::Straight { along, length, .. } => format!(
                "{} straightedge, {} along, {up} up",
                print(length),
                print(along)
            ),
            WallReading::Between { along, wall, .. } => {
                format!("to wall {wall}, {} along, {up} up", print(along))
            }
            WallReading::Corner { wall, .. } => format!("corner with {wall}, {up} up"),
        }
    }

    fn floors(&self) -> Vec<Row> {
        let floors = self.job.floors.iter().enumerate();
        let rows = floors.flat_map(|(index, floor)| {
            let readings = floor.readings.iter().enumerate();
            readings.map(move |(at, reading)| {
                let what = match reading {
                    FloorReading::Level { high, .. } => format!("level, high {high:?}"),
                    FloorReading::Under { line, .. } => format!("under line {line}"),
                    FloorReading::Edge { edge, .. } => format!("{edge:?} edge"),
                    FloorReading::Diagonal { from, .. } => format!("diagonal from {from:?}"),
                };
                let path = format!("floors[{index}].readings[{at}]");
                let text = reading.is().text.clone();
                let group = format!("floor {}", floor.name);
                there(&group, what.to_lowercase(), path, "is", text, Takes::Length)
            })
        });
        rows.collect()
    }
}

fn there(
    group: &str,
    what: String,
    path: String,
    is: &'static str,
    text: String,
    takes: Takes,
) -> Row {
    Row {
        group: group.to_owned(),
        what,
        place: Place::There { path, is },
        text,
        meant: String::new(),
        takes,
    }
}

/// A reading that is not asked of every step.
fn other_words(reading: &StepReading) -> String {
    let what = match reading {
        StepReading::Width { .. } => "tread width".to_owned(),
        StepReading::TreadThickness { .. } => "tread thickness".to_owned(),
        StepReading::KickThickness { .. } => "kick thickness".to_owned(),
        StepReading::Fall { low, .. } => format!("fall, {low:?} lower").to_lowercase(),
        StepReading::Height { above: 0, .. } => "height above the floor".to_owned(),
        StepReading::Height { above, .. } => format!("height above {above}"),
        StepReading::Under { line, .. } => format!("under line {line}"),
        StepReading::Run { beyond, .. } => format!("run beyond kick {beyond}"),
        StepReading::Past { line, .. } => format!("past line {line}"),
        StepReading::Pitch { to, .. } => format!("pitch to nosing {to}"),
        StepReading::Diagonal { to, .. } => format!("diagonal to nosing {}", to.step),
        _ => reading.kind().to_lowercase(),
    };
    format!("{what}{}", where_words(reading))
}

fn where_words(reading: &StepReading) -> &'static str {
    use crate::job::Across;
    match (reading.on(), reading.side()) {
        (Surface::Rough, _) => ", rough",
        (_, Across::Open) => ", open end",
        (_, Across::Wall) => ", wall end",
        (_, Across::Stringer(_)) => ", on a stringer",
        (_, Across::Line) => "",
    }
}
