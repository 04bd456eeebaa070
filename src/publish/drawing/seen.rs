//! [`Seen`]: parts as one eye sees them, and the cut of it that a picture shows.

use super::Ink;
use super::eye::Eye;
use super::flat::{At, Box2};
use super::lines::{Line, lines};
use super::piece::Piece;
use super::washes::order;
use crate::publish::pdf::{Canvas, Pen, Shade};
use crate::solids::{Convex, Part, PartKind};

/// Pencil round the parts, mm on the paper.
const OUTLINE: f64 = 0.13;

/// Parts as they are seen.
#[derive(Clone, Debug)]
pub(in crate::publish) struct Seen {
    pub(in crate::publish) eye: Eye,
    /// What each piece covers, the farthest first: its part, and the part's kind.
    washes: Vec<(usize, PartKind, Vec<At>)>,
    lines: Vec<Line>,
    /// Outlines of parts that are drawn as if one saw through them.
    ghosts: Vec<Vec<At>>,
}

/// Where a picture lies on the paper.
#[derive(Clone, Copy, Debug)]
pub(in crate::publish) struct Onto {
    /// What of the model it shows.
    pub(in crate::publish) frame: Box2,
    /// How many millimetres of the model one on the paper stands for.
    pub(in crate::publish) by: f64,
    /// Its upper left corner on the paper.
    pub(in crate::publish) corner: (f64, f64),
}

impl Onto {
    /// A place of the model on the paper.
    pub(in crate::publish) fn at(&self, (x, y): At) -> (f64, f64) {
        (
            self.corner.0 + (x - self.frame.low.0) / self.by,
            self.corner.1 + (self.frame.high.1 - y) / self.by,
        )
    }

    /// Its size on the paper.
    pub(in crate::publish) fn size(&self) -> (f64, f64) {
        let (width, height) = self.frame.size();
        (width / self.by, height / self.by)
    }
}

impl Seen {
    /// Parts with their numbers, and those to see through; only pieces within the frame.
    pub(in crate::publish) fn new(
        eye: Eye,
        parts: &[(usize, &Part)],
        through: &[(usize, &Part)],
        frame: &Box2,
    ) -> Self {
        let pieces = |parts: &[(usize, &Part)]| -> Vec<Piece> {
            let all = parts
                .iter()
                .flat_map(|(number, part)| Piece::of(&eye, *number, part));
            all.filter(|piece| piece.frame.meets(frame)).collect()
        };
        let solid = pieces(parts);
        Self {
            eye,
            washes: order(&solid)
                .into_iter()
                .map(|at| (solid[at].part, solid[at].kind, solid[at].ring.clone()))
                .collect(),
            lines: lines(&solid),
            ghosts: pieces(through)
                .into_iter()
                .map(|piece| piece.ring)
                .collect(),
        }
    }

    /// Draws what the frame shows. `lit` may give a part another wash than that of its kind.
    pub(in crate::publish) fn draw(
        &self,
        canvas: &mut Canvas,
        onto: &Onto,
        lit: impl Fn(usize) -> Option<Shade>,
    ) {
        for (part, kind, ring) in &self.washes {
            let shade = lit(*part).unwrap_or_else(|| Ink::wash(*kind));
            // A pen of the same colour closes the seams between the pieces of one part.
            self.area(canvas, onto, ring, Some(Pen::new(shade, 0.08)), Some(shade));
        }
        let pen = Pen::new(Ink::PENCIL, OUTLINE);
        for (from, to) in &self.lines {
            self.line(canvas, onto, *from, *to, pen);
        }
        for ring in &self.ghosts {
            self.outline(
                canvas,
                onto,
                ring,
                Pen::new(Ink::SOFT, 0.13).dashed(1.2, 0.8),
            );
        }
    }

    /// The outline of a ring, where the frame shows it.
    pub(in crate::publish) fn outline(
        &self,
        canvas: &mut Canvas,
        onto: &Onto,
        ring: &[At],
        pen: Pen,
    ) {
        for (place, from) in ring.iter().enumerate() {
            self.line(canvas, onto, *from, ring[(place + 1) % ring.len()], pen);
        }
    }

    /// A line, where the frame shows it.
    pub(in crate::publish) fn line(
        &self,
        canvas: &mut Canvas,
        onto: &Onto,
        from: At,
        to: At,
        pen: Pen,
    ) {
        if let Some((first, last)) = onto.frame.clip_segment(from, to) {
            let place = |share: f64| {
                onto.at((
                    from.0 + (to.0 - from.0) * share,
                    from.1 + (to.1 - from.1) * share,
                ))
            };
            canvas.line(&[place(first), place(last)], pen);
        }
    }

    fn area(
        &self,
        canvas: &mut Canvas,
        onto: &Onto,
        ring: &[At],
        pen: Option<Pen>,
        fill: Option<Shade>,
    ) {
        let shown = onto.frame.clip(ring);
        if shown.len() >= 3 {
            let spots: Vec<_> = shown.into_iter().map(|at| onto.at(at)).collect();
            canvas.area(&spots, pen, fill);
        }
    }
}

/// The box round some parts as an eye sees them, mm; nothing where they have no pieces.
pub(in crate::publish) fn frame_of<'a>(
    eye: &Eye,
    parts: impl IntoIterator<Item = &'a Part>,
) -> Option<Box2> {
    let corners = parts
        .into_iter()
        .flat_map(|part| &part.pieces)
        .flat_map(Convex::corners)
        .map(|corner| eye.point(corner));
    corners
        .map(|p| Box2::about((p.x, p.y), (0.0, 0.0)))
        .reduce(|a, b| a.union(&b))
}
