//! The cut list against the framing square's table, the compound-angle chart, closed forms, and the
//! names of the picture.

use approx::assert_relative_eq;
use nalgebra::{Rotation3, Vector3};
use rakewell::measure::{Angle, Length, Tape};
use rakewell::shop::cuts::{
    CutFor, CutPiece, Detail, Edge, EndOf, PieceKind, Square, Stands, Work, cut_list, upright_cut,
};

use super::{SCENES, STRAIGHT, chain_of, with};

fn piece<'a>(list: &'a [CutPiece], name: &str, kind: PieceKind) -> &'a CutPiece {
    let mut found = list.iter().filter(|piece| piece.kind == kind);
    found
        .find(|piece| piece.members.iter().any(|member| member == name))
        .unwrap()
}

#[test]
fn an_angle_is_set_on_the_square_as_its_table_says() {
    // Slope angles of 3 to 12 in 12, printed at a rafter-table reference page to 0.01 degree.
    let table = [
        14.04, 18.43, 22.62, 26.57, 30.26, 33.69, 36.87, 39.81, 42.51, 45.00,
    ];
    for (rise, degrees) in (3..).zip(table) {
        let set = Square::of(Angle::degrees(degrees), Tape::Sixteenths);
        // 0.006 degree over 12 in is 0.0025 in at most here.
        assert_relative_eq!(set.rise.as_inches(), f64::from(rise), epsilon = 0.003);
        assert_relative_eq!(set.run.as_inches(), 12.0, epsilon = 1e-9);
    }
    // Past 12 in 12 the square is turned round: 18 in 12 (56.310 degrees) is 12 in 8.
    let steep = Square::of(Angle::degrees(56.310), Tape::Sixteenths);
    assert_relative_eq!(steep.rise.as_inches(), 12.0, epsilon = 1e-9);
    assert_relative_eq!(steep.run.as_inches(), 8.0, epsilon = 0.002);
    // On a metric tape in 300 mm: the 3-4-5 triangle is 225 in 300.
    let metric = Square::of(Angle::radians(0.75_f64.atan()), Tape::Millimetres);
    assert_relative_eq!(metric.rise.as_mm(), 225.0, epsilon = 1e-9);
}

/// The starter with newels at known places on a stair of a whole number of inches in 12.
fn pitched(rise: u32) -> String {
    with(
        STRAIGHT,
        &[
            ("rise: \"7 1/2\"", &format!("rise: \"{rise}\"")),
            ("going: \"10 1/4\"", "going: \"12\""),
            ("Displaces(step: 1, balusters: 1)", "At(x: \"-3\")"),
            ("Displaces(step: 13, balusters: 0)", "At(x: \"158\")"),
            ("head: \"200\"", "head: \"300\""),
        ],
    )
}

#[test]
fn a_rail_is_as_long_as_the_squares_table_says() {
    // Length per foot of run, the framing square's table (instructables rafter article, all values;
    // NAVEDTRA 14044 for 7; Griffith, Carpentry, for 6).
    let table = [
        (4, 12.65),
        (5, 13.00),
        (6, 13.42),
        (7, 13.89),
        (8, 14.42),
        (9, 15.00),
        (10, 15.62),
    ];
    // From the uphill face of the lower newel to the downhill face of the upper one.
    let level = 158.0 - 1.75 - (-3.0 + 1.75);
    for (rise, per_foot) in table {
        let chain = chain_of(&pitched(rise));
        let list = cut_list(&chain);
        let rail = piece(&list.pieces, "R1", PieceKind::Rail);
        // Plumb cuts of a rail 2 3/8 in deep put depth x rise / 12 on one edge past the other.
        let shift = 2.375 * f64::from(rise) / 12.0;
        let along = level / 12.0 * per_foot;
        // The table is printed to 0.005 in a foot.
        let off = level / 12.0 * 0.005;
        assert_relative_eq!(rail.long_points.as_inches(), along + shift, epsilon = off);
        assert_relative_eq!(rail.short_points.as_inches(), along - shift, epsilon = off);
        assert_relative_eq!(
            (rail.rough - rail.finished).as_inches(),
            2.0,
            epsilon = 1e-9
        );
        // Between parallel cuts a tape reads the table's length along either edge.
        for edge in rail.edges.unwrap() {
            assert_relative_eq!(edge.as_inches(), along, epsilon = off);
        }
        for (end, long) in rail.ends.iter().zip([Edge::Under, Edge::Top]) {
            let cut = end.cuts[0];
            let set = cut.mitre_square(Tape::Sixteenths);
            assert_relative_eq!(set.rise.as_inches(), f64::from(rise), epsilon = 1e-6);
            assert_eq!((cut.mitre_long, cut.bevel_long), (Some(long), None));
        }
        assert_eq!(rail.work[0], Work::Mitred);
        assert_eq!(rail.ends[0].meets.as_deref(), Some("N1"));
    }
}

