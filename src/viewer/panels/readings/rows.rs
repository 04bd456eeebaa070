//! The rows of the sheet: every reading of the job, and every usual one that is not there yet, in
//! the order that one walks the stair, run by run.
//!
//! In: a [`Job`]. Out: [`Row`]s; a row knows the change that a text typed into it makes, and what it
//! is read of.

use crate::job::{
    FloorReading, Job, LevelEnd, OneRun, Side, StepReading, Surface, WallReading, quoted,
};
use crate::measure::{Length, Unit, parse_angle, parse_length};
use crate::site::held::Usual;

use super::super::super::session::Change;

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
    /// The list that it is added to, and the front of a reading of the steps that is not there yet,
    /// as in `Rise(step: 3, `.
    New { list: String, front: String },
}

/// What a reading is of.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) enum Of {
    /// The whole flight.
    Flight,
    /// A step.
    Step(u32),
    /// A wall.
    Wall(String),
    /// A floor, a landing.
    Floor(String),
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    /// The run, by its number, and its name where there are several.
    pub(super) run: (usize, String),
    /// What it is read of.
    pub(super) of: Of,
    /// The path that the reading has, or will have, in its run by itself.
    pub(super) local: String,
    /// Where it is one that is asked of every step.
    pub(super) usual: Option<(Usual, u32)>,
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

/// The list that readings of the steps are added to.
const STEPS: &str = "flight.readings";

impl Row {
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
                Place::New { .. } => None,
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
            Place::New { list, front } => {
                let high = high.map_or_else(String::new, |side| format!(", high: {side}"));
                Change::Append {
                    list: list.clone(),
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
    let runs = job.each_run();
    let several = runs.iter().filter(|run| run.has_stair()).count() > 1;
    let stairs = runs.iter().enumerate().filter(|(_, run)| run.has_stair());
    stairs
        .flat_map(|(number, run)| {
            let called = if several {
                run.name.clone()
            } else {
                String::new()
            };
            let job = &run.job;
            Walk {
                run,
                called: (number, called),
                job,
            }
            .rows()
        })
        .collect()
}

struct Walk<'a> {
    run: &'a OneRun,
    called: (usize, String),
    job: &'a Job,
}

/// The readings that are asked of every step.
const ASKED: [(&str, &str, Usual); 5] = [
    ("Rise", "rise", Usual::Rise),
    ("Going", "going", Usual::Going),
    ("Edge", "tread end", Usual::Edge),
    ("Level", "level", Usual::Level),
    ("Overhang", "nosing", Usual::Overhang),
];

/// A reading that is asked for: its kind, of which step, its words, and what was meant.
struct Asked<'a> {
    kind: &'a str,
    step: Option<u32>,
    what: &'a str,
    meant: Length,
    usual: Usual,
}

