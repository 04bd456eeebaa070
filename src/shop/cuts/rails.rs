//! Rails, their fittings and returns, rosettes, bottom rails, and what balusters stand on.

use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::job::{FixingFace, Job, RailEnd, RoughOf};
use crate::measure::{Angle, Length};
use crate::setout::{
    EndCut, Fitting, FittingKind, ROSETTE_THICKNESS, RailSet, ReturnSet, WallRailSet, landings,
};

use super::{
    BoreFor, BoreWork, CutFor, CutPiece, Cutter, Detail, Edge, EndOf, EndWork, FaceUp, PieceKind,
    SawCut,
};

/// The pieces of a run that lie along the slope.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let setout = cutter.setout;
    let design = &cutter.job.design.rail;
    let ends = [(&design.lower, false), (&design.upper, true)];
    let meets = ends.map(|(end, upper)| meets(cutter, &setout.rail, end, upper));
    let mut rail = straight(cutter, &setout.rail, PieceKind::Rail, meets);
    rail.bores = under_balusters(cutter);
    rail.bores.extend(fixings(cutter, &setout.rail.name));
    let mut pieces = vec![rail];
    pieces.extend(fittings(cutter, &setout.rail));
    pieces.extend(rosettes(cutter));
    let posts = ends.map(|(end, _)| post(cutter, end));
    if let Some(bottom) = &setout.bottom_rail {
        let mut piece = straight(cutter, bottom, PieceKind::BottomRail, posts.clone());
        piece.bores = pegs(cutter.job, &setout.rail.name, setout.balusters.len());
        piece.bores.extend(fixings(cutter, &bottom.name));
        pieces.push(piece);
    }
    if let Some(base) = &setout.base {
        let string = (base.is == crate::job::Body::ClosedString).then_some(&base.body);
        let parts = [
            (string, PieceKind::String),
            (base.cap.as_ref(), PieceKind::BaseCap),
            (Some(&base.shoe), PieceKind::Shoe),
        ];
        let parts = parts
            .into_iter()
            .filter_map(|(part, kind)| Some((part?, kind)));
        pieces.extend(parts.map(|(part, kind)| straight(cutter, part, kind, posts.clone())));
    }
    if let Some(rail) = &setout.wall_rail {
        pieces.extend(wall_rail(cutter, rail));
    }
    pieces
}

/// What an end of a piece between the ends of the rail meets.
fn post(cutter: &Cutter<'_>, end: &RailEnd) -> Option<String> {
    match end {
        RailEnd::Newel(name) => Some(name.clone()),
        RailEnd::Wall { wall, .. } => Some(wall.clone()),
        RailEnd::HalfNewel { wall, .. } => {
            let mut halves = cutter.setout.half_newels.iter();
            halves
                .find(|half| half.wall == *wall)
                .map(|half| half.name.clone())
        }
    }
}

/// What an end of the rail itself meets: a piece that goes on from it, a rosette, or a post.
fn meets(cutter: &Cutter<'_>, rail: &RailSet, end: &RailEnd, upper: bool) -> Option<String> {
    let mut named = rail.fittings.iter().zip(rail.fitting_names());
    if let Some((_, name)) = named.find(|(one, _)| one.upper == upper) {
        return Some(name);
    }
    match end {
        RailEnd::Wall { wall, .. } => Some(rosette_on(wall)),
        other => post(cutter, other),
    }
}

/// What a rosette is called in the picture.
pub(crate) fn rosette_on(wall: &str) -> String {
    format!("rosette on {wall}")
}

