//! Part in part, seats too deep and too shallow, a rail in a wall, room for knuckles, and what
//! cannot be looked at.

use approx::assert_relative_eq;
use nalgebra::Point3;
use rakewell::inspect::{ClashClass, Inspection, Kind, Severity, Verdict};
use rakewell::publish::{kind_word, trouble_id};
use rakewell::solids::{Convex, Part, PartKind, Solids};

use super::{
    HALF, IN, WALL, changed, find, inches, moved, outward, part, run, shift, starter, troubles,
};

fn clash<'i>(inspection: &'i Inspection, parts: [&str; 2]) -> &'i rakewell::inspect::ClashFound {
    let mut clashes = inspection.clashes.iter();
    clashes.find(|one| one.parts == parts).unwrap()
}

#[test]
fn a_sound_stair_has_no_clash_of_any_class() {
    for right in [false, true] {
        let chain = starter(right, &[]);
        assert!(chain.inspection.clashes.is_empty());
        for one in chain.inspection.troubles() {
            assert_eq!(ClashClass::of(one.key.kind), None, "{}", one.says);
        }
        // Each of the balusters has its seat and its peg looked at, and both rail ends.
        let balusters = chain.first().setout.balusters.len();
        let seats = chain.inspection.findings.iter();
        let seats = seats.filter(|one| one.key.kind == Kind::SeatShallow);
        assert_eq!(seats.count(), 2 * balusters + 2);
    }
}

// Common practice: a baluster 1/4 in low has 1/2 - 1/4 of its seat in the rail, plumb, and its peg
// 3/4 + 1/4 in the tread.
#[test]
fn a_baluster_that_hangs_low_sits_too_shallow_above_and_too_deep_below() {
    for right in [false, true] {
        let chain = starter(right, &[]);
        let seen = changed(&chain, |solids| shift(solids, "B05", [0.0, 0.0, -0.25]));
        let tread = format!("T{}", chain.first().setout.balusters[4].step);
        let seat = find(&seen, Kind::SeatShallow, &["B05", "R1"]);
        assert_eq!(seat.verdict, Verdict::Broken, "{}", seat.says);
        assert_relative_eq!(inches(seat), 0.25, epsilon = 1e-6);
        assert_relative_eq!(seat.limit.as_inches(), 0.5 - 1.0 / 16.0, epsilon = 1e-9);
        let peg = find(&seen, Kind::SeatShallow, &["B05", &tread]);
        assert_eq!(peg.verdict, Verdict::Met, "{}", peg.says);
        assert_relative_eq!(inches(peg), 1.0, epsilon = 1e-6);
        let deep = find(&seen, Kind::SeatDeep, &[&tread, "B05"]);
        assert_eq!(deep.verdict, Verdict::Broken);
        assert_relative_eq!(inches(deep), 0.25, epsilon = 1e-6);
        assert_eq!(trouble_id(deep), format!("seat-deep:{tread}+B05"));
        let told = clash(&seen, [&tread, "B05"]);
        assert_eq!(told.class, ClashClass::SeatTooDeep);
        assert_eq!(told.to_clear, "move B05 1/4\" up");
        // Nothing else is wrong with it.
        assert_eq!(troubles(&seen, Kind::SeatShallow).len(), 1);
        assert_eq!(troubles(&seen, Kind::Clash).len(), 0);
    }
}

