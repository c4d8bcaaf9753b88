//! The words of a question: what is asked, how it is answered, who asks. It must not know where they are written.

use crate::language::program::{Field, Program};
use crate::quantity::Units;
use crate::slip::first_few;
use crate::survey::answer;
use crate::survey::needs::Asker;

/// Most sections that a question names.
const MOST_NAMED: usize = 3;

/// Who asks, in the order of the codes, each section once.
pub fn askers(program: &Program, askers: &[Asker]) -> String {
    let name = |asker: &Asker| match asker {
        Asker::Code(at) => program.codes[*at].name.as_str(),
        Asker::Section(at) => program.sections[*at].id.as_str(),
        Asker::Papers => "the papers: no section reads it",
    };
    first_few(&askers.iter().map(name).collect::<Vec<_>>(), MOST_NAMED, ',')
}

/// How a fact is answered: its kind by example, whether it is measured, what there is to write where there is none.
pub fn how(program: &Program, field: &Field, units: Units) -> String {
    let mut text = answer::how_of(program, field, units);
    if let Some(otherwise) = answer::otherwise(program, field) {
        text.push_str("; ");
        text.push_str(&otherwise);
    }
    text
}

/// The doc of a fact as a sentence.
pub fn sentence(doc: &str) -> String {
    if doc.ends_with(['.', '?', '!']) { doc.to_string() } else { format!("{doc}.") }
}

/// What a list or single record is asked by.
pub fn which(program: &Program, part: &crate::survey::Part) -> String {
    let definition = program.definition(part.def);
    let asked = if definition.single { "Is there one?" } else { "Which are there?" };
    format!("{} {asked}", sentence(&definition.doc))
}
