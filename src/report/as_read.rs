//! Names the measured values that were judged exactly as read, since nobody stated a tolerance. It must not know what they were compared with.

use crate::job::Job;
use crate::judge::paths::thing_name;
use crate::language::program::Program;
use crate::slip::first_few;

/// Most things that a list names.
pub const MOST: usize = 12;

/// A line a thing, in the order of the job: its name and its values.
pub fn names(program: &Program, job: &Job) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut last = None;
    for (id, at) in &job.judged_as_read {
        let name = program.definition(job.record(*id).def).fields.get(*at).map_or("", |field| field.name.as_str());
        match all.last_mut().filter(|_| last == Some(*id)) {
            Some(line) => {
                line.push_str(", ");
                line.push_str(name);
            }
            None => all.push(format!("{}: {name}", thing_name(program, job, *id))),
        }
        last = Some(*id);
    }
    all
}

/// The first of them as one text, and how many things more there are.
pub fn told(names: &[String]) -> String {
    first_few(names, MOST, ';')
}
