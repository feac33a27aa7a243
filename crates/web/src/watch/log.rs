//! One line of JSON a request on standard error, for a log that somebody else reads: when, which kind of address, how it
//! ended, how long it took, which device by a hash. No name, no job, no address, no query, nothing that was entered.

use crate::clock;
use serde_json::json;

/// A request that was answered.
pub(crate) struct Event<'a> {
    pub(crate) method: &'static str,
    pub(crate) route: &'a str,
    pub(crate) status: u16,
    pub(crate) ms: u128,
    pub(crate) device: Option<&'a str>,
}

/// Writes the line.
pub(crate) fn log(event: &Event<'_>) {
    eprintln!("{}", line(event));
}

fn line(event: &Event<'_>) -> String {
    let level = if event.status < 500 { "info" } else { "error" };
    let ms = u64::try_from(event.ms).unwrap_or(u64::MAX);
    json!({
        "t": format!("{}Z", clock::utc()),
        "level": level,
        "event": "request",
        "method": event.method,
        "route": event.route,
        "status": event.status,
        "ms": ms,
        "device": event.device,
    })
    .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_one_object_with_what_was_asked_for_left_out() {
        let event =
            Event { method: "GET", route: "/jobs/{job}", status: 503, ms: 12, device: Some("ab12cd34") };
        let line = line(&event);
        let read: serde_json::Value = serde_json::from_str(&line).expect("JSON");
        assert_eq!((&read["level"], &read["ms"]), (&json!("error"), &json!(12)));
        assert!(!line.contains('\n'));
    }
}
