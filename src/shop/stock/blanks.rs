//! What is cut from boards: the pieces of the cut list by section, each with its rough length.
//!
//! In: a [`Chain`]. Out: [`Sectioned`] blanks.

use crate::chain::Chain;
use crate::job::{BoardFor, Hand, Job};
use crate::measure::{Length, tolerance};
use crate::shop::cuts::{CutPiece, Detail, PieceKind, Standing, pieces};

use super::glued::{GlueUp, glue_ups};
use super::types::Blank;

/// A purpose and a section: what is cut from the same boards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// What for.
    pub of: BoardFor,
    /// The greater side of the section.
    pub wide: Length,
    /// The smaller one.
    pub thick: Length,
}

impl Section {
    /// A section with its greater side first.
    #[must_use]
    pub fn new(of: BoardFor, sides: (Length, Length)) -> Self {
        Self {
            of,
            wide: sides.0.max(sides.1),
            thick: sides.0.min(sides.1),
        }
    }

    /// True where it is cut from boards of this section: treads and kicks are ripped from boards as
    /// wide or wider, all else is of one width.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        self.of == other.of
            && near(self.thick, other.thick)
            && (self.is_ripped() || near(self.wide, other.wide))
    }

    /// True where pieces are ripped to their width.
    #[must_use]
    pub const fn is_ripped(&self) -> bool {
        matches!(self.of, BoardFor::Treads | BoardFor::Kicks)
    }

    /// True where boards that are said to be so wide and thick will do.
    #[must_use]
    pub fn takes(&self, wide: Option<Length>, thick: Option<Length>) -> bool {
        let wide =
            wide.is_none_or(|wide| near(wide, self.wide) || self.is_ripped() && wide > self.wide);
        wide && thick.is_none_or(|thick| near(thick, self.thick))
    }
}

/// True for the same side of a section.
fn near(a: Length, b: Length) -> bool {
    (a - b).abs() < Length::mm(tolerance::DEPARTS_MM)
}

/// Pieces of one section, in the order of the stair.
#[derive(Clone, Debug, PartialEq)]
pub struct Sectioned {
    /// The section.
    pub section: Section,
    /// The pieces.
    pub blanks: Vec<Blank>,
}

/// Every piece that is cut to length, section by section in the order of [`BoardFor::ALL`], rough
/// lengths up to the next mark of the job's tape.
#[must_use]
pub fn blanks(chain: &Chain) -> Vec<Sectioned> {
    blanks_of(&pieces(chain), &chain.first().run.job)
}

/// The same of pieces that are known already; what is there is cut from no board.
#[must_use]
pub fn blanks_of(pieces: &[CutPiece], job: &Job) -> Vec<Sectioned> {
    let wanted = pieces.iter().filter(|one| one.there == Standing::Wanted);
    let mut all: Vec<(Section, Blank)> = wanted.filter_map(blank).collect();
    all.extend(glue_ups(pieces).iter().flat_map(strips));
    for (_, blank) in &mut all {
        blank.rough = job.tape.round_up(blank.rough);
        let group = job
            .shop
            .matched
            .iter()
            .find(|one| one.contains(&blank.label));
        blank.matched = group.map(|labels| labels.join(", "));
    }
    sections(all)
}

/// Pieces sorted by their section; matched ones in the order that they are matched in.
#[must_use]
pub fn sections(all: Vec<(Section, Blank)>) -> Vec<Sectioned> {
    let mut found: Vec<Sectioned> = Vec::new();
    for (section, blank) in all {
        match found.iter_mut().find(|one| one.section.is_like(&section)) {
            Some(there) => {
                there.section.wide = there.section.wide.max(section.wide);
                there.blanks.push(blank);
            }
            None => found.push(Sectioned {
                section,
                blanks: vec![blank],
            }),
        }
    }
    found.sort_by(|a, b| {
        let sides = |one: &Sectioned| (one.section.wide, one.section.thick);
        let ((aw, at), (bw, bt)) = (sides(a), sides(b));
        let wide = bw.total_cmp(&aw).then(bt.total_cmp(&at));
        a.section.of.cmp(&b.section.of).then(wide)
    });
    for one in &mut found {
        in_order(&mut one.blanks);
    }
    found
}

