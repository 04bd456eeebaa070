//! What is said of troubles alike on the terminal and on paper.

use super::rule_lines::{is_told, rule_lines};
use super::survey::sd_words;
use super::{Report, Told, amount, verdict_words};
use crate::inspect::{Finding, Inspection, Kind, Opening, Severity, Stands, Verdict};
use crate::measure::{Length, Tape};
use crate::rules::{Pack, Sense};
use crate::survey::Read;

/// How many troubles there are of each severity, how many of them the job lets stand, and how many
/// milder ones are not told.
#[must_use]
pub fn headline(report: &Report<'_>, milder: usize) -> String {
    let stand = report.stand();
    let mut parts = Vec::new();
    for (severity, what) in [
        (Severity::Stop, "to stop for"),
        (Severity::Fix, "to fix"),
        (Severity::Remark, "to remark on"),
    ] {
        let of_it = |told: &&Told<'_>| {
            told.finding.severity == severity && report.let_stand(told.finding).is_none()
        };
        let count = report.troubles.iter().filter(of_it).count();
        if count > 0 {
            parts.push(format!("{count} {what}"));
        }
    }
    match (parts.is_empty(), stand) {
        (true, 0) => parts.push("No trouble found".to_owned()),
        (true, _) => parts.push(format!("{stand} let stand, with reasons, and none besides")),
        (false, 0) => {}
        (false, _) => parts.push(format!("{stand} let stand, with reasons")),
    }
    if milder > 0 {
        parts.push(format!("{milder} milder not told"));
    }
    let found = parts.join(", ");
    match rules_not_shown(report) {
        (0, _) => format!("{found}."),
        (open, of) => format!("{found}; {open} of {of} rules not shown."),
    }
}

/// What a stair is held against, as a title: the pack, and the text that amends it.
#[must_use]
pub fn held_against(pack: &Pack) -> String {
    match &pack.local {
        Some(local) => format!("{}, amended by {local}", pack.title),
        None => pack.title.clone(),
    }
}

/// How many rules nothing in the job answers, and how many are asked of this stair: who reads that
/// nothing was found must know what was not looked at.
fn rules_not_shown(report: &Report<'_>) -> (usize, usize) {
    let lines = rule_lines(report);
    let asked = || lines.iter().filter(|line| line.not_asked.is_none());
    let open = asked().filter(|line| line.verdict == Verdict::NotShown);
    (open.count(), asked().count())
}

/// What is said of a trouble that is let stand: the reason, whether it has changed since, and, where
/// somebody could be hurt or an inspector would reject it, that the reason does not make it met.
#[must_use]
pub fn stands_words(finding: &Finding, stands: &Stands<'_>, tape: Tape) -> Vec<String> {
    let mut says = vec![format!("Let stand, because: {}", stands.why.because.trim())];
    if let Some(was) = stands.was {
        says.push(format!(
            "It was {} when that was written, and is {} now.",
            tape.print(was),
            amount(finding, finding.value(), tape)
        ));
    }
    if finding.severity == Severity::Stop {
        says.push(match finding.verdict {
            Verdict::TooClose => format!(
                "It is too close to call against {}: a reason does not make it met.",
                finding.source
            ),
            _ => format!(
                "It is broken against {}: a reason does not make it met.",
                finding.source
            ),
        });
    }
    says
}

/// What a severity means, in a few words.
#[must_use]
pub fn severity_means(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "could hurt somebody, be rejected, or needs an engineer",
        Severity::Fix => "will show, or will not fit as it is",
        Severity::Remark => "shows to a careful eye",
    }
}

/// The text with a capital and a full stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    let end = if text.ends_with('.') { "" } else { "." };
    let rest = letters.as_str();
    format!(
        "{}{rest}{end}",
        first.into_iter().flatten().collect::<String>()
    )
}

/// The same for a heading: no full stop.
#[must_use]
pub fn heading(text: &str) -> String {
    sentence(text).trim_end_matches('.').to_owned()
}

