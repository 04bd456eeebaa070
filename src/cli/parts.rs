//! `parts`: every part of the solid model.

use super::args::Parts;
use super::page::{Page, Push};
use super::{Outcome, source, talk};
use crate::chain::Chain;
use crate::job::Job;
use crate::measure::Tape;
use crate::publish::file;
use crate::publish::json;
use crate::publish::parts::{
    PARTS_CAUTION, cut_lines, kind_sums, litres, part_word, parts_csv, run_of,
};
use crate::shop::parts::{PartLine, parts};

pub(super) fn run(command: &Parts) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let (job, lines) = (source.job(), parts(&chain));
    let text = if command.json {
        json::parts(job, &chain, &lines)
    } else if command.csv {
        let table = parts_csv(&chain, &lines, job.tape).text().ok();
        match table.and_then(|table| String::from_utf8(table).ok()) {
            Some(text) => text,
            None => return talk::fault("cannot write the table"),
        }
    } else {
        written(job, &chain, &lines)
    };
    let Some(to) = &command.to else {
        return talk::answer(&text, Outcome::Clean);
    };
    // What styles a terminal has no place in a file.
    let plain = anstream::adapter::strip_str(&text).to_string();
    match file::write_over(to, plain.as_bytes()) {
        Ok(()) => talk::answer(&format!("{}\n", to.display()), Outcome::Clean),
        Err(error) => talk::fault(&file::why(to, &error)),
    }
}

fn written(job: &Job, chain: &Chain, lines: &[PartLine]) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: parts", job.name));
    page.wrapped("", PARTS_CAUTION);
    let head = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    let mut rows: Vec<Vec<String>> = vec![head(&["", "", "litres"])];
    rows.extend(kind_sums(lines).into_iter().map(|sum| {
        vec![
            sum.count.to_string(),
            sum.kind.to_owned(),
            litres(sum.volume),
        ]
    }));
    page.heading("What there is");
    page.table(2, &[Push::Right, Push::Left, Push::Right], &rows);
    page.heading("Part by part");
    page.wrapped(
        "",
        "Length from end to end along the part, volume, and the lines of `cuts --csv` that name it. \
         Where each stands: --json or --csv.",
    );
    let several = chain.runs.len() > 1;
    let mut rows: Vec<Vec<String>> =
        vec![head(&["", "", "run", "length", "litres", "lines of cuts"])];
    rows.extend(lines.iter().map(|part| line(job, chain, part)));
    if !several {
        for row in &mut rows {
            row.remove(2);
        }
    }
    let mut pushes = vec![Push::Left, Push::Left, Push::Left];
    pushes.truncate(if several { 3 } else { 2 });
    pushes.extend([Push::Right, Push::Right, Push::Left]);
    page.table(2, &pushes, &rows);
    if lines.iter().any(|part| part.shared > 0.0) {
        let shared = lines.iter().filter(|part| part.shared > 0.0);
        let names: Vec<&str> = shared.map(|part| part.name.as_str()).collect();
        page.space();
        page.wrapped(
            "",
            &format!(
                "Drawn of pieces that overlap, which are counted once: {}.",
                names.join(", ")
            ),
        );
    }
    page.text()
}

fn line(job: &Job, chain: &Chain, part: &PartLine) -> Vec<String> {
    let cut = cut_lines(part);
    let of = [Some(cut), part.stuff.clone()];
    let of: Vec<String> = of
        .into_iter()
        .flatten()
        .filter(|word| !word.is_empty())
        .collect();
    let received = part
        .received
        .as_ref()
        .map_or(String::new(), |mark| format!(" (received: {mark})"));
    vec![
        part.name.clone(),
        part_word(part.kind, part.string).to_owned(),
        run_of(chain, part).to_owned(),
        job.tape.print(part.length),
        litres(part.volume),
        format!("{}{received}", of.join(", ")),
    ]
}
