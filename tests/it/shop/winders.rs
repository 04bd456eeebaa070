//! Winders at the saw: closed forms, and the solid beside the piece.

use approx::assert_relative_eq;
use rakewell::measure::Length;
use rakewell::publish::shop::untold_words;
use rakewell::shop::cuts::{CutPiece, Detail, Edge, PieceKind, WinderEdge, cut_list};
use rakewell::shop::hours::hours;
use rakewell::shop::marks::marks;
use rakewell::shop::parts::parts;
use rakewell::shop::stock::{boards_for_width, glue_ups};
use rakewell::shop::templates::{StrokeKind, TemplateKind, templates};
use rakewell::solids::PartKind;

use super::{SCENES, chain_of, with};

const WINDERS: &str = SCENES[13].1;

fn edges(piece: &CutPiece) -> &[WinderEdge] {
    match &piece.detail {
        Detail::Winder { edges, .. } => edges,
        other => panic!("{other:?}"),
    }
}

fn winder<'a>(list: &'a [CutPiece], name: &str) -> &'a CutPiece {
    let mut found = list.iter().filter(|one| one.kind == PieceKind::Winder);
    found.find(|one| one.members == [name]).unwrap()
}

// The scene's own numbers: a newel of 125 on the centre, a clear width of 777.5, nosings of 20. The
// wall stands 62.5 + 777.5 = 840 out. The first kite lies between the nosing 20 before the centre and
// the kick at half a right angle, which runs from the newel's corner to the walls': a side of 840 + 20
// along the wall, 62.5 + 20 along the newel, and (840 - 62.5) sqrt 2 along the kick. Elementary
// geometry.
#[test]
fn a_kite_by_hand() {
    let chain = chain_of(WINDERS);
    let list = cut_list(&chain);
    let first = winder(&list.pieces, "W.T1");
    let told: Vec<(Edge, f64, f64)> = edges(first)
        .iter()
        .map(|one| (one.edge, one.length.as_mm(), one.corner.as_degrees()))
        .collect();
    let wanted = [
        (Edge::Nosing, 777.5, 90.0),
        (Edge::Wide, 860.0, 90.0),
        (Edge::Back, 777.5 * 2.0_f64.sqrt(), 45.0),
        (Edge::Narrow, 82.5, 135.0),
    ];
    assert_eq!(told.len(), wanted.len());
    for (told, wanted) in told.iter().zip(wanted) {
        assert_eq!(told.0, wanted.0);
        assert_relative_eq!(told.1, wanted.1, epsilon = 1e-9);
        assert_relative_eq!(told.2, wanted.2, epsilon = 1e-9);
    }
    // From square across the nosing: none at the wall, half a right angle at the kick.
    let saws: Vec<f64> = edges(first)
        .iter()
        .map(|one| one.cut.mitre.as_degrees())
        .collect();
    for (found, wanted) in saws.iter().zip([0.0, 0.0, 45.0, 45.0]) {
        assert_relative_eq!(*found, wanted, epsilon = 1e-9);
    }
    let meets: Vec<Option<&str>> = edges(first)
        .iter()
        .map(|one| one.meets.as_deref())
        .collect();
    assert_eq!(meets, [None, Some("W1"), Some("W.K2"), Some("N2")]);
    // The second begins 20 square before that kick: its nosing runs into the newel's first face
    // 20 sqrt 2 before the corner, and it goes round that corner and the walls'.
    let second = winder(&list.pieces, "W.T2");
    let corners: Vec<f64> = edges(second)
        .iter()
        .map(|one| one.corner.as_degrees())
        .collect();
    for (found, wanted) in corners.iter().zip([45.0, 135.0, 90.0, 90.0, 90.0, 270.0]) {
        assert_relative_eq!(*found, wanted, epsilon = 1e-9);
    }
    assert_relative_eq!(
        edges(second)[5].length.as_mm(),
        20.0 * 2.0_f64.sqrt(),
        epsilon = 1e-9
    );
    assert_eq!(edges(second)[3].meets.as_deref(), Some("2.K1"));
    // Cut from a board whose grain runs along the nosing: 777.5 by 860, and what blanks are over.
    assert_relative_eq!(first.long_points.as_mm(), 777.5, epsilon = 1e-9);
    assert!(first.rough.as_mm() >= 777.5 + 12.0);
}

// The kick at half a right angle runs from the newel's corner to the walls': (840 - 62.5) sqrt 2 on its
// face. Its hidden face, 12 behind, is the same line moved square: it ends 12 further along at the
// walls, as far short at the newel, and both ends are bevelled half a right angle.
#[test]
fn a_winders_kick_by_hand() {
    let chain = chain_of(WINDERS);
    let list = cut_list(&chain);
    let kick = list
        .of("W.K2")
        .find(|one| one.kind == PieceKind::Kick)
        .unwrap();
    let face = 777.5 * 2.0_f64.sqrt();
    let Detail::Kick {
        widths, heights, ..
    } = kick.detail
    else {
        panic!("{kick:?}")
    };
    assert_relative_eq!(widths[0].as_mm(), face, epsilon = 1e-9);
    assert_relative_eq!(heights[0].as_mm(), 195.0, epsilon = 1e-9);
    for end in &kick.ends {
        assert_relative_eq!(end.cuts[0].bevel.as_degrees(), 45.0, epsilon = 1e-9);
        assert_relative_eq!(end.cuts[0].mitre.as_degrees(), 0.0, epsilon = 1e-9);
    }
    let meets: Vec<Option<&str>> = kick.ends.iter().map(|end| end.meets.as_deref()).collect();
    assert_eq!(meets[0], Some("N2"));
    assert!(matches!(meets[1], Some("W1" | "W2")), "{meets:?}");
}

