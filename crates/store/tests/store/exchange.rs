//! One job out and in: readable without the program, merged as often as one likes, and never trusted.

use crate::data::{called, decided, opened, photo, run};
use record::Fact;
use record::fact::PhotoTaken;
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::path::Path;
use store::{Error, Form, Give, JobFile, Store, sha256};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

fn photographed(bytes: &[u8]) -> Fact {
    let body = PhotoTaken { sha256: sha256(bytes), words: "handle of space 5".to_owned(), slot: None };
    Fact::new(jiff::civil::date(2026, 3, 4).at(14, 0, 0, 0), Some("JD".to_owned()), vec![], body.into())
}

/// An invented case of the demo, and a photo.
fn facts() -> Vec<Fact> {
    let text = include_str!("../../../../cases/2-overload.toml");
    let reading = record::read_job("2-overload.toml", text, jiff::civil::date(2026, 11, 26));
    let mut facts = reading.facts;
    assert!(3 < facts.len(), "{:?}", reading.problems);
    facts.push(photographed(&photo(1, 3_000)));
    facts
}

async fn filled(folder: &Path) -> Store {
    let store = Store::open(folder).await.expect("it opens");
    store.append("a", "e1", Some("phone"), &facts()).await.expect("stored");
    let name = store.put_photo("a", "image/jpeg", photo(1, 3_000)).await.expect("put").sha256;
    store.put_form(&name, Form::Page, "image/jpeg", photo(2, 300)).await.expect("put");
    store.put_photo("a", "image/png", photo(3, 700)).await.expect("put");
    store
}

fn members(file: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut zip = ZipArchive::new(std::fs::File::open(file).expect("there")).expect("a zip");
    let mut members = BTreeMap::new();
    for at in 0..zip.len() {
        let mut member = zip.by_index(at).expect("a member");
        let mut bytes = Vec::new();
        member.read_to_end(&mut bytes).expect("readable");
        members.insert(member.name().to_owned(), bytes);
    }
    members
}

fn write(file: &Path, members: &BTreeMap<String, Vec<u8>>) {
    let mut zip = ZipWriter::new(std::fs::File::create(file).expect("made"));
    for (name, bytes) in members {
        zip.start_file(name.as_str(), SimpleFileOptions::default()).expect("begun");
        zip.write_all(bytes).expect("written");
    }
    zip.finish().expect("finished");
}

/// Changes the members of an exported job and writes a list that fits the change.
fn forged(from: &Path, to: &Path, change: impl FnOnce(&mut BTreeMap<String, Vec<u8>>)) {
    let mut members = members(from);
    let mut manifest: serde_json::Value = serde_json::from_slice(&members["manifest.json"]).expect("JSON");
    members.remove("manifest.json");
    change(&mut members);
    let old = manifest["members"].as_array().expect("a list").clone();
    let list = members.iter().map(|(name, bytes)| {
        let known = old.iter().find(|member| member["name"] == **name);
        let mut member = known.cloned().unwrap_or_else(|| serde_json::json!({ "name": name }));
        member["bytes"] = bytes.len().into();
        member["sha256"] = sha256(bytes).into();
        member
    });
    manifest["members"] = list.collect();
    members.insert("manifest.json".to_owned(), serde_json::to_vec(&manifest).expect("JSON"));
    write(to, &members);
}

