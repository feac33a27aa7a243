//! Rules that hold on every page: labels, ids, no inline script or style, what each form carries.

use crate::html::{Piece, pieces};
use crate::shop::Shop;
use pages::{EntryKind, Fields, Route};
use std::collections::BTreeSet;

/// Every page of the invented job, and of a job that was just opened.
pub(crate) fn all_pages() -> Vec<(String, String)> {
    let mut all = Vec::new();
    for shop in [Shop::demo(), Shop::fresh()] {
        let own = || shop.view.name.clone();
        let main = || "main".to_owned();
        let mut routes = vec![
            (Route::Jobs, ""),
            (Route::New, ""),
            (Route::Devices, ""),
            (Route::Join, "code=1234"),
            (Route::Guide, ""),
            (Route::Call(own()), ""),
            (Route::Panel(own(), String::new()), ""),
            (Route::Panel(own(), main()), ""),
            (Route::Fill(own(), main()), ""),
            (Route::Fill(own(), main()), "space=15"),
            (Route::Fill(own(), main()), "done=yes"),
            (Route::Fill(own(), "no-such".to_owned()), ""),
            (Route::Bench(own()), ""),
            (Route::Space(own(), main(), "15".to_owned()), ""),
            (Route::Space(own(), main(), "10".to_owned()), ""),
            (Route::Joint(own(), "main:stab:15".to_owned()), ""),
            (Route::Log(own()), ""),
            (Route::Isolation(own()), ""),
            (Route::Isolation(own()), "part=main"),
            (Route::Plan(own()), ""),
            (Route::Survey(own()), ""),
            (Route::Survey(own()), "space=15"),
            (Route::Surprises(own()), ""),
            (Route::Layout(own()), ""),
            (Route::Verdict(own()), ""),
            (Route::Board, ""),
            (Route::Policy, ""),
            (Route::Prices, ""),
            (Route::Cards, ""),
            (Route::Cards, "kind=permit"),
            (Route::Cards, "card=quenmarsh-light"),
            (Route::Photos(own()), ""),
            (Route::Papers(own()), ""),
            (Route::Proving(own()), ""),
            (Route::Torque(own()), ""),
            (Route::Code(own()), ""),
            (Route::Load(own()), ""),
            (Route::Load(own()), "open=yes"),
            (Route::Sizes(own()), ""),
            (Route::Sizes(own()), "rating=x&metal=copper"),
            (Route::Asks(own()), ""),
            (Route::Editions(own()), ""),
            (Route::Meter(own()), ""),
            (Route::Price(own()), "option=replace-panel"),
            (Route::Outage(own()), ""),
        ];
        routes.extend(EntryKind::ALL.iter().map(|&kind| (Route::Enter(own(), kind), "place=main/15")));
        for (route, query) in routes {
            all.push((format!("{route}?{query}"), shop.page(&route, query)));
        }
    }
    // Forms that were sent empty, with all their messages.
    for mut shop in [Shop::demo(), Shop::fresh()] {
        let own = || shop.view.name.clone();
        let mut routes =
            vec![Route::New, Route::Panel(own(), String::new()), Route::Fill(own(), "main".to_owned())];
        routes.extend(EntryKind::ALL.iter().map(|&kind| Route::Enter(own(), kind)));
        for route in routes {
            let form = crate::html::Form::forged(route.to_string(), Vec::new());
            if let Err(refusal) = shop.try_send(&form) {
                all.push((format!("{route} refused"), shop.refused(&form, &refusal)));
            }
        }
    }
    assert!(Fields::default().names().next().is_none());
    all
}

