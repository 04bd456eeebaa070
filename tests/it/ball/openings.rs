//! The openings of whole stairs: how well their balls are known, where these are shown, and which
//! openings are looked at.

use nalgebra::{Point3, Vector3};
use parry3d::math::Vector;
use parry3d::query::PointQuery;
use parry3d::shape::ConvexPolyhedron;
use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Opening, Verdict};
use rakewell::job::Document;
use rakewell::measure::Length;
use rakewell::solids::{Bounds, Convex};

use super::again::scenes;

const IN: f64 = 25.4;
const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");
const HALF: &str = include_str!("../../../scenes/half-turn.ron");
const STRING: &str = include_str!("../../../scenes/closed-string.ron");
const PANELS: &str = include_str!("../../../scenes/panels.ron");
/// How far both bounds may stand apart, and where a limit lies between them (design, section 7).
const APART: f64 = 0.1;
const AT_LIMIT: f64 = 1e-4;
const ROUNDING: f64 = 1e-7;

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "scene.ron").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap()
}

fn with(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "{old} is not in the scene");
    text.replacen(old, new, 1)
}

#[track_caller]
fn assert_known(opening: &Opening, scene: &str) {
    let [lower, upper, limit] =
        [opening.ball, opening.ball_upper, opening.limit].map(Length::as_mm);
    let between = lower < limit && limit <= upper;
    let asked = if between { AT_LIMIT } else { APART };
    assert!(
        lower <= upper && upper - lower <= asked + ROUNDING,
        "{scene}: {:?} lies in {lower}..{upper}, limit {limit}",
        opening.between
    );
}

fn find<'a>(chain: &'a Chain, between: [&str; 2]) -> Option<(&'a Opening, &'a Finding)> {
    let mut openings = chain.inspection.openings.iter();
    let opening = openings.find(|opening| opening.between == between)?;
    let mut findings = chain.inspection.findings.iter();
    let finding = findings.find(|finding| finding.key.parts == between)?;
    Some((opening, finding))
}

#[track_caller]
fn assert_ball(chain: &Chain, between: [&str; 2], expected: f64) {
    let (opening, _) = find(chain, between).unwrap_or_else(|| panic!("no {between:?}"));
    let (lower, upper) = (opening.ball.as_mm(), opening.ball_upper.as_mm());
    assert!(
        lower - 1e-3 <= expected && expected <= upper + 1e-3,
        "{between:?}: {expected} not in {lower}..{upper}"
    );
}

/// parry3d's distance from a point to the nearest of some pieces.
fn clearance(pieces: &[&Convex], at: &Point3<f64>) -> f64 {
    let distance = |piece: &&Convex| {
        let middle = piece.bounds().centre();
        let place = |point: &Point3<f64>| {
            let arm = point - middle;
            Vector::new(arm.x, arm.y, arm.z)
        };
        let corners: Vec<_> = piece.corners().iter().map(place).collect();
        let hull = ConvexPolyhedron::from_convex_hull(&corners)?;
        Some(hull.distance_to_local_point(place(at), true))
    };
    let distances = pieces.iter().filter_map(distance);
    distances.fold(f64::INFINITY, f64::min)
}

// Every opening of every scene: the bounds, and the ball drawn where it is said to pass. It touches
// what stands there and enters none of it.
#[test]
fn each_ball_is_known_and_touches_what_it_passes_between() {
    let mut seen = 0;
    for (name, chain) in scenes() {
        let parts = chain.solids.parts.iter();
        let pieces: Vec<(&Convex, Bounds)> = parts
            .flat_map(|part| &part.pieces)
            .map(|piece| (piece, piece.bounds()))
            .collect();
        for opening in &chain.inspection.openings {
            assert_known(opening, &name);
            let radius = opening.ball.as_mm() / 2.0;
            let reach = Vector3::repeat(radius + 1.0);
            let round = Bounds {
                low: opening.at - reach,
                high: opening.at + reach,
            };
            let near: Vec<&Convex> = pieces
                .iter()
                .filter(|(_, bounds)| bounds.meets(&round, 0.0))
                .map(|(piece, _)| *piece)
                .collect();
            let clear = clearance(&near, &opening.at);
            assert!(
                (clear - radius).abs() <= APART / 2.0 + 1e-3,
                "{name}: {:?}: {clear} clear round a ball of radius {radius} at {:?}",
                opening.between,
                opening.at
            );
            seen += 1;
        }
    }
    assert!(seen > 400, "{seen} openings are too few");
}

/// A stream of numbers from 0 to 1, the same for the same seed (Marsaglia's xorshift, 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn of<'a>(&mut self, choices: &[&'a str]) -> &'a str {
        choices[(self.next() * choices.len() as f64) as usize]
    }
}

