//! Answers every file of cases in the directory that `RAKEWELL_REFERENCE_DIR` names, as
//! `tests/reference/run.sh` asks. Without it the built-in case of each subject is answered and
//! checked, so that the answering itself is always under test.

use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde_json::{Value, json};

use super::{
    balls, beddings, building, fittings, flights, lines, models, pieces, propagation, sheets,
    stocks, surveys, winders,
};

/// `SUBJECT-SEED.in.json`.
#[derive(Deserialize)]
struct Asked {
    subject: String,
    cases: Vec<Value>,
}

/// The answer to one case of a subject.
fn answer(subject: &str, case: Value) -> Result<Value, String> {
    match subject {
        "pieces" => pieces::answer(case),
        "lines" => lines::answer(case),
        "balls" => balls::answer(case),
        "flights" => flights::answer(case),
        "surveys" => surveys::answer(case),
        "beddings" => beddings::answer(case),
        "fittings" => fittings::answer(case),
        "propagation" => propagation::answer(case),
        "stocks" => stocks::answer(case),
        "sheets" => sheets::answer(case),
        "building" => building::answer(case),
        "models" => models::answer(case),
        "winders" => winders::answer(case),
        other => Err(format!("no subject `{other}`")),
    }
}

fn answer_file(path: &Path) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|error| error.to_string())?;
    let asked: Asked = serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let answers = asked
        .cases
        .into_iter()
        .enumerate()
        .map(|(index, case)| {
            answer(&asked.subject, case).map_err(|error| format!("case {index}: {error}"))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let name = path.to_string_lossy().replace(".in.json", ".out.json");
    let document = json!({ "answers": answers }).to_string();
    std::fs::write(name, document).map_err(|error| error.to_string())
}

fn files_of_cases(directory: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(directory).expect("RAKEWELL_REFERENCE_DIR can be read");
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("its entries can be read").path())
        .filter(|path| path.to_string_lossy().ends_with(".in.json"))
        .collect();
    files.sort();
    files
}

#[test]
fn every_case_is_answered() {
    pieces::check_built_in_case();
    lines::check_built_in_case();
    balls::check_built_in_case();
    flights::check_built_in_case();
    surveys::check_built_in_case();
    beddings::check_built_in_case();
    fittings::check_built_in_case();
    propagation::check_built_in_case();
    stocks::check_built_in_case();
    sheets::check_built_in_case();
    building::check_built_in_case();
    models::check_built_in_case();
    winders::check_built_in_case();
    let Some(directory) = std::env::var_os("RAKEWELL_REFERENCE_DIR") else {
        return;
    };
    let files = files_of_cases(Path::new(&directory));
    assert!(!files.is_empty(), "no cases in {}", directory.display());
    for path in files {
        if let Err(error) = answer_file(&path) {
            panic!("{}: {error}", path.display());
        }
    }
}
