//! Points of a scan: reading them, fitting a wall to them, thinning them.

mod broken;
mod cli;
mod fit;
mod read;
mod robust;
