//! Point files of any bytes, fitted to a wall where they hold points.

#![no_main]

use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use rakewell::job::{Document, STARTERS};
use rakewell::measure::{Angle, Length};
use rakewell::survey::points::read::{HowToRead, PointUnit, read};
use rakewell::survey::points::{Choices, Frame, MeantFace, Placement, fit};
use rakewell_fuzz::{Bounds, debugged, held};

fn job() -> &'static Document {
    static JOB: OnceLock<Document> = OnceLock::new();
    JOB.get_or_init(|| Document::parse(STARTERS[0].text, "straight.ron").expect("it is shipped"))
}

fuzz_target!(|bytes: &[u8]| {
    let wall = &job().job().walls[0];
    held(Bounds::mib(64), || {
        let unit = if bytes.len() % 2 == 0 {
            PointUnit::Millimetres
        } else {
            PointUnit::Metres
        };
        let how = HowToRead {
            columns: None,
            unit,
        };
        match read(bytes, &how) {
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
});
