//! What `doubt` prints.

use crate::cli::page::{Page, Push};
use crate::doubt::{Chance, Ended, MISS, Measured, Model, Sample};
use crate::inspect::Severity;
use crate::measure::{Length, Tape};
use crate::publish::{
    asked, grouped, held_against, odds, odds_within, per_cent, sentence, severity_sign, trouble_id,
};

use super::Asked;

/// Lines told of each list.
const TOLD: usize = 20;
/// Sources named under a line, and the least share of one that is named.
const SOURCES: usize = 3;
const SHARE_TOLD: f64 = 0.05;

pub(super) fn written(asked: &Asked<'_>, sample: &Sample) -> String {
    let job = asked.source.job();
    let teller = Teller {
        model: asked.model,
        tape: job.tape,
    };
    let mut page = Page::default();
    page.heading(&job.name);
    page.line(&held_against(&asked.chain.pack));
    whole(&mut page, asked.model, sample);
    if sample.draws > 0 {
        let [kept, open, always] = sample.listed();
        page.heading("Kept on the plan, and may fail");
        teller.lines(&mut page, &kept, 1);
        fresh(&mut page, sample);
        if !open.is_empty() {
            page.heading("Troubles of the plan that may come out well");
            teller.lines(&mut page, &open, kept.len() + 1);
        }
        if !always.is_empty() {
            page.heading("Troubles of the plan in every draw");
            teller.certain(&mut page, &always, kept.len() + open.len() + 1);
        }
        teller.results(&mut page, &sample.results);
    }
    page.text()
}

fn whole(page: &mut Page, model: &Model, sample: &Sample) {
    page.heading("The whole stair");
    if sample.draws == 0 {
        page.line("No draw was finished.");
        return;
    }
    let chance = odds(sample.anything.share());
    let within = odds_within(sample.anything.interval(MISS));
    let unread = model.unread();
    let meant = match unread {
        0 => String::new(),
        count => format!(", if the {count} quantities that nobody read are as meant"),
    };
    let mut told = vec![format!(
        "That something fails which the plan keeps{meant}: {chance} ({within}, 95 %). Remarks (-) are \
         not counted."
    )];
    let troubles = sample
        .chances
        .iter()
        .filter(|one| one.is_trouble() && one.always() && one.plan.severity > Severity::Remark);
    match troubles.count() {
        0 => {}
        1 => told.push("One trouble of the plan fails in every draw.".to_owned()),
        count => told.push(format!("{count} troubles of the plan fail in every draw.")),
    }
    told.extend(sample.none.iter().map(|(why, tally)| {
        format!(
            "That nothing stands at all: {}, {} draws ({why}).",
            odds(tally.share()),
            grouped(tally.hits)
        )
    }));
    let why = match sample.ended {
        Ended::Enough => "every chance is known to 2 in 100 either way",
        Ended::Most => "as many as were asked for",
        Ended::Cancelled => "broken off before the rest",
    };
    told.push(format!(
        "Drawn {} times as readings leave it open and as hand and saw make it, seed {}: {why}.",
        grouped(sample.draws),
        sample.wanted.seed
    ));
    told.push(format!(
        "{} more that are held against a limit vary and come nowhere near it, or kept it in every draw.",
        sample.safe + sample.near().count()
    ));
    if unread > 0 {
        told.push(
            "`survey` says what to read next; --unread counts what nobody read as far off as rough \
             framing may be."
                .to_owned(),
        );
    }
    for line in told {
        page.wrapped("", &line);
    }
}

struct Teller<'a> {
    model: &'a Model,
    tape: Tape,
}

