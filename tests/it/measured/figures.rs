//! What the dimensions say.

use std::collections::BTreeMap;

use rakewell::measure::{Length, Tape};
use rakewell::publish::measured::{Dim, DimKind, Measured, View, draw};

use super::{ROOMS, each, each_view, meant};
use crate::shop::mirror::crooked;
use crate::shop::{STRAIGHT, chain_of};

fn apart(dim: &Dim) -> f64 {
    let [a, b] = dim.paper;
    (b.x - a.x).hypot(b.y - a.y)
}

#[test]
fn a_dimension_is_its_length_on_the_paper_times_the_scale() {
    each(|what, chain, _, drawn| {
        let tape = chain.first().run.job.tape;
        for dim in &drawn.dims {
            let exact = dim.exact.as_mm();
            let (row, paper) = (&dim.row, apart(dim) * drawn.by);
            assert!(
                (paper - exact).abs() < 1e-6,
                "{what}: {row}: {paper} {exact}"
            );
            let model = (dim.places[1] - dim.places[0]).dot(&dim.way);
            assert!(
                (model - exact).abs() < 1e-6,
                "{what}: {row}: {model} {exact}"
            );
            let said = dim.text.is_empty() || dim.text == tape.print(dim.exact);
            assert!(said, "{what}: {row}: {} for {exact}", dim.text);
        }
    });
}

/// A figure as somebody reads it off the paper, and a mark of its tape, mm: whole and fraction of inches,
/// or millimetres; strong and scant a quarter to a half of a mark off, so three eighths.
fn read_off(text: &str, tape: Tape) -> (f64, f64) {
    let (body, hair) = match text.strip_suffix('+') {
        Some(body) => (body, 1.0),
        None => text
            .strip_suffix('-')
            .map_or((text, 0.0), |body| (body, -1.0)),
    };
    let (value, mark) = if let Some(number) = body.strip_suffix(" mm") {
        (number.parse::<f64>().unwrap(), 1.0)
    } else {
        let inches = body.strip_suffix('"').unwrap_or_else(|| panic!("{text}"));
        let parts = inches.split(' ').map(|part| match part.split_once('/') {
            Some((over, under)) => over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap(),
            None => part.parse::<f64>().unwrap(),
        });
        let mark = match tape {
            Tape::ThirtySeconds => 25.4 / 32.0,
            _ => 25.4 / 16.0,
        };
        (parts.sum::<f64>() * 25.4, mark)
    };
    (value + hair * 0.375 * mark, mark)
}

#[test]
fn printed_chains_sum_to_their_printed_overall() {
    // Figures as printed are each no more than a quarter of a mark off, so n of them and their overall
    // agree within n + 1 quarters (interval arithmetic); a row of which one is not told is left out.
    let mut held = 0;
    each(|what, chain, _, drawn| {
        let tape = chain.first().run.job.tape;
        let mut rows: BTreeMap<&str, Vec<&Dim>> = BTreeMap::new();
        for dim in drawn.dims.iter().filter(|dim| dim.kind == DimKind::Chain) {
            rows.entry(&dim.row).or_default().push(dim);
        }
        for dim in drawn.dims.iter().filter(|dim| dim.kind == DimKind::Overall) {
            assert!(!dim.text.is_empty(), "{what}: {} is not told", dim.row);
            let Some(links) = rows.get(dim.row.as_str()) else {
                continue;
            };
            if links.iter().any(|link| link.text.is_empty()) {
                continue;
            }
            let (overall, mark) = read_off(&dim.text, tape);
            let sum: f64 = links.iter().map(|link| read_off(&link.text, tape).0).sum();
            let most = (links.len() + 1) as f64 * mark / 4.0 + 1e-6;
            assert!(
                (sum - overall).abs() <= most,
                "{what}: {}: {sum} for {overall}, {most} allowed",
                dim.row
            );
            held += 1;
        }
    });
    assert!(held > 100, "{held}");
}

#[test]
fn chains_are_the_set_outs_own_distances() {
    // What is printed of rises, goings and level runs against the steps as found, one by one.
    let mut held = 0;
    each_view(|what, chain, view, drawn| {
        let (View::Plan { run: Some(run) } | View::Elevation { run }) = view else {
            return;
        };
        let site = &chain.runs[*run].site;
        let tape = chain.first().run.job.tape;
        let kicks: Vec<f64> = site.steps.iter().map(|step| step.kick_x).collect();
        let floor = site.steps.first();
        let floor = floor.map(|first| site.lower_floor(first.nosing_x(), 0.0));
        let tops = site.steps.iter().map(|step| step.nosing_top(0.0));
        let heights: Vec<f64> = floor.into_iter().chain(tops).collect();
        for (row, places) in [("goings", kicks), ("rises", heights)] {
            let apart = |dims: &[&Dim], wanted: &[f64]| {
                assert_eq!(dims.len(), wanted.len(), "{what}: {row}");
                for (dim, wanted) in dims.iter().zip(wanted) {
                    let exact = dim.exact.as_mm();
                    assert!(
                        (exact - wanted).abs() < 1e-6,
                        "{what}: {row}: {exact} {wanted}"
                    );
                    if !dim.text.is_empty() {
                        let (told, mark) = read_off(&dim.text, tape);
                        let off = (told - wanted).abs();
                        assert!(off <= mark / 4.0 + 1e-6, "{what}: {row}: {told} {wanted}");
                        held += 1;
                    }
                }
            };
            let here = |kind: DimKind| -> Vec<&Dim> {
                let dims = drawn.dims.iter();
                dims.filter(|dim| dim.row == row && dim.kind == kind)
                    .collect()
            };
            let (links, overall) = (here(DimKind::Chain), here(DimKind::Overall));
            if links.is_empty() {
                continue;
            }
            let mut wanted: Vec<f64> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
            let mut apart = apart;
            apart(&links, &wanted);
            wanted = vec![places[places.len() - 1] - places[0]];
            apart(&overall, &wanted);
        }
    });
    assert!(held > 300, "{held}");
}

