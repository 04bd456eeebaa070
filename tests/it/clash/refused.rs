//! Fixings and rooms that cannot be: each is told with its field, and what would do.

use rakewell::job::Document;

use super::{STARTER, text};

/// The fields that are told for a design with this in it.
fn told(more: &str) -> Vec<(String, String)> {
    let text = text(
        STARTER,
        &[[
            "fitting: \"1/16\", ",
            &format!("{more}, fitting: \"1/16\", "),
        ]],
    );
    match Document::parse(&text, "test") {
        Ok(_) => Vec::new(),
        Err(faults) => {
            let faults = faults.diagnostics.into_iter();
            faults.map(|one| (one.path, one.problem)).collect()
        }
    }
}

fn fixing(fields: &str) -> String {
    format!("fixings: [(name: \"bolt\", {fields})]")
}

#[test]
fn a_sound_fixing_is_taken_and_saved_as_typed() {
    let sound = fixing(
        "part: \"N1\", face: Open, up: \"4\", diameter: \"1/2\", deep: \"3\", \
         plug: (diameter: \"3/4\", depth: \"3/8\")",
    );
    assert!(told(&sound).is_empty());
    assert!(told("knuckles: \"1 1/2\", past_edge: \"1/4\"").is_empty());
}

#[test]
fn each_slip_of_a_fixing_is_told_at_its_field() {
    let plain = "up: \"4\", diameter: \"1/2\", deep: \"3\"";
    let at = |field: &str| format!("design.fixings[0].{field}");
    for (fields, path, says) in [
        (
            format!("part: \"N7\", face: Open, {plain}"),
            at("part"),
            "no newel or rail `N7`",
        ),
        (
            format!("part: \"N1\", face: Top, {plain}"),
            at("face"),
            "top or foot of newel `N1`",
        ),
        (
            "part: \"N1\", face: Open, up: \"-4\", diameter: \"1/2\", deep: \"3\"".to_owned(),
            at("up"),
            "negative",
        ),
        (
            "part: \"N1\", face: Open, up: \"4\", diameter: \"0\", deep: \"3\"".to_owned(),
            at("diameter"),
            "zero",
        ),
        (
            "part: \"N1\", face: Open, up: \"4\", diameter: \"1/2\", deep: \"90\"".to_owned(),
            at("deep"),
            "more than",
        ),
        (
            format!(
                "part: \"R1\", face: Under, {plain}, plug: (diameter: \"1/4\", depth: \"3/8\")"
            ),
            at("plug.diameter"),
            "narrower than its bore",
        ),
        (
            format!("part: \"R1\", face: Under, {plain}, plug: (diameter: \"1\", depth: \"3\")"),
            at("plug.depth"),
            "takes all of the bore",
        ),
    ] {
        let told = told(&fixing(&fields));
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].0, path);
        assert!(told[0].1.contains(says), "{}", told[0].1);
    }
}

#[test]
fn two_fixings_of_one_name_and_rooms_out_of_bounds_are_told() {
    let one =
        "(name: \"bolt\", part: \"N1\", face: Open, up: \"4\", diameter: \"1/2\", deep: \"3\")";
    let twice = told(&format!("fixings: [{one}, {one}]"));
    assert_eq!(twice.len(), 1, "{twice:?}");
    assert!(twice[0].1.contains("two fixings are called `bolt`"));
    for (field, value) in [("knuckles", "40"), ("past_edge", "-1")] {
        let told = told(&format!("{field}: \"{value}\""));
        assert_eq!(told[0].0, format!("design.{field}"));
    }
}
