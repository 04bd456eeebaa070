//! Checks of what the shop has and takes.

use super::Check;
use crate::job::limits::{
    BEAD_DIAMETER, BOARD_LENGTH, BOARD_SIDE, CARTRIDGE_ML, DEFECT, END_TRIM, KERF,
    LONGEST_CURRENCY, LONGEST_NAME, LONGEST_REMARK, MOST_BOARDS, MOST_DEFECTS, MOST_HOURS,
    MOST_LENGTHS, MOST_MATCHED, MOST_PRICE, MOST_SPENT, MOST_STOCK, SPARES_BAD, SPARES_SURE,
};
use crate::job::{BoardLength, Len, Work};

pub(super) fn check(check: &mut Check<'_>) {
    let shop = &check.job.shop;
    if let Some(kerf) = &shop.kerf {
        check.length("shop.kerf", "the saw's cut", kerf, KERF);
    }
    if let Some(trim) = &shop.trim {
        check.length("shop.trim", "the trim", trim, END_TRIM);
    }
    stock(check);
    matched(check);
    spares(check);
    beads(check);
    if shop.currency.chars().count() > LONGEST_CURRENCY {
        let problem = format!("the currency is longer than {LONGEST_CURRENCY} letters");
        check.tell("shop.currency", problem, "write it short, as \"USD\"");
    }
    for work in Work::ALL {
        if let Some(rate) = shop.rates.of(work) {
            let path = format!("shop.rates.{}", work.field());
            number(check, &path, "the rate", rate, 0.0..=MOST_HOURS, "hours");
        }
    }
    spent(check);
}

/// True for a number within bounds; else it is told.
fn number(
    check: &mut Check<'_>,
    path: &str,
    what: &str,
    value: f64,
    bounds: std::ops::RangeInclusive<f64>,
    unit: &str,
) -> bool {
    let good = bounds.contains(&value);
    if !good {
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        let problem = if value.is_finite() {
            format!("{what} is {value}")
        } else {
            format!("{what} is not a number")
        };
        let help = format!("write {} to {}{unit}", bounds.start(), bounds.end());
        check.tell(path, problem, help);
    }
    good
}

fn stock(check: &mut Check<'_>) {
    let stock = &check.job.shop.stock;
    if !check.few("shop.stock", "kinds of stock", stock.len(), MOST_STOCK) {
        return;
    }
    for (at, boards) in stock.iter().enumerate() {
        let path = format!("shop.stock[{at}]");
        let sides = [("wide", &boards.wide), ("thick", &boards.thick)];
        for (field, side) in sides {
            if let Some(side) = side {
                let what = format!("how {field} they are");
                check.length(&format!("{path}.{field}"), &what, side, BOARD_SIDE);
            }
        }
        let list = format!("{path}.lengths");
        if boards.lengths.is_empty() {
            check.tell(
                &list,
                "no length of board is given",
                "write one at least, as [(is: \"12'\", price: 40)]",
            );
        }
        if check.few(&list, "lengths", boards.lengths.len(), MOST_LENGTHS) {
            for (number, board) in boards.lengths.iter().enumerate() {
                one_length(check, &format!("{list}[{number}]"), board);
            }
        }
    }
}