#[test]
fn running_dimensions_start_at_one_zero() {
    each(|what, _, _, drawn| {
        let mut zeros: BTreeMap<&str, &Dim> = BTreeMap::new();
        for dim in drawn.dims.iter().filter(|dim| dim.kind == DimKind::Running) {
            let first = zeros.entry(&dim.row).or_insert(dim);
            assert_eq!(first.paper[0], dim.paper[0], "{what}: {}", dim.row);
            assert_eq!(first.places[0], dim.places[0], "{what}: {}", dim.row);
        }
    });
}

fn of<'a>(drawn: &'a Measured, row: &str, kind: DimKind) -> Vec<&'a Dim> {
    let found: Vec<&Dim> = drawn
        .dims
        .iter()
        .filter(|dim| dim.row == row && dim.kind == kind)
        .collect();
    assert!(!found.is_empty(), "no row {row}");
    found
}

#[test]
fn a_true_stair_says_what_the_job_asks() {
    // The starter scene: 7 1/2 in by 10 1/4 in, the rail as high as the design has it.
    let chain = meant(STRAIGHT);
    let job = &chain.first().run.job;
    let near = |length: Length, asked: Length| (length - asked).abs() < Length::mm(1e-6);
    let plan = draw(&chain, &View::Plan { run: Some(0) }, ROOMS[1], job.tape).unwrap();
    let goings = of(&plan, "goings", DimKind::Chain);
    assert_eq!(goings.len() as u32, job.flight.count - 1);
    for dim in goings {
        assert!(near(dim.exact, job.flight.going.value), "{dim:?}");
    }
    let elevation = draw(&chain, &View::Elevation { run: 0 }, ROOMS[1], job.tape).unwrap();
    for dim in of(&elevation, "rises", DimKind::Chain) {
        assert!(near(dim.exact, job.flight.rise.value), "{dim:?}");
    }
    let rails: Vec<&Dim> = elevation
        .dims
        .iter()
        .filter(|dim| dim.row.starts_with("rail over"))
        .collect();
    assert!(!rails.is_empty());
    let top = chain.first().setout.rail.pitch;
    assert!((top.slope() - job.flight.rise.value / job.flight.going.value).abs() < 1e-9);
    for dim in rails {
        assert!(near(dim.exact, job.design.rail.height.value), "{dim:?}");
    }
}

#[test]
fn a_mirrored_stair_has_the_same_dimensions_the_other_way_about() {
    let [left, right] = ["Left", "Right"].map(|open| chain_of(&crooked(open)));
    let views = [
        View::Plan { run: Some(0) },
        View::Elevation { run: 0 },
        View::Newel {
            newel: "N1".to_owned(),
        },
        View::Notch {
            newel: "N1".to_owned(),
            run: 0,
        },
    ];
    for view in views {
        let drawn =
            [&left, &right].map(|chain| draw(chain, &view, ROOMS[1], Tape::Sixteenths).unwrap());
        let lengths = |drawn: &Measured| {
            let mut all: Vec<(String, f64)> = drawn
                .dims
                .iter()
                .map(|dim| (dim.row.clone(), dim.exact.as_mm()))
                .collect();
            all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            all
        };
        let (one, other) = (lengths(&drawn[0]), lengths(&drawn[1]));
        assert_eq!(one.len(), other.len(), "{}", view.name());
        for ((row, a), (same, b)) in one.iter().zip(&other) {
            assert_eq!(row, same);
            // The wall's surface is sampled from its other end.
            assert!((a - b).abs() < 0.05, "{}: {row}: {a} {b}", view.name());
        }
        // What stands on the left of one stands on the right of the other.
        let runs = |drawn: &Measured| {
            let dims = drawn.dims.iter();
            let mut of =
                dims.filter(|dim| dim.row == "kick faces" || dim.row == "baluster centres");
            of.next().map(|dim| dim.paper[1].x > dim.paper[0].x)
        };
        if let Some(way) = runs(&drawn[0]) {
            assert_eq!(runs(&drawn[1]), Some(!way), "{}", view.name());
        }
    }
}
