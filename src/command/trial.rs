//! `pintle trial`: runs the trials of a pack, changes the pack in small ways, and lists each change that no trial notices. It
//! must not know how a trial is judged or a pack changed.

use super::trial_place::trial_place;
use super::workbench::{Workbench, read_file};
use super::{Colour, complain, standard_failed};
use crate::job::recording::is_inside;
use crate::judge::rank::Rank;
use crate::language::check::{Wanted, compile};
use crate::language::check_trial::{CheckedTrial, Trials, VerdictWords, check_trials};
use crate::language::library::{Library, Shelf, pack_name};
use crate::language::program::Program;
use crate::language::trial_files::{read_trial_files, trials_folder};
use crate::rehearse::base::read_base;
use crate::rehearse::offer::offers;
use crate::rehearse::run::rehearse;
use crate::rehearse::trial::Ready;
use crate::report::trials::TrialReport;
use crate::report::trials_named::Named;
use crate::report::{escape, slips, trial_lines, trials};
use crate::slip::{Slip, suggest};
use crate::source::{FileId, Files, Sources};
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle trial rules/us-gates
  pintle trial .                                  (in the folder of a pack)
  pintle trial ordinances/hasp-county.rules --as lines
  pintle trial rules/field-practice --offer       (prints the boundary trials that are missing, as rule text)
  pintle trial rules/us-gates arm-gaps            (runs one trial alone and draws what it finds)

Trials stand in the folder `trials` of the pack's folder, or in NAME-trials beside NAME.rules.

Exit codes:
  0  every trial finds what is expected, and every change is noticed or let pass for a reason; of named trials, each finds it
  1  a trial finds something else, a change is not noticed, or a reason is given that nothing needs
  2  the pack or a trial has slips or cannot be read, or there are no trials";

/// Options of `pintle trial`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// A pack: a folder of rule files, one rule file, or the name of a pack in a folder `rules` here or above
    #[arg(value_name = "PACK")]
    pub place: PathBuf,
    /// Trials of that pack: only these are run, without changes of the pack, and what they find is drawn in full; any other word is a
    /// further pack
    #[arg(value_name = "NAME")]
    pub rest: Vec<PathBuf>,
    /// A pack, or a folder of packs, to look for adopted packs in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    pub packs: Vec<PathBuf>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    pub view: View,
    /// Print only the boundary trials that are missing, as rule text: just inside the limit, at it, just outside
    #[arg(long)]
    pub offer: bool,
    /// How many changes to try at once; without it, one for each core
    #[arg(long, value_name = "NUMBER")]
    pub threads: Option<usize>,
    /// Whether to use colour
    #[arg(long, value_enum, default_value = "auto", value_name = "WHEN")]
    pub colour: Colour,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// Sections, what no trial reaches, what no trial notices
    Text,
    /// One JSON object a line; `pintle schema trial` describes it
    Lines,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(options.threads.unwrap_or(0)).stack_size(8 * 1024 * 1024).build();
    let all = || asked(options).into_iter().map(|asked| one(options, asked)).collect::<Vec<_>>();
    let outcomes = match pool {
        Ok(pool) => pool.install(all),
        Err(_) => all(),
    };
    let mut exit = 0;
    let mut out = std::io::stdout().lock();
    for outcome in outcomes {
        match outcome {
            Ok((text, code)) => {
                exit = exit.max(code);
                if let Err(error) = out.write_all(text.as_bytes()) {
                    return complain(&standard_failed(&error)).max(exit);
                }
            }
            Err(why) => exit = exit.max(complain(&why)),
        }
    }
    match out.flush() {
        Ok(()) => exit,
        Err(error) => complain(&standard_failed(&error)).max(exit),
    }
}

/// The trials of a pack, read and checked, with everything that running them needs.
pub struct Stage {
    /// The pack's program.
    pub program: Program,
    /// The name of the pack.
    pub pack: String,
    /// Its own files.
    pub files: Vec<FileId>,
    /// Its trials, ready to be judged.
    pub ready: Vec<Ready>,
    /// Its trials as written, and the changes that it lets pass.
    pub trials: Trials,
    /// The text of the base jobs, read as values, by the name that trials give them.
    pub bases: BTreeMap<String, serde_yaml::Value>,
    /// The files of the pack and of its trials.
    pub sources: Sources,
}