/// A short flight that is out of true in every way: readings on each step, a newel that leans and
/// stands twisted, balusters of any section, plumb or leaning, and now and then a wall at its head.
fn flight(seed: u64) -> String {
    let mut chance = Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let count = 4 + (chance.next() * 3.0) as u32;
    let (rise, going) = (chance.within(6.5, 8.0), chance.within(9.0, 11.5));
    let mut readings = String::new();
    for step in 1..=count {
        let is = rise + chance.within(-0.2, 0.2);
        readings += &format!("Rise(step: {step}, is: \"{is:.3}\"),");
        if step < count {
            let is = going + chance.within(-0.4, 0.4);
            readings += &format!("Going(step: {step}, is: \"{is:.3}\"),");
            let is = 2.25 + chance.within(-0.3, 0.3);
            readings += &format!("Edge(step: {step}, is: \"{is:.3}\"),");
            let (is, high) = (chance.within(0.0, 0.5), chance.of(&["Wall", "Open"]));
            readings += &format!("Level(step: {step}, is: \"{is:.3}\", high: {high}),");
        }
    }
    let twist = chance.within(-8.0, 8.0);
    let (up, out) = (chance.within(-1.0, 1.0), chance.within(-1.0, 1.0));
    let section = chance.of(&[
        "Square(\"1 1/4\")",
        "Round(\"1 1/4\")",
        "Rectangle(along: \"3/4\", across: \"1 1/2\")",
        "Turned(square: \"1 1/4\", profile: [(up: \"8\", diameter: \"1 1/4\"), \
         (up: \"12\", diameter: \"5/8\"), (up: \"20\", diameter: \"1\")])",
    ]);
    let align = chance.of(&["Plumb", "EvenReveal", "Share(0.5)"]);
    let per_tread = 2 + (chance.next() * 2.0) as u32;
    let last = count - 1;
    let text = with(STRAIGHT, "count: 14,", &format!("count: {count},"));
    let text = with(&text, "rise: \"7 1/2\"", &format!("rise: \"{rise:.3}\""));
    let text = with(
        &text,
        "going: \"10 1/4\"",
        &format!("going: \"{going:.3}\""),
    );
    let text = with(&text, "readings: [", &format!("readings: [{readings}"));
    let text = with(
        &text,
        "step: 13, balusters: 0",
        &format!("step: {last}, balusters: 0"),
    );
    let lean = format!(
        "twist: \"{twist:.2}\", lean: (up_flight: \"{up:.3}\", outward: \"{out:.3}\", over: \"40\"), height: \"50\""
    );
    let text = with(&text, "height: \"50\"", &lean);
    let text = with(
        &text,
        "section: Square(\"1 1/4\")",
        &format!("section: {section}"),
    );
    let text = with(&text, "align: Plumb", &format!("align: {align}"));
    let text = with(
        &text,
        "PerTread(count: 2)",
        &format!("PerTread(count: {per_tread})"),
    );
    if chance.next() < 0.5 {
        text
    } else {
        let x = going * f64::from(last) + chance.within(4.0, 8.0);
        up_to_a_wall(&text, x, &mut chance)
    }
}

/// The flight with a wall across its head in place of the newel there.
fn up_to_a_wall(text: &str, x: f64, chance: &mut Chance) -> String {
    // It leans and stands splayed.
    let splay = x + chance.within(-3.0, 3.0);
    let [foot, head] = [(); 2].map(|()| chance.within(-1.0, 1.0));
    let wall = format!(
        "walls: [(name: \"W9\", from: (x: \"{x:.3}\", y: \"-40\"), to: (x: \"{splay:.3}\", y: \"40\"), \
         head: \"140\", readings: [Offset(along: \"40\", up: \"30\", is: \"{foot:.3}\"), \
         Offset(along: \"40\", up: \"100\", is: \"{head:.3}\")]),"
    );
    let text = with(text, "walls: [", &wall);
    // The newel at the head goes.
    let from = text
        .find("            (\n                name: \"N2\"")
        .unwrap();
    let to = from + text[from..].find("            ),\n").unwrap();
    let text = format!(
        "{}{}",
        &text[..from],
        &text[to + "            ),\n".len()..]
    );
    with(
        &text,
        "upper: Newel(\"N2\")",
        "upper: Wall(wall: \"W9\", rosette: \"4 1/2\", blocking: (along: \"40\", up: \"70\", \
         width: \"5 1/2\", height: \"5 1/2\"))",
    )
}

#[test]
fn three_hundred_crooked_flights_have_their_balls_known() {
    let (mut flights, mut openings) = (0, 0);
    for seed in 1.. {
        assert!(
            seed < 400,
            "only {flights} of {seed} flights could be set out"
        );
        let text = flight(seed);
        let name = format!("flight {seed}");
        let document =
            Document::parse(&text, &name).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
        // A wall may come too near, or a rail find no way over steps so uneven.
        let Ok(chain) = chain::run(document.job()) else {
            continue;
        };
        for opening in &chain.inspection.openings {
            openings += 1;
            assert_known(opening, &name);
        }
        flights += 1;
        if flights == 300 {
            break;
        }
    }
    // A flight that falls too little to ask for a guard has none that are looked at.
    assert!(openings > 1000, "{openings} openings are too few");
}

