//! Boards, purchase and hours as tables and sentences: what the command line prints and what a sheet
//! holds alike.
//!
//! In: what the shop reckoned. Out: heads and rows of text on the job's tape, and sentences.

use crate::job::Shop;
use crate::measure::{Length, Tape};
use crate::publish::shop::area_words;
use crate::publish::shop::there_words;
use crate::shop::buy::Purchase;
use crate::shop::hours::{Hours, WorkLine};
use crate::shop::reckoning::Reckoning;
use crate::shop::stock::{Board, CannotCut, JOINTED, SectionPlan, saw};

use super::{
    bead_at_words, bead_word, buy_words, money, rate_field, section_words, some_of, stock_field,
};

/// What the saw takes.
#[must_use]
pub fn saw_words(shop: &Shop, tape: Tape) -> String {
    let saw = saw(shop);
    let usual = if shop.kerf.is_none() && shop.trim.is_none() {
        "; usual values, common practice with no source: shop.kerf and shop.trim state your own"
    } else {
        ""
    };
    format!(
        "The saw takes {} a cut; {} is cut off either end of a board{usual}. Rough lengths, up to the \
         next mark.",
        tape.print(saw.kerf),
        tape.print(saw.trim)
    )
}

/// The columns of what has no boards.
pub const BARE_HEADS: [&str; 4] = ["", "pieces", "in all", "longest"];

/// Sections that no boards are given for.
#[must_use]
pub fn bare_rows(bare: &[&SectionPlan], tape: Tape) -> Vec<Vec<String>> {
    let rows = bare.iter().map(|one| {
        vec![
            section_words(&one.section, tape),
            one.count().to_string(),
            tape.print_feet(one.length()),
            tape.print(one.longest()),
        ]
    });
    rows.collect()
}

/// What to write to plan boards for a section and its fellows.
#[must_use]
pub fn bare_says(first: &SectionPlan) -> String {
    format!(
        "To plan boards for them write, as for the first, {}; wide and thick may say for which section \
         they are, count how many there are, defects where no piece may lie.",
        stock_field(&first.section)
    )
}

/// How many pieces of a section, and how long.
#[must_use]
pub fn pieces_say(one: &SectionPlan, tape: Tape) -> String {
    let pieces = match one.count() {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    };
    format!(
        "{pieces}, {} in all, the longest {}",
        tape.print_feet(one.length()),
        tape.print(one.longest())
    )
}

/// The columns of boards.
pub const BOARD_HEADS: [&str; 4] = ["board", "long", "left", "from the end on"];

/// The boards of a plan.
#[must_use]
pub fn board_rows(one: &SectionPlan, tape: Tape) -> Vec<Vec<String>> {
    let boards = one.plan.iter().flat_map(|plan| &plan.boards).enumerate();
    let rows = boards.map(|(at, board)| {
        vec![
            (at + 1).to_string(),
            tape.print_feet(board.length),
            left_words(board, tape),
            along_words(one, board, tape),
        ]
    });
    rows.collect()
}

/// What is left of a board, the greatest first.
#[must_use]
pub fn left_words(board: &Board, tape: Tape) -> String {
    let each = board.offcuts.iter().map(|(from, to)| *to - *from);
    let mut left: Vec<Length> = each.filter(|long| *long > tape.mark() / 2.0).collect();
    left.sort_by(|a, b| b.total_cmp(a));
    let told: Vec<String> = left.iter().map(|long| tape.print(*long)).collect();
    told.join(" + ")
}

/// The stretches of a board on which nothing may lie.
pub fn skips<'a>(
    one: &'a SectionPlan,
    board: &Board,
) -> impl Iterator<Item = (Length, Length)> + 'a {
    let stock = one.stock.get(board.stock);
    let defects = stock.into_iter().flat_map(|stock| {
        let ends = stock.defects.iter();
        ends.map(|(from, to)| (*from, (*to).min(stock.length)))
    });
    defects.filter(|(from, to)| to > from)
}

/// A stretch to be skipped.
#[must_use]
pub fn skip_words((from, to): (Length, Length), tape: Tape) -> String {
    format!("skip {} to {}", tape.print(from), tape.print(to))
}

/// Pieces and what is to be skipped, in the order in which they lie on the board.
fn along_words(one: &SectionPlan, board: &Board, tape: Tape) -> String {
    let cuts = board.cuts.iter().map(|cut| {
        let long = tape.print(cut.to - cut.from);
        (cut.from, format!("{} {long}", cut.label))
    });
    let skipped = skips(one, board).map(|skip| (skip.0, skip_words(skip, tape)));
    let mut told: Vec<(Length, String)> = cuts.chain(skipped).collect();
    told.sort_by(|a, b| a.0.total_cmp(&b.0));
    let told: Vec<String> = told.into_iter().map(|(_, says)| says).collect();
    told.join(", ")
}

