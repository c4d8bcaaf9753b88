//! All tests of the program from outside: one binary, one folder a kind of test, cases as files.

mod agree;
mod browser;
mod calcs;
mod cases;
mod cli;
mod drawing;
mod effect;
mod embedded;
mod envelope;
mod exact;
mod examples;
mod hostile;
mod laws;
mod manual;
mod minimums;
mod outside;
mod printed;
mod readme;
mod reckon;
mod revisit;
mod second;
mod shape;
mod sheet;
mod survey;
mod trials;
mod walks;
