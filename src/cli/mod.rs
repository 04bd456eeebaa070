//! The command line.
//!
//! In: the program's arguments. Out: the answer on standard output, talk on standard error, and
//! the exit status: 0 no trouble at or above the asked severity, 1 trouble found, 2 the input or
//! the machine is at fault.
//! Does not: compute anything about the stair.

mod answers;
mod args;
mod bedding;
mod boards;
mod built;
mod client_page;
mod compare;
mod compounding;
mod cuts;
mod doubt;
mod drifts;
mod dry_fit;
mod full_size;
mod infill;
mod inspect;
mod manual;
mod model;
mod new;
mod page;
mod parts;
mod picture;
mod points;
mod rails;
mod received;
mod report_sheet;
mod rules;
mod setout;
mod sheet_pictures;
mod sheets;
mod source;
mod stand;
mod stock;
mod survey;
mod survey_sheet;
mod talk;
mod turns;
mod watch;
mod why;
mod window;
mod wood;

use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Cli, Command};

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Nothing to complain of.
    Clean,
    /// Trouble at or above the asked severity.
    Trouble,
    /// The input or the machine is at fault.
    Fault,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Clean => Self::from(0),
            Outcome::Trouble => Self::from(1),
            Outcome::Fault => Self::from(2),
        }
    }
}

/// Runs the program with its arguments, the first of which is its own name.
pub fn run(args: impl Iterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.collect();
    if let Some(says) = no_command(&args) {
        return talk::fault(&says).into();
    }
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => return usage(&error),
    };
    let outcome = match cli.command {
        None => window::run(cli.job.as_deref()),
        Some(Command::New(new)) => new::run(&new),
        Some(Command::Inspect(inspect)) => inspect::run(&inspect),
        Some(Command::Survey(survey)) => survey::run(&survey),
        Some(Command::Points(points)) => points::run(&points),
        Some(Command::Setout(setout)) => setout::run(&setout),
        Some(Command::Stock(stock)) => stock::run(&stock),
        Some(Command::Cuts(cuts)) => cuts::run(&cuts),
        Some(Command::Parts(parts)) => parts::run(&parts),
        Some(Command::Model(model)) => model::run(&model),
        Some(Command::Page(page)) => client_page::run(&page),
        Some(Command::Answers(answers)) => answers::run(&answers),
        Some(Command::Compare(compare)) => compare::run(&compare),
        Some(Command::Doubt(doubt)) if doubt.compounding.is_some() => compounding::run(&doubt),
        Some(Command::Doubt(doubt)) => doubt::run(&doubt),
        Some(Command::Picture(picture)) => picture::run(&picture),
        Some(Command::Templates(templates)) => full_size::templates_of(&templates),
        Some(Command::Pole(pole)) => full_size::pole(&pole),
        Some(Command::Sheets(sheets)) => sheets::run(&sheets),
        Some(Command::SurveySheet(sheet)) => survey_sheet::run(&sheet),
        Some(Command::Manual(manual)) => manual::run(&manual),
    };
    outcome.into()
}

/// What is said where the first word is neither a command nor a job: else it would be looked for as a
/// file, or refused in the parser's own terms.
fn no_command(args: &[OsString]) -> Option<String> {
    let word = args.get(1)?.to_str()?;
    let a_file = word.contains(['.', '/', '\\']) || Path::new(word).exists();
    let program = Cli::command();
    let known: Vec<&str> = program
        .get_subcommands()
        .map(clap::Command::get_name)
        .collect();
    if word.is_empty() || word.starts_with('-') || word == "help" || a_file || known.contains(&word)
    {
        return None;
    }
    let near = known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(word, name), name))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, _)| *distance <= 2);
    let near = near.map_or_else(String::new, |(_, name)| format!(": did you mean `{name}`?"));
    Some(format!(
        "there is no command `{word}`, nor a job of this name{near} (`rakewell help` lists the commands)"
    ))
}

/// Help and version are answers; anything else is a fault of the input.
fn usage(error: &clap::Error) -> ExitCode {
    // A closed pipe is no reason to complain about the way it closed.
    let _closed = error.print();
    if error.use_stderr() {
        Outcome::Fault.into()
    } else {
        Outcome::Clean.into()
    }
}
