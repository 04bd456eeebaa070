//! Boards with their cuts drawn, black and white: each to one scale, pieces with label and length, saw
//! cuts solid, trims hatched one way, defects both ways, what is left dashed. Where a piece is too short
//! for its words it has a number, and the words stand in the key under the board.
//!
//! In: the plan of a section. Out: a [`Drawing`] in millimetres on the paper.

use crate::measure::{Length, Tape};
use crate::shop::stock::{Board, Saw, SectionPlan};

use super::drawing::Drawing;
use super::pdf::{Canvas, Pen, Push, Shade, Style};
use super::stock::told::{left_words, skip_words, skips};
use super::stock::{plan_says, section_words};

const BLACK: Shade = Shade(0, 0, 0);
const WHITE: Shade = Shade::PAPER;
/// The longest board on the paper.
const LONGEST: f64 = 240.0;
const MARGIN: f64 = 8.0;
/// Height of a board, and of its line of words with the space to the next.
const BOARD: f64 = 10.0;
const WORDS: f64 = 8.0;
const HEAD: f64 = 16.0;
/// A saw cut is drawn no thinner.
const THIN: f64 = 0.3;
/// Between lines of a hatch.
const HATCH: f64 = 1.6;

/// Height of a line of the key.
const KEY: f64 = 3.2;
/// Points of the smallest words on a board.
const READABLE: f64 = 6.0;
/// White beside words, both sides together, and the room of a letter.
const BESIDE: f64 = 0.8;
const LETTER: f64 = 1.2;

/// How boards are told: the tape and the money.
#[derive(Clone, Copy, Debug)]
pub struct Telling<'a> {
    /// The tape that lengths are printed on.
    pub tape: Tape,
    /// The currency of prices.
    pub currency: &'a str,
    /// What the saw takes.
    pub saw: Saw,
}

/// All boards of a section, one under the other; none where it has no plan.
#[must_use]
pub fn boards(one: &SectionPlan, telling: Telling<'_>) -> Option<Drawing> {
    let plan = one.plan.as_ref().ok()?;
    let width = LONGEST + 2.0 * MARGIN;
    let mut canvas = Canvas::default();
    let heading = section_words(&one.section, telling.tape);
    let bold = Style::bold(11.0, BLACK);
    canvas.fitted((MARGIN, 7.0), Push::Left, &heading, bold, LONGEST);
    let says = plan_says(one, telling.currency, telling.tape);
    let small = Style::regular(8.0, BLACK);
    canvas.fitted((MARGIN, 12.0), Push::Left, &says, small, LONGEST);
    let mut y = HEAD;
    for at in 0..plan.boards.len() {
        if let Some(drawn) = board(one, at, telling) {
            canvas.put((0.0, y), drawn.canvas);
            y += drawn.height;
        }
    }
    Some(Drawing {
        width,
        height: y + MARGIN / 2.0,
        canvas,
        says: format!("{heading}: {} boards, {says}", plan.boards.len()),
    })
}

/// One board of a section by its number; all of a section are to one scale.
#[must_use]
pub fn board(one: &SectionPlan, at: usize, telling: Telling<'_>) -> Option<Drawing> {
    board_within(one, at, telling, LONGEST + 2.0 * MARGIN)
}

/// The same within a width on the paper, mm.
#[must_use]
pub fn board_within(
    one: &SectionPlan,
    at: usize,
    telling: Telling<'_>,
    width: f64,
) -> Option<Drawing> {
    let room = width - 2.0 * MARGIN;
    let plan = one.plan.as_ref().ok()?;
    let board = plan.boards.get(at)?;
    let longest = plan.boards.iter().map(|board| board.length);
    let longest = longest.fold(Length::ZERO, Length::max);
    let mut drawing = Drawn {
        canvas: Canvas::default(),
        scale: room / longest.as_mm().max(1.0),
        top: WORDS - 2.0,
    };
    let says = board_says(one, at, board, telling.tape);
    let small = Style::regular(8.0, BLACK);
    drawing
        .canvas
        .fitted((MARGIN, drawing.top - 1.4), Push::Left, &says, small, room);
    let key = drawing.board(one, board, telling).join("; ");
    let below = drawing.top + BOARD + KEY;
    let key_style = Style::regular(7.0, BLACK);
    let lines = drawing
        .canvas
        .lines((MARGIN, below), &key, key_style, room, KEY);
    let key_height = if key.is_empty() {
        0.0
    } else {
        lines as f64 * KEY + 1.0
    };
    Some(Drawing {
        width,
        height: WORDS + BOARD + key_height,
        canvas: drawing.canvas,
        says,
    })
}

