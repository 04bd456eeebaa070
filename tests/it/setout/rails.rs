//! Rails over their newels, half newels, the handrail on the wall side: against closed forms.

use approx::assert_relative_eq;
use rakewell::inspect;
use rakewell::job::{Job, Len, RailEnd, RailSystem, WallRailEnd};
use rakewell::measure::{Angle, Length};
use rakewell::rules;
use rakewell::setout::{
    Arrival, Choices, Fitting, FittingKind, SetOut, landing_rise, solve, tangent,
};
use rakewell::site::{self, Site};
use rakewell::survey;

use super::flight::job;

pub(crate) const RAILING: &str = include_str!("railing.ron");

fn len(text: &str) -> Len {
    Len::read(text).unwrap()
}

/// The short flight, changed.
pub(super) fn changed(change: impl Fn(&mut Job)) -> Job {
    let mut job = job(RAILING);
    change(&mut job);
    job
}

pub(super) fn set_out(job: &Job) -> (Site, SetOut) {
    let site = site::build(job, &survey::survey(job).estimates);
    let limits = inspect::limits(&rules::pack(&job.design.rules).unwrap(), job);
    let setout = solve(job, &site, &limits, &Choices::default()).unwrap();
    (site, setout)
}

/// With a second newel on the upper floor, and a level rail at a height over it.
fn to_a_floor(landing: Option<&str>) -> (Site, SetOut) {
    set_out(&changed(|job| {
        let mut upper = job.design.newels[0].clone();
        upper.name = "N2".to_owned();
        upper.stands = rakewell::job::Stands::At {
            x: len("54"),
            y: len("0"),
        };
        job.design.newels.push(upper);
        job.design.rail.upper = RailEnd::Newel("N2".to_owned());
        if let RailSystem::OverPost { landing: of, .. } = &mut job.design.rail.system {
            *of = landing.map(len);
        }
    }))
}

fn of_kind(setout: &SetOut, kind: FittingKind, upper: bool) -> &Fitting {
    let mut fittings = setout.rail.fittings.iter();
    fittings
        .find(|one| one.kind == kind && one.upper == upper)
        .unwrap()
}

#[test]
fn a_tangent_is_the_radius_times_the_tangent_of_half_the_turn() {
    // Elementary geometry. 7 1/2 in 10 is a 3-4-5 triangle, whose half angle runs 1 in 3.
    let pitch = Angle::radians(0.75_f64.atan());
    let radius = Length::inches(6.0);
    assert_relative_eq!(tangent(radius, pitch).as_inches(), 2.0, epsilon = 1e-12);
    // What is left to plumb is 53.13 degrees, whose half runs 1 in 2.
    let to_plumb = Angle::degrees(90.0) - pitch;
    assert_relative_eq!(tangent(radius, to_plumb).as_inches(), 3.0, epsilon = 1e-12);
}

#[test]
fn an_easing_is_tangent_to_rake_and_level() {
    let (_, setout) = set_out(&changed(|_| ()));
    let rail = &setout.rail;
    let easing = of_kind(&setout, FittingKind::Easing, false);
    let level = of_kind(&setout, FittingKind::Level, false);
    let inches = |mm: f64| mm / 25.4;
    // 3-4-5: the ends stand 6 / 3 from the corner; the arc is 6 times the pitch, 0.6435 rad, long.
    assert_relative_eq!(easing.tangent.as_inches(), 2.0, epsilon = 1e-9);
    assert_relative_eq!(
        easing.length.as_inches(),
        6.0 * 0.75_f64.atan(),
        epsilon = 1e-9
    );
    assert_relative_eq!(easing.turn.as_degrees(), 36.8699, epsilon = 1e-4);
    let centre = easing.centre.unwrap();
    for (end, way) in [
        (easing.start, easing.start_way),
        (easing.end, easing.end_way),
    ] {
        assert_relative_eq!(inches((end - centre).norm()), 6.0, epsilon = 1e-9);
        assert_relative_eq!((end - centre).dot(&way), 0.0, epsilon = 1e-9);
    }
    // It goes on from the straight rail and into the level piece without a kink.
    assert_relative_eq!(easing.start, rail.lower, epsilon = 1e-9);
    let along = (rail.upper - rail.lower).normalize();
    assert_relative_eq!(easing.start_way, -along, epsilon = 1e-9);
    assert_relative_eq!(easing.end_way.z, 0.0, epsilon = 1e-9);
    assert_relative_eq!(level.start, easing.end, epsilon = 1e-9);
    // The level piece: 1 in to the newel's face and 3 1/2 in over it.
    assert_relative_eq!(level.length.as_inches(), 4.5, epsilon = 1e-9);
    assert_relative_eq!(level.end.z, level.start.z, epsilon = 1e-9);
    // Common practice: the newel's face stands 1 1/4 in behind the first kick, so the corner of rake
    // and level stands 1 1/4 + 1 + 2 in behind it, and 3/4 more behind the nosing. The rake is there
    // 36 + 3/4 * 5 over the nosing, which is 7 1/2 over the floor.
    let over = &rail.over[0];
    assert_relative_eq!(over.over_nosing.as_inches(), 39.75, epsilon = 1e-6);
    assert_relative_eq!(over.over_ground.as_inches(), 47.25, epsilon = 1e-6);
    assert_relative_eq!(over.takes_off.as_inches(), 2.0, epsilon = 1e-9);
    assert_relative_eq!(over.rise.as_inches(), 0.0, epsilon = 1e-12);
    // The newel's head carries the rail's underside.
    let newel = &setout.newels[0];
    assert_relative_eq!(newel.height.as_inches(), 47.25 - 2.375, epsilon = 1e-6);
    assert_relative_eq!(newel.cap.height().as_mm(), 0.0, epsilon = 1e-12);
}

