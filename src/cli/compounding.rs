//! `doubt --compounding`: how an error on each step adds up along the flights, as a chart to keep,
//! a short table and JSON.

use std::path::Path;

use super::args::Doubt;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::chain::Chain;
use crate::doubt::compounding::{self, Compounding, Fan, FanStep};
use crate::job::limits::TOLERANCE;
use crate::measure::{Length, Tape};
use crate::publish::compounding as words;
use crate::publish::file;
use crate::publish::json;

/// The command where a chart is asked for.
pub(super) fn run(command: &Doubt) -> Outcome {
    let Some(to) = &command.compounding else {
        return talk::fault("name the chart to draw, as in `--compounding chart.svg`");
    };
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    match loaded {
        Ok(source) => draw(
            &source.on_tape(command.tape.map(Tape::from)),
            command.per_step.as_deref(),
            to,
            command.json,
        ),
        Err(outcome) => outcome,
    }
}

/// Writes the chart of a job, an error per step given as it was typed, and answers with the table
/// or in JSON. What is wrong with the text or the file's name is told before any work is done.
pub(super) fn draw(source: &Source, per_step: Option<&str>, to: &Path, as_json: bool) -> Outcome {
    let job = source.job();
    let asked = kind_of(to).and_then(|kind| Ok((kind, error_per_step(per_step, job.tape)?)));
    let (kind, per_step) = match asked {
        Ok(asked) => asked,
        Err(problem) => return talk::fault(&problem),
    };
    let chain = match source::chain(source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let all = of_flights(&chain, per_step);
    if all.is_empty() {
        return talk::fault("no flight of this job has steps for errors to add up on");
    }
    let bytes = match kind {
        Kind::Svg => words::svg(job, &all).into_bytes(),
        Kind::Pdf => match words::pdf(job, &all) {
            Ok(bytes) => bytes,
            Err(error) => return talk::fault(&error.to_string()),
        },
    };
    if let Err(error) = file::write_over(to, &bytes) {
        return talk::fault(&file::why(to, &error));
    }
    talk::say(&format!("wrote {}", to.display()));
    let text = if as_json {
        json::compounding(source.document(), &all)
    } else {
        written(source, &all)
    };
    talk::answer(&text, Outcome::Clean)
}

/// How errors add up on every flight of a chain.
pub(super) fn of_flights(chain: &Chain, per_step: Length) -> Vec<Compounding> {
    let runs = chain.stairs();
    runs.filter_map(|(_, run)| compounding::compounding(run, per_step))
        .collect()
}

/// What the file is, as its ending says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Svg,
    Pdf,
}

fn kind_of(to: &Path) -> Result<Kind, String> {
    let ending = to.extension().and_then(|ending| ending.to_str());
    match ending.map(str::to_ascii_lowercase).as_deref() {
        _ if to.is_dir() => Err(format!("cannot write {}: it is a folder", to.display())),
        Some("svg") => Ok(Kind::Svg),
        Some("pdf") => Ok(Kind::Pdf),
        _ => Err(format!(
            "cannot tell what chart {} is to be: name it FILE.svg or FILE.pdf",
            to.display()
        )),
    }
}

/// The error per step that is asked for.
fn error_per_step(text: Option<&str>, tape: Tape) -> Result<Length, String> {
    let Some(text) = text else {
        return Ok(compounding::PER_STEP);
    };
    let length = tape
        .read(text)
        .map_err(|error| format!("--per-step: {error}"))?;
    let most = TOLERANCE.most;
    if Length::ZERO < length && length <= most {
        Ok(length)
    } else {
        Err(format!(
            "--per-step: {text} is no error on a step; write more than zero, and {} at most",
            tape.print(most)
        ))
    }
}

fn written(source: &Source, all: &[Compounding]) -> String {
    let mut page = Page::default();
    let job = source.job();
    for told in all {
        page.heading(&words::title(job, told, all.len() > 1));
        for fan in told.fans.iter().filter(|fan| !fan.steps.is_empty()) {
            page.heading(words::heading(fan.of));
            page.wrapped("", &words::says(fan, told.per_step, job.tape).join(" "));
            page.space();
            write_steps(&mut page, fan, job.tape);
        }
    }
    page.text()
}

fn write_steps(page: &mut Page, fan: &Fan, tape: Tape) {
    let head = [
        "step",
        "same way",
        "half the time",
        "19 in 20",
        "found off",
        "known to",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(some(&fan.steps).into_iter().map(|row| {
        vec![
            row.step.to_string(),
            tape.print(row.same_way),
            words::up_to(tape, row.stepped.even),
            words::up_to(tape, row.stepped.nearly),
            tape.print(row.found),
            words::up_to(tape, row.open.nearly),
        ]
    }));
    page.table(2, &[Push::Right; 6], &rows);
}

/// No more rows than this.
const ROWS: usize = 6;

/// The first, the last and some between them, evenly; what one starts from is left out.
fn some(steps: &[FanStep]) -> Vec<&FanStep> {
    let all: Vec<&FanStep> = steps.iter().filter(|row| row.errors > 0).collect();
    let last = all.len().saturating_sub(1);
    if all.len() <= ROWS {
        return all;
    }
    let at = |row: usize| (row * last + (ROWS - 1) / 2) / (ROWS - 1);
    (0..ROWS).map(|row| all[at(row)]).collect()
}

#[cfg(test)]
mod tests {
    use super::{error_per_step, kind_of};
    use crate::measure::Tape;
    use std::path::Path;

    #[test]
    fn what_is_asked_is_read_or_told() {
        let read = |text| error_per_step(Some(text), Tape::Sixteenths);
        assert!((read("1/8").unwrap().as_inches() - 0.125).abs() < 1e-12);
        assert!((read("2 mm").unwrap().as_mm() - 2.0).abs() < 1e-12);
        let usual = error_per_step(None, Tape::Millimetres).unwrap();
        assert!((usual.as_inches() - 0.0625).abs() < 1e-12);
        for (text, told) in [
            ("0", "more than zero, and 2\" at most"),
            ("-1/16", "more than zero"),
            ("3", "2\" at most"),
            ("a hair", "--per-step: "),
        ] {
            assert!(read(text).unwrap_err().contains(told), "{text}");
        }
    }

    #[test]
    fn the_ending_says_what_the_file_is() {
        assert!(kind_of(Path::new("a/chart.SVG")).is_ok());
        assert!(kind_of(Path::new("chart.pdf")).is_ok());
        for name in ["chart.png", "chart", "."] {
            assert!(kind_of(Path::new(name)).is_err(), "{name}");
        }
    }
}
