//! Skirts: cuts against published half-pitch mitres, caps against the bases, mitred ones.

use approx::assert_relative_eq;
use proptest::prelude::*;
use rakewell::job::{Leaning, Len};
use rakewell::setout::boards::{OpenSkirtSet, WallSkirtSet};

use super::{SKIRTS, cut, inches, three_four_five, with};

fn wall_skirt(fields: &str) -> WallSkirtSet {
    let boards = cut(&three_four_five(&format!("{SKIRTS} {fields}")));
    boards.wall_skirts[0].clone()
}

#[test]
fn half_the_pitch_where_base_and_skirt_are_equally_wide() {
    // bobvila.com forum 7132: a level base to a 36 degree rake, 18 each. Of the 3-4-5 stair the
    // half angle is 18.4349 degrees and the cut runs 1 in 3.
    let skirt = wall_skirt("");
    for end in [&skirt.bottom, &skirt.top] {
        for mitre in [
            end.seam.base_mitre,
            end.seam.skirt_mitre,
            end.seam.cap_mitre,
        ] {
            assert_relative_eq!(mitre.as_degrees(), 18.434_948_8, epsilon = 1e-6);
            assert_relative_eq!(mitre.as_radians().tan(), 1.0 / 3.0, epsilon = 1e-9);
        }
        assert_relative_eq!(end.seam.thicker.as_mm(), 0.0, epsilon = 1e-9);
        // A plumb cut is the pitch from square, a level one the rest of the right angle.
        assert_relative_eq!(end.plumb.as_degrees(), 36.869_897_6, epsilon = 1e-6);
        assert_relative_eq!(end.level.as_degrees(), 53.130_102_4, epsilon = 1e-6);
    }
    // 12 plumb is 9.6 square to a rake of four in five.
    assert_relative_eq!(inches(skirt.width), 9.6, epsilon = 1e-9);
    let steep = with(SKIRTS);
    let rake = |degrees: f64| {
        let mut job = steep.clone();
        job.flight.rise = Len::inches(10.25 * degrees.to_radians().tan());
        cut(&job).wall_skirts[0]
            .bottom
            .seam
            .skirt_mitre
            .as_degrees()
    };
    assert_relative_eq!(rake(36.0), 18.0, epsilon = 1e-6);
}

#[test]
fn unequal_base_and_skirt_share_one_seam() {
    let skirt = wall_skirt(
        "boards: (base: (height: \"7\", upper_height: \"6\", thickness: \"1/2\", unequal: Rip)),",
    );
    for (end, base) in [(&skirt.bottom, 7.0), (&skirt.top, 6.0)] {
        let seam = &end.seam;
        // Seen along the seam each board's width is its length times the cosine of its mitre.
        let by = |width: f64, mitre: f64| width / mitre.cos();
        let of_base = by(base, seam.base_mitre.as_radians());
        let of_skirt = by(9.6, seam.skirt_mitre.as_radians());
        assert_relative_eq!(of_base, of_skirt, epsilon = 1e-9);
        assert_relative_eq!(inches(seam.length), of_base, epsilon = 1e-9);
        let turn = (seam.base_mitre + seam.skirt_mitre).as_degrees();
        assert_relative_eq!(turn, 36.869_897_6, epsilon = 1e-6);
        assert_relative_eq!(inches(seam.thicker), 0.25, epsilon = 1e-9);
        assert_eq!(seam.unequal, rakewell::job::Unequal::Rip);
    }
}

#[test]
fn the_cap_above_kick_tips_and_nosings() {
    // Nosings stand an inch before the kicks and an inch above their tips: 4 above the nosings is
    // 4 + 1 + 3/4 above the tips, everywhere on a true stair.
    let skirt = wall_skirt("");
    assert_relative_eq!(inches(skirt.above_tips), 5.75, epsilon = 1e-9);
    let (least, most) = skirt.tips;
    assert_relative_eq!(inches(most.0 - least.0), 0.0, epsilon = 1e-9);
    assert!(skirt.wander.is_none());
}