#[test]
fn a_baluster_under_an_easing_reaches_its_underside() {
    // The underside of the bend is a circle about the same centre, the rail's depth further out.
    let (_, setout) = set_out(&changed(|job| {
        job.design.newels[0].stands = rakewell::job::Stands::At {
            x: len("-4"),
            y: len("0"),
        };
        if let RailSystem::OverPost { easing, level, .. } = &mut job.design.rail.system {
            (*easing, *level) = (len("24"), len("2"));
        }
    }));
    let easing = of_kind(&setout, FittingKind::Easing, false);
    let centre = easing.centre.unwrap();
    let radius = (24.0 + 2.375) * 25.4;
    let (low, high) = (easing.end.x + 30.0, easing.start.x - 10.0);
    let under: Vec<_> = setout
        .balusters
        .iter()
        .filter(|one| (low..high).contains(&one.foot.x))
        .collect();
    assert!(!under.is_empty());
    for one in under {
        assert_relative_eq!((one.top - centre).norm(), radius, epsilon = 1e-6);
    }
}

#[test]
fn a_gooseneck_makes_up_the_rise_to_a_level_guard() {
    // The level rail is to stand 42 in over the floor. The plumb piece's face stands the rail's own depth
    // before the newel's face at 54 - 1 3/4; there the rake is 36 + 3/4 times the way from the last
    // nosing, at 50 - 3/4, over the floor.
    let (site, setout) = to_a_floor(Some("42"));
    let at = 54.0 - 1.75 - 2.375;
    let arrives = 36.0 + 0.75 * (at - 49.25);
    let over = setout.rail.over.iter().find(|over| over.upper).unwrap();
    assert_relative_eq!(over.rise.as_inches(), 42.0 - arrives, epsilon = 1e-6);
    assert_relative_eq!(over.takes_off.as_inches(), 3.0, epsilon = 1e-9);
    let plumb = of_kind(&setout, FittingKind::Gooseneck, true);
    // 53.13 degrees from rake to plumb at 6 in: tangents of 3 in.
    assert_relative_eq!(
        plumb.length.as_inches(),
        42.0 - arrives - 3.0,
        epsilon = 1e-6
    );
    assert_relative_eq!(plumb.mitre().as_degrees(), 45.0, epsilon = 1e-9);
    let level = of_kind(&setout, FittingKind::Level, true);
    let floor = site.steps.last().unwrap().height;
    assert_relative_eq!((level.start.z - floor) / 25.4, 42.0, epsilon = 1e-6);
    let newel = &setout.newels[1];
    assert_relative_eq!(newel.height.as_inches(), 42.0 - 2.375, epsilon = 1e-6);
}

