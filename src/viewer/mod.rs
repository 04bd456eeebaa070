//! viewer
