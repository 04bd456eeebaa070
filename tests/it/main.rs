//! Everything that is tested from outside the library, in one binary.

mod measure;
mod reference;
mod rules;
