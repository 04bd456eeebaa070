//! The sheet on paper: blocks one under the other. Millimetres.

use super::content::{
    AS_ANSWERED, AS_FOUND, Card, CureTold, DECIDED, HEADS, Picture, ReportSheet, Strip,
};
use super::strip::strips;
use crate::inspect::{Severity, Verdict};
use crate::publish::drawing::{Drawing, Ink, severity_mark, verdict_mark};
use crate::publish::grid::{Laid, at_most, bound};
use crate::publish::pdf::{Canvas, Mark, Pen, Push, Spot, Style, wrap};
use crate::publish::severity_word;
use crate::publish::sheet::layout::{Block, Flow, HEADING, Rows as _, heading, lines};
use crate::publish::sheet::{GRID, Paper, Sheet};
use crate::publish::words::severity_means;

/// Between two lines of running text.
const LEADING: f64 = 3.3;
const TEXT: Style = Style::regular(8.0, Ink::PENCIL);
const SMALL: Style = Style::regular(7.0, Ink::SOFT);

/// Lays the sheet out.
pub(super) fn lay(sheet: &ReportSheet, paper: Paper) -> Sheet {
    let mut flow = Flow::new(paper);
    let width = flow.width();
    flow.block(head(width, sheet));
    flow.block(verdict(width, sheet));
    for one in &sheet.pictures {
        flow.block(picture(width, one));
    }
    for drawing in &sheet.drawings {
        flow.block(figure(width, drawing));
    }
    troubles(&mut flow, HEADS[0], &sheet.troubles);
    troubles(&mut flow, HEADS[1], &sheet.let_stand);
    if let Some(openings) = &sheet.openings {
        flow.table(&Laid::new(openings, width), Block::default());
    }
    for strip in &sheet.reveals {
        reveals(&mut flow, strip);
    }
    flow.table(&Laid::new(&sheet.rules, width), Block::default());
    let asked = "The job does not answer these. Whether the stair has the part at all, and what it \
                 measures, is for whoever stands before it.";
    paragraphs(&mut flow, "Not shown", asked, &sheet.not_shown);
    paragraphs(&mut flow, "Not read", "", &sheet.not_read);
    paragraphs(&mut flow, "Not asked of this stair", "", &sheet.not_asked);
    paragraphs(&mut flow, "Read with", "", &sheet.read_with);
    paragraphs(&mut flow, "Measured", AS_FOUND, &sheet.measured);
    paragraphs(&mut flow, DECIDED, AS_ANSWERED, &sheet.decided);
    paragraphs(&mut flow, "Mind", "", &sheet.cautions);
    flow.block(sign_off(width, sheet));
    flow.finish("Inspection", &sheet.title.job, sheet.about())
}

/// Whole lines of the grid for a height.
fn lines_for(height: f64) -> usize {
    (height / GRID).ceil() as usize
}

fn block(height: f64, canvas: Canvas) -> Block {
    Block {
        lines: lines_for(height),
        asks: Vec::new(),
        canvas,
    }
}

/// Job, pack, day.
fn head(width: f64, sheet: &ReportSheet) -> Block {
    let title = &sheet.title;
    let mut canvas = Canvas::default();
    let name = Style::bold(19.0, Ink::PENCIL);
    canvas.fitted((0.0, 6.4), Push::Left, &title.job, name, width - 34.0);
    let kind = Style::bold(11.0, Ink::CHALK);
    canvas.text((width, 6.4), Push::Right, "Inspection", kind);
    let grey = Style::regular(8.5, Ink::SOFT);
    let against = format!("Held against: {} ({})", title.pack, title.edition);
    canvas.fitted((0.0, 11.9), Push::Left, &against, grey, width - 62.0);
    let made = format!("made by {}", title.program);
    canvas.text((0.0, 16.4), Push::Left, &made, SMALL);
    let left = width - 58.0;
    canvas.text((left, 15.4), Push::Left, "Date", SMALL);
    match &title.date {
        Some(date) => {
            let bold = Style::bold(9.0, Ink::PENCIL);
            canvas.fitted((left + 9.0, 15.4), Push::Left, date, bold, 49.0);
        }
        None => canvas.line(
            &[(left + 9.0, 15.8), (width, 15.8)],
            Pen::new(Ink::PENCIL, 0.25),
        ),
    }
    block(17.6, canvas)
}

