//! Points of a scan: reading them, fitting a wall to them, thinning them.

mod broken;
mod read;
