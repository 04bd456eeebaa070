//! The first sheet: the job, its key figures, what to mind.

use super::super::Told;
use super::super::content::{First, Part};
use super::super::table::{Table, number, text, word};
use crate::chain::{Chain, RunChain};
use crate::measure::{Length, Tape};
use crate::publish::report_sheet::ReportSheet;

/// A key figure of a run.
pub(in crate::publish::site_sheets) struct KeyFigure {
    pub(in crate::publish::site_sheets) run: String,
    pub(in crate::publish::site_sheets) what: &'static str,
    /// How many there are, where that is a figure.
    pub(in crate::publish::site_sheets) count: Option<usize>,
    /// The least and the greatest.
    pub(in crate::publish::site_sheets) span: Option<(Length, Length)>,
    /// What is no length, in words.
    pub(in crate::publish::site_sheets) words: String,
}

impl KeyFigure {
    /// The figure on the tape: one where the tape cannot tell the two apart.
    pub(in crate::publish::site_sheets) fn says(&self, tape: Tape) -> String {
        let Some((least, most)) = self.span else {
            return self.words.clone();
        };
        let (least, most) = (tape.print(least), tape.print(most));
        if least == most {
            least
        } else {
            format!("{least} to {most}")
        }
    }
}

/// Run by run.
pub(super) fn figures(chain: &Chain) -> Vec<KeyFigure> {
    chain.runs.iter().flat_map(of_run).collect()
}

fn of_run(run: &RunChain) -> Vec<KeyFigure> {
    let mut figures = Vec::new();
    let name = match &run.run.beside {
        Some(_) => format!("{}, wall side", run.run.name),
        None => run.run.name.clone(),
    };
    let mut put = |what, count: Option<usize>, span: Option<(Length, Length)>| {
        if count != Some(0) && (count.is_some() || span.is_some()) {
            figures.push(KeyFigure {
                run: name.clone(),
                what,
                count,
                span,
                words: String::new(),
            });
        }
    };
    let set = &run.setout;
    if run.run.has_stair() && run.run.job.level.is_none() {
        let steps = &run.site.steps;
        let rises = steps.iter().map(|step| Length::mm(step.rise));
        put("rises", Some(steps.len()), span(rises));
        let total = steps.iter().map(|step| step.rise).sum();
        put("floor to floor", None, span([Length::mm(total)]));
        // The last step is the upper floor: it has no going.
        let goings = steps
            .iter()
            .rev()
            .skip(1)
            .map(|step| Length::mm(step.going));
        put("goings", Some(steps.len().saturating_sub(1)), span(goings));
    }
    let rail = &set.rail;
    let window = &rail.window;
    put(
        "rail over the nosings, plumb",
        None,
        span([window.lowest.0, window.highest.0]),
    );
    put("rail, long points", None, span([rail.long_points]));
    put(
        "newels",
        Some(set.newels.len() + set.half_newels.len()),
        None,
    );
    put("balusters", Some(set.balusters.len()), None);
    put(
        "gaps",
        Some(set.gaps.len()),
        span(set.gaps.iter().map(|gap| gap.clear)),
    );
    if set.on_treads() {
        let reveals = set.reveals.iter().map(|one| one.value);
        put(
            "reveals at tread ends",
            Some(set.reveals.len()),
            span(reveals),
        );
    }
    figures.push(KeyFigure {
        run: name,
        what: "pitch of the rail",
        count: None,
        span: None,
        words: rail.pitch.angle().print_degrees(1),
    });
    figures
}

fn span(lengths: impl IntoIterator<Item = Length>) -> Option<(Length, Length)> {
    lengths.into_iter().fold(None, |span, one| match span {
        None => Some((one, one)),
        Some((least, most)) => {
            let least = if one < least { one } else { least };
            let most = if one > most { one } else { most };
            Some((least, most))
        }
    })
}

pub(super) fn first<'a>(
    told: &Told<'_>,
    words: &ReportSheet,
    figures: &[KeyFigure],
    not_drawn: &[String],
) -> First<'a> {
    let job = told.report.job;
    let title = &words.title;
    let mut part = Part::new("Key figures");
    part.table(beside(figures, job.tape));
    let mut after = Part::new("Mind");
    after.text(PRINTED);
    if !not_drawn.is_empty() {
        after.text(format!(
            "Not drawn, for which this paper is too small: {}.",
            not_drawn.join(", ")
        ));
    }
    for caution in &words.cautions {
        after.text(caution.clone());
    }
    for says in words.worth.iter().rev().take(1) {
        after.text(says.clone());
    }
    First {
        lines: vec![
            title.job.clone(),
            words.verdict.clone(),
            format!("Held against: {} ({})", title.pack, title.edition),
        ],
        part,
        after,
    }
}

/// Runs that stand beside one another; more of them stand under one another.
const BESIDE: usize = 4;

/// The figures, a column for each run.
fn beside(figures: &[KeyFigure], tape: Tape) -> Table {
    let mut runs: Vec<&str> = figures.iter().map(|one| one.run.as_str()).collect();
    runs.dedup();
    let count = |one: &KeyFigure| {
        one.count
            .map_or_else(String::new, |count| count.to_string())
    };
    if runs.len() > BESIDE {
        let rows = figures.iter().map(|one| {
            let says = one.says(tape);
            vec![one.run.clone(), one.what.to_owned(), count(one), says]
        });
        let columns = [word("run"), text("what"), number("count"), text("as found")];
        return Table::plain("figures.csv", "", &columns, rows.collect());
    }
    let mut whats: Vec<&str> = Vec::new();
    for one in figures {
        if !whats.contains(&one.what) {
            whats.push(one.what);
        }
    }
    let says = |one: &KeyFigure| match (one.count, one.says(tape)) {
        (Some(count), says) if !says.is_empty() => format!("{count} of {says}"),
        (Some(count), _) => count.to_string(),
        (None, says) => says,
    };
    let (rows, stands): (Vec<Vec<String>>, Vec<usize>) = whats
        .iter()
        .map(|what| {
            let here = |run: &&str| {
                let mut all = figures.iter();
                all.find(|one| one.what == *what && one.run == *run)
            };
            let told: Vec<Option<&KeyFigure>> = runs.iter().map(here).collect();
            let stands = told.iter().flatten().count();
            let cells = told
                .into_iter()
                .map(|one| one.map_or_else(String::new, says));
            (
                std::iter::once((*what).to_owned()).chain(cells).collect(),
                stands,
            )
        })
        .unzip();
    let mut columns = vec![text("as found")];
    columns.extend(runs.iter().map(|run| match runs.len() {
        1 => text(""),
        _ => text(format!("run {run}")),
    }));
    Table::plain("figures.csv", "", &columns, rows).standing_for(stands)
}

/// How the sheets are printed.
const PRINTED: &str = "Print at 100 %, without fitting to the page, and lay a tape on the check ruler of \
                       each sheet with drawings before you scale anything off it. Read dimensions; do \
                       not scale them.";
