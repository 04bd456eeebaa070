//! Treads, return nosings, kicks and skirts, with what is notched out of them.

use crate::job::{Hand, Meets, RoughOf, Side};
use crate::measure::{Angle, Length, tolerance};
use crate::setout::boards::{
    KickEnd, KickSet, OpenSkirtSet, ReturnSet, SkirtEnd, StripSet, TreadEnd, TreadSet, WallSkirtSet,
};
use crate::setout::{Cutout, NewelSet, Notch};

use super::rails::pegs;
use super::{
    CutFor, CutPiece, Cutter, Detail, Edge, EndOf, EndWork, FaceUp, NotchWork, PieceKind, SawCut,
};

/// A right angle.
const SQUARE: Angle = Angle::degrees(90.0);

/// The boards of a run.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let boards = &cutter.boards;
    let treads = boards.treads.iter().flat_map(|one| tread(cutter, one));
    let kicks = boards.kicks.iter().map(|one| kick(cutter, one));
    let walls = boards.wall_skirts.iter();
    let walls = walls.flat_map(|one| wall_skirt(cutter, one));
    let open = boards.open_skirts.iter().map(|one| open_skirt(cutter, one));
    treads.chain(kicks).chain(walls).chain(open).collect()
}

/// The set-outs of the railings that stand on this run's stair: its own, and the one on its wall side.
fn railings<'a>(cutter: &'a Cutter<'_>) -> impl Iterator<Item = &'a NewelSet> {
    let runs = cutter.chain.runs.iter().enumerate();
    runs.filter(|(number, run)| {
        let beside = run.run.beside.as_ref();
        beside.map_or(*number, |(stair, _)| *stair) == cutter.number
    })
    .flat_map(|(_, run)| run.setout.all_newels())
}

fn tread(cutter: &Cutter<'_>, one: &TreadSet) -> Vec<CutPiece> {
    let name = cutter.site.tread_name(one.step);
    let ends = [(&one.left, EndOf::Left), (&one.right, EndOf::Right)];
    let ends = ends.map(|(end, at)| tread_end(cutter, end, at));
    let long = one.front.max(one.back);
    let short = one.under.0.min(one.under.1);
    let thick = one.blank.thickness;
    let deep = one.depth.0.max(one.depth.1);
    let mut piece = cutter
        .piece(
            (&name, PieceKind::Tread),
            [deep, thick],
            (long, RoughOf::Skirt),
            ends,
        )
        .between(long, short);
    piece.rough = one.blank.length;
    piece.up = FaceUp::Show;
    piece.hand = match (one.left.meets, one.right.meets) {
        (Meets::Return, Meets::Return) => None,
        (Meets::Return, _) => Some(Hand::Left),
        (_, Meets::Return) => Some(Hand::Right),
        // Which end goes down last is no hand of the piece.
        _ => None,
    };
    piece.rips = vec![(Edge::Back, one.back_undercut)];
    piece.notches = railings(cutter)
        .flat_map(|newel| newel.notches.iter().map(move |notch| (newel, notch)))
        .filter(|(_, notch)| notch.step == one.step)
        .map(|(newel, notch)| tread_notch(newel, notch, thick))
        .collect();
    piece.bores = tread_bores(cutter, one.step);
    // Both ends' returns are off it already.
    let body = [&one.left, &one.right].into_iter().find_map(return_of);
    let body_back = body.map_or(one.back, |returned| returned.body_back);
    piece.detail = Detail::Tread {
        widths: [one.front, body_back],
        depths: [one.depth.0, one.depth.1],
        overhang: one.overhang,
        rough_depth: one.blank.depth,
        relief: [one.left.relief, one.right.relief],
    };
    let returns = [(&one.left, Hand::Left), (&one.right, Hand::Right)];
    let returns = returns.into_iter().filter_map(|(end, hand)| {
        let returned = return_of(end)?;
        Some(return_nosing(cutter, &name, (returned, hand), thick))
    });
    std::iter::once(piece)
        .chain(returns.collect::<Vec<_>>())
        .collect()
}

