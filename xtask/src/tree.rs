//! The work tree as the rules see it: sources, manifests and pages, read once.

use crate::source::Source;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A manifest of a package.
#[derive(Debug, Clone)]
pub(crate) struct Manifest {
    /// Folder of the package, relative to the root, for example `crates/model`.
    pub(crate) folder: String,
    /// What it says.
    pub(crate) table: toml::Table,
}

impl Manifest {
    /// Path of the file, relative to the root.
    pub(crate) fn path(&self) -> String {
        format!("{}/Cargo.toml", self.folder)
    }

    /// Name of the package.
    pub(crate) fn name(&self) -> &str {
        let package = self.table.get("package").and_then(toml::Value::as_table);
        package.and_then(|package| package.get("name")).and_then(toml::Value::as_str).unwrap_or("")
    }
}

/// All that the rules look at.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tree {
    /// Rust sources, sorted by path.
    pub(crate) sources: Vec<Source>,
    /// Manifests of the packages, sorted by path.
    pub(crate) manifests: Vec<Manifest>,
    /// The manifest of the workspace.
    pub(crate) workspace: toml::Table,
    /// `ARCHITECTURE.md`.
    pub(crate) architecture: String,
    /// The register of the code book's rules.
    pub(crate) register: String,
    /// Paths of all files, sorted, relative to the root.
    pub(crate) files: Vec<String>,
    /// Size in bytes of every file that git tracks, by its path.
    pub(crate) weights: Vec<(String, u64)>,
}

/// Why the tree could not be read.
#[derive(Debug, thiserror::Error)]
pub(crate) enum TreeError {
    /// A file or folder could not be read.
    #[error("{path} cannot be read")]
    Read {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A manifest is not TOML.
    #[error("{path} is not a manifest: {source}")]
    Manifest {
        /// Which.
        path: PathBuf,
        /// Why.
        source: toml::de::Error,
    },
}

/// Folder of the workspace.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

impl Tree {
    /// Reads the workspace this program was built in.
    pub(crate) fn of_workspace() -> Result<Tree, TreeError> {
        let root = root();
        let mut tree = Tree {
            workspace: manifest(&root.join("Cargo.toml"))?,
            architecture: fs::read_to_string(root.join("ARCHITECTURE.md")).unwrap_or_default(),
            register: fs::read_to_string(root.join(crate::register::PAGE)).unwrap_or_default(),
            ..Tree::default()
        };
        walk(&root, "", &mut tree.files)?;
        tree.files.sort();
        // Outside a clone nothing is tracked: then every file counts.
        let tracked = tracked(&root).unwrap_or_else(|| tree.files.clone());
        let weight = |path: String| fs::metadata(root.join(&path)).ok().map(|data| (path, data.len()));
        tree.weights = tracked.into_iter().filter_map(weight).collect();
        for path in &tree.files {
            let full = root.join(path);
            if path.ends_with(".rs") {
                let text = read(&full)?;
                tree.sources.push(Source { path: path.clone(), text });
            } else if let Some(folder) = path.strip_suffix("/Cargo.toml") {
                tree.manifests.push(Manifest { folder: folder.to_owned(), table: manifest(&full)? });
            }
        }
        Ok(tree)
    }

    /// The source with this path.
    pub(crate) fn source(&self, path: &str) -> Option<&Source> {
        let idx = self.sources.binary_search_by(|source| source.path.as_str().cmp(path)).ok()?;
        self.sources.get(idx)
    }
}

/// Paths of the files that git tracks.
fn tracked(root: &Path) -> Option<Vec<String>> {
    let listed = Command::new("git").args(["ls-files", "-z"]).current_dir(root).output().ok()?;
    let text = listed.status.success().then(|| String::from_utf8_lossy(&listed.stdout).into_owned())?;
    Some(text.split('\0').filter(|path| !path.is_empty()).map(str::to_owned).collect())
}

fn read(path: &Path) -> Result<String, TreeError> {
    fs::read_to_string(path).map_err(|source| TreeError::Read { path: path.to_path_buf(), source })
}

fn manifest(path: &Path) -> Result<toml::Table, TreeError> {
    read(path)?.parse().map_err(|source| TreeError::Manifest { path: path.to_path_buf(), source })
}

/// Collects the paths of all files below `folder`; hidden folders and build output are left out.
fn walk(root: &Path, folder: &str, files: &mut Vec<String>) -> Result<(), TreeError> {
    let full = root.join(folder);
    let fail = |source| TreeError::Read { path: full.clone(), source };
    for entry in fs::read_dir(&full).map_err(fail)? {
        let entry = entry.map_err(fail)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = if folder.is_empty() { name.clone() } else { format!("{folder}/{name}") };
        let kind = entry.file_type().map_err(fail)?;
        let build_output = name == "target" || name.starts_with("target-") || name == "node_modules";
        if kind.is_dir() && !name.starts_with('.') && !build_output {
            walk(root, &path, files)?;
        } else if kind.is_file() {
            files.push(path);
        }
    }
    Ok(())
}
