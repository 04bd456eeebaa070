//! One template drawn at its true size: lines by their kinds, hatched waste, crosses at bores,
//! distances that prove it, words clear of all of them. Millimetres on the paper.
//!
//! Black and white, and told apart by weight and dash alone: heavy the edge it is laid to, full the
//! cut, long dashes the wood's own edges, short ones folds.

use nalgebra::Point2;

use super::place::Places;
use super::told::{across_alike, angle_words, named};
use crate::measure::{Angle, Tape};
use crate::publish::drawing::Drawing;
use crate::publish::paper::Window;
use crate::publish::pdf::{Canvas, Mark, Pen, Push, Shade, Spot, Style};
use crate::shop::templates::{Bore, Distance, Named, Stroke, StrokeKind, Template, TemplateKind};

/// A template drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sketch {
    /// The drawing.
    pub(super) drawing: Drawing,
    /// Where the template's origin lies in it.
    pub(super) origin: (f64, f64),
}

/// How far edges are drawn past what is cut.
const REACH: f64 = 26.0;
/// The same where the edge alone finds the place.
const ABOUT: f64 = 12.0;
/// White about everything.
const PAD: f64 = 9.0;
/// The same about a strip, several of which lie on a page.
const STRIP_PAD: f64 = 5.5;
/// Between lines of hatching.
const HATCH: f64 = 3.4;
const TEXT: Style = Style::regular(8.5, Shade::INK);
const BOLD: Style = Style::bold(9.0, Shade::INK);

const fn pen(kind: StrokeKind) -> Pen {
    match kind {
        StrokeKind::Datum => Pen::new(Shade::INK, 0.8),
        StrokeKind::Cut => Pen::new(Shade::INK, 0.4),
        StrokeKind::Edge => Pen::new(Shade::INK, 0.25).dashed(7.0, 1.6),
        StrokeKind::Fold => Pen::new(Shade::INK, 0.18).dashed(1.4, 1.2),
        StrokeKind::Guide => Pen::new(Shade::GREY, 0.18).dashed(3.0, 1.4),
        StrokeKind::Instead => Pen::new(Shade::INK, 0.3).dashed(4.0, 1.6),
    }
}

/// What is drawn, u right and v up.
struct Extent {
    least: Point2<f64>,
    most: Point2<f64>,
}

impl Extent {
    /// What is cut and some of the wood about it, as far as there is any.
    fn of(template: &Template) -> Self {
        let (least, most) = template.bounds();
        let edges = template
            .strokes
            .iter()
            .filter(|one| matches!(one.kind, StrokeKind::Datum | StrokeKind::Edge));
        let corners = edges.flat_map(|one| &one.points);
        let (low, high) =
            corners.fold((least, most), |(low, high), at| (low.inf(at), high.sup(at)));
        let (reach, pad) = match template.kind {
            TemplateKind::Notch(_) => (REACH, PAD),
            TemplateKind::RailBores => (ABOUT, STRIP_PAD),
            _ => (ABOUT, PAD),
        };
        let [reach, pad] = [reach, pad].map(nalgebra::Vector2::repeat);
        Self {
            least: (least - reach).sup(&(low - pad)),
            most: (most + reach).inf(&(high + pad)),
        }
    }

    fn size(&self) -> (f64, f64) {
        (self.most.x - self.least.x, self.most.y - self.least.y)
    }

    fn spot(&self, at: &Point2<f64>) -> Spot {
        Spot::new(at.x - self.least.x, self.most.y - at.y)
    }
}

/// Draws a template.
pub(super) fn sketch(template: &Template, tape: Tape) -> Sketch {
    let extent = Extent::of(template);
    let (width, height) = extent.size();
    let gauge = template.kind == TemplateKind::Gauge;
    // Beside a gauge stands what it is for.
    let width = if gauge { width.max(GAUGE_WIDE) } else { width };
    let height = if gauge {
        height.max(gauge_tall(template))
    } else {
        height
    };
    let room = Window {
        left: 0.0,
        top: 0.0,
        width,
        height,
    };
    let mut ink = Ink {
        canvas: Canvas::default(),
        places: Places::within(room),
        extent,
        tape,
    };
    for ring in &template.waste {
        ink.hatch(ring);
    }
    for stroke in &template.strokes {
        ink.stroke(stroke, &room);
    }
    for bore in &template.bores {
        ink.bore(bore);
    }
    ink.words(template, &room);
    if gauge {
        ink.uses(template);
    }
    let origin = ink.extent.spot(&Point2::origin());
    Sketch {
        drawing: Drawing {
            width,
            height,
            canvas: ink.canvas,
            says: template.name.clone(),
        },
        origin: (origin.x, origin.y),
    }
}

