//! Simulated surveys of a stair of seven steps and one wall. The seeds are fixed; the large sweep
//! is `cargo bench --no-default-features --bench drawn`.

use super::job_of;
use super::simulated::{Named, Simulation, as_chance_has_it, clean, slips};
use super::stairs::stair;

/// The results whose intervals are looked at, named before anything is drawn: of the heights and
/// kicks the last, a tread's end and length that are read and ones that are not, and the wall where
/// nobody read it: between readings, near the rail's landing, and off its end.
const NAMED: [Named; 8] = [
    Named::Height(7),
    Named::Kick(7),
    Named::TreadEnd(5),
    Named::TreadEnd(6),
    Named::Width(3),
    Named::Wall(0, 500.0, 500.0),
    Named::Wall(0, 1100.0, 1900.0),
    Named::Wall(0, 2600.0, 1200.0),
];
const SURVEYS: usize = 2000;

fn simulation(seed: u128) -> Simulation {
    Simulation::new(stair(job_of, 7, 1, 3), NAMED.to_vec(), seed)
}

/// Issue's figures: 93 to 97 %. Chance alone strays by 2 % (four binomial standard deviations).
#[test]
fn stated_intervals_hold_the_truth_and_clean_readings_are_let_be() {
    let found = clean(&mut simulation(1), SURVEYS);
    for (named, held) in NAMED.iter().zip(&found.held) {
        let share = *held as f64 / found.surveys as f64;
        assert!((0.93..=0.97).contains(&share), "{named:?}: {share}");
    }
    // 3.29 is passed by one in a thousand and two millionths (see `tools`).
    for (number, flagged) in found.flagged.iter().enumerate() {
        let fair = as_chance_has_it(*flagged, found.surveys, 0.001);
        assert!(fair, "reading {number} was flagged {flagged} times");
    }
    // All together: tests hang together in pairs, so that twice the binomial spread is allowed.
    let all: usize = found.flagged.iter().sum();
    let share = all as f64 / (found.surveys * found.flagged.len()) as f64;
    assert!((0.0005..=0.0015).contains(&share), "{share}");
}

/// Issue's figures: ten standard uncertainties, first in 95 %, where r is 0.3 or more and no other
/// test hangs together with it beyond 0.9.
#[test]
fn a_planted_slip_is_named_first() {
    let found = slips(&mut simulation(2), SURVEYS, 10.0);
    assert!(found.fair > SURVEYS / 2, "{found:?}");
    assert!(found.first as f64 >= 0.95 * found.fair as f64, "{found:?}");
}
