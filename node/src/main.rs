//! The `propagule` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    propagule_node::cli::main()
}