fn one_length(check: &mut Check<'_>, path: &str, board: &BoardLength) {
    let sound = check.length(
        &format!("{path}.is"),
        "the length of the board",
        &board.is,
        BOARD_LENGTH,
    );
    if let Some(price) = board.price {
        let path = format!("{path}.price");
        number(check, &path, "the price", price, 0.0..=MOST_PRICE, "");
    }
    if let Some(count) = board.count {
        check.count(&format!("{path}.count"), "boards", count, 1, MOST_BOARDS);
    }
    let list = format!("{path}.defects");
    if !check.few(&list, "defects", board.defects.len(), MOST_DEFECTS) {
        return;
    }
    for (at, defect) in board.defects.iter().enumerate() {
        let path = format!("{list}[{at}]");
        let from = check.length(
            &format!("{path}.from"),
            "where it begins",
            &defect.from,
            DEFECT,
        );
        let to = check.length(&format!("{path}.to"), "where it ends", &defect.to, DEFECT);
        if from && to && defect.to.value <= defect.from.value {
            check.tell(
                &format!("{path}.to"),
                "the defect ends where it begins, or before",
                "write where it begins first: both from the same end of the board",
            );
        } else if from && sound && defect.from.value >= board.is.value {
            let long = check.print(board.is.value);
            check.tell(
                &format!("{path}.from"),
                format!("the defect begins past the board's end, at {long}"),
                "measure it from the board's end",
            );
        }
    }
}

fn matched(check: &mut Check<'_>) {
    let matched = &check.job.shop.matched;
    if !check.few("shop.matched", "groups", matched.len(), MOST_MATCHED) {
        return;
    }
    let mut seen: Vec<&str> = Vec::new();
    for (at, labels) in matched.iter().enumerate() {
        let path = format!("shop.matched[{at}]");
        if labels.len() < 2 {
            check.tell(
                &path,
                "one piece by itself matches anything",
                "write the labels of two at least, as [\"R1\", \"R2\"]",
            );
        }
        if !check.few(&path, "pieces", labels.len(), MOST_MATCHED) {
            continue;
        }
        for (number, label) in labels.iter().enumerate() {
            let path = format!("{path}[{number}]");
            if label.trim().is_empty() || label.chars().count() > LONGEST_NAME {
                check.tell(
                    &path,
                    "this is no label of a piece",
                    "write it as `stock` does, such as \"R1\"",
                );
            } else if seen.contains(&label.as_str()) {
                check.tell(
                    &path,
                    format!("`{label}` stands in two groups, or twice in one"),
                    "a piece comes off one board: put it into one group",
                );
            }
            seen.push(label);
        }
    }
}

fn spares(check: &mut Check<'_>) {
    let Some(spares) = check.job.shop.spares else {
        return;
    };
    let (bad, sure) = (SPARES_BAD, SPARES_SURE);
    number(
        check,
        "shop.spares.bad",
        "the chance of a bad one",
        spares.bad,
        bad,
        "(0.03 is three in a hundred)",
    );
    number(
        check,
        "shop.spares.sure",
        "how sure it must be",
        spares.sure,
        sure,
        "(0.95 is nineteen times in twenty)",
    );
}

fn beads(check: &mut Check<'_>) {
    let beads = &check.job.shop.beads;
    let bead = |check: &mut Check<'_>, field: &str, length: &Option<Len>| {
        if let Some(length) = length {
            let path = format!("shop.beads.{field}");
            check.length(&path, "the bead", length, BEAD_DIAMETER);
        }
    };
    bead(check, "light", &beads.light);
    bead(check, "normal", &beads.normal);
    bead(check, "heavy", &beads.heavy);
    if let Some(holds) = beads.cartridge_ml {
        let path = "shop.beads.cartridge_ml";
        number(
            check,
            path,
            "what a cartridge holds",
            holds,
            CARTRIDGE_ML,
            "ml",
        );
    }
}

fn spent(check: &mut Check<'_>) {
    let hours = &check.job.shop.hours;
    if !check.few("shop.hours", "entries", hours.len(), MOST_SPENT) {
        return;
    }
    for (at, one) in hours.iter().enumerate() {
        let path = format!("shop.hours[{at}]");
        let hours = format!("{path}.hours");
        number(
            check,
            &hours,
            "the time spent",
            one.hours,
            0.0..=MOST_HOURS,
            "hours",
        );
        if one.note.chars().count() > LONGEST_REMARK {
            check.tell(
                &format!("{path}.note"),
                format!("the note is longer than {LONGEST_REMARK} letters"),
                "shorten it",
            );
        }
    }
}
