//! What stands on the paper: within its room, nothing over one another, black and white.

use rakewell::publish::drawing::svg_file;
use rakewell::publish::measured::{View, draw, views};
use rakewell::publish::pdf::{About, Mark, Page, Shade, Spot, write};

use super::{ALL, ROOMS, each};

/// Boxes of the text marks.
fn texts(marks: &[Mark]) -> Vec<(&str, (Spot, Spot))> {
    marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } | Mark::Rising { text, .. } => {
                Some((text.as_str(), mark.bounds()))
            }
            _ => None,
        })
        .collect()
}

/// Text may come this near, mm: descenders over capitals.
const TOUCH: f64 = 0.15;

#[test]
fn no_text_stands_over_another_and_all_keep_to_their_paper() {
    each(|what, _, room, drawn| {
        let (width, height) = (drawn.drawing.width, drawn.drawing.height);
        assert!(width <= room.0 && height <= room.1, "{what}");
        let texts = texts(&drawn.drawing.canvas.marks);
        assert!(!texts.is_empty(), "{what}: no text");
        for (place, (text, (low, high))) in texts.iter().enumerate() {
            assert!(
                low.x >= 0.0 && low.y >= 0.0 && high.x <= width && high.y <= height,
                "{what}: {text} leaves the paper"
            );
            for (other, (from, to)) in &texts[..place] {
                let over = (high.x.min(to.x) - low.x.max(from.x))
                    .min(high.y.min(to.y) - low.y.max(from.y));
                assert!(over < TOUCH, "{what}: {text} over {other} by {over:.2} mm");
            }
        }
    });
}

/// Straight lines of a mark that is drawn with a pen.
fn strokes(mark: &Mark) -> Vec<(Spot, Spot)> {
    match mark {
        Mark::Line {
            spots,
            closed,
            pen: Some(_),
            ..
        } => {
            let back = spots.first().filter(|_| *closed);
            let ends = spots.iter().chain(back).copied();
            ends.clone().zip(ends.skip(1)).collect()
        }
        _ => Vec::new(),
    }
}

/// True where a segment runs through a box (Liang and Barsky, 1984).
fn through((a, b): (Spot, Spot), (low, high): (Spot, Spot)) -> bool {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let sides = [
        (-dx, a.x - low.x),
        (dx, high.x - a.x),
        (-dy, a.y - low.y),
        (dy, high.y - a.y),
    ];
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (way, room) in sides {
        if way.abs() < 1e-12 {
            if room < 0.0 {
                return false;
            }
        } else if way < 0.0 {
            first = first.max(room / way);
        } else {
            last = last.min(room / way);
        }
    }
    first < last
}

/// A white ground, and what it covers.
fn ground(mark: &Mark) -> Option<(Spot, Spot)> {
    match mark {
        Mark::Line {
            fill: Some(Shade::PAPER),
            closed: true,
            ..
        } => Some(mark.bounds()),
        _ => None,
    }
}

#[test]
fn no_line_runs_through_text() {
    let shrunk = |(low, high): (Spot, Spot)| (low.moved(TOUCH, TOUCH), high.moved(-TOUCH, -TOUCH));
    each(|what, _, _, drawn| {
        let marks = &drawn.drawing.canvas.marks;
        let lines: Vec<(usize, Spot, Spot)> = marks
            .iter()
            .enumerate()
            .flat_map(|(at, mark)| strokes(mark).into_iter().map(move |(a, b)| (at, a, b)))
            .collect();
        let grounds: Vec<(usize, (Spot, Spot))> = marks
            .iter()
            .enumerate()
            .filter_map(|(at, mark)| Some((at, ground(mark)?)))
            .collect();
        for (at, mark) in marks.iter().enumerate() {
            let (Mark::Text { text, .. } | Mark::Rising { text, .. }) = mark else {
                continue;
            };
            let (low, high) = shrunk(mark.bounds());
            // The last white ground before it that holds all of it.
            let under = grounds.iter().rfind(|(ground, (from, to))| {
                *ground < at
                    && from.x <= low.x
                    && from.y <= low.y
                    && to.x >= high.x
                    && to.y >= high.y
            });
            let from = under.map_or(0, |(ground, _)| *ground);
            for (line, a, b) in &lines {
                let crosses = *line > from && through((*a, *b), (low, high));
                assert!(
                    !crosses,
                    "{what}: a line from {a:?} to {b:?} runs through {text}"
                );
            }
        }
    });
}