impl Walk<'_> {
    fn rows(&self) -> Vec<Row> {
        let mut rows = Vec::new();
        if self.job.level.is_none() {
            rows.extend(self.whole());
        }
        for step in 1..=self.job.flight.count {
            rows.extend(self.step(step));
        }
        rows.extend(self.walls());
        rows.extend(self.floors());
        rows
    }

    /// The readings of the whole flight.
    fn whole(&self) -> Vec<Row> {
        let flight = &self.job.flight;
        let kicks = f64::from(flight.count);
        let asked = [
            (
                "TotalRise",
                "total rise",
                flight.rise.value * kicks,
                Usual::TotalRise,
            ),
            (
                "TotalRun",
                "total run",
                (1..flight.count).map(|step| flight.going_of(step)).sum(),
                Usual::TotalRun,
            ),
        ];
        asked
            .into_iter()
            .flat_map(|(kind, what, meant, usual)| {
                let step = None;
                let asked = Asked {
                    kind,
                    step,
                    what,
                    meant,
                    usual,
                };
                self.asked("flight", &asked)
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
        let usual = asked.iter().flat_map(|&(kind, what, usual)| {
            let meant = match usual {
                Usual::Rise => flight.rise.value,
                Usual::Going => flight.going_of(step),
                Usual::Edge => flight.edge_of(step),
                Usual::Overhang => flight.overhang.value,
                Usual::Level | Usual::TotalRise | Usual::TotalRun => Length::ZERO,
            };
            let step = Some(step);
            let asked = Asked {
                kind,
                step,
                what,
                meant,
                usual,
            };
            self.asked(&group, &asked)
        });
        let usual: Vec<Row> = usual.collect();
        let others = flight.readings.iter().enumerate().filter(|(_, reading)| {
            let usual = ASKED.iter().any(|(kind, ..)| *kind == reading.kind());
            reading.step() == Some(step) && !usual
        });
        let others: Vec<Row> = others
            .map(|(at, reading)| self.step_row(&group, at, reading, other_words(reading)))
            .collect();
        usual.into_iter().chain(others).collect()
    }

    /// The rows of a reading that is always asked for: those there are, or one to fill in.
    fn asked(&self, group: &str, asked: &Asked<'_>) -> Vec<Row> {
        let Asked {
            kind, step, what, ..
        } = *asked;
        let usual = Some((asked.usual, step.unwrap_or_default()));
        let all = self.job.flight.readings.iter().enumerate();
        let there: Vec<Row> = all
            .filter(|(_, reading)| reading.kind() == kind && reading.step() == step)
            .map(|(at, reading)| {
                let what = format!("{what}{}", where_words(reading));
                Row {
                    usual,
                    ..self.step_row(group, at, reading, what)
                }
            })
            .collect();
        if !there.is_empty() {
            return there;
        }
        let number = step.map_or_else(String::new, |step| format!("step: {step}, "));
        let level = kind == "Level";
        // A bare number that is typed here is the file's.
        let meant = self.job.own_tape().print(asked.meant);
        vec![Row {
            run: self.called.clone(),
            of: step.map_or(Of::Flight, Of::Step),
            local: format!("{STEPS}[{}]", self.job.flight.readings.len()),
            usual,
            group: group.to_owned(),
            what: what.to_owned(),
            place: Place::New {
                list: self.run.path(STEPS),
                front: format!("{kind}({number}"),
            },
            text: String::new(),
            meant: if level {
                format!("{meant}  o / w")
            } else {
                meant
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
        let of = reading.step().map_or(Of::Flight, Of::Step);
        let there = There {
            group,
            what,
            local: format!("{STEPS}[{at}]"),
            is: "is",
            text,
        };
        self.there(of, there, takes)
    }

    fn there(&self, of: Of, there: There<'_>, takes: Takes) -> Row {
        let path = self.run.path(&there.local);
        Row {
            run: self.called.clone(),
            of,
            usual: None,
            group: there.group.to_owned(),
            what: there.what,
            place: Place::There { path, is: there.is },
            local: there.local,
            text: there.text,
            meant: String::new(),
            takes,
        }
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
                let there = There {
                    group: &format!("wall {}", wall.name),
                    what: self.wall_words(reading),
                    local: format!("walls[{index}].readings[{at}]"),
                    is,
                    text: reading.is().text.clone(),
                };
                self.there(Of::Wall(wall.name.clone()), there, Takes::Length)
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
                let there = There {
                    group: &format!("floor {}", floor.name),
                    what: what.to_lowercase(),
                    local: format!("floors[{index}].readings[{at}]"),
                    is: "is",
                    text: reading.is().text.clone(),
                };
                self.there(Of::Floor(floor.name.clone()), there, Takes::Length)
            })
        });
        rows.collect()
    }
}

/// A reading that is there.
struct There<'a> {
    group: &'a str,
    what: String,
    local: String,
    is: &'static str,
    text: String,
}

/// The row that the hand is sent to by a part of the picture: the first reading of that step, wall or
/// floor. A tread and its kick are one step.
pub(super) fn first_of(job: &Job, rows: &[Row], part: &str) -> Option<usize> {
    let runs = job.each_run();
    // The longest mark first: that of the first run may be empty.
    let mut marked: Vec<(usize, &OneRun)> = runs.iter().enumerate().collect();
    marked.sort_by_key(|(_, run)| std::cmp::Reverse(run.mark.len()));
    let (number, run, name) = marked
        .into_iter()
        .find_map(|(number, run)| Some((number, run, part.strip_prefix(run.mark.as_str())?)))?;
    // The railing on a wall side stands on another run's stair.
    let number = run.beside.as_ref().map_or(number, |(stair, _)| *stair);
    let step = |kind: char| name.strip_prefix(kind)?.parse::<u32>().ok();
    let last = run.job.flight.count;
    let wanted = |row: &&Row| match &row.of {
        Of::Step(at) => match name {
            "F1" => *at == last,
            "F0" => *at == 1,
            _ => step('T').or_else(|| step('K')) == Some(*at),
        },
        Of::Wall(wall) | Of::Floor(wall) => wall == part || wall == name,
        Of::Flight => false,
    };
    let own = rows
        .iter()
        .position(|row| row.run.0 == number && wanted(&row));
    // Walls are named alike in all runs, and floors have names of their own before numbers.
    own.or_else(|| {
        rows.iter()
            .position(|row| matches!(row.of, Of::Wall(_)) && wanted(&row))
    })
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
