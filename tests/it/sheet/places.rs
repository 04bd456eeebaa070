//! Where the sheet asks for a wall to be read.

use rakewell::publish::sheet::places;

use super::{demo, starter};

#[test]
fn places_lie_on_the_wall_and_within_reach() {
    let job = demo();
    let wall = &job.walls[0];
    let found = places(&job, wall);
    assert!(found.len() >= 9);
    for place in &found {
        let (along, up) = (place.along.as_inches(), place.up.as_inches());
        assert!((0.0..=200.0).contains(&along) && (0.0..=202.0).contains(&up));
        // The flight by hand: kicks of 7 1/2 every 10 in from x = 0, the wall from x = -30.
        let kicks = (((along - 30.0) / 10.0).floor() + 1.0).clamp(0.0, 14.0);
        let stand = 7.5 * kicks;
        assert!(up > stand && up < stand + 80.0, "{place:?} over {stand}");
    }
    let xs: Vec<f64> = found.iter().map(|place| place.along.as_inches()).collect();
    assert!(xs.is_sorted(), "going up the stair: {xs:?}");
}

/// By hand: the string meets W2 at 3 in along. There, at x = 130 1/4 in, the nosing line stands at
/// 7 1/2 + 131 x 0.75 = 105 3/4 in; the rail's top 36 in over that; half the rail's plumb depth,
/// 2 3/8 x 1.25 / 2 = 1.48 in, under its top: 140.27 in. The job's blocking is at 140 1/4.
#[test]
fn a_rail_that_ends_on_a_wall_asks_for_a_reading_where_it_lands() {
    let job = demo();
    let found = places(&job, &job.walls[1]);
    let rails: Vec<_> = found.iter().filter(|place| place.rail).collect();
    assert_eq!(rails.len(), 1);
    assert!((rails[0].along.as_inches() - 3.0).abs() <= 0.125);
    assert!(
        (rails[0].up.as_inches() - 140.27).abs() <= 0.125,
        "{:?}",
        rails[0]
    );
    assert!(places(&job, &job.walls[0]).iter().all(|place| !place.rail));
    let job = starter();
    assert!(places(&job, &job.walls[0]).iter().all(|place| !place.rail));
}

/// A wall on the left of one going up runs the other way, so that the room lies to its left hand.
#[test]
fn a_wall_that_runs_down_the_stair_is_still_read_going_up() {
    let mut job = demo();
    let wall = &mut job.walls[0];
    std::mem::swap(&mut wall.from, &mut wall.to);
    let found = places(&job, &job.walls[0]);
    let xs: Vec<f64> = found.iter().map(|place| -place.along.as_inches()).collect();
    assert!(xs.is_sorted(), "{xs:?}");
}
