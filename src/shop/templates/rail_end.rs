//! Rail ends: the rail's section, the face of its cut, and the line of the cut unrolled about it.

use nalgebra::{Point2, Point3, Vector3};

use crate::chain::RunChain;
use crate::job::{Profile, RailEnd};
use crate::measure::Length;
use crate::setout::{EndCut, RailSet, WallRailSet, plan};

use super::{Label, Named, NamedAngle, Stroke, StrokeKind, Template, TemplateKind, run_name};

/// A straight rail with a section, whichever it is.
struct Bar<'a> {
    name: &'a str,
    ends: [Point3<f64>; 2],
    width: f64,
    /// From the middle of its reference edge: lower and upper edge.
    up: [f64; 2],
    cuts: [&'a EndCut; 2],
    /// Its section, (left, up).
    ring: Vec<(f64, f64)>,
    /// What each end meets.
    meets: [String; 2],
}

/// Two templates for each end of every straight rail of a run.
pub(super) fn of(run: &RunChain) -> Vec<Template> {
    let setout = &run.setout;
    let job = &run.run.job;
    let rail = &job.design.rail;
    let meets = [&rail.lower, &rail.upper].map(met);
    let section = section(&setout.rail, rail.profile.as_ref(), rail.bevel.value);
    let mut bars = vec![bar(
        &setout.rail,
        section,
        [-setout.rail.depth.as_mm(), 0.0],
        meets.clone(),
    )];
    if let Some(bottom) = &setout.bottom_rail {
        let depth = bottom.depth.as_mm();
        let ring = rectangle(bottom.width.as_mm(), [0.0, depth], 0.0);
        bars.push(bar(bottom, ring, [0.0, depth], meets));
    }
    if let Some((wall, design)) = setout.wall_rail.as_ref().zip(job.design.wall_rail.as_ref()) {
        bars.push(on_wall(wall, design.profile.as_ref(), design.bevel.value));
    }
    let ends = bars.iter().flat_map(|bar| [(bar, 0), (bar, 1)]);
    ends.flat_map(|(bar, end)| {
        let run = run_name(run);
        [face(bar, end, run.clone()), wrap(bar, end, run)]
    })
    .flatten()
    .collect()
}

fn met(end: &RailEnd) -> String {
    match end {
        RailEnd::Newel(name) => name.clone(),
        RailEnd::HalfNewel { wall, .. } => format!("the half newel on {wall}"),
        RailEnd::Wall { wall, .. } => format!("the rosette on {wall}"),
    }
}

fn bar<'a>(rail: &'a RailSet, ring: Vec<(f64, f64)>, up: [f64; 2], meets: [String; 2]) -> Bar<'a> {
    Bar {
        name: &rail.name,
        ends: [rail.lower, rail.upper],
        width: rail.width.as_mm(),
        up,
        cuts: [&rail.lower_cut, &rail.upper_cut],
        ring,
        meets,
    }
}

fn on_wall<'a>(rail: &'a WallRailSet, profile: Option<&Profile>, bevel: Length) -> Bar<'a> {
    let up = [-rail.depth.as_mm(), 0.0];
    let plain = || rectangle(rail.width.as_mm(), up, bevel.as_mm());
    let meets = rail
        .returns
        .each_ref()
        .map(|one| if one.is_some() { "its return" } else { "" }.to_owned());
    Bar {
        name: &rail.name,
        ends: [rail.lower, rail.upper],
        width: rail.width.as_mm(),
        up,
        cuts: [&rail.lower_cut, &rail.upper_cut],
        ring: profile.map_or_else(plain, outline),
        meets,
    }
}

fn section(rail: &RailSet, profile: Option<&Profile>, bevel: Length) -> Vec<(f64, f64)> {
    let up = [-rail.depth.as_mm(), 0.0];
    profile.map_or_else(|| rectangle(rail.width.as_mm(), up, bevel.as_mm()), outline)
}

/// A rectangle whose upper arrises are bevelled.
fn rectangle(width: f64, [low, high]: [f64; 2], bevel: f64) -> Vec<(f64, f64)> {
    let half = width / 2.0;
    if bevel > 0.0 {
        vec![
            (-half, low),
            (half, low),
            (half, high - bevel),
            (half - bevel, high),
            (bevel - half, high),
            (-half, high - bevel),
        ]
    } else {
        vec![(-half, low), (half, low), (half, high), (-half, high)]
    }
}

