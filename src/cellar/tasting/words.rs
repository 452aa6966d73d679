//! Words for what a wine smells and tastes of, by where it comes from, each with a plain sentence. They
//! are what the trade says every day (common practice); the order is by what to do about it: what the
//! fruit brought, what the yeast made of it, what was done to it, what time did, and what is wrong.

/// Where a smell or taste comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// The grape or fruit.
    Fruit,
    /// How it tastes on the tongue.
    Palate,
    /// Yeast, and wine kept on it.
    Yeast,
    /// Malolactic bacteria.
    Malo,
    /// Wood.
    Oak,
    /// Time in vessel and bottle.
    Age,
    /// Something is wrong: `leesline trouble` says what to do.
    Fault,
}

/// A word with what it means.
#[derive(Debug)]
pub struct Word {
    /// As written.
    pub word: &'static str,
    /// Where it comes from.
    pub from: From,
    /// What it means.
    pub sentence: &'static str,
}

macro_rules! words {
    ($($from:ident { $($word:literal $sentence:literal;)* })*) => {
        /// Every word.
        pub static WORDS: &[Word] = &[$($(Word {
            word: $word,
            from: From::$from,
            sentence: $sentence,
        },)*)*];
    };
}

words! {
    Fruit {
        "apple" "Green and cool: early fruit, malic acid, a young white.";
        "pear" "Ripe and soft; in a ferment also an ester of cold yeast.";
        "lemon" "Citrus and sharp: high acid, cool fruit.";
        "grapefruit" "Citrus with a bitter edge.";
        "peach" "Stone fruit of ripe white grapes.";
        "apricot" "Riper than peach, often with sweetness.";
        "elderflower" "Flowers of the hedge; aromatic white grapes have it.";
        "rose" "Flowers, in aromatic grapes.";
        "plum" "Dark stone fruit of ripe red grapes, or the fruit itself.";
        "cherry" "Red stone fruit, tart to sweet.";
        "almond" "Stone of plum and cherry; strong, it is bitter.";
        "raspberry" "Light red fruit of a young red.";
        "blackcurrant" "Dark and sharp; leaves of it mean unripe fruit.";
        "blackberry" "Dark fruit, ripe.";
        "jammy" "Cooked fruit: very ripe, or fermented hot.";
        "grassy" "Cut grass: early picked, or leaves in the press.";
        "herbs" "Kitchen herbs, of cool years and stalks.";
        "pepper" "Ground pepper, of some red grapes.";
    }
    Palate {
        "dry" "No sugar to be tasted.";
        "sweet" "Sugar to be tasted.";
        "lean" "Little body, much acid.";
        "full" "Much body: alcohol, extract, or both.";
        "tart" "Acid stands in front.";
        "flat" "Too little acid: dull in the mouth.";
        "tannic" "Dries the mouth; skins, stems or oak.";
        "bitter" "At the back of the tongue: seeds, stones, or pressed hard.";
        "round" "Nothing stands out, nothing scratches.";
        "short" "Gone as soon as it is swallowed.";
        "long" "Stays when it is swallowed.";
        "clean" "Nothing there that should not be.";
    }
    Yeast {
        "bread" "Dough and crust: time on fine lees.";
        "yeasty" "The ferment itself: young, or not racked yet.";
        "banana" "An ester of young wine from a warm or stressed ferment; it fades.";
    }
    Malo {
        "butter" "Diacetyl of the malolactic conversion; it fades on the lees.";
        "yoghurt" "Lactic: the conversion is under way, or bacteria went on to sugar.";
    }
    Oak {
        "vanilla" "Toasted oak.";
        "coconut" "Oak of some forests, lightly toasted.";
        "smoke" "Heavily toasted oak.";
        "cedar" "Oak and time in a red.";
        "sawdust" "Oak that is young or too much: leave it out or wait.";
    }
    Age {
        "honey" "Time in bottle of a white.";
        "nutty" "Air over time: wanted in few wines, the first sign of too much in others.";
        "leather" "Time in bottle of a red.";
        "tobacco" "Time in bottle of a red.";
        "mellow" "Tannin and acid have softened.";
    }
    Fault {
        "vinegar" "Acetic acid: air and bacteria.";
        "nail varnish" "Ethyl acetate, the companion of vinegar.";
        "sherry" "Oxidised: air got to it.";
        "bruised apple" "Acetaldehyde: air got to it, or sulfite is low.";
        "rotten egg" "Hydrogen sulfide: hungry yeast, or old lees.";
        "struck match" "Free sulfite to be smelled; it goes with air.";
        "cabbage" "Sulfur that has gone too far for air to help.";
        "musty" "Damp cellar: a bad cork, or mould on something it touched.";
        "mouse" "After swallowing, like a cage: bacteria, no cure.";
        "geranium" "Sorbate that bacteria turned: no cure.";
        "prickle" "Gas on the tongue: not degassed, or fermenting again.";
    }
}

