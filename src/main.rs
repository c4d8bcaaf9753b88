//! The program: reads the command line, runs the command, ends with its exit code.

use clap::Parser;
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let line = match pintle::command::Line::try_parse() {
        Ok(line) => line,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(u8::from(error.use_stderr()) * 2);
        }
    };
    ExitCode::from(pintle::command::run(&line))
}
