//! One finding measured by itself is what the whole inspection finds.

use rakewell::chain::{self, Chain};
use rakewell::job::Document;

/// Every scene and demo, by its file's name.
pub(super) fn scenes() -> Vec<(String, Chain)> {
    let mut found = Vec::new();
    for folder in ["scenes", "demo-scenes"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            // A price list may lie beside a job.
            if path.extension().is_none_or(|ending| ending != "ron") {
                continue;
            }
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(&path).unwrap();
            let document = Document::parse(&text, &name).unwrap();
            found.push((name, chain::run(document.job()).unwrap()));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
}

// The bounds are worked out from the same bodies by the same steps, so they are the same numbers.
#[test]
fn each_finding_by_itself_has_the_bounds_that_it_has_among_all() {
    let mut seen = 0;
    for (name, chain) in scenes() {
        let runs = chain::again(&chain);
        // What is measured again is in no doubt, and so is what it is held beside.
        let chain = chain::run_on(&runs, chain.estimates(), &chain.choices()).unwrap();
        let laid = chain::lay(&runs, &chain.estimates(), &chain.choices(), &chain.pack).unwrap();
        for finding in &chain.inspection.findings {
            // Two findings about one quantity are told apart by their place in the list only.
            let first = chain.inspection.find(&finding.key).unwrap();
            let again = laid.finding(&runs, &chain.pack, &finding.key);
            let again = again.unwrap_or_else(|| panic!("{name}: {:?} is lost", finding.key));
            let bounds = [again.lower, again.upper];
            let whole = [first.lower, first.upper];
            assert_eq!(bounds, whole, "{name}: {:?}", finding.key);
            assert_eq!((again.run, again.verdict), (first.run, first.verdict));
            assert_eq!(again.says, first.says, "{name}");
            assert!((again.at - first.at).norm() < 1e-9, "{name}");
            seen += 1;
        }
    }
    assert!(
        seen > 1000,
        "{seen} findings are too few for so many stairs"
    );
}