#[test]
fn one_height_cannot_serve_both_kick_faces() {
    // Kick tips climb from 6 1/2 at the first kick to the upper floor less an inch at the last: a
    // base of 5 1/4 is flush at 5 1/4 - 6 1/2 at the bottom and at 5 1/4 + 1 at the top, a rise
    // apart; half of it is left at each.
    let skirt = wall_skirt(
        "boards: (base: (height: \"5 1/4\", thickness: \"3/4\", bottom_at: 0, top_at: 0)),",
    );
    let caps = |end: &rakewell::setout::boards::SkirtEnd| end.caps.unwrap();
    let (bottom, top) = (caps(&skirt.bottom), caps(&skirt.top));
    assert_relative_eq!(inches(bottom.flush), -1.25, epsilon = 1e-9);
    assert_relative_eq!(inches(top.flush), 6.25, epsilon = 1e-9);
    // As the job has it, 5 3/4: seven too high at the bottom, half an inch too low at the top.
    assert_relative_eq!(inches(bottom.left), 7.0, epsilon = 1e-9);
    assert_relative_eq!(inches(top.left), -0.5, epsilon = 1e-9);
    let best = skirt.best.unwrap();
    assert_relative_eq!(inches(best.above_tips), 2.5, epsilon = 1e-9);
    assert_relative_eq!(inches(best.left), 3.75, epsilon = 1e-9);
    assert_relative_eq!(inches(skirt.bottom.at), 0.0, epsilon = 1e-9);
}

#[test]
fn free_ends_meet_where_the_cap_comes_to_the_base() {
    let skirt = wall_skirt("boards: (base: (height: \"5 1/4\", thickness: \"3/4\")),");
    // The cap stands 12 1/4 above the floor at the first kick, and comes down 3 in 4.
    assert_relative_eq!(inches(skirt.bottom.at), 7.0 / 0.75, epsilon = 1e-9);
    // At the last kick 4 3/4 above the upper floor; half an inch more is 2/3 further on.
    assert_relative_eq!(inches(skirt.top.at), 0.5 / 0.75, epsilon = 1e-9);
    for end in [&skirt.bottom, &skirt.top] {
        let caps = end.caps.unwrap();
        assert_relative_eq!(inches(caps.left), 0.0, epsilon = 1e-9);
        assert!(!caps.fixed);
        assert_relative_eq!(inches(end.plumb_cut), 5.25, epsilon = 1e-9);
    }
    // The lower edge leaves the floor where the cap stands 12 above it: a third of an inch before
    // the kick, so nine inches on from the end.
    assert_relative_eq!(inches(skirt.bottom.level_cut), 9.0, epsilon = 1e-9);
    assert_relative_eq!(inches(skirt.top.level_cut), 0.5 / 0.75, epsilon = 1e-9);
    assert_relative_eq!(inches(skirt.top.heel), 12.0 - 4.75, epsilon = 1e-9);
    let best = skirt.best.unwrap();
    assert_relative_eq!(inches(best.above_tips), 5.75, epsilon = 1e-9);
    assert_relative_eq!(inches(best.left), 0.0, epsilon = 1e-9);
    // The long corner at the foot of the plumb cut below, the one at the head of that above.
    let (run, rise) = (
        inches(skirt.bottom.at) + 130.0 + inches(skirt.top.at),
        105.0 + 5.25,
    );
    let along = run * 0.8 + rise * 0.6;
    assert_relative_eq!(inches(skirt.length), along, epsilon = 1e-9);
}

#[test]
fn too_high_or_too_low_against_the_flight_is_told() {
    let at = |above: &str| {
        let mut job = three_four_five(&format!(
            "{SKIRTS} boards: (base: (height: \"5 1/4\", thickness: \"3/4\")),"
        ));
        job.skirts[1].above = Len::read(above).unwrap();
        cut(&job).wall_skirts[0].clone()
    };
    // 6 in above the nosings is 7 3/4 above the tips: at the last kick 1 1/2 above the base's cap.
    let high = at("6");
    assert_relative_eq!(inches(high.top.caps.unwrap().left), 1.5, epsilon = 1e-9);
    assert_relative_eq!(inches(high.top.at), 0.0, epsilon = 1e-9);
    let best = high.best.unwrap();
    assert_relative_eq!(inches(best.above_tips), 6.25, epsilon = 1e-9);
    assert_relative_eq!(inches(best.above_nosings), 4.5, epsilon = 1e-9);
    assert_relative_eq!(inches(best.left), 0.0, epsilon = 1e-9);
}

