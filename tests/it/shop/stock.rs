//! Plans of boards: what always holds of them, and what is refused. The optimum itself is held against
//! `HiGHS` in `tests/reference/stocks.py`.

use proptest::prelude::*;

use rakewell::measure::Length;
use rakewell::shop::stock::{Blank, CannotCut, CheapIn, Plan, Saw, Stock, plan};

fn blank(label: &str, mm: f64, count: u32) -> Blank {
    Blank {
        label: label.to_owned(),
        rough: Length::mm(mm),
        count,
        matched: None,
    }
}

fn board(mm: f64, price: Option<f64>) -> Stock {
    Stock {
        length: Length::mm(mm),
        price,
        count: None,
        defects: Vec::new(),
    }
}

fn saw(kerf: f64, trim: f64) -> Saw {
    Saw {
        kerf: Length::mm(kerf),
        trim: Length::mm(trim),
    }
}

/// What a saw needs, by the rules of the trade: every piece once, a kerf between neighbours, off the
/// trims and defects, no more boards than there are, matched pieces side by side in their order.
fn assert_sawn(plan: &Plan, blanks: &[Blank], stock: &[Stock], saw: Saw) {
    let mut cut = vec![0_u32; blanks.len()];
    for (at, left) in &plan.short {
        cut[*at] += left;
    }
    let mut used = vec![0_u32; stock.len()];
    let near = 1e-6;
    for one in &plan.boards {
        used[one.stock] += 1;
        let from = &stock[one.stock];
        let mut before: Option<f64> = None;
        for piece in &one.cuts {
            cut[piece.blank] += 1;
            let (begin, end) = (piece.from.as_mm(), piece.to.as_mm());
            assert!((end - begin - blanks[piece.blank].rough.as_mm()).abs() < near);
            assert!(begin > saw.trim.as_mm() - near);
            assert!(end < from.length.as_mm() - saw.trim.as_mm() + near);
            if let Some(before) = before {
                assert!(begin > before + saw.kerf.as_mm() - near);
            }
            for (a, b) in &from.defects {
                assert!(end < a.as_mm() + near || begin > b.as_mm() - near);
            }
            before = Some(end);
        }
        for pair in one.cuts.windows(2) {
            let [a, b] = [&blanks[pair[0].blank], &blanks[pair[1].blank]];
            if a.matched.is_some() && a.matched == b.matched {
                assert_eq!(pair[0].blank + 1, pair[1].blank);
                let apart = (pair[1].from - pair[0].to).as_mm();
                assert!((apart - saw.kerf.as_mm()).abs() < near);
            }
        }
    }
    for (count, blank) in cut.iter().zip(blanks) {
        assert_eq!(*count, blank.count, "{blank:?}");
    }
    for (used, from) in used.iter().zip(stock) {
        let most = from.count.or((!from.defects.is_empty()).then_some(1));
        assert!(most.is_none_or(|most| *used <= most));
    }
    for group in blanks.iter().filter_map(|one| one.matched.as_ref()) {
        let on = plan.boards.iter().filter(|one| {
            let mut cuts = one.cuts.iter();
            cuts.any(|cut| blanks[cut.blank].matched.as_ref() == Some(group))
        });
        assert!(on.count() <= 1, "{group} comes off one board");
    }
    let cost: f64 = plan
        .boards
        .iter()
        .map(|one| match plan.cheap_in {
            CheapIn::Price => stock[one.stock].price.unwrap(),
            CheapIn::Length => one.length.as_mm(),
        })
        .sum();
    assert!((cost - plan.cost).abs() < 1e-6 * cost.max(1.0));
    if let Some(bound) = plan.bound {
        assert!(plan.cost > bound - 1e-6 * bound.max(1.0));
        // What is cut must be bought: the bound that needs no method.
        let wood: f64 = blanks
            .iter()
            .map(|one| one.rough.as_mm() * f64::from(one.count))
            .sum();
        let bought: f64 = plan.boards.iter().map(|one| one.length.as_mm()).sum();
        assert!(bought > wood - near);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn what_is_planned_can_be_sawn(
        pieces in prop::collection::vec((100.0..900.0_f64, 1_u32..6, prop::bool::weighted(0.2)), 1..9),
        lengths in prop::collection::vec((1000.0..3000.0_f64, 500_u32..4000, prop::option::of(1_u32..5)), 1..4),
        defect in prop::option::of((200.0..1500.0_f64, 0.5..80.0_f64)),
        kerf in 0.0..5.0_f64,
        trim in 0.0..20.0_f64,
        priced in any::<bool>(),
    ) {
        let mut blanks: Vec<Blank> = Vec::new();
        for (at, (mm, count, matched)) in pieces.iter().enumerate() {
            let matched = matched.then(|| "a group".to_owned());
            let count = if matched.is_some() { 1 } else { *count };
            blanks.push(Blank { matched, ..blank(&format!("P{at}"), *mm, count) });
        }
        // Those of the group stand together, so that their order is told by their numbers.
        blanks.sort_by_key(|one| one.matched.is_none());
        let mut stock: Vec<Stock> = lengths
            .iter()
            .map(|(mm, price, count)| Stock {
                count: *count,
                ..board(*mm, priced.then_some(f64::from(*price) / 100.0))
            })
            .collect();
        if let Some((from, long)) = defect {
            stock[0].defects = vec![(Length::mm(from), Length::mm(from + long))];
        }
        let saw = saw(kerf, trim);
        match plan(&blanks, &stock, saw) {
            Ok(told) => {
                assert_sawn(&told, &blanks, &stock, saw);
                // The same pieces give the same plan.
                prop_assert_eq!(plan(&blanks, &stock, saw).unwrap(), told);
            }
            Err(CannotCut::TooLong { pieces, longest }) => {
                prop_assert!(!pieces.is_empty());
                prop_assert!(pieces.iter().all(|(_, long)| *long > longest));
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}

/// Eight pieces of 12 in and seven cuts of 1/8 in are 96 7/8 in: a board of that length gives them,
/// one a sixteenth shorter does not.
#[test]
fn the_last_piece_needs_no_cut_after_it() {
    let inches = |inches: f64| inches * 25.4;
    let pieces = [blank("B", inches(12.0), 8)];
    let saw = saw(inches(0.125), 0.0);
    let full = plan(&pieces, &[board(inches(96.875), None)], saw).unwrap();
    assert_eq!(full.boards.len(), 1);
    assert!(full.boards[0].offcuts.is_empty() && full.is_best());
    let scant = plan(&pieces, &[board(inches(96.8125), None)], saw).unwrap();
    assert_eq!(scant.boards.len(), 2);
    assert!(scant.is_best());
}

/// A defect narrower than the saw takes the saw's width; a piece longer than either side of it goes
/// nowhere.
#[test]
fn pieces_keep_off_defects() {
    let knot = |from: f64, to: f64| Stock {
        defects: vec![(Length::mm(from), Length::mm(to))],
        ..board(2000.0, None)
    };
    let pieces = [blank("R1", 1000.0, 1)];
    let told = plan(&pieces, &[knot(990.0, 990.5)], saw(3.0, 0.0)).unwrap();
    assert!((told.boards[0].cuts[0].from.as_mm() - 993.0).abs() < 1e-6);
    let told = plan(&pieces, &[knot(990.0, 1010.0)], saw(3.0, 0.0));
    let Err(CannotCut::TooLong { pieces, longest }) = told else {
        panic!("{told:?}");
    };
    assert!((longest.as_mm() - 990.0).abs() < 1e-6);
    assert_eq!(pieces.len(), 1);
}

/// Prices that are all nought, or the same, tell no board from another: then the least length is taken,
/// and no board that is not needed. Five pieces of 900 mm: one board of 4800 mm holds all (4512 mm with
/// four cuts), two of 2000 mm hold two each.
#[test]
fn boards_that_cost_the_same_are_not_taken_needlessly() {
    let pieces = [blank("B", 900.0, 5)];
    let lengths =
        |plan: &Plan| -> Vec<f64> { plan.boards.iter().map(|one| one.length.as_mm()).collect() };
    let told = |long: f64, other: f64, prices: [f64; 2]| {
        let stock = [board(long, Some(prices[0])), board(other, Some(prices[1]))];
        plan(&pieces, &stock, saw(3.0, 0.0)).unwrap()
    };
    let nought = told(4800.0, 2000.0, [0.0, 0.0]);
    assert_eq!(
        (lengths(&nought), nought.cheap_in),
        (vec![4800.0], CheapIn::Length)
    );
    assert!(nought.is_best());
    // At one price for either the shorter that holds all is taken.
    let same = told(6000.0, 4600.0, [5.0, 5.0]);
    assert_eq!(
        (lengths(&same), same.cheap_in),
        (vec![4600.0], CheapIn::Price)
    );
    assert!((same.cost - 5.0).abs() < 1e-9 && same.is_best());
    // Some for nothing: no more of them than are needed.
    let given = told(2000.0, 4800.0, [0.0, 5.0]);
    assert_eq!(lengths(&given), [2000.0; 3]);
}

#[test]
fn boards_too_few_are_told_and_what_there_is_is_used() {
    let pieces = [blank("B", 900.0, 5)];
    let stock = [Stock {
        count: Some(2),
        ..board(2000.0, Some(10.0))
    }];
    let told = plan(&pieces, &stock, saw(3.0, 0.0)).unwrap();
    assert_eq!(told.boards.len(), 2);
    assert_eq!(told.short, [(0, 1)]);
    assert!(told.bound.is_none() && !told.is_best() && told.gap().is_none());
}

#[test]
fn what_is_no_length_is_refused() {
    let good = [board(2000.0, None)];
    for mm in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let told = plan(&[blank("B", mm, 1)], &good, saw(3.0, 0.0));
        assert_eq!(told, Err(CannotCut::NoLength));
        let told = plan(&[blank("B", 10.0, 1)], &[board(mm, None)], saw(3.0, 0.0));
        assert_eq!(told, Err(CannotCut::NoLength));
    }
    let many = plan(&[blank("B", 10.0, u32::MAX)], &good, saw(3.0, 0.0));
    assert_eq!(many, Err(CannotCut::TooMany(u64::from(u32::MAX))));
    let none = plan(&[blank("B", 10.0, 1)], &[], saw(3.0, 0.0));
    assert_eq!(none, Err(CannotCut::NoStock));
    let nothing = plan(&[blank("B", 10.0, 0)], &good, saw(3.0, 0.0)).unwrap();
    assert!(nothing.boards.is_empty());
}
