//! `cuts`: what is cut, marked, bored and fastened.

use super::args::Cuts;
use super::page::{Page, Push};
use super::{Outcome, source, talk};
use crate::chain::Chain;
use crate::job::Job;
use crate::measure::Tape;
use crate::publish::file;
use crate::publish::shop::{
    ANCHOR_CAUTION, CutSet, JOINT_HEADS, JointTold, MARK_WORDS, RowTold, SAW_CAUTION, SAW_WORDS,
    TreadTold, block_told, csv_tables, cut_tables, joints_told, rows_told, stations, there_words,
    treads_head, treads_told, untold_words, work_word,
};
use crate::publish::{FitMark, dry_fit_told, json};
use crate::setout::dry_fit::Board;
use crate::shop::cuts::{CutList, cut_list};
use crate::shop::fastening::{Schedule, schedule};
use crate::shop::marks::{MarkSet, NewelMarks, RunMarks, marks};

pub(super) fn run(command: &Cuts) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let job = source.job();
    let (list, schedule, marks) = (cut_list(&chain), schedule(&chain), marks(&chain));
    if let Some(folder) = &command.csv {
        let tables = csv_tables(&list, &schedule, &marks, job.tape);
        let mut files = Vec::new();
        for table in tables {
            let Ok(text) = table.text() else {
                return talk::fault(&format!("cannot write {}", table.name));
            };
            files.push((table.name.to_owned(), text));
        }
        if let Err(why) = file::write_all(folder, &files) {
            return talk::fault(&why);
        }
        talk::say(&format!("wrote the tables into {}", folder.display()));
    }
    let text = if command.json {
        json::cuts(job, &chain, &list, &schedule, &marks)
    } else if command.marks {
        written_marks(job, &chain, &marks)
    } else {
        written(job, &list, &schedule)
    };
    talk::answer(&text, Outcome::Clean)
}

fn written(job: &Job, list: &CutList, schedule: &Schedule) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: cut list", job.name));
    page.wrapped("", SAW_CAUTION);
    page.wrapped(
        "",
        &format!("{SAW_WORDS} Where each bore goes: `cuts --marks`."),
    );
    for says in there_words(&list.there) {
        page.space();
        page.wrapped("", &says);
    }
    for table in cut_tables(list, job.tape) {
        page.heading(&format!("Cut {}", work_word(table.work)));
        for set in &table.sets {
            write_set(&mut page, set);
        }
    }
    if let Some(says) = untold_words(&list.untold) {
        page.space();
        page.wrapped("", &says);
    }
    let stations = stations(list);
    if !stations.is_empty() {
        page.heading("From the saw on");
    }
    for (work, who) in stations {
        page.wrapped(&format!("  {:<8}  ", work_word(work)), &who);
    }
    page.heading("Fastening");
    page.wrapped("", ANCHOR_CAUTION);
    write_joints(&mut page, &joints_told(schedule, job.tape));
    page.text()
}

fn write_set(page: &mut Page, set: &CutSet) {
    page.space();
    let lies = if set.ends.is_empty() {
        String::new()
    } else {
        format!(": {}", set.ends.join("; "))
    };
    page.wrapped("  ", &format!("{}{lies}", set.title));
    let mut pushes = vec![Push::Right; set.heads.len()];
    if let Some(last) = pushes.last_mut() {
        *last = Push::Left;
    }
    let mut rows = vec![set.heads.iter().map(|head| (*head).to_owned()).collect()];
    rows.extend(set.rows.iter().cloned());
    page.table(4, &pushes, &rows);
    for (who, says) in set.then_alike() {
        let lead = if who.len() > 1 && who.len() == set.rows.len() {
            "all".to_owned()
        } else {
            who.join(", ")
        };
        if lead.chars().count() <= LONGEST_LEAD {
            page.wrapped(&format!("    {lead}  "), says);
        } else {
            page.wrapped("    ", &format!("{lead}:"));
            page.wrapped("      ", says);
        }
    }
    for outline in &set.outlines {
        page.wrapped("    ", &format!("{}. {}", outline.title, outline.says));
        let mut pushes = vec![Push::Right; outline.heads.len()];
        if let Some(last) = pushes.last_mut() {
            *last = Push::Left;
        }
        let heads = outline.heads.iter().map(|head| (*head).to_owned());
        let mut rows = vec![heads.collect()];
        rows.extend(outline.rows.iter().cloned());
        page.table(6, &pushes, &rows);
    }
}

