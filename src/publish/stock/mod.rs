//! Boards, purchase and hours in words, and the cuts as a table of comma-separated values.
//!
//! In: what the shop reckoned. Out: sentences on the job's tape, and CSV.

pub mod told;

use crate::job::Work;
use crate::measure::{Length, Tape};
use crate::publish::shop::{drill, shank};
use crate::shop::buy::{Bead, BeadAt, BuyLine};
use crate::shop::prices::PLUG;
use crate::shop::stock::{CannotCut, CheapIn, Section, SectionPlan, Unmatched};

use super::shop::CsvTable;

/// Money, to two places, in the job's currency.
#[must_use]
pub fn money(amount: f64, currency: &str) -> String {
    let gap = if currency.is_empty() { "" } else { " " };
    format!("{amount:.2}{gap}{currency}")
}

/// A section: what for, and its sides.
#[must_use]
pub fn section_words(section: &Section, tape: Tape) -> String {
    let up_to = if section.is_ripped() { "up to " } else { "" };
    format!(
        "{}, {up_to}{} by {}",
        section.of.word(),
        tape.print(section.wide),
        tape.print(section.thick)
    )
}

/// How good a plan is, or why there is none and what would do.
#[must_use]
pub fn plan_says(one: &SectionPlan, currency: &str, tape: Tape) -> String {
    let plan = match &one.plan {
        Ok(plan) => plan,
        Err(why) => return cannot_says(one, why, tape),
    };
    let cost = match plan.cheap_in {
        CheapIn::Price => money(plan.cost, currency),
        CheapIn::Length => format!("{} of board", tape.print_feet(Length::mm(plan.cost))),
    };
    if !plan.short.is_empty() {
        let missing: u32 = plan.short.iter().map(|(_, count)| count).sum();
        let labels: Vec<&str> = plan
            .short
            .iter()
            .map(|(blank, _)| one.blanks[*blank].label.as_str())
            .collect();
        return format!(
            "the boards given are too few: {missing} of {} found none ({}); give more boards, or \
             leave the count out where more can be bought. What there is makes {cost}",
            pieces_words(one.count()),
            some_of(&labels)
        );
    }
    let how_good = match plan.gap() {
        _ if plan.is_best() => "proven: no plan costs less".to_owned(),
        Some(gap) if gap <= 0.0 => "proven: no plan costs less".to_owned(),
        Some(gap) => format!("at most {} dearer than the best there is", share(gap)),
        None => "how good that is was not found out".to_owned(),
    };
    let by = match plan.cheap_in {
        CheapIn::Price => "",
        CheapIn::Length if one.stock.iter().all(|stock| stock.price.is_some()) => {
            ", the least length of board, as all prices are nought"
        }
        CheapIn::Length => ", the least length of board, as not every length has a price",
    };
    format!("{cost}{by}; {how_good}")
}

/// A share in per cent, rounded up so that it stays a bound.
fn share(gap: f64) -> String {
    format!("{:.2} %", (gap * 1e4).ceil() / 100.0)
}

fn pieces_words(count: u32) -> String {
    match count {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    }
}

/// What to write into a job to give boards for a section.
#[must_use]
pub fn stock_field(section: &Section) -> String {
    format!(
        "shop: (stock: [(of: {}, lengths: [(is: \"12'\", price: 40)])])",
        section.of.field()
    )
}

fn cannot_says(one: &SectionPlan, why: &CannotCut, tape: Tape) -> String {
    let of = one.section.of.field();
    match why {
        CannotCut::NoStock => format!(
            "no boards are given for it; to plan them write {}",
            stock_field(&one.section)
        ),
        CannotCut::TooLong { pieces, longest } => {
            let told: Vec<String> = pieces
                .iter()
                .map(|(blank, long)| {
                    let blank = &one.blanks[*blank];
                    let group = blank.matched.as_ref();
                    let label = group.map_or_else(
                        || blank.label.clone(),
                        |group| format!("{group} off one board"),
                    );
                    format!("{label} needs {}", tape.print(*long))
                })
                .collect();
            let mut told: Vec<&str> = told.iter().map(String::as_str).collect();
            told.dedup();
            let longer = pieces.iter().map(|piece| piece.1);
            let longer = longer.fold(Length::ZERO, Length::max) - *longest;
            format!(
                "longer than any board holds: {}; the longest clear stretch is {}. A board {} longer \
                 would do, or a joint in the piece, or a group of matched pieces parted",
                some_of(&told),
                tape.print(*longest),
                tape.print(tape.round_up(longer))
            )
        }
        CannotCut::WhichSection => format!(
            "boards of {of} that are counted or have defects would serve pieces of several sections: \
             say with wide and thick which they are"
        ),
        CannotCut::NoLength => "a length among pieces, boards or the saw is none".to_owned(),
        CannotCut::TooMany(count) => format!(
            "{count} pieces are more than are planned in one go, {}",
            crate::shop::stock::MOST_PIECES
        ),
    }
}

