//! The program: reads the command line, runs the command, ends with its exit code.

#![forbid(unsafe_code)]

use clap::Parser;
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let line = match pintle::command::Line::try_parse() {
        Ok(line) => line,
        Err(error) => {
            return ExitCode::from(pintle::command::show_usage(&error));
        }
    };
    ExitCode::from(pintle::command::run(&line))
}
