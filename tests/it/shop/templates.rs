//! Templates and story poles against closed forms on a plumb flight, and against the set-out on a
//! crooked one. Sheets as printed are read back in `tests/reference/sheets.py`.

use nalgebra::Point2;
use rakewell::chain::{self, Chain};
use rakewell::job::Document;
use rakewell::measure::{Length, Tape};
use rakewell::publish::full_size::{Options, Printed, files, print};
use rakewell::publish::paper::{OVERLAP, PaperError, PaperSize};
use rakewell::publish::pdf::Mark;
use rakewell::shop::cuts::cut_list;
use rakewell::shop::pole::{PoleWhat, poles};
use rakewell::shop::templates::{Named, StrokeKind, Template, TemplateKind, templates};

use super::{SCENES, with};
use crate::cli::DEMO;

/// The starter, plumb and level throughout, with a rise of 7 1/2, a going of 10 and an overhang of
/// 3/4.
fn plain() -> String {
    let starter = include_str!("../../../scenes/straight.ron");
    let plain = starter
        .replacen("going: \"10 1/4\"", "going: \"10\"", 1)
        .replacen("overhang: \"1\"", "overhang: \"3/4\"", 1);
    assert!(plain.contains("going: \"10\"") && plain.contains("overhang: \"3/4\""));
    plain
}

fn chain_of(text: &str) -> Chain {
    let document = Document::parse(text, "a job").unwrap();
    chain::run(document.job()).unwrap()
}

fn inches(mm: f64) -> f64 {
    Length::mm(mm).as_inches()
}

fn named<'a>(all: &'a [Template], name: &str) -> &'a Template {
    let names: Vec<&str> = all.iter().map(|one| one.name.as_str()).collect();
    all.iter()
        .find(|one| one.name == name)
        .unwrap_or_else(|| panic!("no {name} in {names:?}"))
}

fn cuts(template: &Template) -> impl Iterator<Item = &[Point2<f64>]> {
    let strokes = template.strokes.iter();
    strokes
        .filter(|stroke| stroke.kind == StrokeKind::Cut)
        .map(|stroke| stroke.points.as_slice())
}

fn near(found: f64, wanted: f64, off: f64, what: &str) {
    assert!((found - wanted).abs() < off, "{what}: {found} for {wanted}");
}

/// Common practice, no source: going 10 in, two balusters of 1 1/4 in a tread, gap 3 3/4 in, the
/// first displaced. The notch goes 1 1/4 in behind the kick's face, 2 in from a nosing of 3/4 in;
/// the centres stand 5/8 in and 5 5/8 in behind the kick's face.
#[test]
fn the_carpenters_check() {
    let all = templates(&chain_of(&plain()));
    let notch = named(&all, "N1-T1");
    let deepest = notch.waste.iter().flatten().map(|at| at.y);
    near(
        inches(deepest.fold(0.0, f64::max)),
        2.0,
        1e-6,
        "from the nosing",
    );
    let told: Vec<f64> = notch
        .distances
        .iter()
        .map(|one| one.is.as_inches())
        .collect();
    assert!(told.iter().any(|is| (is - 2.0).abs() < 1e-6), "{told:?}");
    let mut bores = 0;
    for one in all.iter().filter(|one| one.kind == TemplateKind::Bores) {
        let kick = one
            .strokes
            .iter()
            .find(|stroke| stroke.kind == StrokeKind::Guide && stroke.points.len() == 2)
            .unwrap();
        for bore in &one.bores {
            let behind = inches(bore.at.y - kick.points[0].y);
            assert!(
                (behind - 0.625).abs() < 1e-6 || (behind - 5.625).abs() < 1e-6,
                "{}: {behind}",
                bore.part
            );
            near(bore.off[0].1.as_mm(), bore.at.y, 1e-9, "from the nosing");
            near(
                bore.off[1].1.as_mm(),
                bore.at.x.abs(),
                1e-9,
                "from the open end",
            );
            bores += 1;
        }
    }
    assert!(bores > 20, "{bores}");
}

