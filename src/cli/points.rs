//! `points`: a wall fitted to the points of a scan, told, and written into a copy of the job as
//! readings if asked.

use std::fs::File;
use std::path::Path;

use super::args::Points as Command;
use super::page::Page;
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::job::whole::plain;
use crate::job::{Document, Faults, Job};
use crate::measure::{Angle, Length, Tape, grouped, parse_angle, parse_length};
use crate::publish::file;
use crate::publish::json;
use crate::survey::LEVEL;
use crate::survey::points::read::{self, Column, HowToRead, PointUnit};
use crate::survey::points::{
    Cell, Choices, FEWEST_POINTS, Fitted, Frame, MeantFace, Placement, fit, on_wall_if,
};

/// Most things on the wall that are told one by one; JSON holds all.
const MOST_TOLD: usize = 12;

pub(super) fn run(command: &Command) -> Outcome {
    let source = match source::load(Some(&command.job)) {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    match answer(command, &source) {
        Ok(text) => talk::answer(&text, Outcome::Clean),
        Err(Trouble::Told(text)) => talk::fault(&text),
        Err(Trouble::Job(faults)) => {
            talk::say(faults.render(true).trim_end());
            talk::fault("the points make a job that has a fault; nothing is written")
        }
    }
}

enum Trouble {
    Told(String),
    Job(Box<Faults>),
}

impl From<String> for Trouble {
    fn from(text: String) -> Self {
        Self::Told(text)
    }
}

fn answer(command: &Command, source: &Source) -> Result<String, Trouble> {
    let job = source.job();
    if let Some(to) = command.to.as_deref().filter(|to| to.exists()) {
        let there = std::io::ErrorKind::AlreadyExists.into();
        return Err(file::why(to, &there).into());
    }
    let at = wall_of(job, &command.wall)?;
    let face = MeantFace::of(&job.walls[at])
        .ok_or_else(|| format!("wall `{}` has no extent", command.wall))?;
    let (placement, choices) = asked(command, job)?;
    let how = HowToRead {
        columns: command.columns.as_deref().map(three).transpose()?,
        unit: command.unit.unit(),
    };
    let read = load(&command.file, &how)?;
    let fitted = fit(&read.points, &face, &placement, &choices).map_err(|error| {
        let hint = other_unit(&read.points, &face, &placement, &choices, how.unit);
        let hint = hint.unwrap_or_else(|| "are unit, frame, origin and turn right?".to_owned());
        format!("{}: {error}; {hint}", command.file.display())
    })?;
    for warning in &read.warnings {
        talk::say(&format!("{}: {warning}", command.file.display()));
    }
    if let Some(to) = &command.to {
        write(source, at, &fitted, to)?;
    }
    Ok(if command.json {
        json::points(job, &command.wall, &read, &fitted)
    } else {
        written(command, job, &read, &fitted)
    })
}

fn three(text: &str) -> Result<[Column; 3], String> {
    Column::three(text).map_err(|error| format!("--columns: {error}"))
}

fn wall_of(job: &Job, name: &str) -> Result<usize, String> {
    let found = job.walls.iter().position(|wall| wall.name == name);
    found.ok_or_else(|| {
        let names: Vec<&str> = job.walls.iter().map(|wall| wall.name.as_str()).collect();
        format!(
            "there is no wall `{name}`; the walls are: {}",
            names.join(", ")
        )
    })
}

fn asked(command: &Command, job: &Job) -> Result<(Placement, Choices), String> {
    let length = |option: &str, text: &str| {
        parse_length(text, job.units).map_err(|error| format!("{option}: {error}"))
    };
    let mut placement = Placement {
        frame: command.frame.frame(),
        origin: [Length::ZERO; 3],
        turn: Angle::radians(0.0),
    };
    if placement.frame == Frame::Wall && (command.origin.is_some() || command.turn.is_some()) {
        return Err(
            "--origin and --turn carry an instrument's frame into the flight's; with \
                    --frame wall there is nothing to carry"
                .to_owned(),
        );
    }
    if let Some(text) = &command.origin {
        let parts: Vec<Length> = text
            .split(',')
            .map(|part| length("--origin", part))
            .collect::<Result<_, _>>()?;
        let count = parts.len();
        placement.origin = parts.try_into().map_err(|_other| {
            format!("--origin has {count} lengths; give three, as \"10, 4, 60\"")
        })?;
    }
    if let Some(text) = &command.turn {
        placement.turn = parse_angle(text).map_err(|error| format!("--turn: {error}"))?;
    }
    let mut choices = Choices::default();
    if let Some(text) = &command.band {
        choices.band = length("--band", text)?;
        if choices.band <= Length::ZERO {
            return Err(
                "--band: nothing lies within so narrow a band; give more than 0".to_owned(),
            );
        }
    }
    Ok((placement, choices))
}

fn load(path: &Path, how: &HowToRead) -> Result<read::Points, String> {
    let name = path.display();
    let cannot = |error: std::io::Error| format!("{name} cannot be read: {}", plain(&error));
    let opened = File::open(path).map_err(cannot)?;
    read::read(opened, how).map_err(|error| format!("{name}: {error}"))
}

/// The unit that would put most of the points on the wall, and of several the longest, so that they
/// fill it; none where that is the given one.
fn other_unit(
    points: &[nalgebra::Point3<f64>],
    face: &MeantFace,
    placement: &Placement,
    choices: &Choices,
    given: PointUnit,
) -> Option<String> {
    let on = |unit: PointUnit| {
        let times = unit.length() / given.length();
        on_wall_if(points, face, placement, choices, times)
    };
    // The least first: of several that do as well the last is taken.
    let mut units = PointUnit::ALL;
    units.sort_by(|a, b| a.length().total_cmp(&b.length()));
    let (count, unit) = units
        .map(|unit| (on(unit), unit))
        .into_iter()
        .max_by_key(|(count, _)| *count)?;
    (unit != given && count >= FEWEST_POINTS).then(|| {
        format!(
            "with --unit {} instead of {}, {} would lie on the wall and fill more of it",
            unit.word(),
            given.word(),
            grouped(count)
        )
    })
}

fn written(command: &Command, job: &Job, read: &read::Points, fitted: &Fitted) -> String {
    let tape = job.tape;
    let mut page = Page::default();
    page.heading(&format!(
        "Wall {} from {}",
        command.wall,
        command.file.display()
    ));
    for says in wall_says(fitted, tape) {
        page.wrapped("  ", &says);
    }
    page.heading("Points");
    for says in counts_say(read, fitted) {
        page.wrapped("  ", &says);
    }
    page.heading("Thinned");
    let points = fitted.counts.used / fitted.cells.len().max(1);
    let mut doubts: Vec<f64> = fitted.cells.iter().map(|cell| cell.sd.as_mm()).collect();
    let doubt = crate::survey::points::robust::median(&mut doubts).unwrap_or(0.0);
    page.wrapped(
        "  ",
        &format!(
            "{} cells of {} stand for them, {points} points each on average, with a standard \
             uncertainty of {doubt:.2} mm (middle of all); what is common to all points of the \
             instrument comes on top, once.",
            fitted.cells.len(),
            tape.print(fitted.cell_size),
        ),
    );
    if let Some(to) = &command.to {
        page.wrapped("  ", &format!("Written as readings into {}.", to.display()));
    }
    if !fitted.groups.is_empty() {
        page.heading("Left out");
    }
    for group in fitted.groups.iter().take(MOST_TOLD) {
        page.wrapped("  ", &group.says(tape));
    }
    if fitted.groups.len() > MOST_TOLD {
        let more = fitted.groups.len() - MOST_TOLD;
        page.line(&format!("  and {more} more, smaller; --json tells all"));
    }
    page.text()
}

fn wall_says(fitted: &Fitted, tape: Tape) -> Vec<String> {
    let (plane, bow) = (fitted.plane, fitted.bow);
    let lean = LEVEL * plane.lean;
    let way = |into: bool| {
        if into {
            "into the room"
        } else {
            "away from the room"
        }
    };
    vec![
        format!(
            "It leans {} {} in 48\" of height ({:.2}\u{b0}).",
            tape.print(lean.abs()),
            way(plane.lean > 0.0),
            plane.lean.atan().to_degrees().abs(),
        ),
        format!(
            "It runs {} {} in 48\" along; at its foot, half way along, it stands {} off the meant \
             face.",
            tape.print((LEVEL * plane.splay).abs()),
            way(plane.splay > 0.0),
            tape.print(Length::mm(plane.offset)),
        ),
        format!(
            "Seen from above, its own line stands {} off the meant one at its beginning and {} at \
             its end.",
            tape.print(fitted.in_plan.0),
            tape.print(fitted.in_plan.1),
        ),
        format!(
            "Its greatest bow is {} {}, at {} along, {} up.",
            tape.print(bow.off.abs()),
            way(bow.off > Length::ZERO),
            tape.print(bow.along),
            tape.print(bow.up),
        ),
        format!(
            "A point is off the surface by {:.2} mm (standard deviation).",
            fitted.noise.as_mm()
        ),
    ]
}

fn counts_say(read: &read::Points, fitted: &Fitted) -> Vec<String> {
    let counts = fitted.counts;
    let n = grouped;
    let mut says = vec![format!(
        "{} read (columns {}); {} used, {} left out, {} of them astray.",
        n(counts.given + read.not_numbers),
        read.columns.join(", "),
        n(counts.used),
        n(counts.left_out),
        n(fitted.strays),
    )];
    // Cells that are mostly something else take their other points with them.
    let lost = counts.on_the_wall - counts.left_out - counts.used;
    if lost > 0 {
        says.push(format!("{} beside what is left out are not used.", n(lost)));
    }
    let elsewhere = counts.beyond_ends + counts.above_or_below + counts.off_the_face;
    if elsewhere > 0 {
        says.push(format!(
            "{} are not on this wall: {} beyond its ends, {} above or below it, {} too far off its \
             meant face.",
            n(elsewhere),
            n(counts.beyond_ends),
            n(counts.above_or_below),
            n(counts.off_the_face),
        ));
    }
    if read.not_numbers > 0 {
        says.push(format!("{} are no numbers.", n(read.not_numbers)));
    }
    says
}

/// Writes the cells as readings into a copy of the job.
fn write(source: &Source, wall: usize, fitted: &Fitted, to: &Path) -> Result<(), Trouble> {
    let job = source.job();
    let name = &job.walls[wall].name;
    let (scan, line) = (free(job, "scan"), free(job, &format!("scan {name}")));
    let add = |document: Document, path: &str, item: &str| {
        document
            .append(path, item)
            .map_err(|faults| Trouble::Job(Box::new(faults)))
    };
    let path = format!("walls[{wall}].readings");
    let mut document = source.document().clone();
    document = add(
        document,
        "instruments",
        &format!("(name: {scan:?}, is: Scanner())"),
    )?;
    let runs = format!("Beside(wall: {name:?}, off: \"0\")");
    let item = format!("(name: {line:?}, runs: {runs}, by: {scan:?})");
    document = add(document, "lines", &item)?;
    for cell in &fitted.cells {
        document = add(document, &path, &reading(cell, &scan, &line))?;
    }
    file::write_new(to, document.text().as_bytes()).map_err(|error| file::why(to, &error).into())
}

/// A cell as a reading. The laser line stands in the meant face, so that what is read from it is
/// the offset with its sign turned.
fn reading(cell: &Cell, scan: &str, line: &str) -> String {
    let mm = |length: Length, decimals: usize| format!("\"{:.decimals$} mm\"", length.as_mm());
    // No negative zero is written.
    let is = Length::ZERO - cell.off + Length::ZERO;
    format!(
        "Offset(along: {}, up: {}, is: {}, line: {line:?}, by: {scan:?}, sd: {}, \
         note: \"scan, {} points\")",
        mm(cell.along, 1),
        mm(cell.up, 1),
        mm(is, 3),
        mm(cell.sd, 3),
        cell.points
    )
}

/// A name that no instrument and no laser line has.
fn free(job: &Job, wanted: &str) -> String {
    let taken = |name: &str| {
        job.instruments.iter().any(|one| one.name == name)
            || job.lines.iter().any(|one| one.name == name)
    };
    let mut name = wanted.to_owned();
    let mut number = 1;
    while taken(&name) {
        number += 1;
        name = format!("{wanted} {number}");
    }
    name
}