// Raised by 3/4 its peg is out of the tread, and its head 3/4 more than its seat in the rail, plumb:
// square to the rake 3/4 x 0.8 = 0.6. The way out is square to the rake, 0.8 of that down and 0.6 of
// it up the flight.
#[test]
fn a_baluster_that_stands_high_is_out_of_its_tread_and_deep_in_the_rail() {
    let chain = starter(false, &[]);
    let seen = changed(&chain, |solids| shift(solids, "B05", [0.0, 0.0, 0.75]));
    let tread = format!("T{}", chain.first().setout.balusters[4].step);
    let peg = find(&seen, Kind::SeatShallow, &["B05", &tread]);
    assert_eq!(peg.verdict, Verdict::Broken, "{}", peg.says);
    assert_relative_eq!(inches(peg), 0.0, epsilon = 1e-6);
    let deep = find(&seen, Kind::SeatDeep, &["R1", "B05"]);
    assert_relative_eq!(inches(deep), 0.6, epsilon = 1e-6);
    let told = clash(&seen, ["R1", "B05"]);
    assert_relative_eq!(told.clear_by.z, -0.8, epsilon = 1e-6);
    assert_relative_eq!(told.clear_by.x, 0.6, epsilon = 1e-6);
    // 0.48 in and 0.36 in on a tape in sixteenths: a scant 1/2, and 3/8.
    assert_eq!(
        told.to_clear,
        "move B05 1/2\"- down and 3/8\" up the flight"
    );
}

#[test]
fn a_peg_that_hangs_in_the_air_is_told_by_how_far() {
    let chain = starter(false, &[]);
    let seen = changed(&chain, |solids| {
        // Above the tread by a quarter: 3/4 + 1/4 up.
        shift(solids, "B05", [0.0, 0.0, 1.0]);
    });
    let tread = format!("T{}", chain.first().setout.balusters[4].step);
    let peg = find(&seen, Kind::SeatShallow, &["B05", &tread]);
    assert_relative_eq!(inches(peg), -0.25, epsilon = 1e-6);
    assert!(peg.says.contains("stops 1/4\" short of"), "{}", peg.says);
}

#[test]
fn a_rail_that_stands_off_its_newel_is_told() {
    let chain = starter(false, &[]);
    let seen = changed(&chain, |solids| shift(solids, "N2", [0.25, 0.0, 0.0]));
    let end = find(&seen, Kind::SeatShallow, &["R1", "N2"]);
    assert_eq!(end.verdict, Verdict::Broken, "{}", end.says);
    assert_relative_eq!(inches(end), -0.25, epsilon = 1e-6);
    let other = find(&seen, Kind::SeatShallow, &["R1", "N1"]);
    assert_eq!(other.verdict, Verdict::Met, "{}", other.says);
}

// Balusters of 1 1/4 in: the next one's place less an inch, so 1/4 in of them overlaps.
#[test]
fn two_parts_in_one_place_say_which_gives_way_and_which_way() {
    for right in [false, true] {
        let chain = starter(right, &[]);
        let out = outward(right).y;
        for (by, way) in [
            ([-1.0, 0.0, 0.0], "up the flight"),
            ([1.0, 0.0, 0.0], "down the flight"),
            ([0.0, out, 0.0], "towards the wall side"),
            ([0.0, -out, 0.0], "towards the open side"),
        ] {
            let seen = changed(&chain, |solids| {
                let pieces = part(solids, "B06").pieces.clone();
                part(solids, "B05").pieces = moved(&pieces, by);
            });
            let told = clash(&seen, ["B05", "B06"]);
            assert_eq!(told.class, ClashClass::PartInPart);
            assert_relative_eq!(told.depth.as_inches(), 0.25, epsilon = 1e-6);
            assert_eq!(told.to_clear, format!("move B06 1/4\" {way}"));
            let found = find(&seen, Kind::Clash, &["B05", "B06"]);
            assert_eq!(found.at, told.at);
            assert_eq!(told.at, told.points[0]);
            // The witness stands in both: half way between their middles, by symmetry.
            let foot = chain.first().setout.balusters[5].foot;
            assert_relative_eq!(told.at.x, foot.x + by[0] * IN / 2.0, epsilon = 1e-6);
            assert_relative_eq!(told.at.y, foot.y + by[1] * IN / 2.0, epsilon = 1e-6);
        }
    }
}

