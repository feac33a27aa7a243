//! Names and addresses under which the bench answers. A page of another site that had its name pointed at this
//! machine sends that name; it is refused.

use std::collections::BTreeSet;
use std::net::IpAddr;
use std::sync::{PoisonError, RwLock};
use std::time::{Duration, Instant};

/// How often the machine is asked again for its addresses when an unknown one comes.
const LOOK_AGAIN: Duration = Duration::from_secs(5);

/// Names and addresses of this machine.
#[derive(Debug)]
pub(crate) struct Hosts {
    names: BTreeSet<String>,
    fixed: bool,
    addresses: RwLock<(BTreeSet<IpAddr>, Instant)>,
}

impl Hosts {
    /// The loop-back, the machine's addresses, and these names.
    pub(crate) fn new(names: &[String]) -> Self {
        let mut known: BTreeSet<String> = names.iter().map(|name| name.to_lowercase()).collect();
        known.insert("localhost".to_owned());
        Hosts {
            names: known,
            fixed: false,
            addresses: RwLock::new((machine_addresses().into_iter().collect(), Instant::now())),
        }
    }

    /// Is this host, as a browser sends it (with or without a port), one of ours?
    pub(crate) fn knows(&self, host: &str) -> bool {
        let name = without_port(host).to_lowercase();
        let bare = name.strip_prefix('[').and_then(|name| name.strip_suffix(']')).unwrap_or(&name);
        match bare.parse::<IpAddr>() {
            Ok(address) => self.knows_address(address),
            Err(_) => self.names.contains(name.trim_end_matches('.')),
        }
    }

    fn knows_address(&self, address: IpAddr) -> bool {
        let known = self.addresses.read().unwrap_or_else(PoisonError::into_inner);
        if address.is_loopback() || known.0.contains(&address) || self.names.contains(&address.to_string()) {
            return true;
        }
        if self.fixed || known.1.elapsed() < LOOK_AGAIN {
            return false;
        }
        drop(known);
        // The machine may have joined another network since.
        let fresh: BTreeSet<IpAddr> = machine_addresses().into_iter().collect();
        let found = fresh.contains(&address);
        *self.addresses.write().unwrap_or_else(PoisonError::into_inner) = (fresh, Instant::now());
        found
    }
}

/// Addresses of this machine in its networks, those that a phone can reach first; loop-back and link-local ones left
/// out.
pub(crate) fn machine_addresses() -> Vec<IpAddr> {
    let mut found: Vec<IpAddr> = Vec::new();
    if let Ok(first) = local_ip_address::local_ip() {
        found.push(first);
    }
    if let Ok(all) = local_ip_address::list_afinet_netifas() {
        found.extend(all.into_iter().map(|(_, address)| address));
    }
    let usable = |address: &IpAddr| match address {
        IpAddr::V4(four) => !four.is_loopback() && !four.is_link_local() && !four.is_unspecified(),
        IpAddr::V6(six) => !six.is_loopback() && !six.is_unicast_link_local() && !six.is_unspecified(),
    };
    let mut kept: Vec<IpAddr> = Vec::new();
    for address in found.into_iter().filter(usable) {
        if !kept.contains(&address) {
            kept.push(address);
        }
    }
    kept.sort_by_key(IpAddr::is_ipv6);
    kept
}

/// The name of a host without its port.
pub(crate) fn without_port(host: &str) -> &str {
    if host.starts_with('[') {
        return host.find(']').map_or(host, |end| &host[..=end]);
    }
    match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|byte| byte.is_ascii_digit()) && !name.contains(':') => name,
        _ => host,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hosts() -> Hosts {
        Hosts {
            names: ["localhost".to_owned(), "bench.example".to_owned()].into(),
            fixed: true,
            addresses: RwLock::new(([IpAddr::from([192, 168, 7, 20])].into(), Instant::now())),
        }
    }

    #[test]
    fn own_names_are_known_with_and_without_port() {
        for host in [
            "localhost",
            "LOCALHOST:7117",
            "127.0.0.1:7117",
            "[::1]:7117",
            "[::1]",
            "192.168.7.20:7117",
            "bench.example.",
        ] {
            assert!(hosts().knows(host), "{host}");
        }
    }

    #[test]
    fn other_names_are_not() {
        for host in [
            "",
            "evil.example",
            "localhost.evil.example",
            "192.168.7.21",
            "192.168.7.20.evil.example",
            "bench.example:80:80",
            "[::2]",
            "[::1",
            "127.0.0.1@evil.example",
        ] {
            assert!(!hosts().knows(host), "{host}");
        }
    }
}
