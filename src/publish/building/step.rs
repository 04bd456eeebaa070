//! The clear text of ISO 10303-21: a file of numbered instances.
//!
//! In: entity names with their arguments, in order. Out: the whole text, in ASCII, with a line for each
//! instance. Does not: know what any entity means.

use std::fmt::Write as _;

/// An instance that was written, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Id(u32);

/// One argument of an instance.
#[derive(Clone, Debug)]
pub(super) enum Arg {
    /// No value: `$`.
    Null,
    /// A value that a subtype derives: `*`.
    Derived,
    /// Another instance.
    Ref(Id),
    /// Text; what is not ASCII is escaped.
    Text(String),
    /// A real number.
    Real(f64),
    /// A whole number.
    Whole(u64),
    /// A word of an enumeration, without its dots.
    Word(&'static str),
    /// A list or set.
    List(Vec<Self>),
    /// A value with its type, as in `IFCLABEL('x')`.
    Typed(&'static str, Box<Self>),
}

impl Arg {
    /// Text.
    #[must_use]
    pub(super) fn text(text: &str) -> Self {
        Self::Text(text.to_owned())
    }

    /// Instances as a list.
    #[must_use]
    pub(super) fn refs(ids: &[Id]) -> Self {
        Self::List(ids.iter().map(|id| Self::Ref(*id)).collect())
    }

    /// Numbers as a list.
    #[must_use]
    pub(super) fn reals(numbers: impl IntoIterator<Item = f64>) -> Self {
        Self::List(numbers.into_iter().map(Self::Real).collect())
    }

    fn write(&self, out: &mut String) {
        match self {
            Self::Null => out.push('$'),
            Self::Derived => out.push('*'),
            Self::Ref(Id(number)) => put(out, format_args!("#{number}")),
            Self::Text(text) => quoted(text, out),
            Self::Real(number) => out.push_str(&real(*number)),
            Self::Whole(number) => put(out, format_args!("{number}")),
            Self::Word(word) => put(out, format_args!(".{word}.")),
            Self::List(args) => listed(args, out),
            Self::Typed(name, arg) => {
                out.push_str(name);
                listed(std::slice::from_ref(arg), out);
            }
        }
    }
}

fn put(out: &mut String, what: std::fmt::Arguments<'_>) {
    out.write_fmt(what)
        .expect("writing into a String cannot fail");
}

fn listed(args: &[Arg], out: &mut String) {
    out.push('(');
    for (at, arg) in args.iter().enumerate() {
        if at > 0 {
            out.push(',');
        }
        arg.write(out);
    }
    out.push(')');
}

/// Text in single quotes (ISO 10303-21, 6.4.3): quotes and backslashes doubled; every other character
/// outside the printable ones of ASCII by its code point, in four hexadecimal digits within `\X2\`, or
/// in eight within `\X4\` where four do not hold it.
fn quoted(text: &str, out: &mut String) {
    out.push('\'');
    let mut open = "";
    for letter in text.chars() {
        let needs = match letter {
            ' '..='~' => "",
            '\u{0}'..='\u{ffff}' => "\\X2\\",
            _ => "\\X4\\",
        };
        if needs != open {
            if !open.is_empty() {
                out.push_str("\\X0\\");
            }
            out.push_str(needs);
            open = needs;
        }
        let code = u32::from(letter);
        match (needs, letter) {
            ("", '\'') => out.push_str("''"),
            ("", '\\') => out.push_str("\\\\"),
            ("", letter) => out.push(letter),
            ("\\X2\\", _) => put(out, format_args!("{code:04X}")),
            _ => put(out, format_args!("{code:08X}")),
        }
    }
    if !open.is_empty() {
        out.push_str("\\X0\\");
    }
    out.push('\'');
}

/// A real number (ISO 10303-21, 6.4.2): always with a point, the exponent after an `E`. Exact: it reads
/// back as the same `f64`. What is not finite has no text there and is written as nought.
fn real(number: f64) -> String {
    if !number.is_finite() || number == 0.0 {
        return "0.".to_owned();
    }
    let plain = (1e-4..1e9).contains(&number.abs());
    let text = if plain {
        format!("{number}")
    } else {
        format!("{number:E}")
    };
    if text.contains('.') {
        return text;
    }
    match text.split_once('E') {
        Some((digits, exponent)) => format!("{digits}.E{exponent}"),
        None => format!("{text}."),
    }
}

/// A file under construction.
#[derive(Debug, Default)]
pub(super) struct StepFile {
    data: String,
    last: u32,
}

impl StepFile {
    /// Writes an instance and gives its number: 1, 2 and so on, as they come.
    pub(super) fn add(&mut self, entity: &str, args: &[Arg]) -> Id {
        self.last += 1;
        put(&mut self.data, format_args!("#{}={entity}", self.last));
        listed(args, &mut self.data);
        self.data.push_str(";\n");
        Id(self.last)
    }

    /// The whole file under a header.
    #[must_use]
    pub(super) fn text(self, header: &Header<'_>) -> String {
        let empty = || Arg::List(vec![Arg::text("")]);
        let one = |text: &str| Arg::List(vec![Arg::text(text)]);
        let mut out = String::from("ISO-10303-21;\nHEADER;\n");
        let records = [
            (
                "FILE_DESCRIPTION",
                vec![one(header.description), Arg::text("2;1")],
            ),
            (
                "FILE_NAME",
                vec![
                    Arg::text(header.name),
                    Arg::text(header.time),
                    empty(),
                    empty(),
                    Arg::text(header.program),
                    Arg::text(header.program),
                    Arg::text(""),
                ],
            ),
            ("FILE_SCHEMA", vec![one(header.schema)]),
        ];
        for (record, args) in &records {
            out.push_str(record);
            listed(args, &mut out);
            out.push_str(";\n");
        }
        out.push_str("ENDSEC;\nDATA;\n");
        out.push_str(&self.data);
        out.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
        out
    }
}

/// What stands before the data (ISO 10303-21, 8.2); author, organisation and authorisation are left
/// empty.
#[derive(Clone, Copy, Debug)]
pub(super) struct Header<'a> {
    /// What the file holds.
    pub(super) description: &'a str,
    /// What it is called.
    pub(super) name: &'a str,
    /// When it was written, as ISO 8601 has it.
    pub(super) time: &'a str,
    /// What wrote it.
    pub(super) program: &'a str,
    /// The schema that its instances follow.
    pub(super) schema: &'a str,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(text: &str) -> String {
        let mut out = String::new();
        quoted(text, &mut out);
        out
    }

