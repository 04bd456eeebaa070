//! Winders' treads and kicks, with what newels take out of them and what stands on them.

use nalgebra::{Point2, Point3, Vector3};

use crate::chain::{Chain, RunChain, dry_fits};
use crate::job::{Hand, RoughOf};
use crate::measure::{Angle, Length, tolerance};
use crate::setout::boards::{KickSet, Stood, WinderSide, WinderTread, winders};
use crate::setout::dry_fit::{Board, KnifeFace};
use crate::setout::{BalusterSet, NewelSet, plan};
use crate::site::winders::SideOf;
use crate::site::{PlacedTurn, Site, WallFace};

use super::boards::kick_piece;
use super::rails::pegs;
use super::{
    BoreWork, CutFor, CutPiece, Cutter, Detail, Edge, EndOf, EndWork, FaceUp, NotchWork, PieceKind,
    SawCut, WinderEdge,
};

/// The winders of the turns that lead to a run.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let mut pieces = Vec::new();
    for turn in &cutter.run.turns {
        let set = winders(turn, cutter.job.boards.as_ref());
        let treads = set.treads.iter();
        pieces.extend(treads.map(|one| tread(cutter, turn, one)));
        pieces.extend(set.kicks.iter().map(|one| kick(cutter, turn, one)));
    }
    pieces
}

/// The winder that is stood on at a step of a run, with its turn; `None` where that is a tread of the
/// run's own or a floor.
pub(crate) fn winder_under<'a>(
    chain: &'a Chain,
    site: &Site,
    step: u32,
) -> Option<(&'a PlacedTurn, WinderTread)> {
    let own = step != 0 && (step as usize) < site.steps.len();
    let name = (!own).then(|| site.surface_name(step))?;
    chain.runs.iter().find_map(|run| {
        let turn = run.turns.iter().find(|turn| name.starts_with(&turn.mark))?;
        let set = winders(turn, run.run.job.boards.as_ref());
        let tread = set.treads.into_iter().find(|tread| tread.name == name)?;
        Some((turn, tread))
    })
}

/// True for the name of a winder's tread or kick.
pub(crate) fn is_winder(chain: &Chain, part: &str) -> bool {
    let mut turns = chain.runs.iter().flat_map(|run| &run.turns);
    turns.any(|turn| {
        let mut treads = turn.site.treads.iter();
        treads.any(|one| {
            let names = [turn.tread_name(one.number), turn.kick_name(one.number)];
            names.iter().any(|name| name == part)
        })
    })
}

/// A place of a run in a turn's frame.
pub(crate) fn in_turn(turn: &PlacedTurn, run: &RunChain, at: &Point3<f64>) -> Point3<f64> {
    turn.frame.from_first(&run.frame.to_first(at))
}

/// The balusters that stand on a winder, railing by railing, each with its run.
pub(crate) fn standing_on<'a>(
    chain: &'a Chain,
    name: &str,
) -> Vec<(&'a RunChain, Vec<&'a BalusterSet>)> {
    let runs = chain.runs.iter().filter(|run| run.setout.on_treads());
    let on = runs.map(|run| {
        let here = run.setout.balusters.iter();
        let here = here.filter(|one| run.site.surface_name(one.step) == name);
        (run, here.collect::<Vec<_>>())
    });
    on.filter(|(_, here)| !here.is_empty()).collect()
}

/// Every newel, with the run that sets it.
fn stood(chain: &Chain) -> impl Iterator<Item = Stood<'_>> {
    chain.runs.iter().flat_map(|run| {
        let own = run.setout.newels.iter();
        own.map(|newel| Stood {
            newel,
            frame: &run.frame,
        })
    })
}

/// What a newel of any run takes out of a winder, in the tread's own plane, anticlockwise.
pub(crate) fn newels_in<'a>(
    chain: &'a Chain,
    turn: &PlacedTurn,
    tread: &WinderTread,
) -> Vec<(&'a NewelSet, Vec<Point2<f64>>)> {
    stood(chain)
        .filter_map(|one| Some((one.newel, one.in_tread(turn, tread)?)))
        .collect()
}

/// How far a place on a winder lies from its narrow end, square to it; of a tread whose sides meet in
/// a point, from the face of the next kick.
pub(crate) fn from_narrow(tread: &WinderTread, at: &Point2<f64>) -> (SideOf, Length) {
    let side = tread.narrow_end();
    side.map_or((SideOf::Narrow, Length::ZERO), |side| {
        (side.of, Length::mm(off_side(side, at)))
    })
}

