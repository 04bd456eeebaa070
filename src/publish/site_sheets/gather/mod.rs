//! From a stair to what stands on its sheets, whatever the paper.

mod buying;
mod cuts;
mod first;
mod gaps;
mod judged;
mod running;

pub(super) use first::KeyFigure;

use super::content::{Chapter, Made, Part};
use super::views::figures;
use super::{Told, csv};
use crate::publish::report_sheet::in_words;
use crate::publish::rule_lines;
use crate::publish::shop::{CsvTable, csv_tables};
use crate::shop::cuts::cut_list;
use crate::shop::fastening::schedule;
use crate::shop::marks;

/// Chapters, drawings and tables; all of them where none is named.
pub(super) fn gather<'a>(told: &Told<'a>, only: &[Chapter], room: (f64, f64)) -> Made<'a> {
    let report = told.report;
    let (job, chain) = (report.job, report.chain);
    let wanted = |chapter: Chapter| only.is_empty() || only.contains(&chapter);
    let (list, joints, set) = (cut_list(chain), schedule(chain), marks::marks(chain));
    let words = in_words(report);
    let lines = rule_lines(report);
    let of_shop = csv_tables(&list, &joints, &set, job.tape);
    let from_shop = |names: &[&str]| -> Vec<CsvTable> {
        let all = of_shop.iter();
        all.filter(|table| names.contains(&table.name))
            .cloned()
            .collect()
    };
    let mut parts: Vec<Part<'a>> = Vec::new();
    let mut tables: Vec<CsvTable> = Vec::new();
    let (figures, not_drawn) = if wanted(Chapter::Drawings) {
        figures(chain, room, job.tape)
    } else {
        Default::default()
    };
    let first = only.is_empty().then(|| {
        let key = first::figures(chain);
        tables.push(csv::figures(&key, job.tape));
        first::first(told, &words, &key, &not_drawn)
    });
    if wanted(Chapter::Gaps) {
        parts.push(gaps::gaps(report));
        tables.extend([
            csv::reveals(chain, job.tape),
            csv::gaps(chain, job.tape),
            csv::openings(chain, job.tape),
        ]);
    }
    if wanted(Chapter::Cuts) {
        parts.push(cuts::cuts(&list, job.tape));
        tables.extend(from_shop(&[
            "cuts.csv",
            "saw.csv",
            "bores.csv",
            "winders.csv",
        ]));
    }
    if wanted(Chapter::Marks) {
        parts.push(running::marks(chain, &set, job.tape));
        tables.extend(from_shop(&["marks.csv", "treads.csv", "newels.csv"]));
    }
    if wanted(Chapter::Fastening) {
        parts.push(cuts::fastening(&joints, job.tape));
        tables.extend(from_shop(&["fastening.csv"]));
    }
    if wanted(Chapter::Buying) {
        parts.push(buying::buying(told));
        tables.extend(buying::tables(told));
    }
    if wanted(Chapter::Troubles) {
        parts.push(judged::troubles(&words));
        tables.push(csv::troubles(report));
    }
    if wanted(Chapter::Rules) {
        parts.push(judged::rules(&words, &lines, report));
        parts.push(judged::left_open(&words));
        tables.push(csv::rules(&lines, &chain.pack, job.tape));
    }
    Made {
        figures,
        not_drawn,
        parts,
        tables,
        first,
    }
}

/// The text with a capital.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}
