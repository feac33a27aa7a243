//! Where rows and photos of a bench lie: in its data folder, or on a server each.

use clap::Args;
use store::{Bucket, Options};

/// Environment variable with the address: on the command line others of this machine would see its password.
const DATABASE: &str = "PANELWRIGHT_DATABASE";

/// Environment variable with the bucket for photos.
const PHOTOS: &str = "PANELWRIGHT_PHOTOS";

/// Where rows and photos lie.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct Rows {
    /// PostgreSQL server that has the rows instead of the data folder, `postgres://user@host/database`; the folder
    /// still has the photos. Left out: what PANELWRIGHT_DATABASE says, which hides a password better.
    #[arg(long, value_name = "ADDRESS")]
    database: Option<String>,
    /// Bucket that has the photos instead of the data folder, `s3://bucket/prefix`: any server that speaks the S3 protocol.
    /// Its keys and its address are taken from the environment: AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY, AWS_ENDPOINT_URL,
    /// AWS_REGION. Left out: what PANELWRIGHT_PHOTOS says.
    #[arg(long, value_name = "BUCKET")]
    photos: Option<String>,
}

impl Rows {
    /// The address, where one is given.
    pub(crate) fn database(&self) -> Option<String> {
        let given = self.database.clone().or_else(|| std::env::var(DATABASE).ok());
        given.filter(|address| !address.is_empty())
    }

    /// The bucket, where one is given.
    pub(crate) fn photos(&self) -> Option<Bucket> {
        let given = self.photos.clone().or_else(|| std::env::var(PHOTOS).ok());
        given.filter(|address| !address.is_empty()).map(|address| Bucket::from_env(&address))
    }

    /// As the store takes it.
    pub(crate) fn options(&self) -> Options {
        Options { database: self.database(), bucket: self.photos(), ..Options::default() }
    }
}
