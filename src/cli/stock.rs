//! `stock`: the boards to cut from, what to buy, the hours.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use super::args::Stock as Command;
use super::page::{Page, Push};
use super::{Outcome, source, talk};
use crate::chain;
use crate::job::Job;
use crate::job::whole::plain;
use crate::measure::Tape;
use crate::publish::boards::{Telling, boards};
use crate::publish::drawing::svg_plain;
use crate::publish::file;
use crate::publish::json;
use crate::publish::stock::{board_cuts, plan_says, section_words, told, unmatched_says};
use crate::shop::buy::Purchase;
use crate::shop::hours::Hours;
use crate::shop::prices::{self, Prices};
use crate::shop::reckoning::{Reckoning, reckon};
use crate::shop::stock::{CannotCut, SectionPlan, saw};

/// No price list is larger.
const MOST_BYTES: u64 = 4 * 1024 * 1024;

pub(super) fn run(command: &Command) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let fitted = match chain::fitted(&chain) {
        Ok(fitted) => fitted,
        Err(error) => return source::say_chain_fault(&source, error),
    };
    let job = source.job();
    let prices = match &command.prices {
        None => Prices::default(),
        Some(path) => match read_prices(path, job) {
            Ok(prices) => prices,
            Err(problem) => return talk::fault(&problem),
        },
    };
    let reckoned = reckon(&chain, job, &fitted, &prices);
    if let Err(problem) = write_files(command, job, &reckoned, &prices) {
        return talk::fault(&problem);
    }
    let text = if command.json {
        json::stock(job, &reckoned, &prices)
    } else {
        written(job, &reckoned, &prices)
    };
    let outcome = say_faults(command.prices.as_deref(), job, &reckoned, &prices);
    talk::answer(&text, outcome)
}

/// The price list at a path.
pub(super) fn read_prices(path: &Path, job: &Job) -> Result<Prices, String> {
    let shown = path.display();
    let cannot = |error: std::io::Error| format!("cannot read {shown}: {}", plain(&error));
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(cannot)?;
    // One more than is allowed, whatever the system says of its size.
    file.take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(cannot)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(format!(
            "{shown} is larger than {} MB: that is no price list",
            MOST_BYTES / 1024 / 1024
        ));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_not_utf8| format!("{shown} is not text in UTF-8: save it again as that"))?;
    Ok(prices::read(&text, job.units, &job.shop.currency))
}

/// Says what is wrong with the price list and the boards.
pub(super) fn say_faults(
    list: Option<&Path>,
    job: &Job,
    reckoned: &Reckoning,
    prices: &Prices,
) -> Outcome {
    let mut outcome = Outcome::Clean;
    let list = list.map_or_else(String::new, |path| path.display().to_string());
    for fault in &prices.faults {
        talk::say(&format!(
            "{list}:{}: {}; {}",
            fault.line, fault.problem, fault.help
        ));
        if !fault.remark {
            outcome = Outcome::Fault;
        }
    }
    for one in &reckoned.unmatched {
        talk::say(&unmatched_says(one));
        outcome = Outcome::Fault;
    }
    for one in reckoned.plans.iter().filter(|one| one.is_short()) {
        let section = section_words(&one.section, job.tape);
        let says = plan_says(one, prices.currency_of(job), job.tape);
        talk::say(&format!("{section}: {says}"));
        outcome = Outcome::Fault;
    }
    if outcome == Outcome::Fault {
        return talk::fault("not all of it can be planned or priced as given");
    }
    outcome
}

fn write_files(
    command: &Command,
    job: &Job,
    reckoned: &Reckoning,
    prices: &Prices,
) -> Result<(), String> {
    if let Some(path) = &command.csv {
        let text = board_cuts(&reckoned.plans, job.tape)
            .text()
            .map_err(|error| error.to_string())?;
        file::write_over(path, &text).map_err(|error| file::why(path, &error))?;
    }
    let Some(folder) = &command.boards else {
        return Ok(());
    };
    let telling = Telling {
        tape: job.tape,
        currency: prices.currency_of(job),
        saw: saw(&job.shop),
    };
    let mut files = Vec::new();
    for (number, one) in reckoned.plans.iter().enumerate() {
        if let Some(drawing) = boards(one, telling) {
            let kind = one.section.of.word().replace(' ', "-");
            let name = format!("boards-{}-{kind}.svg", number + 1);
            files.push((name, svg_plain(&drawing).into_bytes()));
        }
    }
    file::write_all(folder, &files)
}