/// The half turn with the rail across its well left out: each flight has a newel of its own.
fn open_well(well: &str) -> String {
    let from = HALF.find("        (\n            name: \"L1\"").unwrap();
    let to = HALF.find("        (\n            name: \"2\"").unwrap();
    let text = format!("{}{}", &HALF[..from], &HALF[to..]);
    let text = with(
        &text,
        "starts: (after: \"L1\", past: \"0\", left: \"1/2\", turn: \"90\")",
        &format!("starts: (past: \"1 1/4\", left: \"{well}\", turn: \"180\")"),
    );
    let start =
        "                newels: [\n                    (\n                        name: \"N4\"";
    let own = "                newels: [\n                    (\n                        name: \"N3\",\n                        section: Square(\"3 1/2\"),\n                        stands: At(x: \"-1/2\"),\n                        height: \"60\",\n                    ),\n                    (\n                        name: \"N4\"";
    with(&text, start, own)
}

// Two newels of 3 1/2 in whose baluster lines stand so far apart leave as much less 3 1/2 in between
// their faces, over an edge 60 in high. IRC 2024 R321.1.3 lets no ball of 4 in pass there.
#[test]
fn the_opening_between_two_flights_is_looked_at() {
    for (well, expected, verdict) in [("8 1/2", 5.0, Verdict::Broken), ("7", 3.5, Verdict::Met)] {
        let chain = run(&open_well(well));
        assert_ball(&chain, ["N2", "N3"], expected * IN);
        let (_, finding) = find(&chain, ["N2", "N3"]).unwrap();
        assert_eq!(
            (finding.verdict, finding.run),
            (verdict, 1),
            "{}",
            finding.says
        );
        let runs = chain::again(&chain);
        let laid = chain::lay(&runs, &chain.estimates(), &chain.choices(), &chain.pack).unwrap();
        let again = laid.finding(&runs, &chain.pack, &finding.key).unwrap();
        assert_eq!((again.lower, again.upper), (finding.lower, finding.upper));
    }
    // Wide enough to walk through it is no opening beside a guard.
    assert!(find(&run(&open_well("30")), ["N2", "N3"]).is_none());
}

// A wall 3 in past the face of the newel at the head, beside the drop of the stair's open side.
#[test]
fn the_opening_between_a_newel_and_a_wall_is_looked_at() {
    let plain = run(STRAIGHT);
    let newel = plain.first().setout.newel("N2").unwrap();
    let face = newel
        .footprint
        .iter()
        .map(|point| point.x)
        .fold(f64::MIN, f64::max);
    let x = face / IN + 3.0;
    let wall = format!(
        "walls: [(name: \"W9\", from: (x: \"{x:.6}\", y: \"-10\"), to: (x: \"{x:.6}\", y: \"40\"), \
         head: \"200\", readings: [Offset(along: \"10\", up: \"110\", is: \"0\"), \
         Offset(along: \"40\", up: \"150\", is: \"0\")]),"
    );
    let chain = run(&with(STRAIGHT, "walls: [", &wall));
    let (opening, _) = find(&chain, ["N2", "W9"]).unwrap();
    let value = f64::midpoint(opening.ball.as_mm(), opening.ball_upper.as_mm());
    // The wall's two readings leave it a little free to lean.
    assert!((value - 3.0 * IN).abs() < 1.0, "{opening:?}");
}

// Incircle of the right triangle under a closed string that ends short: with the string's lower edge
// r over the nosing line and o of overhang its upright leg at the kick is b = rise + r + slope o, the
// level one a = b / slope, and the diameter a + b - hypot(a, b), as in `closed_forms.rs`.
#[test]
fn the_triangle_under_a_string_is_its_incircle() {
    let text = with(STRING, "depth: \"14\"", "depth: \"2.6\"");
    let chain = run(&text);
    let slope = 7.5 / 10.25;
    let upright = 7.5 + (2.5 - 2.6) + slope * 1.0;
    let level: f64 = upright / slope;
    let expected = level + upright - level.hypot(upright);
    assert_ball(&chain, ["T5", "K6"], expected * IN);
    let (_, finding) = find(&chain, ["T5", "K6"]).unwrap();
    // 5.47 in by the incircle: under the 6 in that a triangle may let pass.
    assert_eq!(finding.verdict, Verdict::Met);
    // As it is drawn the string reaches past the treads, and nothing is open under it.
    assert!(find(&run(STRING), ["T5", "K6"]).is_none());
}

// Panels 3 in clear of a bottom rail, plumb: two parallel edges stand that times the cosine of the
// pitch apart.
#[test]
fn the_slot_under_a_panel_is_looked_at() {
    let bottom = "bottom_rail: (name: \"R2\", width: \"1 3/4\", depth: \"1 1/4\", above: \"1/2\"),\n        balusters: (";
    let text = with(PANELS, "balusters: (", bottom);
    let chain = run(&with(&text, "foot: \"1/2\"", "foot: \"3\""));
    let cos = (7.5_f64 / 10.25).atan().cos();
    assert_ball(&chain, ["P02", "R2"], 3.0 * cos * IN);
}
