//! The frame of a sheet and its title block at the lower right. Millimetres.

use super::Options;
use crate::measure::Tape;
use crate::publish::drawing::Ink;
use crate::publish::grid::bound;
use crate::publish::paper::{CHECK_IN, Frame, PaperError, Window, check_ruler};
use crate::publish::pdf::{Canvas, Pen, Push, Style, wrap};

/// The height of the foot, in which title block and ruler stand.
const FOOT: f64 = 21.0;
/// Between the frame's line and what stands in it.
const INSIDE: f64 = 3.0;
/// The title block is as wide as the ruler leaves room for, within these.
const BLOCK: (f64, f64) = (92.0, 130.0);
/// The least room for what stands on a sheet.
const ROOM: (f64, f64) = (240.0, 150.0);

/// A sheet's divisions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet {
    frame: Frame,
}

/// What stands in a title block.
pub(super) struct Title<'a> {
    pub(super) job: &'a str,
    pub(super) sheet: &'a str,
    pub(super) scale: &'a str,
    pub(super) number: usize,
    pub(super) count: usize,
    pub(super) tape: Tape,
}

impl Sheet {
    /// The divisions of a paper, lying.
    pub(super) fn of(options: &Options) -> Result<Self, PaperError> {
        let upright = options.paper.width <= options.paper.height;
        let frame = Frame {
            paper: if upright {
                options.paper.turned()
            } else {
                options.paper
            },
            margin: options.margin,
            head: 0.0,
            foot: FOOT,
        };
        let does = |frame: &Frame| {
            let room = Self { frame: *frame }.inside();
            frame.margin >= 0.0 && room.width >= ROOM.0 && room.height >= ROOM.1
        };
        if does(&frame) {
            return Ok(Self { frame });
        }
        // Papers by name are upright.
        let lying = |upright: &Frame| {
            does(&Frame {
                paper: upright.paper.turned(),
                ..*upright
            })
        };
        Err(PaperError::Sheet {
            margin: format!("{:.0}", options.margin),
            paper: options.paper.to_string(),
            try_: frame.would_do(lying),
        })
    }

    /// The page.
    pub(super) fn size(&self) -> (f64, f64) {
        (self.frame.paper.width, self.frame.paper.height)
    }

    /// Where things stand on a sheet.
    pub(super) fn inside(&self) -> Window {
        let room = self.frame.room();
        Window {
            left: room.left + INSIDE,
            top: room.top + INSIDE,
            width: room.width - 2.0 * INSIDE,
            height: room.height - 2.0 * INSIDE,
        }
    }

    /// The size of that.
    pub(super) fn room(&self) -> (f64, f64) {
        let inside = self.inside();
        (inside.width, inside.height)
    }

    /// The frame with its title block, and at the left of its foot the ruler where the sheet has
    /// drawings to scale, or a note; under either what else is to be said there.
    pub(super) fn drawn(
        &self,
        title: &Title<'_>,
        ruler: bool,
        (note, also): (&str, Option<&str>),
    ) -> Canvas {
        let mut canvas = Canvas::default();
        let room = self.frame.room();
        let (width, height) = self.size();
        let margin = self.frame.margin;
        let pen = Pen::new(Ink::PENCIL, 0.35);
        let size = (room.width, height - 2.0 * margin);
        canvas.rect((margin, margin), size, Some(pen), None);
        let top = self.frame.foot_top();
        let thin = Pen::new(Ink::PENCIL, 0.2);
        canvas.line(&[(margin, top), (width - margin, top)], thin);
        let beside = CHECK_IN * 25.4 + 2.0 * INSIDE;
        let wide = (room.width - beside).clamp(BLOCK.0, BLOCK.1);
        let left = width - margin - wide;
        canvas.put((left, top), block(title, wide));
        if let Some(also) = also {
            let small = Style::bold(7.2, Ink::PENCIL);
            let at = (margin + INSIDE, top + FOOT - 1.4);
            let room = left - margin - 2.0 * INSIDE;
            canvas.fitted(at, Push::Left, also, small, room);
        }
        if ruler {
            canvas.put((margin + INSIDE, top + 3.4), check_ruler());
        } else {
            let small = Style::regular(7.2, Ink::SOFT);
            let room = left - margin - 2.0 * INSIDE;
            let mut base = top + 5.0;
            for line in wrap(&bound(note), small, room).into_iter().take(5) {
                canvas.text((margin + INSIDE, base), Push::Left, &line, small);
                base += 3.3;
            }
        }
        canvas
    }
}

/// What a tape is called.
const fn tape_words(tape: Tape) -> &'static str {
    match tape {
        Tape::Sixteenths => "to 1/16 in",
        Tape::ThirtySeconds => "to 1/32 in",
        Tape::Millimetres => "to 1 mm",
    }
}

/// The title block, as wide as told and as high as the foot, a heavy line down its left.
fn block(title: &Title<'_>, wide: f64) -> Canvas {
    let mut canvas = Canvas::default();
    canvas.rect(
        (0.0, 0.0),
        (wide, FOOT),
        Some(Pen::new(Ink::PENCIL, 0.35)),
        None,
    );
    canvas.rect((0.0, 0.0), (1.6, FOOT), None, Some(Ink::PENCIL));
    let name = Style::bold(9.5, Ink::PENCIL);
    let number = Style::bold(13.0, Ink::PENCIL);
    let text = Style::regular(7.4, Ink::PENCIL);
    let (left, right) = (4.0, wide - 2.5);
    let of = format!("{} of {}", title.number, title.count);
    let room = right - left - number.width(&of) - 3.0;
    let mut base = 4.7;
    let mut jobs = wrap(&bound(title.job), text, room);
    if jobs.len() > 2 {
        jobs.truncate(2);
        if let Some(last) = jobs.last_mut() {
            *last += " \u{2026}";
        }
    }
    for line in &jobs {
        canvas.fitted((left, base), Push::Left, line, text, room);
        base += 3.1;
    }
    canvas.text((right, 6.4), Push::Right, &of, number);
    canvas.fitted((left, 11.6), Push::Left, title.sheet, name, right - left);
    let thin = Pen::new(Ink::FAINT, 0.2);
    canvas.line(&[(left, 13.4), (right, 13.4)], thin);
    let scale = match title.scale {
        "" => String::new(),
        scale => format!("Scale {scale}   "),
    };
    let told = format!("{scale}Lengths {}", tape_words(title.tape));
    canvas.fitted((left, 16.6), Push::Left, &told, text, right - left);
    let warns = "As found; check on site before cutting";
    let by = Style::regular(7.0, Ink::SOFT);
    let made = format!("Rakewell {}", env!("CARGO_PKG_VERSION"));
    canvas.text((right, 19.7), Push::Right, &made, by);
    let room = right - left - by.width(&made) - 3.0;
    let bold = Style::bold(7.4, Ink::PENCIL);
    canvas.fitted((left, 19.7), Push::Left, warns, bold, room);
    canvas
}