/// Names this long stand before a line; longer ones stand over it.
const LONGEST_LEAD: usize = 24;

fn write_joints(page: &mut Page, joints: &[JointTold]) {
    for (at, head) in JOINT_HEADS.iter().enumerate() {
        let mut here = joints.iter().filter(|joint| joint.place() == at).peekable();
        if here.peek().is_some() {
            page.space();
            page.line(&format!("  {head}"));
        }
        for joint in here {
            page.wrapped("    ", &joint.title);
            for held in &joint.held {
                page.wrapped("      ", held);
            }
            for fault in &joint.faults {
                page.wrapped("      ! ", fault);
            }
        }
    }
}

fn written_marks(job: &Job, chain: &Chain, set: &MarkSet) -> String {
    let mut page = Page::default();
    page.heading(&format!("{}: marks", job.name));
    page.wrapped("", MARK_WORDS);
    let several = set.runs.len() > 1;
    for run in &set.runs {
        if several && let Some(of) = chain.runs.get(run.run) {
            let side = if of.run.beside.is_some() {
                ", the railing on its wall side"
            } else {
                ""
            };
            page.heading(&format!("Run {}{side}", of.run.name));
        }
        write_run(&mut page, run, job.tape);
    }
    page.text()
}

fn write_run(page: &mut Page, run: &RunMarks, tape: Tape) {
    if !run.newels.is_empty() {
        page.heading("Newels, from two fixed edges");
    }
    for newel in &run.newels {
        write_newel(page, newel, tape);
    }
    for row in rows_told(run, tape) {
        write_row(page, &row);
    }
    let treads = treads_told(&run.treads, tape);
    if !treads.is_empty() {
        page.heading(treads_head(&run.treads));
        write_treads(page, &treads);
    }
    if let Some(block) = &run.block {
        page.heading("Marking block");
        for line in block_told(block, tape) {
            page.wrapped("  ", &line);
        }
    }
}

/// Where its foot and its notch stand on top of what it stands on; how it is knifed all round is
/// `setout --fit`.
fn write_newel(page: &mut Page, newel: &NewelMarks, tape: Tape) {
    let told = dry_fit_told(&newel.fit, tape);
    let on_top = |mark: &&FitMark| mark.on == Board::Top;
    let marks: Vec<&FitMark> = told
        .foot
        .iter()
        .chain(told.marks.iter().filter(on_top))
        .collect();
    page.wrapped(&format!("  {}  ", newel.newel), &told.stands);
    for mark in marks {
        page.wrapped(
            "      ",
            &format!(
                "{}, {}: {}; {}",
                mark.place, mark.side, mark.off, mark.along
            ),
        );
    }
}

fn write_row(page: &mut Page, row: &RowTold) {
    page.space();
    page.wrapped("", &row.title);
    let mut pushes = vec![Push::Right; row.heads.len()];
    pushes[0] = Push::Left;
    if row.heads.last() == Some(&"bore")
        && let Some(last) = pushes.last_mut()
    {
        *last = Push::Left;
    }
    let mut rows = vec![row.heads.iter().map(|head| (*head).to_owned()).collect()];
    rows.extend(row.rows.iter().cloned());
    page.table(2, &pushes, &rows);
}

fn write_treads(page: &mut Page, treads: &[TreadTold]) {
    // Treads whose edges are the same share a table.
    for run in treads.chunk_by(|a, b| a.edges == b.edges) {
        let Some(first) = run.first() else { continue };
        let [along, across] = first.edges;
        page.wrapped(
            "  ",
            &format!("Centres, square from {along} and from {across}, along the surface."),
        );
        let heads = ["on", "", "first", "second", "bore"];
        let mut rows = vec![heads.map(str::to_owned).to_vec()];
        for tread in run {
            for [name, first, second, bore] in &tread.rows {
                rows.push(vec![
                    tread.part.clone(),
                    name.clone(),
                    first.clone(),
                    second.clone(),
                    bore.clone(),
                ]);
            }
        }
        let pushes = [Push::Left, Push::Left, Push::Right, Push::Right, Push::Left];
        page.table(2, &pushes, &rows);
    }
}
