//! Limits of error of tapes and lasers, and the critical value of the test, against what is
//! published.

use rakewell::job::{TapeClass, Tool};
use rakewell::measure::Length;
use rakewell::survey::{CRITICAL, TapeEnds, survey, tape_limit};
use serde_json::{Value, json};

use super::job_of;

/// Share of the standard normal distribution outside of +-z, by Simpson's rule on its density.
fn outside(z: f64) -> f64 {
    let density = |x: f64| (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt();
    let (pieces, mut sum) = (2000, density(0.0) + density(z));
    let step = z / f64::from(pieces);
    for at in 1..pieces {
        let weight = if at % 2 == 1 { 4.0 } else { 2.0 };
        sum += weight * density(f64::from(at) * step);
    }
    1.0 - 2.0 * sum * step / 3.0
}

/// Percentage points of the normal distribution as any table prints them (NIST/SEMATECH e-Handbook
/// 1.3.6.7.1; the digits from memory): two-sided 5 %, 1 %, 0.1 %.
#[test]
fn the_critical_value_is_the_two_sided_one_in_a_thousand() {
    for (z, share) in [(1.9600, 0.05), (2.5758, 0.01), (3.2905, 0.001)] {
        let off = (outside(z) - share).abs();
        assert!(off < 1e-5, "{z}: off by {off}");
    }
    // Baarda (1968) rounds 3.2905 to 3.29.
    assert!((CRITICAL - 3.2905).abs() < 0.0006);
    assert!((outside(CRITICAL) - 0.001).abs() < 0.000_005);
}

#[track_caller]
fn limit(class: TapeClass, length: Length, between: TapeEnds, published: Length) {
    let found = tape_limit(class, length, between);
    let off = (found - published).abs().as_mm();
    assert!(
        off < 1e-12,
        "{class:?} {length:?}: {found:?}, published {published:?}"
    );
}

/// Directive 2014/32/EU, Annex X (MI-008), chapter I: a + b L mm with L in metres rounded up; class
/// I 0.1, 0.1; II 0.3, 0.2; III 0.6, 0.4; where an end is a hook or surface plus c: 0.1, 0.2, 0.3
/// (read in the UK's transposition, SI 2016/1153, schedule 1I).
#[test]
fn tapes_have_the_limits_of_the_directive() {
    use TapeClass::{I, II, III};
    use TapeEnds::{Hook, Marks};
    let mm = Length::mm;
    limit(II, mm(2300.0), Marks, mm(0.9));
    limit(II, mm(3000.0), Marks, mm(0.9));
    limit(II, mm(7200.0), Marks, mm(1.9));
    limit(I, mm(5000.0), Hook, mm(0.7));
    for (class, at_three, with_hook) in [(I, 0.4, 0.5), (II, 0.9, 1.1), (III, 1.8, 2.1)] {
        limit(class, mm(3000.0), Marks, mm(at_three));
        limit(class, mm(3000.0), Hook, mm(with_hook));
    }
    for (class, at_eight) in [(I, 0.9), (II, 1.9), (III, 3.8)] {
        limit(class, mm(8000.0), Marks, mm(at_eight));
    }
}

/// NIST Handbook 44, section 5.52, table of metal tapes: to 6 ft 1/32 in, to 30 ft 1/16, to 55 ft
/// 1/8, to 80 ft 3/16, to 100 ft 1/4.
#[test]
fn american_tapes_have_the_limits_of_handbook_44() {
    let feet = |feet: f64| Length::inches(12.0 * feet);
    for (long, published) in [
        (6.0, 1.0 / 32.0),
        (7.0, 1.0 / 16.0),
        (30.0, 1.0 / 16.0),
        (31.0, 1.0 / 8.0),
        (56.0, 3.0 / 16.0),
        (100.0, 0.25),
    ] {
        for between in [TapeEnds::Marks, TapeEnds::Hook] {
            limit(
                TapeClass::Handbook44,
                feet(long),
                between,
                Length::inches(published),
            );
        }
    }
}

/// A line laser's field check, as makers print it: turned about between two walls, the allowed gap
/// is twice the distance times the accuracy; 5 m at 0.3 mm/m give 3 mm.
#[test]
fn a_line_laser_is_taken_to_be_as_good_as_its_field_check_asks() {
    let laser: Tool = serde_json::from_value(json!({ "Laser": {} })).expect("a tool");
    let Tool::Laser { off, over } = laser else {
        panic!("a laser was asked for")
    };
    let gap = 2.0 * 5000.0 * off.mm() / over.mm();
    assert!((gap - 3.0).abs() < 1e-12, "{gap}");
}

/// The standard uncertainty of one reading.
fn sd(reading: &Value, instruments: &Value) -> f64 {
    let flight = json!({ "readings": [reading], "count": 16 });
    survey(&job_of(&flight, &json!({ "instruments": instruments }))).readings[0].sd
}

/// A limit is a rectangular distribution: its standard deviation is the limit over the square root
/// of three (JCGM 100:2008, 4.3.7); so is half a mark (4.3.7 again, and F.2.2.1 on resolution).
#[test]
fn a_reading_is_as_sure_as_its_tool() {
    let tools = json!([
        { "name": "T1", "is": { "Tape": { "class": "I", "mark": 1 } } },
        { "name": "D1", "is": { "Distance": { "off": 2 } } },
        { "name": "L1", "is": { "Level": { "off": 0.5, "over": 1000 } } },
    ]);
    let third = 3f64.sqrt();
    let near = |ours: f64, expected: f64| {
        assert!(
            (ours - expected).abs() < 1e-12,
            "{ours}, expected {expected}"
        );
    };
    let rise = |by: &str| json!({ "TotalRise": { "is": 2900, "by": by } });
    // Class I at 3 m with the hook: 0.5 mm; and half of a mark of 1 mm.
    near(sd(&rise("T1"), &tools), (0.5 / third).hypot(0.5 / third));
    near(sd(&rise("D1"), &tools), 2.0 / third);
    // A reading's own figure goes before its tool's.
    let own = json!({ "TotalRise": { "is": 2900, "by": "D1", "sd": 0.25 } });
    near(sd(&own, &tools), 0.25);
    // Half a millimetre in a metre over a tread of 950 mm, and the mark of the job's tape.
    let level = json!({ "Level": { "step": 2, "is": 3, "high": "Open", "by": "L1" } });
    let mark = job_of(&json!({}), &json!({})).tape.mark().as_mm();
    near(
        sd(&level, &tools),
        (0.475 / third).hypot(mark / 2.0 / third),
    );
}