/// The width of a gauge with its words.
const GAUGE_WIDE: f64 = 188.0;
/// Where a gauge's words begin.
const GAUGE_WORDS: f64 = 124.0;
/// Uses of a gauge that are listed; the others are counted.
const USES: usize = 8;
const LEADING: f64 = 4.0;

fn gauge_tall(template: &Template) -> f64 {
    let lines = template.angles.len().min(USES + 1);
    13.0 + LEADING * f64::from(u32::try_from(lines).unwrap_or(0))
}

struct Ink {
    canvas: Canvas,
    places: Places,
    extent: Extent,
    tape: Tape,
}

impl Ink {
    fn pair(&self, at: &Point2<f64>) -> (f64, f64) {
        let spot = self.extent.spot(at);
        (spot.x, spot.y)
    }

    /// Lines at half a right angle over an outline, by where each crosses its sides.
    fn hatch(&mut self, ring: &[Point2<f64>]) {
        let across = |at: &Point2<f64>| (at.x - at.y) / std::f64::consts::SQRT_2;
        let low = ring.iter().map(across).fold(f64::INFINITY, f64::min);
        let high = ring.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
        let pen = Pen::new(Shade::GREY, 0.13);
        let mut at = low + HATCH / 2.0;
        while at < high {
            let mut met: Vec<Point2<f64>> = (0..ring.len())
                .filter_map(|i| {
                    let (a, b) = (&ring[i], &ring[(i + 1) % ring.len()]);
                    let (here, there) = (across(a) - at, across(b) - at);
                    (here * there < 0.0).then(|| a + (b - a) * (here / (here - there)))
                })
                .collect();
            met.sort_by(|a, b| a.x.total_cmp(&b.x));
            for pair in met.chunks_exact(2) {
                let ends = [self.pair(&pair[0]), self.pair(&pair[1])];
                self.canvas.line(&ends, pen);
                let [(x, y), (u, v)] = ends;
                self.places.hatch(Spot::new(x, y), Spot::new(u, v));
            }
            at += HATCH;
        }
    }

    fn stroke(&mut self, stroke: &Stroke, room: &Window) {
        let spots: Vec<Spot> = stroke
            .points
            .iter()
            .map(|at| self.extent.spot(at))
            .collect();
        let mark = Mark::Line {
            spots: spots.clone(),
            closed: stroke.closed,
            pen: Some(pen(stroke.kind)),
            fill: None,
        };
        // An edge of the wood goes on past the paper.
        let marks = crate::publish::paper::clip(&[mark], room);
        self.canvas.marks.extend(marks);
        for pair in spots.windows(2) {
            self.places.line(pair[0], pair[1]);
        }
        if let [first, .., last] = spots.as_slice()
            && stroke.closed
        {
            self.places.line(*last, *first);
        }
    }

    /// Its circle, a cross through the centre, the outline of what stands over it.
    fn bore(&mut self, bore: &Bore) {
        let radius = bore.diameter.as_mm() / 2.0;
        let (x, y) = self.pair(&bore.at);
        let thin = Pen::new(Shade::INK, 0.18);
        let outline: Vec<(f64, f64)> = bore.outline.iter().map(|at| self.pair(at)).collect();
        self.canvas
            .area(&outline, Some(pen(StrokeKind::Guide)), None);
        if radius > 0.0 {
            let cut = pen(StrokeKind::Cut);
            self.canvas.round((x, y), radius, Some(cut), None);
        }
        let arm = radius + CROSS;
        self.canvas.line(&[(x - arm, y), (x + arm, y)], thin);
        self.canvas.line(&[(x, y - arm), (x, y + arm)], thin);
        for i in 0..outline.len() {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            self.places.line(Spot::new(a.0, a.1), Spot::new(b.0, b.1));
        }
        self.places
            .line(Spot::new(x - arm, y), Spot::new(x + arm, y));
        self.places
            .line(Spot::new(x, y - arm), Spot::new(x, y + arm));
    }

    fn say(&mut self, at: &[Spot], style: Style, text: &str) {
        let (middle, clear) = self.places.best(at, style, text);
        if let Some(clear) = clear {
            let size = (clear.width, clear.height);
            self.canvas
                .rect((clear.left, clear.top), size, None, Some(Shade::PAPER));
        }
        let base = (middle.x, middle.y + style.em() * 0.36);
        self.canvas.text(base, Push::Centre, text, style);
    }