/// A straight piece between its end cuts.
fn straight(
    cutter: &Cutter<'_>,
    rail: &RailSet,
    kind: PieceKind,
    meets: [Option<String>; 2],
) -> CutPiece {
    let [low, high] = meets;
    let ends = [
        EndWork::one(EndOf::Lower, low, SawCut::of_rail(&rail.lower_cut)),
        EndWork::one(EndOf::Upper, high, SawCut::of_rail(&rail.upper_cut)),
    ];
    let mut piece = cutter
        .piece(
            (&rail.name, kind),
            [rail.width, rail.depth],
            (rail.long_points, RoughOf::Rail),
            ends,
        )
        .between(rail.long_points, rail.short_points);
    piece.up = FaceUp::OpenSide;
    let over_course = matches!(
        kind,
        PieceKind::BottomRail | PieceKind::BaseCap | PieceKind::Shoe
    );
    let raised = if over_course {
        [rail.depth, Length::ZERO]
    } else {
        [Length::ZERO, -rail.depth]
    };
    let cuts = [&rail.lower_cut, &rail.upper_cut];
    piece.edges = edges(cutter, [rail.lower, rail.upper], cuts, rail.width, raised);
    // A piece whose ends lean sideways does for one side of the stair only.
    let sideways = |end: &EndWork| end.cuts.iter().any(|cut| cut.bevel_long.is_some());
    piece.hand = piece.ends.iter().any(sideways).then(|| cutter.open_hand());
    piece
}

/// What a tape reads along the top and along the underside of a straight piece, on the face that lies
/// up on the saw: between where its two cuts meet these edges. `ends` are on its course, over which its
/// top and its underside lie by `raised`, square to its length.
fn edges(
    cutter: &Cutter<'_>,
    ends: [Point3<f64>; 2],
    cuts: [&EndCut; 2],
    width: Length,
    raised: [Length; 2],
) -> Option<[Length; 2]> {
    let course = ends[1] - ends[0];
    let along = course.try_normalize(f64::MIN_POSITIVE)?;
    let left = Vector3::z()
        .cross(&along)
        .try_normalize(f64::MIN_POSITIVE)?;
    let up = along.cross(&left);
    let out = left * (cutter.site.outward * width.as_mm() / 2.0);
    // How much further on than the course's end a cut lies off it.
    let further = |cut: &EndCut, off: &Vector3<f64>| -off.dot(&cut.normal) / along.dot(&cut.normal);
    let read = raised.map(|by| {
        let off = out + up * by.as_mm();
        let [lower, upper] = cuts.map(|cut| further(cut, &off));
        course.norm() + upper - lower
    });
    let told = read.iter().all(|mm| mm.is_finite());
    told.then(|| read.map(|mm| Length::mm(mm.max(0.0))))
}

/// The seats of balusters in the rail's underside.
fn under_balusters(cutter: &Cutter<'_>) -> Vec<BoreWork> {
    let balusters = &cutter.setout.balusters;
    let mut bores: Vec<BoreWork> = Vec::new();
    for one in balusters.iter().filter(|one| one.seat > Length::ZERO) {
        let wide = one.seat_size();
        let same = |bore: &&mut BoreWork| (bore.diameter - wide).abs() < Length::mm(0.01);
        match bores.iter_mut().find(same) {
            Some(bore) => bore.number += 1,
            None => bores.push(BoreWork {
                what: BoreFor::Seat,
                name: String::new(),
                railing: String::new(),
                number: 1,
                diameter: wide,
                deep: one.seat,
                plug: None,
                place: None,
            }),
        }
    }
    bores
}

/// So many bores for pegs of the railing with this rail.
pub(super) fn pegs(job: &Job, rail: &str, number: usize) -> Vec<BoreWork> {
    let design = &job.design.balusters;
    let bore = BoreWork {
        what: BoreFor::Peg,
        name: String::new(),
        railing: rail.to_owned(),
        number: u32::try_from(number).unwrap_or(u32::MAX),
        diameter: design.peg_diameter.value,
        deep: design.peg.value,
        plug: None,
        place: None,
    };
    (number > 0 && bore.deep > Length::ZERO)
        .then_some(bore)
        .into_iter()
        .collect()
}

/// The bores for screws and bolts that the job tells of in a part.
pub(super) fn fixings(cutter: &Cutter<'_>, part: &str) -> Vec<BoreWork> {
    let runs = cutter.chain.runs.iter();
    let all = runs.flat_map(|run| &run.run.job.design.fixings);
    all.filter(|fixing| fixing.part == part)
        .map(|fixing| BoreWork {
            what: BoreFor::Fixing,
            name: fixing.name.clone(),
            railing: String::new(),
            number: 1,
            diameter: fixing.diameter.value,
            deep: fixing.deep.value,
            plug: fixing
                .plug
                .as_ref()
                .map(|plug| (plug.diameter.value, plug.depth.value)),
            place: Some(place(fixing.face, fixing.up.value, fixing.off.value)),
        })
        .collect()
}

