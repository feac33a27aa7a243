//! The web face in a real browser: the scripts against a stand-in for the server, then the whole program.
//!
//! Chromium is needed (`CHROMIUM` names it where it is not on the path as `chromium`). Without it each test says so
//! and passes. The program under test is built first, or named by `PANELWRIGHT_BIN`.

#![allow(clippy::panic)] // A test that cannot go on says why and ends.

mod audit;
mod bench;
mod between;
mod chrome;
mod hand_over;
mod installed;
mod judgement;
mod no_signal;
mod outbox;
mod phone;
mod pictures;
mod replacement;
mod stand_in;
mod tab;
mod taken_name;
mod threads;
mod thumb;
mod trouble;
mod two_devices;
mod walk;
mod weight;
