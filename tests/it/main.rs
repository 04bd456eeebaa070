//! Everything that is tested from outside the library, in one binary.

mod rules;
