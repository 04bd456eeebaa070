//! Man pages and completions: every command and option has its place in them, and bash completes by
//! what it is given. How the pages look was read by hand (`tests/release.sh` has mandoc lint them).

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use super::{rakewell, write};

/// What is written below a folder, by name.
fn written() -> BTreeMap<String, String> {
    fn walk(folder: &Path, root: &Path, found: &mut BTreeMap<String, String>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, root, found);
            } else {
                let name = path.strip_prefix(root).unwrap().to_str().unwrap();
                found.insert(name.replace('\\', "/"), fs::read_to_string(&path).unwrap());
            }
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("usr");
    let ran = rakewell(&["manual", "--to", to.to_str().unwrap()]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let mut found = BTreeMap::new();
    walk(&to, &to, &mut found);
    // The answer is every path, one on a line.
    let told: Vec<&Path> = ran.out.lines().map(Path::new).collect();
    assert_eq!(told.len(), found.len());
    for name in found.keys() {
        assert!(told.contains(&to.join(name).as_path()), "{name}");
    }
    found
}

/// The commands that the help lists, and the one that it does not.
fn commands() -> Vec<String> {
    let help = rakewell(&["--help"]).out;
    let list = help.split("Commands:\n").nth(1).unwrap();
    let list = list.split("\n\n").next().unwrap();
    let names = list.lines().filter_map(|line| {
        let name = line.strip_prefix("  ")?.split(' ').next()?;
        (!name.is_empty() && name != "help").then(|| name.to_owned())
    });
    let mut names: Vec<String> = names.collect();
    assert!(names.len() > 15 && !names.contains(&"manual".to_owned()));
    names.push("manual".to_owned());
    names
}

/// The long options that a command's help lists.
fn options(command: &str) -> Vec<String> {
    let help = rakewell(&["help", command]).out;
    let lines = help.lines().map(str::trim_start);
    let options = lines.filter(|line| line.starts_with("--") || line.starts_with("-h, --"));
    let option = |line: &str| {
        let from = &line[line.find("--").unwrap()..];
        from.split([' ', '\u{a0}']).next().unwrap().to_owned()
    };
    options.map(option).collect()
}

/// A page's words, without what only troff reads.
fn plain(page: &str) -> String {
    let text = page
        .replace("\\-", "-")
        .replace("\\fB", "")
        .replace("\\fI", "");
    text.replace("\\fR", "").replace("\\*(Aq", "'")
}

#[test]
fn every_command_and_every_option_has_its_place_on_a_page() {
    let files = written();
    let mut pages = 1;
    for command in commands() {
        let name = format!("share/man/man1/rakewell-{command}.1");
        let page = plain(files.get(&name).unwrap_or_else(|| panic!("no {name}")));
        pages += 1;
        let options = options(&command);
        assert!(
            options.contains(&"--help".to_owned()),
            "{command}: {options:?}"
        );
        for option in options {
            assert!(page.contains(&option), "{name} lacks {option}");
        }
    }
    let made = files.keys().filter(|name| name.starts_with("share/man/"));
    assert_eq!(made.count(), pages, "a page without a command");
}

