//! publish
