//! All tests of the program from outside: one binary, one folder a kind of test, cases as files.

mod agree;
mod cases;
mod cli;
mod examples;
mod manual;
mod readme;
mod second;
mod shape;
