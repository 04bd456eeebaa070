//! The demo drawn: one draw part by part, and ten thousand of them.

use std::ops::ControlFlow;

use rakewell::chain;
use rakewell::doubt::{Drawn, Model, Wanted, sample_of};
use rakewell::inspect::Care;

use crate::gauge::{Taken, timed};
use crate::stairs::Size;

/// Draws timed together.
const TOGETHER: u32 = 100;
/// Draws of the whole.
const WHOLE: u64 = 10_000;

pub(crate) fn laid(size: Size) -> Taken {
    each(size, |_, _| {})
}

pub(crate) fn decided(size: Size) -> Taken {
    each(size, |model, drawn| {
        drop(model.findings(drawn, Care::Decide));
    })
}

pub(crate) fn gauged(size: Size) -> Taken {
    each(size, |model, drawn| {
        drop(model.findings(drawn, Care::Gauge));
    })
}

pub(crate) fn measured(size: Size) -> Taken {
    each(size, |model, drawn| {
        drop(model.findings(drawn, Care::Measure));
    })
}

/// One draw numbered and laid out, with something more done to it.
fn each(size: Size, more: fn(&Model, &Drawn)) -> Taken {
    let chain = chain::run(&size.job()).expect("the stair can be set out");
    let model = Model::of(&chain).expect("it ran on readings");
    let mut scratch = model.scratch();
    let taken = timed(|| {
        for draw in 0..u64::from(TOGETHER) {
            model.draw(7, draw, &mut scratch);
            if let Ok(drawn) = model.lay(&mut scratch) {
                more(&model, &drawn);
            }
        }
    });
    taken.each(TOGETHER)
}

pub(crate) fn whole(size: Size) -> Taken {
    let chain = chain::run(&size.job()).expect("the stair can be set out");
    let model = Model::of(&chain).expect("it ran on readings");
    let wanted = Wanted {
        seed: 1,
        most: WHOLE,
        threads: 2,
        narrow: 0.0,
    };
    timed(|| sample_of(&model, &chain, &wanted, &|_| ControlFlow::Continue(())))
}
