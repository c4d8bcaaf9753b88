//! x
use pintle::language::{check::{Wanted, compile}, library::{Library, Shelf, pack_name}};
use pintle::source::Files;
fn main() {
    let path = std::path::PathBuf::from(std::env::args().nth(2).unwrap());
    let name = pack_name(&path).unwrap().to_string();
    let mut lib = Library::new(vec![Shelf::Pack(path), Shelf::Folder("/work/main/rules".into()), Shelf::Folder("/work/main/examples/rules".into())]);
    let (program, slips) = compile(&mut lib, &[Wanted { name, span: None }]);
    let files = Files { packs: &lib.sources, job: None };
    let notices = program.iter().flat_map(|p| p.notices.clone());
    for s in slips.into_iter().chain(notices) {
        let at = |sp| files.place(sp).map(|(n, p)| format!("{n}:{}:{}", p.line, p.column)).unwrap_or_default();
        println!("{}: {} [{}] {}", s.span.map(at).unwrap_or_default(), s.message, s.name, s.label);
        for (sp, l) in &s.others { println!("    {} {l}", at(*sp)); }
        if let Some(h) = &s.hint { println!("    do: {h}"); }
    }
    if let Some(p) = program { println!("program: {} sections, {} tables, {} definitions", p.sections.len(), p.tables.len(), p.definitions.len()); }
}
