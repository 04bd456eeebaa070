//! Tables for a spreadsheet: every length on the job's tape and in millimetres.

use super::gather::KeyFigure;
use super::lay::Listed;
use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::publish::shop::CsvTable;
use crate::publish::stock::{buy_words, section_words, told};
use crate::publish::words::{asked, opening_verdict, value_of};
use crate::publish::{
    Report, RuleLine, rule_asks, rule_clause, rule_found, severity_word, trouble_id, verdict_words,
};
use crate::rules::Pack;
use crate::shop::buy::Purchase;
use crate::shop::hours::Hours;
use crate::shop::stock::SectionPlan;

/// A length twice: on the tape, and in millimetres.
fn both(length: Length, tape: Tape) -> [String; 2] {
    [tape.print(length), mm(length)]
}

fn mm(length: Length) -> String {
    format!("{:.4}", length.as_mm())
}

fn maybe(length: Option<Length>, tape: Tape) -> [String; 2] {
    length.map_or_else(Default::default, |length| both(length, tape))
}

fn number<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn money(amount: Option<f64>) -> String {
    amount.map_or_else(String::new, |amount| format!("{amount:.2}"))
}

/// Number, title and scale of every sheet.
pub(super) fn sheets(list: &Listed) -> CsvTable {
    CsvTable {
        name: "sheets.csv",
        heads: vec!["sheet", "title", "scale"],
        rows: list.iter().map(|row| row.to_vec()).collect(),
    }
}

/// The key figures.
pub(super) fn figures(figures: &[KeyFigure], tape: Tape) -> CsvTable {
    let rows = figures.iter().map(|one| {
        let mut row = vec![
            one.run.clone(),
            one.what.to_owned(),
            number(one.count),
            one.words.clone(),
        ];
        row.extend(maybe(one.span.map(|span| span.0), tape));
        row.extend(maybe(one.span.map(|span| span.1), tape));
        row
    });
    CsvTable {
        name: "figures.csv",
        heads: vec![
            "run", "what", "count", "words", "least", "least_mm", "most", "most_mm",
        ],
        rows: rows.collect(),
    }
}

/// What shows at the tread ends.
pub(super) fn reveals(chain: &Chain, tape: Tape) -> CsvTable {
    let on_treads = chain.runs.iter().filter(|run| run.setout.on_treads());
    let rows = on_treads.flat_map(|run| {
        run.setout.reveals.iter().map(|one| {
            let mut row = vec![run.run.name.clone(), one.step.to_string(), one.part.clone()];
            row.extend(both(one.value, tape));
            row
        })
    });
    CsvTable {
        name: "reveals.csv",
        heads: vec!["run", "step", "part", "reveal", "reveal_mm"],
        rows: rows.collect(),
    }
}

/// The gaps between neighbours.
pub(super) fn gaps(chain: &Chain, tape: Tape) -> CsvTable {
    let rows = chain.runs.iter().flat_map(|run| {
        run.setout.gaps.iter().map(|gap| {
            let mut row = vec![run.run.name.clone(), gap.below.clone(), gap.above.clone()];
            row.extend(both(gap.clear, tape));
            row
        })
    });
    CsvTable {
        name: "gaps.csv",
        heads: vec!["run", "below", "above", "clear", "clear_mm"],
        rows: rows.collect(),
    }
}

/// The openings, up the flight.
pub(super) fn openings(chain: &Chain, tape: Tape) -> CsvTable {
    let inspection = &chain.inspection;
    let rows = inspection.openings.iter().map(|opening| {
        let verdict = opening_verdict(inspection, opening);
        let mut row = vec![
            verdict_words(verdict).to_owned(),
            opening.between.join(" and "),
        ];
        row.extend(both(opening.ball, tape));
        row.push(mm(opening.ball_upper));
        row.extend(both(opening.limit, tape));
        row
    });
    CsvTable {
        name: "openings.csv",
        heads: vec![
            "answer",
            "between",
            "ball",
            "ball_mm",
            "ball_upper_mm",
            "under",
            "under_mm",
        ],
        rows: rows.collect(),
    }
}

/// The boards.
pub(super) fn boards(plans: &[&SectionPlan], tape: Tape) -> CsvTable {
    let rows = plans.iter().flat_map(|one| {
        let boards = one.plan.iter().flat_map(|plan| &plan.boards).enumerate();
        boards.map(|(at, board)| {
            let cuts: Vec<&str> = board.cuts.iter().map(|cut| cut.label.as_str()).collect();
            let mut row = vec![section_words(&one.section, tape), (at + 1).to_string()];
            row.extend(both(board.length, tape));
            row.extend(both(board.offcut(), tape));
            row.push(told::left_words(board, tape));
            row.push(cuts.join(" "));
            row
        })
    });
    CsvTable {
        name: "boards.csv",
        heads: vec![
            "for",
            "board",
            "length",
            "length_mm",
            "left",
            "left_mm",
            "all_left",
            "pieces",
        ],
        rows: rows.collect(),
    }
}

