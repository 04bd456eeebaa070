//! `sheets` as a person runs it: files, fields, and what will not do.

use std::collections::BTreeSet;

use rakewell::explain::Explanation;
use rakewell::publish::report_sheet;
use rakewell::publish::sheet::Paper;

use serde_json::Value;

use super::scene;
use crate::cli::json::{documented, paths};
use crate::cli::{rakewell, write};

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let told = rakewell(&["sheets", "--json"]);
    assert_eq!((told.status, told.err.as_str()), (0, ""));
    let mut found = BTreeSet::new();
    paths(&serde_json::from_str(&told.out).unwrap(), "", &mut found);
    let documented = documented("sheets");
    let untold: Vec<_> = found.difference(&documented).collect();
    let missing: Vec<_> = documented.difference(&found).collect();
    assert!(
        untold.is_empty() && missing.is_empty(),
        "{untold:?} {missing:?}"
    );
}

#[test]
fn files_are_written_as_the_answer_says() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "straight.ron", scene("straight"));
    let to = folder.path().join("of the stair");
    let path = to.to_str().unwrap();
    let told = rakewell(&[
        "sheets", &job, "--to", path, "--svg", "--json", "--paper", "a4",
    ]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(told.err.contains("100 %"), "{}", told.err);
    let answer: Value = serde_json::from_str(&told.out).unwrap();
    let pdf = std::fs::read(to.join(answer["file"].as_str().unwrap())).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    // ISO/IEC 12113:2022, 4.4.2: the magic word of a binary glTF file, and its version.
    let glb = std::fs::read(to.join(answer["model"].as_str().unwrap())).unwrap();
    assert_eq!(glb[..8], *b"glTF\x02\0\0\0");
    let alone = folder.path().join("alone.glb");
    let model = rakewell(&["model", &job, "--to", alone.to_str().unwrap()]);
    assert_eq!(model.status, 0, "{}", model.err);
    assert_eq!(glb, std::fs::read(&alone).unwrap(), "one exporter");
    let mut count = 2;
    for table in answer["tables"].as_array().unwrap() {
        // The reader refuses a row of another length than the head's.
        let file = to.join(table["file"].as_str().unwrap());
        let mut reader = csv::Reader::from_path(&file).unwrap();
        let heads: Vec<String> = reader
            .headers()
            .unwrap()
            .iter()
            .map(str::to_owned)
            .collect();
        assert_eq!(serde_json::to_value(heads).unwrap(), table["columns"]);
        let rows = reader.records().map(Result::unwrap).count();
        assert_eq!(rows as u64, table["rows"].as_u64().unwrap(), "{table}");
        count += 1;
    }
    for drawing in answer["drawings"].as_array().unwrap() {
        let text = std::fs::read_to_string(to.join(drawing["file"].as_str().unwrap())).unwrap();
        assert!(text.starts_with("<svg "), "{drawing}");
        count += 1;
    }
    let written = walk(&to);
    assert_eq!(written.len(), count, "{written:?}");
    // The same again gives the same bytes, over those that are there.
    let again = rakewell(&["sheets", &job, "--to", path, "--paper", "a4"]);
    assert_eq!(again.status, 0, "{}", again.err);
    assert_eq!(pdf, std::fs::read(to.join("site-sheets.pdf")).unwrap());
    for line in again.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// The files under a folder.
fn walk(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(walk(&path));
        } else {
            files.push(path);
        }
    }
    files
}

