//! What came back, as answers: every field held against what the page writes.

use serde_json::Value;

use super::shape::{AS_WRITTEN, Fields, kind};
use super::{Unread, shown, text};
use crate::job::Answer;
use crate::job::limits::{LONGEST_NAME, LONGEST_REMARK, LONGEST_SIGNED, MOST_ASKS};

/// The format that is read.
const FORMAT: u64 = 1;
/// Most characters of what a client writes to one thing: as much as the page lets him.
const LONGEST_NOTE: usize = 4000;
/// Most characters of a job's name and of the mark of its state.
const LONGEST_JOB: usize = 400;
/// Most answers: to all that a job may ask, and to what is always asked.
const MOST: usize = MOST_ASKS + Answer::ALWAYS.len();

/// What came back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// The name of the job that the page was made for.
    pub job: String,
    /// The state that the job was in ([`super::super::state_of`]).
    pub state: String,
    /// What was decided and written, each to one asking.
    pub answers: Vec<One>,
    /// A word to the whole; empty where none was written.
    pub note: String,
    /// Who answered; empty where nobody signed.
    pub by: String,
    /// When: `2026-03-14`; empty where no day was given.
    pub on: String,
    /// What was odd about the file, a sentence each.
    pub odd: Vec<String>,
}

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct One {
    /// The asking, by its id.
    pub ask: String,
    /// The choice, by its id.
    pub choice: Option<String>,
    /// What was written to it; may be empty.
    pub note: String,
}

/// Reads what came back: a file, or a text with words before its last line.
///
/// # Errors
/// [`Unread`] where it is too large, no text, no answers, of a later format, or a field is not what the
/// page writes.
pub fn read(said: &[u8]) -> Result<Answered, Unread> {
    let found = text::found(text::text(said)?)?;
    let whole = Fields::of(&found.value, "")?;
    format(&whole)?;
    let made_for = whole.get("made_for").ok_or_else(|| {
        Unread::at(
            "made_for",
            "it does not say which job it is for",
            AS_WRITTEN,
        )
    })?;
    let made_for = Fields::of(made_for, "made_for")?;
    let mut odd = Odd::default();
    if found.mended {
        odd.says.push(
            "the last line was broken into several, as some mail does: they were put together at \
             spaces"
                .to_owned(),
        );
    }
    let job = made_for.text("job", LONGEST_JOB)?.unwrap_or("").to_owned();
    let state = made_for.text("hash", LONGEST_JOB)?.unwrap_or("").to_owned();
    let mut answers = answers(&whole, &mut odd)?;
    for kind in Answer::ALWAYS {
        let settled = whole.text(kind, LONGEST_REMARK)?;
        settle(&mut answers, kind, settled)?;
    }
    odd.unknown(&whole, &KNOWN);
    odd.unknown(&made_for, &["job", "hash"]);
    Ok(Answered {
        job,
        state,
        answers,
        note: odd.plain(whole.text("note", LONGEST_NOTE)?.unwrap_or("")),
        by: odd.one_line(whole.text("by", LONGEST_SIGNED)?.unwrap_or("")),
        on: day(&whole, &mut odd)?,
        odd: odd.told(),
    })
}

/// The fields that a file has.
const KNOWN: [&str; 8] = [
    "format",
    "made_for",
    "look",
    "alternative",
    "answers",
    "note",
    "by",
    "on",
];

fn format(whole: &Fields<'_>) -> Result<(), Unread> {
    let wrong = |problem: String, help: &str| Err(Unread::at("format", problem, help));
    match whole.get("format") {
        Some(Value::Number(number)) if number.as_u64() == Some(FORMAT) => Ok(()),
        Some(Value::Number(number)) if number.as_u64().is_some_and(|read| read > FORMAT) => wrong(
            format!("the answers are of format {number}; this program reads {FORMAT}"),
            "they come from a page of a later rakewell: read them with that",
        ),
        Some(other) => wrong(format!("this is {}, not {FORMAT}", kind(other)), AS_WRITTEN),
        None => wrong(
            "these are not answers from a client's page: they have no format".to_owned(),
            AS_WRITTEN,
        ),
    }
}

