//! What the shop has and takes, as a job states it.

use super::check;
use crate::job::with;
use rakewell::job::{BoardFor, Document, Work};

const HERE: &str = "design: (";

fn shop(fields: &str) -> String {
    format!("shop: ({fields}), {HERE}")
}

#[test]
fn what_is_not_stated_is_as_usual_and_nothing_is_assumed_of_rates() {
    let document = Document::parse(&with(HERE, &shop("")), "job.ron").unwrap();
    let shop = &document.job().shop;
    // Common practice, no source.
    assert!((shop.saw_kerf().value.as_inches() - 0.125).abs() < 1e-12);
    assert!((shop.end_trim().value.as_inches() - 0.5).abs() < 1e-12);
    assert!((shop.beads.cartridge() - 295.0).abs() < 1e-12);
    assert!(shop.stock.is_empty() && shop.spares.is_none());
    assert!(Work::ALL.iter().all(|work| shop.rates.of(*work).is_none()));
    // The words of a job are those that it is told by.
    for of in BoardFor::ALL {
        let field = format!("stock: [(of: {}, lengths: [(is: 96)])]", of.field());
        let text = with(HERE, &self::shop(&field));
        let document = Document::parse(&text, "job.ron").unwrap();
        assert_eq!(document.job().shop.stock[0].of, of);
    }
}

#[test]
fn slips_in_the_shop_are_told() {
    let board = |fields: &str| shop(&format!("stock: [(of: Rail, lengths: [({fields})])]"));
    let texts = [
        (
            board("is: 96, price: -4"),
            "shop.stock[0].lengths[0].price",
            "-4",
            "the price is -4",
            "write 0 to 1000000",
        ),
        (
            board("is: 96, count: 0"),
            "shop.stock[0].lengths[0].count",
            "0",
            "0 boards",
            "write 1 to 10000",
        ),
        (
            board("is: 96, defects: [(from: 20, to: 18)]"),
            "shop.stock[0].lengths[0].defects[0].to",
            "18",
            "the defect ends where it begins, or before",
            "write where it begins first: both from the same end of the board",
        ),
        (
            shop("stock: [(of: Rail, lengths: [])]"),
            "shop.stock[0].lengths",
            "[]",
            "no length of board is given",
            "write one at least, as [(is: \"12'\", price: 40)]",
        ),
        (
            shop("matched: [[\"R1\"]]"),
            "shop.matched[0]",
            "[\"R1\"]",
            "one piece by itself matches anything",
            "write the labels of two at least, as [\"R1\", \"R2\"]",
        ),
        (
            shop("spares: (bad: 0.9, sure: 0.95)"),
            "shop.spares.bad",
            "0.9",
            "the chance of a bad one is 0.9",
            "write 0 to 0.5 (0.03 is three in a hundred)",
        ),
        (
            shop("rates: (tread: -1)"),
            "shop.rates.tread",
            "-1",
            "the rate is -1",
            "write 0 to 10000 hours",
        ),
    ];
    for (text, path, read, problem, help) in &texts {
        check(&[(HERE, text, path, read, problem, help)]);
    }
}
