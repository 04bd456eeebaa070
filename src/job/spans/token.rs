//! Cuts RON text into tokens, each with its bytes.
//!
//! In: any text at all. Out: tokens one at a time, so that the first fault in reading order is the
//! one that is told. Spaces and comments are passed over. What a token is worth is for `ron` to
//! say; here only its extent matters.

use super::{Bracket, Span, SyntaxFault};

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// An opening bracket.
    Open(Bracket),
    /// A closing bracket.
    Close(Bracket),
    /// A comma.
    Comma,
    /// A colon.
    Colon,
    /// A name: a field, a variant, `true`, `None`.
    Word,
    /// A number, as far as its looks go.
    Number,
    /// A string, byte string or character in quotes.
    Text,
    /// Anything that has no place in RON.
    Odd,
    /// The end of the text.
    End,
}

/// A token and its bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) span: Span,
}

/// Reads tokens from a text of less than 4 GiB.
#[derive(Clone)]
pub(super) struct Tokens<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Tokens<'a> {
    pub(super) const fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    /// Steps over characters for as long as `wanted` holds.
    fn skip_while(&mut self, wanted: impl Fn(char) -> bool) {
        let rest = self.rest();
        self.at += rest.find(|c| !wanted(c)).unwrap_or(rest.len());
    }

    /// The next token; `End` for ever once the text is used up.
    pub(super) fn next(&mut self) -> Result<Token, SyntaxFault> {
        self.skip_blank()?;
        let start = self.at;
        let Some(first) = self.peek() else {
            return Ok(Token {
                kind: Kind::End,
                span: Span::new(start, start),
            });
        };
        let kind = self.token(first)?;
        Ok(Token {
            kind,
            span: Span::new(start, self.at),
        })
    }

    fn token(&mut self, first: char) -> Result<Kind, SyntaxFault> {
        if let Some(kind) = punctuation(first) {
            self.at += first.len_utf8();
            return Ok(kind);
        }
        if first == '"' {
            return self.quoted(0);
        }
        if let Some(prefix) = string_prefix(self.rest()) {
            return self.prefixed(prefix);
        }
        if first == '\'' && self.character() {
            return Ok(Kind::Text);
        }
        if starts_number(self.rest()) {
            self.number();
            return Ok(Kind::Number);
        }
        if is_word_start(first) {
            if self.rest().starts_with("r#") {
                self.at += 2;
            }
            self.skip_while(is_word_part);
            return Ok(Kind::Word);
        }
        self.at += first.len_utf8();
        self.skip_while(|c| !is_blank(c) && punctuation(c).is_none() && c != '"');
        Ok(Kind::Odd)
    }

    /// Spaces and comments. Block comments nest, as in `ron`.
    fn skip_blank(&mut self) -> Result<(), SyntaxFault> {
        loop {
            self.skip_while(is_blank);
            if self.rest().starts_with("//") {
                self.skip_while(|c| c != '\n');
            } else if self.rest().starts_with("/*") {
                self.block_comment()?;
            } else {
                return Ok(());
            }
        }
    }

    fn block_comment(&mut self) -> Result<(), SyntaxFault> {
        let start = self.at;
        let mut depth = 0_usize;
        loop {
            let rest = self.rest();
            if rest.starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if rest.starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return Ok(());
                }
            } else if let Some(c) = rest.chars().next() {
                self.at += c.len_utf8();
            } else {
                return Err(SyntaxFault::new(
                    Span::new(start, start + 2),
                    "this comment is never closed",
                    "close it with `*/`",
                ));
            }
        }
    }

    /// A string that starts `prefix` bytes before its quote.
    fn quoted(&mut self, prefix: usize) -> Result<Kind, SyntaxFault> {
        let start = self.at;
        self.at += prefix + 1;
        loop {
            self.skip_while(|c| c != '"' && c != '\\');
            let Some(stop) = self.peek() else {
                return Err(unclosed_string(start, prefix + 1));
            };
            self.at += 1;
            if stop == '"' {
                return Ok(Kind::Text);
            }
            if let Some(escaped) = self.peek() {
                self.at += escaped.len_utf8();
            }
        }
    }

    fn prefixed(&mut self, prefix: Prefix) -> Result<Kind, SyntaxFault> {
        let Some(hashes) = prefix.raw_hashes else {
            return self.quoted(prefix.bytes);
        };
        let start = self.at;
        self.at += prefix.bytes + 1;
        let mut close = String::from("\"");
        close.extend(std::iter::repeat_n('#', hashes));
        let Some(length) = self.rest().find(&close) else {
            return Err(unclosed_string(start, prefix.bytes + 1));
        };
        self.at += length + close.len();
        Ok(Kind::Text)
    }

    /// A character in single quotes; false, and nothing used, where there is none.
    fn character(&mut self) -> bool {
        let mut chars = self.rest().char_indices().skip(1);
        let closed = match chars.next() {
            Some((_, '\\')) => {
                let _escaped = chars.next();
                // The longest escape is `\u{10FFFF}`.
                chars.take(9).find(|(_, c)| *c == '\'').map(|(at, _)| at)
            }
            Some(_) => chars.next().filter(|(_, c)| *c == '\'').map(|(at, _)| at),
            None => None,
        };
        if let Some(quote) = closed {
            self.at += quote + 1;
        }
        closed.is_some()
    }

    fn number(&mut self) {
        let mut former = '0';
        let rest = self.rest();
        let length = rest
            .char_indices()
            .skip(1)
            .find(|&(_, c)| {
                let sign = matches!(c, '+' | '-') && matches!(former, 'e' | 'E');
                former = c;
                !(sign || c == '.' || is_word_part(c))
            })
            .map_or(rest.len(), |(at, _)| at);
        self.at += length;
    }
}

