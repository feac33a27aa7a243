//! `cargo xtask phone`: builds the phone's module and lays it where the build of `web` finds it.

use crate::tree::root;
use std::fs;
use std::process::{Command, ExitCode, Stdio};

/// Where it is laid; git ignores it.
const LAID: &str = "crates/web/built/phone.wasm";

/// Builds it. A target folder of its own, as for everything that is built for wasm32.
pub(crate) fn build() -> ExitCode {
    let mut command = Command::new("bash");
    command.args(["scripts/wasm.sh", "build", "--profile", "phone", "-p", "phone"]);
    match command.current_dir(root()).stdin(Stdio::null()).status() {
        Ok(status) if status.success() => {}
        Ok(status) => {
            eprintln!("phone: the build ended with {status}");
            return ExitCode::FAILURE;
        }
        Err(error) => {
            eprintln!("phone: bash cannot be started: {error}");
            return ExitCode::FAILURE;
        }
    }
    let target =
        std::env::var_os("CARGO_TARGET_DIR").map_or(root().join("target"), |folder| root().join(folder));
    let built = target.join("wasm/wasm32-unknown-unknown/phone/phone.wasm");
    match fs::copy(&built, root().join(LAID)) {
        Ok(n_bytes) => {
            println!("phone: {LAID}, {} kB", n_bytes / 1000);
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("phone: {} cannot be copied: {error}", built.display());
            ExitCode::FAILURE
        }
    }
}