#[test]
fn a_rake_that_reaches_the_level_rail_before_the_newel_eases_where_it_does() {
    // 36 1/2 in over the floor is 1/2 in above the rake over the last nosing: 2/3 in past it.
    let (_, setout) = to_a_floor(Some("36 1/2"));
    let over = setout.rail.over.iter().find(|over| over.upper).unwrap();
    assert_relative_eq!(over.rise.as_inches(), 0.0, epsilon = 1e-12);
    let easing = of_kind(&setout, FittingKind::Easing, true);
    let corner = easing.end - easing.end_way * easing.tangent.as_mm();
    assert_relative_eq!(corner.x / 25.4, 49.25 + 0.5 / 0.75, epsilon = 1e-6);
}

#[test]
fn a_gooseneck_without_room_says_what_would_fit() {
    // A rise of about 1 in is less than the 3 in that a 6 in easing takes.
    let job = changed(|job| {
        let mut upper = job.design.newels[0].clone();
        upper.name = "N2".to_owned();
        upper.stands = rakewell::job::Stands::At {
            x: len("54"),
            y: len("0"),
        };
        job.design.newels.push(upper);
        job.design.rail.upper = RailEnd::Newel("N2".to_owned());
        if let RailSystem::OverPost { landing, .. } = &mut job.design.rail.system {
            *landing = Some(len("37 1/2"));
        }
    });
    let site = site::build(&job, &survey::survey(&job).estimates);
    let limits = inspect::limits(&rules::pack(&job.design.rules).unwrap(), &job);
    let error = solve(&job, &site, &limits, &Choices::default()).unwrap_err();
    assert_eq!(error.path, "design.rail.system");
    // Rise over tan(53.13 / 2) = 2 rises.
    let rise = 37.5 - (36.0 + 0.75 * (54.0 - 1.75 - 2.375 - 49.25));
    assert!(
        error
            .help
            .contains(&format!("{:.2} in at most fits", rise * 2.0)),
        "{error}"
    );
}

#[test]
fn a_raked_cap_lies_on_the_newel_without_an_easing() {
    let (_, setout) = set_out(&changed(|job| {
        if let RailSystem::OverPost { cap, .. } = &mut job.design.rail.system {
            *cap = rakewell::job::CapPiece::Raked;
        }
    }));
    let piece = of_kind(&setout, FittingKind::Raked, false);
    // 3-4-5: 4 1/2 in level is 5 5/8 along the rake. Its free end is cut plumb, 36.87 off square.
    assert_relative_eq!(piece.length.as_inches(), 4.5 * 1.25, epsilon = 1e-9);
    assert_relative_eq!(piece.mitre().as_degrees(), 36.8699, epsilon = 1e-4);
    // Over the newel's middle the rail is 36 + 3/4 * (1/4 - 1 3/4 + 3/4 + ..) over the nosing; its
    // underside is 2 3/8 * 5/4 lower, plumb.
    let middle = 1.25 - 1.75;
    let top = 7.5 + 36.0 + 0.75 * (middle + 0.75);
    let height = setout.newels[0].height.as_inches();
    assert_relative_eq!(height, top - 2.375 * 1.25, epsilon = 1e-6);
}

#[test]
fn the_rise_at_a_landing_is_what_the_rails_differ_by() {
    let arrival = |height: f64, down: f64, up: f64| Arrival {
        height: Length::inches(height),
        down: Some(Length::inches(down)),
        up: Some(Length::inches(up)),
    };
    // Subtraction; both may move within 34 to 38.
    let rise = landing_rise(&arrival(36.0, 2.0, 2.0), &arrival(43.5, 1.0, 3.0));
    assert_relative_eq!(rise.rise.as_inches(), 7.5, epsilon = 1e-12);
    assert_relative_eq!(rise.least.unwrap().as_inches(), 4.5, epsilon = 1e-12);
    assert_relative_eq!(rise.most.unwrap().as_inches(), 12.5, epsilon = 1e-12);
    let (_, setout) = set_out(&changed(|_| ()));
    let of = Arrival::of(&setout.rail, true, Length::inches(45.0));
    // 36 in wanted in a window of 34 to 38.
    assert_relative_eq!(of.down.unwrap().as_inches(), 2.0, epsilon = 1e-6);
    assert_relative_eq!(of.up.unwrap().as_inches(), 2.0, epsilon = 1e-6);
    let rail = &setout.rail;
    let height = (rail.upper.z / 25.4) - 45.0;
    assert_relative_eq!(of.height.as_inches(), height, epsilon = 1e-9);
}

