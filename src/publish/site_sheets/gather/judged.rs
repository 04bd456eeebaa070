//! Troubles with why and what clears them, in short, and how the stair stands against its rules.

use super::super::content::{Block, Part};
use super::super::table::{Table, number, text};
use crate::inspect::Severity;
use crate::publish::report_sheet::{Card, DECIDED, Grid, ReportSheet};
use crate::publish::words::severity_means;
use crate::publish::{Report, RuleLine, held_against, severity_word};

/// Causes and cures that are told of a trouble here; the inspection tells them all.
const CAUSES: usize = 3;
const CURES: usize = 2;

pub(super) fn troubles<'a>(words: &ReportSheet) -> Part<'a> {
    let mut part = Part::new("Troubles and cures");
    part.text(words.verdict.clone());
    if words.troubles.is_empty() && words.let_stand.is_empty() {
        return part;
    }
    let means: Vec<String> = [Severity::Stop, Severity::Fix, Severity::Remark]
        .map(|severity| format!("{}: {}", severity_word(severity), severity_means(severity)))
        .to_vec();
    part.small(format!(
        "Numbered as the flags of the picture, worst first. {}. `rakewell inspect` tells all causes and \
         cures.",
        means.join("; ")
    ));
    for card in &words.troubles {
        part.blocks.push(Block::Card(Box::new(short(card))));
    }
    if !words.let_stand.is_empty() {
        part.head("Let stand, with the reasons given");
    }
    for card in &words.let_stand {
        part.blocks.push(Block::Card(Box::new(short(card))));
    }
    part
}

fn short(card: &Card) -> Card {
    let mut card = card.clone();
    if let Some(because) = &mut card.because {
        because.rows.truncate(CAUSES);
    }
    card.cures.truncate(CURES);
    card
}

pub(super) fn rules<'a>(
    words: &ReportSheet,
    lines: &[RuleLine<'_>],
    report: &Report<'_>,
) -> Part<'a> {
    let mut part = Part::new("Rules");
    let pack = &report.chain.pack;
    let Grid { rows, aside, .. } = words.rules.clone();
    if lines.is_empty() {
        part.text(format!(
            "{}: no rule of it is asked of this stair.",
            pack.title
        ));
        return part;
    }
    let columns = [
        text("answer"),
        text("rule"),
        number("asked"),
        number("found"),
        number("margin"),
        text("clause"),
    ];
    let table = Table::new("rules.csv", held_against(pack), &columns, rows);
    part.table(table.over(aside));
    part
}

/// What the rules leave open, and what the answers are worth.
pub(super) fn left_open<'a>(words: &ReportSheet) -> Part<'a> {
    let mut part = Part::new("What the rules leave open");
    let lists = [
        (
            "Not shown: nothing in the job answers these",
            &words.not_shown,
        ),
        ("Not read: stands as meant", &words.not_read),
        ("Not asked of this stair", &words.not_asked),
        ("Read with", &words.read_with),
        ("Measured and kept as notes", &words.measured),
        (DECIDED, &words.decided),
        ("What this is worth", &words.worth),
    ];
    for (head, says) in lists {
        if !says.is_empty() {
            part.head(head);
        }
        for one in says {
            part.text(one.clone());
        }
    }
    part
}