/// How many troubles there are, and what the marks mean.
fn verdict(width: f64, sheet: &ReportSheet) -> Block {
    let mut canvas = Canvas::default();
    let bold = Style::bold(12.0, Ink::PENCIL);
    canvas.fitted((0.0, 4.0), Push::Left, &sheet.verdict, bold, width);
    let mut left = 0.0;
    for severity in [Severity::Stop, Severity::Fix, Severity::Remark] {
        canvas.put((left, 6.0), severity_mark(severity, 2.6));
        let words = format!(
            "{}: {}",
            capital(severity_word(severity)),
            severity_means(severity)
        );
        canvas.text((left + 5.0, 8.2), Push::Left, &words, SMALL);
        left += SMALL.width(&words) + 9.5;
    }
    left = 0.0;
    for verdict in [
        Verdict::Met,
        Verdict::Broken,
        Verdict::TooClose,
        Verdict::NotShown,
    ] {
        canvas.put((left, 9.8), verdict_mark(verdict, 2.4));
        let words = match verdict {
            Verdict::Met => "met: the limit is kept",
            Verdict::Broken => "broken",
            Verdict::TooClose => "too close to call: the limit lies within the doubt",
            Verdict::NotShown => "not shown: nothing in the job answers it",
        };
        canvas.text((left + 3.6, 11.9), Push::Left, words, SMALL);
        left += SMALL.width(words) + 9.0;
    }
    block(13.4, canvas)
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// A drawing with its caption.
fn figure(width: f64, drawing: &Drawing) -> Block {
    let mut canvas = Canvas::default();
    let left = ((width - drawing.width) / 2.0).max(0.0);
    canvas.put((left, 0.0), drawing.canvas.clone());
    // Beside the bar of the scale where there is room, or under it.
    let beside = left + drawing.width - BAR_ROOM;
    let base = if SMALL.width(&drawing.says) < beside {
        drawing.height - 1.5
    } else {
        drawing.height + 3.0
    };
    canvas.fitted((0.0, base), Push::Left, &drawing.says, SMALL, width);
    block(drawing.height.max(base + 1.2), canvas)
}

/// The tallest that a picture is shown, mm.
const TALLEST: f64 = 118.0;

/// A picture with its caption.
fn picture(width: f64, picture: &Picture) -> Block {
    let shape = picture.shape().unwrap_or(1.0);
    let wide = width.min(TALLEST / shape);
    let tall = wide * shape;
    let mut canvas = Canvas::default();
    canvas.marks.push(Mark::Picture {
        at: Spot::new((width - wide) / 2.0, 0.0),
        size: (wide, tall),
        png: picture.png.clone(),
    });
    let base = tall + 3.4;
    canvas.fitted((0.0, base), Push::Left, &picture.caption, SMALL, width);
    block(base + 1.2, canvas)
}

/// What the bar of the scale takes at the lower right of a drawing.
const BAR_ROOM: f64 = 48.0;

/// The cards, under a heading that never stands alone.
fn troubles(flow: &mut Flow, (called, aside): (&str, &str), cards: &[Card]) {
    let width = flow.width();
    for (place, told) in cards.iter().enumerate() {
        let mut canvas = Canvas::default();
        let mut top = 0;
        if place == 0 {
            heading(&mut canvas, width, called, aside);
            top += HEADING;
        }
        let (drawn, tall) = card(width, told);
        canvas.put((0.0, lines(top)), drawn);
        flow.block(Block {
            lines: top + lines_for(tall),
            asks: Vec::new(),
            canvas,
        });
    }
}

/// Where the text of a card begins, and what its close-up leaves free beside it.
const INDENT: f64 = 10.0;
const BETWEEN: f64 = 6.0;
/// Lines that the texts of a card may take, so that the whole of it finds room on one page: its
/// sentence, each cause and each text about a cure. Three times as much as any of ours takes.
const SAID: usize = 8;
const CAUSE: usize = 4;
const CURED: usize = 5;
/// Lines that one paragraph may take.
const PARAGRAPH: usize = 48;

/// A card with its height.
pub(in crate::publish) fn card(width: f64, told: &Card) -> (Canvas, f64) {
    let mut canvas = Canvas::default();
    canvas.line(&[(0.0, 0.2), (width, 0.2)], Pen::new(Ink::FAINT, 0.2));
    let closeup = told.closeup.as_ref();
    let picture = closeup.map_or(0.0, |drawing| drawing.width + BETWEEN);
    let room = width - INDENT - picture;
    canvas.put((0.0, 2.0), severity_mark(told.severity, 3.2));
    let number = Style::bold(9.0, Ink::PENCIL);
    let word = Style::bold(7.0, Ink::severity(told.severity));
    canvas.text(
        (INDENT - 1.6, 4.8),
        Push::Right,
        &told.number.to_string(),
        number,
    );
    canvas.text((0.0, 8.6), Push::Left, severity_word(told.severity), word);
    let mut text = Text {
        canvas: &mut canvas,
        base: 4.8,
        room,
    };
    text.put(0.0, &told.says, Style::bold(8.6, Ink::PENCIL), 3.6);
    facts(&mut text, told);
    for says in &told.stands {
        text.put(0.0, says, Style::bold(7.6, Ink::PENCIL), 3.4);
    }
    if let Some(because) = &told.because {
        let grid = Laid::within(because, room, CAUSE);
        let count = grid.count();
        let top = text.base - 2.2;
        text.canvas.put((INDENT, top), grid.drawn(0, count));
        text.base = top + GRID + lines(grid.lines_of(0, count)) + 3.4;
    }
    text.put(0.0, &told.rest, SMALL, 3.0);
    for (place, cure) in told.cures.iter().enumerate() {
        put_cure(&mut text, if place == 0 { "Cure" } else { "or" }, cure);
    }
    let mut tall = text.base - LEADING + 2.2;
    if let Some(drawing) = closeup {
        let left = width - drawing.width;
        canvas.put((left, 2.2), drawing.canvas.clone());
        let mut base = 2.2 + drawing.height + 2.8;
        for line in at_most(wrap(&bound(&drawing.says), SMALL, drawing.width), SAID) {
            canvas.text((left, base), Push::Left, &line, SMALL);
            base += 2.8;
        }
        tall = tall.max(base - 1.6);
    }
    (canvas, tall)
}

/// Found, asked, answer, clause.
fn facts(text: &mut Text<'_>, told: &Card) {
    let bold = Style::bold(7.4, Ink::SOFT);
    let pairs = [
        ("found", told.found.as_str()),
        ("asked", told.asked.as_str()),
        ("answer", told.verdict.text.as_str()),
    ];
    let mut left = INDENT;
    for (name, value) in pairs.into_iter().filter(|(_, value)| !value.is_empty()) {
        let mark = match (name, told.verdict.mark) {
            ("answer", mark) => mark,
            _ => None,
        };
        let names = bold.width(name) + 1.6;
        let marks = if mark.is_some() { 3.4 } else { 0.0 };
        let wide = names + marks + TEXT.width(value);
        if left > INDENT && left + wide > INDENT + text.room {
            left = INDENT;
            text.base += LEADING;
        }
        let base = text.base;
        text.canvas.text((left, base), Push::Left, name, bold);
        if let Some(verdict) = mark {
            let mark = verdict_mark(verdict, 2.4);
            text.canvas.put((left + names, base - 2.1), mark);
        }
        let room = (INDENT + text.room - left - names - marks).max(4.0);
        let at = (left + names + marks, base);
        text.canvas.fitted(at, Push::Left, value, TEXT, room);
        left += wide + 5.0;
    }
    text.base += LEADING;
    text.put(0.0, &told.source, SMALL, 3.0);
    text.base += 0.8;
}

fn put_cure(text: &mut Text<'_>, lead: &str, cure: &CureTold) {
    let bold = Style::bold(7.4, Ink::CHALK);
    let base = text.base;
    text.canvas.text((INDENT, base), Push::Left, lead, bold);
    text.put(9.0, &cure.says, TEXT, LEADING);
    if !cure.breaks.is_empty() {
        let then = format!("but then: {}", cure.breaks.join("; "));
        text.put(9.0, &then, TEXT, LEADING);
    }
}

/// Running text down a card.
struct Text<'a> {
    canvas: &'a mut Canvas,
    base: f64,
    room: f64,
}

