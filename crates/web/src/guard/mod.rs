//! What stands between the network and the pages: names, origins, headers, sign-in, tokens, limits.

mod bucket;
mod headers;
mod hosts;
mod names;
mod origin;
mod secret;

pub(crate) use bucket::Buckets;
pub(crate) use headers::secure;
pub(crate) use hosts::{Hosts, machine_addresses, without_port};
pub(crate) use names::NameBuckets;
pub(crate) use origin::foreign;
pub(crate) use secret::{chance_hex, csrf_of, hash_hex, same};