/// A profile's outline; seen looking up the rail it lies as it was drawn, so its right is our minus
/// left.
fn outline(profile: &Profile) -> Vec<(f64, f64)> {
    match profile {
        Profile::Round(diameter) => {
            let radius = diameter.mm() / 2.0;
            plan::ring(Point2::new(0.0, -radius), diameter.mm(), ROUND)
                .iter()
                .map(|at| (at.x, at.y))
                .collect()
        }
        Profile::Outline(corners) => corners
            .iter()
            .map(|(across, up)| (-across.mm(), up.mm()))
            .collect(),
    }
}

/// Sides that stand for a round: within a hundredth of its size.
const ROUND: u32 = 64;

impl Bar<'_> {
    /// Along it, level to its left, square up.
    fn frame(&self) -> Option<[Vector3<f64>; 3]> {
        let along = (self.ends[1] - self.ends[0]).try_normalize(f64::MIN_POSITIVE)?;
        let left = Vector3::z()
            .cross(&along)
            .try_normalize(f64::MIN_POSITIVE)?;
        Some([along, left, along.cross(&left)])
    }

    /// How far along the rail from an end's middle a line of its section meets the cut.
    fn meet(&self, end: usize, (l, u): (f64, f64)) -> Option<f64> {
        let [along, left, up] = self.frame()?;
        let cut = self.cuts[end];
        let from = self.ends[end] + left * l + up * u;
        let to = (cut.point - from).dot(&cut.normal) / along.dot(&cut.normal);
        to.is_finite().then_some(to)
    }

    fn angles(&self, end: usize) -> Vec<NamedAngle> {
        let cut = self.cuts[end];
        vec![
            NamedAngle::new("mitre", cut.mitre),
            NamedAngle::new("bevel", cut.bevel),
        ]
    }

    fn name(&self, end: usize, what: &str) -> String {
        let at = if end == 1 { "upper" } else { "lower" };
        format!("{}-{at}-{what}", self.name)
    }
}

/// The section and, beside it, the face of the cut, both as one sees them looking at the cut end.
fn face(bar: &Bar<'_>, end: usize, run: String) -> Option<Template> {
    let [along, left, up] = bar.frame()?;
    let cut = bar.cuts[end];
    let right = if end == 0 { -1.0 } else { 1.0 };
    let flat_section = |&(l, u): &(f64, f64)| Point2::new(l * right, u);
    let plumb = {
        let z = Vector3::z();
        (z - *cut.normal * cut.normal.z).try_normalize(f64::MIN_POSITIVE)?
    };
    let across = plumb.cross(&cut.normal);
    let flat_face = |&(l, u): &(f64, f64)| {
        let to = bar.meet(end, (l, u))?;
        let at = bar.ends[end] + left * l + up * u + along * to - cut.point;
        Some(Point2::new(at.dot(&across), at.dot(&plumb)))
    };
    let section: Vec<Point2<f64>> = bar.ring.iter().map(flat_section).collect();
    let face: Vec<Point2<f64>> = bar.ring.iter().map(flat_face).collect::<Option<_>>()?;
    let beside = bar.width + BESIDE_MM;
    let shift = nalgebra::Vector2::new(beside, 0.0);
    let (low, high) = plan::extent(&face, |at| at.y);
    let mut made = Template::new(
        bar.name(end, "face"),
        run,
        TemplateKind::RailFace(end == 1),
        bar.name.to_owned(),
    );
    made.fits.clone_from(&bar.meets[end]);
    made.datum = Named::Words(if bar.up[0] < 0.0 {
        "level through the middle of the rail's top at the cut"
    } else {
        "level through the middle of the rail's underside at the cut"
    });
    let half = bar.width / 2.0;
    let level = |from: f64, to: f64| [Point2::new(from, 0.0), Point2::new(to, 0.0)];
    let [a, b] = level(-half - OVER_MM, beside + half + OVER_MM);
    made.strokes = vec![
        Stroke::line(StrokeKind::Datum, made.datum.clone(), a, b),
        Stroke::ring(StrokeKind::Cut, Named::Words("face of the cut"), face),
        Stroke::line(
            StrokeKind::Guide,
            Named::Words("plumb"),
            Point2::new(0.0, low - OVER_MM),
            Point2::new(0.0, high + OVER_MM),
        ),
        Stroke::ring(
            StrokeKind::Cut,
            Named::Nothing,
            section.iter().map(|at| at + shift).collect(),
        ),
        Stroke::line(
            StrokeKind::Guide,
            Named::Nothing,
            Point2::new(beside, bar.up[0] - OVER_MM),
            Point2::new(beside, bar.up[1] + OVER_MM),
        ),
    ];
    made.labels = vec![
        Label {
            at: Point2::new(0.0, low - WORDS_MM),
            says: Named::Words("face of the cut"),
        },
        Label {
            at: Point2::new(beside, low - WORDS_MM),
            says: Named::Words("section, square to the rail"),
        },
    ];
    made.angles = bar.angles(end);
    Some(made)
}

