//! Does the user see the right thing? Runs the built program as a user would.

mod board;
mod code;
mod endings;
mod folders;
mod install;
mod json;
mod killed;
mod layout;
mod learn;
mod many;
mod offer;
mod operations;
mod papers;
mod program;
mod reference;
mod text;
mod two_visits;