impl Text<'_> {
    fn put(&mut self, indent: f64, text: &str, style: Style, leading: f64) {
        let most = if indent > 0.0 { CURED } else { SAID };
        let broken = wrap(&bound(text), style, self.room - indent);
        for line in at_most(broken, most) {
            let at = (INDENT + indent, self.base);
            self.canvas.text(at, Push::Left, &line, style);
            self.base += leading;
        }
    }
}

/// The strips of a run.
fn reveals(flow: &mut Flow, strip: &Strip) {
    let width = flow.width();
    for (place, drawing) in strips(strip, width).into_iter().enumerate() {
        let mut canvas = Canvas::default();
        let mut top = 0.0;
        if place == 0 {
            heading(&mut canvas, width, &strip.called, "");
            canvas.fitted(
                (0.0, lines(HEADING) + 3.0),
                Push::Left,
                &strip.says,
                TEXT,
                width,
            );
            top = lines(HEADING + 1) + 1.5;
        }
        canvas.put((0.0, top), drawing.canvas);
        flow.block(block(top + drawing.height, canvas));
    }
}

/// Paragraphs under a heading, over as many pages as they take.
fn paragraphs(flow: &mut Flow, called: &str, lead: &str, said: &[String]) {
    if said.is_empty() {
        return;
    }
    let width = flow.width();
    let mut first = Some(lead);
    for text in said {
        let mut canvas = Canvas::default();
        let mut base = 3.2;
        let begins = first.is_some();
        if let Some(lead) = first.take() {
            heading(&mut canvas, width, called, "");
            base += lines(HEADING);
            for line in wrap(lead, SMALL, width) {
                canvas.text((0.0, base), Push::Left, &line, SMALL);
                base += GRID;
            }
        }
        canvas.line(
            &[(0.4, base - 2.6), (0.4, base + 0.6)],
            Pen::new(Ink::CHALK, 0.6),
        );
        let fits = wrap(&bound(text), TEXT, width - 4.0);
        for line in at_most(fits, PARAGRAPH) {
            canvas.text((3.0, base), Push::Left, &line, TEXT);
            base += LEADING;
        }
        let one = block(base - LEADING + 1.2, canvas);
        if begins {
            flow.block(one);
        } else {
            flow.close_block(one);
        }
    }
}

/// What the sheet is worth, and who has read it.
fn sign_off(width: f64, sheet: &ReportSheet) -> Block {
    let mut canvas = Canvas::default();
    heading(&mut canvas, width, "Read by", "");
    let mut base = lines(HEADING) + 3.8;
    for text in &sheet.worth {
        for line in wrap(&bound(text), TEXT, width) {
            canvas.text((0.0, base), Push::Left, &line, TEXT);
            base += LEADING;
        }
        base += 1.6;
    }
    let fields = [("name", 0.36), ("signature", 0.38), ("date", 0.26)];
    for signer in &sheet.signers {
        base += 10.0;
        let bold = Style::bold(8.0, Ink::PENCIL);
        canvas.text((0.0, base), Push::Left, signer, bold);
        let (from, room) = (24.0, width - 24.0);
        let mut left = from;
        for (name, share) in fields {
            let wide = room * share;
            let pen = Pen::new(Ink::PENCIL, 0.25);
            canvas.line(&[(left, base), (left + wide - 4.0, base)], pen);
            canvas.text((left, base + 3.0), Push::Left, name, SMALL);
            left += wide;
        }
    }
    block(base + 4.2, canvas)
}
