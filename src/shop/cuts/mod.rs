//! The cut list: every piece with its lengths, its saw settings, what is notched and bored, and the
//! name that its part has in the picture.
//!
//! In: a [`Chain`]. Out: [`CutList`]. End cuts, notches and boards are those of the set-out.

mod balusters;
mod boards;
mod group;
mod newels;
mod numbers;
mod rails;
mod saw;
mod small;
mod types;
mod winders;

pub(crate) use newels::stands_at;
pub use numbers::DetailNumber;
pub(crate) use rails::rosette_on;
pub use saw::{Stands, upright_cut};
pub use types::*;
pub(crate) use winders::{from_narrow, in_turn, is_winder, newels_in, standing_on, winder_under};

use std::collections::BTreeSet;

use crate::chain::{Chain, RunChain};
use crate::job::{Cutting, Hand, Job, RoughOf};
use crate::measure::Length;
use crate::setout::SetOut;
use crate::setout::boards::BoardsSet;
use crate::shop::there::{Known, There};
use crate::site::Site;
use crate::solids::PartKind;

/// The cut list of a whole stair.
#[must_use]
pub fn cut_list(chain: &Chain) -> CutList {
    let (mut pieces, there) = pieces_and_there(chain);
    pieces.retain(|piece| piece.there != Standing::Fitted);
    let pieces = group::grouped(pieces, chain.first().run.job.tape);
    let untold = untold(chain, &pieces);
    CutList {
        pieces,
        there,
        untold,
    }
}

/// Parts that are cut and that no line tells of.
fn untold(chain: &Chain, pieces: &[CutPiece]) -> Vec<String> {
    let told: BTreeSet<&str> = pieces
        .iter()
        .flat_map(|piece| &piece.members)
        .map(String::as_str)
        .collect();
    let boards = [PartKind::Tread, PartKind::Kick];
    let parts = chain.solids.parts.iter();
    parts
        .filter(|part| boards.contains(&part.kind) && !told.contains(part.name.as_str()))
        .map(|part| part.name.clone())
        .collect()
}

/// Every piece of a whole stair by itself, run by run; plugs last, those of a part together.
#[must_use]
pub fn pieces(chain: &Chain) -> Vec<CutPiece> {
    pieces_and_there(chain).0
}

/// The same, and which of them are there already.
#[must_use]
pub fn pieces_and_there(chain: &Chain) -> (Vec<CutPiece>, There) {
    let mut pieces = Vec::new();
    for number in 0..chain.runs.len() {
        let cutter = Cutter::new(chain, number);
        pieces.extend(newels::all(&cutter));
        pieces.extend(rails::all(&cutter));
        pieces.extend(balusters::all(&cutter));
        pieces.extend(boards::all(&cutter));
        pieces.extend(winders::all(&cutter));
        pieces.extend(small::all(&cutter));
    }
    pieces.extend(small::plugs(chain));
    let known = Known::of(chain);
    for piece in &mut pieces {
        piece.there = standing(piece, &known);
    }
    let there = known.of_pieces(&pieces);
    (pieces, there)
}

/// Whether a piece is there already. What goes on past a rail is fitted with it; a piece that goes by
/// another part's name is not.
fn standing(piece: &CutPiece, known: &Known) -> Standing {
    let Some(name) = piece.members.first() else {
        return Standing::Wanted;
    };
    let whole = matches!(
        piece.kind,
        PieceKind::Newel | PieceKind::Rail | PieceKind::Baluster
    );
    let goes_on = matches!(
        piece.kind,
        PieceKind::Easing | PieceKind::LevelRail | PieceKind::RakedCap | PieceKind::Gooseneck
    );
    if (whole || goes_on) && known.fitted.contains(name) {
        return Standing::Fitted;
    }
    match known.received.get(name) {
        Some(one) if whole && one.taken => Standing::Received(vec![one.mark.clone()]),
        _ => Standing::Wanted,
    }
}

