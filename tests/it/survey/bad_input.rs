//! Bad readings: nothing is dropped, what contradicts is named with its place, slips of the unit
//! are told, and what nothing ties is said in trade words.

use rakewell::survey::{Standing, Survey, UnitSlip, survey};
use serde_json::{Value, json};

use super::job_of;

fn of_steps(readings: &[Value]) -> Survey {
    survey(&job_of(
        &json!({ "count": 5, "readings": readings }),
        &json!({}),
    ))
}

/// Every rise and height of five steps, read well and true.
fn true_rises() -> Vec<Value> {
    (1..=5)
        .flat_map(|step| {
            [
                json!({ "Rise": { "step": step, "is": 190 } }),
                json!({ "Height": { "step": step, "above": 0, "is": 190 * step } }),
            ]
        })
        .collect()
}

fn wall(readings: &[Value]) -> Survey {
    let wall = json!({
        "name": "W1", "from": { "x": 0, "y": -900 }, "to": { "x": 3000, "y": -900 },
        "head": 2500, "readings": readings,
    });
    survey(&job_of(&json!({}), &json!({ "walls": [wall] })))
}

#[test]
fn a_reading_that_contradicts_the_rest_is_named_with_its_place() {
    let mut readings = true_rises();
    // Height of step 3: 20 mm too much.
    readings[5] = json!({ "Height": { "step": 3, "above": 0, "is": 590 } });
    let found = of_steps(&readings);
    assert_eq!(found.readings.len(), readings.len());
    assert_eq!(found.suspects.len(), 1);
    let slip = &found.suspects[0];
    let reading = &found.readings[slip.reading];
    assert_eq!(reading.path, "flight.readings[5]");
    assert_eq!(reading.what, "height of step 3");
    assert_eq!(reading.standing, Standing::Suspect);
    assert!((slip.predicted - 570.0).abs() < 1.0, "{slip:?}");
    assert_eq!(slip.unit, None);
}

#[test]
fn two_readings_that_contradict_each_other_alone_are_both_named_as_possible() {
    let edge = |is: f64| json!({ "Edge": { "step": 2, "is": is } });
    let found = of_steps(&[edge(60.0), edge(75.0)]);
    assert_eq!(found.readings.len(), 2);
    let slip = &found.suspects[0];
    // Nothing tells the one from the other but what was meant, which is wide.
    let mut both = slip.or.clone();
    both.push(slip.reading);
    both.sort_unstable();
    assert_eq!(both, [0, 1]);
}

#[test]
fn several_slips_are_taken_one_at_a_time_and_none_is_taken_off_the_estimates() {
    let mut readings = true_rises();
    readings[2] = json!({ "Rise": { "step": 2, "is": 240 } });
    readings[7] = json!({ "Height": { "step": 4, "above": 0, "is": 720 } });
    let found = of_steps(&readings);
    let places: Vec<usize> = found.suspects.iter().map(|one| one.reading).collect();
    assert_eq!(places, [2, 7], "{:?}", found.suspects);
    // The estimate is still of all readings: it is pulled off 190.
    assert!(found.estimates.steps[1].rise.found > 191.0);
    // Its own reading, and the heights of steps 2 to 5.
    assert_eq!(found.estimates.steps[1].rise.readings.len(), 5);
}

/// One inch is 25.4 mm, one foot 12 in.
#[test]
fn a_unit_that_was_mistaken_is_named() {
    for (factor, slip) in [
        (25.4, UnitSlip::MillimetresForInches),
        (1.0 / 25.4, UnitSlip::InchesForMillimetres),
        (1.0 / 12.0, UnitSlip::InchesForFeet),
        (12.0, UnitSlip::FeetForInches),
    ] {
        let mut readings = true_rises();
        // It was 380.5 before it was written in the wrong unit.
        readings[3] = json!({ "Height": { "step": 2, "above": 0, "is": 380.5 * factor } });
        let found = of_steps(&readings);
        let first = &found.suspects[0];
        assert_eq!((first.reading, first.unit), (3, Some(slip)), "{factor}");
    }
}

