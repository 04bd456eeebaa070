//! The fastening schedule: what makes a guard safe has no default, the rest is checked against the
//! wood that is there.

use approx::assert_relative_eq;
use rakewell::job::{AnchorAt, Fastened};
use rakewell::measure::Length;
use rakewell::shop::cuts::{PieceKind, cut_list};
use rakewell::shop::fastening::{
    DrivenKind, DrivenSet, HeldBy, JointFault, JointKind, JointLine, Schedule, schedule,
};

use super::{SCENES, STRAIGHT, chain_of, with};

const SAFE: [AnchorAt; 4] = [
    AnchorAt::NewelBase,
    AnchorAt::RailToNewel,
    AnchorAt::RailToWall,
    AnchorAt::BalusterEnds,
];

fn of(schedule: &Schedule, kind: JointKind) -> Vec<&JointLine> {
    let lines = schedule.lines.iter();
    lines.filter(|line| line.kind == kind).collect()
}

fn driven(line: &JointLine) -> &DrivenSet {
    let HeldBy::Driven(set) = &line.held_by else {
        panic!("{line:?} is not driven");
    };
    set
}

#[test]
fn no_anchor_is_made_up() {
    let mut seen = [0; 4];
    for (scene, text) in SCENES {
        let told = schedule(&chain_of(text));
        for (count, at) in seen.iter_mut().zip(SAFE) {
            for line in of(&told, JointKind::Anchor(at)) {
                assert_eq!(line.held_by, HeldBy::NotShown, "{scene}: {line:?}");
                *count += line.joints.len();
            }
        }
        // And nothing else stands in for one.
        for line in &told.lines {
            let usual = matches!(line.kind, JointKind::Usual(_));
            assert_eq!(
                usual,
                matches!(line.held_by, HeldBy::Driven(_)),
                "{scene}: {line:?}"
            );
        }
    }
    assert!(seen.iter().all(|&count| count > 0), "{seen:?}");
}

#[test]
fn an_anchor_holds_the_joints_that_it_is_drawn_for_and_no_other() {
    let anchored = |at: &str| {
        let anchor = format!(
            "anchors: [(what: Top, detail: \"two bolts, sheet 4\", source: \"the engineer\", \
             carries: \"250 lb\"{at})],\n    built: ["
        );
        schedule(&chain_of(&with(STRAIGHT, &[("built: [", &anchor)])))
    };
    let told = anchored(", at: [NewelBase]");
    for line in of(&told, JointKind::Anchor(AnchorAt::NewelBase)) {
        let HeldBy::Anchors(details) = &line.held_by else {
            panic!("{line:?}");
        };
        assert_eq!(details[0].detail, "two bolts, sheet 4");
        assert_eq!(
            (details[0].source.as_str(), details[0].as_typed.as_str()),
            ("the engineer", "250 lb")
        );
        assert!(details[0].for_this);
    }
    for at in [AnchorAt::RailToNewel, AnchorAt::BalusterEnds] {
        for line in of(&told, JointKind::Anchor(at)) {
            assert_eq!(line.held_by, HeldBy::NotShown, "{line:?}");
        }
    }
    // Without joints it is told at all of the top's, as stated for the whole; never at the infill's.
    let told = anchored("");
    for at in [AnchorAt::NewelBase, AnchorAt::RailToNewel] {
        for line in of(&told, JointKind::Anchor(at)) {
            assert!(
                matches!(&line.held_by, HeldBy::Anchors(all) if !all[0].for_this),
                "{line:?}"
            );
        }
    }
    for line in of(&told, JointKind::Anchor(AnchorAt::BalusterEnds)) {
        assert_eq!(line.held_by, HeldBy::NotShown);
    }
}

