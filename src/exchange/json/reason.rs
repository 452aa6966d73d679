//! What needs someone, with the command that deals with it as a program would run it.

use serde_json::{Value, json};

use super::{Object, reference};
use crate::cellar::attention::{Look, Policy, Rank, Reason, ReasonKind, Suggestion, Threshold};
use crate::cellar::verbs::{self, Need};
use crate::exchange::page::shell_word;

/// A reason with its working.
pub fn reason(reason: &Reason, look: &Look) -> Value {
    reason_by(reason, look, look.policy)
}

/// The same of a day to come, with the thresholds of the cellar: those of the look see further ahead.
pub fn reason_by(reason: &Reason, look: &Look, policy: &Policy) -> Value {
    let rank = match reason.rank {
        Rank::Now => "now",
        Rank::Soon => "soon",
        Rank::Later => "later",
    };
    let why: Vec<Value> = look
        .working(reason)
        .iter()
        .map(|it| json!({ "sentence": it }))
        .collect();
    let deed = deed(&reason.suggestion);
    let mut object = Object::default();
    object
        .put("subject", reference(reason.subject, look.cellar))
        .put("kind", reason.kind.word())
        .put("identity", reason.identity())
        .put("due", reason.due.to_string())
        .put("rank", rank)
        .put("sentence", reason.sentence.clone())
        .put("why", why)
        .put("thresholds", thresholds(reason.kind, policy))
        .put("command", arguments(&deed))
        .put("needs", json!(deed.needs))
        .put("first", json!(first(&reason.suggestion)));
    object.value()
}

/// The thresholds that it was judged by.
fn thresholds(kind: ReasonKind, policy: &Policy) -> Vec<Value> {
    let all = kind.thresholds(policy);
    all.iter().map(|it| threshold(it).value()).collect()
}

/// A threshold of the rules, with its why and source.
pub fn threshold(it: &Threshold) -> Object {
    let mut object = Object::default();
    object
        .put("name", it.name)
        .put("value", it.value)
        .put("unit", it.unit)
        .put("is_own", it.is_own());
    object
}

/// What ends it, where the terminal program opens a screen that leads there: a dose is worked out
/// first, and written once it is in; a bottling of which bottles are counted goes on to its finish.
pub(super) fn deed(suggestion: &Suggestion) -> Suggestion {
    let mut deed = suggestion.clone();
    match suggestion.verb {
        "dose" => {
            deed.verb = "add";
            deed.values.push(("substance", "sulfite".to_owned()));
            deed.needs.push("amount");
        }
        "bottle count" if suggestion.needs.is_empty() => deed.verb = "bottle finish",
        _ => {}
    }
    deed
}

/// What is to be run before the deed, as an argument array: what works out how much goes in.
fn first(suggestion: &Suggestion) -> Option<Vec<String>> {
    (suggestion.verb == "dose").then(|| arguments(suggestion))
}

/// The command that deals with a reason, as an argument array. What only the person knows is left out.
pub fn command(suggestion: &Suggestion) -> Vec<String> {
    arguments(&deed(suggestion))
}

/// The command that deals with a reason, as one line to be typed into a shell. What only the person
/// knows is left out.
pub fn command_line(suggestion: &Suggestion) -> String {
    line(&command(suggestion))
}

/// What a person says with the command and runs before it: `and say: --amount; how much: leesline dose Jug`.
pub fn besides(suggestion: &Suggestion) -> Option<String> {
    let deed = deed(suggestion);
    if deed.needs.is_empty() {
        return None;
    }
    // A verb of the command line's own takes what it needs bare.
    let dashes = verbs::find(deed.verb).map_or("", |_| "--");
    let flags: Vec<String> = deed
        .needs
        .iter()
        .map(|it| format!("{dashes}{it}"))
        .collect();
    let how_much = first(suggestion).map_or(String::new(), |it| {
        format!("; `{}` works out how much", line(&it))
    });
    Some(format!("and say: {}{how_much}", flags.join(", ")))
}

/// Required fields first and bare, the others by flag.
fn arguments(suggestion: &Suggestion) -> Vec<String> {
    let mut words = vec!["leesline".to_owned()];
    words.extend(suggestion.verb.split(' ').map(str::to_owned));
    let fields = verbs::find(suggestion.verb).map_or(&[][..], |it| it.fields);
    let is_bare = |key: &str| match fields.iter().find(|it| it.key == key) {
        Some(field) => field.need == Need::Required,
        // Fields that every verb has are flags; a verb of the command line's own names its subject
        // bare and first.
        None => fields.is_empty() && suggestion.values.first().is_some_and(|it| it.0 == key),
    };
    let (mut bare, flagged): (Vec<_>, Vec<_>) =
        suggestion.values.iter().partition(|(key, _)| is_bare(key));
    bare.sort_by_key(|(key, _)| fields.iter().position(|it| it.key == *key));
    words.extend(bare.into_iter().map(|(_, value)| value.clone()));
    for (key, value) in flagged {
        words.extend([format!("--{key}"), value.clone()]);
    }
    words
}

fn line(words: &[String]) -> String {
    let typed: Vec<String> = words.iter().map(|it| shell_word(it)).collect();
    typed.join(" ")
}
