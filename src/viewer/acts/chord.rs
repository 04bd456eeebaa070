//! Keys as they are printed on the keyboard, whatever its layout, with what is held beside them.
//!
//! Messages are read in their order: in a slow frame Ctrl may be up again, and two letters may have
//! been typed, before the window sees either.

use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyboardInput};

/// A key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::viewer) enum Stroke {
    /// What it types, in lower case.
    Types(char),
    /// A function key, by its number.
    F(u8),
    /// Enter, of the letters or of the numbers.
    Enter,
    /// Escape.
    Escape,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// Delete.
    Delete,
    /// The arrow to the left, with Ctrl: alone it turns the eye.
    Left,
    /// The arrow to the right, with Ctrl.
    Right,
}

/// What is held down beside a key.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::viewer) struct Held {
    /// Ctrl.
    pub(in crate::viewer) control: bool,
    /// Shift.
    pub(in crate::viewer) shift: bool,
    /// Alt.
    pub(in crate::viewer) alt: bool,
}

impl Held {
    /// What is held after a key went down or up.
    fn after(self, input: &KeyboardInput) -> Self {
        let down = input.state == ButtonState::Pressed;
        match input.logical_key {
            Key::Control | Key::Super => Self {
                control: down,
                ..self
            },
            Key::Shift => Self {
                shift: down,
                ..self
            },
            Key::Alt => Self { alt: down, ..self },
            _ => self,
        }
    }
}

/// A key with what is held beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Chord {
    stroke: Stroke,
    held: Held,
}

/// A key that types something.
pub(in crate::viewer) const fn typed(letter: char) -> Chord {
    plain(Stroke::Types(letter))
}

/// A key alone.
pub(in crate::viewer) const fn plain(stroke: Stroke) -> Chord {
    let held = Held {
        control: false,
        shift: false,
        alt: false,
    };
    Chord { stroke, held }
}

impl Chord {
    /// The same with Ctrl.
    pub(in crate::viewer) const fn control(mut self) -> Self {
        self.held.control = true;
        self
    }

    /// The same with Shift.
    pub(in crate::viewer) const fn shift(mut self) -> Self {
        self.held.shift = true;
        self
    }

    /// True where it counts even while text is typed.
    pub(in crate::viewer) const fn beside_text(self) -> bool {
        self.held.control || matches!(self.stroke, Stroke::F(_))
    }

    /// True for what a text field does with Ctrl itself: letters taken back, words gone over.
    pub(in crate::viewer) const fn of_text(self) -> bool {
        let strokes = matches!(
            self.stroke,
            Stroke::Types('z' | 'y') | Stroke::Left | Stroke::Right
        );
        self.held.control && strokes
    }

    /// True for a key that presses the button that the keys have come to.
    pub(in crate::viewer) const fn presses(self) -> bool {
        !self.held.control && matches!(self.stroke, Stroke::Enter | Stroke::Types(' '))
    }

    /// True for a chord of Ctrl.
    pub(in crate::viewer) const fn with_control(self) -> bool {
        self.held.control
    }

    /// True where it is what was pressed. Shift is part of what a mark needs on some keyboards and
    /// not on others, so there it does not count.
    fn is(self, stroke: Stroke, held: Held) -> bool {
        let mark = matches!(stroke, Stroke::Types(typed) if !typed.is_alphanumeric());
        self.stroke == stroke
            && self.held.control == held.control
            && self.held.alt == held.alt
            && (mark || self.held.shift == held.shift)
    }

    /// As a person reads it: `Ctrl+Shift+Z`.
    pub(in crate::viewer) fn says(self) -> String {
        let held = [
            (self.held.control, "Ctrl+"),
            (self.held.alt, "Alt+"),
            (self.held.shift, "Shift+"),
        ];
        let mut says: String = held
            .into_iter()
            .filter_map(|(held, says)| held.then_some(says))
            .collect();
        match self.stroke {
            Stroke::Types(' ') => says.push_str("Space"),
            Stroke::Types(letter) => says.extend(letter.to_uppercase()),
            Stroke::F(number) => says.push_str(&format!("F{number}")),
            Stroke::Enter => says.push_str("Enter"),
            Stroke::Escape => says.push_str("Esc"),
            Stroke::PageUp => says.push_str("Page Up"),
            Stroke::PageDown => says.push_str("Page Down"),
            Stroke::Home => says.push_str("Home"),
            Stroke::Delete => says.push_str("Delete"),
            Stroke::Left => says.push_str("left arrow"),
            Stroke::Right => says.push_str("right arrow"),
        }
        says
    }
}

