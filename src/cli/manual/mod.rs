//! `manual`: man pages and what shells complete by, made of what the command line takes.
//!
//! In: the commands as `args` has them, and what `words` says beyond their options. Out: files under
//! a folder, each where a system looks for it below `/usr` or `~/.local`, so that the folder may be
//! either, or one that a package is made of.
//! Does not: name a date or a machine; the same program writes the same bytes.

mod pages;
mod shells;
mod words;

use std::path::Path;

use clap::CommandFactory as _;

use super::args::{Cli, Manual};
use super::{Outcome, talk};
use crate::publish::file;

pub(super) fn run(manual: &Manual) -> Outcome {
    match write(&manual.to) {
        Ok(names) => talk::answer(&names, Outcome::Clean),
        Err(problem) => talk::fault(&problem),
    }
}

/// Writes all of it, and gives the paths that were written, one on a line.
fn write(folder: &Path) -> Result<String, String> {
    let files = files()?;
    file::write_all(folder, &files)?;
    let path = |name: &String| format!("{}\n", folder.join(name).display());
    Ok(files.iter().map(|(name, _)| path(name)).collect())
}

/// Every file, by its name below the folder.
fn files() -> Result<Vec<(String, Vec<u8>)>, String> {
    // `help` has no page.
    let mut paged = Cli::command().disable_help_subcommand(true);
    paged.build();
    let mut command = Cli::command();
    command.build();
    let mut files = pages::pages(&paged)?;
    files.extend(shells::completions(&command));
    Ok(files)
}

#[cfg(test)]
mod tests {
    use clap::Parser as _;

    use super::words::MORE;
    use super::*;

    #[test]
    fn every_command_has_its_words_and_no_words_are_without_a_command() {
        let command = Cli::command();
        let commands: Vec<&str> = command
            .get_subcommands()
            .map(clap::Command::get_name)
            .collect();
        let mut told: Vec<&str> = MORE.iter().map(|more| more.name).collect();
        assert_eq!(told.remove(0), "rakewell");
        assert_eq!(told, commands);
    }

    #[test]
    fn the_examples_are_taken_by_the_command_line() {
        for more in &MORE {
            assert!(!more.examples.is_empty(), "{}", more.name);
            for (line, _) in more.examples {
                // Quotes are the shell's, and none holds a blank.
                let args = line.split_whitespace().map(|arg| arg.trim_matches('\''));
                let taken = Cli::try_parse_from(args);
                assert!(taken.is_ok(), "{line}: {:?}", taken.err());
                let own =
                    more.name == "rakewell" || line.split_whitespace().nth(1) == Some(more.name);
                assert!(own, "{line} stands on the page of {}", more.name);
            }
        }
    }
}