/// How boards with something to skip are laid, where there are any.
#[must_use]
pub fn skips_say(one: &SectionPlan) -> Option<&'static str> {
    let mut boards = one.plan.iter().flat_map(|plan| &plan.boards);
    let any = boards.any(|board| skips(one, board).next().is_some());
    any.then_some(
        "Mark the end of such a board that its defects were measured from and cut from that end on: what \
         is to be skipped is measured from it, and no piece lies there.",
    )
}

/// The columns of what is bought.
pub const BUY_HEADS: [&str; 7] = ["item", "need", "spare", "buy", "each", "cost", ""];

/// What is bought.
#[must_use]
pub fn buy_rows(purchase: &Purchase, tape: Tape) -> Vec<Vec<String>> {
    let amount = |amount: Option<f64>| amount.map_or_else(|| "?".to_owned(), |one| money(one, ""));
    let rows = purchase.lines.iter().map(|line| {
        vec![
            line.item.to_owned(),
            line.needed.to_string(),
            line.spare.to_string(),
            line.buy().to_string(),
            amount(line.price.map(|one| one.0)),
            amount(line.cost()),
            buy_words(line, tape),
        ]
    });
    rows.collect()
}

/// What is bought besides, in sentences: the total, adhesive, spares, screws.
#[must_use]
pub fn buy_says(purchase: &Purchase, shop: &Shop, currency: &str, tape: Tape) -> Vec<String> {
    let mut says = there_words(&purchase.there);
    says.push(total(purchase, currency));
    says.extend(adhesive(purchase, tape));
    says.extend(glue_ups(purchase, tape));
    says.push(match shop.spares {
        Some(spares) => format!(
            "Spare balusters: as few as leave enough good ones in {} of cases, where {} are bad.",
            per_cent(spares.sure),
            per_cent(spares.bad)
        ),
        None => {
            "No spare balusters: shop: (spares: (bad: 0.03, sure: 0.95)) states how many are bad \
                 and how sure it must be that enough are good."
                .to_owned()
        }
    });
    says.push(
        "Screws, brads and plugs are those of the fastening schedule; of screws and bolts that the job \
         tells of only the bore is known. Buy some over."
            .to_owned(),
    );
    says
}

/// What it comes to, first of all: boards that are missing, what is to be bought, the hours.
#[must_use]
pub fn in_short(reckoned: &Reckoning, currency: &str) -> String {
    let purchase = &reckoned.purchase;
    let cost = match (purchase.total(), purchase.without().count()) {
        (None, _) => "no price is known".to_owned(),
        (Some(total), 0) => money(total, currency),
        (Some(total), 1) => format!("{}, one item without a price", money(total, currency)),
        (Some(total), some) => {
            format!("{}, {some} items without a price", money(total, currency))
        }
    };
    let hours = match reckoned.hours.planned() {
        Some(hours) => format!("{hours:.2} hours planned"),
        None => "no rate of work is known".to_owned(),
    };
    let boards = reckoned.plans.iter();
    let bare = boards.filter(|one| matches!(one.plan, Err(CannotCut::NoStock)));
    let boards = match bare.count() {
        0 => String::new(),
        1 => "; one kind of piece has no boards given".to_owned(),
        many => format!("; {many} kinds of pieces have no boards given"),
    };
    format!("To buy: {cost}; {hours}{boards}.")
}

fn total(purchase: &Purchase, currency: &str) -> String {
    let mut without: Vec<&str> = purchase.without().map(|line| line.item).collect();
    without.dedup();
    match (purchase.total(), without.is_empty()) {
        (Some(total), true) => format!("Total {}.", money(total, currency)),
        (Some(total), false) if purchase.listed => format!(
            "Total {} without {}: the price list has no price for them, a board's by its length.",
            money(total, currency),
            some_of(&without)
        ),
        (Some(total), false) => format!(
            "Total {} without {}, which have no price: give a price list with --prices.",
            money(total, currency),
            some_of(&without)
        ),
        (None, _) if purchase.listed => format!(
            "The price list has no price for anything here: it wants a line for each of {} under \
             item,length,price,currency.",
            some_of(&without)
        ),
        (None, _) => {
            "No prices are known: give a price list with --prices, a line for each item under \
             item,length,price,currency."
                .to_owned()
        }
    }
}

