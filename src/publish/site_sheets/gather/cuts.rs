//! Cut list and fastening schedule.

use super::super::content::Part;
use super::super::table::{Column, Table, number, text};
use super::capital;
use crate::inspect::Verdict;
use crate::measure::Tape;
use crate::publish::grid::Cell;
use crate::publish::shop::{
    ANCHOR_CAUTION, CutSet, JOINT_HEADS, JointTold, SAW_CAUTION, SAW_WORDS, cut_tables,
    joints_told, stations, there_words, untold_words, work_word,
};
use crate::shop::cuts::CutList;
use crate::shop::fastening::{HeldBy, Schedule};

/// What is said of a piece stands in one line, up to so many things; more, as the steps of a skirt, have a
/// line each, for a finger to go down at the saw.
const MOST_IN_A_LINE: usize = 4;

pub(super) fn cuts<'a>(list: &CutList, tape: Tape) -> Part<'a> {
    let mut part = Part::new("Cut list");
    if list.pieces.is_empty() {
        return part;
    }
    part.text(SAW_CAUTION);
    for says in there_words(&list.there) {
        part.text(says);
    }
    if let Some(says) = untold_words(&list.untold) {
        part.text(says);
    }
    part.small(SAW_WORDS);
    for table in cut_tables(list, tape) {
        part.head(format!("Cut {}", work_word(table.work)));
        for set in &table.sets {
            cut_set(&mut part, set);
        }
    }
    let on = stations(list);
    if !on.is_empty() {
        part.head("From the saw on");
    }
    for (work, who) in on {
        part.text(format!("{}: {who}.", capital(work_word(work))));
    }
    part
}

fn cut_set(part: &mut Part<'_>, set: &CutSet) {
    let columns = in_columns(&set.heads);
    let table = Table::plain("cuts.csv", capital(&set.title), &columns, set.rows.clone());
    part.table(table.over(set.ends.join("; ")));
    for (who, says) in by_piece(set) {
        let lead = if who.len() > 1 && who.len() == set.rows.len() {
            "All".to_owned()
        } else {
            who.join(", ")
        };
        if says.len() > MOST_IN_A_LINE {
            for one in says {
                part.line(format!("{lead}: {one}."));
            }
        } else {
            part.line(format!("{lead}: {}.", says.join("; ")));
        }
    }
    for outline in &set.outlines {
        let columns = in_columns(&outline.heads);
        let rows = outline.rows.clone();
        let table = Table::plain("winders.csv", outline.title.clone(), &columns, rows);
        part.table(table.over(outline.says));
    }
}

/// Numbers, and words in the last column.
fn in_columns(heads: &[&'static str]) -> Vec<Column> {
    let last = heads.len().saturating_sub(1);
    let each = heads.iter().enumerate();
    each.map(|(at, head)| {
        if at == last {
            text(*head)
        } else {
            number(*head)
        }
    })
    .collect()
}

/// What more is done, all of it together that is about the same pieces.
fn by_piece(set: &CutSet) -> Vec<(Vec<&str>, Vec<&str>)> {
    let mut told: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for (who, says) in set.then_alike() {
        match told.iter_mut().find(|(known, _)| *known == who) {
            Some((_, all)) => all.push(says),
            None => told.push((who, vec![says])),
        }
    }
    told
}

pub(super) fn fastening<'a>(joints: &Schedule, tape: Tape) -> Part<'a> {
    let mut part = Part::new("Fastening");
    if joints.lines.is_empty() {
        return part;
    }
    part.text(ANCHOR_CAUTION);
    let told = joints_told(joints, tape);
    for (place, head) in JOINT_HEADS.iter().enumerate() {
        let here = joints.lines.iter().zip(&told);
        let rows: Vec<Vec<Cell>> = here
            .filter(|(_, joint)| joint.place() == place)
            .map(|(line, joint)| joint_row(matches!(line.held_by, HeldBy::NotShown), joint))
            .collect();
        let columns = [text("joint"), text("held by")];
        part.table(Table::new("fastening.csv", *head, &columns, rows));
    }
    part
}

fn joint_row(not_shown: bool, joint: &JointTold) -> Vec<Cell> {
    let held = joint.held.join("; ");
    let held = if !joint.faults.is_empty() {
        let faults = joint.faults.join("; ");
        Cell::verdict(Verdict::Broken, format!("{held}. Will not do: {faults}."))
    } else if not_shown {
        Cell::verdict(Verdict::NotShown, held)
    } else {
        held.into()
    };
    vec![capital(&joint.title).into(), held]
}
