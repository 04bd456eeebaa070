//! Builds the tree of values from tokens.
//!
//! In: any text. Out: the root [`Node`], or the first fault. Nesting and size are bounded before
//! anything recurses into the text, so that no file can exhaust the stack or the memory.

use super::token::{Kind, Token, Tokens};
use super::{Body, Bracket, Group, Item, Node, Span, SyntaxFault};

/// Brackets nest no deeper than this; a job needs 8, and `ron` itself stops at 128.
pub const MAX_DEPTH: usize = 64;

/// No more values than this in one file: all walls with all their readings are 400 000.
pub const MAX_VALUES: usize = 500_000;

/// Reads the one value that a text holds.
pub(super) fn parse(text: &str) -> Result<Node, SyntaxFault> {
    let mut parser = Parser::start(text)?;
    if parser.ahead.kind == Kind::End {
        return Err(SyntaxFault::new(
            parser.ahead.span,
            "the file is empty",
            "a job begins with `(format: 1, ...`; `rakewell new` writes one to start from",
        ));
    }
    let root = parser.value(0)?;
    if parser.ahead.kind == Kind::End {
        return Ok(root);
    }
    Err(SyntaxFault::new(
        parser.ahead.span,
        "the value has ended, but more follows",
        "take out what follows, or the bracket that closes too early",
    ))
}

struct Parser<'a> {
    text: &'a str,
    tokens: Tokens<'a>,
    /// The token that has been read but not used.
    ahead: Token,
    /// Where the last used token ended.
    behind: usize,
    values: usize,
}

impl<'a> Parser<'a> {
    fn start(text: &'a str) -> Result<Self, SyntaxFault> {
        let mut tokens = Tokens::new(text);
        let ahead = tokens.next()?;
        Ok(Self {
            text,
            tokens,
            ahead,
            behind: 0,
            values: 0,
        })
    }

    fn advance(&mut self) -> Result<Token, SyntaxFault> {
        let token = self.ahead;
        self.behind = token.span.range().end;
        self.ahead = self.tokens.next()?;
        Ok(token)
    }

    fn value(&mut self, depth: usize) -> Result<Node, SyntaxFault> {
        self.values += 1;
        if self.values > MAX_VALUES {
            return Err(SyntaxFault::new(
                self.ahead.span,
                format!("this is value {} of the file", self.values),
                format!("a job holds {MAX_VALUES} values at most"),
            ));
        }
        match self.ahead.kind {
            Kind::Number => Ok(Node::scalar(self.advance()?.span, Body::Number)),
            Kind::Text => Ok(Node::scalar(self.advance()?.span, Body::Text)),
            Kind::Word => self.word(depth),
            Kind::Open(bracket) => self.group(None, bracket, depth),
            _ => Err(self.no_value()),
        }
    }

    /// A name alone, or a name with what it holds in round brackets.
    fn word(&mut self, depth: usize) -> Result<Node, SyntaxFault> {
        let name = self.advance()?.span;
        if self.ahead.kind == Kind::Open(Bracket::Round) {
            return self.group(Some(name), Bracket::Round, depth);
        }
        Ok(Node {
            span: name,
            name: Some(name),
            body: Body::Word,
        })
    }

    fn group(
        &mut self,
        name: Option<Span>,
        bracket: Bracket,
        depth: usize,
    ) -> Result<Node, SyntaxFault> {
        let open = self.ahead.span;
        if depth >= MAX_DEPTH {
            return Err(SyntaxFault::new(
                open,
                format!("brackets are nested more than {MAX_DEPTH} deep here"),
                "a job needs no more than 8; is this the right file?",
            ));
        }
        let _open = self.advance()?;
        let mut items = Vec::new();
        let close = loop {
            if let Kind::Close(closing) = self.ahead.kind {
                if closing != bracket {
                    return Err(self.wrong_close(open, bracket));
                }
                break self.advance()?.span;
            }
            if self.ahead.kind == Kind::End {
                return Err(self.never_closed(open, bracket));
            }
            items.push(self.item(open, bracket, depth)?);
        };
        let span = name.unwrap_or(open).to(close);
        Ok(Node {
            span,
            name,
            body: Body::Group(Group {
                bracket,
                open,
                close,
                items,
            }),
        })
    }

