//! Kicks: heights between the treads, ends, mitres, leans.

use approx::assert_relative_eq;
use rakewell::job::Len;
use rakewell::measure::Angle;
use rakewell::setout::boards::boards;
use rakewell::survey::PlanePart;

use super::{SKIRTS, cut, found, inches, with};

#[test]
fn a_kick_stands_behind_one_tread_and_under_the_next() {
    let boards = cut(&with(SKIRTS));
    for kick in &boards.kicks {
        // A rise of 7 1/2 and treads of an inch; the first one stands on the floor.
        let height = if kick.step == 1 { 6.5 } else { 7.5 };
        for side in [kick.height.0, kick.height.1] {
            assert_relative_eq!(inches(side), height, epsilon = 1e-9);
        }
        for side in [kick.shows.0, kick.shows.1] {
            assert_relative_eq!(inches(side), 6.5, epsilon = 1e-9);
        }
        // Mitred on the open side at half a right angle: 3/4 off the hidden face there.
        assert!(kick.left.mitred && !kick.right.mitred);
        assert_relative_eq!(kick.left.tilt.as_degrees(), 45.0, epsilon = 1e-9);
        let off = 0.75 + 0.75 * 5_f64.to_radians().tan();
        assert_relative_eq!(inches(kick.shorter()), off, epsilon = 1e-9);
    }
}

#[test]
fn a_kick_between_treads_out_of_level_is_higher_at_one_end() {
    let text = super::TRUE_FLIGHT.replacen(
        "readings: [",
        "readings: [Level(step: 7, is: \"1/4\", high: Wall),",
        1,
    );
    let boards = cut(&super::job(&text));
    let site = found(&super::job(&text));
    // The tread's own slope across, as the survey found it, over the kick's width.
    let rise = -site.steps[6].tilt * boards.kicks[6].bottom.as_mm();
    assert!(rise > 5.0, "the wall side is the higher one");
    let kick = &boards.kicks[6];
    assert_relative_eq!(
        (kick.height.1 - kick.height.0).as_mm(),
        rise,
        epsilon = 1e-3
    );
    let above = &boards.kicks[7];
    assert_relative_eq!(
        (above.height.0 - above.height.1).as_mm(),
        rise,
        epsilon = 1e-3
    );
    // Its ends stay plumb: the lower edge of the next kick climbs to the right by that slope.
    let slope = (-site.steps[6].tilt).atan().to_degrees();
    assert_relative_eq!(above.left.angle.as_degrees(), 90.0 - slope, epsilon = 1e-4);
    assert_relative_eq!(above.right.angle.as_degrees(), 90.0 + slope, epsilon = 1e-4);
}

#[test]
fn against_a_leaning_wall_a_kick_is_wider_at_one_edge() {
    let job = with("");
    let mut site = found(&job);
    let plane = PlanePart {
        offset: 0.0,
        splay: 0.0,
        lean: -0.01,
    };
    site.walls[0].field = site.walls[0].field.without_bow().with_plane(plane);
    for kick in &boards(&job, &site).kicks {
        let rise = kick.height.1.as_mm();
        assert_relative_eq!(
            (kick.top - kick.bottom).as_mm(),
            0.01 * rise,
            epsilon = 1e-3
        );
        let lean = Angle::radians(0.01_f64.atan()).as_degrees();
        assert_relative_eq!(kick.right.angle.as_degrees(), 90.0 + lean, epsilon = 1e-3);
    }
}

#[test]
fn a_leaning_kick_is_longer_along_its_face() {
    // A lean of 5 in 12 makes the 5-12-13 triangle; a quarter is the most a job takes, so by hand.
    let mut job = with(&format!(
        "{SKIRTS} boards: (kick_leans: [(step: 3, over: \"7\", by: \"1/8\")]),"
    ));
    let lean = cut(&job).kicks[2].lean;
    assert_relative_eq!(
        lean.as_degrees(),
        (0.125_f64 / 7.0).atan().to_degrees(),
        epsilon = 1e-9
    );
    let read = &mut job.boards.as_mut().unwrap().kick_leans[0];
    (read.over, read.by) = (Len::inches(12.0), Len::inches(5.0));
    let kick = &cut(&job).kicks[2];
    assert_relative_eq!(inches(kick.height.0), 7.5 * 13.0 / 12.0, epsilon = 1e-9);
    assert_relative_eq!(inches(kick.shows.0), 6.5, epsilon = 1e-9);
}

#[test]
fn a_kick_out_of_square_halves_its_own_corner() {
    let job = with(SKIRTS);
    let mut site = found(&job);
    let skew = 0.02_f64;
    for step in &mut site.steps {
        step.skew = skew;
        step.back_skew = skew;
    }
    let boards = boards(&job, &site);
    // Seen from above the kick runs in from the corner against the way up, so that the corner
    // between it and the skirt is a right angle and the skew; half of it is left at the mitre.
    let corner = 90.0 + skew.atan().to_degrees();
    for kick in &boards.kicks {
        assert_relative_eq!(
            kick.left.tilt.as_degrees(),
            90.0 - corner / 2.0,
            epsilon = 1e-9
        );
    }
    for step in &boards.open_skirts[0].steps {
        assert_relative_eq!(step.tilt.as_degrees(), 90.0 - corner / 2.0, epsilon = 1e-9);
    }
    for tread in &boards.treads {
        // The nosing goes with the kick, and the ends with the skirt.
        assert_relative_eq!(tread.left.angle.as_degrees(), corner, epsilon = 1e-9);
        assert_relative_eq!(
            tread.right.angle.as_degrees(),
            180.0 - corner,
            epsilon = 1e-9
        );
        let mitre = tread.left.returned.unwrap().mitre.as_degrees();
        assert_relative_eq!(mitre, 90.0 - corner / 2.0, epsilon = 1e-9);
    }
}
