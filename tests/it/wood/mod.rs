//! Wood that moves: gaps, seats and reveals between two moisture contents, by closed form.
//!
//! Coefficients: Wood Handbook FPL-GTR-190, Table 13-5: red oak 0.00158 radial, 0.00369 tangential.

use approx::assert_abs_diff_eq;
use rakewell::chain::{self, Chain, SeasonTold, SeasonWhat};
use rakewell::inspect::{Kind, Verdict};
use rakewell::job::Document;
use rakewell::setout::wood::{Season, ShiftKind};

const LEVEL: &str = include_str!("../../../scenes/level-guard.ron");
const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");
const TANGENTIAL: f64 = 0.00369;
const RADIAL: f64 = 0.00158;

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "scene.ron").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

/// A scene with stretches of its text replaced where they first stand.
fn with(text: &str, changes: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "{old} is in the scene");
        text = text.replacen(old, new, 1);
    }
    text
}

const RULES: &str = "rules: \"us-residential-2024\",";

/// Red oak fitted at 9 per cent, 6 in winter and 12 in summer.
fn oak(more: &str) -> String {
    format!("{RULES} wood: (species: \"red oak\", fitted: 9, driest: 6, wettest: 12{more}),")
}

/// The level guard with 2 in square balusters whose gaps are as near under 4 in as they may be:
/// between the newels' faces lie 63.89 in, so ten balusters leave (63.89 - 20) / 11 = 3.99 in.
fn guard(section: &str) -> String {
    let (before, level) = LEVEL.split_once("name: \"L1\"").unwrap();
    let level = with(
        level,
        &[
            ("fitting: \"1/16\"", "fitting: \"0\""),
            ("x: \"68 1/4\"", "x: \"67.39 in\""),
            ("section: Square(\"1 1/4\"),", section),
        ],
    );
    let before = with(before, &[(RULES, &oak(""))]);
    format!("{before}name: \"L1\"{level}")
}

/// What the seasons do to the openings of the level guard's first stretch.
fn openings(told: &[SeasonTold]) -> Vec<&SeasonTold> {
    let opening = |one: &&SeasonTold| {
        matches!(one.what, SeasonWhat::Trouble(Kind::Opening, _)) && one.run == 1
    };
    told.iter().filter(opening).collect()
}

#[test]
fn a_guard_that_passes_as_fitted_fails_in_winter() {
    let chain = run(&guard("section: Square(\"2\"),"));
    let gaps = &chain.runs[1].setout.gaps;
    assert_eq!(gaps.len(), 11);
    for gap in gaps {
        assert_abs_diff_eq!(gap.clear.as_inches(), 3.99, epsilon = 1e-6);
    }
    let run_one = |one: &&rakewell::inspect::Finding| one.run == 1 && one.key.kind == Kind::Opening;
    let fitted = chain.inspection.findings.iter().filter(run_one);
    assert!(fitted.clone().count() == 11 && fitted.clone().all(|one| one.verdict == Verdict::Met));

    // Flat-sawn, dried by 3 per cent: each baluster loses 2 in x 0.00369 x 3 = 0.02214 in, half of
    // it beside each gap; a newel loses half of 3 1/2 x 0.00369 x 3 there.
    let told = chain::seasons(&chain);
    let winter = openings(&told);
    assert_eq!(winter.len(), 11);
    for one in &winter {
        assert_eq!(one.season, Season::Winter);
        assert_eq!(one.verdict, Some(Verdict::Broken));
        assert_abs_diff_eq!(one.moisture, 6.0, epsilon = 1e-12);
        assert_abs_diff_eq!(one.fitted.as_inches(), 3.99, epsilon = 0.004);
        let newels = one
            .parts
            .iter()
            .filter(|part| part.starts_with('N'))
            .count();
        let wider = match newels {
            0 => 2.0 * TANGENTIAL * 3.0,
            _ => (2.0 + 3.5) / 2.0 * TANGENTIAL * 3.0,
        };
        // The ball is certified within 0.1 mm.
        assert_abs_diff_eq!(one.then.as_inches(), 3.99 + wider, epsilon = 0.004);
    }
}