    fn item(&mut self, open: Span, bracket: Bracket, depth: usize) -> Result<Item, SyntaxFault> {
        let first = self.value(depth + 1)?;
        let keyed = bracket == Bracket::Curly || matches!(first.body, Body::Word);
        let mut item = if keyed && self.ahead.kind == Kind::Colon {
            let _colon = self.advance()?;
            if self.ahead.kind == Kind::End {
                return Err(self.never_closed(open, bracket));
            }
            Item {
                name: Some(first.span),
                value: self.value(depth + 1)?,
                comma: None,
            }
        } else {
            Item {
                name: None,
                value: first,
                comma: None,
            }
        };
        match self.ahead.kind {
            Kind::Comma => item.comma = Some(self.advance()?.span),
            Kind::Close(_) | Kind::End => {}
            _ => return Err(self.no_comma(&item)),
        }
        match self.decimal_comma(&item, bracket) {
            Some(fault) => Err(fault),
            None => Ok(item),
        }
    }

    /// `is: 10,06`: a comma that was meant for the decimals. Between fields that have names a bare
    /// number has no place, so nothing that can be read is refused.
    fn decimal_comma(&self, item: &Item, bracket: Bracket) -> Option<SyntaxFault> {
        let comma = item.comma?;
        let number = item.value.span;
        let close = number.range().end == comma.range().start
            && comma.range().end == self.ahead.span.range().start;
        let named = bracket == Bracket::Round && item.name.is_some();
        let numbers =
            matches!(item.value.body, Body::Number) && self.ahead.kind == Kind::Number && close;
        (named && numbers).then(|| {
            let (whole, decimals) = (self.read(number), self.read(self.ahead.span));
            SyntaxFault::new(
                number.to(self.ahead.span),
                "a comma within a number",
                format!("write a point before the decimals: `{whole}.{decimals}`"),
            )
        })
    }