/// Sections that no boards are given for.
pub(super) fn no_boards(bare: &[&SectionPlan], tape: Tape) -> CsvTable {
    let rows = bare.iter().map(|one| {
        let mut row = vec![section_words(&one.section, tape), one.count().to_string()];
        row.extend(both(one.length(), tape));
        row.extend(both(one.longest(), tape));
        row
    });
    CsvTable {
        name: "no-boards.csv",
        heads: vec![
            "for",
            "pieces",
            "in_all",
            "in_all_mm",
            "longest",
            "longest_mm",
        ],
        rows: rows.collect(),
    }
}

/// What is bought.
pub(super) fn buying(purchase: &Purchase, tape: Tape) -> CsvTable {
    let rows = purchase.lines.iter().map(|line| {
        let mut row = vec![
            line.item.to_owned(),
            line.needed.to_string(),
            line.spare.to_string(),
            line.buy().to_string(),
            money(line.price.map(|price| price.0)),
            money(line.cost()),
        ];
        row.extend(maybe(line.length, tape));
        row.push(buy_words(line, tape));
        row
    });
    CsvTable {
        name: "buying.csv",
        heads: vec![
            "item",
            "needed",
            "spare",
            "buy",
            "price",
            "cost",
            "length",
            "length_mm",
            "what",
        ],
        rows: rows.collect(),
    }
}

/// Hours by work.
pub(super) fn hours(hours: &Hours) -> CsvTable {
    let rows = told::shown_hours(hours).map(|line| {
        vec![
            line.work.words().to_owned(),
            line.on.len().to_string(),
            money(line.rate),
            money(line.hours()),
            money(line.spent),
            line.on.join(" "),
        ]
    });
    CsvTable {
        name: "hours.csv",
        heads: vec!["work", "count", "each_h", "plan_h", "spent_h", "on"],
        rows: rows.collect(),
    }
}

/// The troubles, numbered as their flags.
pub(super) fn troubles(report: &Report<'_>) -> CsvTable {
    let tape = report.job.tape;
    let rows = report.troubles.iter().enumerate().map(|(at, told)| {
        let finding = told.finding;
        let because = told.explanation.because.iter();
        let because: Vec<String> = because
            .map(|one| format!("{} {}", one.what, tape.print(one.share)))
            .collect();
        let cures = told.explanation.cures.iter();
        let cures: Vec<&str> = cures.map(|one| one.what.as_str()).collect();
        let stands = report.let_stand(finding);
        let stands = stands.map_or_else(String::new, |stands| stands.why.because.clone());
        let mut row = vec![
            (at + 1).to_string(),
            severity_word(finding.severity).to_owned(),
            trouble_id(finding),
            finding.says.clone(),
            value_of(finding, tape),
            mm(finding.value()),
            asked(finding, tape),
            mm(finding.limit),
            verdict_words(finding.verdict).to_owned(),
        ];
        row.extend([
            finding.source.clone(),
            because.join("; "),
            cures.join("; "),
            stands.clone(),
        ]);
        row
    });
    CsvTable {
        name: "troubles.csv",
        heads: vec![
            "number",
            "severity",
            "id",
            "says",
            "found",
            "found_mm",
            "asked",
            "limit_mm",
            "answer",
            "source",
            "because",
            "cures",
            "let_stand_because",
        ],
        rows: rows.collect(),
    }
}

/// The rules of the pack.
pub(super) fn rules(lines: &[RuleLine<'_>], pack: &Pack, tape: Tape) -> CsvTable {
    let rows = lines.iter().map(|line| {
        let answer = match line.not_asked {
            Some(_) => "not asked",
            None => verdict_words(line.verdict),
        };
        vec![
            answer.to_owned(),
            line.rule.says.clone(),
            rule_asks(line, tape),
            rule_found(line, tape),
            line.worst.map_or_else(String::new, |(found, _)| mm(found)),
            line.worst.map_or_else(String::new, |(_, limit)| mm(limit)),
            line.margin.map_or_else(String::new, mm),
            rule_clause(line, &pack.edition).to_owned(),
            pack.edition.clone(),
            if line.amended { "amended" } else { "" }.to_owned(),
        ]
    });
    CsvTable {
        name: "rules.csv",
        heads: vec![
            "answer",
            "rule",
            "asked",
            "found",
            "found_mm",
            "limit_mm",
            "margin_mm",
            "clause",
            "edition",
            "amended",
        ],
        rows: rows.collect(),
    }
}
