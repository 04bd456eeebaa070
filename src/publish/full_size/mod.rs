//! Full size: templates and story poles on paper at exactly 1:1, over as many sheets as they take,
//! and as SVG at true size.
//!
//! In: [`Template`]s and [story poles](crate::shop::pole::StoryPole). Out: [`Printed`]: pages for
//! [`crate::publish::pdf`], with the place on each page of the template's own origin, and SVG text.
//! Millimetres on the paper.
//! Does not: compute anything about the stair.

mod files;
mod place;
mod pole;
mod sketch;
mod strip;
mod told;

pub use files::{TemplateFile, files, own_name, svg_name};
pub use pole::{PrintedPole, Strip, print_pole};
pub use told::{TEMPLATE_CAUTION, kind_word, mark_words, name_for_file, named, rise_in_run, title};

use super::drawing::{Drawing, svg_true};
use super::paper::{Frame, PaperError, PaperSize, Tile, Tiles, Window, check_ruler, clip, key};
use super::pdf::{
    self, About, Canvas, Mark, Page, PdfError, Pen, Push, Shade, Spot, Style, boxes_said,
};
use crate::measure::Tape;
use crate::shop::templates::{Template, TemplateKind};
use sketch::sketch;

/// How full-size sheets are wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// The paper, upright.
    pub paper: PaperSize,
    /// White all round, mm.
    pub margin: f64,
    /// The tape that lengths are printed on.
    pub tape: Tape,
}

/// The margin where none is asked for, mm. Office printers leave 4 to 6 mm white (common practice,
/// no source).
pub const MARGIN: f64 = 10.0;
/// The height of a page's head, mm.
const HEAD: f64 = 16.0;
/// The height of its foot, mm.
const FOOT: f64 = 27.0;
/// More sheets than this nobody tapes together.
const MOST_PAGES: usize = 64;

/// A true-size drawing on its pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// What the file says about itself.
    pub about: About,
    /// The pages.
    pub pages: Vec<Page>,
    /// Where the parts of the drawing lie on them.
    pub sheets: Vec<SheetOf>,
}

/// Where a template lies on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetOf {
    /// The page, from 1.
    pub page: usize,
    /// The number of the template in the file.
    pub of: usize,
    /// Its origin on the page, mm right and down from the upper left corner; it may lie off it.
    pub origin: (f64, f64),
    /// What of the page shows it: left, top, width, height.
    pub window: (f64, f64, f64, f64),
    /// The pages to the left, right, above and below.
    pub beside: [Option<usize>; 4],
}

impl Printed {
    /// As a PDF; the same templates give the same bytes.
    ///
    /// # Errors
    /// [`PdfError`] where the writer meets one of the format's limits.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        pdf::write(&self.about, &self.pages)
    }
}

/// What stands at the head of a page.
struct Head<'a> {
    title: String,
    lay: String,
    more: String,
    job: &'a str,
    /// What is said under the ruler.
    caution: String,
}

/// The caution, and that boxes stand for letters where they do.
fn caution(drawn: &[Mark], words: &[&str]) -> String {
    let says = words.iter().map(|text| Mark::Text {
        at: Spot::default(),
        text: (*text).to_owned(),
        style: Style::bold(8.0, Shade::INK),
    });
    let says: Vec<Mark> = says.collect();
    match boxes_said(drawn.iter().chain(&says)) {
        Some(boxes) => format!("{TEMPLATE_CAUTION} {boxes}"),
        None => TEMPLATE_CAUTION.to_owned(),
    }
}

impl Options {
    fn frame(&self, lying: bool) -> Frame {
        Frame {
            paper: if lying {
                self.paper.turned()
            } else {
                self.paper
            },
            margin: self.margin,
            head: HEAD,
            foot: FOOT,
        }
    }

    /// That the paper holds what every sheet needs.
    ///
    /// # Errors
    /// [`PaperError`], with what would do.
    pub fn check(&self) -> Result<(), PaperError> {
        self.frame(false).check()
    }

