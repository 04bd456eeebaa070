//! Parts received, against plain geometry.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::job::{
    FootCut, Job, Len, Off, RailBow, Received, ReceivedBaluster, ReceivedLimits, ReceivedNewel,
    ReceivedRail,
};
use rakewell::measure::{Angle, Typed};
use rakewell::setout::received::{ReceivedSet, Verdict};

use super::bedding::sample;

/// The sample with these parts received.
fn weighed(received: Received) -> (Job, Chain, ReceivedSet) {
    let mut job = sample();
    job.received = Some(received);
    let chain = chain::run(&job).unwrap();
    let set = chain::weigh(chain.first(), &chain.pack).unwrap();
    (job, chain, set)
}

fn newel(name: &str) -> ReceivedNewel {
    ReceivedNewel {
        name: name.to_owned(),
        length: None,
        section: None,
        twist: None,
        foot: None,
        block: None,
    }
}

fn baluster(mark: &str) -> ReceivedBaluster {
    ReceivedBaluster {
        mark: mark.to_owned(),
        length: None,
        size: None,
        hole: None,
        bow: None,
    }
}

fn in_(text: &str) -> Len {
    Len::read(text).unwrap()
}

#[test]
fn a_twisted_newel_takes_from_the_gap_what_its_turned_corners_reach() {
    let twist = 3.0;
    for name in ["N1", "N2"] {
        let one = ReceivedNewel {
            twist: Some(Typed::<Angle>::degrees(twist)),
            ..newel(name)
        };
        let (_, chain, set) = weighed(Received {
            newels: vec![one],
            ..Received::default()
        });
        let stands = chain
            .first()
            .setout
            .newels
            .iter()
            .find(|newel| newel.name == name)
            .unwrap();
        let rail = &chain.first().setout.rail;
        let (end, first) = if name == "N1" {
            (rail.lower, chain.first().setout.balusters.first())
        } else {
            (rail.upper, chain.first().setout.balusters.last())
        };
        // A square of side s turned by a reaches s / 2 (cos a + sin a) from its middle.
        let at = |height: f64| {
            let turned = (twist * height / stands.height.as_mm()).to_radians();
            -44.45 * (turned.cos() + turned.sin().abs() - 1.0)
        };
        let effects = &set.newels[0].as_marked;
        assert_relative_eq!(
            effects.gap_at_rail.as_mm(),
            at(end.z - stands.foot.z),
            epsilon = 1e-9
        );
        let beside = (first.unwrap().foot.z - stands.foot.z).max(0.0);
        assert_relative_eq!(effects.gap_at_foot.as_mm(), at(beside), epsilon = 1e-9);
    }
}

#[test]
fn a_foot_out_of_square_leans_a_newel_and_turned_it_leans_the_other_way() {
    // 1/32 over 3 1/2 is 50/112 over 50.
    let one = ReceivedNewel {
        foot: Some(FootCut {
            uphill: in_("1/32"),
            outward: in_("0"),
        }),
        ..newel("N1")
    };
    let (_, chain, set) = weighed(Received {
        limits: ReceivedLimits {
            lean: in_("1/2"),
            ..ReceivedLimits::default()
        },
        newels: vec![one],
        ..Received::default()
    });
    let one = &set.newels[0];
    assert_relative_eq!(
        one.as_marked.lean_uphill.as_inches(),
        50.0 / 112.0,
        epsilon = 1e-9
    );
    let stands = &chain.first().setout.newels[0];
    let rail = chain.first().setout.rail.lower.z - stands.foot.z;
    let narrower = -50.0 / 112.0 * rail / stands.height.as_mm();
    assert_relative_eq!(
        one.as_marked.gap_at_rail.as_inches(),
        narrower,
        epsilon = 1e-9
    );
    // Past the 1/16 of a gap; turned a quarter it leans along the rail's side, and leaves the gap.
    assert_eq!((one.verdict, one.quarter_turns), (Verdict::Shuffle, 1));
    assert_relative_eq!(one.turned.gap_at_rail.as_mm(), 0.0, epsilon = 1e-9);
    assert_relative_eq!(
        one.turned.lean_outward.as_inches(),
        50.0 / 112.0,
        epsilon = 1e-9
    );
}

