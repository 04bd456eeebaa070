//! Marks: newels from two fixed edges, running marks, centres on treads, the marking block.

use super::super::content::Part;
use super::super::table::{Column, Table, number, text, word};
use super::capital;
use crate::chain::Chain;
use crate::measure::Tape;
use crate::publish::dry_fit_told;
use crate::publish::shop::{
    MARK_WORDS, RowTold, TreadTold, block_told, rows_told, treads_head, treads_told,
};
use crate::shop::marks::{MarkSet, NewelMarks, RunMarks};

pub(super) fn marks<'a>(chain: &Chain, set: &MarkSet, tape: Tape) -> Part<'a> {
    let mut part = Part::new("Marks");
    part.text(MARK_WORDS);
    let several = set.runs.len() > 1;
    for run in &set.runs {
        if several && let Some(of) = chain.runs.get(run.run) {
            let side = if of.run.beside.is_some() {
                ", the railing on its wall side"
            } else {
                ""
            };
            part.head(format!("Run {}{side}", of.run.name));
        }
        of_run(&mut part, run, tape);
    }
    part
}

fn of_run(part: &mut Part<'_>, run: &RunMarks, tape: Tape) {
    if !run.newels.is_empty() {
        part.head("Newels, from two fixed edges");
    }
    for newel in &run.newels {
        of_newel(part, newel, tape);
    }
    let rows = rows_told(run, tape);
    if !rows.is_empty() {
        part.head("Running marks");
    }
    for row in &rows {
        running(part, row);
    }
    let treads = treads_told(&run.treads, tape);
    if !treads.is_empty() {
        part.head(treads_head(&run.treads));
        of_treads(part, &treads);
    }
    if let Some(block) = &run.block {
        part.head("Marking block");
        for line in block_told(block, tape) {
            part.text(line);
        }
    }
}

fn of_newel(part: &mut Part<'_>, newel: &NewelMarks, tape: Tape) {
    let told = dry_fit_told(&newel.fit, tape);
    let marks = told.foot.iter().chain(&told.marks);
    let rows: Vec<Vec<String>> = marks
        .map(|mark| {
            let out = mark.out.as_ref();
            let out = out.map_or_else(String::new, |out| format!("; {out}"));
            vec![
                mark.place.clone(),
                mark.side.clone(),
                mark.off.clone(),
                format!("{}{out}", mark.along),
            ]
        })
        .collect();
    if rows.is_empty() {
        part.text(format!("{}: {}", newel.newel, told.stands));
        return;
    }
    let columns = [text("on"), text("side"), text("off"), text("along")];
    let table = Table::plain("newels.csv", newel.newel.clone(), &columns, rows);
    part.table(table.over(told.stands));
}

fn running(part: &mut Part<'_>, row: &RowTold) {
    let bored = row.heads.last() == Some(&"bore");
    let last = row.heads.len().saturating_sub(1);
    let columns: Vec<Column> = row
        .heads
        .iter()
        .enumerate()
        .map(|(at, head)| match at {
            0 => word("mark"),
            at if at == last && bored => text(*head),
            _ => number(*head),
        })
        .collect();
    let (title, how) = row.title.split_once(": ").unwrap_or((&row.title, ""));
    let table = Table::plain("marks.csv", title, &columns, row.rows.clone());
    part.table(table.over(capital(how)));
}

/// Treads whose edges are the same share a table.
fn of_treads(part: &mut Part<'_>, treads: &[TreadTold]) {
    for run in treads.chunk_by(|a, b| a.edges == b.edges) {
        let Some(first) = run.first() else { continue };
        let [along, across] = first.edges;
        let rows: Vec<Vec<String>> = run
            .iter()
            .flat_map(|tread| {
                tread.rows.iter().map(|[name, first, second, bore]| {
                    [&tread.part, name, first, second, bore]
                        .map(Clone::clone)
                        .to_vec()
                })
            })
            .collect();
        let columns = [
            word("on"),
            word("mark"),
            number("first"),
            number("second"),
            text("bore"),
        ];
        let table = Table::plain("treads.csv", "", &columns, rows);
        part.table(table.over(format!(
            "Centres, the first figure square from {along}, the second from {across}, along the surface."
        )));
    }
}
