//! The history of a document's text: what each edit took out and put in, under a name in trade words.
//!
//! A step keeps only the bytes that it changed, so that a long day's edits stay small, and its text
//! before comes back byte for byte. Going back and forth is without end on either side.

/// A stretch of a text that an edit changed.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Splice {
    /// Where it begins, in bytes.
    at: u32,
    /// What stood there before.
    out: Box<str>,
    /// What stands there after.
    put: Box<str>,
}

impl Splice {
    /// What differs between two texts, as one stretch; a job file is far smaller than 4 GiB.
    fn between(before: &str, after: &str) -> Self {
        let alike = before.bytes().zip(after.bytes());
        let mut head = alike.take_while(|(a, b)| a == b).count();
        while !(before.is_char_boundary(head) && after.is_char_boundary(head)) {
            head -= 1;
        }
        let (old, new) = (&before[head..], &after[head..]);
        let alike = old.bytes().rev().zip(new.bytes().rev());
        let mut tail = alike.take_while(|(a, b)| a == b).count();
        let ends = |tail: usize| (old.len() - tail, new.len() - tail);
        while !(old.is_char_boundary(ends(tail).0) && new.is_char_boundary(ends(tail).1)) {
            tail -= 1;
        }
        let (old_end, new_end) = ends(tail);
        Self {
            at: u32::try_from(head).unwrap_or(u32::MAX),
            out: old[..old_end].into(),
            put: new[..new_end].into(),
        }
    }

    /// The text with one piece in the place of the other; `None` where that does not stand there.
    fn swapped(text: &str, at: u32, out: &str, put: &str) -> Option<String> {
        let at = at as usize;
        let behind = text.get(at..)?.strip_prefix(out)?;
        let mut made = String::with_capacity(text.len() - out.len() + put.len());
        made.push_str(&text[..at]);
        made.push_str(put);
        made.push_str(behind);
        Some(made)
    }

    fn forth(&self, text: &str) -> Option<String> {
        Self::swapped(text, self.at, &self.out, &self.put)
    }

    fn back(&self, text: &str) -> Option<String> {
        Self::swapped(text, self.at, &self.put, &self.out)
    }
}

/// One edit: its name and what it changed.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Step {
    name: Box<str>,
    splices: Box<[Splice]>,
}

impl Step {
    fn of(name: &str, texts: &[&str]) -> Self {
        let pairs = texts.windows(2);
        let splices = pairs.map(|pair| Splice::between(pair[0], pair[1]));
        Self {
            name: name.into(),
            splices: splices.collect(),
        }
    }
}

/// All steps, those that were taken back among them.
#[derive(Clone, Debug, Default)]
pub(super) struct History {
    steps: Vec<Step>,
    done: usize,
}

impl History {
    /// How many steps are made.
    pub(super) const fn done(&self) -> usize {
        self.done
    }

    /// How many there are, those taken back too.
    pub(super) fn len(&self) -> usize {
        self.steps.len()
    }

    /// The name of a step, counted from 0.
    pub(super) fn name(&self, step: usize) -> Option<&str> {
        Some(&*self.steps.get(step)?.name)
    }

    /// Adds a step that led through these texts, from the one before it to the one after it. What was
    /// taken back is gone then.
    pub(super) fn push(&mut self, name: &str, texts: &[&str]) {
        self.steps.truncate(self.done);
        self.steps.push(Step::of(name, texts));
        self.done += 1;
    }

    /// Puts another step in the place of the last one made.
    pub(super) fn replace(&mut self, name: &str, texts: &[&str]) {
        self.done = self.done.saturating_sub(1);
        self.push(name, texts);
    }

    /// Takes the last step made out, as if it had not been: it came to nothing.
    pub(super) fn drop_last(&mut self) {
        self.done = self.done.saturating_sub(1);
        self.steps.truncate(self.done);
    }