#[test]
fn every_control_has_a_label() {
    let mut wrong = Vec::new();
    for (page, html) in all_pages() {
        let pieces = pieces(&html);
        let labelled: BTreeSet<String> = pieces
            .iter()
            .filter_map(|piece| match piece {
                Piece::Open { name, attributes } if name == "label" => attributes.get("for").cloned(),
                _ => None,
            })
            .collect();
        let mut in_label = 0;
        for piece in &pieces {
            match piece {
                Piece::Open { name, .. } if name == "label" => in_label += 1,
                Piece::Close(name) if name == "label" => in_label -= 1,
                Piece::Open { name, attributes }
                    if matches!(name.as_str(), "input" | "select" | "textarea") =>
                {
                    let is_hidden = attributes.get("type").is_some_and(|kind| kind == "hidden");
                    let has_label = 0 < in_label
                        || attributes.contains_key("aria-label")
                        || attributes.contains_key("aria-labelledby")
                        || attributes.get("id").is_some_and(|id| labelled.contains(id));
                    if !is_hidden && !has_label {
                        wrong.push(format!("{page}: {attributes:?}"));
                    }
                }
                _ => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn buttons_and_links_say_what_they_do() {
    let mut wrong = Vec::new();
    for (page, html) in all_pages() {
        let mut open: Option<(String, bool)> = None;
        for piece in pieces(&html) {
            match piece {
                Piece::Open { name, attributes } if name == "button" || name == "a" => {
                    open = Some((format!("{attributes:?}"), attributes.contains_key("aria-label")));
                }
                Piece::Open { attributes, .. } => {
                    if let Some((_, says)) = &mut open {
                        *says |= attributes.get("alt").is_some_and(|alt| !alt.is_empty())
                            || attributes.contains_key("aria-label");
                    }
                }
                Piece::Text(text) if !text.trim().is_empty() => {
                    if let Some((_, says)) = &mut open {
                        *says = true;
                    }
                }
                Piece::Close(name) if name == "button" || name == "a" => {
                    if let Some((what, false)) = open.take() {
                        wrong.push(format!("{page}: {what}"));
                    }
                }
                _ => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn ids_are_unique_and_what_points_to_one_finds_it() {
    let mut wrong = Vec::new();
    for (page, html) in all_pages() {
        let mut ids = BTreeSet::new();
        let mut wanted = Vec::new();
        for piece in pieces(&html) {
            let Piece::Open { attributes, .. } = piece else { continue };
            if let Some(id) = attributes.get("id")
                && !ids.insert(id.clone())
            {
                wrong.push(format!("{page}: id {id} twice"));
            }
            for key in ["for", "list", "aria-describedby", "aria-labelledby"] {
                wanted.extend(
                    attributes.get(key).into_iter().flat_map(|ids| ids.split(' ')).map(str::to_owned),
                );
            }
            wanted.extend(attributes.get("href").and_then(|href| href.strip_prefix('#')).map(str::to_owned));
        }
        // Some short forms have buttons in the place of fields.
        let is_short = page.contains("/enter/") && page.ends_with("refused");
        wanted.retain(|id| !(is_short && id.starts_with("f-")));
        wrong.extend(
            wanted
                .into_iter()
                .filter(|id| !ids.contains(id))
                .map(|id| format!("{page}: nothing has the id {id}")),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_page_needs_inline_script_or_style_and_each_has_one_heading() {
    for (page, html) in all_pages() {
        let mut n_headings = 0;
        for piece in pieces(&html) {
            let Piece::Open { name, attributes } = piece else { continue };
            n_headings += usize::from(name == "h1");
            assert!(name != "style" && (name != "script" || attributes.contains_key("src")), "{page}");
            for key in attributes.keys() {
                assert!(key != "style" && !key.starts_with("on"), "{page}: {key}");
            }
            for key in ["href", "src", "action"] {
                let outside = attributes.get(key).is_some_and(|to| to.contains("//"));
                assert!(!outside, "{page}: {key} goes outside: {attributes:?}");
            }
        }
        assert_eq!(n_headings, 1, "{page}");
        assert!(html.contains("Work inside a panel is for qualified persons."), "{page}");
    }
}

#[test]
fn every_form_of_facts_carries_its_token_its_entry_and_its_time() {
    let mut n_forms = 0;
    for (page, html) in all_pages() {
        for form in crate::html::forms(&html).into_iter().filter(|form| form.can_be_sent) {
            let has = |name: &str| form.fields.iter().any(|(field, _)| field == name);
            let route = Route::of_path(&form.action);
            // Trying another size only asks, as does laying out for another panel; choosing a layout does not.
            let only_asks = matches!(route, Some(Route::Layout(_))) && !has("words");
            if only_asks || matches!(route, Some(Route::Sizes(_))) {
                continue;
            }
            assert!(has("csrf"), "{page}: {}", form.action);
            // A meter file is read and not stored.
            if matches!(route, Some(Route::Meter(_))) {
                continue;
            }
            if form.action.starts_with("/jobs/") || form.action == "/new" {
                n_forms += 1;
                assert!(has("entry") && has("at"), "{page}: {}", form.action);
                assert!(Route::of_path(&form.action).is_some(), "{page}: {}", form.action);
            }
        }
    }
    assert!(40 < n_forms, "{n_forms}");
}