#[test]
fn a_leaning_newels_foot_is_cut_as_the_compound_angle_chart_says() {
    // The compound-angle chart printed in several power-saw manuals, to 0.01 degree: pitch of the
    // sides from level, number of sides, mitre, bevel. A side of such a box stood on its corner cut is
    // a newel that leans by 180/n, its face tipped out of plumb.
    let chart = [
        (15.0, 6.0, 29.15, 7.44),
        (30.0, 6.0, 26.57, 14.48),
        (45.0, 6.0, 22.21, 20.70),
        (60.0, 6.0, 16.10, 25.66),
        (15.0, 8.0, 21.81, 5.68),
        (45.0, 8.0, 16.32, 15.70),
    ];
    for (pitch, sides, mitre, bevel) in chart {
        let half = std::f64::consts::PI / sides;
        let corner = Vector3::new(half.cos(), half.sin(), 0.0);
        let stood = Rotation3::rotation_between(&corner, &Vector3::z()).unwrap();
        let tip = Rotation3::from_axis_angle(&Vector3::x_axis(), f64::to_radians(pitch));
        let axis = nalgebra::Unit::new_normalize(stood * Vector3::x());
        assert_relative_eq!(axis.z.acos().to_degrees(), 180.0 / sides, epsilon = 1e-9);
        let face = stood * (tip * Vector3::z());
        let way = Vector3::new(face.x, face.y, 0.0).normalize();
        let stands = Stands {
            axis,
            face: (way, [Edge::Uphill, Edge::Downhill]),
            side: (Vector3::z().cross(&way), [Edge::Left, Edge::Right]),
        };
        for head in [false, true] {
            let cut = upright_cut(&stands, head, &Vector3::z());
            assert!(
                (cut.mitre.as_degrees() - mitre).abs() < 0.006,
                "{pitch} {sides}: {cut:?}"
            );
            assert!(
                (cut.bevel.as_degrees() - bevel).abs() < 0.006,
                "{pitch} {sides}: {cut:?}"
            );
            assert_eq!(cut.work(), Work::Compound);
        }
    }
}

#[test]
fn the_long_edges_are_those_that_geometry_leaves_long() {
    // A post that leans up the flight and towards its left, on a level floor: its foot runs out on
    // the uphill left corner's opposite. By hand: leaning uphill the downhill side is the longer at
    // the foot measured along it from a square head, for its lower corner is further down the post.
    let axis = nalgebra::Unit::new_normalize(Vector3::new(0.1, 0.05, 1.0));
    let stands = Stands {
        axis,
        face: (-Vector3::x(), [Edge::Downhill, Edge::Uphill]),
        side: (Vector3::y(), [Edge::Left, Edge::Right]),
    };
    let foot = upright_cut(&stands, false, &Vector3::z());
    // From the axis: a corner off by `o` square to it reaches the floor after -o.z / axis.z more.
    let reach = |off: Vector3<f64>| {
        let off = off - axis.into_inner() * axis.dot(&off);
        off.z / axis.z
    };
    let uphill = reach(Vector3::x());
    let left = reach(Vector3::y());
    // A corner that lies lower must go less far down to the floor: the higher one is the longer.
    let longer = |reach: f64, here, other| if reach > 0.0 { here } else { other };
    assert_eq!(
        foot.bevel_long,
        Some(longer(uphill, Edge::Uphill, Edge::Downhill))
    );
    assert_eq!(foot.mitre_long, Some(longer(left, Edge::Left, Edge::Right)));
    // At the head it is the other way round.
    let head = upright_cut(&stands, true, &Vector3::z());
    assert_ne!(head.bevel_long, foot.bevel_long);
    assert_ne!(head.mitre_long, foot.mitre_long);
}