    /// The text after so many steps, from the text as it stands now; `None` where there are not so
    /// many. Where it stands is told by [`History::stand`] once the text is taken.
    pub(super) fn text_after(&self, done: usize, text: &str) -> Option<String> {
        if done > self.steps.len() {
            return None;
        }
        let mut text = text.to_owned();
        if done < self.done {
            for step in self.steps[done..self.done].iter().rev() {
                for splice in step.splices.iter().rev() {
                    text = splice.back(&text)?;
                }
            }
        } else {
            for step in &self.steps[self.done..done] {
                for splice in &step.splices {
                    text = splice.forth(&text)?;
                }
            }
        }
        Some(text)
    }

    /// Now so many steps are made.
    pub(super) fn stand(&mut self, done: usize) {
        self.done = done.min(self.steps.len());
    }

    /// What it holds in memory, bytes.
    #[cfg(test)]
    fn bytes(&self) -> usize {
        let splice = |one: &Splice| size_of::<Splice>() + one.out.len() + one.put.len();
        let of = |step: &Step| {
            let splices: usize = step.splices.iter().map(splice).sum();
            step.name.len() + splices
        };
        let steps: usize = self.steps.iter().map(of).sum();
        self.steps.capacity() * size_of::<Step>() + steps
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    /// The demo with its newel moved by so many sixteenths: what a long day of nudging writes.
    fn moved(by: usize) -> String {
        DEMO.replacen("move_by: \"0\"", &format!("move_by: \"{by}/16\""), 1)
    }

    #[test]
    fn ten_thousand_edits_stay_small_and_go_all_the_way_back_and_forth() {
        let mut history = History::default();
        let mut text = DEMO.to_owned();
        for by in 1..=10_000 {
            let next = moved(by);
            history.push("newel N1 1/16\" up the flight", &[&text, &next]);
            text = next;
        }
        // 10,000 copies of the text would take 70 MB.
        assert!(history.bytes() < 2_000_000, "{}", history.bytes());
        let last = text.clone();
        for done in (0..10_000).rev() {
            text = history.text_after(done, &text).unwrap();
            history.stand(done);
        }
        assert_eq!(text, DEMO);
        // And forth in one stride.
        assert_eq!(history.text_after(10_000, &text).unwrap(), last);
    }

    #[test]
    fn an_edit_after_going_back_takes_the_place_of_what_was_ahead() {
        let texts: Vec<String> = (1..=3).map(moved).collect();
        let mut history = History::default();
        history.push("one", &[DEMO, &texts[0]]);
        history.push("two", &[&texts[0], &texts[1]]);
        let back = history.text_after(1, &texts[1]).unwrap();
        history.stand(1);
        assert_eq!(back, texts[0]);
        history.push("three", &[&back, &texts[2]]);
        assert_eq!((history.len(), history.name(1)), (2, Some("three")));
        assert_eq!(history.text_after(0, &texts[2]).unwrap(), DEMO);
        assert_eq!(history.text_after(3, &texts[2]), None);
    }

    #[test]
    fn a_text_that_is_not_the_one_it_stands_at_is_refused() {
        let mut history = History::default();
        history.push("one", &["(a: 1)", "(a: 22)"]);
        assert_eq!(history.text_after(0, "(a: 3)"), None);
    }

    proptest! {
        /// Whatever the letters, also such as share bytes: both ways give the other text back.
        #[test]
        fn what_a_step_changed_goes_back_and_forth(
            texts in prop::collection::vec("[a-c\u{bd}\u{be}\u{e9}\u{2033}]{0,12}", 2..6)
        ) {
            let mut history = History::default();
            let all: Vec<&str> = texts.iter().map(String::as_str).collect();
            history.push("step", &all);
            let last = all[all.len() - 1];
            prop_assert_eq!(history.text_after(0, last), Some(texts[0].clone()));
            history.stand(0);
            let forth = history.text_after(1, &texts[0]);
            prop_assert_eq!(forth.as_deref(), Some(last));
        }
    }
}
