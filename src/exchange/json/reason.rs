//! What needs someone, with the command that deals with it as a program would run it.

use serde_json::{Value, json};

use super::{Object, reference};
use crate::cellar::attention::{Look, Rank, Reason, Suggestion};
use crate::cellar::verbs::{self, Need};
use crate::exchange::page::shell_word;

/// A reason with its working.
pub fn reason(reason: &Reason, look: &Look) -> Value {
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
    let mut object = Object::default();
    object
        .put("subject", reference(reason.subject, look.cellar))
        .put("kind", reason.kind.word())
        .put("due", reason.due.to_string())
        .put("rank", rank)
        .put("sentence", reason.sentence.clone())
        .put("why", why)
        .put("command", command(&reason.suggestion))
        .put("needs", json!(reason.suggestion.needs));
    object.value()
}

/// The command that deals with a reason, as an argument array: required fields first and bare, the
/// others by flag. What only the person knows is left out.
pub fn command(suggestion: &Suggestion) -> Vec<String> {
    let mut words = vec!["leesline".to_owned()];
    words.extend(suggestion.verb.split(' ').map(str::to_owned));
    let fields = verbs::find(suggestion.verb).map_or(&[][..], |it| it.fields);
    let is_bare = |key: &str| match fields.iter().find(|it| it.key == key) {
        Some(field) => field.need == Need::Required,
        // Verbs of the command line's own name their subject bare and first.
        None => suggestion.values.first().is_some_and(|it| it.0 == key),
    };
    let (bare, flagged): (Vec<_>, Vec<_>) =
        suggestion.values.iter().partition(|(key, _)| is_bare(key));
    let place = |key: &str| fields.iter().position(|it| it.key == key);
    let mut bare = bare;
    bare.sort_by_key(|(key, _)| place(key));
    words.extend(bare.into_iter().map(|(_, value)| value.clone()));
    for (key, value) in flagged {
        words.extend([format!("--{key}"), value.clone()]);
    }
    words
}

/// The same as one line to be typed into a shell.
pub fn command_line(suggestion: &Suggestion) -> String {
    let words = command(suggestion);
    let typed: Vec<String> = words.iter().map(|it| shell_word(it)).collect();
    typed.join(" ")
}