/// Several things in a row, the last with an `and`.
#[must_use]
pub fn listed<T: AsRef<str>>(all: &[T]) -> String {
    let all: Vec<&str> = all.iter().map(AsRef::as_ref).collect();
    match all.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Which side of its limit a value must be on, and the limit; nothing where the sentence has it.
#[must_use]
pub fn asked(finding: &Finding, tape: Tape) -> String {
    if is_told(finding.key.kind) {
        return String::new();
    }
    if asks_for_none(finding) {
        return "none".to_owned();
    }
    let side = match finding.sense {
        Sense::AtMost => "at most",
        Sense::AtLeast => "at least",
        Sense::Under => "under",
    };
    format!("{side} {}", amount(finding, finding.limit, tape))
}

fn asks_for_none(finding: &Finding) -> bool {
    finding.sense == Sense::AtMost && finding.limit <= Length::ZERO
}

/// The verdict, and by how much a limit is broken.
#[must_use]
pub fn verdict_by(finding: &Finding, tape: Tape) -> String {
    match finding.verdict {
        Verdict::Broken if finding.limit <= Length::ZERO || is_told(finding.key.kind) => {
            verdict_words(Verdict::Broken).to_owned()
        }
        Verdict::Broken => match (finding.value() - finding.limit).abs() {
            // A limit that is broken by less than the tape shows is not broken by nothing.
            over if over < tape.mark() / 2.0 => "broken by a hair".to_owned(),
            over => format!("broken by {}", amount(finding, over, tape)),
        },
        verdict => verdict_words(verdict).to_owned(),
    }
}

/// The value against its limit, and whose limit it is.
#[must_use]
pub fn against(finding: &Finding, tape: Tape) -> String {
    if is_told(finding.key.kind) {
        // What it says has the numbers.
        return format!("{}; {}", verdict_words(finding.verdict), finding.source);
    }
    let (value, verdict) = (value_of(finding, tape), verdict_by(finding, tape));
    let source = &finding.source;
    if asks_for_none(finding) {
        return format!("{value} where there should be none: {verdict}; {source}");
    }
    format!(
        "{value}, {} asked: {verdict}; {source}",
        asked(finding, tape)
    )
}

/// The value on the tape, both bounds where a tape could tell them apart, and its doubt where that
/// keeps it from being called; nothing where the sentence has it.
#[must_use]
pub fn value_of(finding: &Finding, tape: Tape) -> String {
    if is_told(finding.key.kind) {
        return String::new();
    }
    let value = if finding.upper - finding.lower > tape.mark() / 2.0 {
        let (low, high) = (tape.print(finding.lower), tape.print(finding.upper));
        format!("between {low} and {high}")
    } else {
        amount(finding, finding.value(), tape)
    };
    match finding.doubt {
        Some(doubt) if finding.verdict == Verdict::TooClose => {
            let doubt = sd_words(tape, Read::Length, doubt.as_mm());
            format!("{value} give or take {doubt}")
        }
        _ => value,
    }
}

/// The kinds of finding that are about a ball.
pub const OF_BALLS: [Kind; 3] = [Kind::Opening, Kind::Triangle, Kind::OpenKick];

/// How an opening stands against its limit: the verdict of its finding.
#[must_use]
pub fn opening_verdict(inspection: &Inspection, opening: &Opening) -> Verdict {
    let mut findings = inspection.findings.iter();
    let here = findings.find(|finding| {
        OF_BALLS.contains(&finding.key.kind)
            && finding.key.parts == opening.between
            && (finding.at - opening.at).norm() < 1.0
    });
    here.map_or(Verdict::NotShown, |finding| finding.verdict)
}

/// A mark for a verdict that any terminal shows, beside its word.
#[must_use]
pub fn verdict_sign(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => ".",
        Verdict::Broken => "x",
        Verdict::TooClose => "~",
        Verdict::NotShown => "?",
    }
}

/// A mark for a severity that any terminal shows, beside its word.
#[must_use]
pub fn severity_sign(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "!!",
        Severity::Fix => "!",
        Severity::Remark => "-",
    }
}
