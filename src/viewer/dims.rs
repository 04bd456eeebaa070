//! Dimension lines as a carpenter draws them: from face to face with a slanted tick at each end, the
//! length over the line. Only for what is picked, so that the picture stays calm; every number is
//! the core's.

use bevy_egui::egui::{Align2, CornerRadius, FontId, Painter, Pos2, Stroke, vec2};
use nalgebra::{Point3, Vector3};

use crate::chain::RunChain;
use crate::measure::{Length, Tape};
use crate::solids::{Part, Solids};

use super::look::{self, ink};
use super::scene::Shown;
use super::{Pick, Solved};

/// A gap is drawn this far above the higher of the two feet, mm: clear of tread and shoe.
const ABOVE_FOOT_MM: f64 = 150.0;
/// Half a tick, points.
const TICK: f32 = 4.5;
/// Size of the letters, points.
const LETTERS: f32 = 13.0;
/// A line shorter than this has its length beside it, points.
const SHORT: f32 = 26.0;

/// One length between two places of the stair as found, first run's frame.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Dim {
    /// Where it is taken from.
    from: Point3<f64>,
    /// And to.
    to: Point3<f64>,
    /// What the core says it is.
    value: Length,
    /// What it is, in a word; nothing where the place says it.
    word: &'static str,
    /// The parts that it goes with when departures are stretched.
    parts: [Vec<String>; 2],
}

/// The lengths that are drawn for a pick.
pub(super) fn of_pick(pick: &Pick, solved: &Solved) -> Vec<Dim> {
    let Pick::Part(name) = pick else {
        return Vec::new();
    };
    let runs = solved.found.runs.iter();
    runs.flat_map(|run| of_part(name, run, &solved.solids))
        .collect()
}

fn of_part(name: &str, run: &RunChain, solids: &Solids) -> Vec<Dim> {
    let mut dims = gaps(name, run, solids);
    dims.extend(notches(name, run));
    dims.extend(rail_heights(name, run));
    let own = name.strip_prefix(run.run.mark.as_str());
    let number = own.and_then(|own| own.strip_prefix(['T', 'K']));
    if let Some(number) = number.and_then(|number| number.parse().ok()) {
        dims.extend(step(number, run));
    }
    dims
}

/// The gaps beside a newel or a baluster.
fn gaps(name: &str, run: &RunChain, solids: &Solids) -> Vec<Dim> {
    let part = |name: &str| solids.parts.iter().find(|part| part.name == name);
    let beside = |gap: &&crate::setout::Gap| gap.below == name || gap.above == name;
    let one = |gap: &crate::setout::Gap| {
        let (below, above) = (part(&gap.below)?, part(&gap.above)?);
        let feet = [below, above].map(|part| part.bounds().map(|bounds| bounds.low.z));
        let height = feet[0]?.max(feet[1]?) + ABOVE_FOOT_MM;
        let way = run.frame.way_to_first(&Vector3::x());
        let from = face(below, &way, height)?;
        let to = from + way * (face(above, &-way, height)? - from).dot(&way);
        Some(Dim {
            from,
            to,
            value: gap.clear,
            word: "",
            parts: [vec![gap.below.clone()], vec![gap.above.clone()]],
        })
    };
    run.setout
        .gaps
        .iter()
        .filter(beside)
        .filter_map(one)
        .collect()
}

/// The middle of a part's face on one side at a height; of its bounds where it has none there.
fn face(part: &Part, way: &Vector3<f64>, height: f64) -> Option<Point3<f64>> {
    let mut cut = Vec::new();
    for piece in &part.pieces {
        let corners = piece.corners();
        for (a, b) in piece.edges() {
            let (a, b) = (corners[a], corners[b]);
            let (below, above) = (a.z - height, b.z - height);
            if below * above <= 0.0 && (a.z - b.z).abs() > f64::EPSILON {
                cut.push(a + (b - a) * (below / (below - above)));
            }
        }
    }
    let far = |at: &Point3<f64>| at.coords.dot(way);
    let most = cut.iter().map(far).reduce(f64::max)?;
    let sum: Vector3<f64> = cut.iter().map(|at| at.coords).sum();
    let middle = Point3::from(sum / cut.len() as f64);
    Some(middle + way * (most - far(&middle)))
}

/// How far a newel's notches reach in from the nosing.
fn notches(name: &str, run: &RunChain) -> Vec<Dim> {
    let newels = run.setout.all_newels().filter(|newel| newel.name == name);
    let one = |notch: &crate::setout::Notch| {
        let step = run.site.step(notch.step)?;
        let (x, q) = (step.nosing_at(step.open_q), step.open_q);
        let at = |x: f64| run.frame.to_first(&run.site.at(x, q, step.top(x, q)));
        let tread = vec![run.site.named(format_args!("T{}", notch.step))];
        Some(Dim {
            from: at(x),
            to: at(x + notch.from_nosing.as_mm()),
            value: notch.from_nosing,
            word: "notch",
            parts: [tread.clone(), tread],
        })
    };
    newels
        .flat_map(|newel| &newel.notches)
        .filter_map(one)
        .collect()
}

