//! The finished stair for the client: the model as glTF, the page.

mod answers;
mod model;
mod page;

use rakewell::chain::{self, Chain};
use rakewell::job::{Document, Job};

/// Every starter scene and demo, by its name.
pub(super) fn all() -> Vec<(String, Document)> {
    let mut all = Vec::new();
    for folder in ["scenes", "demo-scenes"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut files: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
            .collect();
        files.sort();
        for path in files {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            all.push((name, Document::load(&path).unwrap()));
        }
    }
    assert!(all.len() > 10);
    all
}

pub(super) fn worked(job: &Job) -> Chain {
    chain::run(job).unwrap()
}
