//! Where words go: beside what they name, clear of lines and of each other. Millimetres.

use crate::publish::paper::Window;
use crate::publish::pdf::{Spot, Style};

/// Places taken so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Places {
    /// Where words must stay.
    pub(super) room: Window,
    taken: Vec<Window>,
    lines: Vec<(Spot, Spot)>,
    hatch: Vec<(Spot, Spot)>,
}

/// What crossing a line costs, against running into other words.
const LINE: f64 = 3.0;
const HATCH: f64 = 0.6;
const WORDS: f64 = 40.0;
const OUTSIDE: f64 = 60.0;
/// What a place further down the list costs.
const LATER: f64 = 0.05;
/// Clear space about words.
const CLEAR: f64 = 0.7;

impl Places {
    /// Nothing taken yet in a room.
    pub(super) fn within(room: Window) -> Self {
        Self {
            room,
            ..Self::default()
        }
    }

    pub(super) fn line(&mut self, from: Spot, to: Spot) {
        self.lines.push((from, to));
    }

    pub(super) fn hatch(&mut self, from: Spot, to: Spot) {
        self.hatch.push((from, to));
    }

    fn box_of(middle: Spot, style: Style, text: &str) -> Window {
        let (wide, tall) = (style.width(text), style.em());
        Window {
            left: middle.x - wide / 2.0 - CLEAR,
            top: middle.y - tall * 0.5 - CLEAR,
            width: wide + 2.0 * CLEAR,
            height: tall + 2.0 * CLEAR,
        }
    }

    fn cost(&self, one: &Window) -> f64 {
        let over = |a: &Window, b: &Window| {
            let x = a.right().min(b.right()) - a.left.max(b.left);
            let y = a.bottom().min(b.bottom()) - a.top.max(b.top);
            x > 0.0 && y > 0.0
        };
        let words = self.taken.iter().filter(|other| over(one, other)).count();
        let lines = crossed(&self.lines, one);
        let hatch = crossed(&self.hatch, one);
        let corners = [
            Spot::new(one.left, one.top),
            Spot::new(one.right(), one.bottom()),
        ];
        let inside = corners.iter().all(|at| self.room.holds(*at));
        let float = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
        let out = if inside { 0.0 } else { OUTSIDE };
        WORDS * float(words) + LINE * float(lines) + HATCH * float(hatch) + out
    }

    /// The best of some places for the middle of a text; it is taken then. And what to clear of
    /// hatching there, if it lies on nothing else.
    pub(super) fn best(&mut self, at: &[Spot], style: Style, text: &str) -> (Spot, Option<Window>) {
        let mut best = (f64::INFINITY, Spot::default(), Window::default());
        let mut later = 0.0;
        for middle in at {
            let one = Self::box_of(*middle, style, text);
            let cost = self.cost(&one) + later;
            later += LATER;
            if cost < best.0 {
                best = (cost, *middle, one);
            }
        }
        let (_, middle, one) = best;
        self.taken.push(one);
        let clear = crossed(&self.lines, &one) == 0 && crossed(&self.hatch, &one) > 0;
        (middle, clear.then_some(one))
    }
}

/// How many of some lines run through a window.
fn crossed(lines: &[(Spot, Spot)], one: &Window) -> usize {
    let crosses = |(a, b): &&(Spot, Spot)| one.part(*a, *b).is_some();
    lines.iter().filter(crosses).count()
}
