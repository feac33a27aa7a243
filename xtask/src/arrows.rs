//! The arrow table: what each package of the workspace may use, inside and outside.
//!
//! `cargo xtask tidy` compares it with every `Cargo.toml`, both ways: a dependency that is not here is an error,
//! and so is an entry here that no manifest uses. A new line needs a reason in the commit that adds it.

/// What one package may use.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Crate {
    /// Name of the package and of its folder.
    pub(crate) name: &'static str,
    /// Free of I/O, clock, threads, globals and random sources, and built for wasm32?
    pub(crate) pure: bool,
    /// Packages of this workspace it may use.
    pub(crate) internal: &'static [&'static str],
    /// Packages of this workspace that only its tests may use.
    pub(crate) internal_dev: &'static [&'static str],
    /// Outside packages.
    pub(crate) outside: &'static [&'static str],
    /// Outside packages of its tests.
    pub(crate) outside_dev: &'static [&'static str],
    /// Outside packages of its build script.
    pub(crate) outside_build: &'static [&'static str],
}

const NOTHING: Crate = Crate {
    name: "",
    pure: false,
    internal: &[],
    internal_dev: &[],
    outside: &[],
    outside_dev: &[],
    outside_build: &[],
};

/// Every package of the workspace, from the nouns to the faces.
pub(crate) const CRATES: &[Crate] = &[
    Crate { name: "model", pure: true, outside: &["jiff", "libm", "thiserror"], ..NOTHING },
    Crate {
        name: "record",
        pure: true,
        internal: &["model"],
        outside: &[
            "jiff",
            "jsonc-parser",
            "schemars",
            "serde",
            "serde_json",
            "sha2",
            "strsim",
            "thiserror",
            "toml",
        ],
        outside_dev: &["insta", "proptest"],
        ..NOTHING
    },
    Crate {
        name: "codebook",
        pure: true,
        internal: &["model"],
        outside: &["csv", "jiff", "libm", "quick-xml", "serde", "thiserror", "toml"],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "physics",
        pure: true,
        internal: &["model"],
        outside: &["csv", "libm", "nalgebra", "serde", "thiserror"],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "inference",
        pure: true,
        internal: &["model", "physics"],
        outside: &[
            "libm",
            "nalgebra",
            "rand_chacha",
            "rand_core",
            "rand_distr",
            "serde",
            "thiserror",
            "toml",
        ],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "remedy",
        pure: true,
        internal: &["model", "physics"],
        outside: &[
            "csv",
            "jiff",
            "libm",
            "petgraph",
            "rand_chacha",
            "rand_core",
            "serde",
            "strsim",
            "thiserror",
            "toml",
        ],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "papers",
        pure: true,
        internal: &["model"],
        outside: &[
            "comemo",
            "notosans",
            "qrcode",
            "serde",
            "serde_json",
            "textwrap",
            "thiserror",
            "toml",
            "typst",
            "typst-kit",
            "typst-layout",
            "typst-pdf",
            "unicode-segmentation",
            "unicode-width",
        ],
        outside_dev: &["insta", "jiff", "proptest", "serde_json", "unicode-width"],
        ..NOTHING
    },
    Crate {
        name: "study",
        pure: true,
        internal: &["model", "record", "codebook", "physics", "inference", "remedy", "papers"],
        outside: &["jiff", "schemars", "serde", "serde_json", "thiserror"],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "pages",
        pure: true,
        internal: &["model", "record", "study"],
        outside: &["jiff", "maud", "sha2"],
        outside_dev: &["insta", "proptest"],
        ..NOTHING
    },
    // A module for browsers; what it exports keeps the answer in a place of the thread, so it is not pure itself.
    Crate {
        name: "phone",
        internal: &["model", "pages", "record", "study"],
        outside: &["jiff", "serde", "serde_json"],
        outside_dev: &["proptest"],
        ..NOTHING
    },
    Crate {
        name: "store",
        internal: &["model", "record"],
        outside: &[
            "futures-util",
            "getrandom",
            "http-body-util",
            "jiff",
            "object_store",
            "rustls",
            "serde",
            "serde_json",
            "sha2",
            "sqlx",
            "thiserror",
            "tokio",
            "ureq",
            "zip",
        ],
        outside_dev: &["hyper-util", "proptest", "s3s", "s3s-fs", "tempfile"],
        ..NOTHING
    },
    Crate {
        name: "web",
        internal: &["model", "pages", "record", "store", "study"],
        outside: &[
            "argon2",
            "async-stream",
            "axum",
            "axum-server",
            "fast_image_resize",
            "futures-util",
            "getrandom",
            "image",
            "jiff",
            "local-ip-address",
            "qrcode",
            "rayon",
            "rcgen",
            "rustix",
            "rustls",
            "serde",
            "serde_json",
            "sha2",
            "thiserror",
            "tokio",
            "tower-http",
            "ureq",
        ],
        outside_dev: &["sqlx", "tempfile", "tower", "zip"],
        ..NOTHING
    },
    Crate {
        name: "cli",
        internal: &["study", "model", "record", "store", "web"],
        outside: &[
            "anstream",
            "anstyle",
            "clap",
            "jiff",
            "rayon",
            "serde_json",
            "textwrap",
            "thiserror",
            "tokio",
        ],
        outside_dev: &["insta"],
        ..NOTHING
    },
    // Packages that only test. The proving ground takes no `physics`: its simulator must not be the judge's model.
    Crate {
        name: "reference",
        internal_dev: &["codebook", "inference", "model", "physics", "record", "remedy"],
        outside_dev: &["libm", "nalgebra", "serde_json", "toml"],
        ..NOTHING
    },
    Crate {
        name: "browser",
        outside_dev: &["chromiumoxide", "futures-util", "serde", "serde_json", "tempfile", "tokio", "zip"],
        ..NOTHING
    },
    Crate {
        name: "proving",
        internal: &["model", "record", "study"],
        outside: &["clap", "nalgebra", "rand_chacha", "rand_core", "rand_distr", "rayon", "thiserror"],
        ..NOTHING
    },
    // A workspace of its own: it needs the nightly toolchain.
    Crate { name: "fuzz", internal: &["model", "record"], outside: &["libfuzzer-sys"], ..NOTHING },
    // Writes the register of the code book.
    Crate {
        name: "xtask",
        internal: &["codebook"],
        outside: &["proc-macro2", "syn", "thiserror", "toml"],
        ..NOTHING
    },
];
