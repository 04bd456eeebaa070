//! Winders are wider than boards: what each is glued up from.
//!
//! In: the pieces of the cut list. Out: a [`GlueUp`] for each winder's blank. The boards are those of
//! the stair's other treads of that thickness; where there are none, one as wide as the blank is told,
//! to be bought or glued.

use crate::measure::{Length, tolerance};
use crate::shop::cuts::{CutPiece, Detail, PieceKind};

/// A blank glued up edge to edge, the grain along it.
#[derive(Clone, Debug, PartialEq)]
pub struct GlueUp {
    /// The winder, by its name in the picture.
    pub part: String,
    /// Length of the blank, along the grain.
    pub long: Length,
    /// Its width, square to the grain.
    pub wide: Length,
    /// Its thickness.
    pub thick: Length,
    /// How many boards it takes.
    pub boards: u32,
    /// The width of each, before its edges are jointed.
    pub board: Length,
    /// The area of the winder that is cut from it, mm^2.
    pub area_mm2: f64,
}

impl GlueUp {
    /// The area of the blank, mm^2.
    #[must_use]
    pub fn blank_area_mm2(&self) -> f64 {
        self.long.as_mm() * self.wide.as_mm()
    }
}

/// What jointing takes off two boards at every joint, both edges together: 1/8 in, common practice, no
/// source.
pub const JOINTED: Length = Length::inches(0.125);

/// So many boards of a width make a blank as wide as asked.
#[must_use]
pub fn boards_for_width(wide: Length, board: Length) -> u32 {
    let hair = Length::mm(tolerance::SAME_POINT_MM);
    let each = board - JOINTED;
    if wide <= board + hair || each <= Length::ZERO {
        return 1;
    }
    let more = (wide - board - hair).as_mm() / each.as_mm();
    1 + more.ceil().max(0.0) as u32
}

/// What every winder is glued up from.
#[must_use]
pub fn glue_ups(pieces: &[CutPiece]) -> Vec<GlueUp> {
    let winders = pieces.iter().filter(|one| one.kind == PieceKind::Winder);
    winders.filter_map(|one| glue_up(pieces, one)).collect()
}

fn glue_up(pieces: &[CutPiece], one: &CutPiece) -> Option<GlueUp> {
    let Detail::Winder {
        rough_depth,
        area_mm2,
        ..
    } = one.detail
    else {
        return None;
    };
    let thick = one.section[1];
    let same =
        |other: &&CutPiece| (other.section[1] - thick).abs() < Length::mm(tolerance::DEPARTS_MM);
    let treads = pieces
        .iter()
        .filter(same)
        .filter_map(|other| match other.detail {
            Detail::Tread { rough_depth, .. } => Some(rough_depth),
            _ => None,
        });
    let board = treads.reduce(Length::max).unwrap_or(rough_depth);
    Some(GlueUp {
        part: one.members.first()?.clone(),
        long: one.rough,
        wide: rough_depth,
        thick,
        boards: boards_for_width(rough_depth, board),
        board,
        area_mm2,
    })
}
