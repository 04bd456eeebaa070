//! The story pole as strips: to cut out, tape end to end and glue to a stick. Millimetres.
//!
//! Strips stand upright, the lower end down, several on a page; neighbours overlap as the tiles of a
//! template do.

use super::told::mark_words_short;
use super::{HEAD, Options, Printed, SheetOf, around, page};
use crate::measure::Tape;
use crate::publish::paper::{Frame, OVERLAP, PaperError, Window, clip, registration};
use crate::publish::pdf::{About, Canvas, Mark, Pen, Push, Shade, Spot, Style};
use crate::shop::pole::{PoleMark, PoleWhat, StoryPole};

/// A story pole on its pages.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedPole {
    /// The pages.
    pub printed: Printed,
    /// The strips, in the order in which they are taped.
    pub strips: Vec<Strip>,
}

/// A strip of a pole.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// The run.
    pub run: String,
    /// True for the raking pole.
    pub raking: bool,
    /// Its number, from 1.
    pub number: usize,
    /// How far up the pole it begins and ends, mm; it overlaps its neighbours.
    pub reach: (f64, f64),
    /// The page, from 1.
    pub page: usize,
    /// Where the pole's edge lies at the strip's lower end, mm right and down on the page.
    pub foot: (f64, f64),
}

/// Width of a strip.
const WIDE: f64 = 58.0;
/// Between strips on a page.
const BETWEEN: f64 = 4.0;
/// How long the marks are drawn in from the edge.
const MARK: f64 = 9.0;
/// White past the last mark.
const END: f64 = 15.0;

/// One pole before it is cut into strips.
struct Pole<'a> {
    run: &'a str,
    raking: bool,
    marks: &'a [PoleMark],
    length: f64,
}

impl Pole<'_> {
    fn word(&self) -> &'static str {
        if self.raking { "raking" } else { "plumb" }
    }
}

/// Every pole of a stair as strips on paper.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub fn print_pole(
    job: &str,
    poles: &[StoryPole],
    options: &Options,
) -> Result<PrintedPole, PaperError> {
    options.check()?;
    let frame = options.frame(false);
    let room = frame.room();
    let across = 1 + ((room.width - WIDE) / (WIDE + BETWEEN)).floor().max(0.0) as usize;
    let several = poles.len() > 1;
    let mut canvases: Vec<Canvas> = Vec::new();
    let mut strips: Vec<Strip> = Vec::new();
    let each = poles.iter().flat_map(|pole| {
        [(false, &pole.plumb), (true, &pole.raking)].map(|(raking, marks)| Pole {
            run: &pole.run,
            raking,
            marks,
            length: marks.last().map_or(0.0, |mark| mark.at.as_mm()) + END,
        })
    });
    for pole in each {
        let net = room.height - OVERLAP;
        let count = (((pole.length - OVERLAP) / net).ceil().max(1.0)) as usize;
        for number in 1..=count {
            // Every pole begins a page of its own, so that nothing of two is cut apart.
            let place = (number - 1) % across;
            if place == 0 {
                canvases.push(Canvas::default());
            }
            let from = net * float(number - 1);
            let left = room.left + float(place) * (WIDE + BETWEEN);
            let strip = Strip {
                run: pole.run.to_owned(),
                raking: pole.raking,
                number,
                reach: (from, from + room.height),
                page: canvases.len(),
                foot: (left, room.bottom()),
            };
            let drawn = draw(&pole, &strip, count, several, (room.height, options.tape));
            if let Some(canvas) = canvases.last_mut() {
                canvas.put((left, room.top), drawn);
            }
            strips.push(strip);
        }
    }
    let printed = finish(job, canvases, &strips, &frame);
    Ok(PrintedPole { printed, strips })
}