fn adhesive(purchase: &Purchase, tape: Tape) -> Option<String> {
    let adhesive = &purchase.adhesive;
    if adhesive.beads.is_empty() {
        return None;
    }
    let beads: Vec<String> = adhesive
        .beads
        .iter()
        .map(|run| {
            format!(
                "{} of a {} bead ({}) for {}",
                tape.print_feet(run.length),
                bead_word(run.bead),
                tape.print(run.diameter),
                bead_at_words(run.at)
            )
        })
        .collect();
    let unread = if adhesive.unread {
        " No gap on a stringer was read, so all beds are taken as normal."
    } else {
        ""
    };
    Some(format!(
        "Adhesive: {}; {:.0} ml, cartridges of {:.0} ml. Beads by common practice, no source; \
         shop.beads states your own.{unread}",
        beads.join(", "),
        adhesive.millilitres(),
        adhesive.cartridge_ml
    ))
}

/// What winders are glued up from, or bought as.
fn glue_ups(purchase: &Purchase, tape: Tape) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    let each = purchase.glue_ups.iter().map(|one| {
        let from = match one.boards {
            1 => format!("from one board {} wide", print(one.board)),
            many => format!(
                "of {many} boards {} wide, counted among the treads' boards",
                print(one.board)
            ),
        };
        format!(
            "{} is {} of tread: glue up {} along the grain by {}, {} thick, {} in all, {from}; or buy it \
             as one panel.",
            one.part,
            area_words(one.area_mm2, tape),
            print(one.long),
            print(one.wide),
            print(one.thick),
            area_words(one.blank_area_mm2(), tape),
        )
    });
    let mut says: Vec<String> = each.collect();
    if !says.is_empty() {
        says.push(format!(
            "Winders: the grain along the nosing; {} is reckoned for jointing two edges (common \
             practice, no source).",
            print(JOINTED)
        ));
    }
    says
}

/// The columns of hours.
pub const HOUR_HEADS: [&str; 7] = ["", "count", "each", "plan", "spent", "off", "on"];

/// Hours by work; work that nothing asks for and nobody spent hours on is left out.
#[must_use]
pub fn hour_rows(hours: &Hours) -> Vec<Vec<String>> {
    let cell = |hours: Option<f64>| hours.map_or_else(|| "?".to_owned(), |one| format!("{one:.2}"));
    let spent = |hours: Option<f64>| hours.map_or_else(String::new, |one| format!("{one:.2}"));
    let off = |plan: Option<f64>, spent: Option<f64>| {
        let both = plan.zip(spent);
        both.map_or_else(String::new, |(plan, spent)| format!("{:+.2}", spent - plan))
    };
    let rows = shown_hours(hours).map(|line| {
        let on: Vec<&str> = line.on.iter().map(String::as_str).collect();
        let on = if line.work.is_trouble() {
            some_of(&on)
        } else {
            String::new()
        };
        vec![
            line.work.words().to_owned(),
            line.on.len().to_string(),
            cell(line.rate),
            cell(line.hours()),
            spent(line.spent),
            off(line.hours(), line.spent),
            on,
        ]
    });
    rows.collect()
}

/// The lines of hours that are told.
pub fn shown_hours(hours: &Hours) -> impl Iterator<Item = &WorkLine> {
    let lines = hours.lines.iter();
    lines.filter(|line| !line.on.is_empty() || line.spent.is_some())
}

/// What the hours come to, and what they are without.
#[must_use]
pub fn hours_say(hours: &Hours) -> String {
    let lacking: Vec<String> = hours.lacking().map(|one| rate_field(one.work)).collect();
    let lacking: Vec<&str> = lacking.iter().map(String::as_str).collect();
    let mut says = match hours.planned() {
        None => "No rates are given, and none are assumed: they are yours.".to_owned(),
        Some(planned) => {
            let trouble = hours.added_by_trouble().filter(|added| *added > 0.0);
            let trouble = trouble.map_or_else(String::new, |added| {
                format!(", {added:.2} of it for this stair's trouble")
            });
            format!("Plan {planned:.2} hours{trouble}.")
        }
    };
    if !lacking.is_empty() {
        let without = if hours.planned().is_some() {
            "Without"
        } else {
            "Write"
        };
        says += &format!(
            " {without} {}: hours that one takes, as shop: (rates: (tread: 0.5)).",
            lacking.join(", ")
        );
    }
    if let Some(spent) = hours.spent() {
        says += &format!(" Spent {spent:.2} hours.");
    }
    says
}

fn per_cent(share: f64) -> String {
    let text = format!("{:.2}", share * 100.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text} %")
}

#[cfg(test)]
mod tests {
    use super::per_cent;

    #[test]
    fn shares_are_told_without_needless_digits() {
        assert_eq!(per_cent(0.95), "95 %");
        assert_eq!(per_cent(0.9999), "99.99 %");
    }
}