    /// Upright or lying: with the fewer pages for a drawing; upright where both take as many.
    fn best(&self, size: (f64, f64)) -> Result<(Frame, Tiles), PaperError> {
        self.check()?;
        let of = |frame: Frame| {
            let room = frame.room();
            (frame, Tiles::over(size, (room.width, room.height)))
        };
        let upright = of(self.frame(false));
        let lying = self.frame(true);
        let lying = lying.check().is_ok().then(|| of(lying));
        Ok(lying
            .filter(|(_, tiles)| tiles.count() < upright.1.count())
            .unwrap_or(upright))
    }
}

/// One template on its pages.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub fn print(job: &str, template: &Template, options: &Options) -> Result<Printed, PaperError> {
    let drawn = sketch(template, options.tape);
    let head = head(job, template, options.tape, &drawn.drawing.canvas.marks);
    if template.kind == TemplateKind::RailBores {
        return strip::print(&head, (template, &drawn), options);
    }
    let size = (drawn.drawing.width, drawn.drawing.height);
    let (frame, tiles) = options.best(size)?;
    if tiles.count() > MOST_PAGES {
        let fits = |frame: &Frame| {
            let room = frame.room();
            frame.check().is_ok()
                && Tiles::over(size, (room.width, room.height)).count() <= MOST_PAGES
        };
        let too = TooMany {
            what: &template.name,
            pages: tiles.count(),
            options,
        };
        return Err(too.error(&frame, fits));
    }
    let mut printed = Printed {
        about: about(&head),
        pages: Vec::new(),
        sheets: Vec::new(),
    };
    for tile in tiles.each() {
        let (page, sheet) = sheet(&drawn, &head, &frame, (&tiles, tile));
        printed.pages.push(page);
        printed.sheets.push(sheet);
    }
    Ok(printed)
}

/// A template that nobody tapes together.
struct TooMany<'a> {
    what: &'a str,
    pages: usize,
    options: &'a Options,
}

impl TooMany<'_> {
    /// What is said, with the first paper of which few would do.
    fn error(&self, frame: &Frame, few: impl Fn(&Frame) -> bool) -> PaperError {
        PaperError::Pages {
            what: self.what.to_owned(),
            pages: self.pages,
            paper: self.options.paper.to_string(),
            most: MOST_PAGES,
            try_: frame.would_do(few),
        }
    }
}

/// What the file of one template says about itself.
fn about(head: &Head<'_>) -> About {
    About {
        title: format!("{}: {}", head.title, head.job),
        subject: "A full-size template, to print at 100 %".to_owned(),
    }
}

/// Several small templates, one under the other, on as few pages as hold them; each on one page.
///
/// # Errors
/// As [`print()`].
pub fn print_together(
    job: &str,
    name: &str,
    templates: &[Template],
    options: &Options,
) -> Result<Printed, PaperError> {
    options.check()?;
    let sketches: Vec<sketch::Sketch> = templates
        .iter()
        .map(|template| sketch(template, options.tape))
        .collect();
    let sizes = sketches.iter().map(|one| &one.drawing);
    let size = sizes.fold((0.0_f64, 0.0_f64), |most, one| {
        (most.0.max(one.width), most.1.max(one.height))
    });
    // None of them is cut over pages.
    let frame = options.frame(false);
    let lying = options.frame(true);
    let frame = match frame.holds(size) {
        Err(_) if lying.holds(size).is_ok() => lying,
        other => other.map(|()| frame)?,
    };
    let room = frame.room();
    let mut printed = Printed {
        about: About {
            title: format!("{name}: {job}"),
            subject: "Full-size templates, to print at 100 %".to_owned(),
        },
        pages: Vec::new(),
        sheets: Vec::new(),
    };
    let mut canvases: Vec<Canvas> = Vec::new();
    let mut used = f64::INFINITY;
    for (of, drawn) in sketches.into_iter().enumerate() {
        let tall = drawn.drawing.height;
        if used + tall > room.height {
            canvases.push(Canvas::default());
            used = 0.0;
        }
        let at = (room.left, room.top + used);
        if let Some(canvas) = canvases.last_mut() {
            canvas.put(at, drawn.drawing.canvas);
        }
        used += tall + 4.0;
        printed.sheets.push(SheetOf {
            page: canvases.len(),
            of,
            origin: (at.0 + drawn.origin.0, at.1 + drawn.origin.1),
            window: (room.left, room.top, room.width, room.height),
            beside: [None; 4],
        });
    }
    let count = canvases.len();
    let head = Head {
        title: name.to_owned(),
        lay: "Lay the bevel's stock along the heavy line and its blade along the other.".to_owned(),
        more: "Angles are from the edge, and in brackets from square across.".to_owned(),
        job,
        caution: {
            let marks = canvases.iter().flat_map(|canvas| canvas.marks.clone());
            caution(&marks.collect::<Vec<_>>(), &[job])
        },
    };
    for (at, mut canvas) in canvases.into_iter().enumerate() {
        canvas.put((0.0, 0.0), around(&frame, &head, (at + 1, count), None));
        printed.pages.push(page(&frame, canvas));
    }
    Ok(printed)
}

