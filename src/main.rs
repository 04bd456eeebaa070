//! The `rakewell` program: the command line, and the window when no command is given.

fn main() {}