#[test]
fn a_newel_is_cut_to_its_block_and_its_cap_tells_the_rest() {
    let (_, chain, _) = weighed(Received::default());
    let stands = &chain.first().setout.newels[0];
    let rail = &chain.first().setout.rail;
    let top = rail.lower.z - stands.foot.z;
    let under = top - rail.depth.as_mm() / rail.pitch.angle().as_radians().cos();
    let mm = |mm: f64| Len::millimetres(mm);
    // Its block begins 40 under the rail and ends 52 over it: 6 are cut off its foot.
    let one = ReceivedNewel {
        block: Some(rakewell::job::BlockRead {
            from: mm(under - 40.0),
            to: mm(top + 52.0),
        }),
        ..newel("N1")
    };
    let (_, _, set) = weighed(Received {
        newels: vec![one],
        ..Received::default()
    });
    let effects = &set.newels[0].as_marked;
    assert_relative_eq!(effects.trim.as_mm(), 6.0, epsilon = 1e-9);
    let (above, below) = effects.block_reveals.unwrap();
    assert_relative_eq!(above.as_mm(), 46.0, epsilon = 1e-9);
    assert_relative_eq!(below.as_mm(), 46.0, epsilon = 1e-9);
    assert_relative_eq!(effects.cap.as_mm(), -6.0, epsilon = 1e-9);
    assert_eq!(set.newels[0].verdict, Verdict::SendBack);
    // What stands too low stays too low.
    let one = ReceivedNewel {
        block: Some(rakewell::job::BlockRead {
            from: mm(under - 52.0),
            to: mm(top + 40.0),
        }),
        ..newel("N1")
    };
    let (_, _, set) = weighed(Received {
        newels: vec![one],
        ..Received::default()
    });
    let effects = &set.newels[0].as_marked;
    assert_relative_eq!(effects.trim.as_mm(), 0.0);
    assert_relative_eq!(
        effects.reveals_apart().unwrap().as_mm(),
        -12.0,
        epsilon = 1e-9
    );
}

#[test]
fn a_hole_off_centre_moves_the_foot_the_other_way() {
    // Gap and lean both change by it where it lies along the flight.
    let hole = |off: &str| Off {
        uphill: in_(off),
        outward: in_("0"),
    };
    let balusters = (0..9).map(|number| ReceivedBaluster {
        hole: Some(hole("1/32")),
        ..baluster(&format!("a{number}"))
    });
    let (_, _, set) = weighed(Received {
        balusters: balusters.collect(),
        ..Received::default()
    });
    for one in &set.balusters {
        let fit = &one.at.as_ref().unwrap().fit;
        assert_eq!(one.verdict, Verdict::Accept);
        // All reveals are as wanted: along or across it does as much, and it is left as marked.
        assert_eq!(fit.quarter_turns, 0);
        assert_relative_eq!(fit.gap.as_inches(), 1.0 / 32.0, epsilon = 1e-9);
        assert_relative_eq!(fit.lean.as_inches(), 1.0 / 32.0, epsilon = 1e-9);
        assert_relative_eq!(fit.reveal.as_mm(), 0.0, epsilon = 1e-9);
    }
    assert_relative_eq!(set.disturbance.as_inches(), 18.0 / 32.0, epsilon = 1e-9);
    assert!(set.unfilled.is_empty());
}