#[test]
fn a_part_wholly_inside_another_is_called_so() {
    let chain = starter(false, &[]);
    let newel = &chain.first().setout.newels[0];
    let middle = newel.foot + newel.axis.into_inner() * (20.0 * IN);
    let seen = changed(&chain, |solids| {
        // A 1 in cube in the middle of a 3 1/2 in newel: out by 1 3/4 + 1/2.
        let half = nalgebra::Vector3::repeat(0.5 * IN);
        part(solids, "B05").pieces = vec![Convex::cuboid(middle - half, middle + half).unwrap()];
    });
    let found = find(&seen, Kind::Clash, &["N1", "B05"]);
    assert_relative_eq!(inches(found), 2.25, epsilon = 1e-6);
    assert!(
        found.says.starts_with("B05 stands wholly inside N1"),
        "{}",
        found.says
    );
}

// A rail 2 1/4 in wide over the line y = 0, and a wall's face at y = 1 to the wall side: in by 1/8.
#[test]
fn a_rail_in_a_wall_that_it_does_not_end_at() {
    let chain = starter(
        false,
        &[[
            WALL,
            "from: (x: \"-36\", y: \"-1\"), to: (x: \"180\", y: \"-1\"),",
        ]],
    );
    let found = find(&chain.inspection, Kind::RailInWall, &["W1", "R1"]);
    assert_eq!(kind_word(found.key.kind), "rail-in-wall");
    assert_relative_eq!(inches(found), 0.125, epsilon = 1e-4);
    let told = clash(&chain.inspection, ["W1", "R1"]);
    assert_eq!(told.class, ClashClass::RailInWall);
    assert_eq!(told.to_clear, "move R1 1/8\" towards the open side");
    assert!(!told.points.is_empty() && told.points.len() <= 8);
}

/// A post beside the middle of the rail, so far from its side, inches.
fn post_beside(chain: &rakewell::chain::Chain, right: bool, clear: f64) -> Part {
    let rail = &chain.first().setout.rail;
    let middle = nalgebra::center(&rail.lower, &rail.upper);
    let out = outward(right).y;
    let near = middle.y + out * (1.125 + clear) * IN;
    let far = near + out * 2.0 * IN;
    let (low, high) = (near.min(far), near.max(far));
    let body = Convex::cuboid(
        Point3::new(middle.x - IN, low, middle.z - 6.0 * IN),
        Point3::new(middle.x + IN, high, middle.z + 6.0 * IN),
    );
    Part {
        name: "N9".to_owned(),
        kind: PartKind::Newel,
        pieces: body.into_iter().collect(),
    }
}

fn with_part(chain: &rakewell::chain::Chain, part: Part) -> Inspection {
    changed(chain, |solids: &mut Solids| {
        solids.parts.push(part);
        solids.runs.push(0);
    })
}

#[test]
fn a_hand_needs_room_round_its_rail() {
    for right in [false, true] {
        let chain = starter(right, &[]);
        let seen = with_part(&chain, post_beside(&chain, right, 1.0));
        let found = find(&seen, Kind::Knuckle, &["R1", "N9"]);
        assert_relative_eq!(inches(found), 1.0, epsilon = 1e-6);
        assert_eq!(found.verdict, Verdict::Broken);
        assert_relative_eq!(found.limit.as_inches(), 1.5, epsilon = 1e-9);
        let seen = with_part(&chain, post_beside(&chain, right, 1.5));
        let found = find(&seen, Kind::Knuckle, &["R1", "N9"]);
        assert_eq!(found.verdict, Verdict::Met, "{}", found.says);
        // The job may ask for less; a guard is not there to hold.
        let less = starter(
            right,
            &[[
                "fitting: \"1/16\", ",
                "knuckles: \"3/4\", fitting: \"1/16\", ",
            ]],
        );
        let seen = with_part(&less, post_beside(&less, right, 1.0));
        let found = find(&seen, Kind::Knuckle, &["R1", "N9"]);
        assert_eq!(found.verdict, Verdict::Met, "{}", found.says);
        let guard = starter(right, &[["duty: Both, ", "duty: Guard, "]]);
        let seen = with_part(&guard, post_beside(&guard, right, 1.0));
        let knuckles = seen.findings.iter();
        assert_eq!(
            knuckles.filter(|one| one.key.kind == Kind::Knuckle).count(),
            0
        );
    }
}