/// The line of the cut on the four sides of the square rail, unrolled from the lower left arris over
/// the top: where the arrises lie across the page, and the line, its long point at v = 0.
fn unrolled(bar: &Bar<'_>, end: usize) -> Option<([f64; 5], Vec<Point2<f64>>)> {
    let half = bar.width / 2.0;
    let [low, high] = bar.up;
    let depth = high - low;
    // Left is to the left looking up the rail.
    let arrises = [
        (half, low),
        (half, high),
        (-half, high),
        (-half, low),
        (half, low),
    ];
    let along: Vec<f64> = arrises
        .iter()
        .map(|arris| bar.meet(end, *arris))
        .collect::<Option<_>>()?;
    let long = if end == 1 {
        along.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    } else {
        along.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let u = [
        0.0,
        depth,
        depth + bar.width,
        2.0 * depth + bar.width,
        2.0 * (depth + bar.width),
    ];
    let line = u.iter().zip(&along);
    let line = line.map(|(u, v)| Point2::new(*u, v - long)).collect();
    Some((u, line))
}

/// That line on paper; the rail runs up the page.
fn wrap(bar: &Bar<'_>, end: usize, run: String) -> Option<Template> {
    let (u, line) = unrolled(bar, end)?;
    let upper = end == 1;
    let inward = if upper { -1.0 } else { 1.0 };
    let deepest = line.iter().map(|at| at.y * inward).fold(0.0, f64::max);
    let wood = inward * (deepest + WOOD_MM);
    let mut made = Template::new(
        bar.name(end, "wrap"),
        run,
        TemplateKind::RailWrap(upper),
        bar.name.to_owned(),
    );
    made.fits.clone_from(&bar.meets[end]);
    made.datum = Named::Words("square about the rail at its long point");
    let last = u[4];
    made.strokes.push(Stroke::line(
        StrokeKind::Datum,
        made.datum.clone(),
        Point2::origin(),
        Point2::new(last, 0.0),
    ));
    made.waste.push(
        [Point2::origin()]
            .into_iter()
            .chain(line.iter().copied())
            .chain([Point2::new(last, 0.0)])
            .collect(),
    );
    made.strokes.push(Stroke {
        kind: StrokeKind::Cut,
        name: Named::Words("cut to this line"),
        points: line,
        closed: false,
    });
    for u in u {
        let ends = [Point2::new(u, 0.0), Point2::new(u, wood)];
        made.strokes.push(Stroke::line(
            StrokeKind::Fold,
            Named::Nothing,
            ends[0],
            ends[1],
        ));
    }
    let sides = ["left side", "top", "right side", "underside"];
    let words = |(at, says): (usize, &'static str)| Label {
        at: Point2::new(f64::midpoint(u[at], u[at + 1]), wood - inward * WORDS_IN_MM),
        says: Named::Words(says),
    };
    made.labels = sides.into_iter().enumerate().map(words).collect();
    made.angles = bar.angles(end);
    Some(made)
}

/// Between the face of a cut and the section beside it, mm.
const BESIDE_MM: f64 = 28.0;
/// How far a centre line stands out past what it halves, mm.
const OVER_MM: f64 = 6.0;
/// Words under an outline, mm.
const WORDS_MM: f64 = 11.0;
/// Words on a wrap, in from its end, mm.
const WORDS_IN_MM: f64 = 6.0;
/// How much of the rail a wrap goes about past the deepest point of the cut, mm.
const WOOD_MM: f64 = 38.0;
