//! The shop from outside: boards cut, what is bought, hours.

mod stock;
