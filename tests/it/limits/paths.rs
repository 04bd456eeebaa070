//! What a job calls its parts becomes the name of a file in some folders that are written; it leads out
//! of none of them. A job names no file to be read at all.

use std::path::Path;

use crate::cli::{DEMO, rakewell, write};

/// Names that lead elsewhere on one system or another, or that a device has.
const NAMES: [&str; 12] = [
    "../../out",
    "/tmp/out",
    "..",
    ".",
    "C:\\\\out",
    "..\\\\out",
    "\\\\\\\\host\\\\out",
    "a/b",
    "CON",
    "nul.txt",
    "a:b",
    "~/out",
];

/// Every file under a folder, by its path there.
fn files(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut left = vec![folder.to_owned()];
    while let Some(next) = left.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                left.push(path);
            } else {
                let inside = path.strip_prefix(folder).unwrap();
                found.push(inside.to_str().unwrap().to_owned());
            }
        }
    }
    found.sort();
    found
}

/// A job whose wall, newel and rail have such names, and which has the first itself.
fn job_of(names: &[&str]) -> String {
    let mut text = DEMO.to_owned();
    for (old, new) in ["W1", "N1", "R1"].iter().zip(names) {
        text = text.replace(&format!("\"{old}\""), &format!("\"{new}\""));
    }
    let (before, named) = text.split_once("    name: \"").unwrap();
    let (_, after) = named.split_once('"').unwrap();
    format!("{before}    name: \"{}\"{after}", names[0])
}

#[test]
fn no_name_in_a_job_leads_out_of_the_folder_that_is_written() {
    for names in NAMES.chunks(3) {
        let name = names.join(" ");
        let above = tempfile::tempdir().unwrap();
        let job = write(above.path(), "job.ron", job_of(names));
        let into = above.path().join("a/b/into");
        let to = into.to_str().unwrap();
        let made = rakewell(&["survey", &job, "--walls", to]);
        assert_ne!(made.status, 2, "{name}: {}", made.err);
        let newel = names[1].replace("\\\\", "\\");
        let made = rakewell(&["templates", &job, "--only", &newel, "--svg", "--to", to]);
        assert_ne!(made.status, 2, "{name}: {}", made.err);
        let made = rakewell(&["sheets", &job, "--svg", "--only", "drawings", "--to", to]);
        assert_ne!(made.status, 2, "{name}: {}", made.err);
        let all = files(above.path());
        assert!(all.len() > 10, "{name}: {all:?}");
        for file in &all {
            let inside = file.strip_prefix("a/b/into/");
            assert!(inside.is_some() || file == "job.ron", "{name}: {file}");
            let plain = |c: char| c.is_alphanumeric() || "-_./".contains(c);
            assert!(file.chars().all(plain), "{name}: {file}");
            assert!(
                file.split('/').all(|part| !part.starts_with('.')),
                "{name}: {file}"
            );
            // What Windows takes for a device, with any ending (Microsoft, Naming Files).
            let stem = |part: &str| part.split('.').next().unwrap().to_ascii_lowercase();
            let device = |part| ["con", "prn", "aux", "nul"].contains(&stem(part).as_str());
            assert!(!file.split('/').any(device), "{name}: {file}");
        }
    }
}

#[test]
fn walls_whose_names_differ_by_what_a_file_cannot_have_get_files_of_their_own() {
    let folder = tempfile::tempdir().unwrap();
    // The second used to be written over by the first: both were called `wall-2.svg`.
    let text = DEMO
        .replace("\"W1\"", "\"2\"")
        .replace("\"W2\"", "\"\u{e9} /\"");
    let job = write(folder.path(), "job.ron", text);
    let into = folder.path().join("walls");
    let made = rakewell(&["survey", &job, "--walls", into.to_str().unwrap()]);
    assert_ne!(made.status, 2, "{}", made.err);
    let all = files(&into);
    let walls = DEMO.matches("head:").count();
    assert_eq!(all.len(), walls, "{all:?}");
}

#[test]
fn a_job_names_no_file_to_be_read() {
    // What would name one is no field of a job: none of the words for it is known.
    for field in [
        "file", "include", "import", "path", "prices", "points", "picture",
    ] {
        let text = DEMO.replacen(
            "    units:",
            &format!("    {field}: \"/etc/passwd\",\n    units:"),
            1,
        );
        let folder = tempfile::tempdir().unwrap();
        let job = write(folder.path(), "job.ron", text);
        let made = rakewell(&["inspect", &job]);
        assert_eq!(made.status, 2, "{field}");
        assert!(
            made.err.contains(&format!("`{field}`")),
            "{field}: {}",
            made.err
        );
    }
    // Nor is a rule pack looked for anywhere but on the program's own shelf.
    let text = DEMO.replacen("rules: \"", "rules: \"../../etc/", 1);
    assert_ne!(text, DEMO);
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "job.ron", text);
    let made = rakewell(&["inspect", &job]);
    assert_eq!(made.status, 2);
    assert!(made.err.contains("us-residential-2024"), "{}", made.err);
}
