//! The shop from outside: boards cut, what is bought, hours.

mod buy;
mod command;
mod stock;