    #[test]
    fn text_is_escaped_as_the_standard_has_it() {
        // ISO 10303-21:2002, 6.4.3: the apostrophe doubled, the reverse solidus doubled, other
        // characters by their code points in ISO 10646 (from memory; held against a reader of others
        // in tests/reference/building.py).
        assert_eq!(text("it's"), "'it''s'");
        assert_eq!(text("a\\b"), "'a\\\\b'");
        assert_eq!(text("Müller"), "'M\\X2\\00FC\\X0\\ller'");
        assert_eq!(text("éé"), "'\\X2\\00E900E9\\X0\\'");
        assert_eq!(text("\u{1f6aa}é"), "'\\X4\\0001F6AA\\X0\\\\X2\\00E9\\X0\\'");
        assert_eq!(text("a\nb"), "'a\\X2\\000A\\X0\\b'");
        assert_eq!(text("');DROP"), "''');DROP'");
    }

    #[test]
    fn numbers_have_a_point_and_read_back() {
        assert_eq!(real(25.0), "25.");
        assert_eq!(real(-25.4), "-25.4");
        assert_eq!(real(-0.0), "0.");
        assert_eq!(real(1e-5), "1.E-5");
        assert_eq!(real(2.5e-7), "2.5E-7");
        assert_eq!(real(f64::NAN), "0.");
        for number in [1.0 / 3.0, 1e9 / 7.0, 1e12 / 7.0, 1e-9 / 7.0] {
            let read: f64 = real(number).parse().unwrap();
            assert_eq!(read.to_bits(), number.to_bits());
        }
    }

    #[test]
    fn instances_are_numbered_and_joined() {
        let mut file = StepFile::default();
        let point = file.add("IFCCARTESIANPOINT", &[Arg::reals([0.0, 1.5])]);
        file.add(
            "IFCX",
            &[Arg::Ref(point), Arg::Null, Arg::Word("T"), Arg::Derived],
        );
        assert_eq!(
            file.data,
            "#1=IFCCARTESIANPOINT((0.,1.5));\n#2=IFCX(#1,$,.T.,*);\n"
        );
    }
}
