//! The order of a walk round a gate, as data: which kinds of record are asked about after which. It must not know what is asked.

use crate::datum::DefId;
use crate::language::program::Program;

/// Kinds of record by the names of the vocabulary, in the order in which somebody walks: what is known at the desk, the gate from its
/// machine to its ends, what stands near it, what protects, what works it, the ways of people and of the fire service, power, and what
/// is done and signed at the end.
const WALK: [&str; 24] = [
    "job",
    "place",
    "gate",
    "operator",
    "leaf",
    "covered-fence",
    "roller",
    "receiver",
    "post",
    "obstacle",
    "zone",
    "beam",
    "edge",
    "inherent-sensing",
    "control",
    "sign",
    "pedestrian-way",
    "fire-access",
    "supply",
    "load",
    "run",
    "test",
    "inspection",
    "variance",
];
/// What is signed last; kinds of record of other packs are asked about before it.
pub const TEST: &str = "test";

/// Where a kind of record stands in the walk; kinds that are not named in it come in the order of their packs, before the tests.
pub fn place(program: &Program, def: DefId) -> (usize, u32) {
    let at = |name: &str| WALK.iter().position(|known| *known == name);
    let named = at(&program.definition(def).name).map(|at| at * 2);
    let unnamed = at(TEST).map_or(0, |last| (last * 2).saturating_sub(1));
    (named.unwrap_or(unnamed), def.0)
}

/// The kinds of record found in another, in the order of the walk, with their positions among its children; gathered kinds have no
/// records of their own.
pub fn children(program: &Program, def: DefId) -> Vec<(usize, DefId)> {
    let all = program.definition(def).children.iter().copied().enumerate();
    let mut found: Vec<(usize, DefId)> = all.filter(|(_, child)| program.definition(*child).gathers.is_empty()).collect();
    found.sort_by_key(|(_, child)| place(program, *child));
    found
}