// A wall read 6 in from its line everywhere stands 6 within every winder that it closes in.
#[test]
fn a_wall_off_its_line_is_told_at_the_wide_end() {
    let text = WINDERS
        .replace(
            "Offset(along: \"800\", up: \"1000\", is: \"0\")",
            "Offset(along: \"800\", up: \"1000\", is: \"6\", sd: \"0.01 mm\")",
        )
        .replace(
            "Offset(along: \"2800\", up: \"2400\", is: \"0\")",
            "Offset(along: \"2800\", up: \"2400\", is: \"6\", sd: \"0.01 mm\")",
        );
    assert_ne!(text, WINDERS);
    let chain = chain_of(&text);
    let list = cut_list(&chain);
    let side = &edges(winder(&list.pieces, "W.T1"))[1];
    assert_eq!(side.meets.as_deref(), Some("W1"));
    for stands in side.stands.unwrap() {
        // Between the readings the wall's own drift is free: within a millimetre of them.
        assert_relative_eq!(stands.as_mm(), -6.0, epsilon = 1.0);
    }
    let plain = chain_of(WINDERS);
    let list = cut_list(&plain);
    let side = &edges(winder(&list.pieces, "W.T1"))[1];
    for stands in side.stands.unwrap() {
        assert_relative_eq!(stands.as_mm(), 0.0, epsilon = 1e-6);
    }
}

#[test]
fn nothing_of_the_winders_is_left_untold() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let list = cut_list(&chain);
        assert!(list.untold.is_empty(), "{scene}: {:?}", list.untold);
        assert_eq!(untold_words(&list.untold), None);
    }
    let chain = chain_of(WINDERS);
    let told = hours(&chain, &chain.first().run.job);
    for name in ["W.T1", "W.T2", "W.K2"] {
        assert!(
            told.lines
                .iter()
                .any(|line| line.on.contains(&name.to_owned()))
        );
    }
}

// The solid is the piece: its volume is the area of the show face, plumb, times the thickness.
#[test]
fn a_winders_solid_is_what_is_cut() {
    let crooked = with(
        WINDERS,
        &[(
            "tread_thickness: \"25\",\n                kick_thickness: \"12\",\n                readings: [],\n            ),\n        ),\n        (\n            name: \"2\"",
            "tread_thickness: \"25\",\n                kick_thickness: \"12\",\n                readings: [Level(step: 1, is: \"9\", high: Wide), Turn(step: 2, is: \"43.5 deg\")],\n            ),\n        ),\n        (\n            name: \"2\"",
        )],
    );
    for text in [WINDERS, &crooked] {
        let chain = chain_of(text);
        let list = cut_list(&chain);
        for part in parts(&chain) {
            if part.kind != PartKind::Tread || !part.name.starts_with("W.") {
                continue;
            }
            let piece = winder(&list.pieces, &part.name);
            let Detail::Winder { area_mm2, .. } = piece.detail else {
                panic!("{piece:?}")
            };
            let turn = &chain.runs[1].turns[0];
            let number: usize = part.name[3..].parse().unwrap();
            let climb = turn.site.treads[number - 1].climb.norm();
            let level = area_mm2 / climb.hypot(1.0);
            assert_relative_eq!(part.volume, level * 25.0, max_relative = 1e-9);
        }
    }
}

/// The same turn about a square well of 200 whose middle stands 160 out from the baluster line, so that
/// its face lies 60 out as the treads' ends do; the newel at the head of the first rail stands 200 past
/// the last kick, within the turn.
fn about_a_well() -> String {
    with(
        WINDERS,
        &[
            ("x: \"1500\", y: \"0\"", "x: \"1700\", y: \"0\""),
            ("Kite(newel: \"125\")", "Tapered(well: Square(\"200\"))"),
            (
                "starts: (past: \"0\", left: \"0\")",
                "starts: (past: \"0\", left: \"160\")",
            ),
            ("spacing: PerTread(count: 2)", "spacing: AlongRail()"),
            (
                "stands: Displaces(step: 1, balusters: 1)",
                "stands: At(x: \"30\", y: \"0\")",
            ),
        ],
    )
}