/// A few of many.
#[must_use]
pub fn some_of(all: &[&str]) -> String {
    const FEW: usize = 8;
    let told = all.iter().take(FEW).copied().collect::<Vec<_>>().join(", ");
    match all.len().checked_sub(FEW) {
        None | Some(0) => told,
        Some(more) => format!("{told} and {more} more"),
    }
}

/// Why pieces cannot be matched.
#[must_use]
pub fn unmatched_says(one: &Unmatched) -> String {
    let mut says = format!("shop.matched[{}]: ", one.group);
    if !one.unknown.is_empty() {
        let labels: Vec<&str> = one.unknown.iter().map(String::as_str).collect();
        says += &format!("no piece is called {}", some_of(&labels));
    }
    if one.several {
        if !one.unknown.is_empty() {
            says += "; ";
        }
        says += "its pieces are of several sections, and no board gives them all";
    }
    says
}

/// What a line of the purchase list is, beside its item.
#[must_use]
pub fn buy_words(line: &BuyLine, tape: Tape) -> String {
    let sides = |section: &Section| {
        let up_to = if section.is_ripped() { "up to " } else { "" };
        format!(
            "{up_to}{} by {}",
            tape.print(section.wide),
            tape.print(section.thick)
        )
    };
    match (&line.section, line.length) {
        (Some(section), Some(length)) if line.board => {
            format!("board {} long, {}", tape.print_feet(length), sides(section))
        }
        (Some(section), Some(length)) => {
            format!("up to {} long, {}", tape.print(length), sides(section))
        }
        (None, Some(long)) if line.sides.is_some() => {
            let sides = line.sides.iter().flatten();
            let sizes: Vec<String> = sides.map(|side| tape.print(*side)).collect();
            format!("up to {} by {}", tape.print(long), sizes.join(" by "))
        }
        (None, long) => {
            let thick = line.diameter.map(|it| match line.item {
                PLUG => drill(it, tape),
                _ => shank(it, tape),
            });
            let long = long.map(|it| tape.print(it));
            let sizes: Vec<String> = thick.into_iter().chain(long).collect();
            sizes.join(" by ")
        }
        _ => String::new(),
    }
}

/// Where beads lie.
#[must_use]
pub const fn bead_at_words(at: BeadAt) -> &'static str {
    match at {
        BeadAt::Treads => "treads on stringers",
        BeadAt::Kicks => "kicks on stringers",
        BeadAt::Heads => "heads of kicks under treads",
    }
}

/// How thick a bead is.
#[must_use]
pub const fn bead_word(bead: Bead) -> &'static str {
    match bead {
        Bead::Light => "light",
        Bead::Normal => "normal",
        Bead::Heavy => "heavy",
    }
}

/// What one of this work is, for what to type.
#[must_use]
pub fn rate_field(work: Work) -> String {
    format!("shop.rates.{}", work.field())
}

/// What a stretch that no piece lies on is called among the pieces.
const SKIP: &str = "(skip)";

/// Every cut of every board, and what is to be skipped, a row for each piece, lengths exact in millimetres and on the tape.
#[must_use]
pub fn board_cuts(plans: &[SectionPlan], tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for one in plans {
        let Ok(plan) = &one.plan else { continue };
        for (number, board) in plan.boards.iter().enumerate() {
            let cuts = board.cuts.iter();
            let cuts = cuts.map(|cut| (cut.from, cut.to, cut.label.as_str()));
            let skipped = told::skips(one, board).map(|(from, to)| (from, to, SKIP));
            let mut all: Vec<(Length, Length, &str)> = cuts.chain(skipped).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
            for (from, to, what) in all {
                let long = to - from;
                let mm = |length: Length| format!("{:.4}", length.as_mm());
                rows.push(vec![
                    one.section.of.word().to_owned(),
                    mm(one.section.wide),
                    mm(one.section.thick),
                    (number + 1).to_string(),
                    mm(board.length),
                    what.to_owned(),
                    mm(from),
                    mm(to),
                    mm(long),
                    tape.print(from),
                    tape.print(long),
                ]);
            }
        }
    }
    CsvTable {
        name: "board-cuts.csv",
        heads: vec![
            "for",
            "wide_mm",
            "thick_mm",
            "board",
            "board_length_mm",
            "piece",
            "from_mm",
            "to_mm",
            "length_mm",
            "from",
            "length",
        ],
        rows,
    }
}
