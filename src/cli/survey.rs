//! `survey`: the readings adjusted: slips, what is open, how sure the results are, what to read next.

use std::collections::BTreeSet;
use std::path::Path;

use super::args::Survey as Command;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::chain::RunChain;
use crate::doubt::{self, Doubt};
use crate::inspect::walls::{self, CornerTold, WallTold};
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::publish::file;
use crate::publish::full_size::own_name;
use crate::publish::json;
use crate::publish::json::SurveyTold as Told;
use crate::publish::survey::{give_words, read_words, sd_words, suspect_says};
use crate::publish::walls::{corner_says, wall_says, wall_svg};
use crate::rules::Pack;
use crate::survey::{CHECKABLE, Judged, MOST_SUSPECTS, Standing, Survey, WITHIN};

pub(super) fn run(command: &Command) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let all: Vec<OfRun<'_>> = chain
        .stairs()
        .filter_map(|(_, run)| OfRun::of(run, &chain.pack))
        .collect();
    if all.is_empty() {
        return talk::fault("the chain ran without a survey");
    }
    if let Some(folder) = &command.walls
        && let Err(problem) = draw_walls(folder, source.job(), &all)
    {
        return talk::fault(&problem);
    }
    let told: Vec<Told<'_>> = all.iter().map(OfRun::told).collect();
    let text = if command.json {
        json::survey(source.document(), &told)
    } else {
        written(&source, &told)
    };
    let far = |one: &Judged| one.standing == Standing::UncheckedAndFar;
    let clean = |told: &Told<'_>| {
        let survey = told.survey;
        survey.adjustment.settled()
            && survey.suspects.is_empty()
            && !survey.readings.iter().any(far)
    };
    let outcome = if told.iter().all(clean) {
        Outcome::Clean
    } else {
        Outcome::Trouble
    };
    talk::answer(&text, outcome)
}

/// What the survey tells of one run.
struct OfRun<'a> {
    run: &'a RunChain,
    survey: &'a Survey,
    doubt: Doubt,
    walls: Vec<WallTold>,
    corners: Vec<CornerTold>,
}

impl<'a> OfRun<'a> {
    fn of(run: &'a RunChain, pack: &Pack) -> Option<Self> {
        let survey = run.survey.as_deref()?;
        let adjustment = &survey.adjustment;
        Some(Self {
            run,
            survey,
            doubt: doubt::first_order(run, pack)?,
            walls: walls::walls(&run.run.job, &run.site, &run.setout, adjustment),
            corners: walls::corners(&run.site, adjustment),
        })
    }

    fn told(&self) -> Told<'_> {
        Told {
            survey: self.survey,
            doubt: &self.doubt,
            run: &self.run.run.name,
            walls: &self.walls,
            corners: &self.corners,
        }
    }
}

