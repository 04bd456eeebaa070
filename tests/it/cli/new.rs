//! `new`: starters that are in order, and no file written over.

use super::{rakewell, write};

#[test]
fn a_starter_inspects_without_trouble() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stair.ron");
    let path = path.to_str().unwrap();
    let made = rakewell(&["new", path]);
    assert_eq!((made.status, made.out.as_str()), (0, ""), "{}", made.err);
    assert!(made.err.contains(&format!("rakewell inspect {path}")));
    let text = std::fs::read_to_string(path).unwrap();
    assert_eq!(text, include_str!("../../../scenes/straight.ron"));
    let told = rakewell(&["inspect", path]);
    assert_eq!(told.status, 0, "{}{}", told.out, told.err);
    assert!(told.out.contains("No trouble found"), "{}", told.out);
    assert_eq!(told.err, "", "a starter has nothing to warn of");
}

#[test]
fn every_starter_and_the_demo_is_listed_or_shipped_whole() {
    let list = rakewell(&["new", "--list"]);
    assert_eq!(list.status, 0);
    // Each is told in one whole sentence, however its file breaks the line.
    let sentences = list.out.lines().filter(|line| line.ends_with('.')).count();
    let scenes = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes");
    assert_eq!(
        sentences,
        std::fs::read_dir(scenes).unwrap().count(),
        "{}",
        list.out
    );
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scenes")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        assert!(
            list.out.lines().any(|line| line.starts_with(&name)),
            "{name} is not listed"
        );
        let folder = tempfile::tempdir().unwrap();
        let copy = folder.path().join("copy.ron");
        let made = rakewell(&[
            "new".as_ref(),
            copy.as_os_str(),
            "--from".as_ref(),
            name.as_ref(),
        ]);
        assert_eq!(made.status, 0, "{}", made.err);
        assert_eq!(std::fs::read(&copy).unwrap(), std::fs::read(path).unwrap());
        let told = rakewell(&["inspect", copy.to_str().unwrap()]);
        assert_eq!(told.status, 0, "{name}: {}{}", told.out, told.err);
        assert!(
            told.out.contains("No trouble found"),
            "{name}: {}",
            told.out
        );
        assert_eq!(told.err, "", "{name}: a starter has nothing to warn of");
    }
}

#[test]
fn what_is_there_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "mine.ron", "my notes");
    let made = rakewell(&["new", &path]);
    assert_eq!((made.status, made.out.as_str()), (2, ""));
    assert!(made.err.contains("it is there already"), "{}", made.err);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "my notes");
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        1,
        "no draft is left"
    );
}

#[test]
fn a_scene_or_folder_that_is_not_there_is_a_fault() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stair.ron");
    let path = path.to_str().unwrap();
    let made = rakewell(&["new", path, "--from", "spiral"]);
    assert_eq!(made.status, 2);
    assert!(made.err.contains("straight"), "{}", made.err);
    let far = folder.path().join("no/such/folder/stair.ron");
    let made = rakewell(&["new", far.to_str().unwrap()]);
    assert_eq!(made.status, 2);
    assert!(made.err.contains("its folder is not there"), "{}", made.err);
    assert_eq!(rakewell(&["new"]).status, 2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
