//! A long narrow template as strips: several on a page, to cut out and tape end to end. Millimetres.

use super::sketch::Sketch;
use super::{Head, Options, Printed, SheetOf, TooMany, about, around, kept_words, page};
use crate::publish::paper::{Frame, OVERLAP, PaperError, Tiles, clip};
use crate::publish::pdf::{Canvas, Push, Shade, Style};

/// Between strips on a page.
const BETWEEN: f64 = 3.0;

/// How strips lie on a page.
struct Laid {
    frame: Frame,
    /// The template cut along its length alone.
    tiles: Tiles,
    /// Strips on one page.
    on_page: usize,
}

impl Laid {
    fn of(frame: Frame, (width, height): (f64, f64)) -> Self {
        let room = frame.room();
        let on_page = ((room.height + BETWEEN) / (height + BETWEEN)).floor();
        Self {
            frame,
            tiles: Tiles::over((width, height), (room.width, height)),
            on_page: on_page.max(1.0) as usize,
        }
    }

    fn pages(&self) -> usize {
        self.tiles.count().div_ceil(self.on_page)
    }
}

/// A template in strips on its pages.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub(super) fn print(
    head: &Head<'_>,
    drawn: &Sketch,
    name: &str,
    options: &Options,
) -> Result<Printed, PaperError> {
    options.check()?;
    let size = (drawn.drawing.width, drawn.drawing.height);
    // A strip is not cut along.
    let holds = |frame: &Frame| frame.holds((0.0, size.1));
    let (upright, lying) = (options.frame(false), options.frame(true));
    let laid = match (holds(&upright), holds(&lying)) {
        (Ok(()), Ok(())) => {
            let [upright, lying] = [upright, lying].map(|frame| Laid::of(frame, size));
            if lying.pages() < upright.pages() {
                lying
            } else {
                upright
            }
        }
        (Err(_), Ok(())) => Laid::of(lying, size),
        (upright_holds, _) => Laid::of(upright_holds.map(|()| upright)?, size),
    };
    let few =
        |frame: &Frame| holds(frame).is_ok() && Laid::of(*frame, size).pages() <= super::MOST_PAGES;
    if laid.pages() > super::MOST_PAGES {
        let too = TooMany {
            what: name,
            pages: laid.pages(),
            options,
        };
        return Err(too.error(&laid.frame, few));
    }
    Ok(put(head, drawn, &laid))
}

fn put(head: &Head<'_>, drawn: &Sketch, laid: &Laid) -> Printed {
    let (room, tiles) = (laid.frame.room(), &laid.tiles);
    let count = tiles.count();
    let (pages, tall) = (laid.pages(), drawn.drawing.height);
    let mut canvases = vec![Canvas::default(); pages];
    let mut sheets = Vec::with_capacity(count);
    for (at, tile) in tiles.each().enumerate() {
        let (on, row) = (at / laid.on_page, at % laid.on_page);
        let window = tiles.window(tile);
        let top = room.top + row as f64 * (tall + BETWEEN);
        let (right, down) = (room.left - window.left, top - window.top);
        let canvas = &mut canvases[on];
        let parts = Canvas {
            marks: clip(&drawn.drawing.canvas.marks, &window),
        };
        canvas.put((right, down), parts);
        canvas.put(
            (right, down),
            kept_words(&drawn.drawing.canvas, tiles, tile),
        );
        canvas.put((right, down), tiles.seams(tile));
        number(
            canvas,
            (room.left + OVERLAP, top + tall - 1.2),
            (at + 1, count),
        );
        let neighbour =
            |next: Option<usize>| next.filter(|_| count > 1).map(|at| at / laid.on_page + 1);
        sheets.push(SheetOf {
            page: on + 1,
            of: 0,
            origin: (right + drawn.origin.0, down + drawn.origin.1),
            window: (room.left, top, room.width, tall),
            beside: [
                neighbour(at.checked_sub(1)),
                neighbour((at + 1 < count).then_some(at + 1)),
                None,
                None,
            ],
        });
    }
    let pages = canvases.into_iter().enumerate().map(|(at, mut canvas)| {
        canvas.put((0.0, 0.0), around(&laid.frame, head, (at + 1, pages), None));
        page(&laid.frame, canvas)
    });
    Printed {
        about: about(head),
        pages: pages.collect(),
        sheets,
    }
}

/// Which strip it is, at its lower edge.
fn number(canvas: &mut Canvas, at: (f64, f64), (number, count): (usize, usize)) {
    let says = format!("strip {number} of {count}, up the stair to the right");
    let style = Style::bold(7.5, Shade::INK);
    canvas.text(at, Push::Left, &says, style);
}