#[test]
fn all_is_grey_and_large_enough_to_read() {
    each(|what, _, _, drawn| {
        let grey = |Shade(red, green, blue): Shade| {
            let (low, high) = (red.min(green).min(blue), red.max(green).max(blue));
            assert!(high - low <= 10, "{what}: a colour");
        };
        for mark in &drawn.drawing.canvas.marks {
            match mark {
                Mark::Text { style, text, .. } | Mark::Rising { style, text, .. } => {
                    grey(style.shade);
                    assert!(style.size >= 8.0, "{what}: {text} is set small");
                }
                Mark::Line { pen, fill, .. } | Mark::Round { pen, fill, .. } => {
                    pen.iter().for_each(|pen| grey(pen.shade));
                    fill.iter().copied().for_each(grey);
                }
                Mark::Picture { .. } => panic!("{what}: a picture"),
            }
        }
    });
}

#[test]
fn every_view_has_its_own_name_that_is_safe_for_a_file() {
    for (scene, chain, _) in ALL.iter() {
        let mut names: Vec<String> = views(chain).iter().map(View::name).collect();
        for name in &names {
            let safe = name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
            assert!(safe, "{scene}: {name}");
        }
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count, "{scene}");
    }
}

#[test]
fn the_scale_bar_is_as_long_as_it_says() {
    // Four parts, the outermost of which end the bar: one of those lengths over the scale.
    let known = [
        12192.0, 6096.0, 3048.0, 1219.2, 609.6, 304.8, 101.6, 50.8, 20000.0, 10000.0, 4000.0,
        2000.0, 1000.0, 400.0, 200.0, 100.0, 40.0,
    ];
    each(|what, _, _, drawn| {
        if drawn.scale.is_empty() {
            return;
        }
        let marks = &drawn.drawing.canvas.marks;
        let words = marks.iter().position(
            |mark| matches!(mark, Mark::Text { text, .. } if text.ends_with(drawn.scale)),
        );
        let words = words.unwrap_or_else(|| panic!("{what}: no scale in words"));
        let (first, last) = (marks[words - 4].bounds(), marks[words - 1].bounds());
        let long = (last.1.x - first.0.x) * drawn.by;
        let near = known.iter().any(|one| (one - long).abs() < 1e-6);
        assert!(near, "{what}: a bar of {long} mm");
    });
}

#[test]
fn too_small_a_room_draws_nothing_and_the_same_chain_the_same() {
    let (_, chain, tape) = &ALL[0];
    for view in views(chain) {
        assert_eq!(draw(chain, &view, (20.0, 15.0), *tape), None);
        let twice = [(); 2].map(|()| draw(chain, &view, ROOMS[0], *tape));
        assert_eq!(twice[0], twice[1]);
    }
    let nowhere = View::Newel {
        newel: "nobody".to_owned(),
    };
    assert_eq!(draw(chain, &nowhere, ROOMS[1], *tape), None);
    assert_eq!(
        draw(chain, &View::Elevation { run: 99 }, ROOMS[1], *tape),
        None
    );
}

#[test]
fn drawings_go_into_pdf_and_svg() {
    let (_, chain, tape) = &ALL[0];
    for view in views(chain) {
        let drawn = draw(chain, &view, ROOMS[1], *tape).unwrap();
        let page = Page {
            width: drawn.drawing.width,
            height: drawn.drawing.height,
            marks: drawn.drawing.canvas.marks.clone(),
        };
        let pdf = write(&About::default(), &[page]).unwrap();
        assert!(pdf.starts_with(b"%PDF"));
        let svg = svg_file(&drawn.drawing);
        let width = format!("{:.2}", drawn.drawing.width);
        let width = width.trim_end_matches('0').trim_end_matches('.');
        assert!(
            svg.contains(&format!("width=\"{width}mm\"")),
            "{}",
            view.name()
        );
        assert!(svg.contains(&drawn.title));
    }
}
