//! [`Draft`]: a drawing in the making, at one scale. Millimetres on the paper, right and down from
//! the middle of the model's frame; [`Draft::panel`] moves it to a corner of its own.

use nalgebra::{Point3, Vector3};

use super::hatch::{hatch, of};
use super::sheet::{Panel, bounds};
use super::shown::Shown;
use super::{Dim, DimKind};
use crate::measure::{Length, Tape};
use crate::publish::drawing::{At, Box2, Eye};
use crate::publish::pdf::{Canvas, Mark, Pen, Push, Shade, Spot, Style};

/// Weights of lines, mm: what is cut, what is seen, what measures.
pub(super) const CUT: f64 = 0.5;
pub(super) const SEEN: f64 = 0.25;
pub(super) const FINE: f64 = 0.15;

/// Text on a drawing, to be read on a dusty page: 2.8 mm, and as black as the printer has it, for
/// grey is a screen of dots.
pub(super) const TEXT: Style = Style::regular(8.0, Shade::BLACK);
/// Names of parts.
pub(super) const NAME: Style = Style::bold(8.0, Shade::BLACK);
/// What stands under a drawing.
pub(super) const NOTE: Style = Style::regular(8.0, Shade::BLACK);

/// What is kept clear beside a dimension's line, mm: its figure.
const CLEAR: f64 = 1.6;
/// Half the length of a tick, mm, along either axis.
const TICK: f64 = 0.9;
/// Between a part and the line that leads to a dimension of it, mm.
const GAP: f64 = 1.0;
/// Clear of a text that such a line would run through, mm.
const BREAK: f64 = 0.5;
/// How far such a line goes on past the dimension's own, mm.
const PAST: f64 = 1.0;
/// From the line of a dimension to the foot of its text, mm.
pub(super) const OVER: f64 = 0.8;

/// Which side of the drawing a row of dimensions lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Below,
    Left,
    Right,
}

impl Side {
    pub(super) const fn level(self) -> bool {
        matches!(self, Self::Below)
    }

