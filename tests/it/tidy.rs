//! The house rules that a compiler does not check.

use std::fs;
use std::path::{Path, PathBuf};

/// The modules from left to right: each knows itself and those before it. `cli` stands on top.
const HOUSE: [&str; 15] = [
    "measure", "job", "survey", "site", "setout", "solids", "rules", "inspect", "chain", "explain",
    "doubt", "shop", "publish", "viewer", "cli",
];

/// Lines of code, comments and empty lines not counted.
const LONGEST_FILE: usize = 600;

/// Files that may name `as f32`, with the reason. Stair lengths cross where a format asks for it (the
/// PDF library's points, glTF's floats) and at the window's one edge; the others make what is no length
/// of the stair: colours, patterns.
const MAY_CAST_TO_F32: [(&str, &str); 5] = [
    ("src/publish/finish/grain.rs", "the pattern of the wood"),
    ("src/publish/gltf/mesh.rs", "glTF knows no f64"),
    ("src/publish/gltf/paint.rs", "colours and tiles"),
    ("src/publish/pdf/write.rs", "the PDF library's points"),
    (
        "src/viewer/convert.rs",
        "the one edge from f64 mm to meshes",
    ),
];

struct Source {
    path: String,
    text: String,
}

impl Source {
    /// Number and text of every line, without its comment.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text.lines().enumerate().map(|(number, line)| {
            let code = line.find("//").map_or(line, |comment| &line[..comment]);
            (number + 1, code)
        })
    }

    /// The module of the house that it belongs to; none for `lib.rs` and `main.rs`.
    fn module(&self) -> Option<&str> {
        let inside = self.path.strip_prefix("src/")?;
        let (module, _) = inside.split_once('/')?;
        Some(module)
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &str) -> Vec<Source> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        let entries = fs::read_dir(folder).unwrap();
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        for path in paths {
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|end| end == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&root().join(folder), &mut found);
    assert!(!found.is_empty(), "no Rust files under {folder}");
    found
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let path = path.strip_prefix(root()).unwrap();
            let path = path.to_str().unwrap().replace('\\', "/");
            Source { path, text }
        })
        .collect()
}

fn everything() -> Vec<Source> {
    let mut files = rust_files("src");
    files.extend(rust_files("tests"));
    files
}

fn none(faults: &[String], rule: &str) {
    assert!(faults.is_empty(), "{rule}\n{}", faults.join("\n"));
}

/// The names that follow `crate::` in a line of code.
fn named_modules(code: &str) -> Vec<&str> {
    let names = code.split("crate::").skip(1);
    names
        .map(|rest| {
            rest.split(|c: char| !(c.is_alphanumeric() || c == '_'))
                .next()
                .unwrap_or("")
        })
        .collect()
}

#[test]
fn no_module_knows_one_to_its_right() {
    let place = |module: &str| HOUSE.iter().position(|known| *known == module);
    let mut faults = Vec::new();
    for file in rust_files("src") {
        let Some(module) = file.module() else {
            continue;
        };
        let Some(own) = place(module) else {
            faults.push(format!("{}: {module} has no place in the house", file.path));
            continue;
        };
        for (number, code) in file.code() {
            for named in named_modules(code) {
                match place(named) {
                    Some(other) if other <= own => {}
                    Some(_) => {
                        faults.push(format!("{}:{number}: {module} knows {named}", file.path));
                    }
                    None => faults.push(format!(
                        "{}:{number}: crate::{named} is not a module; name the module itself",
                        file.path
                    )),
                }
            }
        }
    }
    none(&faults, "a module may only know those to its left");
}

#[test]
fn the_rule_of_the_house_sees_every_way_to_name_a_module() {
    assert_eq!(named_modules("use crate::chain::{Chain, run};"), ["chain"]);
    assert_eq!(
        named_modules("let a: crate::job::Job = crate::site::x();"),
        ["job", "site"]
    );
    assert_eq!(named_modules("use super::x;"), Vec::<&str>::new());
}

