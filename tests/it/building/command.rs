//! `parts` and `model` as a person runs them.

use crate::cli::rakewell;

#[test]
fn the_model_is_written_where_it_is_asked_and_said_to_be_as_found() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stair.IFC");
    let to = path.to_str().unwrap();
    let told = rakewell(&["model", "--to", to]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert_eq!(told.out, format!("{to}\n"));
    assert!(told.err.contains("dimensions of the set-out govern"));
    assert!(told.err.contains("certifies nothing"));
    let first = std::fs::read(&path).unwrap();
    assert!(first.starts_with(b"ISO-10303-21;"));
    // In the place of the one that is there, and the same.
    assert_eq!(rakewell(&["model", "--to", to]).status, 0);
    assert_eq!(std::fs::read(&path).unwrap(), first);
}

#[test]
fn another_file_is_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["stair.step", "stair", ".ifc"] {
        let path = folder.path().join(name);
        let told = rakewell(&["model", "--to", path.to_str().unwrap()]);
        assert_eq!(told.status, 2, "{name}");
        assert!(told.err.contains("something.ifc"), "{}", told.err);
        assert!(!path.exists());
    }
    let nowhere = folder.path().join("none").join("stair.ifc");
    let told = rakewell(&["model", "--to", nowhere.to_str().unwrap()]);
    assert_eq!(told.status, 2);
    assert!(told.err.contains("its folder is not there"), "{}", told.err);
    let told = rakewell(&["model"]);
    assert_eq!(told.status, 2);
}

#[test]
fn an_alternative_that_is_not_there_is_refused() {
    for command in ["parts", "model"] {
        let mut args = vec![command, "--alternative", "none such"];
        if command == "model" {
            args.extend(["--to", "never.ifc"]);
        }
        assert_eq!(rakewell(&args).status, 2);
    }
}

#[test]
fn parts_are_told_as_text_as_a_table_and_to_a_program() {
    let text = rakewell(&["parts"]);
    assert_eq!(text.status, 0, "{}", text.err);
    assert!(text.out.lines().all(|line| line.chars().count() <= 80));
    let csv = rakewell(&["parts", "--csv"]);
    let rows: Vec<&str> = csv.out.split("\r\n").collect();
    assert!(rows[0].starts_with("name,kind,run,"));
    let json: serde_json::Value =
        serde_json::from_str(&rakewell(&["parts", "--json"]).out).unwrap();
    let parts = json["parts"].as_array().unwrap();
    // The last row ends with a line break.
    assert_eq!(rows.len(), parts.len() + 2);
    for part in parts {
        let name = part["id"].as_str().unwrap();
        assert!(rows.iter().any(|row| row.starts_with(&format!("{name},"))));
        assert!(text.out.contains(&format!("\n  {name} ")), "{name}");
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("parts.csv");
    let to = path.to_str().unwrap();
    let told = rakewell(&["parts", "--csv", "--to", to]);
    assert_eq!(told.out, format!("{to}\n"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), csv.out);
    assert_eq!(rakewell(&["parts", "--csv", "--json"]).status, 2);
}