fn to_nosing(side: &WinderSide) -> f64 {
    let [from, to] = side.ends();
    from.y.min(to.y)
}

/// Square from the line of a straight side, from the nearest place of a round one.
fn off_side(side: &WinderSide, at: &Point2<f64>) -> f64 {
    if side.radius.is_none() {
        let [from, to] = side.ends();
        return ((to - from).perp(&(at - from)) / (to - from).norm()).abs();
    }
    let chords = side.points.windows(2);
    chords
        .map(|pair| plan::off_side([pair[0], pair[1]], at))
        .fold(f64::INFINITY, f64::min)
}

/// A side of a winder as an edge of the piece.
const fn edge_at(of: SideOf) -> Edge {
    match of {
        SideOf::Front => Edge::Nosing,
        SideOf::Wide => Edge::Wide,
        SideOf::Back => Edge::Back,
        SideOf::Narrow => Edge::Narrow,
    }
}

fn tread(cutter: &Cutter<'_>, turn: &PlacedTurn, one: &WinderTread) -> CutPiece {
    let count = one.sides.len();
    let edges: Vec<WinderEdge> = one
        .sides
        .iter()
        .map(|side| edge(cutter, turn, one, side))
        .collect();
    let right = Angle::degrees(90.0);
    // The saw lies along the nosing: what it meets at either end of that.
    let end = |at: EndOf, corner: Angle, side: usize| {
        let cut = SawCut::of(
            CutFor::End,
            (right - corner, [Edge::Nosing, Edge::Back]),
            (one.sides[side].tilt, [Edge::Show, Edge::Hidden]),
        );
        EndWork {
            scribed: edges[side].edge == Edge::Wide,
            ..EndWork::one(at, edges[side].meets.clone(), cut)
        }
    };
    let ends = [
        end(EndOf::Left, one.sides[0].corner, count - 1),
        end(EndOf::Right, one.sides[1 % count].corner, 1 % count),
    ];
    let [long, deep] = one.bounds();
    let nosing = one.sides[0].length;
    let mut piece = cutter
        .piece(
            (&one.name, PieceKind::Winder),
            [deep, one.blank.thickness],
            (long, RoughOf::Skirt),
            ends,
        )
        .between(long, nosing);
    piece.rough = one.blank.length;
    piece.up = FaceUp::Show;
    piece.hand = Some(turned_to(turn));
    piece.notches = newels_in(cutter.chain, turn, one)
        .into_iter()
        .map(|(newel, ring)| notch(one, newel, &ring))
        .collect();
    piece.bores = bores(cutter.chain, &one.name);
    piece.detail = Detail::Winder {
        edges,
        bounds: [long, deep],
        begins: one.begins(),
        overhang: one.overhang,
        rough_depth: one.blank.depth,
        area_mm2: one.area(),
    };
    piece
}

const fn turned_to(turn: &PlacedTurn) -> Hand {
    if turn.site.turn.hand > 0.0 {
        Hand::Left
    } else {
        Hand::Right
    }
}

fn edge(
    cutter: &Cutter<'_>,
    turn: &PlacedTurn,
    tread: &WinderTread,
    side: &WinderSide,
) -> WinderEdge {
    let [from, _] = side.ends();
    // From square across the side before: the blade's turn, whichever way the corner looks.
    let turned = (180.0 - side.corner.as_degrees()).abs() - 90.0;
    let tilt = (side.tilt, [Edge::Show, Edge::Hidden]);
    let square = [Edge::Nosing, Edge::Nosing];
    let mut cut = SawCut::of(CutFor::End, (Angle::degrees(turned), square), tilt);
    cut.mitre_long = None;
    WinderEdge {
        edge: edge_at(side.of),
        meets: meets(cutter, turn, tread, side),
        stands: wall_stands(cutter.chain, turn, tread, side),
        length: side.length,
        corner: side.corner,
        at: [Length::mm(from.x), Length::mm(from.y)],
        cut,
        round: side.radius.map(|radius| (radius, side.chord())),
    }
}

/// What a side of a winder meets, by name: a newel at the narrow end, a wall at the wide one, the next
/// kick at the back.
fn meets(
    cutter: &Cutter<'_>,
    turn: &PlacedTurn,
    tread: &WinderTread,
    side: &WinderSide,
) -> Option<String> {
    match side.of {
        SideOf::Front => None,
        SideOf::Narrow => newel_at(cutter.chain, turn, tread, side),
        SideOf::Wide => {
            let found = wall_at(cutter.chain, turn, tread, &side.ends());
            found.map(|(_, wall)| wall.name.clone())
        }
        SideOf::Back => Some(next_kick(cutter, turn, tread.number)),
    }
}

