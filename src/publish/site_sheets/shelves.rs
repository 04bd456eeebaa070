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

/// Figures side by side.
struct Shelf {
    boxes: Vec<Box2>,
    wide: f64,
    tall: f64,
}

/// Shelves one under the other.
#[derive(Default)]
struct Filled {
    shelves: Vec<Shelf>,
}

impl Filled {
    fn used(&self) -> f64 {
        let tall: f64 = self.shelves.iter().map(|shelf| shelf.tall).sum();
        tall + GAP * self.shelves.len().saturating_sub(1) as f64
    }

    /// The shelf on which a figure has room; the number of shelves for a new one under them.
    fn room_for(&self, one: &Box2, room: (f64, f64)) -> Option<usize> {
        let used = self.used();
        let beside = self.shelves.iter().position(|shelf| {
            let taller = (one.height - shelf.tall).max(0.0);
            shelf.wide + GAP + one.width <= room.0 && used + taller <= room.1
        });
        let gap = if self.shelves.is_empty() { 0.0 } else { GAP };
        let under = used + gap + one.height <= room.1;
        beside.or_else(|| under.then_some(self.shelves.len()))
    }

    fn put(&mut self, one: Box2, shelf: usize) {
        match self.shelves.get_mut(shelf) {
            Some(shelf) => {
                shelf.wide += GAP + one.width;
                shelf.tall = shelf.tall.max(one.height);
                shelf.boxes.push(one);
            }
            None => self.shelves.push(Shelf {
                wide: one.width,
                tall: one.height,
                boxes: vec![one],
            }),
        }
    }
}

/// Puts figures on sheets with a room: each on the first sheet that has room for it, of those with others
/// of its sort and the last.
pub(super) fn shelve(figures: &[Figure], room: (f64, f64)) -> Vec<Vec<Shelved>> {
    let mut sheets: Vec<Filled> = Vec::new();
    let (mut of, mut first) = ("", 0);
    for (at, figure) in figures.iter().enumerate() {
        let one = boxed(at, figure, room.0);
        if of != figure.sheet {
            of = figure.sheet;
            first = sheets.len().saturating_sub(1);
        }
        let mut tried = sheets.iter().enumerate().skip(first);
        let found = tried.find_map(|(at, sheet)| Some((at, sheet.room_for(&one, room)?)));
        let (sheet, shelf) = found.unwrap_or_else(|| {
            sheets.push(Filled::default());
            (sheets.len() - 1, 0)
        });
        sheets[sheet].put(one, shelf);
    }
    let last = sheets.len().saturating_sub(1);
    let sheets = sheets.into_iter().enumerate();
    sheets
        .map(|(at, sheet)| {
            let shelves = sheet.shelves.into_iter().map(|shelf| shelf.boxes);
            placed(shelves.collect(), room, at == last)
        })
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
