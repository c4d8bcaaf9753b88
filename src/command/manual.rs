//! `pintle manual`: manual pages and shell completions, made from the same definitions as `--help`. It must not know what a command
//! does.

use super::sink::write_whole;
use super::{Line, complain, standard_failed};
use crate::report::escape;
use clap::{Args, Command, CommandFactory};
use clap_complete::Shell;
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle manual --pages man/man1
  pintle manual --pages ~/.local/share/man/man1
  pintle manual --completion bash > ~/.local/share/bash-completion/completions/pintle
  pintle manual --completion zsh > ~/.zfunc/_pintle       (a folder that is on fpath)
  pintle manual --completion fish > ~/.config/fish/completions/pintle.fish

The folder of a completion must be there already; a new shell reads it.";

/// Options of `pintle manual`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
#[group(required = true, multiple = true)]
pub struct Options {
    /// Write a manual page for each command into this folder
    #[arg(long, value_name = "FOLDER")]
    pub pages: Option<PathBuf>,
    /// Print what this shell needs to complete the command line
    #[arg(long, value_enum, value_name = "SHELL")]
    pub completion: Option<Shell>,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let pages = options.pages.as_deref().map_or(Ok(()), pages);
    match pages.and_then(|()| options.completion.map_or(Ok(()), completion)) {
        Ok(()) => 0,
        Err(why) => complain(&why),
    }
}

/// One page for the program and one for each command.
fn pages(folder: &Path) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|error| format!("--pages {}: {error}", escape::path(folder)))?;
    let mut program = Line::command();
    // Building gives each command its full name.
    program.build();
    for command in program.get_subcommands() {
        page(folder, command.clone())?;
    }
    page(folder, program)
}

fn page(folder: &Path, command: Command) -> Result<(), String> {
    let file = folder.join(format!("{}.1", command.get_display_name().unwrap_or(command.get_name())));
    let mut text = Vec::new();
    clap_mangen::Man::new(command).render(&mut text).map_err(|error| error.to_string())?;
    let text = String::from_utf8(text).map_err(|error| error.to_string())?;
    write_whole(&file, &text)
}

fn completion(shell: Shell) -> Result<(), String> {
    let mut program = Line::command();
    let name = program.get_name().to_string();
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut program, name, &mut text);
    let mut out = std::io::stdout().lock();
    out.write_all(&text).and_then(|()| out.flush()).map_err(|error| standard_failed(&error))
}
