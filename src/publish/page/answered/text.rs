//! The JSON in what came back: a file holds nothing else; a text holds it on its last line, with words
//! before it, and a mail may have quoted and wrapped it.

use serde_json::Value;

use super::{Unread, shown};

/// More bytes than this are not answers.
pub const MOST_BYTES: usize = 256 * 1024;

/// What a mail puts before the lines that it quotes, and what stands before a line otherwise.
const BEFORE: [char; 5] = ['>', ' ', '\t', '\r', '\u{feff}'];

/// What would do where nothing can be read.
const WANTED: &str =
    "give the file that the page saved, or the whole text that it copied, to its last line";

/// The JSON that was found.
pub(super) struct Found {
    pub(super) value: Value,
    /// It was on several lines where the page writes one.
    pub(super) mended: bool,
}

/// What came back as text.
pub(super) fn text(said: &[u8]) -> Result<&str, Unread> {
    if said.len() > MOST_BYTES {
        let kib = said.len().div_ceil(1024);
        return Err(Unread::whole(
            format!(
                "it is too large for answers: {kib} KiB, {} at most",
                MOST_BYTES / 1024
            ),
            WANTED,
        ));
    }
    if said.starts_with(&[0xff, 0xfe]) || said.starts_with(&[0xfe, 0xff]) {
        return Err(Unread::whole(
            "it is text in UTF-16",
            "save it as UTF-8, or paste the text",
        ));
    }
    let text = std::str::from_utf8(said).map_err(|error| {
        let at = error.valid_up_to();
        let line = 1 + said[..at].iter().filter(|byte| **byte == b'\n').count();
        let problem = format!("byte 0x{:02X} is not text", said[at]);
        Unread::at(format!("line {line}"), problem, WANTED)
    })?;
    if text.trim_matches(BEFORE).trim().is_empty() {
        return Err(Unread::whole("nothing is in it", WANTED));
    }
    Ok(text)
}

/// The answers in a text.
pub(super) fn found(text: &str) -> Result<Found, Unread> {
    let lines: Vec<&str> = text
        .split('\n')
        .map(|line| line.trim_start_matches(BEFORE).trim_end_matches('\r'))
        .collect();
    let mut one: Option<Found> = None;
    let starts = (0..lines.len()).filter(|line| lines[*line].starts_with('{'));
    let mut next = 0;
    for from in starts.take(MOST_TRIED) {
        // Within what was read, such a line begins a part of it.
        if from < next {
            continue;
        }
        match (first_value(&sound(&lines[from..].join("\n"))), &one) {
            (Ok((value, long)), None) => {
                next = from + 1 + long;
                one = Some(Found {
                    value,
                    mended: false,
                });
            }
            (Ok((value, long)), Some(before)) => {
                next = from + 1 + long;
                if before.value != value && value.get("format").is_some() {
                    return Err(Unread::at(
                        format!("line {}", from + 1),
                        "several answers are in it that differ",
                        "give one of them alone",
                    ));
                }
            }
            (Err(error), None) => {
                let (value, _) = first_value(&sound(&unwrapped(&lines[from..])))
                    .map_err(|_also| unread(&error, from, &lines))?;
                return Ok(Found {
                    value,
                    mended: true,
                });
            }
            // Behind the answers anything may stand.
            (Err(_), Some(_)) => {}
        }
    }
    one.ok_or_else(|| {
        Unread::whole(
            format!(
                "there are no answers in it: no line begins with {{; it begins {}",
                shown(text.trim())
            ),
            WANTED,
        )
    })
}

/// So many lines that begin with a brace are looked at: a mail may quote what was sent before.
const MOST_TRIED: usize = 400;

/// The value that a text begins with, and how many line ends it has in it.
fn first_value(text: &str) -> Result<(Value, usize), serde_json::Error> {
    let mut values = serde_json::Deserializer::from_str(text).into_iter::<Value>();
    let value = values.next().unwrap_or(Ok(Value::Null))?;
    let read = text.get(..values.byte_offset()).unwrap_or("");
    Ok((value, read.matches('\n').count()))
}

/// Lines put together that a mail has broken at spaces; some keep the space at the line's end.
fn unwrapped(lines: &[&str]) -> String {
    let mut whole = String::new();
    for line in lines {
        if !whole.is_empty() && !whole.ends_with(' ') {
            whole.push(' ');
        }
        whole.push_str(line);
    }
    whole
}

/// JSON in which no half of a letter stands alone: a page that cuts a text at its greatest length may
/// cut a letter in two (UTF-16 writes some as a pair, RFC 8259 section 8.2). Such a half becomes U+FFFD.
fn sound(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    let mut rest = json;
    while let Some(at) = rest.find('\\') {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let long = match (unit(from), unit(from.get(6..).unwrap_or(""))) {
            (Some(0xd800..=0xdbff), Some(0xdc00..=0xdfff)) => 12,
            (Some(0xd800..=0xdfff), _) => {
                out.push_str("\\ufffd");
                rest = &from[6..];
                continue;
            }
            (Some(_), _) => 6,
            // What follows a backslash belongs to it.
            (None, _) => 1 + from[1..].chars().next().map_or(0, char::len_utf8),
        };
        out.push_str(&from[..long]);
        rest = &from[long..];
    }
    out.push_str(rest);
    out
}

/// The number of a `\uXXXX` that a text begins with.
fn unit(text: &str) -> Option<u32> {
    let digits = text.strip_prefix("\\u")?.get(..4)?;
    let sixteen = digits.bytes().all(|digit| digit.is_ascii_hexdigit());
    u32::from_str_radix(digits, 16).ok().filter(|_| sixteen)
}

fn unread(error: &serde_json::Error, from: usize, lines: &[&str]) -> Unread {
    let line = from + error.line().max(1);
    let read = lines.get(line - 1).copied().unwrap_or("");
    let here = error.column().saturating_sub(20);
    let near: String = read.chars().skip(here).collect();
    let problem = if error.is_eof() {
        "the answers are cut off: their last line has no end".to_owned()
    } else {
        // Its own words name line and column of what it was given.
        let says = error.to_string();
        let says = says.split(" at line ").next().unwrap_or("").to_owned();
        format!(
            "this is not as the page wrote it ({says}): {}",
            shown(&near)
        )
    };
    Unread::at(format!("line {line}"), problem, WANTED)
}