#[test]
fn balusters_under_a_straight_rail_by_hand() {
    let chain = chain_of(STRAIGHT);
    let list = cut_list(&chain);
    let slope: f64 = 7.5 / 10.25;
    // The rail's top stands 36 plumb over the nosings, the first of which is 1 in before x = 0.
    let under = |x: f64| 7.5 + (x + 1.0) * slope + 36.0 - 2.375 * slope.hypot(1.0);
    let mut seen = 0;
    for one in &chain.first().setout.balusters {
        let cut = piece(&list.pieces, &one.name, PieceKind::Baluster);
        let (x, top) = (one.foot.x / 25.4, 7.5 * f64::from(one.step));
        // Printed alike, a line's members differ by half a mark's width at most.
        let line = 1.0 / 32.0;
        assert_relative_eq!(
            cut.long_points.as_inches(),
            under(x + 0.625) - top,
            epsilon = line
        );
        assert_relative_eq!(
            cut.short_points.as_inches(),
            under(x - 0.625) - top,
            epsilon = line
        );
        let [foot, head] = &cut.ends;
        assert_eq!(foot.cuts[0].work(), Work::Square);
        assert_relative_eq!(head.cuts[0].mitre.as_radians().tan(), slope, epsilon = 1e-9);
        // A rail that climbs uphill stands higher over the uphill side.
        assert_eq!(head.cuts[0].mitre_long, Some(Edge::Uphill));
        // Peg 3/4 in, seat 1/2 in.
        assert_relative_eq!(
            (cut.finished - cut.long_points).as_inches(),
            1.25,
            epsilon = 1e-9
        );
        seen += 1;
    }
    assert_eq!(seen, 25);
    // On a true stair all first ones of a tread are alike, and all second ones: two lines.
    let lines: Vec<&CutPiece> = list
        .pieces
        .iter()
        .filter(|piece| piece.kind == PieceKind::Baluster)
        .collect();
    assert_eq!(lines.len(), 2);
    assert_eq!(lines.iter().map(|line| line.quantity).sum::<u32>(), 25);
    assert_eq!(
        lines.iter().map(|line| line.members.len()).sum::<usize>(),
        25
    );
}

#[test]
fn a_skirts_seam_is_half_the_pitch() {
    // bobvila.com forum 7132: half of the turn each. At 7 1/2 in 10, a 3-4-5 triangle, half the angle
    // is 18.4349 degrees and its cut runs 1 in 3: 4 in 12 on the square.
    let text = with(
        STRAIGHT,
        &[
            ("going: \"10 1/4\"", "going: \"10\""),
            (
                "    stringers: [",
                "    skirts: [(name: \"Q2\", side: Wall, thickness: \"3/4\", above: \"3 1/2\", \
                 width: \"14\")],\n    stringers: [",
            ),
        ],
    );
    let list = cut_list(&chain_of(&text));
    let skirt = piece(&list.pieces, "Q2", PieceKind::WallSkirt);
    for end in &skirt.ends {
        let cut = |what: CutFor| end.cuts.iter().find(|cut| cut.what == what).unwrap();
        let seam = cut(CutFor::Seam);
        assert_relative_eq!(seam.mitre.as_degrees(), 18.4349, epsilon = 1e-4);
        let set = seam.mitre_square(Tape::Sixteenths);
        assert_relative_eq!(set.rise.as_inches(), 4.0, epsilon = 1e-9);
        // Plumb cuts at 9 in 12, level ones at 12 in 9.
        let plumb = cut(CutFor::Plumb).mitre_square(Tape::Sixteenths);
        assert_relative_eq!(plumb.rise.as_inches(), 9.0, epsilon = 1e-9);
    }
    let level = skirt.ends[0]
        .cuts
        .iter()
        .find(|cut| cut.what == CutFor::Level);
    let level = level.unwrap().mitre_square(Tape::Sixteenths);
    assert_relative_eq!(level.rise.as_inches(), 12.0, epsilon = 1e-9);
    assert_relative_eq!(level.run.as_inches(), 9.0, epsilon = 1e-9);
}

/// A lower newel that leans down the flight by 1 in 10 under a rail of 6 in 12, by elementary geometry:
/// a face that leans by t off plumb towards the rail's foot meets the underside further down the rail
/// than the top by the depth times tan(p - t), p being the pitch; a plumb face by the depth times tan p.
#[test]
fn a_rail_at_a_leaning_newel_is_told_along_both_edges() {
    let text = with(
        &pitched(6),
        &[(
            "name: \"N1\",\n",
            "name: \"N1\", lean: (up_flight: \"-1\", over: \"10\"),\n",
        )],
    );
    let chain = chain_of(&text);
    let list = cut_list(&chain);
    let rail = piece(&list.pieces, "R1", PieceKind::Rail);
    let [top, under] = rail.edges.unwrap().map(Length::as_inches);
    let (pitch, lean) = (0.5_f64.atan(), 0.1_f64.atan());
    let depth = 2.375;
    let lower = depth * (pitch - lean).tan();
    let upper = depth * pitch.tan();
    assert_relative_eq!(under - top, lower - upper, epsilon = 1e-6);
}

/// Blocks that the newels of every scene need, by the sheet that each is knifed by: those of later
/// runs too.
#[test]
fn every_block_that_a_newel_needs_in_any_run_is_cut() {
    let mut later = 0;
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let needed: usize = chain
            .runs
            .iter()
            .flat_map(|run| run.setout.all_newels())
            .map(|newel| newel.needs.len())
            .sum();
        let given = chain.runs.iter().flat_map(|run| &run.setout.given);
        later += given.map(|newel| newel.needs.len()).sum::<usize>();
        let list = cut_list(&chain);
        let blocks = list
            .pieces
            .iter()
            .filter(|one| one.kind == PieceKind::Block);
        let blocks: u32 = blocks.map(|one| one.quantity).sum();
        assert_eq!(blocks as usize, needed, "{scene}");
    }
    assert!(later > 0);
}

