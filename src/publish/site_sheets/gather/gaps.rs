//! Reveals, gaps and openings as tables.

use super::super::content::Part;
use super::super::table::{Table, number, text, word};
use crate::inspect::Opening;
use crate::publish::grid::Cell;
use crate::publish::words::opening_verdict;
use crate::publish::{Report, verdict_words};

pub(super) fn gaps<'a>(report: &Report<'_>) -> Part<'a> {
    let mut part = Part::new("Reveals, gaps, openings");
    let tape = report.job.tape;
    let several = report.chain.runs.len() > 1;
    let of = |what: &str, run: &str| {
        if several {
            format!("{what}, run {run}")
        } else {
            what.to_owned()
        }
    };
    let runs = &report.chain.runs;
    // On a shoe or a bottom rail no tread ends beside a baluster.
    for run in runs.iter().filter(|run| run.setout.on_treads()) {
        let rows = run.setout.reveals.iter();
        let rows = rows.map(|one| {
            vec![
                format!("T{}", one.step),
                one.part.clone(),
                tape.print(one.value),
            ]
        });
        let columns = [word("tread"), word("beside"), number("reveal")];
        let title = of("Reveals at tread ends, up the flight", &run.run.name);
        part.table(Table::plain("reveals.csv", title, &columns, rows.collect()));
    }
    for run in runs {
        let rows = run.setout.gaps.iter();
        let rows =
            rows.map(|gap| vec![gap.below.clone(), gap.above.clone(), tape.print(gap.clear)]);
        let columns = [word("below"), word("above"), number("clear, level")];
        let title = of("Gaps at the foot", &run.run.name);
        part.table(Table::plain("gaps.csv", title, &columns, rows.collect()));
    }
    openings(&mut part, report);
    part
}

fn openings(part: &mut Part<'_>, report: &Report<'_>) {
    let inspection = &report.chain.inspection;
    let tape = report.job.tape;
    let row = |opening: &Opening| {
        let verdict = opening_verdict(inspection, opening);
        vec![
            Cell::verdict(verdict, verdict_words(verdict)),
            opening.between.join(" and ").into(),
            tape.print(opening.ball).into(),
            tape.print(opening.limit).into(),
        ]
    };
    let columns = [
        text("answer"),
        text("between"),
        number("ball"),
        number("under"),
    ];
    let rows = inspection.openings.iter().map(row).collect();
    let table = Table::new("openings.csv", "Openings", &columns, rows);
    part.table(table.over("The ball that passes, and what it must stay under."));
}
