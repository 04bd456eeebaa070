//! `doubt --decides`: what decides one line, and what would make it surer.

use crate::chain::Chain;
use crate::cli::page::{Page, Push};
use crate::cli::{Outcome, talk};
use crate::doubt::propagate::{Bend, Comparison};
use crate::doubt::{self, Bent, Decides, Line, MISS, Model, Reading, State};
use crate::measure::{Length, Tape};
use crate::publish::survey::sd_words;
use crate::publish::{grouped, json, odds, odds_within, per_cent, sentence};
use crate::survey::Read;

use super::Asked;

/// Known names told where one is not known.
const NEAREST_TOLD: usize = 5;
/// Places told where first order stops agreeing.
const STOPS_TOLD: usize = 3;
/// What decides has moved to another place if it is further off than this: a hand's breadth.
const MOVED_MM: f64 = 100.0;

/// Says what decides a line.
pub(super) fn tell(asked: &Asked<'_>, id: &str) -> Outcome {
    let line = match line(asked, id) {
        Ok(line) => line,
        Err(outcome) => return outcome,
    };
    let told = doubt::decides(
        asked.chain,
        asked.model,
        &line,
        &asked.wanted,
        &|progress| asked.watch.tell(progress),
    );
    asked.watch.done();
    let Some(told) = told else {
        return talk::fault("ended before it was worked out");
    };
    let text = if asked.command.json {
        json::decides(asked.source.job(), asked.model, asked.wanted.seed, &told)
    } else {
        written(asked, &told)
    };
    talk::answer(&text, Outcome::Clean)
}

/// The line that is asked for: by its id or words, or by its number among those that `doubt` tells.
fn line(asked: &Asked<'_>, id: &str) -> Result<Line, Outcome> {
    let all = Line::all(asked.model, asked.chain);
    let wanted = match id.trim().parse::<usize>() {
        Ok(number) => numbered(asked, number)?,
        Err(_) => id.trim().to_owned(),
    };
    let plain = wanted.to_lowercase();
    let mut known: Vec<String> = all.iter().map(Line::id).collect();
    let found = known.iter().position(|name| name.to_lowercase() == plain);
    if let Some(found) = found {
        return Ok(all[found].clone());
    }
    // A stable sort keeps the order up the flight among equals.
    known.sort_by_key(|name| strsim::damerau_levenshtein(&plain, &name.to_lowercase()));
    known.truncate(NEAREST_TOLD);
    Err(talk::fault(&format!(
        "the plan of this stair has no line `{wanted}`; near it are {}",
        known.join(", ")
    )))
}

/// The id of a line by its number.
fn numbered(asked: &Asked<'_>, number: usize) -> Result<String, Outcome> {
    let sample = doubt::sample_of(asked.model, asked.chain, &asked.wanted, &|progress| {
        asked.watch.tell(progress)
    });
    asked.watch.done();
    let lines = sample.listed().concat();
    let found = number.checked_sub(1).and_then(|at| lines.get(at));
    found.map(|one| one.plan.key.id()).ok_or_else(|| {
        talk::fault(&format!(
            "`doubt` tells {} lines, none of them is {number}",
            lines.len()
        ))
    })
}

fn written(asked: &Asked<'_>, told: &Decides) -> String {
    let tape = asked.source.job().tape;
    let mut page = Page::default();
    page.heading(&asked.source.job().name);
    page.line(&told.line.id());
    page.space();
    said(&mut page, told, tape);
    page.heading("What decides");
    shares(&mut page, told, asked.model);
    page.heading("First order beside the draws");
    first_order(&mut page, told, asked.model, tape);
    page.heading("What would make it surer");
    again(&mut page, told, asked.chain, tape);
    page.text()
}

/// What it is, and how sure.
fn said(page: &mut Page, told: &Decides, tape: Tape) {
    let planned = tape.print(told.line.planned());
    match told.line.finding() {
        Some(finding) => page.wrapped("", &sentence(&finding.says)),
        None => page.wrapped("", &sentence(&format!("{}: {planned}", told.line.id()))),
    }
    if let Some(tally) = told.tally {
        let (chance, within) = (odds(tally.share()), odds_within(tally.interval(MISS)));
        page.wrapped(
            "",
            &format!(
                "By itself it fails {chance} ({within}), drawn {} times.",
                grouped(told.draws)
            ),
        );
    }
    if let Some((low, high)) = told.spread.within(1.0 - MISS) {
        let (low, high) = (tape.print(Length::mm(low)), tape.print(Length::mm(high)));
        page.wrapped(
            "",
            &format!("Nineteen times in twenty it comes out from {low} to {high}."),
        );
    }
    for (count, what) in [
        (told.absent, "there was no such place"),
        (told.none, "nothing stood at all"),
    ] {
        if count > 0 {
            page.wrapped("", &format!("In {} of the draws {what}.", grouped(count)));
        }
    }
}