/// Draws every wall into a folder, which is made if it is not there.
fn draw_walls(folder: &Path, job: &Job, all: &[OfRun<'_>]) -> Result<(), String> {
    let of_run = |one: &'_ OfRun<'_>| -> Vec<_> {
        let face = |wall: &WallTold| Some((one.run.site.wall(&wall.name)?.clone(), wall.clone()));
        one.walls.iter().filter_map(face).collect()
    };
    let mut names = BTreeSet::new();
    let files: Vec<(String, Vec<u8>)> = all
        .iter()
        .flat_map(of_run)
        .map(|(face, wall)| {
            let drawn = wall_svg(job, &face, &wall);
            let name = own_name(&mut names, &format!("wall-{}", wall.name));
            (format!("{name}.svg"), drawn.into_bytes())
        })
        .collect();
    file::write_all(folder, &files)
}

fn written(source: &Source, all: &[Told<'_>]) -> String {
    let mut page = Page::default();
    page.heading(&source.job().name);
    for told in all {
        if all.len() > 1 {
            page.heading(&format!("Run {}", told.run));
        }
        write_run(&mut page, source, told);
    }
    page.text()
}

fn write_run(page: &mut Page, source: &Source, told: &Told<'_>) {
    let (survey, doubt) = (told.survey, told.doubt);
    let tape = source.job().tape;
    page.wrapped("", &headline(survey));
    if !survey.adjustment.settled() {
        page.wrapped(
            "",
            "The readings have no common solution near the stair that was meant; look for a slip \
             among those of pitch, diagonal and corner first.",
        );
    }
    write_suspects(page, source, survey);
    write_readings(page, survey, tape);
    write_loose(page, survey, tape);
    write_results(page, doubt, tape);
    write_walls(page, told, tape);
    write_next(page, doubt, tape);
}

fn headline(survey: &Survey) -> String {
    let count = |standing: &[Standing]| {
        let all = survey.readings.iter();
        all.filter(|one| standing.contains(&one.standing)).count()
    };
    let unchecked = count(&[Standing::Unchecked, Standing::UncheckedAndFar]);
    let far = match count(&[Standing::UncheckedAndFar]) {
        0 => String::new(),
        1 => ", one of them far from what was meant: read it again too".to_owned(),
        far => format!(", {far} of them far from what was meant: read them again too"),
    };
    let slips = match survey.suspects.len() {
        0 => "none looks like a slip".to_owned(),
        1 => "one looks like a slip".to_owned(),
        MOST_SUSPECTS => format!("{MOST_SUSPECTS} look like slips, if no more"),
        slips => format!("{slips} look like slips"),
    };
    format!(
        "{} readings: {slips}; {unchecked} cannot be checked by any other{far}.",
        survey.readings.len()
    )
}

fn write_suspects(page: &mut Page, source: &Source, survey: &Survey) {
    if survey.suspects.is_empty() {
        return;
    }
    let tape = source.job().tape;
    page.heading("Read again");
    for (place, suspect) in survey.suspects.iter().enumerate() {
        let Some(one) = survey.readings.get(suspect.reading) else {
            continue;
        };
        let lead = format!("{:>3}  ", place + 1);
        page.wrapped(&lead, &format!("{}.", suspect_says(tape, one, suspect)));
        let line = source.document().line_of(&one.path);
        let at = line.map_or_else(String::new, |(line, _)| format!("line {line}, "));
        let others = suspect.or.iter().filter_map(|at| survey.readings.get(*at));
        let or: Vec<String> = others.map(|other| as_well(source, one, other)).collect();
        let or = match or.is_empty() {
            true => String::new(),
            false => format!(". The slip could as well be in {}", or.join(" or ")),
        };
        page.wrapped(
            "     ",
            &format!(
                "{at}{}: {:.1} times as far off as readings of its kind usually are; one in a \
                 thousand is off by more than 3.29 times{or}.",
                one.path,
                suspect.w.abs()
            ),
        );
    }
}

/// Another reading that could be the slip; where it is one of the same thing, what it reads and where
/// it stands.
fn as_well(source: &Source, named: &Judged, other: &Judged) -> String {
    if other.what != named.what {
        return other.what.clone();
    }
    let read = read_words(source.job().tape, other.read, other.value);
    let place = match source.document().line_of(&other.path) {
        Some((line, _)) => format!("line {line}, {}", other.path),
        None => other.path.clone(),
    };
    format!("the other one, {read} ({place})")
}

fn write_readings(page: &mut Page, survey: &Survey, tape: Tape) {
    if survey.readings.is_empty() {
        return;
    }
    page.heading("Readings");
    page.wrapped(
        "  ",
        "Give: what such a reading may be off by, usually. Misfit: how far it stands from what all of \
         them together make of the stair. Checked: what share of a slip in it the others would show.",
    );
    let mut rows = vec![
        ["reading", "read", "give", "misfit", "checked", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    let all = survey.readings.iter().enumerate();
    rows.extend(all.map(|(number, one)| reading_row(survey, number, one, tape)));
    page.table(
        2,
        &[
            Push::Left,
            Push::Right,
            Push::Right,
            Push::Right,
            Push::Right,
            Push::Left,
        ],
        &rows,
    );
}

fn reading_row(survey: &Survey, number: usize, one: &Judged, tape: Tape) -> Vec<String> {
    let checked = if one.r < CHECKABLE {
        "no".to_owned()
    } else {
        format!("{:.0} %", one.r * 100.0)
    };
    vec![
        one.what.clone(),
        read_words(tape, one.read, one.value),
        sd_words(tape, one.read, one.sd),
        no_sign_of_nothing(sd_words(tape, one.read, one.misfit())),
        checked,
        standing_words(survey, number, one.standing),
    ]
}

/// A misfit of nothing has no sign: `-0.000"` is `0.000"`.
fn no_sign_of_nothing(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|c: char| ('1'..='9').contains(&c)) => rest.to_owned(),
        _ => text,
    }
}

/// What is said beside a reading: whether it is a slip, could be the slip, or is pulled by one.
fn standing_words(survey: &Survey, number: usize, standing: Standing) -> String {
    let slips = survey.suspects.iter();
    let named = slips.clone().position(|slip| slip.reading == number);
    let other = slips.clone().position(|slip| slip.or.contains(&number));
    match (named, other, standing) {
        (Some(slip), ..) => format!("{}: read again", slip + 1),
        (_, Some(slip), _) => format!("{}: or this one", slip + 1),
        (.., Standing::Suspect) => "pulled off by a slip".to_owned(),
        (.., Standing::UncheckedAndFar) => "far from what was meant".to_owned(),
        (.., Standing::Agrees | Standing::Unchecked) => String::new(),
    }
}

fn write_loose(page: &mut Page, survey: &Survey, tape: Tape) {
    if survey.loose.is_empty() {
        return;
    }
    page.heading("Taken as meant");
    for loose in &survey.loose {
        page.wrapped(
            "  ",
            &format!(
                "{}: as meant, give or take {}.",
                loose.says,
                give_words(tape, loose.give * WITHIN)
            ),
        );
    }
}

fn write_results(page: &mut Page, doubt: &Doubt, tape: Tape) {
    page.heading("How sure the results are");
    let rows: Vec<Vec<String>> = doubt
        .outcomes
        .iter()
        .map(|one| {
            let most = one
                .sources
                .first()
                .map_or_else(String::new, |(what, share)| {
                    format!("{:.0} % of it from {what}", share * 100.0)
                });
            vec![
                one.what.clone(),
                tape.print(Length::mm(one.value)),
                format!(
                    "give or take {}",
                    give_words(tape, Length::mm(WITHIN * one.sd))
                ),
                most,
            ]
        })
        .collect();
    page.table(2, &[Push::Left, Push::Right, Push::Left, Push::Left], &rows);
    page.line("  (nineteen times in twenty, from the readings and from what was never read)");
}

fn write_walls(page: &mut Page, told: &Told<'_>, tape: Tape) {
    if told.walls.is_empty() {
        return;
    }
    page.heading("Walls");
    for wall in told.walls {
        let mut lead = format!("  {:<4}", wall.name);
        for says in wall_says(tape, wall) {
            page.wrapped(&lead, &format!("{says}."));
            lead = " ".repeat(lead.chars().count());
        }
    }
    for corner in told.corners {
        page.wrapped("  ", &format!("{}.", corner_says(tape, corner)));
    }
}

fn write_next(page: &mut Page, doubt: &Doubt, tape: Tape) {
    if doubt.next.is_empty() {
        return;
    }
    page.heading("Read next");
    for (place, one) in doubt.next.iter().enumerate() {
        page.wrapped(
            &format!("{:>3}  ", place + 1),
            &format!("{}: {}.", one.what, one.how),
        );
        let shrinks: Vec<String> = one
            .shrinks
            .iter()
            .filter(|shrink| shrink.before - shrink.after > tape.mark().as_mm() / 16.0)
            .take(2)
            .map(|shrink| {
                let words = |sd: f64| give_words(tape, Length::mm(WITHIN * sd));
                format!(
                    "{}: give or take {} becomes {}",
                    shrink.what,
                    words(shrink.before),
                    words(shrink.after)
                )
            })
            .collect();
        if !shrinks.is_empty() {
            page.wrapped("     ", &format!("{}.", shrinks.join("; ")));
        }
    }
}