/// Puts matched pieces into the order of their group, each in a place that one of them had.
fn in_order(blanks: &mut [Blank]) {
    let groups: Vec<String> = blanks
        .iter()
        .filter_map(|one| one.matched.clone())
        .collect();
    for group in groups {
        let places: Vec<usize> = (0..blanks.len())
            .filter(|at| blanks[*at].matched.as_ref() == Some(&group))
            .collect();
        let mut own: Vec<Blank> = places.iter().map(|at| blanks[*at].clone()).collect();
        let place = |label: &str| group.split(", ").position(|one| one == label);
        own.sort_by_key(|one| place(&one.label));
        for (at, one) in places.into_iter().zip(own) {
            blanks[at] = one;
        }
    }
}

/// The boards that a winder is glued up from.
fn strips(one: &GlueUp) -> Vec<(Section, Blank)> {
    let section = Section::new(BoardFor::Treads, (one.board, one.thick));
    let blank = |number: u32| Blank {
        label: format!("{} board {number}", one.part),
        rough: one.long,
        count: 1,
        matched: None,
    };
    (1..=one.boards)
        .map(|number| (section, blank(number)))
        .collect()
}

/// The board that a piece of the cut list is cut from; `None` for what is bought, or made of what is
/// left over.
fn blank(piece: &CutPiece) -> Option<(Section, Blank)> {
    let [wide, thick] = piece.section;
    // Treads and kicks are ripped from what leaves enough to scribe and joint.
    let wide = match piece.detail {
        Detail::Tread { rough_depth, .. } => rough_depth,
        Detail::Kick { rough_height, .. } => rough_height,
        _ => wide,
    };
    let blank = Blank {
        label: label(piece),
        rough: piece.rough,
        count: piece.quantity,
        matched: None,
    };
    Some((Section::new(boards_for(piece.kind)?, (wide, thick)), blank))
}

const fn boards_for(kind: PieceKind) -> Option<BoardFor> {
    Some(match kind {
        PieceKind::Newel | PieceKind::HalfNewel => BoardFor::Newels,
        PieceKind::Rail
        | PieceKind::LevelRail
        | PieceKind::RakedCap
        | PieceKind::Gooseneck
        | PieceKind::WallRail
        | PieceKind::RailReturn => BoardFor::Rail,
        PieceKind::BottomRail => BoardFor::BottomRail,
        PieceKind::BaseCap => BoardFor::Caps,
        PieceKind::Shoe => BoardFor::Shoes,
        PieceKind::Baluster => BoardFor::Balusters,
        PieceKind::Fillet => BoardFor::Fillets,
        PieceKind::Tread => BoardFor::Treads,
        PieceKind::ReturnNosing => BoardFor::Returns,
        PieceKind::Kick => BoardFor::Kicks,
        PieceKind::OpenSkirt | PieceKind::WallSkirt => BoardFor::Skirts,
        // Bends and rosettes are bought or made by themselves, panels are sheets, a string is glued up
        // for its stair, and the rest comes off what is left over.
        // A winder is glued up from boards of the treads: see `glued`.
        PieceKind::Winder
        | PieceKind::Easing
        | PieceKind::Rosette
        | PieceKind::String
        | PieceKind::Panel
        | PieceKind::Block
        | PieceKind::ScribeStrip
        | PieceKind::Plug => return None,
    })
}

/// What is written on a piece: its name in the picture, with what it is where several go by one.
fn label(piece: &CutPiece) -> String {
    let name = piece.called().first().map_or("", String::as_str);
    match piece.kind {
        PieceKind::ReturnNosing => {
            let side = match piece.hand {
                Some(Hand::Right) => "right",
                _ => "left",
            };
            format!("{name} {side} return")
        }
        PieceKind::Fillet => {
            let meets = piece.ends.each_ref().map(|end| end.meets.as_deref());
            match meets {
                [Some(below), Some(above)] => format!("{name} {below}-{above}"),
                _ => name.to_owned(),
            }
        }
        _ => name.to_owned(),
    }
}
