//! The thin binary: hands over to the command line and sets the exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    bedfellow::cli::run(std::env::args_os())
}
