//! Two programs on one server, one of them killed at any moment: nothing lost, nothing doubled, the other goes on.

use crate::data::run;
use crate::ground::Ground;
use crate::kills::{entry, live_and_die};
use record::Fact;
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// Kills; a hundred with `RUN_SLOW=1`.
const N_KILLS: usize = 12;
const JOB: &str = "shared";
/// Number of the survivor's first lane; the children use those below.
const OWN_LANE: usize = 100;

#[test]
fn one_of_two_programs_is_killed_and_nothing_is_lost_or_doubled() {
    let Some(ground) = Ground::on_server() else {
        println!("left out: no PostgreSQL server is named");
        return;
    };
    let n_kills = if std::env::var("RUN_SLOW").is_ok() { 100 } else { N_KILLS };
    let started = Instant::now();
    let database = ground.database().expect("on a server");
    let (mut n_told, mut n_stored, mut n_own) = (0, 0, 0);
    for kill in 0..n_kills {
        let job = format!("{JOB}-{kill}");
        // The survivor writes to the same job all the while.
        let (told, own) = std::thread::scope(|scope| {
            let lives = Duration::from_millis(250 + (kill as u64 * 37) % 200);
            let (path, database, name) = (ground.path(), database.as_str(), job.as_str());
            let child = scope.spawn(move || live_and_die(path, Some(database), name, lives));
            let own = run(async {
                let store = ground.open().await.expect("beside the other");
                let mut n = 0;
                while !child.is_finished() {
                    store
                        .append(&job, &format!("{OWN_LANE}.{n}"), None, &entry(OWN_LANE, n))
                        .await
                        .expect("stored");
                    n += 1;
                }
                store.close().await;
                n
            });
            n_own += own;
            (child.join().expect("no panic"), own)
        });
        n_told += told.entries.len();
        run(async {
            let store = ground.open().await.expect("it opens");
            let stored = store.stored_after(&job, 0).await.expect("read");
            let revisions: Vec<i64> = stored.iter().map(|one| one.revision).collect();
            assert_eq!(revisions, (1..=stored.len() as i64).collect::<Vec<_>>(), "without a gap");
            let mut entries: BTreeMap<String, Vec<Fact>> = BTreeMap::new();
            for one in stored {
                entries.entry(one.entry).or_default().push(one.fact);
            }
            for (lane, n) in told.entries.iter().copied().chain((0..own).map(|n| (OWN_LANE, n))) {
                assert!(
                    entries.contains_key(&format!("{lane}.{n}")),
                    "acknowledged entry {lane}.{n} is lost"
                );
            }
            for (name, facts) in &entries {
                let (lane, n) = name.split_once('.').expect("as named above");
                let wanted = entry(lane.parse().expect("a number"), n.parse().expect("a number"));
                assert_eq!(*facts, wanted, "entry {name} is there in part, or twice");
            }
            n_stored += entries.len();
            store.close().await;
        });
    }
    println!(
        "{n_kills} kills in {:.0} s: {n_told} entries acknowledged by those killed and {n_own} by the survivor, \
         {n_stored} stored, none lost, none in part or twice",
        started.elapsed().as_secs_f64()
    );
    assert!(0 < n_told && 0 < n_own);
}
