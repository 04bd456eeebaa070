//! Winders' treads and kicks, with what newels take out of them and what stands on them.

use nalgebra::{Point2, Point3, Vector2, Vector3};

use crate::chain::{Chain, RunChain};
use crate::job::{Hand, RoughOf};
use crate::measure::{Angle, Length};
use crate::setout::boards::{KickSet, WinderSide, WinderTread, winders};
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

/// What a newel of any run takes out of a winder, in the tread's own plane, anticlockwise.
pub(crate) fn newels_in<'a>(
    chain: &'a Chain,
    turn: &PlacedTurn,
    tread: &WinderTread,
) -> Vec<(&'a NewelSet, Vec<Point2<f64>>)> {
    let outline = tread.outline();
    let newels = chain.runs.iter().flat_map(|run| {
        let own = run.setout.newels.iter();
        own.map(move |newel| (run, newel))
    });
    newels
        .filter_map(|(run, newel)| {
            let ring = footprint(turn, run, newel, tread);
            let cut = plan::common(&outline, &ring);
            let deep = plan::extent(&cut, |at| inside(&outline, at)).1;
            (plan::area(&cut) > 0.0 && deep > LEAST_NOTCH_MM).then_some((newel, tidy(cut)))
        })
        .collect()
}

/// A newel that reaches no further into a winder than this stands at its edge: 1/64 in.
const LEAST_NOTCH_MM: f64 = 0.4;

/// A newel's section where it goes through the top of a winder, in the tread's own plane,
/// anticlockwise.
fn footprint(
    turn: &PlacedTurn,
    run: &RunChain,
    newel: &NewelSet,
    tread: &WinderTread,
) -> Vec<Point2<f64>> {
    let way = run.frame.way_to_first(&newel.axis);
    let way = turn.frame.way_from_first(&way);
    let up = tread.plane.up;
    let ring = newel.footprint.iter().map(|at| {
        let foot = Point3::new(at.x, at.y, newel.foot.z);
        let foot = in_turn(turn, run, &foot);
        let reach = (tread.plane.origin - foot).dot(&up) / way.dot(&up);
        tread.plane.flat(&(foot + way * reach))
    });
    let mut ring: Vec<Point2<f64>> = ring.collect();
    if plan::area(&ring) < 0.0 {
        ring.reverse();
    }
    ring
}

/// How far a corner of what is cut out lies inside an outline, mm.
fn inside(outline: &[Point2<f64>], at: &Point2<f64>) -> f64 {
    let sides = (0..outline.len()).map(|i| [outline[i], outline[(i + 1) % outline.len()]]);
    sides
        .map(|ends| off_segment(ends, at))
        .fold(f64::INFINITY, f64::min)
}

/// From a point to the nearest of a side between two others.
fn off_segment([from, to]: [Point2<f64>; 2], at: &Point2<f64>) -> f64 {
    let along: Vector2<f64> = to - from;
    let share = (at - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE);
    (from + along * share.clamp(0.0, 1.0) - at).norm()
}

/// Clipping leaves corners twice.
fn tidy(mut ring: Vec<Point2<f64>>) -> Vec<Point2<f64>> {
    let same = |a: &Point2<f64>, b: &Point2<f64>| (a - b).norm() < SAME_CORNER_MM;
    ring.dedup_by(|a, b| same(a, b));
    while ring.len() > 1 && same(&ring[0], &ring[ring.len() - 1]) {
        ring.pop();
    }
    ring
}

const SAME_CORNER_MM: f64 = crate::measure::tolerance::SAME_POINT_MM;

/// How far a place on a winder lies from its narrow end, square to it; of a tread whose sides meet in
/// a point, from the face of the next kick.
pub(crate) fn from_narrow(tread: &WinderTread, at: &Point2<f64>) -> (SideOf, Length) {
    let near = |of: SideOf| {
        let sides = tread.sides.iter().filter(|side| side.of == of);
        // Of several the one at the nosing: what it turns about may have a corner.
        let side = sides.min_by(|a, b| to_nosing(a).total_cmp(&to_nosing(b)))?;
        Some((of, Length::mm(off_side(side, at))))
    };
    near(SideOf::Narrow)
        .or_else(|| near(SideOf::Back))
        .unwrap_or((SideOf::Narrow, Length::ZERO))
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
        .map(|pair| off_segment([pair[0], pair[1]], at))
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
    let mut newels = chain.runs.iter().flat_map(|run| {
        let own = run.setout.newels.iter();
        own.map(move |newel| (run, newel))
    });
    let found = newels.find(|(run, newel)| {
        let ring = footprint(turn, run, newel, tread);
        side.ends().iter().all(|at| inside(&ring, at) < AT_MM)
    });
    found.map(|(_, newel)| newel.name.clone())
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
            .all(|at| off_segment([from, to], at) < NEAR_WALL_MM)
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
    piece
}