#[test]
fn metal_does_not_move() {
    let chain = run(&guard("section: Square(\"2\"), of: Metal,"));
    let told = chain::seasons(&chain);
    // Only the newels do, beside the first and the last gap: 3.99 + 3 1/2 / 2 x 0.00369 x 3.
    let winter = openings(&told);
    assert_eq!(winter.len(), 2);
    for one in winter {
        assert!(
            one.parts.iter().any(|part| part.starts_with('N')),
            "{:?}",
            one.parts
        );
        assert_abs_diff_eq!(
            one.then.as_inches(),
            3.99 + 1.75 * TANGENTIAL * 3.0,
            epsilon = 0.004
        );
    }
}

#[test]
fn at_the_moisture_it_was_fitted_at_nothing_changes() {
    let still = oak("").replace("driest: 6, wettest: 12", "driest: 9, wettest: 9");
    let chain = run(&with(STRAIGHT, &[(RULES, &still)]));
    assert!(chain::seasons(&chain).is_empty());
    // Seasons leave aside what the readings leave in doubt.
    let runs = chain::again(&chain);
    let chain = chain::run_on(&runs, chain.estimates(), &chain.choices()).unwrap();
    let then = chain::at_moisture(&chain, Season::Winter).unwrap();
    assert_eq!(
        then.inspection.findings.len(),
        chain.inspection.findings.len()
    );
    for (one, other) in then
        .inspection
        .findings
        .iter()
        .zip(&chain.inspection.findings)
    {
        assert_eq!(one.key, other.key);
        assert_eq!(one.verdict, other.verdict);
        assert_abs_diff_eq!(one.value().as_mm(), other.value().as_mm(), epsilon = 1e-3);
    }
    // And what does not say what it is made of has no seasons.
    let silent = run(STRAIGHT);
    assert!(chain::at_moisture(&silent, Season::Winter).is_none());
    assert!(chain::seasons(&silent).is_empty());
}

/// A tread 10 1/4 in deep with a nosing of 13/16 in, held at its back, loses 11 1/16 x 0.00369 x 3 =
/// 0.1225 in at the nosing, which is then under the 3/4 in of IRC R311.7.5.3.
#[test]
fn a_nosing_is_too_short_in_winter_alone() {
    let back = oak(", treads_held: Back");
    let text = with(
        STRAIGHT,
        &[(RULES, &back), ("overhang: \"1\"", "overhang: \"13/16\"")],
    );
    let chain = run(&text);
    assert!(chain.inspection.troubles().is_empty());
    let told = chain::seasons(&chain);
    let nosing = |one: &&SeasonTold| matches!(one.what, SeasonWhat::Trouble(Kind::Nosing, _));
    let nosings: Vec<&SeasonTold> = told.iter().filter(nosing).collect();
    assert_eq!(nosings.len(), 13);
    for one in nosings {
        assert_eq!(one.season, Season::Winter);
        let then = 0.8125 - 11.0625 * TANGENTIAL * 3.0;
        assert_abs_diff_eq!(one.then.as_inches(), then, epsilon = 1e-9);
    }
    // Held over its kick it keeps the nosing, but for its own share, and opens behind.
    let front = run(&with(STRAIGHT, &[(RULES, &oak(""))]));
    let told = chain::seasons(&front);
    let behind = shift(&told, Season::Winter, ShiftKind::BehindTread);
    assert_abs_diff_eq!(
        behind.then.as_inches(),
        10.25 * TANGENTIAL * 3.0,
        epsilon = 1e-9
    );
    let nosing = shift(&told, Season::Winter, ShiftKind::Nosing);
    assert_abs_diff_eq!(nosing.by_inches(), -TANGENTIAL * 3.0, epsilon = 1e-9);
}

trait By {
    fn by_inches(&self) -> f64;
}

impl By for SeasonTold {
    fn by_inches(&self) -> f64 {
        (self.then - self.fitted).as_inches()
    }
}

fn shift(told: &[SeasonTold], season: Season, kind: ShiftKind) -> &SeasonTold {
    let mut all = told.iter().filter(|one| one.season == season);
    all.find(|one| one.what == SeasonWhat::Shift(kind)).unwrap()
}

