//! An example of each command that takes anything, as `--help` prints it: copied, it works on the demo
//! cellar, or after the examples of the verbs that come before it there. `tests/it/cli/examples.rs` runs
//! them all.

use clap::Command;

/// The command with its example under its help.
pub(super) fn with(name: &str, command: Command) -> Command {
    match EXAMPLES.iter().find(|it| it.0 == name) {
        Some((_, example)) => command.after_help(format!("For example:\n  leesline {example}")),
        None => command,
    }
}

/// Each command, and its example without the program's name: first those that show and mend, then the
/// verbs.
pub static EXAMPLES: &[(&str, &str)] = &[
    ("due", "due --within 30d --why"),
    ("policy", "policy sulfite-low"),
    ("show", "show \"Carboy A\""),
    ("book", "book --of \"Carboy A\" --limit 10"),
    ("tastings", "tastings \"Solaris 24\" \"Solaris 25\""),
    ("bottles", "bottles --place \"Stair rack\""),
    ("which", "which --closure cork --colour green --size 750"),
    ("gifts", "gifts --whom \"the neighbours\""),
    ("trouble", "trouble \"Carboy B\" egg"),
    ("void", "void 150"),
    (
        "amend",
        "amend 161 measure \"Demijohn 1\" --gravity 0.995 --free-so2 24",
    ),
    ("dose", "dose \"Carboy A\" --with ph=3.4"),
    (
        "what-if",
        "what-if rack \"Carboy A\" --to \"Carboy D\" --wait 30d",
    ),
    (
        "bottle plan",
        "bottle plan \"Carboy B\" --lees 0.3L --sizes 750,375",
    ),
    ("bottle count", "bottle count \"Solaris 25\" 6"),
    ("sheet", "sheet \"Carboy A\""),
    ("export", "export --as json"),
    ("backup", "backup cellar-copy.leesline"),
    ("restore", "restore cellar-copy.leesline"),
    ("completions", "completions bash"),
    ("man", "man rack"),
    (
        "here",
        "here \"Demijohn 3\" --kind demijohn --mark 4.8L --holds \"Mead 25\" --amount \"nearly full\" --since \"autumn 2025\"",
    ),
    (
        "vessel add",
        "vessel add \"Carboy F\" --kind carboy --mark 23L",
    ),
    ("vessel change", "vessel change Jug --room kitchen"),
    ("vessel retire", "vessel retire Jug"),
    (
        "batch add",
        "batch add \"Cider 26\" --wine cider --vintage 2026",
    ),
    ("batch change", "batch change \"Elder 26\" --malo unwanted"),
    ("batch close", "batch close \"Plum 25\""),
    ("settings", "settings --temperature 15C"),
    (
        "receive",
        "receive Tank --amount 20L --batch \"Cider 26\" --gravity 1.050",
    ),
    ("press", "press Bucket --to \"Carboy D=15 L\""),
    ("rack", "rack \"Carboy A\" --to \"Carboy D\" --leaving 0.3L"),
    (
        "top-up",
        "top-up \"Carboy A\" --from bought-wine --amount 200mL",
    ),
    ("split", "split \"Carboy A\" --to \"Carboy E=18 L; Jug\""),
    (
        "blend",
        "blend Tank --from \"Carboy A=10 L\" --from \"Carboy B=10 L\" --as \"House white\"",
    ),
    ("punch-down", "punch-down Bucket tomorrow"),
    ("degas", "degas \"Carboy C\""),
    ("filter", "filter \"Carboy B\""),
    ("chill", "chill \"Carboy B\" \"in 2 weeks\""),
    ("warm", "warm \"Carboy B\""),
    ("cover", "cover Bucket"),
    ("start-malo", "start-malo \"Carboy B\""),
    ("move", "move \"Demijohn 1\" --room cellar"),
    ("lose", "lose \"Carboy B\" --amount 300mL --how spilled"),
    ("discard", "discard \"Demijohn 2\""),
    ("adjust", "adjust \"Carboy B\" --level 18.5L"),
    ("pitch", "pitch Bucket \"fruit wine yeast\" --amount 5g"),
    ("feed", "feed Bucket \"yeast nutrient\" --amount 5g"),
    ("add", "add \"Carboy A\" sulfite --amount 1.5g"),
    ("fine", "fine \"Carboy C\" bentonite --amount 10g"),
    ("sweeten", "sweeten \"Carboy B\" --amount 200g --yes"),
    (
        "stabilise",
        "stabilise \"Carboy B\" --sorbate 4g --sulfite 1g",
    ),
    (
        "oak in",
        "oak in \"Carboy C\" --amount 40g --what cubes --days 30",
    ),
    ("oak out", "oak out \"Carboy C\""),
    ("draw", "draw \"Carboy B\" --amount 100mL"),
    (
        "measure",
        "measure Bucket --gravity 1.030 --temperature 19C",
    ),
    ("taste", "taste \"Carboy B\" crisp, a little green"),
    (
        "blind start",
        "blind start \"Carboy A; Carboy B; Solaris 24\"",
    ),
    ("blind taste", "blind taste A fresh and sharp"),
    ("blind reveal", "blind reveal"),
    ("bottle start", "bottle start \"Carboy B\" --filled 25"),
    ("bottle ready", "bottle ready \"Solaris 25\""),
    ("bottle size", "bottle size \"Solaris 25\" 375"),
    ("bottle corks", "bottle corks \"Solaris 25\""),
    (
        "bottle finish",
        "bottle finish \"Solaris 25\" --left drunk --rest 60",
    ),
    ("look", "look \"Regent 25\" --corks level --seepage none"),
    (
        "lay-down",
        "lay-down \"Regent 25\" --where \"Stair rack\" --count 10",
    ),
    ("open", "open \"Solaris 24\""),
    ("give", "give \"Solaris 24\" 2 --to \"the neighbours\""),
    (
        "reserve",
        "reserve \"Solaris 24\" 3 --for \"the summer fair\"",
    ),
    ("break", "break \"Solaris 24\" 1"),
    ("unbottle", "unbottle \"Solaris 24\" 4 --into Jug"),
    ("shift", "shift \"Solaris 24\" 2 --to pantry"),
    ("release", "release \"Plum 25\" 2"),
    ("back", "back \"Solaris 24\" 2 --whom \"the neighbours\""),
    (
        "bottles describe",
        "bottles describe \"Solaris 24\" --colour green",
    ),
    ("shelves add", "shelves add \"Wall rack\" --columns 6,6,6"),
    (
        "shelves change",
        "shelves change \"Case 1\" --name \"Case one\"",
    ),
    ("shelves retire", "shelves retire \"Wall rack\""),
    ("corker", "corker \"floor corker\" --setting 3 --cork 38"),
    ("window", "window \"Regent 25\" --opens 2027 --closes 2030"),
    ("buy", "buy corks 50 --size 38x24"),
    (
        "stock take",
        "stock take bentonite --amount 60g --because spilled",
    ),
    ("sanitise", "sanitise \"racking cane and hose\" --make 2L"),
    ("empties add", "empties add 24 --size 750"),
    ("empties wash", "empties wash \"750 mL\""),
    ("empties out", "empties out \"750 mL\" 2 --because chipped"),
    ("jot", "jot ask for finer straining cloth"),
    ("note", "note \"Carboy B\" smells of elderflower"),
    (
        "plan add",
        "plan add \"my fruit wine\" --step \"day 5: press\" --step \"1.010: rack\"",
    ),
    ("plan start", "plan start \"six-week kit\" \"Carboy A\""),
    ("plan copy", "plan copy \"six-week kit\" \"eight-week kit\""),
    ("done", "done \"fine and stir\""),
    ("round", "round"),
    ("timer", "timer 10 --for sanitizer"),
    ("trouble mark", "trouble mark \"Carboy B\" egg"),
    ("trouble over", "trouble over \"Carboy B\""),
    (
        "snooze",
        "snooze \"Carboy A\" \"in 3 days\" --reason sulfite",
    ),
    (
        "dismiss",
        "dismiss \"Carboy A\" --reason sulfite --note \"kept on purpose\"",
    ),
];

#[cfg(test)]
mod tests {
    use super::super::OWN;
    use super::*;

    /// Nothing is shown by an example of a command that stands alone, or takes no more than switches.
    #[test]
    fn every_command_that_takes_words_has_an_example() {
        for own in OWN {
            let command = (own.arguments)(Command::new(own.name));
            let named = command.get_positionals().next().is_some();
            let has = EXAMPLES.iter().any(|it| it.0 == own.name);
            assert!(has || !named, "{}", own.name);
        }
    }
}
