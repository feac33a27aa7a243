//! `panelwright serve`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::settings;
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::net::IpAddr;
use std::path::PathBuf;
use web::{Announcement, Config};

/// Serve the bench: pages for the phone at the panel and the laptop in the truck.
///
/// One program, one data folder, no other service, and nothing outside is asked for. Prints the address, a one-time
/// code, and a QR code with both: a phone in the same network scans it and gives itself a name. A code serves one
/// device for ten minutes; further ones are made on the page Devices, where a device is also shut out.
///
/// Without --https everything in this network can be read by whoever listens in it, and a phone keeps no pages for
/// the time without a network. Ends with Ctrl-C; what was acknowledged is on the disk at any moment.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright serve
  panelwright serve --data /srv/bench --port 8080
  panelwright serve --host 127.0.0.1          for this machine alone
  panelwright serve --https --name bench.local
  panelwright serve --data /srv/bench --database postgres://panelwright@localhost/shop")]
pub(crate) struct ServeArgs {
    /// Folder in which everything is kept; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,

    #[command(flatten)]
    listen: Listen,
}

/// Where a bench listens.
#[derive(Debug, Clone, Args)]
pub(crate) struct Listen {
    /// Port; 0 takes any that is free.
    #[arg(long, value_name = "NUMBER", default_value_t = 7117)]
    port: u16,

    /// Address to listen on. Left out: all networks of this machine, or for `demo` this machine alone.
    #[arg(long, value_name = "ADDRESS")]
    host: Option<IpAddr>,

    /// Serve over HTTPS with an authority of the bench's own, whose certificate a phone installs once.
    #[arg(long)]
    https: bool,

    /// Name under which the bench is opened too; may be given several times.
    #[arg(long, value_name = "NAME")]
    name: Vec<String>,

    /// Write a line of JSON to standard error for each request: when, which kind of page, how it ended, how long it
    /// took. No name, no job, nothing that was entered. Counts for a monitor are at /metrics, for this machine alone
    /// and for whoever has the token in PANELWRIGHT_METRICS_TOKEN.
    #[arg(long)]
    log: bool,
}

/// Environment variable with the token of the monitor.
const METRICS_TOKEN: &str = "PANELWRIGHT_METRICS_TOKEN";

impl Listen {
    /// The whole configuration.
    pub(crate) fn config(
        &self,
        data: &std::path::Path,
        usual: IpAddr,
        global: &Global,
    ) -> Result<Config, Failure> {
        Ok(Config {
            data: data.to_owned(),
            database: None,
            photos: None,
            host: self.host.unwrap_or(usual),
            port: self.port,
            https: self.https,
            names: self.name.clone(),
            settings: settings(global)?,
            day: global.day,
            watching: web::Watching { log: self.log, token: std::env::var(METRICS_TOKEN).ok() },
        })
    }
}

pub(crate) fn run(args: &ServeArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let config = args.listen.config(&args.data, IpAddr::from([0, 0, 0, 0]), global)?;
    let config = Config { database: args.rows.database(), photos: args.rows.photos(), ..config };
    super::runtime()?.block_on(async {
        let served = web::start(config).await?;
        let announcement = served.announce().await.map_err(web::ServeError::Store)?;
        announce(&announcement, global, screen)?;
        served.until_told_to_stop().await?;
        Ok(Ending::Fine)
    })
}

/// Says where the bench is and how a device joins.
pub(crate) fn announce(told: &Announcement, global: &Global, screen: &mut Screen) -> Result<(), Failure> {
    if global.json {
        let line = json!({
            "here": told.here,
            "address": told.address,
            "join": told.join,
            "code": told.code,
            "expires": told.expires.to_string(),
            "authority": told.authority,
        });
        screen.line(&line.to_string())?;
        return screen.finish();
    }
    screen.line("")?;
    screen.line("The bench is open. On this machine:")?;
    screen.line(&format!("  {}", told.here))?;
    if told.reachable {
        screen.line("")?;
        screen.line("On a phone in the same network, scan this, or open the address and type the code:")?;
        screen.line("")?;
        screen.text(&told.qr)?;
        screen.line("")?;
        screen.line(&format!("  {}    code {}", told.address, told.code))?;
    }
    if let Some(authority) = &told.authority {
        screen.line("")?;
        screen.line("A phone must first install the certificate of this bench, once:")?;
        screen.line(&format!("  {authority}    (how: {})", authority.replace("authority.crt", "guide")))?;
    }
    screen.line("")?;
    screen.line(&format!("Each code lets one device in, until {}.", told.expires.strftime("%H:%M")))?;
    screen.line("More are made on the page Devices. Ctrl-C ends.")?;
    screen.finish()
}
