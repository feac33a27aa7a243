//! What is told once the bench is open: where it is, and how a device joins.

use crate::qr;
use crate::serve::{Served, in_address};
use jiff::civil::DateTime;

/// What there is to tell once the bench is served.
#[derive(Debug, Clone)]
pub struct Announcement {
    /// Address for this machine, with the code for a browser on it.
    pub here: String,
    /// Address for phones, without a code; the same as for this machine where only that is served.
    pub address: String,
    /// Address for phones with the code.
    pub join: String,
    /// The code, for typing.
    pub code: String,
    /// Until when the codes may be used.
    pub expires: DateTime,
    /// [`Announcement::join`] as a QR code for a terminal.
    pub qr: String,
    /// Where a phone gets the certificate of the authority, under HTTPS.
    pub authority: Option<String>,
    /// Can other devices reach it?
    pub reachable: bool,
}

impl Served {
    /// What there is to tell; makes two invitations, for this machine and for a phone.
    ///
    /// # Errors
    /// The store fails.
    pub async fn announce(&self) -> Result<Announcement, store::Error> {
        let (own, phone) = (self.bench.invite().await?, self.bench.invite().await?);
        let setup = &self.bench.inner.setup;
        let scheme = if setup.https { "https" } else { "http" };
        let local = match self.address.ip() {
            ip if ip.is_loopback() || ip.is_unspecified() => "localhost".to_owned(),
            ip => in_address(&ip),
        };
        Ok(Announcement {
            here: format!("{scheme}://{local}:{}/join?code={}", self.address.port(), own.code),
            address: setup.address.clone(),
            qr: qr::for_terminal(&phone.address).unwrap_or_default(),
            join: phone.address,
            code: phone.code,
            expires: phone.expires,
            authority: self.plain.map(|port| {
                let host = setup.address.trim_start_matches("https://");
                let host = host.rsplit_once(':').map_or(host, |(host, _)| host);
                format!("http://{host}:{port}/authority.crt")
            }),
            reachable: !self.address.ip().is_loopback(),
        })
    }
}
