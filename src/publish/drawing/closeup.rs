//! What is near one trouble: where the ball passes, where parts clash, where a foot stands.

use nalgebra::Point3;

use super::eye::Eye;
use super::flat::{At, Box2};
use super::run::{RunViews, View, split};
use super::seen::{Onto, Seen, frame_of};
use super::{Drawing, Ink};
use crate::chain::Chain;
use crate::inspect::{ClashFound, Finding, Kind, Opening};
use crate::measure::Length;
use crate::publish::pdf::{Canvas, Pen, Push, Style};
use crate::solids::Part;

/// The least that a close-up shows to either side of its place, mm.
const LEAST: f64 = 110.0;
/// And the most.
const MOST: f64 = 900.0;

/// A close-up of a trouble within a room on the paper, mm; nothing for what no close-up shows
/// better than the whole does.
#[must_use]
pub fn closeup(chain: &Chain, finding: &Finding, room: (f64, f64)) -> Option<Drawing> {
    let views = RunViews::of(chain, finding.run)?;
    let subject = Subject::of(chain, finding, &views)?;
    let eye = views.eye(subject.view);
    let at = eye.point(&subject.at);
    let half = subject.half.clamp(LEAST, MOST);
    let tall = half * room.1 / room.0;
    let middle = subject.middle(chain, finding, &eye, (at.x, at.y), tall);
    let frame = Box2::about(middle, (half, tall));
    let onto = Onto {
        frame,
        by: 2.0 * half / room.0,
        corner: (0.0, 0.0),
    };
    let mut parts = views.parts();
    let concerned: Vec<(usize, &Part)> = chain
        .solids
        .parts
        .iter()
        .enumerate()
        .filter(|(_, part)| finding.key.parts.contains(&part.name))
        .collect();
    for one in &concerned {
        if !parts.iter().any(|(number, _)| *number == one.0) {
            parts.push(*one);
        }
    }
    let (mut solid, mut through) = split(&eye, subject.view, &parts);
    // What it is about is never left out, nor seen through.
    through.retain(|(number, _)| concerned.iter().all(|(other, _)| other != number));
    for one in &concerned {
        if !solid.iter().any(|(number, _)| *number == one.0) {
            solid.push(*one);
        }
    }
    let seen = Seen::new(eye, &solid, &through, &frame);
    let mut canvas = Canvas::default();
    let lit = |part: usize| {
        let place = concerned.iter().position(|(number, _)| *number == part)?;
        Some(if place == 0 {
            Ink::OCHRE_WASH
        } else {
            Ink::CHALK_WASH
        })
    };
    seen.draw(&mut canvas, &onto, lit);
    match &subject.what {
        What::Ball(opening) => ball(&mut canvas, chain, opening, &onto, (at.x, at.y)),
        What::Clash(clash) => {
            for (_, part) in &concerned {
                outlines(&mut canvas, &seen, &onto, part);
            }
            cross(&mut canvas, onto.at((at.x, at.y)));
            if let Some(clash) = clash {
                let way = eye.way(&clash.clear_by);
                arrow(
                    &mut canvas,
                    &onto,
                    (at.x, at.y),
                    (way.x, way.y),
                    clash.depth,
                );
            }
        }
        What::Place => cross(&mut canvas, onto.at((at.x, at.y))),
    }
    for (_, part) in &concerned {
        name(&mut canvas, &seen, &onto, part);
    }
    let (width, height) = onto.size();
    canvas.rect(
        (0.0, 0.0),
        (width, height),
        Some(Pen::new(Ink::SOFT, 0.2)),
        None,
    );
    Some(Drawing {
        width,
        height,
        canvas,
        says: subject.says,
    })
}

/// What a close-up is of.
struct Subject<'a> {
    at: Point3<f64>,
    view: View,
    /// Half of the width that it shows, mm.
    half: f64,
    what: What<'a>,
    says: String,
}