/// The kick behind a winder: one of the turn, or the first of what it leads to.
fn next_kick(cutter: &Cutter<'_>, turn: &PlacedTurn, number: u32) -> String {
    if (number as usize) < turn.site.treads.len() {
        return turn.kick_name(number + 1);
    }
    let mut after = cutter
        .run
        .turns
        .iter()
        .skip_while(|one| one.mark != turn.mark);
    after
        .nth(1)
        .map_or_else(|| cutter.site.kick_name(1), |next| next.kick_name(1))
}

/// The newel whose face a side lies along.
fn newel_at(
    chain: &Chain,
    turn: &PlacedTurn,
    tread: &WinderTread,
    side: &WinderSide,
) -> Option<String> {
    let found = stood(chain).find(|one| {
        let ring = one.on(turn, tread);
        let ends = side.ends();
        ends.iter().all(|at| plan::off_ring(&ring, at) < AT_MM)
    });
    found.map(|one| one.newel.name.clone())
}

/// A side so near to a face lies along it: 1/8 in, what scribing takes off (common practice, no
/// source).
const AT_MM: f64 = 3.2;

/// The wall whose meant face a side lies along, with its run: a wall of any run.
fn wall_at<'a>(
    chain: &'a Chain,
    turn: &PlacedTurn,
    tread: &WinderTread,
    ends: &[Point2<f64>; 2],
) -> Option<(&'a RunChain, &'a WallFace)> {
    let mut walls = chain.runs.iter().flat_map(|run| {
        let own = run.site.walls.iter().take(run.site.own_walls);
        own.map(move |wall| (run, wall))
    });
    walls.find(|(run, wall)| {
        let foot = |at: &Point2<f64>| {
            let at = in_turn(turn, run, &Point3::new(at.x, at.y, 0.0));
            tread.plane.flat(&tread.plane.over(&at.xy()))
        };
        let (from, to) = (foot(&wall.from), foot(&wall.to));
        ends.iter()
            .all(|at| plan::off_side([from, to], at) < NEAR_WALL_MM)
    })
}

/// How far beyond the beginning and the end of a side its wall stands as found, level and square to
/// the side, at the height of the tread's top; negative where it stands within.
fn wall_stands(
    chain: &Chain,
    turn: &PlacedTurn,
    tread: &WinderTread,
    side: &WinderSide,
) -> Option<[Length; 2]> {
    if side.of != SideOf::Wide {
        return None;
    }
    let (run, wall) = wall_at(chain, turn, tread, &side.ends())?;
    let places = side.ends().map(|at| tread.plane.place(&at));
    let along = places[1] - places[0];
    // Anticlockwise the wood lies to the left.
    let out = Vector3::new(along.y, -along.x, 0.0).try_normalize(f64::MIN_POSITIVE)?;
    let way = run.frame.way_from_first(&turn.frame.way_to_first(&out));
    let stands = |at: &Point3<f64>| {
        let here = run.frame.from_first(&turn.frame.to_first(at));
        // Looked for from within, so that a wall that stands in is met too.
        let from = here - way * WITHIN_MM;
        let (met, ..) = wall.meet(&from, &way)?;
        Some(Length::mm((met - here).dot(&way)))
    };
    Some([stands(&places[0])?, stands(&places[1])?])
}

/// A wall is looked for from so far within a winder.
const WITHIN_MM: f64 = 300.0;

/// A wall further than this from a winder's wide end is not what it meets: 1 in. Its meant face is
/// looked at, and its ends may not reach into the corner.
const NEAR_WALL_MM: f64 = 25.4;

fn notch(tread: &WinderTread, newel: &NewelSet, ring: &[Point2<f64>]) -> NotchWork {
    let back = plan::extent(ring, |at| at.y).1;
    let (of, _) = from_narrow(tread, &ring[0]);
    let reach = plan::extent(ring, |at| from_narrow(tread, at).1.as_mm()).1;
    NotchWork {
        newel: newel.name.clone(),
        reaches: [
            (Edge::Nosing, Length::mm(back)),
            (edge_at(of), Length::mm(reach)),
        ],
        deep: tread.blank.thickness,
        remains: Length::ZERO,
        sides: plan::sides(ring),
        angles: plan::angles(ring),
        whole: false,
    }
}