/// A plumb face cuts a rail of pitch p and depth d over d tan p along its sides, and straight across
/// its top; the face of that cut is d / cos p high (elementary geometry).
#[test]
fn a_plumb_cut_of_a_rail() {
    let chain = chain_of(&plain());
    let all = templates(&chain);
    let rail = &chain.first().setout.rail;
    let pitch = rail.pitch.angle().as_radians();
    let (depth, width) = (rail.depth.as_mm(), rail.width.as_mm());
    for end in ["lower", "upper"] {
        let wrap = named(&all, &format!("{}-{end}-wrap", rail.name));
        let line = cuts(wrap).next().unwrap();
        near(
            (line[1].y - line[0].y).abs(),
            depth * pitch.tan(),
            1e-6,
            "side",
        );
        near(line[2].y - line[1].y, 0.0, 1e-6, "top");
        near(line[4].x, 2.0 * (depth + width), 1e-9, "round it");
        near(line[0].y, line[4].y, 1e-9, "it closes");
        let face = named(&all, &format!("{}-{end}-face", rail.name));
        let ring = cuts(face).next().unwrap();
        let high = ring.iter().map(|at| at.y).fold(f64::NEG_INFINITY, f64::max);
        let low = ring.iter().map(|at| at.y).fold(f64::INFINITY, f64::min);
        near(high - low, depth / pitch.cos(), 1e-6, "face");
    }
    // Rise 7 1/2 in going 10: 3-4-5.
    let gauge = all.iter().find(|one| {
        one.kind == TemplateKind::Gauge
            && one
                .angles
                .iter()
                .any(|angle| angle.what.starts_with("pitch"))
    });
    let blade = cuts(gauge.unwrap()).next().unwrap()[1];
    near(blade.y / blade.x, 0.75, 1e-6, "the gauge of the pitch");
}

/// Every line to knife on the demo, its newel turned and leaning, is as long as the set-out's, and
/// the face's own frame has its distances: they were measured in three dimensions.
#[test]
fn a_crooked_notch_is_the_set_outs() {
    let crooked = DEMO.replacen(
        "section: Square(\"3 1/2\"),",
        "section: Square(\"3 1/2\"), twist: 3,",
        1,
    );
    assert_ne!(crooked, DEMO);
    let chain = chain_of(&crooked);
    let all = templates(&chain);
    let mut lines = 0;
    for (_, fit) in chain::dry_fits(&chain, "N1") {
        for face in &fit.faces {
            let found = all
                .iter()
                .filter(|one| matches!(one.kind, TemplateKind::Notch(on) if on == face.on))
                .find(|one| one.part == face.part);
            let Some(template) = found else {
                continue;
            };
            for line in &face.lines {
                let stroke = template.strokes.iter().find(|stroke| {
                    stroke.kind == StrokeKind::Cut && stroke.name == Named::Side(line.side)
                });
                near(
                    stroke.unwrap().length().as_mm(),
                    line.length().as_mm(),
                    1e-6,
                    "its length",
                );
                for (end, is) in line.off.1.iter().enumerate() {
                    let told = template.distances.iter().any(|one| {
                        one.edge == line.off.0
                            && (one.is - *is).abs().as_mm() < 1e-9
                            && ((one.to - one.from).norm() - is.abs().as_mm()).abs() < 1e-6
                    });
                    assert!(told, "{} {end} {is:?}", face.part);
                }
                lines += 1;
            }
        }
    }
    assert!(lines >= 4, "{lines}");
}

/// A skirt's plumb cut, level cut and heel lead from its cap to its lower edge: the last corner lies
/// the board's width square under the cap, which none of them was computed from.
#[test]
fn a_skirts_end_comes_down_to_its_lower_edge() {
    let chain = chain_of(DEMO);
    let all = templates(&chain);
    let boards = chain.first().boards();
    let mut ends = 0;
    for skirt in &boards.wall_skirts {
        for end in ["lower", "upper"] {
            let template = named(&all, &format!("{}-{end}-end", skirt.name));
            let last = cuts(template).last().unwrap()[1];
            near(last.y, -skirt.width.as_mm(), 1e-6, end);
            ends += 1;
        }
    }
    assert_eq!(ends, 2);
}

