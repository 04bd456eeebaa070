//! Fillets, and plugs over screws and bolts.

use crate::chain::Chain;
use crate::job::RoughOf;
use crate::measure::Length;
use crate::setout::Fillet;
use crate::shop::fastening;

use super::{CutFor, CutPiece, Cutter, Edge, EndOf, EndWork, FaceUp, PieceKind, SawCut, rails};

/// The fillets of a run.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let fillets = cutter.setout.fillets.iter();
    fillets.map(|one| fillet(cutter, one)).collect()
}

/// A fillet goes by the piece whose plough it fills.
fn fillet(cutter: &Cutter<'_>, one: &Fillet) -> CutPiece {
    let plumb = |long: [Edge; 2]| SawCut::mitred(CutFor::Plumb, one.angle.angle(), long);
    let ends = [
        EndWork::one(
            EndOf::Lower,
            Some(one.below.clone()),
            plumb([Edge::Under, Edge::Top]),
        ),
        EndWork::one(
            EndOf::Upper,
            Some(one.above.clone()),
            plumb([Edge::Top, Edge::Under]),
        ),
    ];
    let mut piece = cutter
        .piece(
            (&one.piece, PieceKind::Fillet),
            [one.width, one.thickness],
            (one.long_points, RoughOf::Small),
            ends,
        )
        .between(one.long_points, one.short_points);
    piece.up = FaceUp::OpenSide;
    // Both its edges are as long as its sides are apart along the slope.
    piece.edges = Some([one.edge, one.edge]);
    piece
}

/// The plugs of the whole stair: over fixings that the job tells of, and over the screws of the
/// fastening schedule. A plug is cut a little long and pared off.
pub(super) fn plugs(chain: &Chain) -> Vec<CutPiece> {
    let cutter = Cutter::new(chain, 0);
    let plugs = fastening::plugs(chain);
    plugs
        .into_iter()
        .map(|plug| {
            let (part, own) = rails::part_and_own(chain, &plug.part);
            let mut piece = cutter.piece(
                (&part, PieceKind::Plug),
                [plug.diameter, plug.diameter],
                (plug.depth, RoughOf::Small),
                EndWork::both([EndOf::Lower, EndOf::Upper]),
            );
            piece.own = own.into_iter().collect();
            piece.rough = plug.depth + PARED;
            piece.quantity = plug.number;
            piece
        })
        .collect()
}

/// What a plug stands proud before it is pared: 1/8 in, common practice, no source.
const PARED: Length = Length::inches(0.125);
