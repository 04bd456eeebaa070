//! No output holds a NaN or an infinity.

use std::fmt::{self, Debug, Write};

/// Looks at words outside quotes as they come, without keeping them.
#[derive(Default)]
struct Words {
    word: String,
    quoted: bool,
    escaped: bool,
    bad: Option<String>,
    near: String,
}

impl Words {
    fn take(&mut self, c: char) {
        if self.quoted {
            match c {
                _ if self.escaped => self.escaped = false,
                '\\' => self.escaped = true,
                '"' => self.quoted = false,
                _ => {}
            }
            return;
        }
        if c.is_alphanumeric() || c == '_' || c == '.' {
            self.word.push(c);
            return;
        }
        self.ends();
        self.quoted = c == '"';
        if self.near.len() > 400 {
            self.near.clear();
        }
        self.near.push(c);
    }

    fn ends(&mut self) {
        if self.bad.is_none() && matches!(&*self.word, "NaN" | "inf" | "Infinity" | "nan") {
            self.bad = Some(format!("{} behind {}", self.word, self.near));
        }
        if !self.word.is_empty() {
            self.near.push_str(&self.word);
            self.word.clear();
        }
    }
}

impl Write for Words {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        text.chars().for_each(|c| self.take(c));
        Ok(())
    }
}

/// Every number in a value, as its `Debug` shows it, is one.
///
/// # Panics
/// Where one is not.
pub fn debugged(what: &str, value: &impl Debug) {
    let mut words = Words::default();
    write!(words, "{value:?}").expect("it always takes more");
    words.ends();
    assert!(
        words.bad.is_none(),
        "{what}: {}",
        words.bad.unwrap_or_default()
    );
}

/// Every number in a text is one. What stands in quotes is somebody's words.
///
/// # Panics
/// Where one is not.
pub fn told(what: &str, text: &str) {
    let mut words = Words::default();
    words.write_str(text).expect("it always takes more");
    words.ends();
    assert!(
        words.bad.is_none(),
        "{what}: {}",
        words.bad.unwrap_or_default()
    );
}