/// On a plumb flight nosings lie a going apart, times the secant of the pitch: 12 1/2 in for 7 1/2
/// in 10 (3-4-5), and rises 7 1/2 in.
#[test]
fn the_pole_of_a_plumb_flight() {
    let poles = poles(&chain_of(&plain()));
    let of = |marks: &[rakewell::shop::pole::PoleMark], what: PoleWhat| -> Vec<f64> {
        let marks = marks.iter().filter(|mark| mark.what == what);
        marks.map(|mark| mark.at.as_inches()).collect()
    };
    let nosings = of(&poles[0].raking, PoleWhat::Nosing);
    let rises = of(&poles[0].plumb, PoleWhat::Rise);
    assert!(nosings.len() > 10 && rises.len() == nosings.len());
    for pair in nosings.windows(2) {
        near(pair[1] - pair[0], 12.5, 1e-6, "nosings");
    }
    for (at, rise) in (1..).zip(&rises) {
        near(*rise, 7.5 * f64::from(at), 1e-6, "rises");
    }
    near(poles[0].raking[0].at.as_mm(), 0.0, 1e-12, "the lower end");
}

/// Every angle of the cut list that a bevel is set to has a gauge within what a bevel holds.
#[test]
fn the_gauges_hold_every_angle_of_the_cut_list() {
    let mut held = 0;
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let gauges: Vec<f64> = templates(&chain)
            .iter()
            .filter(|one| one.kind == TemplateKind::Gauge)
            .map(|one| {
                // As it is drawn: the blade against the stock.
                let blade = cuts(one).next().unwrap()[1];
                blade.y.atan2(blade.x).to_degrees()
            })
            .collect();
        for piece in cut_list(&chain).pieces {
            let cuts = piece.ends.iter().flat_map(|end| &end.cuts);
            let ends = cuts.flat_map(|cut| [cut.mitre, cut.bevel]);
            let rips = piece.rips.iter().map(|(_, tilt)| *tilt);
            for angle in ends.chain(rips) {
                let edge = 90.0 - angle.as_degrees().abs();
                if !(0.3..=89.7).contains(&edge) {
                    continue;
                }
                let near = gauges.iter().any(|gauge| (gauge - edge).abs() < 0.1);
                assert!(near, "{scene}: {:?}: {edge} from an edge", piece.members);
                held += 1;
            }
        }
    }
    assert!(held > 200, "{held}");
}

/// The cuts of a mitred skirt close: from one mitre's foot up its line and along its level cut one comes
/// to the next mitre's foot, whose mark and height the set-out has by themselves.
#[test]
fn the_steps_of_a_mitred_skirt_close() {
    let mut held = 0;
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let all = templates(&chain);
        for skirt in chain.runs.iter().flat_map(|run| run.boards().open_skirts) {
            for pair in skirt.steps.windows(2) {
                let template = named(&all, &format!("{}-step-{}", skirt.name, pair[0].step));
                let end = cuts(template).last().unwrap()[1];
                let along = (pair[1].mark - pair[0].mark).as_mm();
                let up = (pair[1].from - pair[0].from).as_mm();
                // A kick that leans is drawn on the skirt's face, which splays: a hair along it.
                near(end.x.abs(), along, 0.05, scene);
                near(end.y, up, 1e-6, scene);
                held += 1;
            }
        }
    }
    assert!(held > 10, "{held}");
}

