//! The subjects: what is done with one input.

use std::sync::OnceLock;

use arbitrary::{Arbitrary, Unstructured};
use rakewell::job::{Document, STARTERS};
use rakewell::measure::{Angle, Length, Tape, Unit, parse_angle, parse_force, parse_length};
use rakewell::publish::page::answered::{self, NotTaken};
use rakewell::rules::Pack;
use rakewell::shop::prices as price_lists;
use rakewell::survey::points::read::{HowToRead, PointUnit, read};
use rakewell::survey::points::{Choices, Frame, MeantFace, Placement, fit};

use crate::{Bounds, Edited, chain, debugged, held};

const COTTAGE: &str = include_str!("../../../demo-scenes/weir-cottage.ron");

/// What is done with the bytes of one input.
pub type Subject = fn(&[u8]);

/// The subject of a name.
#[must_use]
pub fn named(name: &str) -> Option<Subject> {
    let subject: Subject = match name {
        "measures" => |bytes| measures(&String::from_utf8_lossy(bytes)),
        "jobs" => jobs,
        "packs" => |bytes| packs(&String::from_utf8_lossy(bytes)),
        "points" => points,
        "prices" => |bytes| prices(&String::from_utf8_lossy(bytes)),
        "answers" => answers,
        "stairs" => |bytes| {
            if let Ok(edited) = Edited::arbitrary_take_rest(Unstructured::new(bytes)) {
                stairs(&edited);
            }
        },
        _ => return None,
    };
    Some(subject)
}

/// Texts of lengths, angles and forces, and what is printed of them read again.
pub fn measures(text: &str) {
    held(Bounds::mib(1), || {
        for unit in [Unit::Inches, Unit::Millimetres] {
            match parse_length(text, unit) {
                Ok(length) => {
                    assert!(length.as_mm().is_finite(), "{text:?}");
                    for tape in [Tape::Sixteenths, Tape::ThirtySeconds, Tape::Millimetres] {
                        let printed = tape.print_exact(length);
                        let again = parse_length(&printed, unit);
                        // Six decimals of an inch are printed.
                        let same = again.is_ok_and(|again| (again - length).abs().as_mm() < 3e-5);
                        assert!(same, "{text:?} is printed as {printed:?}");
                        assert!(!tape.print_feet(length).is_empty());
                    }
                }
                Err(error) => assert!(!error.to_string().is_empty()),
            }
        }
        match parse_angle(text) {
            Ok(angle) => assert!(angle.as_radians().is_finite(), "{text:?}"),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
        match parse_force(text) {
            Ok(force) => assert!(force.as_newtons().is_finite(), "{text:?}"),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    });
}

/// Job files of any bytes: read, or refused with their faults drawn.
pub fn jobs(bytes: &[u8]) {
    held(Bounds::mib(64), || {
        match Document::parse_bytes(bytes, "job.ron") {
            Ok(document) => {
                debugged("job", document.job());
                // What is saved is what was read.
                let again = Document::parse(document.text(), "job.ron").expect("it was read once");
                assert_eq!(again.text(), document.text());
            }
            Err(faults) => {
                assert!(!faults.diagnostics.is_empty());
                assert!(!faults.to_string().is_empty());
                for fault in &faults.diagnostics {
                    let drawn = faults.text.get(fault.bytes.clone());
                    assert!(faults.text.is_empty() || drawn.is_some());
                }
                assert!(!faults.render(false).is_empty());
            }
        }
    });
}

/// Rule packs of any text.
pub fn packs(text: &str) {
    held(Bounds::mib(16), || match Pack::read("fuzzed", text) {
        Ok(pack) => debugged("pack", &pack),
        Err(error) => assert!(!error.to_string().is_empty()),
    });
}

fn straight() -> &'static Document {
    static JOB: OnceLock<Document> = OnceLock::new();
    JOB.get_or_init(|| Document::parse(STARTERS[0].text, "straight.ron").expect("it is shipped"))
}

/// Point files of any bytes, fitted to a wall where they hold points.
pub fn points(bytes: &[u8]) {
    let wall = &straight().job().walls[0];
    held(Bounds::mib(64), || {
        let unit = match bytes.len() % 2 {
            0 => PointUnit::Millimetres,
            _ => PointUnit::Metres,
        };
        match read(
            bytes,
            &HowToRead {
                columns: None,
                unit,
            },
        ) {
            Ok(points) => {
                for point in &points.points {
                    assert!(point.iter().all(|number| number.is_finite()));
                }
                let face = MeantFace::of(wall).expect("it has an extent");
                for frame in [Frame::Wall, Frame::Flight] {
                    let placement = Placement {
                        frame,
                        origin: [Length::ZERO; 3],
                        turn: Angle::radians(0.0),
                    };
                    match fit(&points.points, &face, &placement, &Choices::default()) {
                        Ok(fitted) => debugged("fitted", &fitted),
                        Err(error) => assert!(!error.to_string().is_empty()),
                    }
                }
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    });
}

/// Price lists of any text.
pub fn prices(text: &str) {
    held(Bounds::mib(64), || {
        for unit in [Unit::Inches, Unit::Millimetres] {
            let read = price_lists::read(text, unit, "USD");
            debugged("prices", &read);
            for one in &read.prices {
                assert!(one.price >= 0.0 && one.price.is_finite());
            }
        }
    });
}

fn cottage() -> &'static Document {
    static JOB: OnceLock<Document> = OnceLock::new();
    JOB.get_or_init(|| Document::parse(COTTAGE, "cottage.ron").expect("it is shipped"))
}

/// What a client's page sent back, of any bytes, put into a job that asks him things and into one that
/// does not.
pub fn answers(bytes: &[u8]) {
    held(Bounds::mib(32), || {
        match answered::read(bytes) {
            Ok(read) => debugged("answers", &read),
            Err(unread) => seen(&unread.to_string()),
        }
        for document in [cottage(), straight()] {
            match answered::take(document, bytes) {
                Ok(taken) => taken_up(document, &taken, bytes),
                Err(NotTaken::Unread(unread)) => seen(&unread.to_string()),
                Err(NotTaken::Job(faults)) => assert!(!faults.render(false).is_empty()),
            }
        }
    });
}

/// The job is one, nothing but its answers is another, and the same twice changes nothing.
fn taken_up(before: &Document, taken: &answered::Taken, bytes: &[u8]) {
    taken
        .did
        .iter()
        .chain(&taken.mind)
        .for_each(|one| seen(one));
    let text = taken.document.text();
    let again = Document::parse(text, "job.ron").expect("it can be saved and read");
    assert_eq!(again.job(), taken.document.job());
    let mut same = again.job().clone();
    same.client.answers.clone_from(&before.job().client.answers);
    assert_eq!(&same, before.job(), "more than its answers has changed");
    let twice = answered::take(&again, bytes).expect("it was taken once");
    assert_eq!(twice.document.text(), text, "the second time is another");
}

/// Words for a person's terminal: some, and nothing in them that moves it.
fn seen(words: &str) {
    let moves = |letter: char| letter.is_control() && letter != '\n';
    assert!(!words.is_empty() && !words.contains(moves), "{words:?}");
}

/// Larger than any scene, and small enough that a second is much.
const MOST_RUNS: usize = 12;

/// The whole chain on a structured random job.
pub fn stairs(edited: &Edited) {
    let text = edited.text();
    let read = held(Bounds::mib(64), || Document::parse(&text, "job.ron"));
    match read {
        Ok(document) if document.each_run().len() <= MOST_RUNS => chain(&document, edited.outputs),
        Ok(_) => {}
        Err(faults) => assert!(!faults.render(false).is_empty()),
    }
}
