//! The nearest known word for one that is not known.

/// The nearest known word, if one is near enough to be meant: up to a third of its letters wrong.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase().replace(['_', ' '], "-");
    // A longer word than any known one is not a slip of the finger, and comparing it would take long.
    if word.len() > 40 {
        return None;
    }
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&word, &k.to_lowercase().replace('_', "-")), k))
        .filter(|(wrong, k)| *wrong <= (k.chars().count() / 3).max(1))
        .min_by_key(|(wrong, _)| *wrong)
        .map(|(_, k)| k)
}

/// Letters from which a part of a name stands for it: fewer begin too many.
const PART: usize = 4;
/// Names of which the word is a part, told at most. More is a list to read, not a hint.
const PARTS: usize = 8;

/// "did you mean ...?", with the nearest word or those of which it is a part; the whole list when nothing is near.
pub fn suggestion(word: &str, known: &[&str]) -> String {
    let parts = || known.iter().copied().filter(|name| has_part(name, word)).take(PARTS).collect::<Vec<_>>();
    let meant = match nearest(word, known.iter().copied()) {
        Some(near) => vec![near],
        None => parts(),
    };
    match meant[..] {
        [] => format!("use one of: {}", known.join(", ")),
        _ => format!(
            "did you mean {}?",
            meant.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(" or ")
        ),
    }
}

/// The same for names that people call otherwise too: `known` is each name with its title. A word of a title names what
/// it is called here.
pub fn suggestion_of(word: &str, known: &[(&str, &str)]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for (name, _) in known {
        if !names.contains(name) {
            names.push(name);
        }
    }
    let near = suggestion(word, &names);
    if !near.starts_with("use one of") {
        return near;
    }
    let whole = known.iter().find(|(_, title)| title.eq_ignore_ascii_case(word.trim()));
    let titled = whole.or_else(|| known.iter().find(|(_, title)| has_part(title, word)));
    titled.map_or(near, |(name, _)| format!("\"{}\" is called \"{name}\" here", word.trim()))
}

/// Whether one of the words of a name, or the name from one of its words on, begins with a word.
fn has_part(name: &str, word: &str) -> bool {
    let plain = |text: &str| text.trim().to_lowercase().replace(['_', ' '], "-");
    let (name, word) = (plain(name), plain(word));
    let starts = |at: usize| at == 0 || !name.as_bytes()[at - 1].is_ascii_alphanumeric();
    word.chars().count() >= PART && name.match_indices(&word).any(|(at, _)| starts(at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_word_that_was_meant() {
        assert_eq!(nearest("thicknes", ["metal", "thickness"]), Some("thickness"));
        assert_eq!(nearest("keep-solid", ["window", "keep_solid"]), Some("keep_solid"));
        assert_eq!(nearest("zzz", ["window", "keep_solid"]), None);
    }

    #[test]
    fn a_part_of_a_name_or_of_its_title_finds_it() {
        let metals = [
            ("fine-silver", "fine silver"),
            ("sterling-silver", "sterling silver, 925"),
            ("gold-18k", "18 ct gold"),
        ];
        assert_eq!(suggestion_of("sterling", &metals), "did you mean \"sterling-silver\"?");
        assert_eq!(suggestion_of("silver", &metals), "did you mean \"fine-silver\" or \"sterling-silver\"?");
        assert_eq!(suggestion_of("18 ct", &metals), "\"18 ct\" is called \"gold-18k\" here");
        assert_eq!(suggestion_of("tin", &metals), "use one of: fine-silver, sterling-silver, gold-18k");
        let shapes =
            [("teardrop", "drop"), ("ellipse", "oval"), ("marquise", "pointed oval"), ("ellipse", "oval")];
        assert_eq!(suggestion_of("drop", &shapes), "\"drop\" is called \"teardrop\" here");
        assert_eq!(suggestion_of("Oval", &shapes), "\"Oval\" is called \"ellipse\" here");
    }
}