/// The pole of a level run tells its rail's height over the floor once where it is the same all along.
#[test]
fn the_pole_of_a_level_run_tells_its_rail_once() {
    let chain = chain::run_true(&chain_of(scene("level-guard"))).unwrap();
    let level = chain.runs.iter().zip(poles(&chain));
    let mut held = 0;
    for (run, pole) in level.filter(|(run, _)| run.run.job.level.is_some()) {
        let tops: Vec<f64> = pole
            .plumb
            .iter()
            .filter(|mark| mark.what == PoleWhat::Rail)
            .map(|mark| mark.at.as_mm())
            .collect();
        assert_eq!(tops.len(), 1, "{tops:?}");
        let wanted = run.run.job.design.rail.height.value.as_mm();
        near(tops[0], wanted, 1e-6, "over the floor");
        held += 1;
    }
    assert!(held > 0);
}

/// Paper on which a gauge has no room beside the check ruler is said, with what would do.
#[test]
fn gauges_do_not_run_over_the_check_ruler() {
    let all = templates(&chain_of(&plain()));
    let on = |width: f64, height: f64| Options {
        paper: PaperSize::of(width, height),
        margin: 5.0,
        tape: Tape::Sixteenths,
    };
    let error = files("a job", &all, &on(165.0, 140.0)).unwrap_err();
    assert!(matches!(error, PaperError::Room { .. }), "{error}");
    assert!(error.to_string().contains("would do"), "{error}");
    // On what does, every gauge lies in the room between head and foot.
    let made = files("a job", &all, &on(216.0, 279.0)).unwrap();
    let gauges = made.iter().find(|one| one.name == "gauges").unwrap();
    for (at, sheet) in gauges.printed.sheets.iter().enumerate() {
        let (least, most) = gauges.templates[at].bounds();
        let (left, top, width, height) = sheet.window;
        let (x, y) = sheet.origin;
        assert!(
            x + least.x >= left && x + most.x <= left + width,
            "{sheet:?}"
        );
        assert!(
            y - most.y >= top && y - least.y <= top + height,
            "{sheet:?}"
        );
    }
}

/// The plain flight with a bottom rail of 2 by 1 between newels of 3 1/2 about -1/2 and 134, balusters
/// of 1 1/4 at even gaps between them.
fn on_a_bottom_rail() -> String {
    with(
        &plain(),
        &[
            (
                "balusters: (\n",
                "bottom_rail: (name: \"R2\", width: \"2\", depth: \"1\", above: \"1/2\"),\n        balusters: (\n",
            ),
            (LOWER, "stands: At(x: \"-1/2\")"),
            (UPPER, "stands: At(x: \"134\")"),
            (SPACING, "spacing: AlongRail()"),
        ],
    )
}

const LOWER: &str = "stands: Displaces(step: 1, balusters: 1)";
const UPPER: &str = "stands: Displaces(step: 13, balusters: 0)";
const SPACING: &str = "spacing: PerTread(count: 2)";

/// By hand, at 3-4-5: between the newels' faces lie 134 - 1 3/4 - (-1/2 + 1 3/4) = 131 level, 163 3/4
/// along the slope; n balusters leave n + 1 gaps of (131 - n 1 1/4) / (n + 1), and each centre lies that
/// and half a baluster on, times the secant of 1 1/4, in the middle of the rail. What stands plumb is the
/// pitch off square to the top.
#[test]
fn the_bores_along_a_bottom_rail() {
    let chain = chain_of(&on_a_bottom_rail());
    let all = templates(&chain);
    let strip = named(&all, "R2-bores");
    let count = strip.bores.len();
    assert!(count > 20, "{count}");
    let gap = (131.0 - count as f64 * 1.25) / (count as f64 + 1.0);
    for (at, bore) in strip.bores.iter().enumerate() {
        let level = gap + 0.625 + at as f64 * (gap + 1.25);
        near(inches(bore.at.x), level * 1.25, 1e-6, "from the lower end");
        near(inches(bore.at.y), 1.0, 1e-6, "in the middle");
        let [(_, along), (_, across)] = bore.off;
        near(along.as_mm(), bore.at.x, 1e-9, "told along");
        near(across.as_mm(), bore.at.y, 1e-9, "told across");
        near(bore.from_square.as_degrees(), 36.8699, 1e-4, "3-4-5");
        let peg = chain.first().setout.balusters[at].peg;
        assert_eq!((bore.depth, bore.diameter), peg);
        // A square of 1 1/4 is 1 1/4 sec p long on the slope.
        let long = bore.outline.iter().map(|at| at.x);
        let (low, high) = long.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        });
        near(inches(high - low), 1.5625, 1e-6, "outline");
    }
    let ends: Vec<f64> = cuts(strip).map(|line| inches(line[0].x)).collect();
    near(ends[0], 0.0, 1e-6, "hooked on the lower end");
    near(ends[1], 163.75, 1e-6, "upper end");
}