#[test]
fn a_half_newel_stands_plumb_and_is_scribed_to_its_leaning_wall() {
    let (site, setout) = set_out(&changed(|_| ()));
    let half = &setout.half_newels[0];
    // The wall leans 1/2 in into the room over 48 in: over the half newel's 44 in it comes 44 / 96.
    let expected = 44.0 / 96.0;
    assert_relative_eq!(half.scribe.1.as_inches(), expected, epsilon = 0.02);
    let taper = (half.keeps.0 - half.keeps.1).as_inches();
    assert_relative_eq!(taper, expected, epsilon = 0.02);
    assert_relative_eq!(half.keeps.0.as_inches(), 1.75, epsilon = 0.02);
    // The rail is cut to its plumb face: a plumb cut is the pitch off square.
    let cut = &setout.rail.upper_cut;
    assert_relative_eq!(cut.mitre.as_degrees(), 36.8699, epsilon = 0.01);
    assert_relative_eq!(cut.bevel.as_degrees(), 0.0, epsilon = 0.01);
    assert_relative_eq!(setout.rail.upper.x, half.face.x, epsilon = 1e-6);
    // It stands on the upper floor.
    let floor = site.steps.last().unwrap().height;
    assert_relative_eq!(half.face.z, floor, epsilon = 1e-6);
    let last = setout.gaps.last().unwrap();
    assert_eq!(last.above, half.name);
}

#[test]
fn a_wall_rail_clears_a_flat_wall_evenly_and_returns_square() {
    let (_, setout) = set_out(&changed(|job| {
        for reading in &mut job.walls[0].readings {
            if let rakewell::job::WallReading::Offset { is, .. } = reading {
                *is = len("0");
            }
        }
    }));
    let rail = setout.wall_rail.unwrap();
    assert_relative_eq!(rail.least_clear.0.as_inches(), 1.625, epsilon = 1e-4);
    assert_relative_eq!(rail.most_clear.0.as_inches(), 1.625, epsilon = 1e-4);
    // A raked rail that turns a right angle in plan into a level piece turns a right angle in all:
    // acos(cos pitch cos 90), elementary geometry.
    for one in rail.returns.iter().flatten() {
        assert_relative_eq!(one.mitre.as_degrees(), 45.0, epsilon = 1e-3);
        // From the corner on the rail's middle to the wall, half the rail's width more and less.
        let middle = 1.625 + 1.75 / 2.0;
        assert_relative_eq!(one.long_point.as_inches(), middle + 0.875, epsilon = 1e-3);
        assert_relative_eq!(one.short_point.as_inches(), middle - 0.875, epsilon = 1e-3);
        assert_relative_eq!(one.roll.as_degrees(), 36.8699, epsilon = 1e-3);
        assert_relative_eq!(one.wall_cut.bevel.as_degrees(), 0.0, epsilon = 1e-2);
    }
    // From 2 in before the first nosing to the last: 52 in level is 65 in on a 3-4-5 rake.
    let length = (rail.upper - rail.lower).norm() / 25.4;
    assert_relative_eq!(length, 52.0 * 1.25, epsilon = 1e-3);
    // 6 in from either end, 53 in between: two spaces of at most 32 in.
    let along: Vec<f64> = rail
        .brackets
        .iter()
        .map(|one| one.along.as_inches())
        .collect();
    assert_eq!(along.len(), 3);
    assert_relative_eq!(along[0], 6.0, epsilon = 1e-6);
    assert_relative_eq!(along[1], 32.5, epsilon = 1e-3);
    assert_relative_eq!(along[2], 59.0, epsilon = 1e-3);
    for one in &rail.brackets {
        assert_relative_eq!(one.stand_off.as_inches(), 2.5, epsilon = 1e-3);
    }
}

