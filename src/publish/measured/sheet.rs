//! Panels on one paper: side by side and under one another, with the scale bar and the notes.

use super::Dim;
use super::draft::{FINE, NAME, NOTE, TEXT};
use crate::measure::Unit;
use crate::publish::drawing::{At, Drawing};
use crate::publish::pdf::{Canvas, Mark, Pen, Push, Shade, Spot};

/// A finished part of a drawing, its corner at zero, mm on the paper.
#[derive(Clone)]
pub(super) struct Panel {
    pub(super) canvas: Canvas,
    pub(super) dims: Vec<Dim>,
    pub(super) notes: Vec<String>,
    pub(super) size: (f64, f64),
}

impl Panel {
    /// The same with a title over it.
    pub(super) fn headed(mut self, title: &str) -> Self {
        let wide = self.size.0.max(NAME.width(title));
        let mut canvas = Canvas::default();
        canvas.text((wide / 2.0, 2.4), Push::Centre, title, NAME);
        let (right, down) = ((wide - self.size.0) / 2.0, HEAD);
        canvas.put((right, down), self.canvas);
        for dim in &mut self.dims {
            dim.paper = dim.paper.map(|spot| spot.moved(right, down));
        }
        Self {
            canvas,
            size: (wide, self.size.1 + HEAD),
            ..self
        }
    }
}

/// For the title of a panel, mm.
const HEAD: f64 = 4.8;
/// Round the drawing, mm.
const EDGE: f64 = 1.0;
/// Between panels, mm.
const BETWEEN: f64 = 7.0;
/// The least width of notes, mm.
const NOTES: f64 = 70.0;
/// From line to line of text, mm.
const LEADING: f64 = 3.6;

/// The scale of a sheet: its unit, how many millimetres one on the paper stands for, and its name;
/// without a name no bar is drawn.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    pub(super) unit: Unit,
    pub(super) by: f64,
    pub(super) name: &'static str,
}

/// Where notes stand.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum NotesAt {
    /// Under the scale bar, no wider than the panels where they are not narrow.
    Under,
    /// Beside it, as wide as they must be at the least.
    Beside,
    /// Beside it across all of the room.
    Across,
}

/// Panels with the scale bar and their notes, no wider than this where they can be; what it says
/// begins with its title.
pub(super) fn sheet(
    panels: Vec<Panel>,
    scale: Scale,
    title: &str,
    (widest, notes_at): (f64, NotesAt),
) -> (Drawing, Vec<Dim>) {
    let mut out = Canvas::default();
    let (mut dims, mut notes): (Vec<Dim>, Vec<String>) = (Vec::new(), Vec::new());
    let (mut x, mut y, mut deep, mut wide) = (EDGE, EDGE, 0.0_f64, 0.0_f64);
    for panel in panels {
        if x > EDGE && x + panel.size.0 > widest - EDGE {
            (x, y, deep) = (EDGE, y + deep + BETWEEN, 0.0);
        }
        out.put((x, y), panel.canvas);
        dims.extend(panel.dims.into_iter().map(|mut dim| {
            dim.paper = dim.paper.map(|spot| spot.moved(x, y));
            dim
        }));
        for note in panel.notes {
            if !notes.contains(&note) {
                notes.push(note);
            }
        }
        wide = wide.max(x - EDGE + panel.size.0);
        deep = deep.max(panel.size.1);
        x += panel.size.0 + BETWEEN;
    }
    y += deep + 6.0;
    let bar = if scale.name.is_empty() {
        0.0
    } else {
        bar(&mut out, scale, (EDGE, y))
    };
    // Notes beside the bar where there is room, else under it.
    let least = match notes_at {
        NotesAt::Beside => bar + 6.0 + NOTES,
        NotesAt::Under => bar.max(NOTES),
        NotesAt::Across => widest,
    };
    let room = wide.max(least).min(widest - 2.0 * EDGE);
    let mut left = EDGE;
    if bar > 0.0 && room - bar - 6.0 >= NOTES {
        left += bar + 6.0;
    } else if bar > 0.0 && !notes.is_empty() {
        y += LEADING + 0.6;
    }
    for note in &notes {
        let lines = out.lines((left, y), note, NOTE, EDGE + room - left, LEADING);
        y += LEADING * lines as f64;
    }
    let (_, far) = bounds(&out);
    let mut says = if scale.name.is_empty() {
        title.to_owned()
    } else {
        format!("{title}; {}", scale.name)
    };
    for note in &notes {
        says = format!("{says}. {}", note.trim_end_matches('.'));
    }
    let drawing = Drawing {
        width: far.x + EDGE,
        height: far.y + EDGE,
        canvas: out,
        says,
    };
    (drawing, dims)
}

/// The corners of all that is drawn.
pub(super) fn bounds(canvas: &Canvas) -> (Spot, Spot) {
    let far = (
        Spot::new(f64::INFINITY, f64::INFINITY),
        Spot::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    let (low, high) = canvas.marks.iter().map(Mark::bounds).fold(far, |sum, one| {
        (
            Spot::new(sum.0.x.min(one.0.x), sum.0.y.min(one.0.y)),
            Spot::new(sum.1.x.max(one.1.x), sum.1.y.max(one.1.y)),
        )
    });
    if low.x.is_finite() && high.x.is_finite() {
        (low, high)
    } else {
        (Spot::default(), Spot::default())
    }
}

/// A bar that shows the scale, in four parts by turns black and white, with the scale in words
/// after it; gives how far it reaches.
fn bar(canvas: &mut Canvas, scale: Scale, (x, y): At) -> f64 {
    let Scale {
        unit,
        by,
        name: scale,
    } = scale;
    let steps: &[(f64, &str)] = match unit {
        Unit::Inches => &[
            (12192.0, "40 ft"),
            (6096.0, "20 ft"),
            (3048.0, "10 ft"),
            (1219.2, "4 ft"),
            (609.6, "2 ft"),
            (304.8, "1 ft"),
            (101.6, "4 in"),
            (50.8, "2 in"),
        ],
        Unit::Millimetres => &[
            (20000.0, "20 m"),
            (10000.0, "10 m"),
            (4000.0, "4 m"),
            (2000.0, "2 m"),
            (1000.0, "1 m"),
            (400.0, "400 mm"),
            (200.0, "200 mm"),
            (100.0, "100 mm"),
            (40.0, "40 mm"),
        ],
    };
    let fits = steps.iter().find(|(long, _)| long / by <= 42.0);
    let (long, name) = fits.or(steps.last()).copied().unwrap_or((by, ""));
    let part = long / by / 4.0;
    for number in 0..4_u8 {
        let fill = (number % 2 == 0).then_some(Shade::BLACK);
        let left = x + part * f64::from(number);
        let pen = Some(Pen::new(Shade::BLACK, FINE));
        canvas.rect((left, y - 1.4), (part, 1.4), pen, fill);
    }
    let right = x + 4.0 * part;
    let words = format!("{name}   {scale}");
    canvas.text((right + 1.2, y), Push::Left, &words, TEXT);
    right + 1.2 + TEXT.width(&words) - x
}