/// Where the rail stands lowest and highest over a nosing.
fn rail_heights(name: &str, run: &RunChain) -> Vec<Dim> {
    let rail = &run.setout.rail;
    if rail.name != name {
        return Vec::new();
    }
    let one = |(value, number): (Length, u32)| {
        let step = run.site.step(number)?;
        let (x, z) = (step.nosing_x(), step.nosing_top(0.0));
        let at = |z: f64| run.frame.to_first(&run.site.at(x, 0.0, z));
        let tread = run.site.named(format_args!("T{number}"));
        Some(Dim {
            from: at(z),
            to: at(z + value.as_mm()),
            value,
            word: "",
            parts: [vec![tread], vec![rail.name.clone()]],
        })
    };
    let both = [rail.window.lowest, rail.window.highest];
    both.into_iter().filter_map(one).collect()
}

/// Rise and going of a step, at its open end.
fn step(number: u32, run: &RunChain) -> Vec<Dim> {
    let Some(step) = run.site.step(number) else {
        return Vec::new();
    };
    let q = step.open_q;
    let (x, z) = (step.kick_at(q), step.height);
    let at = |x: f64, z: f64| run.frame.to_first(&run.site.at(x, q, z));
    let tread = || vec![run.site.named(format_args!("T{number}"))];
    let dim = |from, to, value, word| Dim {
        from,
        to,
        value: Length::mm(value),
        word,
        parts: [tread(), tread()],
    };
    vec![
        dim(at(x, z - step.rise), at(x, z), step.rise, "rise"),
        dim(at(x, z), at(x + step.going, z), step.going, "going"),
    ]
}

/// Draws them; a place behind the eye has none.
pub(super) fn draw(
    painter: &Painter,
    dims: &[Dim],
    shown: &Shown,
    tape: Tape,
    on_picture: impl Fn(&Point3<f64>) -> Option<Pos2>,
) {
    for dim in dims {
        let [from, to] = [(&dim.from, &dim.parts[0]), (&dim.to, &dim.parts[1])]
            .map(|(at, parts)| on_picture(&shown.place(at, parts)));
        if let (Some(from), Some(to)) = (from, to) {
            let value = tape.print(dim.value);
            let says = if dim.word.is_empty() {
                value
            } else {
                format!("{} {value}", dim.word)
            };
            line(painter, from, to, &says);
        }
    }
}

/// One line with its ticks, and what it says over it.
fn line(painter: &Painter, from: Pos2, to: Pos2, says: &str) {
    let pencil = Stroke::new(1.4, ink(look::CHALK));
    painter.line_segment([from, to], pencil);
    for end in [from, to] {
        let slant = vec2(TICK, -TICK);
        painter.line_segment([end - slant, end + slant], Stroke::new(2.0, pencil.color));
    }
    let galley = painter.layout_no_wrap(
        says.to_owned(),
        FontId::proportional(LETTERS),
        ink(look::CHALK),
    );
    let across = to - from;
    // Over a line that lies, beside one that stands.
    let lies = across.x.abs() >= across.y.abs();
    let (at, anchor) = if lies || across.length() < SHORT {
        let top = from.y.min(to.y).min(from.lerp(to, 0.5).y);
        (
            Pos2::new(from.lerp(to, 0.5).x, top - 7.0),
            Align2::CENTER_BOTTOM,
        )
    } else {
        (from.lerp(to, 0.5) + vec2(8.0, 0.0), Align2::LEFT_CENTER)
    };
    let rect = anchor.anchor_size(at, galley.size());
    painter.rect_filled(
        rect.expand2(vec2(4.0, 1.0)),
        CornerRadius::same(2),
        ink(look::CARD).gamma_multiply(0.9),
    );
    painter.galley(rect.min, galley, ink(look::CHALK));
}

#[cfg(test)]
mod tests {
    use super::super::recompute::Computed;
    use super::*;
    use crate::job::Document;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    fn solved() -> Solved {
        let document = Document::parse(DEMO, "test.ron").unwrap();
        Computed::of(document.job()).unwrap().solved(1, (1, None))
    }

    fn drawn(name: &str, solved: &Solved) -> Vec<Dim> {
        of_pick(&Pick::Part(name.to_owned()), solved)
    }

    #[test]
    fn a_line_is_as_long_as_what_it_says() {
        let solved = solved();
        let rail = solved.found.first().setout.rail.name.clone();
        for name in ["N1", "B03", "T4", rail.as_str()] {
            let dims = drawn(name, &solved);
            assert!(!dims.is_empty(), "{name}");
            for dim in dims {
                let long = (dim.to - dim.from).norm();
                // A leaning baluster's gap is told at its foot and drawn a hand above it.
                assert!((long - dim.value.as_mm()).abs() < 2.0, "{name}: {dim:?}");
            }
        }
    }

    #[test]
    fn gaps_lie_level_and_rises_stand_plumb() {
        let solved = solved();
        for dim in drawn("N1", &solved)
            .iter()
            .filter(|dim| dim.word.is_empty())
        {
            assert!((dim.to.z - dim.from.z).abs() < 1e-9);
        }
        let step = drawn("T4", &solved);
        let rise = step.iter().find(|dim| dim.word == "rise").unwrap();
        assert!((rise.to - rise.from).xy().norm() < 1e-9);
    }
}