#[test]
fn a_wall_rail_keeps_its_clearance_from_a_bowed_wall_and_no_line_is_nearer() {
    let (site, setout) = set_out(&changed(|_| ()));
    let rail = setout.wall_rail.unwrap();
    let face = site.wall("W1").unwrap();
    let along = rail.upper - rail.lower;
    let level = along.xy().normalize();
    // How far the rail's side stands from the wall, level and square to the rail, along it.
    let clear = |share: f64| {
        let top = rail.lower + along * share;
        [0.0, 0.5, 1.0]
            .map(|down| {
                let z = top.z - down * rail.depth.as_mm() * 1.25;
                let at = nalgebra::Point3::new(top.x, top.y, z);
                let way = nalgebra::Vector3::new(level.y, -level.x, 0.0);
                let (point, _, _) = face.meet(&at, &way).unwrap();
                (point - at).norm() - rail.width.as_mm() / 2.0
            })
            .into_iter()
            .fold(f64::INFINITY, f64::min)
    };
    let clears: Vec<f64> = (0..=400).map(|at| clear(f64::from(at) / 400.0)).collect();
    let wanted = 1.625 * 25.4;
    let least = clears.iter().copied().fold(f64::INFINITY, f64::min);
    assert_relative_eq!(least, wanted, epsilon = 0.05);
    // Of all lines before the wall the nearest is the one whose greatest distance lies between two
    // places where it touches (Chebyshev's alternation), or which touches beside the greatest one's
    // both sides.
    let touches: Vec<usize> = (0..clears.len())
        .filter(|&at| clears[at] < wanted + 0.05)
        .collect();
    let (first, last) = (touches[0], *touches.last().unwrap());
    let most = clears.iter().copied().fold(0.0, f64::max);
    let far: Vec<usize> = (0..clears.len())
        .filter(|&at| clears[at] > most - 0.05)
        .collect();
    let alternates = far.iter().any(|&at| at > first && at < last)
        || touches
            .iter()
            .any(|&at| at > far[0] && at < *far.last().unwrap());
    assert!(alternates, "touches at {touches:?}, far at {far:?}");
    assert!(most > wanted + 1.0, "the wall is bowed");
}

#[test]
fn plain_ends_are_cut_square_and_told() {
    let job = changed(|job| {
        let rail = job.design.wall_rail.as_mut().unwrap();
        rail.lower = WallRailEnd::Plain;
    });
    let (_, setout) = set_out(&job);
    let rail = setout.wall_rail.unwrap();
    assert!(rail.returns[0].is_none() && rail.returns[1].is_some());
    assert_relative_eq!(rail.lower_cut.mitre.as_degrees(), 0.0, epsilon = 1e-9);
    assert_relative_eq!(rail.lower_cut.bevel.as_degrees(), 0.0, epsilon = 1e-9);
}

// 3-4-5. From the newel's face the level piece runs 1 in, then the easing of 24 in turns 0.6435 rad:
// its tangents are 24 / 3 = 8 in, so it ends 1 + 8 + 8 * 0.8 = 15.4 in on, level, and is 24 * 0.6435
// = 15.444 in long. Past it the rake is 5 / 4 of level. On the arc a place u short of its level end
// is 24 asin(u / 24) in on: elementary geometry.
#[test]
fn marks_run_along_the_fittings_and_no_straight_fillet_lies_under_them() {
    let (_, setout) = set_out(&changed(|job| {
        if let RailSystem::OverPost { easing, level, .. } = &mut job.design.rail.system {
            (*easing, *level) = (len("24"), len("1"));
        }
        job.design.rail.plough = Some(rakewell::job::Plough {
            width: len("1 1/4"),
            depth: len("1/4"),
        });
    }));
    let pitch = 0.75_f64.atan();
    let along = |level: f64| {
        if level < 15.4 {
            1.0 + 24.0 * ((level - 1.0) / 24.0).asin()
        } else {
            1.0 + 24.0 * pitch + (level - 15.4) * 1.25
        }
    };
    assert!(setout.marks.len() > 6);
    let face = 1.25;
    for (mark, one) in setout.marks.iter().zip(&setout.balusters) {
        let level = one.foot.x / 25.4 - one.along.as_inches() / 2.0 - face;
        let off = (mark.rake.as_inches() - along(level)).abs();
        assert!(off <= 1.0 / 32.0 + 1e-6, "{}: {off} off", mark.part);
    }
    // The straight rail's underside begins 2 3/8 * 0.6 further up than its top.
    let straight = 1.25 + 15.4 + 2.375 * 0.6;
    let under = |name: &str| {
        let mut all = setout.balusters.iter();
        all.find(|one| one.name == name)
            .map(|one| one.top.x / 25.4 + one.along.as_inches() / 2.0)
    };
    let fillets: Vec<_> = setout
        .fillets
        .iter()
        .filter(|one| one.piece == "R1")
        .collect();
    assert!(!fillets.is_empty());
    for one in fillets {
        assert!(under(&one.below).unwrap() >= straight, "{}", one.below);
    }
}