    fn read(&self, span: Span) -> &'a str {
        self.text.get(span.range()).unwrap_or("")
    }

    fn no_value(&self) -> SyntaxFault {
        let (problem, help) = match self.ahead.kind {
            Kind::End => ("the file ends where a value should stand", "add the value"),
            Kind::Close(_) => ("a value is missing before this", "add the value"),
            Kind::Comma => (
                "a value is missing before this comma",
                "add it, or take the comma out",
            ),
            Kind::Colon => ("a name is missing before this colon", "write `name: value`"),
            _ if self.read(self.ahead.span).starts_with("#!") => (
                "a job file turns no RON extension on",
                "take this line out; the file is read without it",
            ),
            _ if self.read(self.ahead.span).starts_with('#') => (
                "a remark begins with `//`, not with `#`",
                "write `//` in place of `#`",
            ),
            _ if self.read(self.ahead.span).starts_with(is_curly) => return self.curly_quotes(),
            _ => (
                "this is not a value",
                "write a number, a text in quotes, a name, or brackets",
            ),
        };
        SyntaxFault::new(self.ahead.span, problem, help)
    }

    /// Quotes as a telephone or a word processor makes them.
    fn curly_quotes(&self) -> SyntaxFault {
        let start = self.ahead.span.range().start;
        let line = self.text.get(start..).unwrap_or("");
        let line = line.split('\n').next().unwrap_or("");
        let inside = line.trim_start_matches(is_curly);
        let single = line.starts_with(['\u{2018}', '\u{2019}', '\u{201a}', '\u{2032}']);
        // An apostrophe within a text ends it only where one began it.
        let ends = |c: char| (is_curly(c) || c == '"') && (single || !is_single(c));
        let (plain, length) = match inside.find(ends) {
            Some(end) => {
                let close = inside[end..].chars().next().map_or(0, char::len_utf8);
                (&inside[..end], line.len() - inside.len() + end + close)
            }
            None => (
                self.unquoted(start).trim_matches(is_curly),
                line.trim_end().len(),
            ),
        };
        SyntaxFault::new(
            Span::new(start, start + length.max(self.ahead.span.range().len())),
            "curly quotes do not hold a text here",
            format!("write `\"{plain}\"`, with the straight quotes of the keyboard"),
        )
    }

    fn no_comma(&self, item: &Item) -> SyntaxFault {
        let span = self.ahead.span;
        if item.name.is_none() && matches!(item.value.body, Body::Word) {
            let name = self.read(item.value.span);
            return SyntaxFault::new(
                span,
                format!("`:` is missing after `{name}`"),
                format!("write `{name}: ...`"),
            );
        }
        if matches!(item.value.body, Body::Number) {
            let start = item.value.span.range().start;
            let typed = self.unquoted(start);
            return SyntaxFault::new(
                Span::new(start, (start + typed.len()).max(span.range().end)),
                "a length that is more than one number stands in quotes",
                format!("write `\"{}\"`", without_inch_mark(typed)),
            );
        }
        let value = item.value.span.range();
        let first_line = self.read(item.value.span).split('\n').next().unwrap_or("");
        if matches!(item.value.body, Body::Text) && first_line.len() < value.len() {
            return SyntaxFault::new(
                Span::new(value.start, value.start + first_line.trim_end().len()),
                "the quote that ends this text is missing",
                "put a straight quote `\"` where the text ends, on this line",
            );
        }
        // A forgotten comma shows itself only at the next token.
        SyntaxFault::new(
            span,
            "a comma is missing before this",
            "put a comma after every value but the last",
        )
    }

    /// What a length without quotes would be, as far as its line and its field go.
    fn unquoted(&self, start: usize) -> &'a str {
        let rest = self.text.get(start..).unwrap_or("");
        let end = rest.find([',', ')', ']', '\n']).unwrap_or(rest.len());
        rest.get(..end).unwrap_or("").trim()
    }

    fn never_closed(&self, open: Span, bracket: Bracket) -> SyntaxFault {
        let (opened, closes) = bracket.pair();
        SyntaxFault::new(
            open,
            format!("the file ends, but this `{opened}` is never closed"),
            format!("close it with `{closes}`; was the file cut short?"),
        )
        .beside(
            Span::new(self.behind, self.behind),
            "the last that was read",
        )
    }

    fn wrong_close(&self, open: Span, bracket: Bracket) -> SyntaxFault {
        let (opened, closes) = bracket.pair();
        SyntaxFault::new(
            self.ahead.span,
            format!("`{}` cannot close `{opened}`", self.read(self.ahead.span)),
            format!("close it with `{closes}`"),
        )
        .beside(open, "opened here")
    }
}

/// Quotes that are not the straight ones of a keyboard.
const fn is_curly(c: char) -> bool {
    matches!(
        c,
        '\u{2018}'..='\u{201f}' | '\u{00ab}' | '\u{00bb}' | '\u{2032}' | '\u{2033}' | '\u{ff02}'
    )
}

/// One that is an apostrophe as well.
const fn is_single(c: char) -> bool {
    matches!(c, '\u{2018}'..='\u{201b}' | '\u{2032}')
}

/// A length as it can stand in quotes: its inch mark, which would end the text, is `in`, or left out
/// behind feet.
fn without_inch_mark(typed: &str) -> String {
    let bare = typed.trim_end_matches('"').trim_end();
    if bare.len() == typed.len() || bare.contains('\'') {
        bare.to_owned()
    } else {
        format!("{bare} in")
    }
}
