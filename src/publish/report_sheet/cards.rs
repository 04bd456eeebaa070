//! One trouble as a card.

use super::content::{Card, Cell, CureTold, Grid};
use crate::explain::{Because, Cure, Explanation, Method};
use crate::measure::{Length, Tape};
use crate::publish::drawing::closeup;
use crate::publish::grid::head;
use crate::publish::pdf::Push;
use crate::publish::words::{asked, sentence, stands_words, value_of, verdict_by};
use crate::publish::{Report, Told, trouble_id};

/// Shares told one by one; smaller ones are counted.
const SHARES: usize = 5;
/// Cures told, and what one breaks.
const CURES: usize = 6;
const BREAKS: usize = 3;
/// The room of a close-up, mm on the paper.
pub(super) const CLOSE: (f64, f64) = (50.0, 43.0);

/// The card, with what is near it drawn where that is wanted.
pub(super) fn card(report: &Report<'_>, number: usize, told: &Told<'_>, drawn: bool) -> Card {
    let (finding, explanation) = (told.finding, &told.explanation);
    let tape = report.job.tape;
    // Less than half a mark the tape shows as nothing.
    let shows = |share: Length| share.abs() >= tape.mark() / 2.0;
    let shares: Vec<&Because> = explanation
        .because
        .iter()
        .filter(|because| shows(because.share) || because.shapley.is_some_and(shows))
        .collect();
    let told_shares = &shares[..shares.len().min(SHARES)];
    let smaller = shares.len() - told_shares.len();
    Card {
        number,
        severity: finding.severity,
        id: trouble_id(finding),
        says: sentence(&finding.says),
        found: value_of(finding, tape),
        asked: asked(finding, tape),
        verdict: Cell::verdict(finding.verdict, verdict_by(finding, tape)),
        source: finding.source.clone(),
        stands: report
            .let_stand(finding)
            .map(|stands| stands_words(finding, &stands, tape))
            .unwrap_or_default(),
        because: because(told_shares, tape),
        rest: rest(explanation, smaller, !shares.is_empty(), tape),
        cures: explanation
            .cures
            .iter()
            .take(CURES)
            .map(|one| cure(one, tape))
            .collect(),
        closeup: drawn
            .then(|| closeup(report.chain, finding, CLOSE))
            .flatten(),
    }
}

fn because(shares: &[&Because], tape: Tape) -> Option<Grid> {
    let rows: Vec<Vec<Cell>> = shares
        .iter()
        .map(|because| {
            let adding_up = because.shapley.map(|share| tape.print(share));
            vec![
                because.what.as_str().into(),
                tape.print(because.share).into(),
                adding_up.unwrap_or_else(|| "-".to_owned()).into(),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| Grid {
        called: String::new(),
        aside: String::new(),
        heads: vec![
            head("Because", Push::Left, 50.0),
            head("Made true alone", Push::Right, 28.0),
            head("Adding up", Push::Right, 22.0),
        ],
        rows,
    })
}

/// What the shares leave open, and what the quantity would be on the stair that was meant.
fn rest(explanation: &Explanation, smaller: usize, any: bool, tape: Tape) -> String {
    let mut parts = Vec::new();
    if any {
        parts.push("alone: what goes with each made true alone".to_owned());
    }
    if smaller > 0 {
        parts.push(match smaller {
            1 => "a smaller one left out".to_owned(),
            _ => format!("{smaller} smaller ones left out"),
        });
    }
    if any && explanation.remainder.abs() >= tape.mark() / 2.0 {
        let rest = tape.print(explanation.remainder);
        parts.push(format!("alone they leave {rest} over"));
    }
    match explanation.method {
        _ if !any => {}
        Method::Exact => {}
        Method::Sampled { error, .. } if error < tape.mark() / 2.0 => {
            parts.push("what adds up is from drawn orders, within half a mark".to_owned());
        }
        Method::Sampled { error, .. } => {
            parts.push(format!(
                "what adds up is from drawn orders, within {}",
                tape.print(error)
            ));
        }
        Method::LeftOut { without, of } => parts.push(format!(
            "nothing adds up: with {without} of {of} sets made true there is no such number"
        )),
    }
    if let Some(value) = explanation.when_true.filter(|_| any) {
        parts.push(format!("{} on the stair that was meant", tape.print(value)));
    }
    if parts.is_empty() {
        return String::new();
    }
    sentence(&parts.join("; "))
}

fn cure(cure: &Cure, tape: Tape) -> CureTold {
    let mut breaks: Vec<String> = cure.breaks.iter().take(BREAKS).cloned().collect();
    if cure.breaks.len() > BREAKS {
        breaks.push(format!("and {} more", cure.breaks.len() - BREAKS));
    }
    CureTold {
        says: sentence(&format!(
            "{}: then {}",
            cure.what,
            tape.print(cure.value_after)
        )),
        breaks,
    }
}
