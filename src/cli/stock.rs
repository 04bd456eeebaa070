//! `stock`: the boards to cut from, what to buy, the hours.

use std::path::Path;

use super::args::Stock as Command;
use super::page::{Page, Push};
use super::{Outcome, file, source, talk};
use crate::chain;
use crate::job::{Job, Shop};
use crate::measure::Tape;
use crate::publish::boards::{Telling, boards};
use crate::publish::drawing::svg_plain;
use crate::publish::json;
use crate::publish::stock::{
    bead_at_words, bead_word, buy_words, cuts_csv, money, plan_says, rate_field, section_words,
    some_of, stock_field, unmatched_says,
};
use crate::shop::buy::Purchase;
use crate::shop::hours::Hours;
use crate::shop::prices::{self, Prices};
use crate::shop::reckoning::{Reckoning, reckon};
use crate::shop::stock::{CannotCut, Plan, SectionPlan, saw};

/// No price list is larger.
const MOST_BYTES: u64 = 4 * 1024 * 1024;

pub(super) fn run(command: &Command) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source,
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
    let outcome = say_faults(command, job, &reckoned, &prices);
    talk::answer(&text, outcome)
}

fn read_prices(path: &Path, job: &Job) -> Result<Prices, String> {
    let shown = path.display();
    let size = std::fs::metadata(path).map_err(|error| format!("cannot read {shown}: {error}"))?;
    if size.len() > MOST_BYTES {
        return Err(format!(
            "{shown} is larger than {} MB: that is no price list",
            MOST_BYTES / 1024 / 1024
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| format!("cannot read {shown}: {error}"))?;
    let text = String::from_utf8(bytes)
        .map_err(|_not_utf8| format!("{shown} is not text in UTF-8: save it again as that"))?;
    Ok(prices::read(&text, job.units, &job.shop.currency))
}

/// Says what is wrong with the price list and the boards.
fn say_faults(command: &Command, job: &Job, reckoned: &Reckoning, prices: &Prices) -> Outcome {
    let mut outcome = Outcome::Clean;
    let list = command.prices.as_deref();
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
        let says = plan_says(one, currency(job, prices), job.tape);
        talk::say(&format!("{section}: {says}"));
        outcome = Outcome::Fault;
    }
    if outcome == Outcome::Fault {
        return talk::fault("not all of it can be planned or priced as given");
    }
    outcome
}

fn currency<'a>(job: &'a Job, prices: &'a Prices) -> &'a str {
    prices.currency.as_deref().unwrap_or(&job.shop.currency)
}

fn write_files(
    command: &Command,
    job: &Job,
    reckoned: &Reckoning,
    prices: &Prices,
) -> Result<(), String> {
    if let Some(path) = &command.csv {
        let text = cuts_csv(&reckoned.plans, job.tape);
        file::write_over(path, text.as_bytes()).map_err(|error| file::why(path, &error))?;
    }
    let Some(folder) = &command.boards else {
        return Ok(());
    };
    std::fs::create_dir_all(folder)
        .map_err(|error| format!("cannot make {}: {error}", folder.display()))?;
    let telling = Telling {
        tape: job.tape,
        currency: currency(job, prices),
        saw: saw(&job.shop),
    };
    for (number, one) in reckoned.plans.iter().enumerate() {
        if let Some(drawing) = boards(one, telling) {
            let kind = one.section.of.word().replace(' ', "-");
            let path = folder.join(format!("boards-{}-{kind}.svg", number + 1));
            let text = svg_plain(&drawing);
            file::write_over(&path, text.as_bytes()).map_err(|error| file::why(&path, &error))?;
        }
    }
    Ok(())
}

fn written(job: &Job, reckoned: &Reckoning, prices: &Prices) -> String {
    let (tape, currency) = (job.tape, currency(job, prices));
    let mut page = Page::default();
    page.heading(&job.name);
    page.wrapped("", &saw_words(&job.shop, tape));
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

fn saw_words(shop: &Shop, tape: Tape) -> String {
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

/// Pieces that no boards are given for.
fn write_bare(page: &mut Page, bare: &[&SectionPlan], tape: Tape) {
    let Some(first) = bare.first() else { return };
    page.heading("No boards are given for");
    let heads = ["", "pieces", "in all", "longest"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(bare.iter().map(|one| {
        vec![
            section_words(&one.section, tape),
            one.count().to_string(),
            tape.print_feet(one.length()),
            tape.print(one.longest()),
        ]
    }));
    let pushes = [Push::Left, Push::Right, Push::Right, Push::Right];
    page.table(2, &pushes, &rows);
    page.space();
    let says = format!(
        "To plan boards for them write, as for the first, {}; wide and thick may say for which section \
         they are, count how many there are, defects where no piece may lie.",
        stock_field(&first.section)
    );
    page.wrapped("  ", &says);
}

fn write_section(page: &mut Page, one: &SectionPlan, currency: &str, tape: Tape) {
    page.heading(&sentence_case(&section_words(&one.section, tape)));
    let pieces = match one.count() {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    };
    page.wrapped(
        "  ",
        &format!(
            "{pieces}, {} in all, the longest {}",
            tape.print_feet(one.length()),
            tape.print(one.longest())
        ),
    );
    page.wrapped("  ", &plan_says(one, currency, tape));
    if let Ok(plan) = &one.plan {
        write_boards(page, plan, tape);
    }
}

fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|one| one.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn write_boards(page: &mut Page, plan: &Plan, tape: Tape) {
    let heads = ["board", "long", "left", "cuts, from the end on"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(plan.boards.iter().enumerate().map(|(at, board)| {
        let cuts: Vec<String> = board
            .cuts
            .iter()
            .map(|cut| format!("{} {}", cut.label, tape.print(cut.to - cut.from)))
            .collect();
        vec![
            (at + 1).to_string(),
            tape.print_feet(board.length),
            tape.print(board.offcut()),
            cuts.join(", "),
        ]
    }));
    page.space();
    let pushes = [Push::Right, Push::Right, Push::Right, Push::Left];
    page.table(2, &pushes, &rows);
}

fn write_purchase(page: &mut Page, purchase: &Purchase, job: &Job, currency: &str) {
    let tape = job.tape;
    page.heading("To buy");
    let heads = ["item", "need", "spare", "buy", "each", "cost", ""];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    let amount = |amount: Option<f64>| amount.map_or_else(|| "?".to_owned(), |one| money(one, ""));
    rows.extend(purchase.lines.iter().map(|line| {
        vec![
            line.item.to_owned(),
            line.needed.to_string(),
            line.spare.to_string(),
            line.buy().to_string(),
            amount(line.price.map(|one| one.0)),
            amount(line.cost()),
            buy_words(line, tape),
        ]
    }));
    let mut pushes = [Push::Right; 7];
    pushes[0] = Push::Left;
    pushes[6] = Push::Left;
    page.table(2, &pushes, &rows);
    write_total(page, purchase, currency);
    write_adhesive(page, purchase, tape);
    let says = match job.shop.spares {
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
    };
    page.wrapped("  ", &says);
    page.wrapped(
        "  ",
        "Screws, brads and plugs are those of the fastening schedule (`cuts`); of screws and bolts that \
         the job tells of only the bore is known. Buy some over.",
    );
}

fn per_cent(share: f64) -> String {
    let text = format!("{:.2}", share * 100.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text} %")
}

fn write_total(page: &mut Page, purchase: &Purchase, currency: &str) {
    page.space();
    let mut without: Vec<&str> = purchase.without().map(|line| line.item).collect();
    without.dedup();
    let total = match (purchase.total(), without.is_empty()) {
        (Some(total), true) => format!("Total {}.", money(total, currency)),
        (Some(total), false) => format!(
            "Total {} without {}, which have no price: give a price list with --prices.",
            money(total, currency),
            some_of(&without)
        ),
        (None, _) => {
            "No prices are known: give a price list with --prices, a line for each item under \
             item,length,price,currency."
                .to_owned()
        }
    };
    page.wrapped("  ", &total);
}

fn write_adhesive(page: &mut Page, purchase: &Purchase, tape: Tape) {
    let adhesive = &purchase.adhesive;
    if adhesive.beads.is_empty() {
        return;
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
    page.wrapped(
        "  ",
        &format!(
            "Adhesive: {}; {:.0} ml, cartridges of {:.0} ml. Beads by common practice, no source; \
             shop.beads states your own.{unread}",
            beads.join(", "),
            adhesive.millilitres(),
            adhesive.cartridge_ml
        ),
    );
}

fn write_hours(page: &mut Page, hours: &Hours) {
    page.heading("Hours");
    let heads = ["", "count", "each", "plan", "spent", "off", "on"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    let cell = |hours: Option<f64>| hours.map_or_else(|| "?".to_owned(), |one| format!("{one:.2}"));
    let spent = |hours: Option<f64>| hours.map_or_else(String::new, |one| format!("{one:.2}"));
    let off = |plan: Option<f64>, spent: Option<f64>| {
        let both = plan.zip(spent);
        both.map_or_else(String::new, |(plan, spent)| format!("{:+.2}", spent - plan))
    };
    let shown = |line: &&crate::shop::hours::WorkLine| !line.on.is_empty() || line.spent.is_some();
    rows.extend(hours.lines.iter().filter(shown).map(|line| {
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
    }));
    let mut pushes = [Push::Right; 7];
    pushes[0] = Push::Left;
    pushes[6] = Push::Left;
    page.table(2, &pushes, &rows);
    page.space();
    page.wrapped("  ", &hours_say(hours));
}

fn hours_say(hours: &Hours) -> String {
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

#[cfg(test)]
mod tests {
    use super::{per_cent, sentence_case};

    #[test]
    fn shares_are_told_without_needless_digits() {
        assert_eq!(per_cent(0.95), "95 %");
        assert_eq!(per_cent(0.9999), "99.99 %");
        assert_eq!(sentence_case("rail, 2"), "Rail, 2");
    }
}
