//! The web face in a real browser: the scripts against a stand-in for the server, then the whole program.
//!
//! Chromium is needed (`CHROMIUM` names it where it is not on the path as `chromium`). Without it each test says so
//! and passes. The program under test is built first, or named by `PANELWRIGHT_BIN`.

mod bench;
mod chrome;
mod judgement;
mod no_signal;
mod outbox;
mod stand_in;
mod tab;
mod two_devices;
