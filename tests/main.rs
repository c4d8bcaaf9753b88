//! All tests of the program from outside: one binary, one folder a kind of test, cases as files.

mod agree;
mod cases;
mod manual;
mod second;
mod shape;
