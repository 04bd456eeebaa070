//! What is cut: the pieces of a stair by section, each with its rough length.
//!
//! In: a [`Chain`]. Out: [`Sectioned`] blanks. The one place that knows what the pieces are.

use crate::chain::{Chain, RunChain};
use crate::job::BoardFor;
use crate::measure::{Length, tolerance};
use crate::setout::{FittingKind, RailSet, SetOut};

use super::types::Blank;

/// What a rough length is longer than the finished one, where the set-out has no blank of its own.
/// Common practice, no source.
pub const OVER: Length = Length::inches(1.0);

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
    let mut all: Vec<(Section, Blank)> = Vec::new();
    for run in &chain.runs {
        of_rails(&run.setout, &mut all);
        of_uprights(run, &mut all);
        of_boards(run, &mut all);
    }
    let job = &chain.first().run.job;
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

fn piece(of: BoardFor, sides: (Length, Length), label: String, rough: Length) -> (Section, Blank) {
    let blank = Blank {
        label,
        rough,
        count: 1,
        matched: None,
    };
    (Section::new(of, sides), blank)
}

fn of_rails(setout: &SetOut, all: &mut Vec<(Section, Blank)>) {
    let mut straight = |of, rail: &RailSet, what: &str| {
        let label = format!("{}{what}", rail.name);
        let sides = (rail.width, rail.depth);
        all.push(piece(of, sides, label, rail.long_points + OVER));
    };
    straight(BoardFor::Rail, &setout.rail, "");
    if let Some(rail) = &setout.bottom_rail {
        straight(BoardFor::BottomRail, rail, "");
    }
    if let Some(base) = &setout.base {
        straight(BoardFor::Shoes, &base.shoe, "");
        if let Some(cap) = &base.cap {
            straight(BoardFor::Caps, cap, "");
        }
    }
    let rail = &setout.rail;
    for fitting in &rail.fittings {
        let what = match fitting.kind {
            FittingKind::Level => "level piece",
            FittingKind::Raked => "raked piece",
            FittingKind::Riser => "plumb piece",
            // Bent ones are made by themselves, or bought.
            FittingKind::Easing => continue,
        };
        let end = if fitting.upper { "upper" } else { "lower" };
        let label = format!("{} {end} {what}", rail.name);
        let sides = (rail.width, rail.depth);
        all.push(piece(BoardFor::Rail, sides, label, fitting.length + OVER));
    }
    if let Some(rail) = &setout.wall_rail {
        let sides = (rail.width, rail.depth);
        let long = rail.long_points + OVER;
        all.push(piece(BoardFor::Rail, sides, rail.name.clone(), long));
        for (returned, end) in rail.returns.iter().zip(["lower", "upper"]) {
            if let Some(returned) = returned {
                let label = format!("{} {end} return", rail.name);
                let long = returned.long_point + OVER;
                all.push(piece(BoardFor::Rail, sides, label, long));
            }
        }
    }
    for fillet in &setout.fillets {
        let sides = (fillet.width, fillet.thickness);
        let label = format!("{} {}-{}", fillet.piece, fillet.below, fillet.above);
        all.push(piece(BoardFor::Fillets, sides, label, fillet.long_points));
    }
}

fn of_uprights(run: &RunChain, all: &mut Vec<(Section, Blank)>) {
    for newel in &run.setout.newels {
        let sides = (newel.along, newel.across);
        let long = newel.height + OVER;
        all.push(piece(BoardFor::Newels, sides, newel.name.clone(), long));
    }
    for half in &run.setout.half_newels {
        let sides = (half.across, half.thickness);
        let long = half.height + OVER;
        all.push(piece(BoardFor::Newels, sides, half.name.clone(), long));
    }
    for baluster in &run.setout.balusters {
        let sides = (baluster.along, baluster.across);
        let long = baluster.long_point + baluster.peg.0 + baluster.seat + OVER;
        all.push(piece(
            BoardFor::Balusters,
            sides,
            baluster.name.clone(),
            long,
        ));
    }
}

fn of_boards(run: &RunChain, all: &mut Vec<(Section, Blank)>) {
    let boards = run.boards();
    for tread in &boards.treads {
        let blank = tread.blank;
        let sides = (blank.depth, blank.thickness);
        let label = run.site.named(format_args!("T{}", tread.step));
        all.push(piece(BoardFor::Treads, sides, label.clone(), blank.length));
        for (end, side) in [(&tread.left, "left"), (&tread.right, "right")] {
            // One that is worked in the solid is no piece.
            let returned = end.returned.filter(|one| one.width > Length::ZERO);
            if let Some(returned) = returned {
                let sides = (returned.width, blank.thickness);
                let label = format!("{label} {side} return");
                let long = returned.length + OVER;
                all.push(piece(BoardFor::Returns, sides, label, long));
            }
        }
    }
    for kick in &boards.kicks {
        let blank = kick.blank;
        let sides = (blank.depth, blank.thickness);
        let label = run.site.named(format_args!("K{}", kick.step));
        all.push(piece(BoardFor::Kicks, sides, label, blank.length));
    }
    if !run.run.has_stair() {
        return;
    }
    for skirt in &run.setout.skirts {
        let typed = run.run.job.skirts.iter().find(|one| one.name == skirt.name);
        let Some(typed) = typed else { continue };
        let on_wall = boards.wall_skirts.iter().find(|one| one.name == skirt.name);
        let long = on_wall.map_or(skirt.along_rake, |one| one.length);
        let width = on_wall.map_or(typed.width.value, |one| one.width);
        let sides = (width, typed.thickness.value);
        let label = run.site.named(format_args!("{}", skirt.name));
        all.push(piece(BoardFor::Skirts, sides, label, long + OVER));
    }
}