/// Why the trials of a pack cannot be run.
pub enum Hindered {
    /// By slips, in these files.
    Slips(Vec<Slip>, Sources),
    /// By something said in one sentence.
    Why(String),
}

/// Reads a pack and its trials.
///
/// # Errors
/// What hinders the trials from being run.
pub fn stage(place: &Path, packs: &[PathBuf]) -> Result<Stage, Hindered> {
    let place = &trial_place(&Workbench::new(packs.to_vec()), place).map_err(Hindered::Why)?;
    let shown = escape::path(place);
    // A folder may be named by `.`; the pack has the name of the folder itself.
    let real = std::fs::canonicalize(place).map_err(|error| Hindered::Why(format!("{shown}: {error}")))?;
    let name = pack_name(&real).unwrap_or("").to_string();
    let folder = place.parent().unwrap_or(Path::new(""));
    let mut shelves = vec![Shelf::Pack(if pack_name(place) == Some(name.as_str()) { place.to_path_buf() } else { real })];
    shelves.push(Shelf::Folder(folder.to_path_buf()));
    shelves.extend(Workbench::new(packs.to_vec()).shelves_for(folder));
    let mut library = Library::new(shelves);
    let (program, slips) = compile(&mut library, &[Wanted { name: name.clone(), span: None }]);
    let Some(program) = program else { return Err(Hindered::Slips(slips, library.sources)) };
    let files = library.pack(&name).map(|pack| pack.files.clone()).unwrap_or_default();
    let mut sources = library.sources.clone();
    let trials_in = trials_folder(place);
    let (items, mut slips) = read_trial_files(&trials_in, &mut sources);
    if items.is_empty() && slips.is_empty() {
        let shortest = "trial NAME \"What it shows\"  job \"jobs/FILE.yaml\"  today 2026-03-02  asks PACK/SECTION  finds nothing";
        return Err(Hindered::Why(format!(
            "{shown}: no trials in {}; write a file NAME.rules there, of which this is the shortest, with each clause on an indented line of its own: \
             {shortest}; rules/TRIALS.md shows every clause",
            escape::path(&trials_in)
        )));
    }
    let words = VerdictWords { all: &Rank::WORDS, findings: Rank::finding_words() };
    let trials = check_trials(&program, &name, words, items, &mut slips);
    let bases = bases(&trials, &trials_in, &mut slips);
    let mut ready = Vec::new();
    for trial in &trials.trials {
        let Some(base) = bases.get(&trial.job.text) else { continue };
        match Ready::new(&program, trial.clone(), base) {
            Ok(trial) => ready.push(trial),
            Err(more) => slips.extend(more),
        }
    }
    if !slips.is_empty() {
        slips.sort_by_key(|slip| slip.span);
        return Err(Hindered::Slips(slips, sources));
    }
    Ok(Stage { program, pack: name, files, ready, trials, bases, sources })
}

/// Every base job that a trial names, read once.
fn bases(trials: &Trials, folder: &Path, slips: &mut Vec<Slip>) -> BTreeMap<String, serde_yaml::Value> {
    let mut names: BTreeMap<&str, &CheckedTrial> = BTreeMap::new();
    for trial in &trials.trials {
        names.entry(trial.job.text.as_str()).or_insert(trial);
    }
    let mut bases = BTreeMap::new();
    for (name, trial) in names {
        let path = folder.join(name);
        let read = match is_inside(name) {
            false => Err("a base job lies in the folder of the trials or below it".to_string()),
            true if !path.exists() => Err("there is no such file in the folder of the trials".to_string()),
            true => read_file(&path),
        };
        let read = read.map_err(|why| Slip::of_file("no-base-job", format!("`{name}`: {why}")));
        match read.and_then(|source| read_base(&source)) {
            Ok(base) => {
                bases.insert(name.to_string(), base);
            }
            Err(slip) => slips.push(Slip { span: Some(trial.job.span), label: "named here".into(), ..slip }),
        }
    }
    bases
}