fn head<'a>(job: &'a str, template: &Template, tape: Tape, drawn: &[Mark]) -> Head<'a> {
    let title = title(template);
    Head {
        lay: told::lay(template),
        more: told::more(template, tape),
        job,
        caution: caution(drawn, &[&title, job]),
        title,
    }
}

fn page(frame: &Frame, canvas: Canvas) -> Page {
    Page {
        width: frame.paper.width,
        height: frame.paper.height,
        marks: canvas.marks,
    }
}

/// One page of a template.
fn sheet(
    drawn: &sketch::Sketch,
    head: &Head<'_>,
    frame: &Frame,
    (tiles, tile): (&Tiles, Tile),
) -> (Page, SheetOf) {
    let room = frame.room();
    let window = tiles.window(tile);
    let (right, down) = (room.left - window.left, room.top - window.top);
    let mut canvas = Canvas::default();
    let parts = Canvas {
        marks: clip(&drawn.drawing.canvas.marks, &window),
    };
    canvas.put((right, down), parts);
    let windows: Vec<Window> = tiles.each().map(|one| tiles.window(one)).collect();
    canvas.put(
        (right, down),
        kept_words(&drawn.drawing.canvas, &windows, tiles.page(tile) - 1),
    );
    canvas.put((right, down), tiles.seams(tile));
    let number = tiles.page(tile);
    canvas.put(
        (0.0, 0.0),
        around(frame, head, (number, tiles.count()), Some((tiles, tile))),
    );
    let sheet = SheetOf {
        page: number,
        of: 0,
        origin: (right + drawn.origin.0, down + drawn.origin.1),
        window: (room.left, room.top, room.width, room.height),
        beside: tiles.beside(tile).map(|next| Some(tiles.page(next?))),
    };
    (page(frame, canvas), sheet)
}

/// Words that no page holds whole: moved into the one that holds their middle. A line must lie where
/// it lies, words need not.
fn kept_words(canvas: &Canvas, windows: &[Window], at: usize) -> Canvas {
    let window = windows[at];
    let holds =
        |window: &Window, (least, most): (Spot, Spot)| window.holds(least) && window.holds(most);
    let middle = |(least, most): (Spot, Spot)| {
        Spot::new(
            f64::midpoint(least.x, most.x),
            f64::midpoint(least.y, most.y),
        )
    };
    let lost = canvas.marks.iter().filter(|mark| {
        let bounds = mark.bounds();
        matches!(mark, Mark::Text { .. })
            && !windows.iter().any(|one| holds(one, bounds))
            && windows.iter().position(|one| one.holds(middle(bounds))) == Some(at)
    });
    let moved = lost.map(|mark| {
        let (least, most) = mark.bounds();
        let right = (window.left - least.x).max(0.0) - (most.x - window.right()).max(0.0);
        let down = (window.top - least.y).max(0.0) - (most.y - window.bottom()).max(0.0);
        mark.clone().moved(right, down)
    });
    Canvas {
        marks: moved.collect(),
    }
}

