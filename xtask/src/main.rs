//! House rules and chores of the workspace.

fn main() {}