    fn words(&mut self, template: &Template, room: &Window) {
        for label in &template.labels {
            let says = named(&label.says);
            if !says.is_empty() {
                let at = self.extent.spot(&label.at);
                self.say(&[at], BOLD, &says);
            }
        }
        let along = template.kind == TemplateKind::RailBores;
        let alike = across_alike(template, self.tape).is_some();
        for bore in &template.bores {
            if along {
                self.along_words(bore, alike);
            } else {
                self.bore_words(bore);
            }
        }
        self.distances(&template.distances);
        for stroke in &template.strokes {
            let mut labels = template.labels.iter();
            let labelled = labels.any(|label| label.says == stroke.name);
            if labelled || stroke.name == Named::Nothing {
                continue;
            }
            let says = match (&stroke.name, stroke.kind) {
                (Named::Edge(_), StrokeKind::Datum) => {
                    format!("lay on {}", named(&stroke.name))
                }
                (Named::Part(part), _) => format!("notch for {part}"),
                (name, _) => named(name),
            };
            let style = if stroke.kind == StrokeKind::Datum {
                BOLD
            } else {
                TEXT
            };
            let at = self.beside(stroke, room, style, &says);
            self.say(&at, style, &says);
        }
    }

    /// Places beside a line, the middle first.
    fn beside(&self, stroke: &Stroke, room: &Window, style: Style, says: &str) -> Vec<Spot> {
        let (wide, tall) = (style.width(says), style.em());
        let spots: Vec<Spot> = stroke
            .points
            .iter()
            .map(|at| self.extent.spot(at))
            .collect();
        let mut places = Vec::new();
        for pair in spots.windows(2) {
            let Some((a, b)) = room.part(pair[0], pair[1]) else {
                continue;
            };
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let long = dx.hypot(dy);
            let (nx, ny) = (-dy / long, dx / long);
            // As far off as the words reach towards the line.
            let off = (nx.abs() * wide + ny.abs() * tall) / 2.0 + 1.8;
            for share in [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92] {
                for side in [1.0, -1.0] {
                    for more in [0.0, 5.0] {
                        let off = side * (off + more);
                        let at = Spot::new(a.x + dx * share, a.y + dy * share);
                        places.push(at.moved(nx * off, ny * off));
                    }
                }
            }
        }
        places
    }

    /// Beside a centre along a strip: its name over the middle line, under it how far along it lies; and
    /// how far across where they differ.
    fn along_words(&mut self, bore: &Bore, alike: bool) {
        let spot = self.extent.spot(&bore.at);
        let [(_, along), (_, across)] = bore.off;
        let outline = bore.outline.iter().map(|at| at.x - bore.at.x);
        let reach = outline.fold(bore.diameter.as_mm() / 2.0 + CROSS, f64::max);
        let mut lines = vec![
            (bore.part.clone(), BOLD, -1.6),
            (self.tape.print(along), TEXT, 1.4 + TEXT.em()),
        ];
        if !alike {
            let says = format!("{} across", self.tape.print(across));
            lines.push((says, TEXT, 1.4 + TEXT.em() + LEADING));
        }
        for (says, style, down) in lines {
            let wide = style.width(&says);
            let at = |x: f64| Spot::new(x, spot.y + down - style.em() * 0.36);
            let (right, left) = (spot.x + reach + 2.0, spot.x - reach - 2.0);
            self.say(
                &[at(right + wide / 2.0), at(left - wide / 2.0)],
                style,
                &says,
            );
        }
    }

    fn bore_words(&mut self, bore: &Bore) {
        let [(first, one), (second, two)] = bore.off;
        let word = |edge| crate::publish::edge_word(edge).trim_start_matches("the ");
        let mut lines = vec![
            bore.part.clone(),
            format!("{} from {}", self.tape.print(one), word(first)),
            format!("{} from {}", self.tape.print(two), word(second)),
        ];
        if bore.from_square >= Angle::degrees(FROM_SQUARE) {
            let off = bore.from_square.print_degrees(1);
            lines.push(format!("{off} off square to the face"));
        }
        let spot = self.extent.spot(&bore.at);
        let reach = bore
            .outline
            .iter()
            .map(|at| (at.x - bore.at.x).abs())
            .fold(bore.diameter.as_mm() / 2.0 + CROSS, f64::max);
        let widest = lines
            .iter()
            .map(|line| TEXT.width(line))
            .fold(BOLD.width(&bore.part), f64::max);
        let right = spot.x + reach + 2.5;
        let left = spot.x - reach - 2.5 - widest;
        let fits = right + widest <= self.places.room.right();
        let x = if fits { right } else { left.max(0.0) };
        let mut base = spot.y - 1.6 * LEADING + 2.0;
        for (at, line) in lines.iter().enumerate() {
            let style = if at == 0 { BOLD } else { TEXT };
            let middle = Spot::new(x + style.width(line) / 2.0, base);
            self.say(&[middle], style, line);
            base += LEADING;
        }
    }