/// The bores for the pegs of the balusters that stand on a winder.
fn bores(chain: &Chain, name: &str) -> Vec<BoreWork> {
    let on = standing_on(chain, name).into_iter();
    on.flat_map(|(run, here)| pegs(&run.run.job, &run.setout.rail.name, here.len()))
        .collect()
}

fn kick(cutter: &Cutter<'_>, turn: &PlacedTurn, one: &KickSet) -> CutPiece {
    let name = turn.kick_name(one.step);
    // It ends where the tread below it does.
    let set = winders(turn, cutter.job.boards.as_ref());
    let below = set.treads.iter().find(|tread| tread.number + 1 == one.step);
    let at = |of: SideOf| {
        let below = below?;
        let sides = below.sides.iter().filter(|side| side.of == of);
        // The side that runs into the back.
        let side = sides.max_by(|a, b| to_nosing(a).total_cmp(&to_nosing(b)))?;
        meets(cutter, turn, below, side)
    };
    let (narrow, wide) = (at(SideOf::Narrow), at(SideOf::Wide));
    let meets = match turned_to(turn) {
        Hand::Left => [narrow, wide],
        Hand::Right => [wide, narrow],
    };
    let mut piece = kick_piece(cutter, &name, one, meets);
    // Its hidden face may be the longer one.
    let off = [&one.left, &one.right].map(|end| {
        let thick = one.blank.thickness.as_mm();
        Length::mm(thick * end.tilt.as_radians().tan() / end.angle.as_radians().sin())
    });
    let longer: Length = off.iter().map(|one| (-*one).max(Length::ZERO)).sum();
    let shorter: Length = off.iter().map(|one| one.max(Length::ZERO)).sum();
    piece.long_points = one.bottom.max(one.top) + longer;
    piece.finished = piece.long_points;
    piece.short_points = one.bottom.min(one.top) - shorter;
    piece.hand = Some(turned_to(turn));
    let above = set.treads.iter().find(|tread| tread.number == one.step);
    piece.notches = above.map_or_else(Vec::new, |above| kick_notches(cutter, turn, above, &name));
    for notch in &mut piece.notches {
        let [_, (_, from_top)] = notch.reaches;
        notch.whole = from_top > piece.section[0] - Length::mm(tolerance::DEPARTS_MM);
    }
    piece
}

/// What newels take out of the kick under a winder, from its narrow end and its upper edge.
fn kick_notches(
    cutter: &Cutter<'_>,
    turn: &PlacedTurn,
    above: &WinderTread,
    name: &str,
) -> Vec<NotchWork> {
    let through = stood(cutter.chain).filter(|one| one.in_kick(turn, above).is_some());
    let faces = through.flat_map(|one| {
        let fits = dry_fits(cutter.chain, &one.newel.name).into_iter();
        let faces = fits.flat_map(|(_, fit)| fit.faces);
        faces.map(move |face| (one.newel, face))
    });
    faces
        .filter(|(_, face)| face.on == Board::Kick && face.part == name)
        .filter_map(|(newel, face)| kick_notch(turn, newel, &face))
        .collect()
}

fn kick_notch(turn: &PlacedTurn, newel: &NewelSet, face: &KnifeFace) -> Option<NotchWork> {
    let [_, (_, [from, to])] = face.board.edges;
    let along = (to - from).try_normalize(f64::MIN_POSITIVE)?;
    let up = face.normal.cross(&along);
    // The upper edge runs away from the narrow end.
    let flat = face.ring.iter().map(|at| {
        let off = at - from;
        Point2::new(off.dot(&along), off.dot(&up))
    });
    let mut ring: Vec<Point2<f64>> = flat.collect();
    if plan::area(&ring) < 0.0 {
        ring.reverse();
    }
    let (_, far) = plan::extent(&ring, |at| at.x);
    let (low, high) = plan::extent(&ring, |at| at.y.abs());
    Some(NotchWork {
        newel: newel.name.clone(),
        reaches: [
            (Edge::Narrow, Length::mm(far)),
            (Edge::Top, Length::mm(low.max(high))),
        ],
        deep: face.deep,
        remains: (Length::mm(turn.site.kick_thickness) - face.deep).max(Length::ZERO),
        sides: plan::sides(&ring),
        angles: plan::angles(&ring),
        whole: false,
    })
}
