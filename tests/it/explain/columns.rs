//! Both columns on real stairs: against closed forms, and against every order of making true run
//! through the chain by the test itself.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::explain::{Asked, Explanation, Method, Reasons, explain, groups, made_true};
use rakewell::inspect::Kind;
use rakewell::measure::Length;

use super::games::brute_force;
use super::{read, run};

/// The finding of a kind, as it is asked for.
fn of_kind(chain: &Chain, kind: Kind) -> Asked {
    let mut findings = chain.inspection.findings.iter();
    let finding = findings.find(|one| one.key.kind == kind).unwrap();
    Asked::Finding(finding.key.clone())
}

fn share(told: &Explanation, what: &str) -> (f64, f64) {
    let one = told.because.iter().find(|one| one.what == what);
    let one = one.unwrap_or_else(|| panic!("no {what} in {:?}", told.because));
    (one.share.as_mm(), one.shapley.unwrap().as_mm())
}

/// The whole is what stands between the number as found and with all true.
fn adds_up(told: &Explanation) {
    let shapley: Length = told.because.iter().map(|one| one.shapley.unwrap()).sum();
    let alone: Length = told.because.iter().map(|one| one.share).sum();
    let whole = told.value - told.when_true.unwrap();
    assert_relative_eq!(shapley.as_mm(), whole.as_mm(), epsilon = 1e-6);
    assert_relative_eq!(
        (alone + told.remainder).as_mm(),
        whole.as_mm(),
        epsilon = 1e-6
    );
}

// What a flight climbs is the sum of its rises: each is off by what it reads past 7 1/2, and both
// columns say so.
#[test]
fn the_columns_are_equal_where_the_chain_adds() {
    let readings = [
        ("Rise(step: 3", "7 5/8"),
        ("Rise(step: 5", "7 3/8"),
        ("Rise(step: 9", "7 3/4"),
    ];
    let chain = run(&read(&readings));
    let told = explain(&chain, &of_kind(&chain, Kind::FlightRise));
    assert_eq!(told.method, Method::Exact);
    adds_up(&told);
    assert_relative_eq!(told.remainder.as_mm(), 0.0, epsilon = 1e-6);
    for (step, wanted) in [(3, 0.125), (5, -0.125), (9, 0.25)] {
        let (alone, shapley) = share(&told, &format!("step {step}'s rise"));
        // A reading of 0.01 mm moves what was meant to it but for a crumb.
        assert_relative_eq!(alone / 25.4, wanted, epsilon = 1e-4);
        assert_relative_eq!(alone, shapley, epsilon = 1e-9);
    }
    let first = &told.because[0];
    assert_eq!(first.what, "step 9's rise");
    assert_eq!(first.parts, ["K9", "T9"]);
    assert_eq!(first.readings, ["flight.readings[2]"]);
}

// Two balusters stand on a tread, half its going apart: the gap between the second and the first of
// the next tread changes by half of what the going is off, and by nothing else.
#[test]
fn a_gap_along_one_tread_is_its_goings() {
    let chain = run(&read(&[
        ("Going(step: 4", "10 1/2"),
        ("Going(step: 6", "10 1/16"),
        ("Rise(step: 7", "7 5/8"),
    ]));
    let run = chain.first();
    let on = |step: u32, place: u32| {
        let mut balusters = run.setout.balusters.iter();
        let found = balusters.find(|one| one.step == step && one.place == place);
        found.unwrap().name.clone()
    };
    let (below, above) = (on(4, 2), on(5, 1));
    let asked = Asked::find(&chain, &format!("gap:{below}+{above}")).unwrap();
    let told = explain(&chain, &asked);
    adds_up(&told);
    assert_eq!(told.because.len(), 1, "{:?}", told.because);
    let (alone, shapley) = share(&told, "step 4's going");
    assert_relative_eq!(alone / 25.4, 0.125, epsilon = 1e-4);
    assert_relative_eq!(alone, shapley, epsilon = 1e-9);
    assert_eq!(told.because[0].parts, ["T4", "K4", "K5"]);
}