#[test]
fn an_exported_job_is_readable_and_comes_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("job.zip");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        let exported = store.export_job("a", Give::Originals, &file).await.expect("written");
        let n = facts().len();
        assert_eq!((exported.n_facts, exported.n_photos, exported.job_file), (n, 2, JobFile::All));
        assert!(exported.left_out.is_empty(), "{exported:?}");
        let members = members(&file);
        let text = |name: &str| String::from_utf8(members[name].clone()).expect("text");
        let names: Vec<String> = members.keys().cloned().collect();
        let [one, other] = [(1, 3_000, "jpg"), (3, 700, "png")]
            .map(|(seed, length, end)| format!("photos/{}.{end}", sha256(&photo(seed, length))));
        let mut wanted = ["README.txt", "facts.jsonl", "job.toml", "manifest.json", &one, &other];
        wanted.sort_unstable();
        assert_eq!(names, wanted);
        assert_eq!(members[&one], photo(1, 3_000));
        let today = jiff::civil::date(2026, 11, 26);
        let reading = record::read_job("job.toml", &text("job.toml"), today);
        assert!(reading.problems.iter().all(|problem| !problem.is_error()), "{:?}", reading.problems);
        assert_eq!(reading.facts.len(), n);
        assert_eq!(text("facts.jsonl").lines().count(), n);
        let readme = text("README.txt");
        for said in ["handle of space 5", "Do not hand them to others", "Smoke, flame or crackle"] {
            assert!(readme.contains(said), "{said} in {readme}");
        }
        assert!(readme.lines().all(|line| line.chars().count() <= 110), "{readme}");

        let told = store.export_job("none", Give::Originals, folder.path().join("x.zip")).await;
        assert!(matches!(told, Err(Error::NoJob { .. })));
        let (mut sent, _) = store.export_job_to_send("a", Give::Originals).await.expect("written");
        let mut bytes = Vec::new();
        sent.read_to_end(&mut bytes).expect("readable");
        assert!(bytes.starts_with(b"PK"));
        store.close().await;

        let other = Store::open(folder.path().join("other")).await.expect("it opens");
        let imported = other.import_job(&file).await.expect("taken in");
        assert_eq!((imported.job.as_str(), imported.n_new_facts, imported.n_new_photos), ("a", n, 2));
        let again = other.import_job(&file).await.expect("known");
        assert_eq!((again.n_new_facts, again.n_new_photos, again.revision), (0, 0, n as i64));
        assert_eq!(other.facts("a").await.expect("read"), facts());
        let name = sha256(&photo(3, 700));
        let back = other.photo("a", &name, Form::Original).await.expect("there");
        assert_eq!((back.media_type.as_str(), back.bytes), ("image/png", photo(3, 700)));
        other.close().await;
    });
}

#[test]
fn two_that_worked_apart_merge_by_exchange() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        let one = filled(&folder.path().join("one")).await;
        let other = Store::open(folder.path().join("other")).await.expect("it opens");
        other.append("a", "e9", None, &[decided("go on", 9)]).await.expect("stored");
        for (round, (from, to)) in [(&one, &other), (&other, &one), (&one, &other)].into_iter().enumerate() {
            let file = folder.path().join(format!("{round}.zip"));
            from.export_job("a", Give::Originals, &file).await.expect("written");
            to.import_job(&file).await.expect("taken in");
        }
        let mut all = one.facts("a").await.expect("read");
        let mut too = other.facts("a").await.expect("read");
        all.sort_by(|a, b| a.id().cmp(b.id()));
        too.sort_by(|a, b| a.id().cmp(b.id()));
        assert_eq!((all.len(), &all), (facts().len() + 1, &too));
        one.close().await;
        other.close().await;
    });
}

#[test]
fn for_others_only_cleaned_photos_leave() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("job.zip");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        let exported = store.export_job("a", Give::Pages, &file).await.expect("written");
        let uncleaned = sha256(&photo(3, 700));
        assert_eq!(exported.n_photos, 1);
        assert_eq!(exported.left_out[0].0, uncleaned);
        let originals = [photo(1, 3_000), photo(3, 700)];
        let members = members(&file);
        assert!(members.values().all(|bytes| !originals.contains(bytes)), "no original leaves");
        assert!(
            String::from_utf8_lossy(&members["README.txt"]).contains(&uncleaned),
            "what is left out is named"
        );
        store.close().await;

        let other = Store::open(folder.path().join("other")).await.expect("it opens");
        other.import_job(&file).await.expect("taken in");
        let name = sha256(&photo(1, 3_000));
        assert_eq!(other.photo("a", &name, Form::Page).await.expect("there").bytes, photo(2, 300));
        let told = other.photo("a", &name, Form::Original).await.expect_err("it stayed with the shop");
        assert!(matches!(told, Error::NoForm { form: "original", .. }), "{told:?}");
        // The original may still come.
        assert!(!other.put_photo("a", "image/jpeg", photo(1, 3_000)).await.expect("put").already);
        assert_eq!(other.photo("a", &name, Form::Original).await.expect("there").bytes, photo(1, 3_000));
        other.close().await;
    });
}

