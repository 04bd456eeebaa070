//! The `rakewell` program: the command line, and the window when no command is given.

use std::process::ExitCode;

fn main() -> ExitCode {
    rakewell::cli::run(std::env::args_os())
}