fn written(job: &Job, reckoned: &Reckoning, prices: &Prices) -> String {
    let (tape, currency) = (job.tape, prices.currency_of(job));
    let mut page = Page::default();
    page.heading(&job.name);
    page.wrapped("", &told::in_short(reckoned, currency));
    page.wrapped("", &told::saw_words(&job.shop, tape));
    let (bare, given): (Vec<_>, Vec<_>) = reckoned
        .plans
        .iter()
        .partition(|one| matches!(one.plan, Err(CannotCut::NoStock)));
    for one in given {
        write_section(&mut page, one, currency, tape);
    }
    write_bare(&mut page, &bare, tape);
    write_purchase(&mut page, &reckoned.purchase, job, currency);
    write_hours(&mut page, &reckoned.hours);
    page.text()
}

/// Pieces that no boards are given for.
fn write_bare(page: &mut Page, bare: &[&SectionPlan], tape: Tape) {
    let Some(first) = bare.first() else { return };
    page.heading("No boards are given for");
    let pushes = [Push::Left, Push::Right, Push::Right, Push::Right];
    write_table(
        page,
        &pushes,
        &told::BARE_HEADS,
        told::bare_rows(bare, tape),
    );
    page.space();
    page.wrapped("  ", &told::bare_says(first));
}

fn write_table(page: &mut Page, pushes: &[Push], heads: &[&str], rows: Vec<Vec<String>>) {
    let mut all = vec![heads.iter().map(|head| (*head).to_owned()).collect()];
    all.extend(rows);
    page.table(2, pushes, &all);
}

fn write_section(page: &mut Page, one: &SectionPlan, currency: &str, tape: Tape) {
    page.heading(&sentence_case(&section_words(&one.section, tape)));
    page.wrapped("  ", &told::pieces_say(one, tape));
    page.wrapped("  ", &plan_says(one, currency, tape));
    if let Some(says) = told::skips_say(one) {
        page.wrapped("  ", says);
    }
    if one.plan.is_ok() {
        write_boards(page, one, tape);
    }
}

fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|one| one.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn write_boards(page: &mut Page, one: &SectionPlan, tape: Tape) {
    page.space();
    let pushes = [Push::Right, Push::Right, Push::Right, Push::Left];
    write_table(
        page,
        &pushes,
        &told::BOARD_HEADS,
        told::board_rows(one, tape),
    );
}

fn write_purchase(page: &mut Page, purchase: &Purchase, job: &Job, currency: &str) {
    page.heading("To buy");
    let mut pushes = [Push::Right; 7];
    pushes[0] = Push::Left;
    pushes[6] = Push::Left;
    write_table(
        page,
        &pushes,
        &told::BUY_HEADS,
        told::buy_rows(purchase, job.tape),
    );
    page.space();
    for says in told::buy_says(purchase, &job.shop, currency, job.tape) {
        page.wrapped("  ", &says);
    }
}

fn write_hours(page: &mut Page, hours: &Hours) {
    page.heading("Hours");
    let mut pushes = [Push::Right; 7];
    pushes[0] = Push::Left;
    pushes[6] = Push::Left;
    write_table(page, &pushes, &told::HOUR_HEADS, told::hour_rows(hours));
    page.space();
    page.wrapped("  ", &told::hours_say(hours));
}

#[cfg(test)]
mod tests {
    use super::sentence_case;

    #[test]
    fn a_section_begins_with_a_capital() {
        assert_eq!(sentence_case("rail, 2"), "Rail, 2");
    }
}