#[test]
fn every_joint_of_the_boards_is_counted() {
    let told = schedule(&chain_of(STRAIGHT));
    let joints = |kind: Fastened| -> usize {
        let lines = of(&told, JointKind::Usual(kind));
        lines.iter().map(|line| line.joints.len()).sum()
    };
    // Thirteen treads and fourteen kicks on two stringers; thirteen kicks stand behind a tread.
    assert_eq!(joints(Fastened::TreadToStringer), 26);
    assert_eq!(joints(Fastened::KickToStringer), 28);
    assert_eq!(joints(Fastened::KickToTread), 13);
    let line = of(&told, JointKind::Usual(Fastened::TreadToStringer))[0];
    let set = driven(line);
    // 2 1/2 in, its head under a plug of 3/8 in in a tread of 1 in: 5/8 through, 1 7/8 in the
    // stringer, whose throat is 5 in.
    assert_relative_eq!(set.through.as_inches(), 0.625, epsilon = 1e-9);
    assert_relative_eq!(set.bite.as_inches(), 1.875, epsilon = 1e-9);
    assert_relative_eq!(set.room.unwrap().as_inches(), 5.0, epsilon = 1e-9);
    assert_eq!((set.each, set.total), (2, 52));
    assert!(line.faults.is_empty() && set.usual);
    // Screws no more than 8 in apart along a kick of 38 in: five spaces, six screws.
    let along = driven(of(&told, JointKind::Usual(Fastened::KickToTread))[0]).each;
    assert_eq!(along, 6);
}

/// A job in millimetres has screws, brads and bits that are sold by the millimetre: diameters of DIN 97
/// wood screws, lengths by 5 mm, bits by half a millimetre (common practice, from memory).
#[test]
fn a_job_in_millimetres_has_metric_screws() {
    let (_, text) = SCENES.iter().find(|(name, _)| *name == "winders").unwrap();
    let told = schedule(&chain_of(text));
    let mut screws = 0;
    for line in &told.lines {
        let HeldBy::Driven(set) = &line.held_by else {
            continue;
        };
        assert!(set.usual);
        let whole = |length: Length, by: f64| {
            let times = length.as_mm() / by;
            (times - times.round()).abs() < 1e-9 && times > 0.5
        };
        assert!(whole(set.length, 5.0), "{set:?}");
        if set.what == DrivenKind::Screw {
            let sold = [3.5, 4.0, 5.0, 6.0];
            assert!(
                sold.iter()
                    .any(|mm| (set.diameter.as_mm() - mm).abs() < 1e-9)
            );
            assert!(whole(set.clear.unwrap(), 0.5) && whole(set.pilot.unwrap(), 0.5));
            assert!(set.pilot.unwrap() < set.diameter && set.clear.unwrap() > set.diameter);
            screws += 1;
        }
    }
    assert!(screws > 0);
}

#[test]
fn plugs_are_cut_for_every_plugged_screw() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let told = schedule(&chain);
        let screws: u32 = told
            .lines
            .iter()
            .filter_map(|line| match &line.held_by {
                HeldBy::Driven(set) if set.plug.is_some() => Some(set.total),
                _ => None,
            })
            .sum();
        let fixings = chain
            .runs
            .iter()
            .flat_map(|run| &run.run.job.design.fixings);
        let fixings = fixings.filter(|fixing| fixing.plug.is_some()).count();
        let list = cut_list(&chain);
        let plugs = list
            .pieces
            .iter()
            .filter(|piece| piece.kind == PieceKind::Plug);
        let plugs: u32 = plugs.map(|piece| piece.quantity).sum();
        assert_eq!(plugs as usize, screws as usize + fixings, "{scene}");
    }
}

#[test]
fn a_skirt_off_its_stringer_has_nothing_behind_it() {
    // Quarry Lane: the skirt's outer face lies under the kicks' ends, 3/4 in in from the least tread
    // end at 2 3/16 in; it is 3/4 in thick, and S1's face stands 1/4 in outside the string.
    let told = schedule(&chain_of(SCENES[15].1));
    let line = of(&told, JointKind::Usual(Fastened::OpenSkirt))[0];
    assert_eq!(line.joints, [("Q1".to_owned(), None)]);
    let JointFault::NothingBehind {
        nearest: Some((part, off)),
    } = &line.faults[0]
    else {
        panic!("{:?}", line.faults);
    };
    assert_eq!(part, "S1");
    let by_hand = 2.0 + 3.0 / 16.0 - 0.75 - 0.75 - 0.25;
    // The survey's adjustment moves what was read by a hair.
    assert_relative_eq!(off.as_inches(), by_hand, epsilon = 0.02);
    assert!(*off > Length::ZERO);
}