fn float(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// Head and foot of every page.
fn finish(job: &str, canvases: Vec<Canvas>, strips: &[Strip], frame: &Frame) -> Printed {
    let count = canvases.len();
    let mut pages = Vec::with_capacity(count);
    for (at, mut canvas) in canvases.into_iter().enumerate() {
        let here = strips.iter().find(|strip| strip.page == at + 1);
        let raking = here.is_some_and(|strip| strip.raking);
        let head = super::Head {
            title: if raking {
                "Story pole, raking".to_owned()
            } else {
                "Story pole, plumb".to_owned()
            },
            lay: if raking {
                "Lies along the nosings. Left: nosings and newels. Right: middles of balusters, plumb over it."
            } else {
                "Stands on the finished floor, of a flight at its first kick. Left: tops of treads. Right: top of the rail."
            }
            .to_owned(),
            more: "Cut the strips out, trim each at its lower broken line, lay it over the one below \
                   it, mark on mark."
                .to_owned(),
            job,
            caution: super::caution(&canvas.marks, &[job]),
        };
        canvas.put((0.0, 0.0), around(frame, &head, (at + 1, count), None));
        pages.push(page(frame, canvas));
    }
    let room = frame.room();
    let sheets = strips.iter().enumerate().map(|(of, strip)| SheetOf {
        page: strip.page,
        of,
        origin: (strip.foot.0, strip.foot.1 + strip.reach.0),
        window: (strip.foot.0, HEAD + frame.margin, WIDE, room.height),
        beside: [None; 4],
    });
    Printed {
        about: About {
            title: format!("Story pole: {job}"),
            subject: "A full-size story pole, to print at 100 %".to_owned(),
        },
        pages,
        sheets: sheets.collect(),
    }
}

/// One strip, its upper left corner at the canvas's.
fn draw(
    pole: &Pole<'_>,
    strip: &Strip,
    count: usize,
    several: bool,
    (height, tape): (f64, Tape),
) -> Canvas {
    let window = Window {
        left: 0.0,
        top: 0.0,
        width: WIDE,
        height,
    };
    // Down from the strip's top.
    let down = |at: f64| strip.reach.1 - at;
    let mut canvas = Canvas::default();
    let top = down(pole.length).max(0.0);
    let foot = down(0.0).min(height);
    let edge = Pen::new(Shade::INK, 0.5);
    for x in [0.0, WIDE] {
        canvas.line(&[(x, top), (x, foot)], edge);
    }
    for (y, ends) in [
        (down(0.0), strip.number == 1),
        (down(pole.length), strip.number == count),
    ] {
        if ends {
            canvas.line(&[(0.0, y), (WIDE, y)], edge);
        }
    }
    let mut taken: Vec<f64> = Vec::new();
    let mut words = [f64::INFINITY; 2];
    for mark in pole.marks {
        let y = down(mark.at.as_mm());
        if (0.0..=height).contains(&y) {
            taken.push(y);
            put_mark(&mut canvas, mark, y, &mut words, tape);
        }
    }
    if strip.number > 1 {
        seam(
            &mut canvas,
            height - OVERLAP / 2.0,
            Pen::new(Shade::INK, 0.18).dashed(4.0, 2.0),
        );
    }
    if strip.number < count {
        seam(
            &mut canvas,
            OVERLAP / 2.0,
            Pen::new(Shade::GREY, 0.18).dashed(0.6, 1.6),
        );
    }
    let run = if several {
        format!("run {}: ", strip.run)
    } else {
        String::new()
    };
    let says = format!("{run}{} strip {} of {count}", pole.word(), strip.number);
    let mut y = (height - OVERLAP - 3.0).min(foot - 3.0);
    while y > OVERLAP && taken.iter().any(|at| (at - (y - 1.2)).abs() < 5.0) {
        y -= 1.0;
    }
    canvas.fitted(
        (WIDE / 2.0, y),
        Push::Centre,
        &says,
        Style::bold(8.0, Shade::INK),
        WIDE - 6.0,
    );
    let whole = |mark: &Mark| !matches!(mark, Mark::Text { .. });
    let (lines, text): (Vec<Mark>, Vec<Mark>) = canvas.marks.into_iter().partition(whole);
    let mut marks = clip(&lines, &window);
    marks.extend(text.into_iter().map(|mark| inside(mark, height)));
    Canvas { marks }
}

/// Words moved up or down into the strip.
fn inside(mark: Mark, height: f64) -> Mark {
    let (least, most) = mark.bounds();
    let by = (-least.y).max(0.0) - (most.y - height).max(0.0);
    mark.moved(0.0, by)
}

/// Which side of a strip a mark stands on: 0 left, 1 right.
const fn side(what: PoleWhat) -> usize {
    match what {
        PoleWhat::Rail | PoleWhat::Baluster => 1,
        _ => 0,
    }
}

/// A mark with its words under its line, so that what is above belongs to the next one. `words` is
/// how high the last words of either side reach: marks come from the bottom up.
fn put_mark(canvas: &mut Canvas, mark: &PoleMark, y: f64, words: &mut [f64; 2], tape: Tape) {
    let side = side(mark.what);
    let (from, push) = if side == 0 {
        (0.0, Push::Left)
    } else {
        (WIDE, Push::Right)
    };
    let way = if side == 0 { 1.0 } else { -1.0 };
    let tip = from + way * MARK;
    canvas.line(&[(from, y), (tip, y)], Pen::new(Shade::INK, 0.3));
    let bold = Style::bold(8.5, Shade::INK);
    let regular = Style::regular(8.5, Shade::INK);
    // Where marks crowd, words move up and a leader finds their mark.
    let base = (y + bold.em() * 0.36).min(words[side] - 3.3);
    words[side] = base;
    let place = mark_words_short(mark);
    let value = tape.print(mark.at);
    let gap = way * 1.5;
    let middle = base - bold.em() * 0.36;
    if (middle - y).abs() > 0.2 {
        canvas.line(
            &[(tip, y), (tip + gap * 2.0, middle)],
            Pen::new(Shade::INK, 0.15),
        );
    }
    let at = tip + gap * if (middle - y).abs() > 0.2 { 2.4 } else { 1.0 };
    let (first, second) = if side == 0 {
        ((place.as_str(), bold), (value.as_str(), regular))
    } else {
        ((value.as_str(), regular), (place.as_str(), bold))
    };
    let gap_words = 1.6;
    let (one, two) = (first.1.width(first.0), second.1.width(second.0));
    let start = match push {
        Push::Right => at - one - gap_words - two,
        _ => at,
    };
    canvas.text((start, base), Push::Left, first.0, first.1);
    canvas.text(
        (start + one + gap_words, base),
        Push::Left,
        second.0,
        second.1,
    );
}

/// A line to trim at with its marks.
fn seam(canvas: &mut Canvas, y: f64, pen: Pen) {
    canvas.line(&[(0.0, y), (WIDE, y)], pen);
    for share in [0.35, 0.65] {
        canvas.put((0.0, 0.0), registration(WIDE * share, y));
    }
}

impl Strip {
    /// Where on its page a distance up the pole (mm) lies, at the pole's edge; mm from the page's
    /// upper left corner.
    #[must_use]
    pub fn spot(&self, at: f64) -> Spot {
        Spot::new(self.foot.0, self.foot.1 - (at - self.reach.0))
    }
}