#[test]
fn what_cannot_be_written_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let there = write(folder.path(), "a-file", "no folder");
    let job = write(folder.path(), "straight.ron", scene("straight"));
    let only = ["--only", "gaps"];
    let told = rakewell(&[&["sheets", &job, "--to", &there], &only[..]].concat());
    assert_eq!(told.status, 2);
    assert!(told.err.contains("cannot"), "{}", told.err);
    assert_eq!(std::fs::read_to_string(&there).unwrap(), "no folder");
    let cases = [
        (
            &["--paper", "148mmx210mm"][..],
            "too small for a site sheet",
        ),
        (&["--margin", "90mm"], "would do"),
        (&["--only", "plumbing"], "possible values"),
        (&["--svg"], "--to"),
    ];
    for (args, wanted) in cases {
        let told = rakewell(&[&["sheets", &job], args].concat());
        assert_eq!(told.status, 2, "{args:?}");
        assert!(told.err.contains(wanted), "{args:?}: {}", told.err);
        assert_eq!(told.out, "");
    }
}

#[test]
fn a_name_that_climbs_stays_in_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let odd = scene("straight").replace("\"N1\"", "\"../N1\"");
    let job = write(folder.path(), "odd.ron", odd);
    let to = folder.path().join("in");
    let told = rakewell(&[
        "sheets",
        &job,
        "--to",
        to.to_str().unwrap(),
        "--svg",
        "--only",
        "drawings",
    ]);
    // Where the job itself may not have such a name, that is said.
    assert!([0, 2].contains(&told.status), "{}", told.err);
    assert!(std::fs::read_dir(folder.path()).unwrap().count() <= 2);
}

/// U+6771 U+697C is a place in letters that the sheets' type has not.
#[test]
fn letters_that_print_as_boxes_are_said_once_on_the_sheet_and_beside_the_answer() {
    let folder = tempfile::tempdir().unwrap();
    let (plain, far) = (scene("straight"), "\u{6771}\u{697c}");
    let odd = plain.replace("\"N1\"", &format!("\"{far}\""));
    assert_ne!(odd, plain);
    let job = write(folder.path(), "odd.ron", odd);
    for args in [&["sheets", &job][..], &["templates", &job]] {
        let told = rakewell(args);
        assert_eq!(told.status, 0, "{}", told.err);
        let lines = told.err.lines().filter(|line| line.contains(far));
        assert_eq!(lines.count(), 1, "{}", told.err);
        assert!(told.err.contains("names in Latin letters"), "{}", told.err);
    }
    let job = super::job_of(&std::fs::read_to_string(&job).unwrap());
    let chain = rakewell::chain::run(&job).unwrap();
    let made = super::made(&job, &chain, &super::options("letter"));
    let says = |page: &rakewell::publish::pdf::Page| {
        let texts = super::texts(page);
        texts
            .iter()
            .filter(|(text, _)| text.contains("A box stands for"))
            .count()
    };
    let told: Vec<usize> = made.pages.iter().map(says).collect();
    assert_eq!(told[0], 1);
    assert_eq!(told.iter().sum::<usize>(), 1, "{told:?}");
    super::holds_together("odd", &made, "letter");
    // The survey sheet and the report say it on each page with such a letter, and on no other. They are
    // headed with the job's name; a stair without trouble has no newel named in its report.
    let job = rakewell::job::Job {
        name: far.to_owned(),
        ..job
    };
    let chain = rakewell::chain::run(&job).unwrap();
    let found = chain.inspection.troubles();
    let troubles = rakewell::publish::Told::each(&found, vec![Explanation::default(); found.len()]);
    let report = rakewell::publish::Report {
        job: &job,
        chain: &chain,
        troubles: &troubles,
    };
    let options = report_sheet::Options::default();
    let inspection = report_sheet::report_sheet(&report, options).laid(Paper::Letter);
    let options = rakewell::publish::sheet::Options {
        paper: Paper::Letter,
        filled: true,
    };
    let survey = rakewell::publish::sheet::sheet(&job, options);
    for sheet in [inspection, survey] {
        let mut said = 0;
        for page in sheet.pages() {
            let texts = super::texts(&page);
            let odd = texts.iter().any(|(text, _)| text.contains(far));
            let boxes = texts.iter().filter(|(text, _)| text.starts_with("A box:"));
            assert_eq!(boxes.count(), usize::from(odd));
            said += usize::from(odd);
        }
        assert!(said > 0);
    }
}
