//! Does a request that changes something come from our own pages?

use axum::http::HeaderMap;

/// Was the request made by a page of another origin? Browsers say where a page is from by `Origin` with every POST
/// and by `Sec-Fetch-Site` with every request. A program that is no browser says neither; it still needs the cookie
/// and the token of the forms.
pub(crate) fn foreign(headers: &HeaderMap, host: &str, https: bool) -> bool {
    if let Some(origin) = headers.get("origin") {
        let scheme = if https { "https://" } else { "http://" };
        let own = origin.to_str().ok().and_then(|origin| origin.strip_prefix(scheme));
        if !own.is_some_and(|own| own.eq_ignore_ascii_case(host)) {
            return true;
        }
    }
    match headers.get("sec-fetch-site").map(|site| site.as_bytes()) {
        None | Some(b"same-origin" | b"none") => false,
        Some(_) => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn with(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs
            .iter()
            .map(|(name, value)| (name.parse().expect("a name"), HeaderValue::from_static(value)))
            .collect()
    }

    #[test]
    fn only_the_own_origin_passes() {
        let host = "192.168.7.20:7117";
        for own in [
            with(&[]),
            with(&[("origin", "http://192.168.7.20:7117")]),
            with(&[("origin", "http://192.168.7.20:7117"), ("sec-fetch-site", "same-origin")]),
        ] {
            assert!(!foreign(&own, host, false), "{own:?}");
        }
        for other in [
            with(&[("origin", "null")]),
            with(&[("origin", "http://192.168.7.20:7118")]),
            with(&[("origin", "https://192.168.7.20:7117")]),
            with(&[("origin", "http://evil.example")]),
            with(&[("sec-fetch-site", "cross-site")]),
            with(&[("origin", "http://192.168.7.20:7117"), ("sec-fetch-site", "same-site")]),
        ] {
            assert!(foreign(&other, host, false), "{other:?}");
        }
        assert!(!foreign(&with(&[("origin", "https://bench.example")]), "bench.example", true));
    }
}
