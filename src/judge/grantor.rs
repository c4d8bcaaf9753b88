//! Whether who granted a variance may grant it: the authority of every code by which the text is in force, and nobody who is responsible
//! for the job. It must not know what the variance allows.

use crate::datum::Datum;
use crate::job::{Fact, Job, RecordId};
use crate::language::program::{Program, Section};

/// Why a variance excuses nothing, whatever it allows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unfit {
    /// Granted by somebody whom the job names in this role.
    Own(&'static str),
    /// Granted by another than the authorities of these codes.
    Other(Vec<String>),
    /// No code by which the text is in force names its authority, so nobody can tell who may grant anything.
    Unknown(Vec<String>),
}

/// The roles of a job whose holders must not let themselves off.
const ROLES: [&str; 3] = ["installer", "surveyor", "owner"];

/// Why the one who granted a variance cannot excuse what this section asks; nothing where they can.
pub fn unfit(program: &Program, job: &Job, section: &Section, authority: &str) -> Option<Unfit> {
    if let Some(role) = ROLES.into_iter().find(|role| holder(program, job, role).is_some_and(|holder| same(holder, authority))) {
        return Some(Unfit::Own(role));
    }
    let mut nameless = Vec::new();
    let mut others: Vec<String> = Vec::new();
    for code in above_all(program, section) {
        match program.pack(code).map(|pack| pack.authority.as_str()).filter(|name| !name.trim().is_empty()) {
            None => nameless.push(code.to_string()),
            Some(name) if same(name, authority) => {}
            Some(name) if others.iter().any(|known| known == name) => {}
            Some(name) => others.push(name.to_string()),
        }
    }
    match (others.is_empty(), nameless.is_empty()) {
        (true, true) => None,
        (false, _) => Some(Unfit::Other(others)),
        (true, false) => Some(Unfit::Unknown(nameless)),
    }
}

/// The codes by which a section is in force, without those that another of them adopts: a national text stands under the local code that takes
/// it in, and there the local authority decides.
fn above_all<'a>(program: &'a Program, section: &Section) -> Vec<&'a str> {
    let roots: Vec<_> = section.roots.iter().filter_map(|root| program.codes.get(*root)).collect();
    let taken_in = |name: &str| roots.iter().any(|other| other.name != name && other.packs.iter().any(|pack| pack == name));
    roots.iter().map(|code| code.name.as_str()).filter(|name| !taken_in(name)).collect()
}

/// Who holds a role, as the job says.
fn holder<'j>(program: &Program, job: &'j Job, role: &str) -> Option<&'j str> {
    let field = program.definitions.first()?.field(role)?;
    match job.record(RecordId::ROOT).facts.get(field)? {
        Fact::Stated(stated) => match &stated.datum {
            Datum::Text(text) => Some(text),
            _ => None,
        },
        _ => None,
    }
}

/// Whether two names are one, whatever their blanks and capitals are.
fn same(one: &str, other: &str) -> bool {
    let plain = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(one) == plain(other)
}