impl Teller<'_> {
    /// Lines, numbered on from `first`.
    fn lines(&self, page: &mut Page, chances: &[&Chance], first: usize) {
        if chances.is_empty() {
            page.line("None.");
        }
        for (number, one) in (first..).zip(chances).take(TOLD) {
            self.line(page, number, one);
        }
        if chances.len() > TOLD {
            page.line(&format!("{} more are in --json.", chances.len() - TOLD));
        }
    }

    fn line(&self, page: &mut Page, number: usize, one: &Chance) {
        let sign = severity_sign(one.plan.severity);
        let lead = format!("{number:>3} {sign:<2} ");
        let odds = odds(one.tally.share());
        let id = trouble_id(&one.plan);
        let told = format!("fails {odds} ({})  {id}", odds_within(one.interval()));
        page.space();
        page.wrapped(&lead, &told);
        let mut says = sentence(&one.plan.says);
        if let Some((low, high)) = one.within() {
            says += &format!(
                " Nineteen times in twenty it comes out from {} to {}.",
                self.tape.print(low),
                self.tape.print(high)
            );
        }
        page.wrapped("       ", &says);
        if let Some(sources) = self.sources(one) {
            page.wrapped("       ", &format!("Decided by {sources}."));
        }
    }

    /// What fails whatever comes: nothing here decides it.
    fn certain(&self, page: &mut Page, chances: &[&Chance], first: usize) {
        for (number, one) in (first..).zip(chances) {
            let sign = severity_sign(one.plan.severity);
            let within = one.within().map_or_else(String::new, |(low, high)| {
                format!(": {} to {}", self.tape.print(low), self.tape.print(high))
            });
            let asked = match asked(&one.plan, self.tape).as_str() {
                "" => String::new(),
                "none" => "; there should be none".to_owned(),
                asked => format!("; {asked}"),
            };
            page.wrapped(
                &format!("{number:>3} {sign:<2} "),
                &format!("{}{within}{asked}", trouble_id(&one.plan)),
            );
        }
    }

    fn sources(&self, one: &Chance) -> Option<String> {
        let told: Vec<String> = one
            .shares
            .iter()
            .filter(|(_, share)| *share >= SHARE_TOLD)
            .take(SOURCES)
            .map(|&(source, share)| {
                let what = self.model.sources()[source].says();
                format!("{what} ({})", per_cent(share.min(1.0)))
            })
            .collect();
        (!told.is_empty()).then(|| told.join("; "))
    }

    fn results(&self, page: &mut Page, results: &[Measured]) {
        let within = |one: &Measured| {
            let (low, high) = one.spread.within(1.0 - MISS)?;
            Some((Length::mm(low), Length::mm(high)))
        };
        page.heading("Marks and cuts, nineteen times in twenty");
        if self.model.unread() > 0 {
            page.line("What nobody read is as meant here: read it before anything is cut.");
        }
        let heads = ["planned", "from", "to", ""].map(str::to_owned).to_vec();
        let mut rows = vec![heads];
        // Of the reveals the one that is least sure.
        let reveal = |one: &&Measured| one.what.starts_with("reveal");
        let sd = |one: &Measured| one.spread.sd().unwrap_or_default();
        let loosest = results
            .iter()
            .filter(reveal)
            .max_by(|a, b| sd(a).total_cmp(&sd(b)));
        let others = results.iter().filter(|one| !reveal(one) && !one.piece);
        for one in others.chain(loosest) {
            if let Some((low, high)) = within(one) {
                let print = |length: Length| self.tape.print(length);
                rows.push(vec![
                    print(one.planned),
                    print(one.planned + low),
                    print(one.planned + high),
                    one.what.clone(),
                ]);
            }
        }
        let pushes = [Push::Right, Push::Right, Push::Right, Push::Left];
        page.table(0, &pushes, &rows);
        page.space();
        for one in results.iter().filter(|one| one.piece) {
            let told = within(one).and_then(|(low, _)| self.piece(&one.what, low));
            if let Some(told) = told {
                page.wrapped("", &told);
            }
        }
    }

    /// How long to leave a piece; nothing where the tape shows no need.
    fn piece(&self, what: &str, low: Length) -> Option<String> {
        let short = -low;
        (short > self.tape.mark() / 2.0).then(|| {
            let leave = self.tape.print(self.tape.round_up(short));
            sentence(&format!(
                "{what}, cut to the plan, is no more than {leave} short 39 times in 40: leave it \
                 {leave} longer, and fit it where it goes"
            ))
        })
    }
}

fn fresh(page: &mut Page, sample: &Sample) {
    if sample.fresh.is_empty() {
        return;
    }
    page.heading("Troubles that the plan has not at all");
    for one in &sample.fresh {
        page.wrapped(
            &format!("    {:<2} ", severity_sign(one.severity)),
            &format!(
                "{}  {}; as first met: {}",
                odds(one.tally.share()),
                one.key.id(),
                one.says
            ),
        );
    }
}