    /// Outward on the page: down and to the right are more.
    pub(super) const fn outward(self) -> f64 {
        match self {
            Self::Below | Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    /// A place along the side, and off it, on the page.
    pub(super) const fn page(self, along: f64, off: f64) -> At {
        if self.level() {
            (along, off)
        } else {
            (off, along)
        }
    }

    /// Along the side, and off it.
    pub(super) const fn split(self, at: At) -> (f64, f64) {
        if self.level() { at } else { (at.1, at.0) }
    }
}

/// A drawing in the making.
pub(super) struct Draft {
    pub(super) eye: Eye,
    pub(super) by: f64,
    pub(super) tape: Tape,
    /// What is drawn of the model, under all else.
    pub(super) part: Canvas,
    /// Lines that measure.
    pub(super) lines: Canvas,
    /// Text, over all, each on a slip of paper.
    pub(super) texts: Canvas,
    pub(super) dims: Vec<Dim>,
    /// Where text stands.
    pub(super) taken: Vec<Box2>,
    /// The lines of the model, for the places at which others may begin beside it.
    shape: Vec<(At, At)>,
    /// Round the model.
    pub(super) around: Box2,
    /// How far out each side is taken: below, left, right.
    reach: [f64; 3],
    notes: Vec<String>,
}

impl Draft {
    /// A drawing of what is shown, at a scale.
    pub(super) fn new(eye: Eye, by: f64, tape: Tape, shown: &Shown) -> Self {
        let mut draft = Self {
            eye,
            by,
            tape,
            part: Canvas::default(),
            lines: Canvas::default(),
            texts: Canvas::default(),
            dims: Vec::new(),
            taken: Vec::new(),
            shape: Vec::new(),
            around: Box2::about((0.0, 0.0), (0.0, 0.0)),
            reach: [0.0; 3],
            notes: Vec::new(),
        };
        draft.show(shown);
        draft
    }

    fn show(&mut self, shown: &Shown) {
        for cut in &shown.cut {
            for ring in &cut.rings {
                let ring: Vec<At> = ring.iter().map(|at| self.flat(*at)).collect();
                hatch(&mut self.part, &ring, of(cut.kind));
            }
        }
        let dashed = Pen::new(Shade::BLACK, SEEN).dashed(1.6, 0.9);
        let cut = shown.cut.iter().flat_map(|cut| &cut.outline);
        let sorts = [
            (shown.seen.as_slice(), Pen::new(Shade::BLACK, SEEN)),
            (shown.hidden.as_slice(), dashed),
        ];
        for (lines, pen) in sorts {
            for (from, to) in lines {
                self.stroke((*from, *to), pen);
            }
        }
        for (from, to) in cut {
            self.stroke((*from, *to), Pen::new(Shade::BLACK, CUT));
        }
        let ends = self.shape.iter().flat_map(|(a, b)| [*a, *b]);
        let round = ends.map(|at| Box2::about(at, (0.0, 0.0)));
        if let Some(around) = round.reduce(|a, b| a.union(&b)) {
            self.around = around;
        }
        let Box2 { low, high } = self.around;
        self.reach = [high.1, low.0, high.0];
    }

    fn stroke(&mut self, (from, to): (At, At), pen: Pen) {
        let line = (self.flat(from), self.flat(to));
        self.part.line(&[line.0, line.1], pen);
        self.shape.push(line);
    }

    /// A place in the picture's plane (mm of the model) on the paper.
    pub(super) fn flat(&self, at: At) -> At {
        (at.0 / self.by, -at.1 / self.by)
    }

    /// A place of the model on the paper.
    pub(super) fn at(&self, point: &Point3<f64>) -> At {
        let p = self.eye.point(point);
        self.flat((p.x, p.y))
    }

    /// The way in the model that a way on the page stands for.
    pub(super) fn way(&self, (x, y): At) -> Vector3<f64> {
        self.eye.motion().rotation.inverse() * Vector3::new(x, -y, 0.0)
    }

    /// The outermost of what is drawn on a side at a place along it.
    fn edge(&self, side: Side, along: f64) -> f64 {
        let far = |a: f64, b: f64| {
            if side.outward() > 0.0 {
                a.max(b)
            } else {
                a.min(b)
            }
        };
        let met = self.shape.iter().filter_map(|(a, b)| {
            let ((s, t), (u, v)) = (side.split(*a), side.split(*b));
            let (low, high) = (s.min(u) - NEAR, s.max(u) + NEAR);
            if along < low || along > high {
                return None;
            }
            Some(if (u - s).abs() < NEAR {
                far(t, v)
            } else {
                t + (v - t) * ((along - s) / (u - s)).clamp(0.0, 1.0)
            })
        });
        met.reduce(far).unwrap_or(self.reach[side as usize])
    }

    /// How far out a side is taken.
    pub(super) const fn reach(&self, side: Side) -> f64 {
        self.reach[side as usize]
    }

    pub(super) fn take(&mut self, side: Side, off: f64) {
        self.reach[side as usize] = off;
    }

    /// Keeps rows outside of what is drawn beside the model.
    pub(super) fn clear(&mut self, (x, y): At) {
        let [below, left, right] = &mut self.reach;
        *below = below.max(y);
        *left = left.min(x - CLEAR);
        *right = right.max(x + CLEAR);
    }

    /// A short oblique stroke where a dimension begins or ends.
    pub(super) fn tick(&mut self, (x, y): At) {
        let ends = [(x - TICK, y + TICK), (x + TICK, y - TICK)];
        self.lines.line(&ends, Pen::new(Shade::BLACK, SEEN));
    }

    /// The line that leads from the model to a dimension.
    pub(super) fn lead(&mut self, side: Side, along: f64, off: f64) {
        let from = self.edge(side, along) + side.outward() * GAP;
        let to = off + side.outward() * PAST;
        if (to - from) * side.outward() > 0.0 {
            let ends = [side.page(along, from), side.page(along, to)];
            for part in self.broken(ends) {
                self.lines.line(&part, Pen::new(Shade::BLACK, FINE));
            }
        }
    }

    /// A line without what of it would run through text.
    fn broken(&self, [a, b]: [At; 2]) -> Vec<[At; 2]> {
        let rooms = self.taken.iter().map(|room| room.grown(BREAK));
        let mut through: Vec<(f64, f64)> =
            rooms.filter_map(|room| room.clip_segment(a, b)).collect();
        through.sort_by(|one, other| one.0.total_cmp(&other.0));
        let at = |share: f64| (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
        let (mut parts, mut from) = (Vec::new(), 0.0_f64);
        for (first, last) in through.into_iter().chain([(1.0, 1.0)]) {
            if first > from {
                parts.push([at(from), at(first)]);
            }
            from = from.max(last);
        }
        parts
    }

    /// Keeps a dimension along a way of the model.
    pub(super) fn keep(
        &mut self,
        (row, kind, text): (&str, DimKind, &str),
        places: [Point3<f64>; 2],
        way: Vector3<f64>,
        paper: [At; 2],
    ) {
        self.dims.push(Dim {
            row: row.to_owned(),
            kind,
            exact: between(&places, &way),
            text: text.to_owned(),
            places,
            way,
            paper: paper.map(|(x, y)| Spot::new(x, y)),
        });
    }

    /// True where text may stand.
    pub(super) fn free(&self, room: &Box2) -> bool {
        self.taken.iter().all(|other| !other.meets(room))
    }

    /// True where no line runs, of the model or one that measures.
    fn clear_of_lines(&self, room: &Box2) -> bool {
        let model = self.shape.iter().copied();
        let pairs = self.lines.marks.iter().flat_map(|mark| match mark {
            Mark::Line { spots, .. } => spots.windows(2).map(|pair| (pair[0], pair[1])).collect(),
            _ => Vec::new(),
        });
        let measures = pairs.map(|(a, b)| ((a.x, a.y), (b.x, b.y)));
        model
            .chain(measures)
            .all(|(a, b)| room.clip_segment(a, b).is_none())
    }

    /// Sets text at the first of some places at which it crosses no line, else at the first that no
    /// text has; false where there is none.
    pub(super) fn set_at(
        &mut self,
        middles: &[At],
        text: &str,
        style: Style,
        rising: bool,
    ) -> bool {
        let room = |at: &&At| room_of(**at, text, style, rising);
        let free = || middles.iter().filter(|at| self.free(&room(at)));
        let clear = free().find(|at| self.clear_of_lines(&room(at)));
        let Some(at) = clear.or_else(|| free().next()).copied() else {
            return false;
        };
        self.put(at, text, style, rising);
        true
    }

    /// Sets text on a slip, its middle at a place, if nothing stands there; rising where asked.
    pub(super) fn set(&mut self, middle: At, text: &str, style: Style, rising: bool) -> bool {
        let room = room_of(middle, text, style, rising);
        if !self.free(&room) {
            return false;
        }
        self.put(middle, text, style, rising);
        true
    }

    /// The same whatever stands there.
    pub(super) fn put(&mut self, middle: At, text: &str, style: Style, rising: bool) {
        let room = room_of(middle, text, style, rising);
        let (width, height) = room.size();
        self.texts
            .rect(room.low, (width, height), None, Some(Shade::PAPER));
        let down = 0.25 * style.em();
        if rising {
            let at = (middle.0 + down, middle.1);
            self.texts.rising(at, Push::Centre, text, style);
        } else {
            let at = (middle.0, middle.1 + down);
            self.texts.text(at, Push::Centre, text, style);
        }
        self.taken.push(room);
    }

    /// Words under the drawing.
    pub(super) fn note(&mut self, words: impl Into<String>) {
        let words = words.into();
        if !self.notes.contains(&words) {
            self.notes.push(words);
        }
    }

    /// The drawing as a panel of a sheet: its corner at zero.
    pub(super) fn panel(self) -> Panel {
        let mut marks = self.part;
        marks.put((0.0, 0.0), self.lines);
        marks.put((0.0, 0.0), self.texts);
        let (low, high) = bounds(&marks);
        let mut canvas = Canvas::default();
        canvas.put((-low.x, -low.y), marks);
        let mut dims = self.dims;
        for dim in &mut dims {
            dim.paper = dim.paper.map(|spot| spot.moved(-low.x, -low.y));
        }
        Panel {
            canvas,
            dims,
            notes: self.notes,
            size: (high.x - low.x, high.y - low.y),
        }
    }
}

/// Two places along a side nearer than this are one, mm on the paper.
const NEAR: f64 = 0.05;
/// How far two places stand apart along a way.
pub(super) fn between([a, b]: &[Point3<f64>; 2], way: &Vector3<f64>) -> Length {
    Length::mm((b - a).dot(way))
}

/// The box that text takes with its slip.
pub(super) fn room_of(middle: At, text: &str, style: Style, rising: bool) -> Box2 {
    let half = (style.width(text) / 2.0 + 0.4, 0.5 * style.em() + 0.2);
    let half = if rising { (half.1, half.0) } else { half };
    Box2::about(middle, half)
}