/// Words that go on from the last one typed: those the person used before first, then the vocabulary.
pub fn completions(typed: &str, used: &[String]) -> Vec<String> {
    let begun = typed
        .rsplit([',', ' ', ';'])
        .next()
        .unwrap_or_default()
        .to_lowercase();
    if begun.is_empty() {
        return Vec::new();
    }
    let kept = &typed[..typed.len() - begun.len()];
    let own = used.iter().map(String::as_str);
    let mut found: Vec<&str> = Vec::new();
    for word in own.chain(WORDS.iter().map(|it| it.word)) {
        if word.to_lowercase().starts_with(&begun) && !found.contains(&word) {
            found.push(word);
        }
    }
    found.into_iter().map(|it| format!("{kept}{it}")).collect()
}

/// The words of earlier tastings, the newest first: what stands between commas, and each word of it
/// that is longer than three letters.
pub fn used(all: &[String]) -> Vec<String> {
    let mut used: Vec<String> = Vec::new();
    let mut keep = |it: &str| {
        let it = it.trim();
        if it.chars().count() > 3 && !used.iter().any(|known| known == it) {
            used.push(it.to_owned());
        }
    };
    for words in all {
        for part in words.split([',', ';', '.', ':']) {
            keep(part);
            part.split_whitespace().for_each(&mut keep);
        }
    }
    used
}

/// The words of faults that stand in what was said.
pub fn faults(said: &str) -> impl Iterator<Item = &'static Word> {
    let said = said.to_lowercase();
    WORDS
        .iter()
        .filter(move |it| it.from == From::Fault && said.contains(it.word))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(typed: &str, used: &[&str], expected: &[&str]) {
        let used: Vec<String> = used.iter().map(|it| (*it).to_owned()).collect();
        assert_eq!(completions(typed, &used), expected, "{typed}");
    }

    #[test]
    fn the_last_word_is_completed_ones_own_words_first() {
        check("van", &[], &["vanilla"]);
        check("plum and al", &[], &["plum and almond"]);
        check(
            "plum, al",
            &["alder smoke"],
            &["plum, alder smoke", "plum, almond"],
        );
        check("plum", &["plum", "plum skin"], &["plum", "plum skin"]);
        check("", &["plum"], &[]);
        check("plum ", &["plum"], &[]);
        check("xyz", &[], &[]);
    }

    #[test]
    fn every_word_stands_once_and_says_what_it_means() {
        let mut words: Vec<&str> = WORDS.iter().map(|it| it.word).collect();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), WORDS.len());
        assert!(WORDS.iter().all(|it| it.sentence.ends_with('.')));
    }

    #[test]
    fn words_of_faults_are_found() {
        let found: Vec<&str> = faults("Plum, some Vinegar, and nail varnish")
            .map(|it| it.word)
            .collect();
        assert_eq!(found, ["vinegar", "nail varnish"]);
        assert_eq!(faults("clean and long").count(), 0);
    }
}
