//! explain
