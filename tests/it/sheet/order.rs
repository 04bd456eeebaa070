//! Shapes of stairs, drawn at random: everything has a place, and is asked once, in order.

use proptest::prelude::*;
use rakewell::job::{FloorReading, Hand, Job, Len, PlanPoint, StepReading, Wall, WallReading};
use rakewell::measure::{Length, Tape};
use rakewell::publish::pdf::Mark;
use rakewell::publish::sheet::{Ask, Leaf, Options, Paper, ROW, places, sheet};

use super::{asked, demo, keeps_its_places, starter};

fn inches(number: f64) -> Len {
    Len::inches(number)
}

fn wall(name: String, ((x, y), (along, across)): ((f64, f64), (f64, f64)), tall: f64) -> Wall {
    Wall {
        name,
        from: PlanPoint {
            x: inches(x),
            y: inches(y),
        },
        to: PlanPoint {
            x: inches(x + along),
            y: inches(y + across),
        },
        foot: inches(if tall > 150.0 { 0.0 } else { 40.0 }),
        head: inches(tall + 41.0),
        readings: Vec::new(),
    }
}

prop_compose! {
    fn walls()(
        lines in prop::collection::vec(
            ((-300.0..300.0, -300.0..300.0), (1.0..300.0, -300.0..300.0), 1.0..400.0), 0..=32),
        turns in prop::collection::vec(any::<bool>(), 32),
    ) -> Vec<Wall> {
        let each = lines.into_iter().zip(turns).enumerate();
        each.map(|(at, ((from, (along, across), tall), turn))| {
            let way: (f64, f64) = (if turn { -1.0 } else { 1.0 } * along, across);
            wall(format!("W{}", at + 1), (from, way), tall)
        }).collect()
    }
}

prop_compose! {
    fn jobs()(
        count in 1_u32..=60,
        walls in walls(),
        name in "[ -~\u{e4}\u{4e2d}]{0,80}",
        right in any::<bool>(),
        metric in any::<bool>(),
        going in 2.0..40.0,
        rise in 1.0..16.0,
    ) -> Job {
        let mut job = starter();
        job.flight.count = count;
        job.flight.going = inches(going);
        job.flight.rise = inches(rise);
        job.flight.open_side = if right { Hand::Right } else { Hand::Left };
        job.tape = if metric { Tape::Millimetres } else { Tape::Sixteenths };
        job.walls = walls;
        job.name = name;
        job
    }
}

/// What a sheet must ask, in the order of one who walks the stair.
fn walk(job: &Job) -> Vec<Ask> {
    let mut walk = vec![
        Ask::Instruments,
        Ask::Lines,
        Ask::Whole,
        Ask::Floor("Lower floor".to_owned()),
    ];
    walk.extend((0..=job.flight.count).map(Ask::Step));
    walk.extend([Ask::Boards, Ask::Floor("Upper floor".to_owned())]);
    for (number, wall) in job.walls.iter().enumerate() {
        let letters = ('A'..='Z').take(places(job, wall).len());
        walk.extend(letters.map(|letter| Ask::Place(number, letter.to_string())));
        walk.push(Ask::WallMore(number));
    }
    walk.push(Ask::Notes);
    walk
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn every_shape_is_asked_once_in_order_and_within_its_place(
        job in jobs(), a4 in any::<bool>(), filled in any::<bool>(),
    ) {
        let paper = if a4 { Paper::A4 } else { Paper::Letter };
        let sheet = sheet(&job, Options { paper, filled });
        keeps_its_places(&sheet);
        prop_assert_eq!(asked(&sheet), walk(&job));
    }
}

#[test]
fn the_shortest_and_the_longest_flight_have_room() {
    for count in [1, 2, 3, 13, 14, 15, 16, 24, 25, 60] {
        for paper in [Paper::Letter, Paper::A4] {
            let mut job = starter();
            job.flight.count = count;
            let sheet = sheet(
                &job,
                Options {
                    paper,
                    filled: false,
                },
            );
            keeps_its_places(&sheet);
            assert_eq!(asked(&sheet), walk(&job), "{count} kicks");
        }
    }
}

#[test]
fn the_demo_keeps_its_places_blank_and_filled() {
    for filled in [false, true] {
        let options = Options {
            paper: Paper::Letter,
            filled,
        };
        keeps_its_places(&sheet(&demo(), options));
    }
}

/// The texts on a sheet.
fn texts(job: &Job, filled: bool) -> Vec<String> {
    let options = Options {
        paper: Paper::Letter,
        filled,
    };
    let sheet = sheet(job, options);
    let marks = sheet.leaves.iter().flat_map(Leaf::marks);
    marks
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn readings_are_printed_only_where_that_is_asked() {
    let has = |filled: bool, text: &str| texts(&demo(), filled).iter().any(|one| one == text);
    // A rise, an edge and a plumb gap of the demo, as typed there.
    for text in ["7 7/16", "2 9/16", "9/16"] {
        assert!(has(true, text), "{text} is not printed");
        assert!(!has(false, text), "{text} is printed on a blank sheet");
    }
}

/// Typing the sheet in is copying: it uses the words of the job file.
#[test]
fn every_kind_of_reading_is_called_what_the_job_calls_it() {
    let mut job = demo();
    job.floors = vec![rakewell::job::Floor {
        name: "P1".to_owned(),
        is: rakewell::job::FloorKind::Landing {
            from: job.walls[0].from.clone(),
            to: job.walls[0].to.clone(),
            height: inches(50.0),
        },
        readings: Vec::new(),
    }];
    let says = texts(&job, false).join(" ");
    let words: Vec<&str> = says.split(|c: char| !c.is_alphanumeric()).collect();
    let kinds = [StepReading::KINDS, WallReading::KINDS, FloorReading::KINDS].concat();
    assert!(kinds.len() > 20);
    for kind in kinds {
        assert!(words.contains(&kind), "{kind} is nowhere on the sheet");
    }
}

#[test]
fn thousands_of_readings_of_a_wall_do_not_fill_the_house_with_paper() {
    let mut job = demo();
    let first = job.walls[0].readings[0].clone();
    for _ in 0..2000 {
        let mut reading = first.clone();
        if let WallReading::Offset { along, up, .. } = &mut reading {
            let at = job.walls[0].readings.len() as f64;
            *along = Len::millimetres(at);
            *up = Len::millimetres(2.0 * at);
        }
        job.walls[0].readings.push(reading);
    }
    let options = Options {
        paper: Paper::A4,
        filled: true,
    };
    let sheet = sheet(&job, options);
    keeps_its_places(&sheet);
    assert!(sheet.leaves.len() < 20, "{} pages", sheet.leaves.len());
    let says = texts(&job, true);
    assert!(says.iter().any(|text| text.ends_with("more in the job")));
}

#[test]
fn rows_are_tall_enough_to_write_in() {
    assert!(Length::mm(ROW) >= Length::mm(8.0));
}
