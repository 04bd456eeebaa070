//! `rakewell points` as a person runs it.

use std::collections::BTreeSet;
use std::path::Path;

use rakewell::job::{Document, Runs, Tool, WallReading};
use serde_json::Value;

use crate::cli::json::{documented, paths};
use crate::cli::{DEMO, rakewell, write};

/// The demo's wall W1, 200 in long and 202 in high, on a grid: it leans 1 in 200 into the room and
/// bears a board 20 mm thick; numbers in metres, along, up, off. Every third point is a millimetre
/// out to one side, every third to the other.
fn scan(folder: &Path) -> String {
    let mut body = Vec::new();
    let mut count = 0;
    for column in 0..250 {
        for row in 0..250 {
            let (along, up) = (f64::from(column) * 0.0203, f64::from(row) * 0.0205);
            let noise = 0.001 * f64::from((column * 7 + row * 5 + column * row) % 3 - 1);
            let board = (1.0..1.3).contains(&along) && (2.0..2.5).contains(&up);
            let off = 0.005 * up + noise + if board { 0.020 } else { 0.0 };
            for number in [along, up, off] {
                body.extend(number.to_le_bytes());
            }
            count += 1;
        }
    }
    let head = format!(
        "ply\nformat binary_little_endian 1.0\nelement vertex {count}\nproperty double along\n\
         property double up\nproperty double off\nend_header\n"
    );
    write(folder, "scan.ply", [head.as_bytes(), &body].concat())
}

#[test]
fn a_scan_is_told_written_and_documented() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "job.ron", DEMO);
    let file = scan(folder.path());
    let new = folder.path().join("new.ron").to_str().unwrap().to_owned();
    let args = [
        "points", &job, "--wall", "W1", "--file", &file, "--frame", "wall",
    ];
    let told = rakewell(&[&args[..], &["--to", &new]].concat());
    assert_eq!((told.status, told.err.as_str()), (0, ""), "{}", told.out);
    let words = told.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 1 in 200 over 48 in is 0.24 in: 1/4 in, scant by 0.16 of a mark, which no tape tells.
    for says in [
        "It leans 1/4\" into the room in 48\" of height (0.29\u{b0})",
        "62,500 read (columns along, up, off)",
        "off the wall over",
        "They are left out.",
        "Written as readings",
    ] {
        assert!(words.contains(says), "{says}: {words}");
    }
    assert!(
        told.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        told.out
    );
    let again = rakewell(&[&args[..], &["--to", &new]].concat());
    assert_eq!((again.status, again.out.as_str()), (2, ""));
    assert!(again.err.contains("it is there already"), "{}", again.err);

    let answer = rakewell(&[&args[..], &["--json"]].concat());
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    is_documented(&answer);
    is_written(&new, &answer);
    // The job with the scan can be worked with.
    let set_out = rakewell(&["setout", &new]);
    assert_eq!(set_out.status, 0, "{}", set_out.err);
}

fn is_documented(answer: &Value) {
    let (mut found, told) = (BTreeSet::new(), documented("points"));
    paths(answer, "", &mut found);
    for path in &found {
        let bare = path.trim_end_matches("[]");
        assert!(
            told.contains(path) || told.contains(bare),
            "{path} is not told of"
        );
    }
    for path in &told {
        let listed = format!("{path}[]");
        let bare = path.contains(' ');
        assert!(
            bare || found.contains(path) || found.contains(&listed),
            "no {path}"
        );
    }
}

/// Comments stay; the readings are the cells, with the sign turned by the line in the meant face.
fn is_written(new: &str, answer: &Value) {
    let document = Document::load(Path::new(new)).unwrap();
    assert!(
        document
            .text()
            .contains("// The long wall on the right going up.")
    );
    let job = document.job();
    let known = Document::parse(DEMO, "demo").unwrap();
    let before = known.job().walls[0].readings.len();
    let cells = answer["cells"].as_array().unwrap();
    let readings = &job.walls[0].readings[before..];
    assert_eq!(readings.len(), cells.len());
    for (reading, cell) in readings.iter().zip(cells) {
        let WallReading::Offset {
            along,
            is,
            line,
            by,
            sd,
            ..
        } = reading
        else {
            panic!("{reading:?}")
        };
        assert!((along.mm() - cell["along_mm"].as_f64().unwrap()).abs() < 0.051);
        assert!((is.mm() + cell["off_mm"].as_f64().unwrap()).abs() < 0.00051);
        assert!((sd.as_ref().unwrap().mm() - cell["sd_mm"].as_f64().unwrap()).abs() < 0.00051);
        let named = job
            .lines
            .iter()
            .find(|one| Some(&one.name) == line.as_ref())
            .unwrap();
        assert!(matches!(&named.runs, Runs::Beside { wall, .. } if wall == "W1"));
        let tool = job
            .instruments
            .iter()
            .find(|one| Some(&one.name) == by.as_ref())
            .unwrap();
        assert!(matches!(tool.is, Tool::Scanner { .. }));
    }
}

#[test]
fn what_is_wrong_is_told_with_what_would_do() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "job.ron", DEMO);
    let file = scan(folder.path());
    let short = write(folder.path(), "short.csv", "x,y,z\n1,2,oops\n");
    let base = ["points", &job, "--file", &file];
    for (args, words) in [
        (
            vec!["--wall", "W9"],
            "there is no wall `W9`; the walls are: W1, W2",
        ),
        (
            vec!["--wall", "W1", "--frame", "wall", "--unit", "mm"],
            "with --unit m instead of mm, 62,500 would",
        ),
        (
            vec!["--wall", "W1", "--frame", "wall", "--turn", "5"],
            "nothing to carry",
        ),
        (
            vec!["--wall", "W1", "--origin", "1, 2"],
            "--origin has 2 lengths",
        ),
        (vec!["--wall", "W1", "--band", "0"], "--band"),
        (
            vec!["--wall", "W1", "--columns", "a,b,c"],
            "there is no column `a`",
        ),
        (
            vec!["--wall", "W1", "--columns", "a,b"],
            "2 columns make no point",
        ),
    ] {
        let told = rakewell(&[&base[..], &args].concat());
        assert_eq!((told.status, told.out.as_str()), (2, ""), "{args:?}");
        assert!(told.err.contains(words), "{args:?}: {}", told.err);
    }
    let told = rakewell(&["points", &job, "--wall", "W1", "--file", &short]);
    assert!(
        told.err.contains("short.csv: line 2: `oops` in column `z`"),
        "{}",
        told.err
    );
    let told = rakewell(&["points", &job, "--wall", "W1", "--file", "no-such.ply"]);
    assert_eq!(told.status, 2);
    assert!(
        told.err.contains("no-such.ply cannot be read"),
        "{}",
        told.err
    );
}
