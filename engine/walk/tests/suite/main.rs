//! Walks judged without the program: each stage on a small rig, and the bundled procedures from end to end.

mod asking_on;
mod carried;
mod driver;
mod fasteners;
mod figures;
mod gates;
mod grown_old;
mod in_hand;
mod interrupted;
mod labels;
mod looks;
mod midway;
mod overall;
mod people;
mod random;
mod relooks;
mod rig;
mod stages;
mod standards;
mod stopped;
mod support;
mod taking_back;
mod verifying;
mod whole;
