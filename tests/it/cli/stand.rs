//! `inspect --let-stand`: a trouble that somebody lets stand is told with its reason, and stays one.

use serde_json::Value;

use super::{DEMO, rakewell, write};

const OPENING: &str = "opening:B25+W2";
const REASON: &str = "the client has seen it & takes it <b>so</b>";

#[test]
fn a_reason_is_written_told_and_taken_back_and_the_trouble_stays_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "job.ron", DEMO);
    let args = [
        "inspect",
        &path,
        "--let-stand",
        OPENING,
        "--because",
        REASON,
    ];
    let told = rakewell(&args);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(
        told.out.contains("undo  take lets_stand[0] out"),
        "{}",
        told.out
    );
    assert!(told.out.contains("does not"), "{}", told.out);
    // It is a trouble all the same, with its reason; the rule it breaks stays broken.
    let sheet = folder.path().join("sheet.html");
    let sheet = sheet.to_str().unwrap();
    let args = [
        "inspect",
        &path,
        "--json",
        "--at-least",
        "stop",
        "--sheet",
        sheet,
    ];
    let told = rakewell(&args);
    assert_eq!(told.status, 1);
    let answer: Value = serde_json::from_str(&told.out).unwrap();
    let troubles = answer["troubles"].as_array().unwrap();
    let one = troubles.iter().find(|one| one["id"] == OPENING).unwrap();
    assert_eq!(one["let_stand"]["because"], REASON);
    assert_eq!(one["let_stand"]["changed"], false);
    assert_eq!(one["verdict"], "broken");
    let rules = answer["rules"].as_array().unwrap();
    assert!(
        rules
            .iter()
            .any(|rule| rule["clause"] == one["source"] && rule["verdict"] == "broken")
    );
    let page = std::fs::read_to_string(sheet).unwrap();
    let (_, stand) = page.split_once("<h2>Let stand</h2>").unwrap();
    assert!(stand.contains("&amp; takes it &lt;b&gt;so&lt;/b&gt;"));
    assert!(stand.contains("a reason does not make it met"));
}

#[test]
fn what_is_let_stand_counts_for_the_exit_status_unless_it_is_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "job.ron", DEMO);
    let stops = rakewell(&["inspect", &path, "--json", "--at-least", "stop"]);
    let answer: Value = serde_json::from_str(&stops.out).unwrap();
    for one in answer["troubles"].as_array().unwrap() {
        let id = one["id"].as_str().unwrap();
        let told = rakewell(&["inspect", &path, "--let-stand", id, "--because", "decided"]);
        assert_eq!(told.status, 0, "{}", told.err);
    }
    let status = |more: &[&str]| {
        let args = ["inspect", &path, "--at-least", "stop"];
        rakewell(&[&args[..], more].concat()).status
    };
    assert_eq!(status(&[]), 1);
    assert_eq!(status(&["--but-let-stand"]), 0);
}

#[test]
fn no_reason_is_no_reason_and_the_file_stays_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "job.ron", DEMO);
    for (id, because) in [(OPENING, " "), ("opening:B98+B99", "gone")] {
        let told = rakewell(&["inspect", &path, "--let-stand", id, "--because", because]);
        assert_eq!(told.status, 2, "{id}");
        assert!(told.out.is_empty());
    }
    assert_eq!(
        rakewell(&["inspect", &path, "--let-stand", OPENING]).status,
        2
    );
    assert_eq!(std::fs::read_to_string(&path).unwrap(), DEMO);
}
