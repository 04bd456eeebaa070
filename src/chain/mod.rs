//! chain