fn shares(page: &mut Page, told: &Decides, model: &Model) {
    if told.parts.is_empty() {
        page.wrapped("  ", "Nothing that is drawn moves it.");
        return;
    }
    let heads = ["known alone", "left alone", "by slope", ""].map(str::to_owned);
    let mut rows = vec![heads.to_vec()];
    for part in &told.parts {
        let what = part.source.map_or_else(
            || format!("all the rest together, {} of them", grouped(part.of as u64)),
            |source| model.sources()[source].says(),
        );
        let share = |share: f64| per_cent(share.clamp(0.0, 1.0));
        rows.push(vec![
            share(part.shares.first),
            share(part.shares.total),
            share(part.slope_share),
            what,
        ]);
    }
    let pushes = [Push::Right, Push::Right, Push::Right, Push::Left];
    page.table(2, &pushes, &rows);
    page.space();
    let errors = told
        .parts
        .iter()
        .map(|one| one.shares.first_se.max(one.shares.total_se));
    let error = errors.fold(0.0, f64::max);
    page.wrapped(
        "  ",
        &format!(
            "Known alone: what of its variance would go if this were known. Left alone: what would \
             stay if everything else were. Where the second is greater it works together with \
             others. Both from {} samples, give or take {}; by slope is first order.",
            grouped(told.samples.0),
            per_cent(error)
        ),
    );
}

fn first_order(page: &mut Page, told: &Decides, model: &Model, tape: Tape) {
    let first = sd(tape, told.first.sd);
    let Some(compared) = told.compared else {
        page.wrapped(
            "  ",
            &format!(
                "By slopes its standard deviation is {first}; too few draws to hold it against."
            ),
        );
        return;
    };
    let drawn = told.spread.sd().unwrap_or_default();
    let says = format!(
        "Its standard deviation by slopes is {first}, as drawn {}",
        sd(tape, drawn)
    );
    if compared.agrees {
        page.wrapped("  ", &format!("{says}: they agree."));
    } else {
        page.wrapped(
            "  ",
            &format!("{says}: they do not agree{}.", parted(&compared)),
        );
    }
    let bent = &told.first.bent;
    if bent.is_empty() {
        if !compared.agrees {
            page.wrapped(
                "  ",
                "No source by itself bends it; it stops agreeing where several go together.",
            );
        }
        return;
    }
    let lead = if compared.agrees {
        "Yet it is not straight everywhere:"
    } else {
        "It stops agreeing at:"
    };
    page.wrapped("  ", lead);
    for one in bent.iter().take(STOPS_TOLD) {
        page.wrapped("  - ", &stop(one, model, tape));
    }
    if bent.len() > STOPS_TOLD {
        page.line(&format!(
            "  {} more are in --json.",
            bent.len() - STOPS_TOLD
        ));
    }
}

/// By how much slopes and draws part.
fn parted(compared: &Comparison) -> String {
    if compared.ratio > 100.0 {
        return ", for by slopes nothing moves it".to_owned();
    }
    let shift = compared.shift;
    let middle = if shift.abs() > 3.0 * compared.shift_error + 0.05 {
        format!(
            ", and its middle lies {:.1} standard deviations off the plan",
            shift.abs()
        )
    } else {
        String::new()
    };
    format!(" ({:.2} to 1{middle})", compared.ratio)
}

