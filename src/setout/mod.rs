//! setout