/// The pegs of the balusters that stand on a tread, those of the railing on the wall side too.
fn tread_bores(cutter: &Cutter<'_>, step: u32) -> Vec<super::BoreWork> {
    let runs = cutter.chain.runs.iter().enumerate();
    runs.filter(|(number, run)| {
        let beside = run.run.beside.as_ref();
        beside.map_or(*number, |(stair, _)| *stair) == cutter.number && run.setout.on_treads()
    })
    .flat_map(|(_, run)| {
        let here = run.setout.balusters.iter();
        let here = here.filter(|one| one.step == step).count();
        pegs(&run.run.job, &run.setout.rail.name, here)
    })
    .collect()
}

/// What a tread's or kick's end meets, by name where it has one.
fn meets(cutter: &Cutter<'_>, meets: Meets, at: EndOf) -> Option<String> {
    let open = at == open_end(cutter);
    let side = if open { Side::Open } else { Side::Wall };
    match meets {
        Meets::Skirt => {
            let mut skirts = cutter.job.skirts.iter();
            let skirt = skirts.find(|skirt| skirt.side == side);
            skirt.map(|skirt| skirt.name.clone())
        }
        Meets::Wall | Meets::Return => None,
    }
}

fn open_end(cutter: &Cutter<'_>) -> EndOf {
    match cutter.open_hand() {
        Hand::Left => EndOf::Left,
        Hand::Right => EndOf::Right,
    }
}

fn tread_end(cutter: &Cutter<'_>, one: &TreadEnd, at: EndOf) -> EndWork {
    let cut = SawCut::of(
        CutFor::End,
        (SQUARE - one.angle, [Edge::Nosing, Edge::Back]),
        (one.undercut, [Edge::Show, Edge::Hidden]),
    );
    let mut end = EndWork {
        scribed: one.meets != Meets::Return,
        ..EndWork::one(at, meets(cutter, one.meets, at), cut)
    };
    end.cuts.extend(return_of(one).map(|returned| {
        let line = returned.width / returned.mitre.as_radians().cos();
        let nosing = [Edge::Nosing, Edge::Nosing];
        SawCut::mitred(CutFor::Return, returned.mitre, nosing).with_line(line)
    }));
    end
}

/// The return nosing at an end; `None` where there is none, or it is worked in the solid.
fn return_of(end: &TreadEnd) -> Option<&ReturnSet> {
    let returned = end.returned.as_ref();
    returned.filter(|one| one.width > Length::ZERO)
}

fn tread_notch(newel: &NewelSet, notch: &Notch, thick: Length) -> NotchWork {
    NotchWork {
        newel: newel.name.clone(),
        reaches: [
            (Edge::Nosing, notch.from_nosing),
            (Edge::OpenEnd, notch.from_open_end),
        ],
        deep: thick,
        remains: Length::ZERO,
        whole: false,
        sides: notch.sides.clone(),
        angles: notch.angles.clone(),
    }
}

fn return_nosing(
    cutter: &Cutter<'_>,
    tread: &str,
    (one, hand): (&ReturnSet, Hand),
    thick: Length,
) -> CutPiece {
    // The mitre runs back from the outer edge's long point.
    let short = one.length - one.width * one.mitre.as_radians().tan();
    let ends = [
        EndWork::one(
            EndOf::Lower,
            Some(tread.to_owned()),
            SawCut::mitred(CutFor::End, one.mitre, [Edge::Outer, Edge::Outer]),
        ),
        EndWork::square(EndOf::Upper),
    ];
    let mut piece = cutter
        .piece(
            (tread, PieceKind::ReturnNosing),
            [one.width, thick],
            (one.length, RoughOf::Small),
            ends,
        )
        .between(one.length, short);
    piece.up = FaceUp::Show;
    piece.hand = Some(hand);
    piece
}

