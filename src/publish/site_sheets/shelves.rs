//! Drawings side by side on shelves, sheet after sheet. Millimetres.

use super::content::Figure;
use crate::publish::drawing::Ink;
use crate::publish::grid::bound;
use crate::publish::pdf::{Canvas, Push, Style, wrap};

const TITLE: Style = Style::bold(9.0, Ink::PENCIL);
const SCALE: Style = Style::regular(7.6, Ink::PENCIL);
/// A line of a caption.
const LINE: f64 = 3.9;
/// Between caption and drawing.
const UNDER: f64 = 1.6;
/// Between drawings.
pub(super) const GAP: f64 = 5.0;

/// A drawing in its place on a sheet.
pub(super) struct Shelved {
    /// Which figure.
    pub(super) figure: usize,
    /// Its corner within the room.
    pub(super) at: (f64, f64),
    /// What stands over it.
    pub(super) caption: Canvas,
}

/// A figure with its caption.
struct Box2 {
    figure: usize,
    caption: Canvas,
    head: f64,
    width: f64,
    height: f64,
}

/// What a caption of one line takes from the height of a drawing.
pub(super) const CAPTION: f64 = LINE + UNDER;

/// Puts figures on sheets with a room.
pub(super) fn shelve(figures: &[Figure], room: (f64, f64)) -> Vec<Vec<Shelved>> {
    let boxes = figures
        .iter()
        .enumerate()
        .map(|(at, one)| boxed(at, one, room.0));
    let mut sheets: Vec<Vec<Vec<Box2>>> = Vec::new();
    let (mut high, mut wide, mut tall) = (0.0_f64, f64::INFINITY, 0.0_f64);
    let mut of = "";
    for one in boxes {
        // What is called otherwise begins on a sheet of its own, unless this one is half empty.
        let other = of != figures[one.figure].sheet;
        of = figures[one.figure].sheet;
        let gap = if wide > 0.0 { GAP } else { 0.0 };
        if wide + gap + one.width > room.0 || other && wide > 0.0 {
            let used = high + tall + if high + tall > 0.0 { GAP } else { 0.0 };
            let crowded = other && high + tall > room.1 * 0.7;
            if sheets.is_empty() || crowded || used + one.height > room.1 {
                sheets.push(Vec::new());
                high = 0.0;
            } else {
                high = used;
            }
            if let Some(shelves) = sheets.last_mut() {
                shelves.push(Vec::new());
            }
            (wide, tall) = (0.0, 0.0);
        } else if high + one.height > room.1 {
            sheets.push(vec![Vec::new()]);
            (high, wide, tall) = (0.0, 0.0, 0.0);
        }
        let gap = if wide > 0.0 { GAP } else { 0.0 };
        wide += gap + one.width;
        tall = tall.max(one.height);
        if let Some(shelf) = sheets.last_mut().and_then(|shelves| shelves.last_mut()) {
            shelf.push(one);
        }
    }
    let last = sheets.len().saturating_sub(1);
    let sheets = sheets.into_iter().enumerate();
    sheets
        .map(|(at, shelves)| placed(shelves, room, at == last))
        .collect()
}

/// Where each lies, what is left of the room shared out between them; on the last sheet it is left under
/// them for what follows.
fn placed(shelves: Vec<Vec<Box2>>, room: (f64, f64), last: bool) -> Vec<Shelved> {
    let tallest = |shelf: &Vec<Box2>| shelf.iter().map(|one| one.height).fold(0.0, f64::max);
    let used: f64 = shelves.iter().map(tallest).sum();
    let count = shelves.len() as f64;
    let most = if last { GAP } else { 4.0 * GAP };
    let down = ((room.1 - used) / (count + 1.0)).clamp(0.0, most);
    let mut top = if used + down * (count + 1.0) > room.1 {
        0.0
    } else {
        down
    };
    let mut all = Vec::new();
    for shelf in shelves {
        let tall = tallest(&shelf);
        let used: f64 = shelf.iter().map(|one| one.width).sum();
        let aside = ((room.0 - used) / (shelf.len() as f64 + 1.0)).max(0.0);
        let mut left = aside;
        for one in shelf {
            let mut caption = Canvas::default();
            caption.put((left, top), one.caption);
            all.push(Shelved {
                figure: one.figure,
                at: (left, top + one.head),
                caption,
            });
            left += one.width + aside;
        }
        top += tall + down;
    }
    all
}

fn boxed(figure: usize, one: &Figure, room: f64) -> Box2 {
    let mut caption = Canvas::default();
    let width = one.drawing.width.max(40.0).min(room);
    let mut base = LINE - 0.8;
    let mut lines = wrap(&bound(&one.title), TITLE, width);
    let scale = wrap(&bound(&one.scale), SCALE, width);
    let last = lines.last().map_or(0.0, |line| TITLE.width(line));
    let beside = match scale.as_slice() {
        [only] if last + 3.0 + SCALE.width(only) <= width => Some(only.clone()),
        _ => None,
    };
    if lines.is_empty() {
        lines.push(String::new());
    }
    for line in &lines {
        caption.text((0.0, base), Push::Left, line, TITLE);
        base += LINE;
    }
    match beside {
        Some(scale) => caption.text((last + 3.0, base - LINE), Push::Left, &scale, SCALE),
        None => {
            for line in &scale {
                caption.text((0.0, base), Push::Left, line, SCALE);
                base += LINE;
            }
        }
    }
    let head = base - LINE + 0.8 + UNDER;
    Box2 {
        figure,
        caption,
        head,
        width,
        height: head + one.drawing.height,
    }
}
