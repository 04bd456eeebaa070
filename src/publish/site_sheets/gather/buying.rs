//! Boards with their cuts, what to buy, hours.

use super::super::content::Part;
use super::super::table::{Table, number, text, word};
use super::super::{Told, csv};
use super::capital;
use crate::publish::boards::{Telling, board_within};
use crate::publish::shop::CsvTable;
use crate::publish::stock::{board_cuts, plan_says, section_words, told as words};
use crate::shop::stock::{CannotCut, SectionPlan, saw};

/// Boards that are drawn; the rest are in the table.
const DRAWN: usize = 60;

/// Sections with boards, and those without.
fn sections<'a>(told: &Told<'a>) -> (Vec<&'a SectionPlan>, Vec<&'a SectionPlan>) {
    let plans = told.reckoned.plans.iter();
    plans.partition(|one| !matches!(one.plan, Err(CannotCut::NoStock)))
}

/// True where the job has rates, or tells of hours spent.
fn has_hours(told: &Told<'_>) -> bool {
    let hours = &told.reckoned.hours;
    hours.planned().is_some() || hours.spent().is_some()
}

pub(super) fn buying<'a>(told: &Told<'a>) -> Part<'a> {
    let job = told.report.job;
    let (tape, currency) = (job.tape, told.prices.currency_of(job));
    let mut part = Part::new("Boards and buying");
    let (given, bare) = sections(told);
    part.small(words::saw_words(&job.shop, tape));
    let telling = Telling {
        tape,
        currency,
        saw: saw(&job.shop),
    };
    let mut drawn = 0;
    for one in given {
        section(&mut part, one, telling, &mut drawn);
    }
    if let Some(first) = bare.first() {
        let [_, pieces, all, longest] = words::BARE_HEADS;
        let columns = [text("for"), number(pieces), number(all), number(longest)];
        let rows = words::bare_rows(&bare, tape);
        part.table(Table::plain(
            "no-boards.csv",
            "No boards are given for",
            &columns,
            rows,
        ));
        part.small(words::bare_says(first));
    }
    let [item, need, spare, buy, each, cost, _] = words::BUY_HEADS;
    let columns = [
        word(item),
        number(need),
        number(spare),
        number(buy),
        number(each),
        number(cost),
        text("what"),
    ];
    let purchase = &told.reckoned.purchase;
    part.table(Table::plain(
        "buying.csv",
        "To buy",
        &columns,
        words::buy_rows(purchase, tape),
    ));
    for says in words::buy_says(purchase, &job.shop, currency, tape) {
        part.text(says);
    }
    if has_hours(told) {
        let [_, count, each, plan, spent, off, on] = words::HOUR_HEADS;
        let columns = [
            text("work"),
            number(count),
            number(each),
            number(plan),
            number(spent),
            number(off),
            text(on),
        ];
        let rows = words::hour_rows(&told.reckoned.hours);
        part.table(Table::plain("hours.csv", "Hours", &columns, rows));
        part.text(words::hours_say(&told.reckoned.hours));
    }
    part
}

/// The boards of a section, the first few of all drawn.
fn section<'a>(part: &mut Part<'a>, one: &'a SectionPlan, telling: Telling<'a>, drawn: &mut usize) {
    let tape = telling.tape;
    part.head(capital(&section_words(&one.section, tape)));
    part.text(format!("{}.", words::pieces_say(one, tape)));
    let says = plan_says(one, telling.currency, tape);
    part.text(format!("{}.", capital(&says)));
    if let Some(says) = words::skips_say(one) {
        part.text(says);
    }
    let Ok(plan) = &one.plan else { return };
    for at in 0..plan.boards.len() {
        *drawn += 1;
        if *drawn <= DRAWN {
            part.drawn(move |width| board_within(one, at, telling, width));
        }
    }
    let [number_, long, left, cuts] = words::BOARD_HEADS;
    let columns = [number(number_), number(long), number(left), text(cuts)];
    let rows = words::board_rows(one, tape);
    part.table(Table::plain("boards.csv", "", &columns, rows));
}

pub(super) fn tables(told: &Told<'_>) -> Vec<CsvTable> {
    let tape = told.report.job.tape;
    let (given, bare) = sections(told);
    let mut tables = vec![
        csv::boards(&given, tape),
        board_cuts(&told.reckoned.plans, tape),
        csv::no_boards(&bare, tape),
        csv::buying(&told.reckoned.purchase, tape),
    ];
    if has_hours(told) {
        tables.push(csv::hours(&told.reckoned.hours));
    }
    tables
}
