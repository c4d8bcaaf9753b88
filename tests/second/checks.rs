//! The second evaluator tried on itself.