/// Balusters in the plough of a shoe are not bored for: their centres are marked.
#[test]
fn a_shoe_has_its_centres_marked() {
    let chain = chain_of(scene("half-wall"));
    let all = templates(&chain);
    let strip = named(&all, "shoe-bores");
    assert_eq!(strip.bores.len(), chain.first().setout.balusters.len());
    for pair in strip.bores.windows(2) {
        assert!(pair[1].at.x > pair[0].at.x);
    }
    let width = chain.first().setout.base.as_ref().unwrap().shoe.width;
    for bore in &strip.bores {
        near(bore.diameter.as_mm(), 0.0, 1e-12, "nothing to bore");
        near(bore.at.y, width.as_mm() / 2.0, 1e-6, "in the plough");
    }
}

fn rounds(printed: &Printed, page: usize) -> Vec<(f64, f64, f64)> {
    let marks = printed.pages[page - 1].marks.iter();
    marks
        .filter_map(|mark| match mark {
            Mark::Round { centre, radius, .. } => Some((centre.x, centre.y, *radius)),
            _ => None,
        })
        .collect()
}

/// On letter and on A4 every bore lies, with its own radius, in a strip where its origin says; strips go
/// on from one another with the overlap, and several share a page.
#[test]
fn strips_hold_every_bore_at_full_size() {
    let chain = chain_of(&on_a_bottom_rail());
    let all = templates(&chain);
    let strip = named(&all, "R2-bores");
    for (width, height) in [(215.9, 279.4), (210.0, 297.0)] {
        let on = Options {
            paper: PaperSize::of(width, height),
            margin: 10.0,
            tape: Tape::Sixteenths,
        };
        let printed = print("a job", strip, &on).unwrap();
        assert!(printed.pages.len() < printed.sheets.len());
        for pair in printed.sheets.windows(2) {
            let right = |one: &rakewell::publish::full_size::SheetOf| {
                one.window.0 + one.window.2 - one.origin.0
            };
            let left = pair[1].window.0 - pair[1].origin.0;
            near(right(&pair[0]) - left, OVERLAP, 1e-9, "overlap");
            assert_eq!(pair[0].beside[1], Some(pair[1].page));
            assert_eq!(pair[1].beside[0], Some(pair[0].page));
        }
        for sheet in &printed.sheets {
            let (left, top, wide, tall) = sheet.window;
            let page = &printed.pages[sheet.page - 1];
            assert!(left >= 10.0 && left + wide <= page.width - 10.0 + 1e-9);
            assert!(top >= 10.0 && top + tall <= page.height - 10.0 + 1e-9);
        }
        for bore in &strip.bores {
            let drawn = printed.sheets.iter().any(|sheet| {
                let (x, y) = (sheet.origin.0 + bore.at.x, sheet.origin.1 - bore.at.y);
                let (left, top, wide, tall) = sheet.window;
                let inside = x > left && x < left + wide && y > top && y < top + tall;
                inside
                    && rounds(&printed, sheet.page).iter().any(|(u, v, radius)| {
                        (u - x).hypot(v - y) < 1e-9
                            && (radius * 2.0 - bore.diameter.as_mm()).abs() < 1e-9
                    })
            });
            assert!(drawn, "{} on {width}", bore.part);
        }
    }
}

fn scene(name: &str) -> &'static str {
    SCENES.iter().find(|(known, _)| *known == name).unwrap().1
}