/// Two 1 1/4 in balusters on each tread of 10 1/4 in, gaps of 3 7/8 in, the first face flush with the
/// kick's face. The feet go with the treads, which are held over their kicks: on a tread everything
/// shrinks alike, centres and balusters, so the gap does too; the next one is what is left.
#[test]
fn feet_go_with_their_treads() {
    let chain = run(&with(STRAIGHT, &[(RULES, &oak(""))]));
    let then = chain::at_moisture(&chain, Season::Winter).unwrap();
    let s = TANGENTIAL * 3.0;
    let setout = &then.runs[0].setout;
    let gap = |below: &str| {
        let mut gaps = setout.gaps.iter();
        gaps.find(|gap| gap.below == below)
            .unwrap()
            .clear
            .as_inches()
    };
    // Tread 1 has lost its first baluster to the newel, so B02 and B03 stand on tread 2.
    let on = |name: &str| {
        setout
            .balusters
            .iter()
            .find(|one| one.name == name)
            .unwrap()
    };
    assert_eq!((on("B02").step, on("B03").step), (2, 2));
    assert_abs_diff_eq!(gap("B02"), 3.875 * (1.0 - s), epsilon = 1e-9);
    // From B03, 5 3/4 behind its kick, to B04, 5/8 behind the next: both centres shrink towards
    // their own kicks, and both balusters lose half their width.
    let between = 3.875 + 5.75 * s - 0.625 * s + 1.25 * s;
    assert_abs_diff_eq!(gap("B03"), between, epsilon = 1e-9);
    // The rail lies on its underside, and its depth takes the radial coefficient: its top goes down
    // by 2 3/8 x 0.00158 x 3 over the cosine of the pitch, 7 1/2 in 10 1/4.
    let lowest = |chain: &Chain| chain.runs[0].setout.rail.window.lowest.0.as_inches();
    let slope: f64 = 7.5 / 10.25;
    let drop = 2.375 * RADIAL * 3.0 * slope.hypot(1.0);
    // The treads go down by 1 in x 0.00158 x 3 and their nosings recede; the upper floor stays, and
    // is where the rail is lowest then.
    let worst = chain.runs[0].site.steps.len() as u32;
    assert_eq!(then.runs[0].setout.rail.window.lowest.1, worst);
    assert_abs_diff_eq!(lowest(&chain) - lowest(&then), drop, epsilon = 1e-6);
    // The reveal loses what the return nosing of 1 1/4 in does and gains half of what the baluster
    // loses across the flight.
    let shown = |chain: &Chain| chain.runs[0].setout.reveals[3].value.as_inches();
    let by = -1.25 * s + 0.625 * RADIAL * 3.0;
    assert_abs_diff_eq!(shown(&then) - shown(&chain), by, epsilon = 1e-9);
    // The head comes out of its seat by what the tread goes down.
    let told = chain::seasons(&chain);
    let seat = shift(&told, Season::Winter, ShiftKind::Seat);
    assert_abs_diff_eq!(seat.fitted.as_inches(), 0.5, epsilon = 1e-12);
    assert_abs_diff_eq!(seat.then.as_inches(), 0.5 - RADIAL * 3.0, epsilon = 1e-6);
    assert_eq!(seat.verdict, Some(Verdict::Met));
    let newel = shift(&told, Season::Winter, ShiftKind::Joint);
    assert_abs_diff_eq!(newel.then.as_inches(), 1.75 * s, epsilon = 1e-9);
}

/// A seat of a hundredth of an inch is not deep enough for a tread that loses more: with treads 3 in
/// thick, 3 x 0.00158 x 3 = 0.0142 in.
#[test]
fn a_shallow_seat_comes_out_in_winter() {
    let text = with(
        STRAIGHT,
        &[
            (RULES, &oak("")),
            ("tread_thickness: \"1\"", "tread_thickness: \"3\""),
            ("seat: \"1/2\"", "seat: \"0.01 in\""),
        ],
    );
    let told = chain::seasons(&run(&text));
    let seat = shift(&told, Season::Winter, ShiftKind::Seat);
    assert!(seat.is_trouble());
    assert_abs_diff_eq!(
        seat.then.as_inches(),
        0.01 - 3.0 * RADIAL * 3.0,
        epsilon = 1e-6
    );
    let damp = told.iter().filter(|one| one.season == Season::Summer);
    let seats = |one: &&SeasonTold| one.what == SeasonWhat::Shift(ShiftKind::Seat);
    assert!(damp.filter(seats).all(|one| !one.is_trouble()));
}
