//! Pintle checks jobs of automated vehicle gates against rule packs: codes written in a small language, as data.
//!
//! Data flows one way, top to bottom; a module imports only what stands above it, and `tests/shape.rs` fails on an upward
//! import. Each layer, with what it must not know:
//!
//! | module | turns | into | must not know |
//! | --- | --- | --- | --- |
//! | [`source`] | bytes | files, spans, line tables | what the text means |
//! | [`slip`] | something wrong with a file | one shape for every such message | who raises it, how it is drawn |
//! | [`quantity`] | `16 ft 6 in` | exact numbers with dimensions, intervals, dates, wire sizes | rules, jobs |
//! | [`datum`] | | kinds, values and word lists | where a value came from |
//! | [`reckon`] | plain numbers | the calculations of the trade | rules, units, jobs, truth values |
//! | [`builtin`] | | one row a calculation offered to rules | trees, jobs, verdicts |
//! | [`language`] | rule files | trees, adopted and amended code, a checked program | jobs, verdicts, reports |
//! | [`neaten`] | a rule file | the same file in the one layout | what any name means |
//! | [`job`] | a YAML file | a located tree, records of the vocabulary | sections, verdicts, reports |
//! | [`judge`] | a program and a job | verdicts, and explanations of them | files, terminals, reports |
//! | [`rehearse`] | a program and its trials | what the trials exercise, and the changes that they do not notice | files, terminals, reports |
//! | [`envelope`] | a program, a job and one of its measures | the ranges in which it meets every section | files, terminals, reports |
//! | [`scene`] | a judged gate | plain shapes in the drawing's coordinates, with their measures and findings | SVG, pages, terminals |
//! | [`survey`] | a program and a kind of gate, a job, or two | the questions of a survey, what is open, what moved | files, terminals, reports |
//! | [`calculation`] | a verdict | its calculation, step by step, as plain data | terminals, reports |
//! | [`report`] | verdicts | terminal view, plain sentences, JSON lines, calculations, handover sheets, SARIF, test XML, summary | how anything is judged |
//! | [`command`] | a command line | one run and its exit code | the inside of any of the above |
//!
//! Judging is three-valued and exact: see [`judge::doubt`] and [`judge::verdict`]. Nothing passes by being absent, and doubt
//! never comes out as *met*.

#![forbid(unsafe_code)]

// What pest makes of the grammar names it, since its own standard library is left out.
extern crate alloc;

pub mod source;

pub mod slip;

pub mod quantity;

pub mod datum;

pub mod reckon;

pub mod builtin;

pub mod language;

pub mod neaten;

pub mod job;

pub mod judge;

pub mod rehearse;

pub mod envelope;

pub mod scene;

pub mod survey;

pub mod calculation;

pub mod report;

pub mod command;
