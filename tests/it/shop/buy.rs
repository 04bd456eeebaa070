//! Spares, adhesive and price lists. Spares are held against scipy in `tests/reference/stocks.py` too.

use rakewell::job::Spares;
use rakewell::measure::{Length, Unit};
use rakewell::shop::buy::{Adhesive, Bead, BeadAt, BeadRun, spares};
use rakewell::shop::prices::{From, read};

/// One good one of `n` that are bad every other time: the chance is 1 - 0.5^n, past 0.95 first at 5
/// (closed form).
#[test]
fn spares_are_the_fewest_that_are_sure_enough() {
    let asked = |bad, sure| Spares { bad, sure };
    assert_eq!(spares(1, asked(0.5, 0.95)), 4);
    assert_eq!(spares(1, asked(0.5, 0.9)), 3);
    assert_eq!(spares(26, asked(0.0, 0.99)), 0);
    assert_eq!(spares(0, asked(0.3, 0.99)), 0);
}

/// A bead 10 mm thick and a metre long is a cylinder of 78.54 ml (pi / 4 times 100).
#[test]
fn beads_are_cylinders_and_cartridges_are_whole() {
    let bead = |metres: f64| BeadRun {
        at: BeadAt::Treads,
        bead: Bead::Normal,
        diameter: Length::mm(10.0),
        length: Length::mm(metres * 1000.0),
    };
    assert!((bead(1.0).millilitres() - 78.539_816).abs() < 1e-6);
    let adhesive = |metres| Adhesive {
        beads: vec![bead(metres)],
        cartridge_ml: 78.539_816_339_744_83,
        unread: true,
    };
    assert_eq!(adhesive(3.0).cartridges(), 3);
    assert_eq!(adhesive(3.01).cartridges(), 4);
    assert_eq!(Adhesive::default().beads.len(), 0);
}

const LIST: &str = "item,length,price,currency\n\
                    Balusters,16',21.40,USD\n\
                    rail,\"12' 6\",96,USD\n\
                    plug,,oops,USD\n\
                    newel,,,USD\n\
                    skirt,16',33,EUR\n\
                    kick,8',19\n\
                    kick,96,20\n\
                    tread,8',61\n\
                    tread,8',61\n\
                    balluster,8',9\n\
                    widget,,1\n\
                    screw,,-1\n";

#[test]
fn price_lists_are_read_and_what_is_wrong_is_told_by_its_line() {
    let prices = read(LIST, Unit::Inches, "");
    assert_eq!(prices.currency.as_deref(), Some("USD"));
    let price = |item: &str, inches: Option<f64>| {
        let one = prices.of(item, inches.map(Length::inches));
        one.map(|one| (one.price, From::List(one.line)))
    };
    assert_eq!(price("baluster", Some(192.0)), Some((21.4, From::List(2))));
    assert_eq!(price("rail", Some(150.0)), Some((96.0, From::List(3))));
    assert_eq!(price("tread", Some(96.0)), Some((61.0, From::List(9))));
    // What is missing, unclear or in other money has no price, and never nought.
    for (item, inches) in [
        ("plug", None),
        ("newel", None),
        ("skirt", Some(192.0)),
        ("kick", Some(96.0)),
        ("screw", None),
        ("rail", None),
    ] {
        assert_eq!(price(item, inches), None, "{item}");
    }
    let told: Vec<(u64, bool)> = prices
        .faults
        .iter()
        .map(|one| (one.line, one.remark))
        .collect();
    let faults = [4, 5, 6, 8].map(|line| (line, false));
    let further = [(10, true), (11, false), (12, false), (13, false)];
    assert_eq!(told, [&faults[..], &further].concat());
    // The same lines whatever they end in.
    for ending in ["\r\n", "\r"] {
        let other = read(&LIST.replace('\n', ending), Unit::Inches, "");
        assert_eq!(other, prices, "{ending:?}");
    }
    let says = |line: u64| {
        let one = prices.faults.iter().find(|one| one.line == line).unwrap();
        format!("{}; {}", one.problem, one.help)
    };
    assert!(says(4).contains("\"oops\", is not a number"));
    assert!(says(5).contains("is missing"));
    assert!(says(6).contains("is in EUR, others in USD"));
    assert!(says(8).contains("line 7 already"));
    assert!(says(11).contains("did you mean baluster?"));
}

#[test]
fn other_parting_marks_and_no_head_line() {
    let prices = read("\u{feff}item;price\nrail;4.5\n", Unit::Inches, "GBP");
    assert!(prices.faults.is_empty());
    assert!(prices.of("rail", None).is_some());
    for text in ["", "rail,12\n", "\u{0}\u{1}"] {
        let prices = read(text, Unit::Inches, "");
        assert_eq!(prices.faults.len(), 1, "{text:?}");
        assert!(prices.faults[0].help.contains("item,length,price,currency"));
    }
}