enum What<'a> {
    /// The ball that passes.
    Ball(&'a Opening),
    /// Parts in one another.
    Clash(Option<&'a ClashFound>),
    /// A place.
    Place,
}

impl<'a> Subject<'a> {
    fn of(chain: &'a Chain, finding: &Finding, views: &RunViews<'_>) -> Option<Self> {
        let from = |view: View| match view {
            View::Elevation => "seen from the open side",
            View::Plan => "seen from above",
        };
        let parts = finding.key.parts.join(" and ");
        let place = |what: What<'a>, view: View, says: &str| Self {
            at: finding.at,
            view,
            half: LEAST,
            what,
            says: format!("{says}, {}", from(view)),
        };
        match finding.key.kind {
            Kind::Opening | Kind::Triangle | Kind::OpenKick => {
                let mut all = chain.inspection.openings.iter();
                let opening = all.find(|opening| {
                    opening.between == finding.key.parts && (opening.at - finding.at).norm() < 1.0
                })?;
                Some(Self {
                    at: opening.at,
                    view: View::Elevation,
                    half: 1.25 * opening.ball.as_mm().max(opening.limit.as_mm()),
                    what: What::Ball(opening),
                    says: "Drawn through: the ball that passes; dashed: the ball that must not"
                        .to_owned(),
                })
            }
            Kind::Clash
            | Kind::StringerCut
            | Kind::SeatDeep
            | Kind::SeatShallow
            | Kind::RailInWall => {
                let mut clashes = chain.inspection.clashes.iter();
                let clash = clashes.find(|clash| {
                    finding
                        .key
                        .parts
                        .iter()
                        .all(|part| clash.parts.contains(part))
                });
                let near = views.eye(View::Elevation);
                let away = clash.is_some_and(|clash| near.way(&clash.clear_by).z.abs() > 0.7);
                let view = if away { View::Plan } else { View::Elevation };
                let says = format!("{parts}; the dashed outline goes on inside");
                Some(place(What::Clash(clash), view, &says))
            }
            Kind::EdgeDistance
            | Kind::NewelFoot
            | Kind::PastEdge
            | Kind::PloughMiss
            | Kind::BoreEdge
            | Kind::FastenerCut
            | Kind::Knuckle
            | Kind::WallClearance
            | Kind::Projection => Some(place(What::Place, View::Plan, &parts)),
            Kind::Landing => Some(place(What::Place, View::Elevation, "Where the rail lands")),
            _ => None,
        }
    }
}

impl Subject<'_> {
    /// The middle of the picture: the place, or for parts in one another a place nearer to the
    /// middle of what they share, so that more is seen of them.
    fn middle(&self, chain: &Chain, finding: &Finding, eye: &Eye, at: At, tall: f64) -> At {
        if !matches!(self.what, What::Clash(_)) {
            return at;
        }
        let concerned = chain.solids.parts.iter();
        let concerned = concerned.filter(|part| finding.key.parts.contains(&part.name));
        let frames: Vec<Box2> = concerned.filter_map(|part| frame_of(eye, [part])).collect();
        let share = |low: f64, high: f64, at: f64| {
            let far = 0.55 * tall;
            f64::midpoint(low, high).clamp(at - far, at + far)
        };
        match frames.as_slice() {
            [a, b] => (
                share(a.low.0.max(b.low.0), a.high.0.min(b.high.0), at.0),
                share(a.low.1.max(b.low.1), a.high.1.min(b.high.1), at.1),
            ),
            _ => at,
        }
    }
}

