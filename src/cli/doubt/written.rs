//! What `doubt` prints.

use crate::cli::page::{Page, Push};
use crate::doubt::{Chance, Ended, MISS, Measured, Model, Sample};
use crate::measure::Tape;
use crate::publish::{grouped, odds, odds_within, per_cent, sentence, severity_sign, trouble_id};

use super::Asked;

/// Lines told in full.
const TOLD: usize = 20;
/// Sources named under a line.
const SOURCES: usize = 3;

pub(super) fn written(asked: &Asked<'_>, sample: &Sample) -> String {
    let job = asked.source.job();
    let mut page = Page::default();
    page.heading(&job.name);
    page.line(&asked.chain.pack.title);
    page.space();
    page.wrapped("", &how_many(sample));
    if let Some(told) = unread(asked.model) {
        page.wrapped("", &told);
    }
    whole(&mut page, sample);
    let (troubles, kept): (Vec<&Chance>, Vec<&Chance>) =
        sample.chances.iter().partition(|one| one.is_trouble());
    page.heading("Kept on the plan, and may fail");
    lines(&mut page, kept, asked.model, job.tape);
    page.heading("Troubles of the plan");
    lines(&mut page, troubles, asked.model, job.tape);
    fresh(&mut page, sample);
    results(&mut page, &sample.results, job.tape);
    page.text()
}

fn how_many(sample: &Sample) -> String {
    let draws = grouped(sample.draws);
    let why = match sample.ended {
        Ended::Enough => "every chance is known well enough",
        Ended::Most => "as many as were asked for",
        Ended::Cancelled => "ended before the others",
    };
    format!(
        "The stair drawn {draws} times as its readings leave it open and as hand and saw make it, \
         seed {}; {why}.",
        sample.wanted.seed
    )
}

fn whole(page: &mut Page, sample: &Sample) {
    page.heading("The whole stair");
    if sample.draws == 0 {
        page.line("No draw was finished.");
        return;
    }
    let chance = odds(sample.anything.share());
    let within = odds_within(sample.anything.interval(MISS));
    page.wrapped(
        "",
        &format!("Something that the plan keeps fails: {chance} ({within})."),
    );
    for (why, tally) in &sample.none {
        let chance = odds(tally.share());
        page.wrapped(
            "",
            &format!(
                "Nothing stands at all: {chance}, in {} of them. {}.",
                grouped(tally.hits),
                sentence(why)
            ),
        );
    }
    page.wrapped(
        "",
        &format!(
            "{} more that are held against a limit vary, and come nowhere near it.",
            sample.safe
        ),
    );
}

/// What nobody read, where it is left as meant.
fn unread(model: &Model) -> Option<String> {
    let sources = model.sources().iter();
    let left = sources.filter(|source| !model.counts(source)).count();
    (left > 0).then(|| {
        format!(
            "{left} quantities that nobody read stand as meant; `survey` says which to read, and \
             --unread counts them as far off as rough framing may be."
        )
    })
}

fn lines(page: &mut Page, mut chances: Vec<&Chance>, model: &Model, tape: Tape) {
    chances.sort_by(|a, b| b.tally.share().total_cmp(&a.tally.share()));
    if chances.is_empty() {
        page.line("None.");
    }
    for one in chances.iter().take(TOLD) {
        page.space();
        let sign = severity_sign(one.plan.severity);
        page.wrapped(
            &format!("{sign} "),
            &format!(
                "{} ({})  {}",
                odds(one.tally.share()),
                odds_within(one.interval()),
                trouble_id(&one.plan)
            ),
        );
        page.wrapped("    ", &sentence(&one.plan.says));
        if let Some((low, high)) = one.within() {
            page.wrapped(
                "    ",
                &format!(
                    "Nineteen times in twenty it comes out from {} to {}.",
                    tape.print(low),
                    tape.print(high)
                ),
            );
        }
        let sources = one.shares.iter().take(SOURCES).map(|&(source, share)| {
            format!("{} {}", per_cent(share), model.sources()[source].says())
        });
        let sources: Vec<String> = sources.collect();
        if !sources.is_empty() {
            page.wrapped("    ", &format!("From {}.", sources.join("; ")));
        }
    }
    if chances.len() > TOLD {
        page.space();
        page.line(&format!("{} more are in --json.", chances.len() - TOLD));
    }
}

fn fresh(page: &mut Page, sample: &Sample) {
    if sample.fresh.is_empty() {
        return;
    }
    page.heading("Troubles that the plan has not");
    for one in &sample.fresh {
        page.wrapped(
            &format!("{} ", severity_sign(one.severity)),
            &format!(
                "{}  {}; first told as: {}",
                odds(one.tally.share()),
                one.key.id(),
                one.says
            ),
        );
    }
}

fn results(page: &mut Page, results: &[Measured], tape: Tape) {
    page.heading("What it comes to, nineteen times in twenty");
    let rows: Vec<Vec<String>> = results
        .iter()
        .filter_map(|one| {
            let (low, high) = one.spread.within(1.0 - MISS)?;
            let mm = crate::measure::Length::mm;
            Some(vec![
                one.what.clone(),
                tape.print(one.planned),
                tape.print(mm(low)),
                tape.print(mm(high)),
            ])
        })
        .collect();
    let heads = ["", "planned", "less by", "more by"].map(str::to_owned);
    let rows: Vec<Vec<String>> = std::iter::once(heads.to_vec()).chain(rows).collect();
    page.table(0, &[Push::Left, Push::Right, Push::Right, Push::Right], &rows);
}