/// A pack of the command line, read, with the trials of it that are named behind it: their positions.
struct Asked {
    staged: Result<Stage, Hindered>,
    named: Vec<usize>,
}

/// What the command line asks for: a word behind a pack is a trial of it where it has one of that name, and else a further pack.
fn asked(options: &Options) -> Vec<Asked> {
    let mut all: Vec<Asked> = Vec::new();
    for word in std::iter::once(&options.place).chain(&options.rest) {
        let bare = word.to_str().filter(|word| !word.contains(['/', '\\', '.']));
        if let (Some(last), Some(name)) = (all.last_mut(), bare)
            && let Ok(stage) = &last.staged
            && let Some(at) = stage.ready.iter().position(|ready| ready.trial.name.text == name)
        {
            if !last.named.contains(&at) {
                last.named.push(at);
            }
            continue;
        }
        let mut staged = stage(word, &options.packs);
        if let (Err(Hindered::Why(why)), Some(last), Some(name)) = (&mut staged, all.last(), bare) {
            match &last.staged {
                Ok(stage) => *why = no_such_trial(stage, name),
                // What cannot be read has no names to look at; its slips are told.
                Err(_) => continue,
            }
        }
        all.push(Asked { staged, named: Vec::new() });
    }
    all
}

fn no_such_trial(stage: &Stage, name: &str) -> String {
    let known = stage.ready.iter().map(|ready| ready.trial.name.text.as_str());
    let hint = suggest(name, known).unwrap_or_else(|| "a trial is named behind the word `trial` in its file".into());
    format!("{name}: {} has no trial of that name, nor is it a pack with trials; {hint}", stage.pack)
}

fn one(options: &Options, asked: Asked) -> Result<(String, u8), String> {
    let Asked { staged, named } = asked;
    let stage = match staged {
        Ok(stage) => stage,
        Err(Hindered::Why(why)) => return Err(why),
        Err(Hindered::Slips(told, sources)) => return Ok((told_slips(options, &told, &sources), 2)),
    };
    let Some(pack) = stage.program.pack(&stage.pack) else { return Err(format!("no pack `{}` is found", stage.pack)) };
    if !named.is_empty() {
        if options.offer {
            return Err(format!("--offer looks at what all trials of {} leave out: name the pack alone", stage.pack));
        }
        let trials: Vec<&Ready> = named.iter().filter_map(|at| stage.ready.get(*at)).collect();
        let report = Named { program: &stage.program, pack, sources: &stage.sources, of: stage.ready.len() };
        let (text, as_expected) = match options.view {
            View::Text => report.text(&trials, options.colour.wanted()),
            View::Lines => report.lines(&trials),
        };
        return Ok((text, u8::from(!as_expected)));
    }
    let rehearsal = rehearse(&stage.program, &stage.pack, &stage.files, &stage.ready, &stage.trials.passes);
    let exit = u8::from(!rehearsal.is_clean());
    if options.offer {
        return Ok((offers(&stage.program, &stage.ready, &stage.bases, &rehearsal), exit));
    }
    let files = Files { packs: &stage.sources, job: None };
    let report = TrialReport { pack, trials: &stage.ready, passes: &stage.trials.passes, rehearsal: &rehearsal, files };
    let text = match options.view {
        View::Text => trials::text(&report),
        View::Lines => trial_lines::lines(&report, exit),
    };
    Ok((text, exit))
}

fn told_slips(options: &Options, told: &[Slip], sources: &Sources) -> String {
    let files = Files { packs: sources, job: None };
    let colour = options.colour.wanted();
    match options.view {
        View::Text => told.iter().map(|slip| slips::drawn(slip, files, colour) + "\n").collect(),
        View::Lines => crate::report::form::Form::unjudged(&crate::report::lines::Lines, files, told),
    }
}