#[test]
fn thousands_of_parts_in_one_place_are_told_and_the_rest_is_never_met() {
    let chain = starter(false, &[]);
    let seen = changed(&chain, |solids| {
        let one = part(solids, "B05").clone();
        for _ in 0..4000 {
            solids.parts.push(one.clone());
            solids.runs.push(0);
        }
    });
    let rest = find(&seen, Kind::Clash, &["parts not looked at"]);
    assert_eq!(rest.verdict, Verdict::Broken);
    assert_eq!(rest.severity, Severity::Stop);
    assert!(rest.says.contains("2000 pairs of parts"), "{}", rest.says);
    assert!(seen.clashes.len() <= 2000);
}

#[test]
fn a_part_without_a_body_is_named_and_not_shown() {
    let chain = starter(false, &[]);
    let seen = changed(&chain, |solids| part(solids, "K3").pieces.clear());
    let found = find(&seen, Kind::Clash, &["K3"]);
    assert_eq!(found.verdict, Verdict::NotShown);
    assert!(found.says.contains("without a body"), "{}", found.says);
}

// The second flight of a half turn goes back along the first: down in its frame is down, and up its
// flight is down the other's. Its findings stand in the first run's frame.
#[test]
fn a_further_run_is_told_in_its_own_words_and_in_the_first_ones_frame() {
    let chain = run(HALF);
    assert!(
        chain.inspection.clashes.is_empty()
            && troubles(&chain.inspection, Kind::Knuckle).is_empty()
    );
    let last = chain.runs.last().unwrap();
    let one = last.setout.balusters[4].clone();
    let next = last.setout.balusters[5].clone();
    let by = last.placed_way(&chain);
    let seen = changed(&chain, |solids| {
        let pieces = part(solids, &next.name).pieces.clone();
        part(solids, &one.name).pieces = moved(&pieces, [-by.x, -by.y, 0.0]);
    });
    let told = clash(&seen, [&one.name, &next.name]);
    assert_eq!(
        told.to_clear,
        format!("move {} 1/4\" up the flight", next.name)
    );
    let found = find(&seen, Kind::Clash, &[&one.name, &next.name]);
    assert_eq!(found.run, chain.runs.len() - 1);
    let low = changed(&chain, |solids| shift(solids, &one.name, [0.0, 0.0, -0.25]));
    let seat = troubles(&low, Kind::SeatShallow);
    assert_eq!(seat.len(), 1);
    assert_eq!(seat[0].run, chain.runs.len() - 1);
    assert_relative_eq!(inches(seat[0]), 0.25, epsilon = 1e-6);
    // It points at the baluster where it stands in the whole stair.
    let bounds = part(&mut chain.solids.clone(), &one.name).bounds().unwrap();
    assert!(bounds.low.x - 1.0 <= seat[0].at.x && seat[0].at.x <= bounds.high.x + 1.0);
    assert!(bounds.low.y - 1.0 <= seat[0].at.y && seat[0].at.y <= bounds.high.y + 1.0);
}

/// Up a run, as a unit vector of the first run's frame.
trait PlacedWay {
    fn placed_way(&self, chain: &rakewell::chain::Chain) -> nalgebra::Vector3<f64>;
}

impl PlacedWay for rakewell::chain::RunChain {
    fn placed_way(&self, chain: &rakewell::chain::Chain) -> nalgebra::Vector3<f64> {
        // From one baluster to the next, both on the run's own line.
        let middle = |name: &str| {
            let mut parts = chain.solids.parts.iter();
            let part = parts.find(|part| part.name == name).unwrap();
            part.bounds().unwrap().centre()
        };
        let [a, b] = [4, 5].map(|at| middle(&self.setout.balusters[at].name));
        let way = b - a;
        nalgebra::Vector3::new(way.x, way.y, 0.0).normalize()
    }
}