/// Where one source takes it off its tangent.
fn stop(one: &Bent, model: &Model, tape: Tape) -> String {
    let what = model.sources()[one.source].says();
    let (up, down) = (signed(tape, one.up), signed(tape, one.down));
    let still = |by: f64| by.abs() < 0.1 * one.up.abs().max(one.down.abs());
    let how = match one.bend {
        Bend::OneSided => {
            "with one of its sides there is no such place, or nothing stands".to_owned()
        }
        Bend::Straight => format!(
            "straight at first, it leaves its slope {} standard deviations out",
            one.from
                .map_or_else(|| "some".to_owned(), |from| format!("{from:.1}"))
        ),
        _ if still(one.up) || still(one.down) => {
            format!(
                "one side of it moves it {}, the other does not",
                if still(one.up) { down } else { up }
            )
        }
        Bend::Curved => format!("it moves it {up} one way and {down} the other, and bends evenly"),
        Bend::Kinked => format!("it moves it {up} one way and {down} the other"),
    };
    let at = match one.from {
        Some(from) if one.bend != Bend::Straight && from > 0.0 => {
            format!(", from {from:.1} standard deviations out")
        }
        Some(_) if one.bend != Bend::Straight => ", from the plan on".to_owned(),
        _ => String::new(),
    };
    let told = match (&one.told, one.moved) {
        (Some([here, there]), _) if here != there => {
            format!(". On one side {here}; on the other {there}")
        }
        (_, Some(moved)) if moved > Length::mm(MOVED_MM) => {
            format!("; what decides is {} from there then", tape.print(moved))
        }
        _ => String::new(),
    };
    sentence(&format!("{what}: {how}{at}{told}"))
}

fn signed(tape: Tape, mm: f64) -> String {
    let sign = if mm < 0.0 { "-" } else { "+" };
    format!("{sign}{}", sd(tape, mm.abs()))
}

/// Finer than any tape.
fn sd(tape: Tape, mm: f64) -> String {
    sd_words(tape, Read::Length, mm)
}

fn again(page: &mut Page, told: &Decides, chain: &Chain, tape: Tape) {
    let again = &told.again;
    let runs = chain.runs.len() > 1;
    if again.readings.is_empty() {
        let straight = told.compared.is_none_or(|one| one.agrees);
        let more = if straight {
            ""
        } else {
            " As far as slopes tell, which is not far here."
        };
        page.wrapped(
            "  ",
            &format!("No reading that could be taken would make it surer by a hundredth.{more}"),
        );
    }
    let pair = again.readings.first().zip(again.readings.get(1));
    let same = pair.is_some_and(|(a, b)| (&a.what, &a.how) == (&b.what, &b.how));
    for (at, reading) in again.readings.iter().enumerate() {
        if same && at > 0 {
            continue;
        }
        let named = named(reading, chain, runs);
        let twice = if same { " Take it twice." } else { "" };
        page.wrapped(&format!("  {}. ", at + 1), &format!("{named}{twice}"));
    }
    let mut rows = vec![
        ["foretold", "as drawn", "fails", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.push(row(&again.before, tape, "as it is"));
    for (at, reading) in again.readings.iter().enumerate() {
        if at == 0 || !same {
            rows.push(row(&reading.alone, tape, &alone(at, same)));
        }
    }
    if let Some(both) = &again.both {
        rows.push(row(
            both,
            tape,
            if same { "with both times" } else { "with both" },
        ));
    }
    if let Some(care) = &again.care {
        let what = format!("with {} twice as true", care.operation.word());
        rows.push(row(&care.halved, tape, &what));
    }
    page.space();
    page.table(
        2,
        &[Push::Right, Push::Right, Push::Right, Push::Left],
        &rows,
    );
    page.space();
    let fails = again.before.tally.filter(|tally| tally.hits > 0);
    if let (Some(both), Some(before)) = (&again.both, fails) {
        let after = both
            .tally
            .map_or_else(String::new, |tally| odds(tally.share()));
        page.wrapped(
            "  ",
            &format!(
                "With both readings the chance that it fails goes from {} to {after}, if they come \
                 out as the others have it.",
                odds(before.share()),
            ),
        );
    }
    if let Some(care) = &again.care {
        page.wrapped(
            "  ",
            &format!(
                "Of hand and saw, {} has most to do with it: {} of the variance.",
                care.operation.word(),
                per_cent(care.share)
            ),
        );
    }
}

fn alone(at: usize, same: bool) -> String {
    if same {
        "with it once".to_owned()
    } else {
        format!("with {} alone", at + 1)
    }
}

fn named(reading: &Reading, chain: &Chain, runs: bool) -> String {
    let run = if runs {
        format!(" (run {})", chain.runs[reading.run].run.name)
    } else {
        String::new()
    };
    let field = reading
        .repeats
        .as_ref()
        .map_or_else(String::new, |field| format!(" ({field})"));
    sentence(&format!("{}{run}: {}{field}", reading.what, reading.how))
}

fn row(state: &State, tape: Tape, what: &str) -> Vec<String> {
    let none = || "-".to_owned();
    let drawn = state.sd.map_or_else(none, |(drawn, _)| sd(tape, drawn));
    let fails = state.tally.map_or_else(none, |tally| odds(tally.share()));
    vec![sd(tape, state.foretold), drawn, fails, what.to_owned()]
}