/// A key that went down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Pressed {
    stroke: Stroke,
    held: Held,
    /// It is held down, and repeats itself.
    pub(in crate::viewer) again: bool,
}

impl Pressed {
    /// True where it is this chord.
    pub(in crate::viewer) fn is(self, chord: Chord) -> bool {
        chord.is(self.stroke, self.held)
    }
}

/// What a key of the keyboard is here; `None` for those that nothing is asked of.
fn stroke(key: &Key) -> Option<Stroke> {
    Some(match key {
        Key::Character(text) => {
            let mut letters = text.chars().flat_map(char::to_lowercase);
            let letter = letters.next()?;
            if letters.next().is_some() {
                return None;
            }
            Stroke::Types(letter)
        }
        Key::Space => Stroke::Types(' '),
        Key::Enter => Stroke::Enter,
        Key::Escape => Stroke::Escape,
        Key::PageUp => Stroke::PageUp,
        Key::PageDown => Stroke::PageDown,
        Key::Home => Stroke::Home,
        Key::Delete => Stroke::Delete,
        Key::ArrowLeft => Stroke::Left,
        Key::ArrowRight => Stroke::Right,
        Key::F1 => Stroke::F(1),
        Key::F2 => Stroke::F(2),
        Key::F3 => Stroke::F(3),
        Key::F4 => Stroke::F(4),
        Key::F5 => Stroke::F(5),
        Key::F6 => Stroke::F(6),
        Key::F7 => Stroke::F(7),
        Key::F8 => Stroke::F(8),
        _ => return None,
    })
}

/// The keys that went down, in their order, each with what was held when it did.
pub(in crate::viewer) fn read<'a>(
    held: &mut Held,
    inputs: impl Iterator<Item = &'a KeyboardInput>,
) -> Vec<Pressed> {
    let mut all = Vec::new();
    for input in inputs {
        *held = held.after(input);
        if input.state == ButtonState::Pressed
            && let Some(stroke) = stroke(&input.logical_key)
        {
            all.push(Pressed {
                stroke,
                held: *held,
                again: input.repeat,
            });
        }
    }
    all
}

#[cfg(test)]
pub(in crate::viewer) mod tests {
    use super::*;
    use bevy::prelude::{Entity, KeyCode};

    /// A key as the window hears of it.
    pub(in crate::viewer) fn input(key: Key, down: bool) -> KeyboardInput {
        let text = match &key {
            Key::Character(text) => Some(text.clone()),
            _ => None,
        };
        KeyboardInput {
            key_code: KeyCode::F35,
            logical_key: key,
            state: if down {
                ButtonState::Pressed
            } else {
                ButtonState::Released
            },
            text,
            repeat: false,
            window: Entity::PLACEHOLDER,
        }
    }

    fn letter(letter: &str) -> Key {
        Key::Character(letter.into())
    }

    #[test]
    fn a_key_let_go_within_the_frame_still_counts() {
        let frame = [
            input(Key::Control, true),
            input(letter("s"), true),
            input(letter("s"), false),
            input(Key::Control, false),
            input(letter("s"), true),
        ];
        let mut held = Held::default();
        let pressed = read(&mut held, frame.iter());
        let save = typed('s').control();
        let which: Vec<bool> = pressed.iter().map(|one| one.is(save)).collect();
        assert_eq!(which, [true, false]);
        assert_eq!(held, Held::default());
    }

    #[test]
    fn letters_count_by_what_is_printed_and_marks_whatever_shift_they_need() {
        let mut held = Held::default();
        let big = [input(Key::Shift, true), input(letter("Z"), true)];
        let pressed = read(&mut held, big.iter());
        assert!(pressed[0].is(typed('z').shift()) && !pressed[0].is(typed('z')));
        // On a German keyboard a slash is Shift and 7.
        let slash = read(&mut held, [input(letter("/"), true)].iter());
        assert!(slash[0].is(typed('/')));
    }

    #[test]
    fn a_chord_reads_as_a_person_says_it() {
        assert_eq!(typed('z').control().shift().says(), "Ctrl+Shift+Z");
        assert_eq!(plain(Stroke::F(4)).says(), "F4");
    }
}