#[test]
fn pieces_of_an_eased_rail_add_up() {
    let (_, text) = SCENES
        .iter()
        .find(|(name, _)| *name == "over-post")
        .unwrap();
    let chain = chain_of(text);
    let list = cut_list(&chain);
    let rail = &chain.first().setout.rail;
    assert!(!rail.fittings.is_empty());
    let mut bends = 0;
    for one in list.of(&rail.name) {
        if let Detail::Bend {
            radius,
            turn,
            tangent,
        } = one.detail
        {
            // An arc tangent to both lines: R tan(turn / 2) to their corner, R turn long.
            let half = (turn.as_radians() / 2.0).tan();
            assert_relative_eq!(tangent.as_mm(), radius.as_mm() * half, epsilon = 1e-9);
            assert_relative_eq!(
                one.long_points.as_mm(),
                radius.as_mm() * turn.as_radians(),
                epsilon = 1e-9
            );
            bends += one.quantity;
        }
    }
    assert!(bends > 0);
    // A gooseneck's level piece is mitred to its plumb piece at half a right angle: each loses the rail's
    // depth on its inner side.
    for one in list
        .pieces
        .iter()
        .filter(|one| one.kind == PieceKind::Gooseneck)
    {
        let depth = one.section[1];
        assert_relative_eq!(
            (one.long_points - one.short_points).as_mm(),
            depth.as_mm(),
            epsilon = 1e-6
        );
    }
}

#[test]
fn every_name_is_a_parts_in_the_picture_and_every_part_that_is_cut_is_there() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let list = cut_list(&chain);
        assert!(!list.pieces.is_empty(), "{scene}");
        let mut parts: Vec<&str> = chain
            .solids
            .parts
            .iter()
            .map(|part| part.name.as_str())
            .collect();
        parts.sort_unstable();
        for piece in &list.pieces {
            for name in &piece.members {
                assert!(
                    parts.binary_search(&name.as_str()).is_ok(),
                    "{scene}: {name} of {:?} is no part",
                    piece.kind
                );
            }
            assert!(
                piece.long_points >= piece.short_points,
                "{scene}: {piece:?}"
            );
            assert!(piece.rough >= piece.long_points, "{scene}: {piece:?}");
            assert!(piece.short_points > Length::ZERO, "{scene}: {piece:?}");
            assert!(piece.quantity > 0 && !piece.work.is_empty());
        }
        for run in &chain.runs {
            let balusters = run.setout.balusters.iter().map(|one| &one.name);
            let newels = run.setout.newels.iter().map(|one| &one.name);
            for name in balusters.chain(newels) {
                assert!(list.of(name).next().is_some(), "{scene}: {name} is not cut");
            }
        }
        // Sorted by the work.
        let works: Vec<&Vec<Work>> = list.pieces.iter().map(|piece| &piece.work).collect();
        assert!(works.is_sorted(), "{scene}");
    }
}

#[test]
fn what_a_notch_takes_is_told_where_it_is_cut() {
    let chain = chain_of(SCENES[15].1);
    let list = cut_list(&chain);
    // Quarry Lane's N1 takes the first baluster of tread 1: 2 in from the nosing (overhang 3/4 in and
    // 1 1/4 in behind the kick's face), right through the kick of 3/4 in.
    let tread = piece(&list.pieces, "T1", PieceKind::Tread);
    let notch = &tread.notches[0];
    assert_eq!(notch.newel, "N1");
    assert_eq!(notch.reaches[0].0, Edge::Nosing);
    assert_relative_eq!(notch.reaches[0].1.as_inches(), 2.0, epsilon = 1e-6);
    let kick = piece(&list.pieces, "K1", PieceKind::Kick);
    assert_relative_eq!(kick.notches[0].deep.as_inches(), 0.75, epsilon = 1e-6);
    assert!(kick.work.contains(&Work::Notched) && tread.work.contains(&Work::Notched));
    assert!(
        piece(&list.pieces, "Q1", PieceKind::OpenSkirt)
            .work
            .contains(&Work::Notched)
    );
    // The blocks that it needs are cut too.
    let blocks = list
        .pieces
        .iter()
        .filter(|one| one.kind == PieceKind::Block);
    assert_eq!(blocks.map(|one| one.quantity).sum::<u32>(), 2);
    // The rail lands on a rosette, cut to the wall that leans.
    let rail = piece(&list.pieces, "R1", PieceKind::Rail);
    assert_eq!(rail.ends[1].end, EndOf::Upper);
    assert_eq!(rail.ends[1].meets.as_deref(), Some("rosette on W2"));
    assert_eq!(
        piece(&list.pieces, "rosette on W2", PieceKind::Rosette).quantity,
        1
    );
}
