//! Written-out calculations: a judged clause is reckoned again, step by step, and every step kept as plain data: as the author
//! wrote it, with its numbers put in, its result, where each number comes from. It must not know how a calculation is drawn.

pub mod amount;
pub mod clause;
pub mod compare;
pub mod fact;
pub mod look_up;
pub mod pick;
pub mod tree;
pub mod walks;
pub mod work;
pub mod written;

pub use clause::calculation;
pub use tree::Calculation;
