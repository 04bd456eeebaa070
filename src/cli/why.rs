//! Because and cure in words: beside every trouble, for any number that is asked about
//! (`inspect --why`), and a cure written into its job (`inspect --apply`).

use std::path::Path;

use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::chain::Chain;
use crate::explain::{self, Asked, Because, Cure, Explanation, Method, Undo};
use crate::inspect::Finding;
use crate::job::Document;
use crate::measure::{Length, Tape};
use crate::publish::{json, sentence};

/// Shares told one by one; smaller ones are summed up in a line.
const SHARES_TOLD: usize = 5;
/// Troubles that a cure brings told one by one, the worst first.
const BREAKS_TOLD: usize = 3;
/// Fields told for each cause.
const FIELDS_TOLD: usize = 3;
/// Known names told where one is not known.
const NEAREST_TOLD: usize = 5;

/// Says why one number is what it is.
pub(super) fn tell(source: &Source, id: &str, as_json: bool) -> Outcome {
    let chain = match source::chain(source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let called = chain.inspection.named(id).map(|one| one.key.id());
    let Some(asked) = Asked::find(&chain, called.as_deref().unwrap_or(id)) else {
        return unknown(id, Asked::all(&chain).iter().map(Asked::id).collect());
    };
    let explanation = explain::explain(&chain, &asked);
    let text = if as_json {
        json::why(source.job(), &asked, &explanation)
    } else {
        written(source, &chain, &asked, &explanation)
    };
    talk::answer(&text, Outcome::Clean)
}

/// The trouble that has this id, or this number in the list that `inspect` prints.
pub(super) fn trouble<'a>(chain: &'a Chain, named: &str) -> Option<&'a Finding> {
    let called = chain.inspection.named(named);
    called.filter(|one| one.is_trouble())
}

/// Says that nothing has this number or name, and which names are near.
pub(super) fn unknown(id: &str, mut known: Vec<String>) -> Outcome {
    if id.chars().all(|c| c.is_ascii_digit()) {
        return talk::fault(&format!(
            "this stair has no trouble {id}; `rakewell inspect` numbers them"
        ));
    }
    let plain = id.to_lowercase();
    // A stable sort keeps the order up the flight among equals.
    known.sort_by_key(|name| strsim::damerau_levenshtein(&plain, &name.to_lowercase()));
    known.truncate(NEAREST_TOLD);
    talk::fault(&format!(
        "this stair has nothing called `{id}`; near it are {}; a trouble may be named by its \
         number in the list of `inspect`",
        known.join(", ")
    ))
}

fn written(source: &Source, chain: &Chain, asked: &Asked, explanation: &Explanation) -> String {
    let tape = source.job().tape;
    let mut page = Page::default();
    page.heading(&source.job().name);
    page.line(&asked.id());
    page.space();
    let value = tape.print(explanation.value);
    let finding = match asked {
        Asked::Finding(key) => chain.inspection.find(key),
        _ => None,
    };
    match finding {
        Some(finding) => page.wrapped("", &format!("{} ({value}).", finding.says)),
        None => page.wrapped("", &format!("{}: {value}.", asked.words())),
    }
    page.heading("Because");
    let because = &explanation.because;
    if because.is_empty() {
        page.wrapped("  ", "Nothing that was read out of true has a share in it.");
    } else {
        let mut rows = vec![["alone", "adding up", ""].map(str::to_owned).to_vec()];
        rows.extend(because.iter().map(|one| {
            let error = one.error.filter(|error| *error >= tape.mark() / 2.0);
            let error = error.map_or_else(String::new, |error| format!(" ±{}", tape.print(error)));
            let adding = one
                .shapley
                .map_or_else(|| "-".to_owned(), |share| tape.print(share));
            vec![
                tape.print(one.share),
                format!("{adding}{error}"),
                one.what.clone(),
            ]
        }));
        page.table(2, &[Push::Right, Push::Right, Push::Left], &rows);
    }
    page.space();
    page.wrapped("  ", &how(explanation, tape));
    write_readings(&mut page, source.document(), because);
    if !explanation.cures.is_empty() {
        page.heading("Cures");
        write_cures(&mut page, &explanation.cures, tape);
    }
    page.text()
}

/// What the columns are, what they leave over, and what is not told.
fn how(explanation: &Explanation, tape: Tape) -> String {
    let when_true = match explanation.when_true {
        Some(value) => format!("With everything true: {}.", tape.print(value)),
        None => "With everything true there is no such number.".to_owned(),
    };
    if explanation.because.is_empty() {
        return when_true;
    }
    let mut says =
        vec!["Alone: what goes when this is made true and all else stays as found.".to_owned()];
    if explanation.remainder.abs() >= tape.mark() / 2.0 {
        let rest = tape.print(explanation.remainder);
        says.push(format!(
            "These leave over {rest}, where one thing works on another."
        ));
    }
    says.push(match explanation.method {
        Method::Exact => {
            "Adding up: shares that sum to the whole, over all sets of these.".to_owned()
        }
        Method::Sampled { draws, error } => {
            let near = match tape.print(error) {
                _ if error < tape.mark() / 2.0 => "under half a mark".to_owned(),
                error => error,
            };
            format!(
                "Adding up: shares that sum to the whole, from {draws} drawn orders; each within \
                 {near} at 95 %."
            )
        }
        Method::LeftOut { without, of } => format!(
            "There are no shares that add up: with {without} of {of} sets of these made true the \
             stair cannot be set out, or has no such number."
        ),
    });
    says.push(when_true);
    if !explanation.unknown.is_empty() {
        says.push(format!(
            "Cannot be made true alone: {}.",
            explanation.unknown.join(", ")
        ));
    }
    says.join(" ")
}