/// Head and foot of a page: what it is, the check ruler, which page, and which lies where.
fn around(
    frame: &Frame,
    head: &Head<'_>,
    (number, count): (usize, usize),
    tiles: Option<(&Tiles, Tile)>,
) -> Canvas {
    let mut canvas = Canvas::default();
    let room = frame.room();
    let (left, right) = (room.left, room.right());
    let top = frame.margin;
    let bold = Style::bold(13.0, Shade::INK);
    let pages = if count == 1 {
        "1 sheet".to_owned()
    } else {
        format!("sheet {number} of {count}")
    };
    let heavy = Style::bold(10.0, Shade::INK);
    let wide = room.width - heavy.width(&pages) - 6.0;
    canvas.fitted((left, top + 4.6), Push::Left, &head.title, bold, wide);
    canvas.text((right, top + 4.6), Push::Right, &pages, heavy);
    let text = Style::regular(8.5, Shade::INK);
    let by = Style::regular(7.5, Shade::GREY);
    let told = format!("{}   full size 1:1", head.job);
    let by_room = by.width(&told).min(room.width * 0.4);
    canvas.fitted((right, top + 9.2), Push::Right, &told, by, by_room);
    canvas.fitted(
        (left, top + 9.2),
        Push::Left,
        &head.lay,
        text,
        room.width - by_room - 4.0,
    );
    canvas.fitted((left, top + 13.2), Push::Left, &head.more, text, room.width);
    let hair = Pen::new(Shade::INK, 0.2);
    let foot = frame.foot_top() + 1.5;
    canvas.line(&[(left, foot), (right, foot)], hair);
    canvas.put((left, foot + 2.5), check_ruler());
    let beside = left + super::paper::CHECK_IN * 25.4 + 5.0;
    let mut words = foot + 19.5;
    if let Some((tiles, tile)) = tiles.filter(|(tiles, _)| tiles.count() > 1) {
        canvas.put(
            (beside, foot + 2.5),
            key(tiles, tile, (right - beside, FOOT - 5.5)),
        );
        let told = neighbours(tiles, tile);
        canvas.fitted((left, words), Push::Left, &told, text, CHECK_ROOM);
        words += 4.0;
    }
    let by = Style::regular(7.0, Shade::GREY);
    canvas.fitted((left, words), Push::Left, &head.caution, by, CHECK_ROOM);
    canvas
}

/// The width of words under the check ruler.
const CHECK_ROOM: f64 = super::paper::CHECK_IN * 25.4;

/// Which pages lie beside, and which side is trimmed.
fn neighbours(tiles: &Tiles, tile: Tile) -> String {
    let beside = tiles.beside(tile);
    let names = ["left", "right", "above", "below"];
    let lies: Vec<String> = names
        .iter()
        .zip(beside)
        .filter_map(|(name, next)| Some(format!("{name} {}", tiles.page(next?))))
        .collect();
    let trim = match (beside[0], beside[2]) {
        (None, None) => "",
        (Some(_), None) => " Trim the left edge at the broken line, lay it over mark on mark.",
        (None, Some(_)) => " Trim the upper edge at the broken line, lay it over mark on mark.",
        (Some(_), Some(_)) => {
            " Trim left and upper edge at the broken lines, lay it over mark on mark."
        }
    };
    format!("Next to it: {}.{trim}", lies.join(", "))
}

/// A template as SVG at true size: its width and height in mm, one unit a millimetre. Gives the text
/// and where in it the template's origin lies, mm right and down.
#[must_use]
pub fn svg(job: &str, template: &Template, tape: Tape) -> (String, (f64, f64)) {
    let drawn = sketch(template, tape);
    let head = head(job, template, tape, &[]);
    let width = drawn
        .drawing
        .width
        .max(super::paper::CHECK_IN * 25.4 + 10.0);
    let mut canvas = Canvas::default();
    let left = (width - drawn.drawing.width) / 2.0;
    canvas.fitted(
        (5.0, 7.0),
        Push::Left,
        &head.title,
        Style::bold(12.0, Shade::INK),
        width - 10.0,
    );
    let text = Style::regular(8.0, Shade::INK);
    for (line, says) in [(11.5, &head.lay), (15.5, &head.more)] {
        canvas.fitted((5.0, line), Push::Left, says, text, width - 10.0);
    }
    canvas.put((left, HEAD + 2.0), drawn.drawing.canvas);
    let foot = HEAD + 2.0 + drawn.drawing.height + 4.0;
    canvas.put((5.0, foot), check_ruler());
    let drawing = Drawing {
        width,
        height: foot + 16.0,
        canvas,
        says: format!("{}: {}", head.title, head.job),
    };
    let origin = (left + drawn.origin.0, HEAD + 2.0 + drawn.origin.1);
    (svg_true(&drawing), origin)
}
