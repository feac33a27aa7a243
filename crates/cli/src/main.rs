//! The program `panelwright`.

fn main() {}