// Two rises stand 1/4 and 3/4 in above all others; the range is that of the greater. Made true
// alone the smaller takes nothing off, the greater 1/2. In the two orders the greater takes 1/2 and
// 3/4, the smaller 1/4 and 0: halves of the sums are 5/8 and 1/8.
#[test]
fn the_columns_differ_where_one_fault_hides_another() {
    let chain = run(&read(&[
        ("Rise(step: 3", "7 3/4"),
        ("Rise(step: 7", "8 1/4"),
    ]));
    let told = explain(&chain, &of_kind(&chain, Kind::RiseVariation));
    adds_up(&told);
    let inches = |(alone, shapley): (f64, f64)| (alone / 25.4, shapley / 25.4);
    let (alone, shapley) = inches(share(&told, "step 7's rise"));
    assert_relative_eq!(alone, 0.5, epsilon = 1e-3);
    assert_relative_eq!(shapley, 0.625, epsilon = 1e-3);
    let (alone, shapley) = inches(share(&told, "step 3's rise"));
    assert_relative_eq!(alone, 0.0, epsilon = 1e-3);
    assert_relative_eq!(shapley, 0.125, epsilon = 1e-3);
    assert_relative_eq!(told.remainder.as_inches(), 0.25, epsilon = 1e-3);
}

// Five tread ends wander; the drift is a greatest less a least, so that they act on each other. The
// test makes them true one after another in all 120 orders, through the chain as a whole.
#[test]
fn a_real_chain_against_every_order() {
    let edges = [
        (3, "2 1/2"),
        (5, "2 3/8"),
        (8, "2"),
        (10, "2 7/16"),
        (12, "2 1/16"),
    ];
    let named: Vec<(String, &str)> = edges
        .iter()
        .map(|(step, is)| (format!("Edge(step: {step}"), *is))
        .collect();
    let readings: Vec<(&str, &str)> = named
        .iter()
        .map(|(what, is)| (what.as_str(), *is))
        .collect();
    let chain = run(&read(&readings));
    let asked = of_kind(&chain, Kind::RevealDrift);
    let found = asked.value(&chain).unwrap().as_mm();
    let faults: Vec<_> = chain.first().estimates.faults().into_iter().collect();
    assert_eq!(faults.len(), 5);
    let (runs, held) = (chain::again(&chain), chain.choices());
    let values: Vec<f64> = (0..32_u32)
        .map(|set| {
            let mut estimates = chain.first().estimates.clone();
            for (at, (fault, _)) in faults.iter().enumerate() {
                if set & (1 << at) != 0 {
                    estimates = estimates.made_true(fault);
                }
            }
            let laid = chain::lay(&runs, &[estimates], &held, &chain.pack).unwrap();
            let reveals = &laid.setouts[0].reveals;
            let values = || reveals.iter().map(|reveal| reveal.value.as_mm());
            values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min)
        })
        .collect();
    assert_relative_eq!(values[0], found, epsilon = 1e-9);
    // Those that take next to nothing off by themselves are one player, the last.
    let (mut players, small): (Vec<u32>, Vec<u32>) = (0..5)
        .map(|at| 1 << at)
        .partition(|set| (found - values[*set as usize]).abs() > 0.1);
    if !small.is_empty() {
        players.push(small.iter().sum());
    }
    let faults_of = |set: u32| -> u32 {
        let members = players
            .iter()
            .enumerate()
            .filter(|(at, _)| set & (1 << at) != 0);
        members.map(|(_, faults)| faults).sum()
    };
    let wanted = brute_force(players.len(), &|set| {
        found - values[faults_of(set) as usize]
    });
    let told = Reasons::of(&chain).because(&chain, &asked);
    assert_eq!(told.method, Method::Exact);
    adds_up(&told);
    assert_eq!(told.because.len(), players.len());
    for (player, wanted) in players.iter().zip(&wanted) {
        let what = match player.count_ones() {
            1 => faults[player.trailing_zeros() as usize].0.to_string(),
            several => format!("{several} smaller ones together"),
        };
        let (alone, shapley) = share(&told, &what);
        assert_relative_eq!(alone, found - values[*player as usize], epsilon = 1e-6);
        assert_relative_eq!(shapley, *wanted, epsilon = 1e-6);
    }
    assert!(players.len() >= 3, "{players:?}");
}

#[test]
fn at_most_twelve_groups_and_the_rest_together() {
    let chain = demo();
    let told = explain(&chain, &of_kind(&chain, Kind::RevealDrift));
    assert!(groups(&chain).len() > 12);
    assert!(told.because.len() <= 12);
    adds_up(&told);
    let last = told.because.last().unwrap();
    assert!(
        last.what.ends_with(" smaller ones together"),
        "{}",
        last.what
    );
    assert!(last.parts.len() > 1 && last.readings.len() > 1);
}