/// Where each cause was read.
fn write_readings(page: &mut Page, document: &Document, because: &[Because]) {
    let read: Vec<&Because> = because
        .iter()
        .filter(|one| !one.readings.is_empty())
        .collect();
    if read.is_empty() {
        return;
    }
    page.heading("Read in");
    for one in read {
        let fields = one.readings.iter().take(FIELDS_TOLD).map(|field| {
            let line = document.line_of(field);
            let line = line.map_or_else(String::new, |(line, _)| format!(" (line {line})"));
            format!("{field}{line}")
        });
        let mut told: Vec<String> = fields.collect();
        match one.readings.len().saturating_sub(FIELDS_TOLD) {
            0 => {}
            more => told.push(format!("and {more} more")),
        }
        page.wrapped("  ", &format!("{}: {}", one.what, told.join(", ")));
    }
}

/// The causes of a trouble, the shares with each made true alone beside those that add up.
pub(super) fn write_because(page: &mut Page, explanation: &Explanation, tape: Tape) {
    // Less than half a mark the tape shows as nothing.
    let shows = |share: Length| share.abs() >= tape.mark() / 2.0;
    let shown = |one: &&Because| shows(one.share) || one.shapley.is_some_and(shows);
    let shares: Vec<&Because> = explanation.because.iter().filter(shown).collect();
    let told = &shares[..shares.len().min(SHARES_TOLD)];
    if told.is_empty() {
        return;
    }
    let mut rows = vec![
        ["because", "alone", "adding up", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(told.iter().map(|because| share_row(because, tape)));
    page.table(
        5,
        &[Push::Left, Push::Right, Push::Right, Push::Left],
        &rows,
    );
    let smaller = match shares.len() - told.len() {
        0 => String::new(),
        1 => "; a smaller one left out".to_owned(),
        count => format!("; {count} smaller ones left out"),
    };
    let rest = match explanation.remainder {
        rest if shows(rest) => format!("; {} not explained by them", tape.print(rest)),
        _ => String::new(),
    };
    let true_value = explanation.when_true.map_or_else(String::new, |value| {
        format!("; {} on the stair that was meant", tape.print(value))
    });
    let adding = match explanation.method {
        Method::Exact => String::new(),
        Method::Sampled { error, .. } if error < tape.mark() / 2.0 => {
            "; adding up: from drawn orders".to_owned()
        }
        Method::Sampled { error, .. } => {
            let within = tape.print(error);
            format!("; adding up: from drawn orders, within {within}")
        }
        Method::LeftOut { without, of } => {
            format!("; nothing adds up, since {without} of {of} sets of them have no answer")
        }
    };
    page.wrapped(
        "              ",
        &format!("(alone: what goes with each made true alone{adding}{smaller}{rest}{true_value})"),
    );
}

fn share_row(because: &Because, tape: Tape) -> Vec<String> {
    let adding = because.shapley;
    vec![
        String::new(),
        tape.print(because.share),
        adding.map_or_else(|| "-".to_owned(), |share| tape.print(share)),
        because.what.clone(),
    ]
}

/// The cures of a trouble, numbered as `--apply` takes them.
pub(super) fn write_cures(page: &mut Page, cures: &[Cure], tape: Tape) {
    for (place, cure) in cures.iter().enumerate() {
        let lead = if place == 0 {
            "     cure     "
        } else {
            "     or       "
        };
        page.wrapped(lead, &cure_words(cure, tape));
    }
}

fn cure_words(cure: &Cure, tape: Tape) -> String {
    let after = tape.print(cure.value_after);
    let breaks = match cure.breaks.len() {
        0 => String::new(),
        count if count > BREAKS_TOLD => format!(
            "; but then: {}; and {} more",
            cure.breaks[..BREAKS_TOLD].join("; "),
            count - BREAKS_TOLD
        ),
        _ => format!("; but then: {}", cure.breaks.join("; ")),
    };
    format!("{}: then {after}{breaks}", cure.what)
}

/// Writes a cure of a trouble into the job's file.
pub(super) fn apply(source: &Source, path: &Path, id: &str) -> Outcome {
    let chain = match source::chain(source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let numbered = || {
        let (id, number) = id.rsplit_once(':')?;
        Some((trouble(&chain, id)?, number.parse::<usize>().ok()?))
    };
    let found = trouble(&chain, id).map(|one| (one, 1));
    let Some((trouble, number)) = found.or_else(numbered) else {
        let troubles = chain.inspection.troubles();
        return unknown(id, troubles.iter().map(|one| one.key.id()).collect());
    };
    let cures = explain::cures(&chain, trouble);
    let Some(cure) = number.checked_sub(1).and_then(|at| cures.get(at)) else {
        return talk::fault(&format!(
            "there is no cure {number} of {}: {} found",
            trouble.key.id(),
            cures.len()
        ));
    };
    let (changed, undo) = match explain::applied(source.document(), &cure.edits) {
        Ok(done) => done,
        Err(faults) => return source::say_faults(&faults),
    };
    if let Err(error) = changed.save_after(path, source.document().text()) {
        return talk::fault(&error.to_string());
    }
    let mut page = Page::default();
    page.wrapped("for   ", &sentence(&trouble.says));
    page.wrapped("did   ", &cure_words(cure, source.job().tape));
    for (field, value) in &cure.edits {
        page.wrapped("set   ", &format!("{field}: {value}"));
    }
    for Undo { field, value } in &undo {
        let back = match value {
            Some(value) => format!("{field}: {value}"),
            None => format!("take {field} out"),
        };
        page.wrapped("undo  ", &back);
    }
    talk::answer(&page.text(), Outcome::Clean)
}
