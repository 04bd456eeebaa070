//! The text being typed into one row, and what each key does to it.
//!
//! A field of our own, not the panels' library's: on a slow machine several keys arrive in one
//! frame, and each must act on what those before it left, fractions and next row alike. Undo is
//! the document's; the field has only "as it was".

use bevy_egui::egui::{Event, Key};

use crate::measure::{Unit, fraction_keys};

use super::rows::{Takes, higher};

/// What a key asks of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    /// Nothing: the text changed, or the key is none of ours.
    Nothing,
    /// Keep it, and go on.
    Next,
    /// Keep it, and go back.
    Back,
    /// Leave the place.
    Leave,
    /// Keep it, and save.
    Save,
}

/// The text of a row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Field {
    /// The text.
    pub(super) text: String,
    /// Where the cursor stands, in characters.
    pub(super) at: usize,
    /// The whole text is marked: what is typed next takes its place.
    pub(super) marked: bool,
    was: String,
}

impl Field {
    /// A row that was just come to.
    pub(super) fn of(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            at: text.chars().count(),
            marked: !text.is_empty(),
            was: text.to_owned(),
        }
    }

    /// True where something is typed that is not in the job.
    pub(super) fn typed(&self) -> bool {
        self.text != self.was
    }

    /// Carries out one key.
    pub(super) fn take(&mut self, event: &Event, takes: Takes, unit: Unit) -> Asks {
        match event {
            Event::Text(text) | Event::Paste(text) => {
                for letter in text.chars().filter(|letter| !letter.is_control()) {
                    self.letter(letter, takes, unit);
                }
                Asks::Nothing
            }
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } if modifiers.command => self.with_control(*key),
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => self.key(*key, modifiers.shift),
            _ => Asks::Nothing,
        }
    }

    fn with_control(&mut self, key: Key) -> Asks {
        match key {
            // What is typed is taken back before what is in the job; then it is the window's key.
            Key::Z if self.typed() => *self = Self::of(&self.was),
            Key::S if self.typed() => return Asks::Save,
            Key::A => self.marked = true,
            _ => {}
        }
        Asks::Nothing
    }

    fn key(&mut self, key: Key, shift: bool) -> Asks {
        let end = self.text.chars().count();
        match key {
            Key::Tab if shift => return Asks::Back,
            Key::Tab | Key::Enter | Key::ArrowDown => return Asks::Next,
            Key::ArrowUp => return Asks::Back,
            Key::Escape if self.typed() => *self = Self::of(&self.was),
            Key::Escape => return Asks::Leave,
            Key::Backspace | Key::Delete if self.marked => self.replace(String::new()),
            Key::Backspace if self.at > 0 => {
                self.at -= 1;
                self.remove(self.at);
            }
            Key::Delete => self.remove(self.at),
            Key::ArrowLeft => self.go(self.at.saturating_sub(1)),
            Key::ArrowRight => self.go((self.at + 1).min(end)),
            Key::Home => self.go(0),
            Key::End => self.go(end),
            _ => {}
        }
        Asks::Nothing
    }

    fn letter(&mut self, letter: char, takes: Takes, unit: Unit) {
        if takes == Takes::Level {
            let (number, high) = higher(&self.text);
            let number = if self.marked && !letter.is_alphabetic() {
                ""
            } else {
                number
            };
            if matches!(letter.to_ascii_lowercase(), 'o' | 'w') && !number.is_empty() {
                let text = format!("{number} {}", letter.to_ascii_lowercase());
                return self.replace(text);
            }
            if let Some(new) = fraction_keys::press(number, letter, unit) {
                let tail = high.map(|_| self.text.trim_end().chars().last());
                let tail = tail.flatten().map_or_else(String::new, |c| format!(" {c}"));
                return self.replace(format!("{new}{tail}"));
            }
        } else if takes == Takes::Length
            && let Some(new) = fraction_keys::press(&self.text, letter, unit)
        {
            return self.replace(new);
        }
        if self.marked {
            self.replace(String::new());
        }
        let byte = self.byte(self.at);
        self.text.insert(byte, letter);
        self.at += 1;
    }

    fn replace(&mut self, text: String) {
        self.at = text.chars().count();
        self.text = text;
        self.marked = false;
    }

    fn remove(&mut self, at: usize) {
        let byte = self.byte(at);
        if byte < self.text.len() {
            self.text.remove(byte);
        }
    }

    fn go(&mut self, at: usize) {
        self.at = at;
        self.marked = false;
    }

    fn byte(&self, at: usize) -> usize {
        let place = self.text.char_indices().nth(at);
        place.map_or(self.text.len(), |(byte, _)| byte)
    }
}