#[test]
fn short_balusters_go_where_short_ones_are_wanted_and_too_short_ones_nowhere() {
    let (_, chain, _) = weighed(Received::default());
    let mut lengths: Vec<f64> = chain
        .first()
        .setout
        .balusters
        .iter()
        .map(|one| one.long_point.as_mm() + one.seat.as_mm())
        .collect();
    lengths.sort_by(f64::total_cmp);
    let made = |number: usize, length: f64| ReceivedBaluster {
        length: Some(Len::millimetres(length)),
        ..baluster(&format!("a{number}"))
    };
    // Each just long enough for one place, the shortest last in the stack; the very last for none.
    let mut balusters: Vec<ReceivedBaluster> = lengths
        .iter()
        .rev()
        .enumerate()
        .map(|(number, length)| made(number, length + 1e-3))
        .collect();
    balusters.push(made(9, lengths[0] - 13.0));
    let (_, chain, set) = weighed(Received {
        balusters,
        ..Received::default()
    });
    assert_relative_eq!(set.disturbance.as_mm(), 0.0, epsilon = 1e-9);
    assert!(set.unfilled.is_empty());
    let (last, others) = set.balusters.split_last().unwrap();
    assert_eq!((last.verdict, last.at.is_none()), (Verdict::SendBack, true));
    for (one, length) in others.iter().zip(lengths.iter().rev()) {
        let at = one.at.as_ref().unwrap();
        let place = chain
            .first()
            .setout
            .balusters
            .iter()
            .find(|place| place.name == at.place)
            .unwrap();
        let needs = place.long_point.as_mm() + place.seat.as_mm();
        assert!(needs <= length + 2e-3, "{} at {}", one.mark, at.place);
    }
}

#[test]
fn too_few_balusters_leave_places_empty() {
    let (_, _, set) = weighed(Received {
        balusters: vec![baluster("x"), baluster("y")],
        ..Received::default()
    });
    assert_eq!(set.unfilled.len(), 7);
    let places: Vec<&str> = set
        .balusters
        .iter()
        .map(|one| one.at.as_ref().unwrap().place.as_str())
        .collect();
    assert_eq!(places, ["B01", "B02"]);
}

#[test]
fn a_bowed_rail_moves_heads_straight_between_its_readings() {
    let bow = |along: f64, up: f64, outward: f64| RailBow {
        along: Len::millimetres(along),
        up: Len::millimetres(up),
        outward: Len::millimetres(outward),
    };
    let (_, chain, _) = weighed(Received::default());
    let rail = &chain.first().setout.rail;
    let long = (rail.upper - rail.lower).norm();
    // A tent with its ridge over the middle: the head nearest the middle moves most.
    let (_, chain, set) = weighed(Received {
        rails: vec![ReceivedRail {
            name: "R1".to_owned(),
            bows: vec![bow(long / 2.0, 2.0, -3.0)],
        }],
        ..Received::default()
    });
    let tent = |along: f64| 1.0 - (along / long - 0.5).abs() * 2.0;
    let along = |top: &nalgebra::Point3<f64>| (top - rail.lower).norm();
    let (lean, name) = set.rails[0].as_marked.lean.clone().unwrap();
    let balusters = &chain.first().setout.balusters;
    let at = balusters.iter().find(|one| one.name == name).unwrap();
    // The heads stand at the rail's underside; its length is told along its top.
    let way = (rail.upper - rail.lower).normalize();
    let off = (at.top - rail.lower).dot(&way);
    assert_relative_eq!(lean.as_mm(), -3.0 * tent(off), epsilon = 1e-9);
    for one in balusters {
        let other = tent((one.top - rail.lower).dot(&way));
        assert!(other <= tent(off) + 1e-9);
        assert!(along(&one.top) < long);
    }
    // Turned end for end a tent in the middle bows to the other side.
    let (turned, _) = set.rails[0].turned.lean.clone().unwrap();
    assert!(turned.as_mm() > 0.0);
    // Plumb, 2 square to the rake is 2 over the cosine of the pitch.
    let plumb = 2.0 / rail.pitch.angle().as_radians().cos();
    let (height, step) = set.rails[0].as_marked.height.unwrap();
    let nosing = chain.first().site.step(step).unwrap().nosing_x();
    let share = (nosing - rail.lower.x) / (rail.upper.x - rail.lower.x);
    assert_relative_eq!(height.as_mm(), plumb * tent(share * long), epsilon = 1e-9);
    assert_eq!(set.rails[0].verdict, Verdict::Accept);
}