fn kick(cutter: &Cutter<'_>, one: &KickSet) -> CutPiece {
    let name = cutter.site.kick_name(one.step);
    let meets = [(&one.left, EndOf::Left), (&one.right, EndOf::Right)];
    let meets = meets.map(|(end, at)| kick_meets(cutter, end, at));
    let mut piece = kick_piece(cutter, &name, one, meets);
    let [high, _] = piece.section;
    let skirts: Vec<&str> = cutter
        .job
        .skirts
        .iter()
        .map(|skirt| skirt.name.as_str())
        .collect();
    piece.notches = railings(cutter)
        .flat_map(|newel| newel.cutouts.iter().map(move |cut| (newel, cut)))
        .filter(|(_, cut)| cut.step == one.step && !skirts.contains(&cut.part.as_str()))
        .map(|(newel, cut)| {
            let notch = cutout(newel, cut, [Edge::OpenEnd, Edge::Top]);
            NotchWork {
                whole: cut.from_top > high - Length::mm(tolerance::DEPARTS_MM),
                ..notch
            }
        })
        .collect();
    piece
}

/// A kick of a name whose ends meet these parts, left and right.
pub(super) fn kick_piece(
    cutter: &Cutter<'_>,
    name: &str,
    one: &KickSet,
    [left, right]: [Option<String>; 2],
) -> CutPiece {
    let end = |end: &KickEnd, at: EndOf, meets: Option<String>| {
        let cut = SawCut::of(
            CutFor::End,
            (SQUARE - end.angle, [Edge::Under, Edge::Top]),
            (end.tilt, [Edge::Show, Edge::Hidden]),
        );
        EndWork {
            scribed: !end.mitred && end.meets != Meets::Return,
            ..EndWork::one(at, meets, cut)
        }
    };
    let ends = [
        end(&one.left, EndOf::Left, left),
        end(&one.right, EndOf::Right, right),
    ];
    let long = one.bottom.max(one.top);
    let short = one.short.0.min(one.short.1);
    let high = one.height.0.max(one.height.1);
    let mut piece = cutter
        .piece(
            (name, PieceKind::Kick),
            [high, one.blank.thickness],
            (long, RoughOf::Skirt),
            ends,
        )
        .between(long, short);
    piece.rough = one.blank.length;
    piece.up = FaceUp::Show;
    piece.hand = match (one.left.mitred, one.right.mitred) {
        (true, false) => Some(Hand::Left),
        (false, true) => Some(Hand::Right),
        _ => None,
    };
    piece.rips = vec![(Edge::Top, one.top_undercut)];
    piece.detail = Detail::Kick {
        widths: [one.bottom, one.top],
        heights: [one.height.0, one.height.1],
        rough_height: one.blank.depth,
    };
    piece
}

fn kick_meets(cutter: &Cutter<'_>, end: &KickEnd, at: EndOf) -> Option<String> {
    if end.mitred {
        let mut skirts = cutter.job.skirts.iter();
        return skirts
            .find(|skirt| skirt.side == Side::Open)
            .map(|skirt| skirt.name.clone());
    }
    meets(cutter, end.meets, at)
}

fn cutout(newel: &NewelSet, cut: &Cutout, edges: [Edge; 2]) -> NotchWork {
    let [first, second] = edges;
    NotchWork {
        newel: newel.name.clone(),
        reaches: [(first, cut.from_end), (second, cut.from_top)],
        deep: cut.depth,
        remains: cut.remains,
        whole: false,
        sides: cut.sides.clone(),
        angles: cut.angles.clone(),
    }
}

