//! Winders at the saw: closed forms, and the solid beside the piece.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::inspect::Kind;
use rakewell::measure::Length;
use rakewell::publish::shop::untold_words;
use rakewell::setout::dry_fit::{Board, Edge as FitEdge, FitSide, KnifeLine};
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
// has x + y under 1660. The newel of 125 stands about (1700, 0) on the first winder, its nearest corner at
// (1637.5, -62.5), where x + y is 1575. The second winder's nosing stands 20 before that kick, at
// x + y = 1660 - 20 sqrt 2: what it takes out of that winder is the newel's square less a triangle with two
// sides of 85 - 20 sqrt 2, and out of the kick, 12 thick, what lies between triangles with sides of 85 and
// 85 + 12 sqrt 2, from the first winder's top to the second's underside, 195 - 25. Elementary geometry.
#[test]
fn a_newel_within_a_turn_is_notched_into_its_winders() {
    let chain = chain_of(&about_a_well());
    let list = cut_list(&chain);
    let root = 2.0_f64.sqrt();
    assert!(winder(&list.pieces, "W.T1").notches.is_empty());
    let notch = &winder(&list.pieces, "W.T2").notches[0];
    assert_eq!(notch.newel, "N2");
    let mut sides: Vec<f64> = notch.sides.iter().map(|side| side.as_mm()).collect();
    sides.sort_by(f64::total_cmp);
    let leg = 85.0 - 20.0 * root;
    let wanted = [125.0 - leg, 125.0 - leg, leg * root, 125.0, 125.0];
    assert_eq!(sides.len(), wanted.len());
    for (side, wanted) in sides.iter().zip(wanted) {
        assert_relative_eq!(*side, wanted, epsilon = 1e-6);
    }
    // Its far corner lies at (1762.5, 62.5).
    let [(first, back), _] = notch.reaches;
    assert_eq!(first, Edge::Nosing);
    assert_relative_eq!(
        back.as_mm(),
        (1825.0 - 1660.0) / root + 20.0,
        epsilon = 1e-6
    );
    let mut kicks = list.of("W.K2");
    let kick = &kicks
        .find(|one| one.kind == PieceKind::Kick)
        .unwrap()
        .notches[0];
    let [(narrow, far), (top, down)] = kick.reaches;
    assert_eq!((narrow, top), (Edge::Narrow, Edge::Top));
    assert_relative_eq!(far.as_mm(), 122.5 * root, epsilon = 1e-6);
    assert_relative_eq!(down.as_mm(), 170.0, epsilon = 1e-6);
    assert_relative_eq!(kick.deep.as_mm(), 12.0, epsilon = 1e-6);
    assert_relative_eq!(kick.remains.as_mm(), 0.0, epsilon = 1e-6);
    assert!(!kick.whole);
}

// What is left of both is what the outlines leave: by the figures above.
#[test]
fn a_notched_winders_solid_has_its_notch() {
    let (cut, whole) = (chain_of(&about_a_well()), chain_of(&elsewhere()));
    let volume = |chain: &Chain, name: &str| {
        let found = parts(chain).into_iter().find(|part| part.name == name);
        found.unwrap().volume
    };
    let taken = |name: &str| volume(&whole, name) - volume(&cut, name);
    let root = 2.0_f64.sqrt();
    let leg = 85.0 - 20.0 * root;
    let tread = 125.0 * 125.0 - leg * leg / 2.0;
    assert_relative_eq!(taken("W.T1"), 0.0, epsilon = 1e-3);
    assert_relative_eq!(taken("W.T2"), tread * 25.0, max_relative = 1e-9);
    let further = 85.0 + 12.0 * root;
    let kick = (further * further - 85.0 * 85.0) / 2.0;
    assert_relative_eq!(taken("W.K2"), kick * 170.0, max_relative = 1e-9);
    // Nothing meets it where it is notched.
    let clashes = cut.inspection.findings.iter();
    let clashes = clashes.filter(|one| one.key.kind == Kind::Clash);
    let met: Vec<_> = clashes
        .filter(|one| one.key.parts.iter().any(|part| part.starts_with("W.")))
        .filter(|one| one.key.parts.iter().any(|part| part == "N2"))
        .collect();
    assert!(met.is_empty(), "{met:?}");
    // Before it is cut the boards are whole, and it goes into just these.
    let uncut = chain::uncut(&cut, "N2");
    let names: Vec<&str> = uncut.iter().map(|one| one.part.name.as_str()).collect();
    assert_eq!(names, ["W.T2", "W.K2"]);
}

// The same lines read from the winders' own edges: the foot on the first winder, whose nosing lies at
// x = 1480, and the notch in the second, whose nosing runs at half a right angle.
#[test]
fn a_newel_within_a_turn_is_set_down_on_its_winders() {
    let chain = chain_of(&about_a_well());
    let fits = chain::dry_fits(&chain, "N2");
    let (_, fit) = fits.iter().find(|(run, _)| *run == 0).unwrap();
    let side =
        |lines: &[KnifeLine], side: FitSide| lines.iter().find(|one| one.side == side).cloned();
    let foot = fit.foot.as_ref().unwrap();
    assert_eq!(foot.part, "W.T1");
    let (edge, off) = side(&foot.lines, FitSide::Downhill).unwrap().off;
    assert_eq!(edge, FitEdge::Nosing);
    for off in off {
        assert_relative_eq!(off.as_mm(), 157.5, epsilon = 1e-6);
    }
    let on: Vec<(&str, Board)> = fit
        .faces
        .iter()
        .map(|face| (face.part.as_str(), face.on))
        .collect();
    assert_eq!(
        on,
        [
            ("W.T2", Board::Top),
            ("W.T2", Board::Nose),
            ("W.K2", Board::Kick)
        ]
    );
    let root = 2.0_f64.sqrt();
    let far = side(&fit.faces[0].lines, FitSide::Uphill).unwrap();
    let (edge, mut off) = if far.off.0 == FitEdge::Nosing {
        far.off
    } else {
        far.along
    };
    assert_eq!(edge, FitEdge::Nosing);
    off.sort_by(Length::total_cmp);
    for (off, sum) in off.iter().zip([1700.0, 1825.0]) {
        assert_relative_eq!(off.as_mm(), (sum - 1660.0) / root + 20.0, epsilon = 1e-6);
    }
    // No other run has it twice.
    assert!(fits.iter().all(|(run, fit)| *run == 0 || !fit.cuts()));
    // The kick has a template, the tread's notch stands on the tread's own.
    let all = templates(&chain);
    assert!(all.iter().any(|one| one.name == "N2-W.K2"));
    assert!(!all.iter().any(|one| one.name == "N2-W.T2"));
}

/// The turn about a well with its newel at the last kick, before the turn.
fn elsewhere() -> String {
    with(
        &about_a_well(),
        &[("x: \"1700\", y: \"0\"", "x: \"1400\", y: \"0\"")],
    )
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