#[test]
fn no_reading_is_lost_whatever_its_kind_or_value() {
    let mut readings = true_rises();
    readings.extend([
        json!({ "Going": { "step": 1, "is": 1500 } }),
        json!({ "Level": { "step": 2, "is": 150, "high": "Wall" } }),
        json!({ "Fall": { "step": 2, "is": 90, "low": "Front" } }),
        json!({ "Under": { "step": 0, "line": "L1", "is": -4000 } }),
        json!({ "Past": { "step": 5, "line": "X1", "is": 30 } }),
        json!({ "Pitch": { "from": 1, "to": 5, "is": "69 deg" } }),
        json!({ "Diagonal": {
            "from": { "step": 1, "end": "Open" }, "to": { "step": 5, "end": "Wall" }, "is": 10,
        } }),
    ]);
    let more = json!({
        "lines": [
            { "name": "L1", "runs": { "Level": {} } },
            { "name": "X1", "runs": { "Across": {} } },
        ],
    });
    let found = survey(&job_of(&json!({ "count": 5, "readings": readings }), &more));
    assert_eq!(found.readings.len(), readings.len());
    for (at, reading) in found.readings.iter().enumerate() {
        assert_eq!(reading.path, format!("flight.readings[{at}]"));
        let numbers = [
            reading.fitted,
            reading.predicted,
            reading.predicted_sd,
            reading.r,
            reading.w,
        ];
        assert!(numbers.iter().all(|one| one.is_finite()), "{reading:?}");
    }
}

#[test]
fn the_same_reading_twice_is_no_slip_and_surer() {
    let rise = || json!({ "Rise": { "step": 2, "is": 191 } });
    let (once, twice) = (of_steps(&[rise()]), of_steps(&[rise(), rise()]));
    assert!(twice.suspects.is_empty());
    assert_eq!(twice.readings.len(), 2);
    assert!(twice.estimates.steps[1].rise.sd < once.estimates.steps[1].rise.sd);
}

#[track_caller]
fn says(found: &Survey, what: &str) {
    let all: Vec<&str> = found.loose.iter().map(|one| one.says.as_str()).collect();
    assert!(all.contains(&what), "{what} is not in {all:#?}");
}

#[track_caller]
fn does_not_say(found: &Survey, what: &str) {
    let all: Vec<&str> = found.loose.iter().map(|one| one.says.as_str()).collect();
    assert!(
        !all.iter().any(|one| one.contains(what)),
        "{what} is in {all:#?}"
    );
}

#[test]
fn what_nothing_ties_is_said_in_trade_words() {
    let none = of_steps(&[]);
    says(
        &none,
        "nothing ties the height of steps 1 to 5 to what is below",
    );
    says(&none, "nothing ties the next kick to that of steps 1 to 4");
    says(
        &none,
        "nothing ties the open end of steps 1 to 4 to the string",
    );
    says(
        &none,
        "nothing ties the wall side of steps 1 to 4 to the rest",
    );
    let mut readings = true_rises();
    readings.retain(|one| one.get("Rise").is_none_or(|of| of["step"] != 3));
    readings.retain(|one| one.get("Height").is_none_or(|of| of["step"] != 3));
    // Step 4's own height and rise tell step 3's.
    does_not_say(&of_steps(&readings), "the height of");
    // One reading from a line that may be anywhere ties nothing.
    let under = json!([{ "Under": { "step": 2, "line": "L1", "is": 700 } }]);
    let line = json!({ "lines": [{ "name": "L1", "runs": { "Level": {} } }] });
    let one = survey(&job_of(&json!({ "count": 5, "readings": under }), &line));
    says(
        &one,
        "nothing ties the height of steps 1 to 5 to what is below",
    );
    assert_eq!(one.readings[0].standing, Standing::Unchecked);
}

#[test]
fn a_wall_that_was_read_in_one_line_is_open_the_other_way() {
    let at = |along: f64, up: f64| json!({ "Offset": { "along": along, "up": up, "is": 4 } });
    let nothing = wall(&[]);
    says(
        &nothing,
        "nothing tells how far wall W1 stands off its line",
    );
    let row = wall(&[at(100.0, 1200.0), at(1500.0, 1200.0), at(2900.0, 1200.0)]);
    says(&row, "nothing tells wall W1's lean: read it high and low");
    does_not_say(&row, "splay");
    let column = wall(&[at(1500.0, 100.0), at(1500.0, 1200.0), at(1500.0, 2400.0)]);
    says(
        &column,
        "nothing tells wall W1's splay: read it at both ends",
    );
    does_not_say(&column, "lean");
    let both = wall(&[at(100.0, 100.0), at(2900.0, 100.0), at(1500.0, 2400.0)]);
    assert!(
        both.loose.iter().all(|one| !one.says.contains("wall W1")),
        "{:?}",
        both.loose
    );
}
