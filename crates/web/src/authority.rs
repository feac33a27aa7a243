//! HTTPS without an outside host: a certificate authority of the bench's own, which a phone installs once, and a
//! certificate of this machine's addresses, made anew at every start.
//!
//! The authority can vouch for private addresses and the names it was made with, and for nothing else: whoever steals
//! its key can not pretend to be another site to the phones that trust it.

use crate::config::ServeError;
use crate::guard::hash_hex;
use jiff::ToSpan;
use jiff::civil::Date;
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints,
};
use rustls::ServerConfig;
use rustls::crypto::ring;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Folder of the authority within the data folder.
const FOLDER: &str = "authority";
const KEY: &str = "authority.key";
const CERTIFICATE: &str = "authority.crt";
const NAMES: &str = "names.txt";

/// Days that a certificate of the machine lasts; browsers refuse more than 398.
const LEAF_DAYS: i32 = 90;

/// Years that the authority lasts.
const AUTHORITY_YEARS: i32 = 10;

/// What HTTPS is served with.
pub(crate) struct Identity {
    /// For the server.
    pub(crate) config: Arc<ServerConfig>,
    /// Certificate of the authority, PEM, for phones to install.
    pub(crate) authority: String,
}

/// The identity of this machine under its addresses and names. The authority is made where there is none.
///
/// # Errors
/// The folder cannot be read or written, a name is not one the authority may vouch for, or a key is broken.
pub(crate) fn identity(
    data: &Path,
    names: &[String],
    addresses: &[IpAddr],
    today: Date,
) -> Result<Identity, ServeError> {
    let folder = data.join(FOLDER);
    if !folder.join(KEY).exists() {
        make(&folder, names, today)?;
    }
    let known = read(&folder.join(NAMES))?;
    if let Some(name) = names.iter().find(|name| !known.lines().any(|known| known == name.as_str())) {
        return Err(ServeError::ForeignName { name: name.clone(), folder });
    }
    let key = KeyPair::from_pem(&read(&folder.join(KEY))?)?;
    let authority = read(&folder.join(CERTIFICATE))?;
    let issuer = Issuer::new(params(&key, names, today)?, key);

    let mut subjects: Vec<String> = vec!["localhost".to_owned(), "127.0.0.1".to_owned(), "::1".to_owned()];
    subjects.extend(names.iter().cloned());
    subjects.extend(addresses.iter().filter(|address| is_private(address)).map(IpAddr::to_string));
    let mut leaf = CertificateParams::new(subjects)?;
    leaf.distinguished_name = named("Panelwright bench");
    lasting(&mut leaf, today, LEAF_DAYS);
    leaf.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    leaf.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    leaf.use_authority_key_identifier_extension = true;
    let leaf_key = KeyPair::generate()?;
    let leaf = leaf.signed_by(&leaf_key, &issuer)?;

    let chain: Vec<CertificateDer<'static>> = vec![leaf.der().clone()];
    let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(leaf_key.serialize_der()));
    let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(chain, key)?;
    config.alpn_protocols = vec![b"h2".to_vec(), b"http/1.1".to_vec()];
    Ok(Identity { config: Arc::new(config), authority })
}

fn make(folder: &Path, names: &[String], today: Date) -> Result<(), ServeError> {
    fs::create_dir_all(folder).map_err(|source| failed(folder, source))?;
    let key = KeyPair::generate()?;
    let certificate = params(&key, names, today)?.self_signed(&key)?;
    write(&folder.join(NAMES), &names.iter().map(|name| format!("{name}\n")).collect::<String>())?;
    write(&folder.join(CERTIFICATE), &certificate.pem())?;
    // The key last: where it is, the rest is there too.
    write(&folder.join(KEY), &key.serialize_pem())
}

/// What the authority is; everything but its validity comes from key and names.
fn params(key: &KeyPair, names: &[String], today: Date) -> Result<CertificateParams, ServeError> {
    let tag = hash_hex("authority", &key.public_key_pem());
    let mut params = CertificateParams::new(Vec::new())?;
    params.distinguished_name = named(&format!("Panelwright bench authority {}", &tag[..6]));
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    lasting(&mut params, today, AUTHORITY_YEARS * 365);
    let mut permitted: Vec<GeneralSubtree> =
        PRIVATE.iter().map(|(address, prefix)| subnet(*address, *prefix)).collect();
    permitted.push(GeneralSubtree::DnsName("localhost".to_owned()));
    permitted.extend(
        names.iter().filter(|name| name.parse::<IpAddr>().is_err()).cloned().map(GeneralSubtree::DnsName),
    );
    params.name_constraints =
        Some(NameConstraints { permitted_subtrees: permitted, excluded_subtrees: Vec::new() });
    Ok(params)
}

