//! Turned balusters: their solids, and what passes between them.

use approx::assert_relative_eq;
use rakewell::solids::{Convex, TURNED_SIDES};

use super::{SECTION, inches, run, starter};

/// Block, vase and long taper: (up, diameter) in inches.
const PROFILE: [(f64, f64); 7] = [
    (4.0, 1.25),
    (4.5, 0.75),
    (7.0, 1.125),
    (9.0, 0.625),
    (10.0, 0.875),
    (24.0, 0.75),
    (25.0, 1.25),
];

fn turned(top: &str) -> String {
    let places: Vec<String> = PROFILE
        .iter()
        .map(|(up, diameter)| format!("(up: \"{up} in\", diameter: \"{diameter} in\")"))
        .collect();
    format!(
        "section: Turned(square: \"1 1/4\", top: {top}, profile: [{}])",
        places.join(", ")
    )
}

#[test]
fn volumes_of_stacked_frusta() {
    let chain = run(&starter(&[(SECTION, &turned("Block"))]));
    // A frustum of a cone: pi h (d1^2 + d1 d2 + d2^2) / 12; a regular ring of n sides drawn around
    // its circle has n tan(pi / n) / pi of its area.
    let cones: f64 = PROFILE
        .windows(2)
        .map(|pair| {
            let ((u1, d1), (u2, d2)) = (pair[0], pair[1]);
            std::f64::consts::PI * (u2 - u1) * (d1 * d1 + d1 * d2 + d2 * d2) / 12.0
        })
        .sum();
    let sides = f64::from(TURNED_SIDES);
    let around = sides * (std::f64::consts::PI / sides).tan() / std::f64::consts::PI;
    for one in &chain.first().setout.balusters {
        let part = chain
            .solids
            .parts
            .iter()
            .find(|part| part.name == one.name)
            .unwrap();
        let turned = part
            .pieces
            .iter()
            .filter(|piece| piece.corners().len() == 2 * TURNED_SIDES as usize);
        let volume: f64 = turned.map(Convex::volume).sum::<f64>() / 25.4_f64.powi(3);
        assert_relative_eq!(volume, cones * around, max_relative = 1e-9);
        // Foot and head are blocks: with them the piece reaches from tread to rail.
        let whole: f64 = part.pieces.iter().map(Convex::volume).sum::<f64>() / 25.4_f64.powi(3);
        let blocks = 1.25 * 1.25 * (inches(one.long_point) + inches(one.short_point)) / 2.0
            - 1.25 * 1.25 * (25.0 - 4.0);
        let peg = std::f64::consts::PI / 4.0 * 0.625_f64.powi(2) * 0.75;
        let seat = 1.25 * 1.25 * 0.5;
        assert_relative_eq!(
            whole,
            cones * around + blocks + peg + seat,
            max_relative = 5e-3
        );
    }
    assert!(
        chain.inspection.clashes.is_empty(),
        "{:?}",
        super::troubles(&chain)
    );
}

#[test]
fn the_thinnest_height_governs() {
    // Centres 5 1/8 in apart. Beside the long part, 3/4 in and more, the ball of the gap is that of
    // its thinnest place within reach: 5 1/8 less about 3/4, where blocks would leave 3 7/8.
    let chain = run(&starter(&[(SECTION, &turned("Block"))]));
    let inner = |name: &str| name.starts_with('B');
    let mut looked = 0;
    for opening in &chain.inspection.openings {
        if !opening.between.iter().all(|name| inner(name)) {
            continue;
        }
        let ball = inches(opening.ball);
        assert!(ball > 5.125 - 0.875 && ball < 5.125 - 0.625, "{ball}");
        looked += 1;
    }
    assert!(looked > 20);
    // The gap at the foot is still that of the blocks.
    let between = &chain.first().setout.gaps[3];
    assert_relative_eq!(inches(between.clear), 3.875, epsilon = 1e-9);
}

#[test]
fn a_pin_top_goes_on_to_the_rail() {
    let block = run(&starter(&[(SECTION, &turned("Block"))]));
    let pin = run(&starter(&[(
        SECTION,
        &turned("Pin").replace(
            "(up: \"25 in\", diameter: \"1.25 in\")",
            "(up: \"25 in\", diameter: \"0.625 in\")",
        ),
    )]));
    let topmost = |chain: &rakewell::chain::Chain| {
        let part = chain
            .solids
            .parts
            .iter()
            .find(|part| part.name == "B05")
            .unwrap();
        let high = |piece: &&Convex| piece.bounds().high.z;
        let piece = part
            .pieces
            .iter()
            .max_by(|a, b| high(a).total_cmp(&high(b)))
            .unwrap();
        (piece.bounds().high.x - piece.bounds().low.x) / 25.4
    };
    assert_relative_eq!(topmost(&block), 1.25, epsilon = 1e-9);
    assert_relative_eq!(topmost(&pin), 0.625, epsilon = 1e-9);
}
