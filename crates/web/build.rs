//! Brings the module for phones along, where `cargo xtask phone` has built it.

use std::path::Path;

fn main() {
    // The folder, not the file: a file that is not there would count as changed each time.
    println!("cargo::rerun-if-changed=built");
    println!("cargo::rustc-check-cfg=cfg(phone_module)");
    if Path::new("built/phone.wasm").is_file() {
        println!("cargo::rustc-cfg=phone_module");
    }
}
