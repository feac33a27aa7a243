//! File systems for a test: small ones and read-only ones. They need the rights of root; without them a test says
//! that it was left out.

use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A mounted file system, gone again at the end of the test.
pub(crate) struct Mounted {
    _folder: TempDir,
    path: PathBuf,
}

impl Mounted {
    /// A file system in memory of so many kilobytes.
    pub(crate) fn of_size(kilobytes: u32) -> Option<Self> {
        let size = format!("size={kilobytes}k");
        Self::mount(|path| vec![vec!["-t".into(), "tmpfs".into(), "-o".into(), size, "tmpfs".into(), path]])
    }

    /// A folder as it is, but read-only.
    pub(crate) fn read_only(folder: &Path) -> Option<Self> {
        let folder = folder.to_string_lossy().into_owned();
        Self::mount(|path| {
            vec![
                vec!["--bind".into(), folder, path.clone()],
                vec!["-o".into(), "remount,bind,ro".into(), path],
            ]
        })
    }

    fn mount(steps: impl FnOnce(String) -> Vec<Vec<String>>) -> Option<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("mounted");
        std::fs::create_dir(&path).expect("a folder");
        let mut mounted = None;
        for step in steps(path.to_string_lossy().into_owned()) {
            let done = Command::new("mount").args(step).output().is_ok_and(|output| output.status.success());
            if !done {
                eprintln!("left out: this test needs the right to mount a file system");
                return None;
            }
            if mounted.is_none() {
                mounted = Some(path.clone());
            }
        }
        mounted.map(|path| Mounted { _folder: folder, path })
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Mounted {
    fn drop(&mut self) {
        // Lazily: a thread of the database may not have let its file go yet.
        let _ = Command::new("umount").arg("--lazy").arg(&self.path).output();
    }
}
