//! Man pages: one for the program and one for each command.

use clap::Command;
use clap::builder::Resettable;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use super::words::{AROUND, FILES, FROM, LENGTHS, MIND, MORE, More};

/// A page for the program and for each command, by its name below the folder. The command is built, without
/// `help`.
///
/// # Errors
/// In words: the command that nothing is said of, or a page that cannot be made.
pub(super) fn pages(program: &Command) -> Result<Vec<(String, Vec<u8>)>, String> {
    std::iter::once(program)
        .chain(program.get_subcommands())
        .map(|command| {
            let name = command.get_name();
            let more = MORE.iter().find(|more| more.name == name);
            let more = more.ok_or_else(|| format!("no page says what `{name}` does"))?;
            page(command, more).map_err(|error| format!("the page of `{name}`: {error}"))
        })
        .collect()
}

/// One page, by its name below the folder.
fn page(command: &Command, more: &More) -> std::io::Result<(String, Vec<u8>)> {
    let usage = command.clone().render_usage().to_string();
    let usage = usage.trim_start_matches("Usage: ").to_owned();
    let command = command
        .clone()
        .override_usage(usage)
        // Its exit statuses have a section of their own here.
        .after_help(Resettable::Reset)
        .subcommand_help_heading("COMMANDS");
    let version = env!("CARGO_PKG_VERSION");
    // A date would differ from day to day; an empty one would be lost, and the source taken for it.
    let man = Man::new(command)
        .date(" ")
        .source(format!("rakewell {version}"))
        .manual("Rakewell");
    let name = format!("share/man/man1/{}", man.get_filename());
    let mut bytes = Vec::new();
    man.render_title(&mut bytes)?;
    man.render_name_section(&mut bytes)?;
    man.render_synopsis_section(&mut bytes)?;
    man.render_description_section(&mut bytes)?;
    further(more).to_writer(&mut bytes)?;
    man.render_options_section(&mut bytes)?;
    if more.is_program() {
        man.render_subcommands_section(&mut bytes)?;
    }
    after(more).to_writer(&mut bytes)?;
    Ok((name, bytes))
}

/// What the description goes on with.
fn further(more: &More) -> Roff {
    let mut roff = Roff::new();
    for said in more.says {
        paragraph(&mut roff, said);
    }
    roff
}

/// What stands after the options.
fn after(more: &More) -> Roff {
    let mut roff = Roff::new();
    if more.takes_lengths {
        section(&mut roff, "LENGTHS AND FRAME", &[LENGTHS, FROM]);
    }
    roff.control("SH", ["EXIT STATUS"]);
    term(&mut roff, "0", more.clean);
    if let Some(trouble) = more.trouble {
        term(&mut roff, "1", trouble);
    }
    term(
        &mut roff,
        "2",
        "The input or the machine is at fault; what is wrong, where, and what would do is said on \
         standard error. A file that was to be written is as it was.",
    );
    roff.control("SH", ["FILES"]);
    for (name, says) in more.files.iter().chain(&FILES) {
        term(&mut roff, name, says);
    }
    if more.is_program() {
        roff.control("SH", ["ENVIRONMENT"]);
        for (name, says) in &AROUND {
            term(&mut roff, name, says);
        }
    }
    roff.control("SH", ["EXAMPLES"]);
    for (line, says) in more.examples {
        term(&mut roff, line, says);
    }
    let cautions: Vec<&str> = more.cautions.iter().copied().chain([MIND]).collect();
    section(&mut roff, "CAUTIONS", &cautions);
    roff.control("SH", ["SEE ALSO"]);
    let others = MORE.iter().filter(|other| other.name != more.name);
    let others: Vec<String> = others.map(|other| format!("{}(1)", other.page())).collect();
    roff.text([roman(others.join(", "))]);
    roff
}

fn section(roff: &mut Roff, heading: &str, paragraphs: &[&str]) {
    roff.control("SH", [heading]);
    for (at, text) in paragraphs.iter().enumerate() {
        if at == 0 {
            roff.text([roman(*text)]);
        } else {
            paragraph(roff, text);
        }
    }
}

fn paragraph(roff: &mut Roff, text: &str) {
    roff.control("PP", []);
    roff.text([roman(text)]);
}

/// A word or a line, and beneath it what it means.
fn term(roff: &mut Roff, word: &str, says: &str) {
    roff.control("TP", []);
    roff.text([bold(word)]);
    roff.text([roman(says)]);
}
