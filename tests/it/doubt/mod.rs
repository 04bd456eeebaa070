//! Doubt, against published worked examples, closed forms and what the adjustment says.

mod first_order;
mod monte_carlo;
mod stair;