fn mitred(kicks: &str) -> OpenSkirtSet {
    let boards = cut(&three_four_five(&format!(
        "{SKIRTS} boards: (mitred: (kicks: {kicks}, level_cut: \"5/8\"),
         kick_leans: [(step: 3, over: \"6\", by: \"1/8\"), (step: 5, over: \"6\", by: \"-1/16\")]),"
    )));
    boards.open_skirts[0].clone()
}

#[test]
fn marks_of_a_mitred_skirt_step_as_the_stair_does() {
    let skirt = mitred("Plumb");
    assert_eq!(skirt.hand, rakewell::job::Hand::Left);
    assert_eq!(skirt.steps.len(), 14);
    for (at, step) in (0_u32..).zip(&skirt.steps) {
        assert_relative_eq!(inches(step.mark), 10.0 * f64::from(at), epsilon = 1e-9);
        let plumb = if at == 0 { 6.5 } else { 7.5 };
        assert_relative_eq!(inches(step.plumb), plumb, epsilon = 1e-9);
        assert_relative_eq!(step.lean.as_degrees(), 0.0, epsilon = 1e-9);
        // Square corner: half a right angle, the inside a thickness behind the mark.
        assert_relative_eq!(step.tilt.as_degrees(), 45.0, epsilon = 1e-9);
        assert_relative_eq!(inches(step.inside), 0.75, epsilon = 1e-9);
        let level = step.level.map(inches);
        assert_eq!(level.is_none(), at == 13);
        assert_relative_eq!(level.unwrap_or(10.0), 10.0, epsilon = 1e-9);
        // The tread's underside bears on the cut, 5/8 above the stringer's point.
        let under = 7.5 * f64::from(at + 1) - 1.0;
        assert_relative_eq!(inches(step.point), under - 0.625, epsilon = 1e-9);
        assert_relative_eq!(
            inches(step.from) + inches(step.plumb),
            under,
            epsilon = 1e-9
        );
    }
}

#[test]
fn against_kicks_that_lean() {
    for (word, policy, share) in [
        ("Plumb", Leaning::Plumb, 0.0),
        ("Split", Leaning::Split, 0.5),
        ("Follow", Leaning::Follow, 1.0),
    ] {
        let skirt = mitred(word);
        assert_eq!(skirt.kicks, policy);
        for (step, lean) in [(3, 0.125 / 6.0), (5, -0.0625 / 6.0), (6, 0.0)] {
            let told = &skirt.steps[step - 1];
            let out = 7.5 * lean;
            assert_relative_eq!(told.lean.as_radians().tan(), lean * share, epsilon = 1e-9);
            assert_relative_eq!(told.kick_lean.as_radians().tan(), lean, epsilon = 1e-9);
            // What the mitre does not take of the lean stands open at its head.
            assert_relative_eq!(inches(told.open_by), out * (1.0 - share), epsilon = 1e-9);
            // The foot stands, so the level cut behind a head that goes up the flight is shorter.
            assert_relative_eq!(
                inches(told.mark),
                10.0 * (step as f64 - 1.0),
                epsilon = 1e-9
            );
            let level = inches(told.level.unwrap());
            assert_relative_eq!(level, 10.0 - out * share, epsilon = 1e-9);
            assert_relative_eq!(told.tilt.as_degrees(), 45.0, epsilon = 1e-9);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]
    #[test]
    fn on_a_true_stair_caps_are_flush_at_both_ends_within_a_rise(
        rise in 6.0..8.25_f64,
        going in 9.0..12.0_f64,
        base in 3.0..9.0_f64,
        above in 0.0..14.0_f64,
    ) {
        let mut job = with(&format!("{SKIRTS} boards: (base: (height: {base}, thickness: 1)),"));
        job.flight.rise = Len::inches(rise);
        job.flight.going = Len::inches(going);
        job.skirts[1].above = Len::inches(above);
        let skirt = &cut(&job).wall_skirts[0];
        let best = skirt.best.unwrap();
        // Between the height that is flush at the first nosing and the one at the last kick there
        // is most of a rise, so that one height always serves.
        prop_assert!(best.left.as_mm() < 1e-9);
        job.skirts[1].above = Len::millimetres(best.above_nosings.as_mm());
        let served = &cut(&job).wall_skirts[0];
        for end in [&served.bottom, &served.top] {
            prop_assert!(end.caps.unwrap().left.as_mm().abs() < 1e-6);
            prop_assert!(end.at.as_mm() > -1e-6);
        }
    }
}
