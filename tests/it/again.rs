//! Every entry of the demo cellar, told back as what would have to be typed for it.

use leesline::cellar::moment::Moment;
use leesline::cellar::telling;
use leesline::cellar::verbs::{self, Form};
use leesline::store::{Clock, Filter, Store};

#[test]
fn an_entry_is_told_back_as_what_would_be_typed_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.leesline");
    assert_cmd::Command::cargo_bin("leesline")
        .unwrap()
        .env("HOME", folder.path())
        .args([
            "demo",
            "--today",
            "2026-11-25",
            "--file",
            file.to_str().unwrap(),
        ])
        .assert()
        .success();
    let mut store = Store::open(&file).unwrap();
    let now = Moment {
        utc_ms: 1_795_650_000_000,
        offset_min: 0,
    };
    let clock = Clock { now_ms: now.utc_ms };
    let cellar = store.snapshot(now).unwrap();
    let mut unlike = Vec::new();
    for listed in store.entries(&Filter::default()).unwrap() {
        let (entry, draft) = (&listed.entry, &listed.entry.draft);
        let (verb, typed) = verbs::again(entry, &cellar).unwrap();
        let pairs = typed
            .iter()
            .map(|(key, text)| (key.as_str(), text.as_str()));
        let form = Form::of(pairs);
        let mut said = verbs::when(&form, now, cellar.settings().zone).unwrap();
        said.moment = draft.when;
        let then = store.without(entry, draft.when, clock).unwrap();
        let again = verbs::prepare(verb, &form, &then, &said);
        let again_draft = again.as_ref().ok().map(|it| &it.draft);
        if let Some(was) = verbs::unlike(entry, again_draft, &cellar) {
            let is = again.map_or_else(
                |it| it.to_string(),
                |it| telling::with_note(&it.draft, &[], &cellar),
            );
            unlike.push(format!("{}: {was} / {is}", verb.name));
        }
    }
    // Which plan was started is not written in its steps; the form asks for it.
    unlike.retain(|it| !it.starts_with("plan start: "));
    assert_eq!(unlike, [""; 0]);
}
