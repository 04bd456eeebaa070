//! Our side of the outside references of `tests/reference`: Python writes cases, we answer them,
//! Python holds the answers against other libraries.

mod balls;
mod beddings;
mod building;
mod export;
mod fittings;
mod flights;
mod lines;
mod models;
mod pieces;
mod propagation;
mod sheets;
mod stocks;
mod surveys;
mod winders;
