//! `setout --fit`: a newel set down dry, in words.

use super::page::Page;
use super::source::Source;
use super::{Outcome, talk};
use crate::chain::{self, Chain};
use crate::job::Job;
use crate::measure::Tape;
use crate::publish::{DRY_FIT_CAUTION, FitMark, FitTold, dry_fit_told, json};
use crate::setout::dry_fit::DryFit;

pub(super) fn run(source: &Source, chain: &Chain, newel: &str, in_json: bool) -> Outcome {
    let fits = chain::dry_fits(chain, newel);
    if fits.is_empty() {
        return talk::fault(&unknown(chain, newel));
    }
    let job = source.job();
    let text = if in_json {
        json::dry_fit(job, chain, newel, &fits)
    } else {
        written(job, chain, newel, &fits)
    };
    talk::answer(&text, Outcome::Clean)
}

/// What newels there are.
fn unknown(chain: &Chain, newel: &str) -> String {
    let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
    let names: Vec<&str> = newels.map(|newel| newel.name.as_str()).collect();
    if names.is_empty() {
        format!("the job has no newel {newel}; it has none at all")
    } else {
        format!("the job has no newel {newel}; it has {}", names.join(", "))
    }
}

fn written(job: &Job, chain: &Chain, newel: &str, fits: &[(usize, DryFit)]) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: newel {newel}, set down dry", job.name));
    page.wrapped("", DRY_FIT_CAUTION);
    for (number, fit) in fits {
        if let Some(run) = chain.runs.get(*number).filter(|_| chain.runs.len() > 1) {
            page.heading(&format!("On run {}", run.run.name));
        }
        write_fit(&mut page, fit, job.tape);
    }
    page.text()
}

fn write_fit(page: &mut Page, fit: &DryFit, tape: Tape) {
    let told: FitTold = dry_fit_told(fit, tape);
    page.space();
    page.wrapped("  ", &told.stands);
    page.wrapped("  ", &told.cap);
    write_marks(page, "Marks to knife, in order", &told.marks);
    write_marks(page, "Its foot", &told.foot);
    let behind = told.behind.into_iter().map(|one| one.says);
    write_list(page, "Behind", behind);
    write_list(page, "Too narrow to stand", told.strips);
    if fit.cuts() || !told.shows.is_empty() {
        page.heading("Cut square instead of to the lines, this would show");
        if told.shows.is_empty() {
            page.line("  nothing that the tape reads");
        }
        for says in told.shows {
            page.wrapped("  ", &says);
        }
        if fit.cuts() {
            page.wrapped("  to the lines it is ", &told.allowance);
        }
    }
    write_list(page, "And this stand open unseen", told.unseen);
    write_list(page, "Beside it", told.beside);
}

fn write_marks(page: &mut Page, title: &str, marks: &[FitMark]) {
    if marks.is_empty() {
        return;
    }
    page.heading(title);
    for (number, mark) in marks.iter().enumerate() {
        let out = mark
            .out
            .as_ref()
            .map_or_else(String::new, |out| format!("; {out}"));
        page.wrapped(
            &format!("  {:>2}  ", number + 1),
            &format!(
                "{}, {}: {}; {}{out}",
                mark.place, mark.side, mark.off, mark.along
            ),
        );
    }
}

fn write_list(page: &mut Page, title: &str, says: impl IntoIterator<Item = String>) {
    let mut says = says.into_iter().peekable();
    if says.peek().is_some() {
        page.heading(title);
    }
    for one in says {
        page.wrapped("  ", &one);
    }
}