fn board_says(one: &SectionPlan, at: usize, board: &Board, tape: Tape) -> String {
    let left = match left_words(board, tape) {
        nothing if nothing.is_empty() => nothing,
        left => format!(", {left} left"),
    };
    let skipped: Vec<String> = skips(one, board)
        .map(|skip| skip_words(skip, tape))
        .collect();
    let skipped = match skipped.join(", ") {
        nothing if nothing.is_empty() => nothing,
        skipped => format!("; from the left end, {skipped}"),
    };
    let pieces = match board.cuts.len() {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    };
    format!(
        "Board {}, {} long: {pieces}{left}{skipped}",
        at + 1,
        tape.print_feet(board.length)
    )
}

/// True where words go on a stretch of the paper at a size that can be read.
fn fits(text: &str, wide: f64) -> bool {
    Style::regular(READABLE, BLACK).width(text) <= wide - BESIDE
}

struct Drawn {
    canvas: Canvas,
    /// Millimetres on the paper for one of the board.
    scale: f64,
    top: f64,
}

impl Drawn {
    fn x(&self, along: Length) -> f64 {
        MARGIN + along.as_mm() * self.scale
    }

    /// Draws a board, and gives the key of the pieces that are too short for their words.
    fn board(&mut self, one: &SectionPlan, board: &Board, telling: Telling<'_>) -> Vec<String> {
        let mut key = Vec::new();
        let thin = Pen::new(BLACK, 0.18);
        let end = board.length;
        let trim = telling.saw.trim;
        if trim > Length::ZERO {
            self.hatched(Length::ZERO, trim, false);
            self.hatched(end - trim, end, false);
        }
        for (from, to) in &board.offcuts {
            let dashed = Pen::new(BLACK, 0.18).dashed(1.2, 0.8);
            let (left, right) = (self.x(*from), self.x(*to));
            let size = (right - left, BOARD);
            self.canvas.rect((left, self.top), size, Some(dashed), None);
            let says = format!("left {}", telling.tape.print(*to - *from));
            // What is left stands over the board too.
            if fits(&says, right - left) {
                self.words((left, right), &says, 0.6);
            }
        }
        for (number, cut) in (1..).zip(&board.cuts) {
            let (left, right) = (self.x(cut.from), self.x(cut.to));
            let size = (right - left, BOARD);
            self.canvas
                .rect((left, self.top), size, Some(thin), Some(WHITE));
            let long = telling.tape.print(cut.to - cut.from);
            if fits(&cut.label, right - left) && fits(&long, right - left) {
                self.words((left, right), &cut.label, 0.42);
                self.words((left, right), &long, 0.82);
            } else {
                self.words((left, right), &number.to_string(), 0.6);
                // Held together where the key is broken into lines.
                key.push(format!("{number}: {} {long}", cut.label).replace(' ', "\u{a0}"));
            }
            self.kerf(cut.to, cut.to + telling.saw.kerf, end - trim);
        }
        for (from, to) in skips(one, board) {
            self.hatched(from, to, false);
            self.hatched(from, to, true);
        }
        let outline = (self.x(end) - MARGIN, BOARD);
        let pen = Pen::new(BLACK, 0.35);
        self.canvas
            .rect((MARGIN, self.top), outline, Some(pen), None);
        key
    }

    /// A line of words in the middle of a stretch, so far down the board; none where there is no room
    /// for a letter.
    fn words(&mut self, (left, right): (f64, f64), text: &str, down: f64) {
        let room = right - left - BESIDE;
        if room < LETTER {
            return;
        }
        let style = Style::regular(8.0, BLACK);
        let at = ((left + right) / 2.0, self.top + BOARD * down);
        self.canvas.fitted(at, Push::Centre, text, style, room);
    }

    fn kerf(&mut self, from: Length, to: Length, end: Length) {
        let (left, right) = (self.x(from), self.x(to.min(end)));
        if right > left {
            let size = ((right - left).max(THIN), BOARD);
            self.canvas.rect((left, self.top), size, None, Some(BLACK));
        }
    }

    /// Slanting lines over a stretch, cut off at its edges.
    fn hatched(&mut self, from: Length, to: Length, falling: bool) {
        let pen = Pen::new(BLACK, 0.15);
        let (left, right) = (self.x(from), self.x(to));
        if right <= left {
            return;
        }
        let wide = right - left;
        let mut foot = HATCH - BOARD;
        while foot < wide {
            // From the foot at `foot` a line rises by as much as it goes along.
            let (a, b) = (foot.max(0.0), (foot + BOARD).min(wide));
            let up = |along: f64| {
                let rise = along - foot;
                if falling { rise } else { BOARD - rise }
            };
            if b > a {
                let ends = [(left + a, self.top + up(a)), (left + b, self.top + up(b))];
                self.canvas.line(&ends, pen);
            }
            foot += HATCH;
        }
        self.canvas
            .rect((left, self.top), (wide, BOARD), Some(pen), None);
    }
}
