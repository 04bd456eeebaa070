//! What the README tells a carpenter to type.

use super::{program, rakewell, write};

const README: &str = include_str!("../../../README.md");

/// The lines of a code block that begin with one of these words.
fn lines(words: &[&str]) -> Vec<&'static str> {
    let code = README.lines().filter_map(|line| line.strip_prefix("    "));
    code.filter(|line| words.iter().any(|word| line.starts_with(word)))
        .collect()
}

#[test]
fn the_commands_work_in_their_order() {
    let folder = tempfile::tempdir().unwrap();
    let mut run = 0;
    for line in lines(&["rakewell "]) {
        let command = line.split('#').next().unwrap();
        let args: Vec<&str> = command.split_whitespace().skip(1).collect();
        if args[0] == "picture" {
            // Needs a driver to draw with; the pictures have tests of their own.
            continue;
        }
        let ran = program()
            .args(&args)
            .current_dir(folder.path())
            .output()
            .unwrap();
        let err = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(0), "{line}: {err}");
        run += 1;
    }
    assert!(run >= 4, "the README runs {run} commands only");
}

#[test]
fn the_readings_can_be_read() {
    let steps = lines(&["Going(", "Edge("]);
    let walls = lines(&["Plumb("]);
    assert!(!steps.is_empty() && !walls.is_empty());
    let starter = include_str!("../../../scenes/straight.ron");
    let mut blocks = starter.splitn(3, "readings: [");
    let parts: [&str; 3] = std::array::from_fn(|_| blocks.next().unwrap());
    let text = format!(
        "{}readings: [\n{}\n{}readings: [\n{}\n{}",
        parts[0],
        steps.join("\n"),
        parts[1],
        walls.join("\n"),
        parts[2]
    );
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "stair.ron", text);
    let told = rakewell(&["inspect", &path, "--json"]);
    // They are faults worth telling of.
    assert_eq!(told.status, 1, "{}", told.err);
}

#[test]
fn the_lengths_can_be_read() {
    use rakewell::measure::{Unit, parse_length};
    let line = README
        .lines()
        .find(|line| line.starts_with("Lengths may be typed as"));
    let lengths: Vec<&str> = line.unwrap().split('`').skip(1).step_by(2).collect();
    assert!(lengths.len() >= 5);
    for length in lengths {
        assert!(parse_length(length, Unit::Inches).is_ok(), "{length}");
    }
}
