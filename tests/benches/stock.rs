//! Boards for a stair of forty storeys, and for as many pieces of any length.
//!
//! `cargo bench --no-default-features --bench stock` prints for each how long the plan takes, how many boards it
//! has and how far it is at most above the best there could be.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

mod tower;

use std::time::Instant;

use rakewell::chain;
use rakewell::job::{BoardFor, BoardLength, BoardsOf, Len};
use rakewell::measure::Length;
use rakewell::shop::prices::Prices;
use rakewell::shop::stock::{Blank, Plan, Saw, SectionPlan, Stock, blanks, plan, plans};

/// Two flights a storey.
const FLIGHTS: usize = 80;
/// Feet and prices of boards; the prices are made up.
const BOARDS: [(f64, f64); 4] = [(8.0, 11.5), (12.0, 16.9), (16.0, 23.2), (20.0, 31.0)];

fn main() {
    stair();
    let mut seed = 1;
    any("1/16 in to 10 ft", || {
        25.4 / 16.0 * (64.0 + 1856.0 * drawn(&mut seed)).round()
    });
    let mut seed = 2;
    any("any length to 10 ft", || 100.0 + 2948.0 * drawn(&mut seed));
}

/// Every piece of the stair, from the same boards for each section.
fn stair() {
    let mut job = tower::tower(FLIGHTS);
    let lengths = BOARDS.map(|(feet, price)| BoardLength {
        is: Len::inches(feet * 12.0),
        price: Some(price),
        count: None,
        defects: Vec::new(),
    });
    job.shop.stock = BoardFor::ALL
        .map(|of| BoardsOf {
            of,
            wide: None,
            thick: None,
            lengths: lengths.to_vec(),
        })
        .to_vec();
    let chain = chain::run(&job).expect("the tall stair can be set out");
    let pieces = blanks(&chain);
    let began = Instant::now();
    let planned = plans(pieces, &job.shop, &Prices::default(), 0);
    let took = began.elapsed().as_secs_f64();
    let count: u32 = planned.iter().map(SectionPlan::count).sum();
    println!(
        "a stair of {} storeys, {count} pieces: {took:.2} s",
        FLIGHTS / 2
    );
    let (mut costs, mut bounds) = (0.0, 0.0);
    for one in &planned {
        let of = one.section.of.word();
        match &one.plan {
            Ok(plan) => {
                costs += plan.cost;
                bounds += plan.bound.unwrap_or(0.0);
                told(of, one.count(), plan);
            }
            Err(error) => println!("  {of}: {error}"),
        }
    }
    println!(
        "  all of it {:.3} % above the bound",
        (costs / bounds - 1.0) * 100.0
    );
}

fn told(what: &str, pieces: u32, plan: &Plan) {
    let gap = plan.gap().map_or("no bound".to_owned(), |gap| {
        format!("{:.3} % above the bound at most", gap * 100.0)
    });
    println!(
        "  {what}: {pieces} pieces from {} boards, {gap}",
        plan.boards.len()
    );
}

/// Three thousand pieces of lengths in millimetres.
fn any(what: &str, mut length: impl FnMut() -> f64) {
    let pieces: Vec<Blank> = (0..3000)
        .map(|at| Blank {
            label: at.to_string(),
            rough: Length::mm(length()),
            count: 1,
            matched: None,
        })
        .collect();
    let stock = BOARDS.map(|(feet, price)| Stock {
        length: Length::inches(feet * 12.0),
        price: Some(price),
        count: None,
        defects: Vec::new(),
    });
    let saw = Saw {
        kerf: Length::inches(0.125),
        trim: Length::inches(0.5),
    };
    let began = Instant::now();
    match plan(&pieces, &stock, saw) {
        Ok(plan) => {
            println!("{what}: {:.2} s", began.elapsed().as_secs_f64());
            told("drawn", 3000, &plan);
        }
        Err(error) => println!("{what}: {error}"),
    }
}

/// A number from 0 to 1, the next of a simple generator.
fn drawn(seed: &mut u64) -> f64 {
    *seed = seed
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*seed >> 11) as f64 / (1_u64 << 53) as f64
}