#[test]
fn a_job_whose_facts_make_no_job_file_still_leaves_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        let store = Store::open(folder.path().join("data")).await.expect("it opens");
        store.append("nothing", "e1", None, &[decided("wait", 1)]).await.expect("stored");
        store.append("begun", "e1", None, &[opened("begun"), decided("wait", 1)]).await.expect("stored");
        // The job was opened twice, differently: the later one is used.
        let mut twice = facts();
        twice.push(opened("2026-099"));
        store.append("twice", "e1", None, &twice).await.expect("stored");
        for (job, how, n, said) in [
            ("nothing", JobFile::None, 1, "There is no job.toml"),
            ("begun", JobFile::Unfinished, 2, "The record still lacks something"),
            ("twice", JobFile::Used, twice.len(), "some facts contradict each other"),
        ] {
            let file = folder.path().join(format!("{job}.zip"));
            let exported = store.export_job(job, Give::Originals, &file).await.expect("written");
            assert_eq!((exported.job_file, exported.n_facts), (how, n), "{job}");
            let members = members(&file);
            assert_eq!(members.contains_key("job.toml"), how != JobFile::None, "{job}");
            let readme = String::from_utf8_lossy(&members["README.txt"]).into_owned();
            assert!(readme.contains(said), "{readme}");
            assert_eq!(readme.contains("Facts that are NOT used"), how == JobFile::Used, "{readme}");
            assert_eq!(String::from_utf8_lossy(&members["facts.jsonl"]).lines().count(), n, "{job}");
            let other = Store::open(folder.path().join(job)).await.expect("it opens");
            other.import_job(&file).await.expect("taken in");
            assert_eq!(other.facts(job).await.expect("read"), store.facts(job).await.expect("read"));
            other.close().await;
        }
        store.close().await;
    });
}

#[test]
fn what_does_not_belong_into_a_job_is_refused_and_nothing_is_stored() {
    let folder = tempfile::tempdir().expect("a folder");
    let sound = folder.path().join("job.zip");
    let bad = folder.path().join("bad.zip");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        store.export_job("a", Give::Originals, &sound).await.expect("written");
        store.close().await;
        let other = Store::open(folder.path().join("other")).await.expect("it opens");

        for name in ["../evil", "/etc/evil", "photos/../../evil.jpg", "photos/x.jpg", "C:\\evil", "notes.txt"]
        {
            forged(&sound, &bad, |members| drop(members.insert(name.to_owned(), b"evil".to_vec())));
            let told = other.import_job(&bad).await.expect_err(name);
            assert!(matches!(told, Error::MemberForeign { .. }), "{name}: {told:?}");
        }
        // A bomb: far more than any job holds, packed into little.
        forged(&sound, &bad, |members| {
            let _ = members.insert("README.txt".to_owned(), vec![b' '; 70 << 20]);
        });
        assert!(std::fs::metadata(&bad).expect("there").len() < 1 << 20);
        let told = other.import_job(&bad).await.expect_err("a bomb");
        assert!(matches!(told, Error::MemberTooLarge { .. }), "{told:?}");
        // A bomb whose list lies about its length.
        let mut lying = members(&sound);
        lying.insert("README.txt".to_owned(), vec![b' '; 70 << 20]);
        write(&bad, &lying);
        let told = other.import_job(&bad).await.expect_err("a bomb");
        assert!(matches!(&told, Error::MemberDamaged { member, .. } if member == "README.txt"), "{told:?}");
        // A photo under the name of another.
        let name = format!("photos/{}.png", sha256(&photo(3, 700)));
        forged(&sound, &bad, |members| drop(members.insert(name.clone(), photo(4, 700))));
        let told = other.import_job(&bad).await.expect_err("another photo");
        assert!(matches!(&told, Error::MemberDamaged { member, .. } if *member == name), "{told:?}");
        // A line that is no fact.
        forged(&sound, &bad, |members| members.get_mut("facts.jsonl").expect("there").extend(b"{\"v\":1}\n"));
        let told = other.import_job(&bad).await.expect_err("no fact");
        assert!(told.to_string().contains(&format!("line {}", facts().len() + 1)), "{told}");
        // A member that is not there.
        let mut lacking = members(&sound);
        lacking.remove(&name);
        write(&bad, &lacking);
        assert!(matches!(other.import_job(&bad).await, Err(Error::MemberMissing { .. })));

        assert!(other.jobs().await.expect("read").is_empty(), "nothing of all that is stored");
        assert!(!folder.path().join("other/photos/original").exists());

        // A fact that says something else here.
        let own = called(decided("replace", 1), facts()[3].id().as_str());
        other.append("a", "e1", None, &[own]).await.expect("stored");
        let told = other.import_job(&sound).await.expect_err("it differs");
        assert!(matches!(told, Error::FactDiffers { .. }), "{told:?}");
        assert_eq!(other.facts("a").await.expect("read").len(), 1);
        assert!(other.photos("a").await.expect("read").is_empty());
        other.close().await;
    });
}
