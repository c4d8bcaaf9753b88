//! Reports: verdicts and rehearsals → terminal, plain sentences, JSON lines, calculations, SARIF, test XML, a summary; packs →
//! documents; punch lists and pins. Everything that a file contains is escaped here. It must not judge anything.

pub mod calcs;
pub mod document;
pub mod drawing;
pub mod effect;
pub mod effect_lines;
pub mod envelope_lines;
pub mod envelopes;
pub mod escape;
pub mod excerpt;
pub mod findings;
pub mod form;
pub mod lines;
pub mod list_file;
pub mod markdown;
pub mod miss;
pub mod numbered;
pub mod page;
pub mod pins;
pub mod plain;
pub mod printed;
pub mod punch_file;
pub mod punch_list;
pub mod punch_writing;
pub mod region;
pub mod sarif;
pub mod sarif_result;
pub mod slips;
pub mod summary;
pub mod test_xml;
pub mod text;
pub mod totals;
pub mod trial_lines;
pub mod trials;
