//! Rule packs: text → tree → adopted and amended code → checked program. It must not know jobs, verdicts or reports.

pub mod adopt;
pub mod amend;
pub mod build;
pub mod build_expr;
pub mod build_section;
pub mod check;
pub mod check_builtin;
pub mod check_expr;
pub mod check_follow;
pub mod check_formula;
pub mod check_kind;
pub mod check_names;
pub mod check_section;
pub mod check_table;
pub mod check_vocabulary;
pub mod grammar;
pub mod library;
pub mod pack;
pub mod program;
pub mod scope;
pub mod stray;
pub mod tree;
pub mod tree_expr;
pub mod vocabulary;
pub mod walk;