#[test]
fn a_sample_holds_what_all_sets_give() {
    let chain = demo();
    let reasons = Reasons::of(&chain);
    let asked = of_kind(&chain, Kind::RevealDrift);
    let drawn = reasons.because_within(&chain, &asked, 64);
    let Method::Sampled { draws, error } = drawn.method else {
        panic!("{:?}", drawn.method)
    };
    assert!(draws >= 8);
    let all = reasons.because_within(&chain, &asked, 1 << 12);
    assert_eq!(all.method, Method::Exact);
    adds_up(&all);
    let mut within = 0;
    for one in &drawn.because {
        let mut whole = all.because.iter();
        let wanted = whole.find(|all| all.what == one.what).unwrap();
        let off = (one.shapley.unwrap() - wanted.shapley.unwrap()).abs();
        within += usize::from(off <= one.error.unwrap() + Length::mm(1e-9));
        assert!(one.error.unwrap() <= error);
    }
    // Each holds in 95 of 100 draws; this one draw is the same every time.
    assert!(
        within + 1 >= all.because.len(),
        "{within} of {}",
        all.because.len()
    );
}

fn demo() -> Chain {
    run(include_str!("../../../demo-scenes/quarry-lane.ron"))
}

#[test]
fn what_is_made_true_for_a_moment_is_the_chain_with_it() {
    let chain = demo();
    let asked = of_kind(&chain, Kind::RevealDrift);
    let told = explain(&chain, &asked);
    for because in &told.because[..3] {
        let then = made_true(&chain, &because.makes).unwrap();
        let value = asked.value(&then).unwrap();
        assert_relative_eq!(
            (told.value - value).as_mm(),
            because.share.as_mm(),
            epsilon = 1e-9
        );
        // What is pointed at is there to be lit up.
        assert!(!because.parts.is_empty());
        for part in &because.parts {
            assert!(
                chain.solids.parts.iter().any(|one| &one.name == part),
                "{part}"
            );
        }
    }
}

#[test]
fn every_number_has_a_name_of_its_own_and_is_found_by_it() {
    let chain = demo();
    let all = Asked::all(&chain);
    let mut ids: Vec<String> = all.iter().map(Asked::id).collect();
    for (asked, id) in all.iter().zip(&ids) {
        assert!(asked.value(&chain).is_some(), "{id}");
        assert_eq!(Asked::find(&chain, id).as_ref(), Some(asked), "{id}");
        assert!(!id.contains(' '), "{id}");
    }
    for kind in [
        "gap",
        "reveal",
        "newel-face",
        "notch",
        "long-point",
        "rail-over",
        "rail-length",
    ] {
        let of_kind = |id: &&String| id.starts_with(&format!("{kind}:"));
        assert!(ids.iter().any(|id| of_kind(&id)), "no {kind}");
    }
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), all.len());
    assert_eq!(Asked::find(&chain, "gap:B01+B99"), None);
}

// The rail stands parallel over true nosings at the height that was wanted; one rise 1/4 in high
// moves the line of the rail by less at any one nosing, and all of it is that rise's.
#[test]
fn a_rails_height_over_a_nosing_has_its_causes() {
    let chain = run(&read(&[("Rise(step: 7", "7 3/4")]));
    let asked = Asked::find(&chain, "rail-over:R1+T7").unwrap();
    let told = explain(&chain, &asked);
    assert_relative_eq!(told.when_true.unwrap().as_inches(), 36.0, epsilon = 1e-6);
    assert_eq!(told.because.len(), 1);
    assert_eq!(told.because[0].what, "step 7's rise");
    adds_up(&told);
}

#[test]
fn nothing_is_told_of_a_number_that_is_not_there() {
    let chain = demo();
    let told = explain(&chain, &Asked::LongPoint("B99".to_owned()));
    assert!(told.because.is_empty() && told.cures.is_empty());
    assert_eq!(told.when_true, None);
}

// As found the last going is 1 in short, so that the nosing of the upper floor at 131 1/4 in lies
// under the rail, which ends at the newel's face at 131 1/2; with it true the nosing lies past it.
#[test]
fn where_a_set_has_no_answer_the_column_is_left_out_and_says_so() {
    let text = read(&[("Going(step: 13", "9 1/4"), ("Rise(step: 5", "7 5/8")]);
    let text = super::with(
        &text,
        "Displaces(step: 13, balusters: 0)",
        "At(x: \"133 1/4\")",
    );
    let chain = run(&text);
    let told = explain(&chain, &Asked::find(&chain, "rail-over:R1+T14").unwrap());
    assert_eq!(told.unknown, ["step 13's going"]);
    assert_eq!(told.when_true, None);
    let Method::LeftOut { without, of } = told.method else {
        panic!("{:?}", told.method)
    };
    assert_eq!((without, of), (2, 4));
    assert!(
        told.because
            .iter()
            .all(|one| one.shapley.is_none() && one.error.is_none())
    );
}