/// The ball at its true size, and the ball of the limit.
fn ball(canvas: &mut Canvas, chain: &Chain, opening: &Opening, onto: &Onto, at: At) {
    let centre = onto.at(at);
    let radius = |diameter: Length| diameter.as_mm() / 2.0 / onto.by;
    let (passes, limit) = (radius(opening.ball), radius(opening.limit));
    let dashed = Pen::new(Ink::PENCIL, 0.25).dashed(1.0, 0.7);
    canvas.round(centre, limit, Some(dashed), None);
    canvas.round(centre, passes, Some(Pen::new(Ink::CHALK, 0.5)), None);
    let pen = Pen::new(Ink::CHALK, 0.25);
    let ends = [(centre.0 - passes, centre.1), (centre.0 + passes, centre.1)];
    canvas.line(&ends, pen);
    let bold = Style::bold(7.0, Ink::CHALK);
    let text = chain.first().run.job.tape.print(opening.ball);
    slip(canvas, (centre.0, centre.1 - 1.2), &text, bold);
}

/// A small cross at a place.
fn cross(canvas: &mut Canvas, (x, y): (f64, f64)) {
    let pen = Pen::new(Ink::CRAYON, 0.35);
    canvas.round((x, y), 1.6, Some(pen), None);
    canvas.line(&[(x - 2.6, y), (x + 2.6, y)], pen);
    canvas.line(&[(x, y - 2.6), (x, y + 2.6)], pen);
}

/// The way in which the second part clears the first; longer than the way itself, to be seen.
fn arrow(canvas: &mut Canvas, onto: &Onto, at: At, way: At, depth: Length) {
    let long = way.0.hypot(way.1);
    if long < 0.2 {
        return;
    }
    let (x, y) = (way.0 / long, -way.1 / long);
    let from = onto.at(at);
    let reach = (depth.as_mm() / onto.by).max(6.0);
    let tip = (from.0 + x * reach, from.1 + y * reach);
    let pen = Pen::new(Ink::CRAYON, 0.35);
    canvas.line(&[from, tip], pen);
    let barb = |turn: f64| {
        let (back, side) = (1.8, 0.8 * turn);
        (tip.0 - x * back - y * side, tip.1 - y * back + x * side)
    };
    canvas.area(&[tip, barb(1.0), barb(-1.0)], None, Some(Ink::CRAYON));
}

/// The outlines of a part's pieces, dashed, whatever hides them.
fn outlines(canvas: &mut Canvas, seen: &Seen, onto: &Onto, part: &Part) {
    let pen = Pen::new(Ink::PENCIL, 0.16).dashed(0.9, 0.6);
    for piece in &part.pieces {
        let places = piece.corners().iter().map(|corner| seen.eye.point(corner));
        let ring = super::flat::hull(&places.map(|p| (p.x, p.y)).collect::<Vec<_>>());
        seen.outline(canvas, onto, &ring, pen);
    }
}

/// The name of a part in the middle of what shows of it.
fn name(canvas: &mut Canvas, seen: &Seen, onto: &Onto, part: &Part) {
    let Some(frame) = frame_of(&seen.eye, [part]) else {
        return;
    };
    let within = |low: f64, high: f64, (from, to): (f64, f64)| {
        f64::midpoint(low.max(from), high.min(to)).clamp(from, to)
    };
    let shown = &onto.frame;
    let at = (
        within(frame.low.0, frame.high.0, (shown.low.0, shown.high.0)),
        within(frame.low.1, frame.high.1, (shown.low.1, shown.high.1)),
    );
    let (x, y) = onto.at(at);
    let (width, height) = onto.size();
    let style = Style::bold(6.0, Ink::PENCIL);
    let half = style.width(&part.name) / 2.0 + 1.0;
    // Off the ball's own line and away from the edges.
    let at = (
        x.clamp(half, (width - half).max(half)),
        (y + 6.0).clamp(3.0, height - 1.6),
    );
    slip(canvas, at, &part.name, style);
}

/// Text on a slip of paper, its middle at a place.
fn slip(canvas: &mut Canvas, (x, y): (f64, f64), text: &str, style: Style) {
    let half = style.width(text) / 2.0 + 0.5;
    let tall = style.em();
    canvas.rect(
        (x - half, y - 0.85 * tall),
        (2.0 * half, 1.15 * tall),
        None,
        Some(Ink::CARD),
    );
    canvas.text((x, y), Push::Centre, text, style);
}