fn wall_skirt(cutter: &Cutter<'_>, one: &WallSkirtSet) -> Vec<CutPiece> {
    let thickness = thickness(cutter, &one.name);
    let end = |end: &SkirtEnd, at: EndOf| {
        // Plumb cuts leave the lower edge long at the bottom and the cap long at the top.
        let long = if at == EndOf::Lower {
            Edge::Under
        } else {
            Edge::Top
        };
        let other = if at == EndOf::Lower {
            Edge::Top
        } else {
            Edge::Under
        };
        let level = SawCut::mitred(CutFor::Level, end.level, [other, long]);
        let mut cuts =
            vec![SawCut::mitred(CutFor::Plumb, end.plumb, [long, other]).with_line(end.plumb_cut)];
        cuts.extend((end.level_cut > Length::ZERO).then(|| level.with_line(end.level_cut)));
        let seam = SawCut::mitred(CutFor::Seam, end.seam.skirt_mitre, [long, other]);
        cuts.push(seam.with_line(end.seam.length));
        EndWork {
            end: at,
            meets: None,
            scribed: false,
            cuts,
        }
    };
    let ends = [end(&one.bottom, EndOf::Lower), end(&one.top, EndOf::Upper)];
    let mut piece = cutter.piece(
        (&one.name, PieceKind::WallSkirt),
        [one.width, thickness],
        (one.length, RoughOf::Skirt),
        ends,
    );
    piece.up = FaceUp::Show;
    piece.hand = Some(match cutter.open_hand() {
        Hand::Left => Hand::Right,
        Hand::Right => Hand::Left,
    });
    let strips = one.strips.iter();
    let strips = strips.map(|strip| scribe_strip(cutter, &one.name, one, strip));
    std::iter::once(piece)
        .chain(strips.collect::<Vec<_>>())
        .collect()
}

fn thickness(cutter: &Cutter<'_>, skirt: &str) -> Length {
    let mut skirts = cutter.job.skirts.iter();
    let found = skirts.find(|one| one.name == skirt);
    found.map_or(Length::ZERO, |one| one.thickness.value)
}

/// A strip along a skirt's cap, as long as it runs up the slope.
fn scribe_strip(cutter: &Cutter<'_>, skirt: &str, of: &WallSkirtSet, one: &StripSet) -> CutPiece {
    let long = of.pitch.rake_over(one.to - one.from);
    let (greatest, least) = (one.greatest.0, one.least.0);
    let mut piece = cutter.piece(
        (skirt, PieceKind::ScribeStrip),
        [greatest, thickness(cutter, skirt)],
        (long, RoughOf::Skirt),
        EndWork::both([EndOf::Lower, EndOf::Upper]),
    );
    piece.up = FaceUp::Top;
    piece.detail = Detail::Strip {
        ends: [one.bottom, one.top],
        most_least: [greatest, least],
        taper: one.taper,
    };
    piece
}

fn open_skirt(cutter: &Cutter<'_>, one: &OpenSkirtSet) -> CutPiece {
    let (first, last) = (one.steps.first(), one.steps.last());
    // From the foot of the first mitre to the head of the last.
    let over = first.zip(last).map_or(Length::ZERO, |(first, last)| {
        let level = last.mark - first.mark;
        let rise = last.from + last.plumb - first.from;
        Length::mm(level.as_mm().hypot(rise.as_mm()))
    });
    let mut skirts = cutter.job.skirts.iter();
    let width = skirts
        .find(|skirt| skirt.name == one.name)
        .map_or(Length::ZERO, |skirt| skirt.width.value);
    let mitre = |at: EndOf, tilt: Option<Angle>| {
        let tilt = tilt.unwrap_or(Angle::ZERO);
        let cut = SawCut::of(
            CutFor::Plumb,
            (Angle::ZERO, [Edge::Top, Edge::Under]),
            (tilt, [Edge::Show, Edge::Hidden]),
        );
        EndWork::one(at, None, cut)
    };
    let mut piece = cutter.piece(
        (&one.name, PieceKind::OpenSkirt),
        [width, one.thickness],
        (over, RoughOf::Skirt),
        [
            mitre(EndOf::Lower, first.map(|step| step.tilt)),
            mitre(EndOf::Upper, last.map(|step| step.tilt)),
        ],
    );
    piece.up = FaceUp::Show;
    piece.hand = Some(one.hand);
    piece.notches = railings(cutter)
        .flat_map(|newel| newel.cutouts.iter().map(move |cut| (newel, cut)))
        .filter(|(_, cut)| cut.part == one.name)
        .map(|(newel, cut)| cutout(newel, cut, [Edge::KickFace, Edge::Top]))
        .collect();
    piece.detail = Detail::OpenSkirt(one.steps.clone());
    piece
}