fn unclosed_string(start: usize, length: usize) -> SyntaxFault {
    SyntaxFault::new(
        Span::new(start, start + length),
        "this text is never closed",
        "close it with `\"`; inches marks inside a text are written `\\\"`",
    )
}

const fn punctuation(c: char) -> Option<Kind> {
    Some(match c {
        '(' => Kind::Open(Bracket::Round),
        '[' => Kind::Open(Bracket::Square),
        '{' => Kind::Open(Bracket::Curly),
        ')' => Kind::Close(Bracket::Round),
        ']' => Kind::Close(Bracket::Square),
        '}' => Kind::Close(Bracket::Curly),
        ',' => Kind::Comma,
        ':' => Kind::Colon,
        _ => return None,
    })
}

/// What stands before the quote of a byte string or raw string.
#[derive(Clone, Copy)]
struct Prefix {
    bytes: usize,
    /// The number of `#` of a raw string.
    raw_hashes: Option<usize>,
}

fn string_prefix(rest: &str) -> Option<Prefix> {
    let raw = rest.starts_with('r') || rest.starts_with("br");
    let letters = if rest.starts_with("br") { 2 } else { 1 };
    if !raw && !rest.starts_with('b') {
        return None;
    }
    let tail = rest.get(letters..)?;
    let hashes = if raw {
        tail.len() - tail.trim_start_matches('#').len()
    } else {
        0
    };
    tail.get(hashes..)?.starts_with('"').then_some(Prefix {
        bytes: letters + hashes,
        raw_hashes: raw.then_some(hashes),
    })
}

/// A digit, or a sign or point with something of a number behind it (`-.5`, `-inf`).
fn starts_number(rest: &str) -> bool {
    let mut chars = rest.chars();
    match chars.next() {
        Some(c) if c.is_ascii_digit() => true,
        Some('+' | '-') => chars.next().is_some_and(|c| c == '.' || is_word_part(c)),
        Some('.') => chars.next().is_some_and(|c| c.is_ascii_digit()),
        _ => false,
    }
}

/// The blanks of `ron`, and a byte order mark, which some editors write first.
const fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t'
            ..='\r' | '\u{85}' | '\u{200E}' | '\u{200F}' | '\u{2028}' | '\u{2029}' | '\u{FEFF}'
    )
}

fn is_word_start(c: char) -> bool {
    c == '_' || c.is_alphabetic()
}

fn is_word_part(c: char) -> bool {
    c == '_' || c.is_alphanumeric()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<(Kind, &str)> {
        let mut tokens = Tokens::new(text);
        let mut all = Vec::new();
        loop {
            let token = tokens.next().expect("well-formed tokens");
            if token.kind == Kind::End {
                return all;
            }
            all.push((token.kind, &text[token.span.range()]));
        }
    }

    #[test]
    fn cuts_every_kind_of_scalar() {
        for (text, kind) in [
            ("7.5", Kind::Number),
            ("-.5", Kind::Number),
            ("1e-3", Kind::Number),
            ("-inf", Kind::Number),
            ("0xFF_u8", Kind::Number),
            ("\"a \\\" b\"", Kind::Text),
            ("r\"a\\\"", Kind::Text),
            ("r#\"3' 2\"\"#", Kind::Text),
            ("b\"x\"", Kind::Text),
            ("br#\"x\"#", Kind::Text),
            ("'x'", Kind::Text),
            ("'\\u{48}'", Kind::Text),
            ("r#type", Kind::Word),
            ("rise", Kind::Word),
            ("breite", Kind::Word),
            ("5/16", Kind::Odd),
        ] {
            if kind == Kind::Odd {
                assert_eq!(kinds(text), [(Kind::Number, "5"), (Kind::Odd, "/16")]);
            } else {
                assert_eq!(kinds(text), [(kind, text)], "{text}");
            }
        }
    }

    #[test]
    fn passes_over_comments_that_nest() {
        let text = "/* a /* b */ \" */ 1 // \" (\n, 2-3";
        let expected = [
            (Kind::Number, "1"),
            (Kind::Comma, ","),
            (Kind::Number, "2"),
            (Kind::Number, "-3"),
        ];
        assert_eq!(kinds(text), expected);
    }

    #[test]
    fn names_the_start_of_what_is_never_closed() {
        for (text, start) in [("  \"abc", 2), (" /* /* */", 1), ("r##\"a\"#", 0)] {
            let fault = Tokens::new(text).next().expect_err("nothing closes it");
            assert_eq!(fault.span.range().start, start, "{text}");
        }
    }
}