/// Networks that are nobody's on the internet: RFC 1918, 6598, 3927, 4193, 4291, and the loop-backs.
const PRIVATE: [(IpAddr, u8); 9] = [
    (IpAddr::V4(std::net::Ipv4Addr::new(10, 0, 0, 0)), 8),
    (IpAddr::V4(std::net::Ipv4Addr::new(172, 16, 0, 0)), 12),
    (IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 0, 0)), 16),
    (IpAddr::V4(std::net::Ipv4Addr::new(100, 64, 0, 0)), 10),
    (IpAddr::V4(std::net::Ipv4Addr::new(169, 254, 0, 0)), 16),
    (IpAddr::V4(std::net::Ipv4Addr::new(127, 0, 0, 0)), 8),
    (IpAddr::V6(std::net::Ipv6Addr::new(0xfc00, 0, 0, 0, 0, 0, 0, 0)), 7),
    (IpAddr::V6(std::net::Ipv6Addr::new(0xfe80, 0, 0, 0, 0, 0, 0, 0)), 10),
    (IpAddr::V6(std::net::Ipv6Addr::LOCALHOST), 128),
];

fn subnet(address: IpAddr, prefix: u8) -> GeneralSubtree {
    GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(address, prefix))
}

/// Is the address in a network that the authority may vouch for?
fn is_private(address: &IpAddr) -> bool {
    let bits = |address: &IpAddr| match address {
        IpAddr::V4(four) => u128::from(u32::from(*four)) << 96,
        IpAddr::V6(six) => u128::from(*six),
    };
    PRIVATE.iter().any(|(network, prefix)| {
        network.is_ipv4() == address.is_ipv4()
            && (bits(network) ^ bits(address)) >> (128 - u32::from(*prefix)) == 0
    })
}

fn named(name: &str) -> DistinguishedName {
    let mut distinguished = DistinguishedName::new();
    distinguished.push(DnType::CommonName, name);
    distinguished
}

/// Lets a certificate hold from two days ago, for clocks that are wrong, for so many days.
fn lasting(params: &mut CertificateParams, today: Date, days: i32) {
    let day = |days: i32| {
        let date = today.checked_add(days.days()).unwrap_or(today);
        rcgen::date_time_ymd(i32::from(date.year()), date.month() as u8, date.day() as u8)
    };
    (params.not_before, params.not_after) = (day(-2), day(days));
}

fn read(path: &Path) -> Result<String, ServeError> {
    fs::read_to_string(path).map_err(|source| failed(path, source))
}

/// Writes a file that only the owner may read.
fn write(path: &Path, text: &str) -> Result<(), ServeError> {
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path).map_err(|source| failed(path, source))?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(|source| failed(path, source))
}

fn failed(path: &Path, source: std::io::Error) -> ServeError {
    ServeError::Authority { path: PathBuf::from(path), source }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TODAY: Date = jiff::civil::date(2026, 3, 4);

    #[test]
    fn the_authority_stays_and_only_the_owner_reads_its_key() {
        let data = tempfile::tempdir().expect("a folder");
        let first = identity(data.path(), &[], &["192.168.7.20".parse().expect("one")], TODAY).expect("made");
        let again = identity(data.path(), &[], &[], TODAY).expect("found");
        assert_eq!(first.authority, again.authority, "phones have it installed");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let key = fs::metadata(data.path().join(FOLDER).join(KEY)).expect("the key is there");
            assert_eq!(key.permissions().mode() & 0o777, 0o600);
        }
        let refused =
            identity(data.path(), &["bench.example".to_owned()], &[], TODAY).err().expect("a name more");
        assert!(refused.to_string().contains("bench.example"), "{refused}");
    }

    #[test]
    fn private_addresses_are_told_from_public_ones() {
        let of = |text: &str| is_private(&text.parse().expect("an address"));
        assert!(of("192.168.7.20") && of("10.1.2.3") && of("172.31.0.1") && of("fd00::1") && of("::1"));
        assert!(!of("172.32.0.1") && !of("198.51.100.1") && !of("2001:db8::1") && !of("192.169.0.1"));
    }
}
