//! Joining, being known, being shut out.

use crate::data::run;
use crate::ground::{Ground, each};
use store::Error;

const HOUR: i64 = 3_600_000;

#[test]
fn an_invitation_serves_one_device_for_a_time() {
    each(an_invitation_serves_one_device_for_a_time_on);
}

fn an_invitation_serves_one_device_for_a_time_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        let invitation = store.invite(0, HOUR).await.expect("made");
        assert!(matches!(store.join("WRONG-CODE2", "phone", 1, HOUR).await, Err(Error::NoInvitation)));
        assert!(matches!(store.join(&invitation.code, " ", 1, HOUR).await, Err(Error::DeviceName { .. })));
        let late = store.join(&invitation.code, "phone", HOUR, 2 * HOUR).await;
        assert!(matches!(late, Err(Error::InvitationExpired)));

        // Two at once: one gets in, however the code is typed.
        let sloppy = invitation.code.to_lowercase().replace('-', " ");
        let (one, other) = tokio::join!(
            store.join(&invitation.code, "phone", 1, 9 * HOUR),
            store.join(&sloppy, "laptop", 1, 9 * HOUR)
        );
        let joined = match (one, other) {
            (Ok(joined), Err(Error::InvitationUsed)) | (Err(Error::InvitationUsed), Ok(joined)) => joined,
            both => unreachable!("one and only one: {both:?}"),
        };
        assert_eq!(store.devices().await.expect("read").len(), 1, "the other left no trace");

        let known = store.device_by_token(&joined.token, HOUR).await.expect("read").expect("known");
        assert_eq!(known.id, joined.device);
        assert_eq!(store.device_by_token("0000", HOUR).await.expect("read"), None);
        assert_eq!(store.device_by_token(&joined.token, 9 * HOUR).await.expect("read"), None, "run out");

        store.revoke(&joined.device, 2 * HOUR).await.expect("revoked");
        store.revoke(&joined.device, 3 * HOUR).await.expect("still");
        assert_eq!(store.device_by_token(&joined.token, 2 * HOUR).await.expect("read"), None);
        assert_eq!(store.devices().await.expect("read")[0].revoked, Some(2 * HOUR));
        // That it was seen is noted by the way; nothing waits for it.
        while store.devices().await.expect("read")[0].seen != Some(HOUR) {
            tokio::time::sleep(std::time::Duration::from_millis(5)).await;
        }
        assert!(matches!(store.revoke("nobody", 1).await, Err(Error::NoDevice { .. })));
        store.close().await;
    });
}

#[test]
fn no_code_and_no_token_lies_in_the_folder() {
    each(no_code_and_no_token_lies_in_the_folder_on);
}

fn no_code_and_no_token_lies_in_the_folder_on(folder: &Ground) {
    let (code, token) = run(async {
        let store = folder.open().await.expect("it opens");
        let invitation = store.invite(0, HOUR).await.expect("made");
        let joined = store.join(&invitation.code, "phone", 1, HOUR).await.expect("joined");
        store.close().await;
        (invitation.code.replace('-', ""), joined.token)
    });
    let mut n_files = 0;
    for entry in std::fs::read_dir(folder.path()).expect("a folder") {
        let path = entry.expect("an entry").path();
        if !path.is_file() {
            continue;
        }
        n_files += 1;
        let bytes = std::fs::read(&path).expect("readable");
        for secret in [&code, &token] {
            let found = bytes.windows(secret.len()).any(|window| window == secret.as_bytes());
            assert!(!found, "a secret in {}", path.display());
        }
    }
    assert!(0 < n_files);
}