const fn place(face: FixingFace, up: Length, off: Length) -> (FixingFace, Length, Length) {
    (face, up, off)
}

/// What goes on past the straight rail's ends.
fn fittings(cutter: &Cutter<'_>, rail: &RailSet) -> Vec<CutPiece> {
    let names = rail.fitting_names();
    let beside = |at: Option<usize>, upper: bool| {
        let at = at?;
        let other = rail.fittings.get(at).filter(|one| one.upper == upper)?;
        Some((other, names[at].clone()))
    };
    let mut pieces = Vec::new();
    for (at, one) in rail.fittings.iter().enumerate() {
        let before = beside(at.checked_sub(1), one.upper);
        // The straight rail is cut square for its first piece.
        let begins = before
            .as_ref()
            .map_or(one.start_way, |(before, _)| before.end_cut);
        let mut piece = fitting(cutter, rail, one, &begins);
        let before = before.map_or_else(|| rail.name.clone(), |(_, name)| name);
        let after = beside(Some(at + 1), one.upper).map(|(_, name)| name);
        for (end, meets) in piece.ends.iter_mut().zip([Some(before), after]) {
            end.meets = meets;
        }
        piece.own = vec![names[at].clone()];
        pieces.push(piece);
    }
    pieces
}

/// The part of the picture that a name stands for, and the name where it is that of a fitting.
pub(super) fn part_and_own(chain: &Chain, name: &str) -> (String, Option<String>) {
    let mut rails = chain.runs.iter().map(|run| &run.setout.rail);
    let of = rails.find(|rail| rail.fitting_names().iter().any(|own| own == name));
    of.map_or_else(
        || (name.to_owned(), None),
        |rail| (rail.name.clone(), Some(name.to_owned())),
    )
}

/// One piece past the straight rail. Lengths are along the middle of the rail's top and along its
/// underside; a mitre makes one of them the longer.
fn fitting(cutter: &Cutter<'_>, rail: &RailSet, one: &Fitting, begins: &Vector3<f64>) -> CutPiece {
    let depth = rail.depth.as_mm();
    // How much further on a cut lies at the underside than at the top.
    let further = |share: f64, way: &Vector3<f64>, cut: &Vector3<f64>| {
        let (_, up) = one.at(share);
        depth * up.dot(cut) / way.dot(cut)
    };
    let start = further(0.0, &one.start_way, begins);
    let end = further(1.0, &one.end_way, &one.end_cut);
    let cut = |by: f64| {
        let turn = Angle::radians((by / depth).atan());
        SawCut::mitred(CutFor::End, turn, [Edge::Under, Edge::Top])
    };
    let bend = one.kind == FittingKind::Easing;
    let (inner, outer) = if one.upper {
        (EndOf::Lower, EndOf::Upper)
    } else {
        (EndOf::Upper, EndOf::Lower)
    };
    let ends = [
        EndWork::one(inner, None, cut(-start)),
        EndWork::one(outer, None, cut(end)),
    ];
    let kind = match one.kind {
        FittingKind::Easing => PieceKind::Easing,
        FittingKind::Level => PieceKind::LevelRail,
        FittingKind::Raked => PieceKind::RakedCap,
        FittingKind::Gooseneck => PieceKind::Gooseneck,
    };
    // From the farthest corner at one end to the farthest at the other.
    let (long, short) = if bend {
        (one.length, one.length)
    } else {
        let top = one.length.as_mm();
        let (first, last) = (start.min(0.0), top.max(top + end));
        let (inner, outer) = (start.max(0.0), top.min(top + end));
        (
            Length::mm(last - first),
            Length::mm((outer - inner).max(0.0)),
        )
    };
    let mut piece = cutter
        .piece(
            (&rail.name, kind),
            [rail.width, rail.depth],
            (long, RoughOf::Small),
            ends,
        )
        .between(long, short);
    piece.up = FaceUp::OpenSide;
    // Along the middle of its top; a mitre alone is the same on either side.
    let under = (one.length.as_mm() + end - start).max(0.0);
    piece.edges = (!bend).then(|| [one.length, Length::mm(under)]);
    piece.detail = match one.radius {
        Some(radius) => Detail::Bend {
            radius,
            turn: one.turn,
            tangent: one.tangent,
        },
        None => Detail::AtEnd(outer),
    };
    piece
}

