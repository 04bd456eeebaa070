//! A long narrow template as strips: several on a page, to cut out and tape end to end. Millimetres.

use super::sketch::Sketch;
use super::{
    Head, MOST_PAGES, Options, Printed, SheetOf, TooMany, about, around, kept_words, page,
};
use crate::publish::paper::{Frame, OVERLAP, PaperError, Window, clip, seams};
use crate::publish::pdf::{Canvas, Push, Shade, Style};
use crate::shop::templates::Template;

/// Between strips on a page.
const BETWEEN: f64 = 3.0;

/// How strips lie on a page.
struct Laid {
    frame: Frame,
    /// What of the template each shows.
    windows: Vec<Window>,
    /// Strips on one page.
    on_page: usize,
}

impl Laid {
    fn of(frame: Frame, drawn: &Sketch, keep: &[(f64, f64)]) -> Self {
        let room = frame.room();
        let (width, height) = (drawn.drawing.width, drawn.drawing.height);
        let on_page = ((room.height + BETWEEN) / (height + BETWEEN)).floor();
        let window = |(left, right): (f64, f64)| Window {
            left,
            top: 0.0,
            width: right - left,
            height,
        };
        Self {
            frame,
            windows: parts(width, room.width, keep)
                .into_iter()
                .map(window)
                .collect(),
            on_page: on_page.max(1.0) as usize,
        }
    }

    fn pages(&self) -> usize {
        self.windows.len().div_ceil(self.on_page)
    }
}

/// Where strips begin and end, each at most so long and overlapping its neighbours; where they overlap lies
/// nothing that is to be kept whole, if that can be.
fn parts(width: f64, most: f64, keep: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (mut all, mut from) = (Vec::new(), 0.0);
    while width - from > most {
        let mut end = from + most;
        while let Some((low, _)) = keep
            .iter()
            .find(|(low, high)| *high > end - OVERLAP && *low < end)
        {
            end = *low;
        }
        if end < from + most / 2.0 {
            end = from + most;
        }
        all.push((from, end));
        from = end - OVERLAP;
    }
    all.push((from, width));
    all
}

/// What of the drawing no seam may run through: every centre with its bore.
fn keep(template: &Template, drawn: &Sketch) -> Vec<(f64, f64)> {
    let bores = template.bores.iter();
    bores
        .map(|bore| {
            let half = (bore.diameter.as_mm() / 2.0).max(CENTRE) + 1.0;
            let at = drawn.origin.0 + bore.at.x;
            (at - half, at + half)
        })
        .collect()
}

/// A centre without a bore wants so much to either side, mm.
const CENTRE: f64 = 4.0;

/// A template in strips on its pages.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub(super) fn print(
    head: &Head<'_>,
    (template, drawn): (&Template, &Sketch),
    options: &Options,
) -> Result<Printed, PaperError> {
    options.check()?;
    let keep = keep(template, drawn);
    // A strip is not cut along.
    let holds = |frame: &Frame| frame.holds((0.0, drawn.drawing.height));
    let lay = |frame: Frame| Laid::of(frame, drawn, &keep);
    let (upright, lying) = (options.frame(false), options.frame(true));
    let laid = match (holds(&upright), holds(&lying)) {
        (Ok(()), Ok(())) => {
            let [upright, lying] = [upright, lying].map(lay);
            if lying.pages() < upright.pages() {
                lying
            } else {
                upright
            }
        }
        (Err(_), Ok(())) => lay(lying),
        (upright_holds, _) => lay(upright_holds.map(|()| upright)?),
    };
    if laid.pages() > MOST_PAGES {
        let too = TooMany {
            what: &template.name,
            pages: laid.pages(),
            options,
        };
        let few = |frame: &Frame| holds(frame).is_ok() && lay(*frame).pages() <= MOST_PAGES;
        return Err(too.error(&laid.frame, few));
    }
    Ok(put(head, drawn, &laid))
}

fn put(head: &Head<'_>, drawn: &Sketch, laid: &Laid) -> Printed {
    let room = laid.frame.room();
    let count = laid.windows.len();
    let (pages, tall) = (laid.pages(), drawn.drawing.height);
    let mut canvases = vec![Canvas::default(); pages];
    let mut sheets = Vec::with_capacity(count);
    for (at, window) in laid.windows.iter().enumerate() {
        let (on, row) = (at / laid.on_page, at % laid.on_page);
        let top = room.top + row as f64 * (tall + BETWEEN);
        let place = (room.left - window.left, top - window.top);
        let (before, after) = (at > 0, at + 1 < count);
        let canvas = &mut canvases[on];
        let parts = Canvas {
            marks: clip(&drawn.drawing.canvas.marks, window),
        };
        canvas.put(place, parts);
        canvas.put(place, kept_words(&drawn.drawing.canvas, &laid.windows, at));
        canvas.put(place, seams(window, [before, after, false, false]));
        let words = (room.left + OVERLAP, top + tall - 1.2);
        number(canvas, words, (at + 1, count));
        let page = |at: usize| at / laid.on_page + 1;
        sheets.push(SheetOf {
            page: on + 1,
            of: 0,
            origin: (place.0 + drawn.origin.0, place.1 + drawn.origin.1),
            window: (room.left, top, window.width, tall),
            beside: [
                before.then(|| page(at - 1)),
                after.then(|| page(at + 1)),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_seam_runs_through_a_bore() {
        // Bores of 18 every 100 on a strip of 1,000, in parts of 230 at most.
        let keep: Vec<(f64, f64)> = (0..10)
            .map(|at| (f64::from(at) * 100.0 + 21.0, f64::from(at) * 100.0 + 39.0))
            .collect();
        let parts = parts(1000.0, 230.0, &keep);
        assert!(parts[0].0.abs() < 1e-12 && (parts[parts.len() - 1].1 - 1000.0).abs() < 1e-12);
        for pair in parts.windows(2) {
            let (from, to) = (pair[1].0, pair[0].1);
            assert!((to - from - OVERLAP).abs() < 1e-9 && to - pair[0].0 <= 230.0);
            assert!(keep.iter().all(|(low, high)| *high <= from || *low >= to));
        }
    }

    #[test]
    fn where_nothing_can_be_kept_whole_strips_are_as_long_as_they_can_be() {
        let parts = parts(500.0, 200.0, &[(0.0, 500.0)]);
        assert_eq!(parts, [(0.0, 200.0), (188.0, 388.0), (376.0, 500.0)]);
    }
}
