//! The trade between wandering reveals and leaning balusters.

use approx::assert_relative_eq;
use rakewell::chain;
use rakewell::job::{Align, Document};
use rakewell::setout::compromise;

use super::{inches, run};

const DEMO: &str = include_str!("../../../../demo-scenes/quarry-lane.ron");

#[test]
fn one_price_rises_as_the_other_falls() {
    let document = Document::parse(DEMO, "demo").unwrap();
    let chain = run(document.job());
    let shares: Vec<f64> = (0..=20).map(|at| f64::from(at) / 20.0).collect();
    let curve = compromise(
        document.job(),
        &chain.first().site,
        &chain.first().setout,
        &shares,
    );
    for pair in curve.windows(2) {
        assert!(pair[1].reveal_range < pair[0].reveal_range);
        assert!(pair[1].worst_lean > pair[0].worst_lean);
    }
    assert!(curve[0].worst_lean.as_mm() < 1e-9);
    assert!(curve[20].reveal_range.as_mm() < 1e-9);
    // With |lean| <= l every reveal moves by l at most, so no feet at all bring the range under the
    // plumb one less 2 l; the line is the evenest, so the shares reach that (the bound of the linear
    // programme of the feet, by its dual).
    for point in &curve {
        let bound = inches(curve[0].reveal_range) - 2.0 * inches(point.worst_lean);
        assert_relative_eq!(inches(point.reveal_range), bound, epsilon = 1e-5);
    }
}

#[test]
fn the_prices_are_those_of_runs_at_each_share() {
    let document = Document::parse(DEMO, "demo").unwrap();
    let plumb = run(document.job());
    assert_eq!(plumb.first().setout.trade.len(), 5);
    for point in &plumb.first().setout.trade {
        let mut job = document.job().clone();
        job.design.balusters.align = Align::Share(point.share);
        let runs = chain::runs_of(&job);
        let chain = chain::run_on(&runs, plumb.estimates(), &plumb.choices()).unwrap();
        let reveals = chain
            .first()
            .setout
            .reveals
            .iter()
            .map(|one| inches(one.value));
        let (least, most) = reveals.fold((f64::MAX, f64::MIN), |(a, b), r| (a.min(r), b.max(r)));
        let leans = chain
            .first()
            .setout
            .balusters
            .iter()
            .map(|one| inches(one.lean.abs()));
        assert_relative_eq!(inches(point.reveal_range), most - least, epsilon = 1e-9);
        assert_relative_eq!(
            inches(point.worst_lean),
            leans.fold(0.0, f64::max),
            epsilon = 1e-9
        );
    }
}
