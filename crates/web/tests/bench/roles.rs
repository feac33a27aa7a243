//! Every role at every address: made from the router itself and from the list of pages.

use crate::ground::{Browser, Ground, JOB};
use axum::http::StatusCode;
use pages::{EntryKind, Need, Role, Route};

/// Addresses as the router's own source has them, with the job of the ground in them.
fn addresses() -> Vec<String> {
    let sources = [include_str!("../../src/router.rs"), include_str!("../../src/exchange/mod.rs")];
    let patterns = sources
        .iter()
        .flat_map(|source| source.split(".route(\"").skip(1).filter_map(|rest| rest.split('"').next()));
    let filled = |pattern: &str| {
        let path = pattern.replace("{job}", JOB).replace("{photo}", &"0".repeat(64));
        path.replace("{form}", "thumb").replace("{file}", "none.pdf")
    };
    let mut all: Vec<String> = patterns.filter(|pattern| !pattern.contains("{*")).map(filled).collect();
    assert!(20 < all.len(), "{all:?}");
    let own = || JOB.to_owned();
    let main = || "main".to_owned();
    let routes = [
        Route::Call(own()),
        Route::Panel(own(), main()),
        Route::Fill(own(), main()),
        Route::Space(own(), main(), "1".to_owned()),
        Route::Joint(own(), "main:stab:1".to_owned()),
        Route::Isolation(own()),
        Route::Verdict(own()),
        Route::Plan(own()),
        Route::Survey(own()),
        Route::Surprises(own()),
        Route::Layout(own()),
        Route::Moves(own(), main(), "1".to_owned()),
        Route::Log(own()),
        Route::Code(own()),
        Route::Load(own()),
        Route::Sizes(own()),
        Route::Asks(own()),
        Route::Editions(own()),
        Route::Proving(own()),
        Route::Torque(own()),
        Route::Price(own()),
        Route::Outage(own()),
        Route::Papers(own()),
    ];
    all.extend(routes.iter().map(ToString::to_string));
    all.extend(EntryKind::ALL.iter().map(|kind| Route::Enter(own(), *kind).to_string()));
    // It never ends by itself.
    all.retain(|path| !path.ends_with("/live"));
    all
}

async fn of_role(ground: &Ground, role: Role) -> Browser {
    let code = ground.bench.invite_as(role).await.expect("an invitation").code;
    ground.joined_by(&code, role.word()).await
}

fn is_refused(answer: &crate::ground::Answer) -> bool {
    answer.status == StatusCode::FORBIDDEN && answer.text().contains("Not for this role")
}

#[tokio::test]
async fn every_role_gets_what_every_address_states_and_no_more() {
    let ground = Ground::new().await;
    let (mut n_given, mut n_refused) = (0, 0);
    for role in Role::ALL {
        let browser = of_role(&ground, role).await;
        for path in addresses() {
            let page = Route::of_path(&path);
            for sends in [false, true] {
                let answer = match sends {
                    false => browser.get(&path).await,
                    true => browser.post(&path, &[("csrf", "of nobody")]).await,
                };
                assert_ne!(answer.status, StatusCode::INTERNAL_SERVER_ERROR, "{path}");
                // What is no page may be looked at by all who joined; the exchange stores by two addresses.
                let need = match (&page, path.as_str()) {
                    (Some(page), _) => page.need(sends),
                    (None, "/exchange/facts") => Need::Record,
                    (None, "/exchange/photo") if sends => Need::Record,
                    (None, _) => Need::Look,
                };
                assert_eq!(is_refused(&answer), !role.may(need), "{} at {path}, sends: {sends}", role.word());
                n_given += usize::from(role.may(need));
                n_refused += usize::from(!role.may(need));
            }
        }
    }
    println!("{n_given} given, {n_refused} refused");
    assert!(100 < n_refused && n_refused < n_given);
    assert_eq!(ground.bench.store().devices().await.expect("read").len(), Role::ALL.len());
}

#[tokio::test]
async fn an_apprentice_opens_no_step_of_a_qualified_person_and_the_office_makes_no_electrician() {
    let ground = Ground::new().await;
    let apprentice = of_role(&ground, Role::Apprentice).await;
    let before = ground.n_facts().await;
    for path in ["isolation", "enter/proof", "enter/opening", "enter/energised", "moves/main/1", "torque"] {
        let answer = apprentice.get(&format!("/jobs/{JOB}/{path}")).await;
        assert!(is_refused(&answer), "{path}");
        let form = [("csrf", apprentice.csrf.as_str()), ("entry", "e-1")];
        assert!(is_refused(&apprentice.post(&format!("/jobs/{JOB}/{path}"), &form).await), "{path}");
    }
    assert_eq!(ground.n_facts().await, before);
    assert_eq!(apprentice.get(&format!("/jobs/{JOB}/enter/sign")).await.status, StatusCode::OK);

    let office = of_role(&ground, Role::Office).await;
    let csrf = office.csrf.clone();
    let ask = |role| [("csrf", csrf.clone()), ("act", "invite".to_owned()), ("role", String::from(role))];
    for (role, given) in [("electrician", false), ("apprentice", true)] {
        let form = ask(role);
        let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
        assert_eq!(office.post("/devices", &form).await.status == StatusCode::OK, given, "{role}");
    }
}
