//! The PDF file, and the command that writes it.

use rakewell::publish::sheet::{Options, Paper, sheet};

use super::{STARTER, demo, starter};
use crate::cli::{rakewell, write};

fn bytes(paper: Paper, filled: bool) -> Vec<u8> {
    sheet(&demo(), Options { paper, filled }).pdf().unwrap()
}

#[test]
fn the_same_job_makes_the_same_bytes_and_no_date() {
    let first = bytes(Paper::Letter, false);
    assert_eq!(first, bytes(Paper::Letter, false));
    assert_ne!(first, bytes(Paper::A4, false));
    assert_ne!(first, bytes(Paper::Letter, true));
    let text = String::from_utf8_lossy(&first);
    for word in ["CreationDate", "ModDate"] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn names_that_the_face_lacks_or_that_are_too_long_make_a_sheet_all_the_same() {
    let names = [
        "",
        "\u{6a13}\u{68af}\n\u{1f600}\u{645}",
        &"Wide stairs ".repeat(40),
    ];
    for name in names {
        let mut job = starter();
        name.clone_into(&mut job.name);
        let sheet = sheet(&job, Options::default());
        super::keeps_its_places(&sheet);
        assert!(sheet.pdf().unwrap().starts_with(b"%PDF-"));
    }
}

#[test]
fn the_command_writes_a_sheet_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "stair.ron", STARTER);
    let to = folder.path().join("sheet.pdf");
    let to = to.to_str().unwrap();
    let ran = rakewell(&["survey-sheet", &job, "--to", to, "--paper", "a4"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""), "{}", ran.err);
    assert!(ran.err.contains("pages; print it at 100 %"), "{}", ran.err);
    let options = Options {
        paper: Paper::A4,
        filled: false,
    };
    assert_eq!(
        std::fs::read(to).unwrap(),
        sheet(&starter(), options).pdf().unwrap()
    );

    let again = rakewell(&["survey-sheet", &job, "--to", to]);
    assert_eq!(again.status, 2);
    assert!(again.err.contains("it is there already"), "{}", again.err);

    let scene = folder.path().join("scene.pdf");
    let scene = scene.to_str().unwrap();
    let ran = rakewell(&[
        "survey-sheet",
        "--scene",
        "straight",
        "--to",
        scene,
        "--paper",
        "a4",
    ]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert_eq!(std::fs::read(scene).unwrap(), std::fs::read(to).unwrap());
}

#[test]
fn what_cannot_be_done_is_a_fault_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (far, to) = (path("no/such/sheet.pdf"), path("sheet.pdf"));
    let missing = path("missing.ron");
    let cases: [(&[&str], &str); 6] = [
        (&["--to", &far], "its folder is not there"),
        (&[&missing, "--to", &to], "missing.ron"),
        (&["--scene", "spiral", "--to", &to], "straight"),
        (&["--to", &to, "--paper", "a0"], "a4"),
        (
            &["--scene", "straight", &missing, "--to", &to],
            "cannot be used with",
        ),
        (&[], "--to"),
    ];
    for (args, says) in cases {
        let all: Vec<&str> = ["survey-sheet"].iter().chain(args).copied().collect();
        let ran = rakewell(&all);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(says), "{args:?}: {}", ran.err);
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