#[test]
fn only_the_viewer_knows_the_libraries_that_draw() {
    let libraries = ["bevy", "egui", "wgpu", "winit"];
    let mut faults = Vec::new();
    for file in rust_files("src") {
        if file.module() == Some("viewer") {
            continue;
        }
        for (number, code) in file.code() {
            if libraries.iter().any(|library| code.contains(library)) {
                faults.push(format!("{}:{number}: {}", file.path, code.trim()));
            }
        }
    }
    none(&faults, "only src/viewer may name the libraries that draw");
}

#[test]
fn single_precision_stays_at_the_viewers_edge() {
    let mut faults = Vec::new();
    for file in rust_files("src") {
        if MAY_CAST_TO_F32.iter().any(|(path, _)| *path == file.path) {
            continue;
        }
        for (number, code) in file.code() {
            if code.contains(" as f32") {
                faults.push(format!("{}:{number}: {}", file.path, code.trim()));
            }
        }
    }
    none(&faults, "f64 becomes f32 in few places");
}

#[test]
fn every_file_says_what_it_is_for() {
    let faults: Vec<String> = everything()
        .iter()
        .filter(|file| !file.text.starts_with("//!"))
        .map(|file| file.path.clone())
        .collect();
    none(&faults, "these do not begin with //! and a sentence");
}

#[test]
fn files_stay_small() {
    let faults: Vec<String> = everything()
        .iter()
        .map(|file| {
            (
                file,
                file.code()
                    .filter(|(_, code)| !code.trim().is_empty())
                    .count(),
            )
        })
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(file, lines)| format!("{}: {lines} lines of code", file.path))
        .collect();
    none(&faults, "too long to read at one go");
}

#[test]
fn nothing_is_left_for_later_or_left_out() {
    // Put together here, so that this file does not find itself.
    let words = [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("#[ig", "nore"),
        concat!("unimple", "mented!"),
        concat!("/wo", "rk/", "shared"),
    ];
    let mut faults = Vec::new();
    for file in everything() {
        for (number, line) in file.text.lines().enumerate() {
            if words.iter().any(|word| line.contains(word)) {
                faults.push(format!("{}:{}: {}", file.path, number + 1, line.trim()));
            }
        }
    }
    none(&faults, "finish these or take them out");
}

/// A file that no `mod` line names is not compiled, and its tests never run.
#[test]
fn every_file_is_part_of_the_program() {
    let mut faults = Vec::new();
    for file in rust_files("src").iter().chain(&rust_files("tests/it")) {
        let path = Path::new(&file.path);
        let stem = path.file_stem().unwrap().to_str().unwrap();
        let mut folder = path.parent().unwrap();
        let name = match stem {
            "mod" => {
                let name = folder.file_name().unwrap().to_str().unwrap();
                folder = folder.parent().unwrap();
                name
            }
            "lib" | "main" => continue,
            name => name,
        };
        let says = |parent: PathBuf| {
            fs::read_to_string(root().join(parent)).is_ok_and(|text| {
                text.lines().any(|line| {
                    let line = line.trim();
                    line == format!("mod {name};")
                        || (line.starts_with("pub") && line.ends_with(&format!(" mod {name};")))
                })
            })
        };
        let parents = ["mod.rs", "lib.rs", "main.rs"].map(|parent| folder.join(parent));
        let beside = folder.with_extension("rs");
        if !parents.into_iter().chain([beside]).any(says) {
            faults.push(file.path.clone());
        }
    }
    none(&faults, "no mod line names these");
}

#[test]
fn every_scene_file_is_shipped_text_that_ends_with_a_line_break() {
    for folder in ["scenes", "demo-scenes", "assets/rules"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let text = fs::read_to_string(&path).unwrap();
            assert!(
                text.ends_with('\n') && !text.contains('\t') && !text.contains('\r'),
                "{path:?}"
            );
        }
    }
}