fn rosettes(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let rail = &cutter.setout.rail;
    landings(cutter.job, cutter.site, rail)
        .iter()
        .map(|landing| {
            let size = landing.rosette.value;
            let mut piece = cutter.piece(
                (&rosette_on(landing.wall), PieceKind::Rosette),
                [size, Length::mm(ROSETTE_THICKNESS)],
                (size, RoughOf::Small),
                EndWork::both([EndOf::Left, EndOf::Right]),
            );
            piece.up = FaceUp::Show;
            piece
        })
        .collect()
}

fn wall_rail(cutter: &Cutter<'_>, rail: &WallRailSet) -> Vec<CutPiece> {
    let returned = |at: usize| rail.returns[at].as_ref();
    let end = |at: usize, end: EndOf, cut| {
        let meets = returned(at).map(|_| return_name(rail, end));
        EndWork::one(end, meets, SawCut::of_rail(cut))
    };
    let ends = [
        end(0, EndOf::Lower, &rail.lower_cut),
        end(1, EndOf::Upper, &rail.upper_cut),
    ];
    let mut piece = cutter
        .piece(
            (&rail.name, PieceKind::WallRail),
            [rail.width, rail.depth],
            (rail.long_points, RoughOf::Rail),
            ends,
        )
        .between(rail.long_points, rail.short_points);
    piece.up = FaceUp::OpenSide;
    let cuts = [&rail.lower_cut, &rail.upper_cut];
    let raised = [Length::ZERO, -rail.depth];
    piece.edges = edges(cutter, [rail.lower, rail.upper], cuts, rail.width, raised);
    let handed = rail.returns.iter().any(Option::is_some);
    piece.hand = handed.then(|| cutter.open_hand());
    piece.bores = fixings(cutter, &rail.name);
    let returns = [EndOf::Lower, EndOf::Upper].into_iter().enumerate();
    let returns = returns.filter_map(|(at, end)| Some((returned(at)?, end)));
    let mut pieces = vec![piece];
    pieces.extend(returns.map(|(one, end)| rail_return(cutter, rail, one, end)));
    pieces
}

/// The name of its own that a return has at an end of the rail on the wall.
fn return_name(rail: &WallRailSet, at: EndOf) -> String {
    let end = if at == EndOf::Upper { "upper" } else { "lower" };
    format!("{} {end} return", rail.name)
}

fn rail_return(cutter: &Cutter<'_>, rail: &WallRailSet, one: &ReturnSet, at: EndOf) -> CutPiece {
    let ends = [
        EndWork::one(
            EndOf::Corner,
            Some(rail.name.clone()),
            SawCut::mitred(CutFor::End, one.mitre, [Edge::Outer, Edge::Outer]),
        ),
        EndWork {
            scribed: true,
            ..EndWork::one(
                EndOf::Wall,
                Some(rail.wall.clone()),
                SawCut::of_rail(&one.wall_cut),
            )
        },
    ];
    let mut piece = cutter
        .piece(
            (&rail.name, PieceKind::RailReturn),
            [rail.width, rail.depth],
            (one.long_point, RoughOf::Small),
            ends,
        )
        .between(one.long_point, one.short_point);
    piece.up = FaceUp::Top;
    piece.own = vec![return_name(rail, at)];
    // The lower and the upper one are each other's mirror image.
    piece.hand = Some(match (cutter.open_hand(), at) {
        (hand, EndOf::Upper) => hand,
        (crate::job::Hand::Left, _) => crate::job::Hand::Right,
        (crate::job::Hand::Right, _) => crate::job::Hand::Left,
    });
    piece.detail = Detail::Returned { at, roll: one.roll };
    piece
}