#[test]
fn every_page_tells_units_exits_files_and_cautions() {
    let files = written();
    let pages: Vec<(&String, String)> = files
        .iter()
        .filter(|(name, _)| name.starts_with("share/man/"))
        .map(|(name, text)| (name, plain(text)))
        .collect();
    for (name, page) in &pages {
        // The sections of man-pages(7), in its order.
        let mut rest = page.as_str();
        for section in [
            "NAME",
            "SYNOPSIS",
            "DESCRIPTION",
            "OPTIONS",
            "\"EXIT STATUS\"",
            "FILES",
            "EXAMPLES",
            "CAUTIONS",
            "\"SEE ALSO\"",
        ] {
            let heading = format!("\n.SH {section}\n");
            let at = rest.find(&heading);
            rest = &rest[at.unwrap_or_else(|| panic!("{name} lacks {section}"))..];
        }
        assert!(page.contains("an engineer's to cut"), "{name}");
        assert!(page.contains("It certifies nothing"), "{name}");
        assert!(
            page.contains("\n.TP\n0\n") && page.contains("\n.TP\n2\n"),
            "{name}"
        );
        // Whatever asks for a length, or a paper's margin, says how one is written.
        if page.contains("<LENGTH>") || page.contains("tape") {
            assert!(page.contains("260 mm"), "{name}");
        }
    }
    // Where the exit status may be 1, and what else only one page says.
    let of = |command: &str| {
        let name = format!("share/man/man1/rakewell-{command}.1");
        plain(&files[&name])
    };
    for command in ["inspect", "survey", "doubt", "compare"] {
        assert!(of(command).contains("\n.TP\n1\n"), "{command}");
    }
    assert!(of("cuts").contains("Saws hurt"));
    assert!(of("templates").contains("Print at 100 %"));
    assert!(of("setout").contains("Fit it dry"));
}

#[test]
fn the_same_program_writes_the_same_bytes() {
    assert_eq!(written(), written());
}

#[test]
fn where_it_cannot_be_written_that_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = write(folder.path(), "file", "what was there");
    let ran = rakewell(&["manual", "--to", &file]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains(&file) && ran.out.is_empty(), "{}", ran.err);
    assert_eq!(fs::read_to_string(&file).unwrap(), "what was there");
}

/// What bash offers for the last of some words.
fn offered(script: &Path, words: &[&str]) -> Vec<String> {
    let asks = "source \"$0\"; COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); \
                COMP_LINE=\"$*\"; COMP_POINT=${#COMP_LINE}; \
                _rakewell rakewell \"${COMP_WORDS[COMP_CWORD]}\" \"${COMP_WORDS[COMP_CWORD-1]}\"; \
                printf '%s\\n' \"${COMPREPLY[@]}\"";
    // `compopt` is only for a function that a completion has called.
    let asks = format!("compopt() {{ :; }}; {asks}");
    let mut bash = Command::new("bash");
    bash.args(["--norc", "-c", &asks]).arg(script).args(words);
    let ran = bash.output().unwrap();
    let says = String::from_utf8(ran.stderr).unwrap();
    assert!(ran.status.success() && says.is_empty(), "{words:?}: {says}");
    let out = String::from_utf8(ran.stdout).unwrap();
    out.lines().map(str::to_owned).collect()
}

#[test]
fn bash_completes_commands_options_and_what_they_take() {
    let folder = tempfile::tempdir().unwrap();
    let script = &written()["share/bash-completion/completions/rakewell"];
    let path = write(folder.path(), "rakewell", script);
    let script = Path::new(&path);
    assert_eq!(offered(script, &["rakewell", "ins"]), ["inspect"]);
    let survey = offered(script, &["rakewell", "survey"]);
    assert_eq!(survey, ["survey", "survey-sheet"]);
    let least = ["rakewell", "inspect", "--at-least"];
    assert_eq!(offered(script, &least), ["--at-least"]);
    let severities = [&least[..], &[""]].concat();
    assert_eq!(offered(script, &severities), ["remark", "fix", "stop"]);
    let paper = ["rakewell", "survey-sheet", "--paper", "a"];
    assert_eq!(offered(script, &paper), ["a4"]);
    for command in commands() {
        let all = offered(script, &["rakewell", &command, "--"]);
        for option in options(&command) {
            assert!(all.contains(&option), "{command} {option}: {all:?}");
        }
    }
}

#[test]
fn every_shell_gets_every_command() {
    let files = written();
    let shells: Vec<&String> = files
        .keys()
        .filter(|name| !name.starts_with("share/man/"))
        .collect();
    assert_eq!(shells.len(), 5, "{shells:?}");
    for name in shells {
        for command in commands() {
            assert!(files[name].contains(&command), "{name} lacks {command}");
        }
    }
}
