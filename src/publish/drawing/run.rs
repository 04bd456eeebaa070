//! [`RunViews`]: a run from its open side and from above.

use nalgebra::{Point3, Vector3};

use super::eye::Eye;
use super::flag::{Flagged, fly};
use super::flat::{At, Box2};
use super::seen::{Onto, Seen, frame_of};
use super::{Drawing, Ink};
use crate::chain::Chain;
use crate::job::Hand;
use crate::measure::{Length, Unit};
use crate::publish::pdf::{Canvas, Pen, Push, Style};
use crate::publish::sheet::scale;
use crate::solids::{Part, PartKind};

/// The views of one run.
#[derive(Clone, Debug)]
pub struct RunViews<'a> {
    chain: &'a Chain,
    run: usize,
}

/// Which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::publish) enum View {
    /// From its open side.
    Elevation,
    /// From above.
    Plan,
}

/// Room round what is drawn, mm of the model.
const ROUND: f64 = 50.0;
/// Room for flags over and beside it, mm on the paper.
const OVER: f64 = 10.0;
const BESIDE: f64 = 9.0;
const UNDER: f64 = 5.5;
/// A short run is drawn no larger than one of this width, mm of the model.
const LEAST_WIDE: f64 = 2400.0;
/// The least width of a picture, mm on the paper.
const NARROWEST: f64 = 60.0;
/// A wall that shows no wider than this is seen from its end, mm.
const END_ON: f64 = 450.0;

impl<'a> RunViews<'a> {
    /// The views of a run, by its number; nothing where the chain has no such run.
    #[must_use]
    pub fn of(chain: &'a Chain, run: usize) -> Option<Self> {
        chain.runs.get(run).map(|_| Self { chain, run })
    }

    /// The run from its open side and, under it and to the same scale, from above; within a room on
    /// the paper (mm) that both share. With flags on its troubles, and balls of their size where they
    /// pass.
    #[must_use]
    pub fn both(
        &self,
        room: (f64, f64),
        flags: &[Flagged],
        balls: &[(Point3<f64>, Length)],
    ) -> Vec<Drawing> {
        let frames = [View::Elevation, View::Plan].map(|view| self.frame(view));
        let [Some(front), Some(plan)] = frames else {
            return Vec::new();
        };
        let wide = front.size().0.max(plan.size().0).max(LEAST_WIDE);
        let tall = front.size().1 + plan.size().1;
        let within = (room.0 - 2.0 * BESIDE, room.1 - 2.0 * (OVER + UNDER));
        let unit = self.chain.runs[self.run].run.job.tape.unit();
        let (by, scale) = scale::scale(unit, (wide, tall), within);
        let called = self.called();
        let says = [
            format!("{called}, seen from its open side; {scale} on the printed sheet"),
            format!("{called}, seen from above, to the same scale; dashed: the rail"),
        ];
        let shown = [(View::Elevation, front), (View::Plan, plan)];
        shown
            .into_iter()
            .zip(says)
            .map(|((view, frame), says)| {
                let balls = if view == View::Elevation { balls } else { &[] };
                Drawing {
                    says,
                    ..self.draw(view, (frame, by), flags, balls)
                }
            })
            .collect()
    }

    /// What the run is called.
    fn called(&self) -> String {
        let run = &self.chain.runs[self.run].run;
        let what = if run.job.level.is_some() {
            "level run"
        } else {
            "flight"
        };
        if self.chain.runs.len() > 1 {
            format!("Run {}, a {what}", run.name)
        } else {
            format!("The {what}")
        }
    }

    /// The direction of a view.
    pub(in crate::publish) fn eye(&self, view: View) -> Eye {
        let run = &self.chain.runs[self.run];
        let along = run.frame.way_to_first(&Vector3::x());
        let right = match run.run.job.flight.open_side {
            Hand::Right => along,
            Hand::Left => -along,
        };
        match view {
            View::Elevation => Eye::new(right, Vector3::z()),
            // From above with the open side below, as it is met on the elevation over it.
            View::Plan => Eye::new(right, Vector3::z().cross(&right)),
        }
    }

    /// The parts of the run and of the stair that it stands on, with their numbers.
    pub(in crate::publish) fn parts(&self) -> Vec<(usize, &'a Part)> {
        let base = self.chain.runs[self.run].run.beside.as_ref();
        let base = base.map(|(stair, _)| *stair);
        let solids = &self.chain.solids;
        solids
            .parts
            .iter()
            .zip(&solids.runs)
            .enumerate()
            .filter(|(_, (_, run))| **run == self.run || Some(**run) == base)
            .map(|(number, (part, _))| (number, part))
            .collect()
    }

    /// What a view shows of the run: nothing where it has no parts.
    fn frame(&self, view: View) -> Option<Box2> {
        let eye = self.eye(view);
        let parts = self.parts();
        let own = parts.iter().filter(|(_, part)| is_own(part.kind));
        Some(frame_of(&eye, own.map(|(_, part)| *part))?.grown(ROUND))
    }

