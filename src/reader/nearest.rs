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

/// "did you mean ...?" or the whole list when nothing is near.
pub fn suggestion(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("use one of: {}", known.join(", ")),
    }
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
}
