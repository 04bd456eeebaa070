//! What a further reading would take off a variance, against really reading it and adjusting again.

use rakewell::job::Job;
use rakewell::survey::{Candidate, Linear, Survey, candidates, survey};
use serde_json::{Value, json};

use super::job_of;

/// Four digits of f64 are lost at most where 100 mm^2 of a wall shrink to tenths.
const SHARE: f64 = 1e-9;

fn job(step: Option<Value>, wall: Option<Value>) -> Job {
    let mut steps = vec![
        json!({ "Rise": { "step": 1, "is": 191 } }),
        json!({ "Height": { "step": 4, "above": 0, "is": 763 } }),
        json!({ "Going": { "step": 2, "is": 251 } }),
    ];
    steps.extend(step);
    let mut walls = vec![
        json!({ "Offset": { "along": 100, "up": 50, "is": 6 } }),
        json!({ "Offset": { "along": 2500, "up": 150, "is": -3 } }),
    ];
    walls.extend(wall);
    let wall = json!({
        "name": "W1", "from": { "x": 0, "y": -900 }, "to": { "x": 3000, "y": -900 },
        "head": 2500, "readings": walls,
    });
    let flight = json!({ "count": 5, "readings": steps });
    job_of(&flight, &json!({ "walls": [wall], "tape": "Millimetres" }))
}

fn results(survey: &Survey) -> Vec<Linear> {
    let adjustment = &survey.adjustment;
    let sum = |word: &str, to: u32| {
        (1..=to).fold(Linear::constant(0.0), |sum, step| {
            sum.add(&adjustment.of_step(step, word).unwrap())
        })
    };
    vec![
        sum("rise", 3),
        sum("rise", 5),
        sum("going", 4),
        sum("rise", 3).plus(-0.7, &sum("going", 2)),
        adjustment.of_wall(0, 1700.0, 1100.0).unwrap(),
        adjustment.of_wall_plane(0, 0.0, 2400.0).unwrap(),
        adjustment
            .of_wall(0, 300.0, 250.0)
            .unwrap()
            .add(&sum("edge", 0)),
    ]
}

/// The candidate, and the job where it was really read.
#[track_caller]
fn check(candidate: &Candidate, before: &Survey, after: &Survey) {
    let added = after.readings.iter().find(|one| one.what == candidate.what);
    let added = added.expect("the reading was added as it was offered");
    assert!(
        (added.sd - candidate.sd).abs() < 1e-12,
        "{}",
        candidate.what
    );
    for function in results(before) {
        let was = before.adjustment.variance(&function);
        let is = after.adjustment.variance(&function);
        let promised = before
            .adjustment
            .reduction(&candidate.function, candidate.sd, &function);
        let off = (was - promised - is).abs();
        assert!(
            off < SHARE * was,
            "{}: {was} - {promised} is not {is}",
            candidate.what
        );
    }
}

#[test]
fn a_promised_reduction_is_what_reading_gives() {
    let before = survey(&job(None, None));
    let offered = candidates(&job(None, None), &before.adjustment, &[]);
    let offer = |what: &str| {
        let found = offered.iter().find(|one| one.what == what);
        found.unwrap_or_else(|| panic!("{what} is not offered"))
    };
    let steps = [
        (
            "rise of step 3",
            json!({ "Rise": { "step": 3, "is": 190 } }),
        ),
        (
            "height of step 5",
            json!({ "Height": { "step": 5, "above": 0, "is": 950 } }),
        ),
        (
            "going of step 4",
            json!({ "Going": { "step": 4, "is": 250 } }),
        ),
        (
            "run from kick 1 to kick 4",
            json!({ "Run": { "step": 4, "beyond": 1, "is": 750 } }),
        ),
    ];
    for (what, reading) in steps {
        check(offer(what), &before, &survey(&job(Some(reading), None)));
    }
    let held = json!({
        "along": 1500, "up": 640, "level": 1219.2, "gap": 0, "at": "Top", "touch": 0,
    });
    let walls = [
        json!({ "Offset": { "along": 2700, "up": 2250, "is": 0 } }),
        json!({ "Plumb": held }),
    ];
    for reading in walls {
        let after = survey(&job(None, Some(reading)));
        let what = after.readings.last().unwrap().what.clone();
        check(offer(&what), &before, &after);
    }
}

/// Two readings one after the other take as much as both together, in either order.
#[test]
fn reductions_add_up_when_each_counts_on_the_one_before() {
    let first = json!({ "Rise": { "step": 3, "is": 190 } });
    let second = json!({ "Offset": { "along": 2700, "up": 2250, "is": 0 } });
    let none = survey(&job(None, None));
    let (one, other) = (
        survey(&job(Some(first.clone()), None)),
        survey(&job(None, Some(second.clone()))),
    );
    let both = survey(&job(Some(first), Some(second)));
    for function in results(&none) {
        let of = |survey: &Survey| survey.adjustment.variance(&function);
        // Steps and walls are told by different readings: what each takes off stands by itself.
        let apart = (of(&none) - of(&one)) + (of(&none) - of(&other));
        let off = (of(&none) - of(&both) - apart).abs();
        assert!(off < SHARE * of(&none), "{off}");
    }
}