    fn draw(
        &self,
        view: View,
        (frame, by): (Box2, f64),
        flags: &[Flagged],
        balls: &[(Point3<f64>, Length)],
    ) -> Drawing {
        let eye = self.eye(view);
        let parts = self.parts();
        let (solid, through) = split(&eye, view, &parts);
        let seen = Seen::new(eye, &solid, &through, &frame);
        let size = (frame.size().0 / by, frame.size().1 / by);
        let width = (size.0 + 2.0 * BESIDE).max(NARROWEST);
        let height = OVER + size.1 + UNDER;
        let onto = Onto {
            frame,
            by,
            corner: ((width - size.0) / 2.0, OVER),
        };
        let mut canvas = Canvas::default();
        seen.draw(&mut canvas, &onto, |_| None);
        names(&mut canvas, &eye, &onto, &parts, view);
        let place = |point: &Point3<f64>| -> At {
            let p = eye.point(point);
            (p.x, p.y)
        };
        for (at, ball) in balls {
            let pen = Pen::new(Ink::CHALK, 0.4);
            canvas.round(onto.at(place(at)), ball.as_mm() / 2.0 / by, Some(pen), None);
        }
        let unit = self.chain.runs[self.run].run.job.tape.unit();
        bar(&mut canvas, unit, by, (width - BESIDE, height - 2.2));
        let whole = Box2 {
            low: (0.0, 0.0),
            high: (width, height),
        };
        let feet: Vec<_> = flags
            .iter()
            .map(|flag| {
                let (x, y) = onto.at(place(&flag.at));
                // What lies outside the picture is flagged at its edge.
                let foot = (
                    x.clamp(BESIDE / 2.0, width - BESIDE / 2.0),
                    y.clamp(OVER / 2.0, height - UNDER),
                );
                (flag.number, flag.severity, foot)
            })
            .collect();
        fly(&mut canvas, &feet, &whole);
        Drawing {
            width,
            height,
            canvas,
            says: String::new(),
        }
    }
}

/// What a picture of a run is framed round.
fn is_own(kind: PartKind) -> bool {
    !matches!(kind, PartKind::Wall | PartKind::Floor)
}

type Numbered<'a> = Vec<(usize, &'a Part)>;

/// Which parts are drawn solid, and which one sees through. A wall that stands in the way or would
/// be no more than a blank is left out.
pub(in crate::publish) fn split<'a>(
    eye: &Eye,
    view: View,
    parts: &[(usize, &'a Part)],
) -> (Numbered<'a>, Numbered<'a>) {
    let (mut solid, mut through) = (Vec::new(), Vec::new());
    for (number, part) in parts {
        let blank = part.kind == PartKind::Wall
            && view == View::Elevation
            && frame_of(eye, [*part]).is_none_or(|frame| frame.size().0 > END_ON);
        if blank {
            continue;
        }
        if view == View::Plan && matches!(part.kind, PartKind::Rail | PartKind::Rosette) {
            through.push((*number, *part));
        } else {
            solid.push((*number, *part));
        }
    }
    (solid, through)
}

/// Names of newels over their heads and of treads under their fronts.
fn names(canvas: &mut Canvas, eye: &Eye, onto: &Onto, parts: &[(usize, &Part)], view: View) {
    let small = Style::regular(5.2, Ink::SOFT);
    for (_, part) in parts {
        let Some(frame) = frame_of(eye, [*part]) else {
            continue;
        };
        let middle = f64::midpoint(frame.low.0, frame.high.0);
        let inside = |at: At| onto.frame.holds(at);
        // The run is named under the picture.
        let name = part.name.rsplit('.').next().unwrap_or(&part.name);
        match (part.kind, view) {
            (PartKind::Newel, View::Elevation) if inside((middle, frame.high.1)) => {
                let (x, y) = onto.at((middle, frame.high.1));
                canvas.text(
                    (x, y - 1.0),
                    Push::Centre,
                    name,
                    Style::bold(5.6, Ink::PENCIL),
                );
            }
            (PartKind::Tread, View::Elevation) if inside((middle, frame.low.1)) => {
                let (x, y) = onto.at((middle, frame.low.1));
                let room = frame.size().0 / onto.by - 0.6;
                if small.width(name) <= room {
                    canvas.text((x, y + 2.2), Push::Centre, name, small);
                }
            }
            (PartKind::Tread, View::Plan) => {
                let at = (middle, f64::midpoint(frame.low.1, frame.high.1));
                if inside(at) && small.width(name) <= frame.size().0 / onto.by {
                    canvas.text(onto.at(at), Push::Centre, name, small);
                }
            }
            _ => {}
        }
    }
}

/// A bar that shows the scale: one that is right however large the picture is shown.
fn bar(canvas: &mut Canvas, unit: Unit, by: f64, (right, y): (f64, f64)) {
    let steps: [(f64, &str); 4] = match unit {
        Unit::Inches => [
            (3048.0, "10 ft"),
            (609.6, "2 ft"),
            (304.8, "1 ft"),
            (76.2, "3 in"),
        ],
        Unit::Millimetres => [
            (2000.0, "2 m"),
            (500.0, "500 mm"),
            (200.0, "200 mm"),
            (50.0, "50 mm"),
        ],
    };
    let fits = steps.iter().find(|(long, _)| long / by <= 26.0);
    let Some((long, name)) = fits else {
        return;
    };
    let left = right - long / by;
    let pen = Pen::new(Ink::SOFT, 0.25);
    canvas.line(&[(left, y), (right, y)], pen);
    for x in [left, right] {
        canvas.line(&[(x, y - 0.9), (x, y + 0.9)], pen);
    }
    let small = Style::regular(5.6, Ink::SOFT);
    canvas.text((left - 1.0, y + 0.7), Push::Right, name, small);
}