/// One run, and what is asked of its pieces.
struct Cutter<'a> {
    chain: &'a Chain,
    number: usize,
    run: &'a RunChain,
    job: &'a Job,
    site: &'a Site,
    setout: &'a SetOut,
    boards: BoardsSet,
    cutting: &'a Cutting,
}

impl<'a> Cutter<'a> {
    fn new(chain: &'a Chain, number: usize) -> Self {
        let run = &chain.runs[number];
        Self {
            chain,
            number,
            run,
            job: &run.run.job,
            site: &run.site,
            setout: &run.setout,
            boards: run.boards(),
            cutting: &run.run.job.cutting,
        }
    }

    /// The hand of the open side, of one going up.
    fn open_hand(&self) -> Hand {
        if self.site.outward > 0.0 {
            Hand::Left
        } else {
            Hand::Right
        }
    }

    /// The sides of an upright that look to the open side and away from it.
    fn open_and_wall(&self) -> [Edge; 2] {
        match self.open_hand() {
            Hand::Left => [Edge::Left, Edge::Right],
            Hand::Right => [Edge::Right, Edge::Left],
        }
    }

    /// A piece square at both ends; the length from corner to corner is the finished one.
    fn piece(
        &self,
        (name, kind): (&str, PieceKind),
        section: [Length; 2],
        (length, rough): (Length, RoughOf),
        ends: [EndWork; 2],
    ) -> CutPiece {
        CutPiece {
            members: vec![name.to_owned()],
            own: Vec::new(),
            quantity: 1,
            run: self.number,
            kind,
            work: Vec::new(),
            section,
            rough: length + self.cutting.over(rough),
            finished: length,
            long_points: length,
            short_points: length,
            edges: None,
            ends,
            up: FaceUp::Any,
            hand: None,
            rips: Vec::new(),
            notches: Vec::new(),
            bores: Vec::new(),
            detail: Detail::Plain,
            there: Standing::Wanted,
        }
    }
}

impl CutPiece {
    /// The same between other points.
    fn between(mut self, long: Length, short: Length) -> Self {
        self.long_points = long;
        self.short_points = short;
        self
    }

    /// Works out what is done to it, in order.
    fn worked(mut self) -> Self {
        let sides = match &self.detail {
            Detail::Winder { edges, .. } => edges.as_slice(),
            _ => &[],
        };
        let sides = sides.iter().map(|side| &side.cut);
        let cuts = self.ends.iter().flat_map(|end| &end.cuts).chain(sides);
        let told = cuts.filter(|cut| cut.what != CutFor::Seam);
        let has = |work: Work| told.clone().any(|cut| cut.work() == work);
        let both = has(Work::Mitred) && has(Work::Bevelled);
        let saw = if has(Work::Compound) || both {
            Work::Compound
        } else if has(Work::Bevelled) {
            Work::Bevelled
        } else if has(Work::Mitred) {
            Work::Mitred
        } else {
            Work::Square
        };
        let scribed = self.ends.iter().any(|end| end.scribed)
            || matches!(self.detail, Detail::Strip { .. } | Detail::Scribe(_));
        let mut work = vec![saw];
        work.extend((!self.notches.is_empty()).then_some(Work::Notched));
        work.extend(scribed.then_some(Work::Scribed));
        work.extend((!self.bores.is_empty()).then_some(Work::Bored));
        self.work = work;
        self
    }
}

impl EndWork {
    /// An end with one cut.
    fn one(end: EndOf, meets: Option<String>, cut: SawCut) -> Self {
        Self {
            end,
            meets,
            scribed: false,
            cuts: vec![cut],
        }
    }

    /// A square end that meets nothing.
    fn square(end: EndOf) -> Self {
        Self::one(end, None, SawCut::SQUARE)
    }

    /// Both ends square.
    fn both(ends: [EndOf; 2]) -> [Self; 2] {
        ends.map(Self::square)
    }
}