// By hand: the nosing stands 20 before the kick at 1500, the well's face 60 out from the line.
#[test]
fn what_stands_on_a_winder_is_marked_from_its_own_edges() {
    let chain = chain_of(&about_a_well());
    let balusters = chain.runs[0].setout.balusters.iter();
    let on: Vec<_> = balusters.filter(|one| one.step == 7).collect();
    assert!(!on.is_empty(), "no baluster stands on the winder");
    let told = marks(&chain);
    let mut treads = told.runs[0].treads.iter();
    let tread = treads.find(|one| one.part == "W.T1").unwrap();
    assert_eq!(tread.marks.len(), on.len());
    for (mark, baluster) in tread.marks.iter().zip(&on) {
        let along = baluster.foot.x - 1480.0;
        assert_relative_eq!(mark.along.1.as_mm(), along, epsilon = 1e-6);
        assert_relative_eq!(mark.across.1.as_mm(), 60.0, epsilon = 1e-6);
    }
    let list = cut_list(&chain);
    let piece = winder(&list.pieces, "W.T1");
    assert_eq!(piece.bores.len(), 1);
    assert_eq!(piece.bores[0].number as usize, on.len());
    assert_eq!(piece.bores[0].railing, "R1");
    let drawn = templates(&chain).into_iter();
    let drawn: Vec<_> = drawn.filter(|one| one.part == "W.T1").collect();
    assert_eq!(drawn.len(), 1);
    assert_eq!(drawn[0].bores.len(), on.len());
}

// The second kick runs at half a right angle from the well's corner at (1600, 60): before it lies what
// has x + y under 1660. The newel of 125 stands about (1700, 0), its nearest corner at (1637.5, -62.5):
// what it takes out of the first winder is a triangle with two sides of 1660 - 1575 = 85, which reaches
// back to 1722.5, 242.5 behind the nosing, and 122.5 in from the well. Elementary geometry.
#[test]
fn a_newel_within_a_turn_is_notched_into_its_winders() {
    let chain = chain_of(&about_a_well());
    let list = cut_list(&chain);
    let notch = &winder(&list.pieces, "W.T1").notches[0];
    assert_eq!(notch.newel, "N2");
    let mut sides: Vec<f64> = notch.sides.iter().map(|side| side.as_mm()).collect();
    sides.sort_by(f64::total_cmp);
    assert_eq!(sides.len(), 3);
    for (side, wanted) in sides.iter().zip([85.0, 85.0, 85.0 * 2.0_f64.sqrt()]) {
        assert_relative_eq!(*side, wanted, epsilon = 1e-6);
    }
    let [(first, back), (second, across)] = notch.reaches;
    assert_eq!((first, second), (Edge::Nosing, Edge::Narrow));
    assert_relative_eq!(back.as_mm(), 242.5, epsilon = 1e-6);
    assert_relative_eq!(across.as_mm(), 122.5, epsilon = 1e-6);
}

#[test]
fn a_winder_is_drawn_whole() {
    let chain = chain_of(WINDERS);
    let all = templates(&chain);
    let drawn: Vec<_> = all
        .iter()
        .filter(|one| one.kind == TemplateKind::Winder)
        .collect();
    assert_eq!(drawn.len(), 2);
    let list = cut_list(&chain);
    for one in drawn {
        let sides = edges(winder(&list.pieces, &one.part));
        let round: Length = sides.iter().map(|side| side.length).sum();
        let lines = one.strokes.iter();
        let lines = lines.filter(|line| matches!(line.kind, StrokeKind::Datum | StrokeKind::Cut));
        let drawn: Length = lines.map(rakewell::shop::templates::Stroke::length).sum();
        assert_relative_eq!(drawn.as_mm(), round.as_mm(), epsilon = 1e-9);
    }
}

// Boards of 10 in, 1/8 in off at every joint: two give 19 7/8, three 29 3/4.
#[test]
fn boards_are_counted_over_their_joints() {
    let count = |wide: f64| boards_for_width(Length::inches(wide), Length::inches(10.0));
    for (wide, boards) in [
        (9.0, 1),
        (10.0, 1),
        (10.01, 2),
        (19.875, 2),
        (19.9, 3),
        (29.75, 3),
        (29.8, 4),
    ] {
        assert_eq!(count(wide), boards, "{wide}");
    }
    let chain = chain_of(WINDERS);
    let list = cut_list(&chain);
    for one in glue_ups(&list.pieces) {
        let held =
            one.board * f64::from(one.boards) - Length::inches(0.125) * f64::from(one.boards - 1);
        assert!(held >= one.wide && one.boards > 1, "{one:?}");
        assert!(one.area_mm2 < one.blank_area_mm2());
    }
}

// The solid of a tread is the tread that is cut: its longest extent is the finished length, to 1/64 in.
// A tread with a rounded end that reaches past the others is longer by the round.
#[test]
fn a_treads_solid_is_as_long_as_the_piece() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let list = cut_list(&chain);
        for part in parts(&chain)
            .iter()
            .filter(|one| one.kind == PartKind::Tread)
        {
            let mut cut = list.of(&part.name);
            let cut = cut.find(|one| one.kind == PieceKind::Tread);
            let Some(piece) = cut else { continue };
            let off = (part.length - piece.finished).as_inches().abs();
            assert!(
                off <= 1.0 / 64.0,
                "{scene}: {} is {} in the picture and cut {}",
                part.name,
                part.length.as_inches(),
                piece.finished.as_inches()
            );
        }
    }
}