    /// Each distance as a thin line with a tick at both ends, one of those that read alike.
    fn distances(&mut self, all: &[Distance]) {
        let mut told: Vec<(crate::setout::dry_fit::Edge, String)> = Vec::new();
        for one in all {
            let says = self.tape.print(one.is.abs());
            if one.is.abs() < self.tape.mark() / 2.0 || told.contains(&(one.edge, says.clone())) {
                continue;
            }
            told.push((one.edge, says.clone()));
            self.distance(one, &says);
        }
    }

    fn distance(&mut self, one: &Distance, says: &str) {
        let (from, to) = (self.extent.spot(&one.from), self.extent.spot(&one.to));
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let long = dx.hypot(dy);
        let (nx, ny) = (-dy / long, dx / long);
        let middle = Spot::new(self.places.room.width / 2.0, self.places.room.height / 2.0);
        // On the side of the line where the more wood is drawn.
        let towards = (middle.x - to.x) * nx + (middle.y - to.y) * ny;
        let side = if towards >= 0.0 { 1.0 } else { -1.0 };
        let (sx, sy) = (nx * side * ASIDE, ny * side * ASIDE);
        let (a, b) = (from.moved(sx, sy), to.moved(sx, sy));
        let thin = Pen::new(Shade::INK, 0.15);
        self.canvas.line(&[(a.x, a.y), (b.x, b.y)], thin);
        for end in [a, b] {
            let (tx, ty) = ((dx / long - nx) * TICK, (dy / long - ny) * TICK);
            self.canvas.line(
                &[(end.x - tx, end.y - ty), (end.x + tx, end.y + ty)],
                Pen::new(Shade::INK, 0.35),
            );
        }
        // From the point to its distance.
        let short = 0.8 / ASIDE;
        self.canvas.line(
            &[
                (to.x + sx * short, to.y + sy * short),
                (b.x + sx * 0.2, b.y + sy * 0.2),
            ],
            Pen::new(Shade::GREY, 0.12),
        );
        self.places.line(a, b);
        let style = BOLD;
        let off = (nx.abs() * style.width(says) + ny.abs() * style.em()) / 2.0 + 1.2;
        let mut places = Vec::new();
        for share in [0.5, 0.3, 0.7, 0.15, 0.85] {
            for way in [side, -side] {
                let at = Spot::new(a.x + dx * share, a.y + dy * share);
                places.push(at.moved(nx * off * way, ny * off * way));
            }
        }
        self.say(&places, style, says);
    }

    /// What a gauge is for.
    fn uses(&mut self, template: &Template) {
        let Some(first) = template.angles.first() else {
            return;
        };
        let mut base = 5.0;
        let square = Angle::degrees(90.0) - first.is;
        let says = format!(
            "{} [{} from square]",
            angle_words(first.is, self.tape),
            square.print_degrees(1)
        );
        let room = GAUGE_WIDE - GAUGE_WORDS;
        self.canvas
            .fitted((GAUGE_WORDS, base), Push::Left, &says, BOLD, room);
        for one in template.angles.iter().take(USES) {
            base += LEADING;
            self.canvas
                .fitted((GAUGE_WORDS, base), Push::Left, &one.what, TEXT, room);
        }
        let more = template.angles.len().saturating_sub(USES);
        if more > 0 {
            let says = format!("and {more} more");
            self.canvas
                .text((GAUGE_WORDS, base + LEADING), Push::Left, &says, TEXT);
        }
    }
}

/// How far a bore's cross stands out past it.
const CROSS: f64 = 4.0;
/// How far beside a line its distance is drawn.
const ASIDE: f64 = 7.0;
/// Half a tick.
const TICK: f64 = 1.3;
/// A part further than this from square to the face is told, degrees.
const FROM_SQUARE: f64 = 0.5;