fn answers(whole: &Fields<'_>, odd: &mut Odd) -> Result<Vec<One>, Unread> {
    let list = match whole.get("answers") {
        None | Some(Value::Null) => return Ok(Vec::new()),
        Some(Value::Array(list)) => list,
        Some(other) => {
            let problem = format!("this is {}, not a list", kind(other));
            return Err(Unread::at("answers", problem, AS_WRITTEN));
        }
    };
    if list.len() > MOST {
        return Err(Unread::at(
            "answers",
            format!("there are {} answers, {MOST} at most", list.len()),
            "no page asks so much: is this the right file?",
        ));
    }
    let mut all: Vec<One> = Vec::new();
    for (at, value) in list.iter().enumerate() {
        let fields = Fields::of(value, &format!("answers[{at}]"))?;
        let ask = fields.text("ask", LONGEST_NAME)?.unwrap_or("").to_owned();
        if ask.trim().is_empty() || ask.chars().any(char::is_control) {
            return Err(Unread::at(
                fields.path("ask"),
                format!("it does not say what it answers: {}", shown(&ask)),
                AS_WRITTEN,
            ));
        }
        if all.iter().any(|one| one.ask == ask) {
            return Err(Unread::at(
                fields.path("ask"),
                format!("{} is answered twice", shown(&ask)),
                "ask which of the two counts, and take the other out",
            ));
        }
        odd.unknown(&fields, &["ask", "choice", "note"]);
        let choice = fields.text("choice", LONGEST_REMARK)?;
        let one = One {
            ask,
            choice: choice.filter(|one| !one.is_empty()).map(str::to_owned),
            note: odd.plain(fields.text("note", LONGEST_NOTE)?.unwrap_or("")),
        };
        if one.choice.is_some() || !one.note.is_empty() {
            all.push(one);
        }
    }
    Ok(all)
}

/// What the file says apart from its answers was decided of look or alternative: the same, or the
/// answer itself where there is none.
fn settle(answers: &mut Vec<One>, kind: &str, settled: Option<&str>) -> Result<(), Unread> {
    let Some(settled) = settled.filter(|id| !id.is_empty()) else {
        return Ok(());
    };
    match answers.iter_mut().find(|one| one.ask == kind) {
        Some(one) if one.choice.as_deref() == Some(settled) => Ok(()),
        Some(one) => {
            let answer = one.choice.as_deref().unwrap_or("nothing");
            Err(Unread::at(
                kind,
                format!(
                    "it says {}, and its answer says {}",
                    shown(settled),
                    shown(answer)
                ),
                "ask which of the two is meant",
            ))
        }
        None => {
            answers.push(One {
                ask: kind.to_owned(),
                choice: Some(settled.to_owned()),
                note: String::new(),
            });
            Ok(())
        }
    }
}

/// The day, as it is written. One that is no date is kept and told.
fn day(whole: &Fields<'_>, odd: &mut Odd) -> Result<String, Unread> {
    let day = odd.one_line(whole.text("on", LONGEST_NAME)?.unwrap_or(""));
    if !day.is_empty() && !is_day(&day) {
        odd.says.push(format!(
            "the day reads {}, which is no date as 2026-03-14: it is kept as it is",
            shown(&day)
        ));
    }
    Ok(day)
}

/// True of a date as ISO 8601 writes it, and as such dates sort.
pub(super) fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |text: &str, long: usize| {
        let digits = text.len() == long && text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse::<u32>().ok().filter(|_| digits)
    };
    let [year, month, day] = parts[..] else {
        return false;
    };
    number(year, 4).is_some()
        && number(month, 2).is_some_and(|month| (1..=12).contains(&month))
        && number(day, 2).is_some_and(|day| (1..=31).contains(&day))
}

/// A text as a person sees it: lines end alike, and what cannot be seen but moves what can, or turns
/// its order about (Unicode Standard Annex 9, section 2), is left out. Letters of every script stay.
/// Beside it, how many characters were left out.
pub(super) fn plain(text: &str) -> (String, usize) {
    let mut out = String::with_capacity(text.len());
    let mut unseen = 0;
    for letter in text.replace("\r\n", "\n").chars() {
        match letter {
            '\r' | '\u{2028}' | '\u{2029}' => out.push('\n'),
            '\t' => out.push(' '),
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' => unseen += 1,
            letter if letter.is_control() && letter != '\n' => unseen += 1,
            letter => out.push(letter),
        }
    }
    (out.trim().to_owned(), unseen)
}

/// What is odd about a file.
#[derive(Default)]
struct Odd {
    says: Vec<String>,
    unseen: usize,
    unknown: Vec<String>,
}

impl Odd {
    fn unknown(&mut self, fields: &Fields<'_>, known: &[&str]) {
        self.unknown.extend(fields.unknown(known));
    }

    /// A text as a person sees it; what was left out of it is counted.
    fn plain(&mut self, text: &str) -> String {
        let (plain, unseen) = plain(text);
        self.unseen += unseen;
        plain
    }

    fn one_line(&mut self, text: &str) -> String {
        self.plain(text).replace('\n', " ")
    }

    fn told(mut self) -> Vec<String> {
        match self.unseen {
            0 => {}
            1 => self
                .says
                .push("a character that nobody sees was left out".to_owned()),
            some => self
                .says
                .push(format!("{some} characters that nobody sees were left out")),
        }
        if !self.unknown.is_empty() {
            const TOLD: usize = 4;
            let names: Vec<String> = self
                .unknown
                .iter()
                .take(TOLD)
                .map(|one| shown(one))
                .collect();
            let more = if self.unknown.len() > TOLD {
                " and more"
            } else {
                ""
            };
            self.says.push(format!(
                "it also has {}{more}, which this program does not know and does not keep",
                names.join(", ")
            ));
        }
        self.says
    }
}
