//! What the TOML reader complains of, said in the bench's words.

/// What is wrong and what to do about it. `token` is the text complained of.
pub(super) fn explain(message: &str, token: &str) -> (String, String) {
    let token: String = token.trim().chars().take(40).collect();
    let says = |wrong: &str, todo: &str| (wrong.to_string(), todo.to_string());
    if message.starts_with("string values must be quoted") {
        let comma = token.contains(',') || token.is_empty();
        return if comma {
            says("this value cannot be read", "put it in quotation marks, like \"0,8\"")
        } else {
            (format!("{token} needs quotation marks"), format!("write \"{token}\""))
        };
    }
    if message.starts_with("duplicate key") {
        return (format!("\"{token}\" is given twice"), "keep one of them".to_string());
    }
    if message.contains("recurs") {
        return says("there are brackets inside brackets without end", "no file here needs more than three");
    }
    if message.starts_with("unclosed") || message.contains("in array") || message.contains("array elements") {
        return says("a bracket is opened and not closed", "close it with ] or }");
    }
    if message.contains("escape") {
        return says("a backslash stands in the text", "write it twice, or use 'single' quotation marks");
    }
    if message.contains("basic string") || message.contains("literal string") || message.contains("quote") {
        return says("a quotation mark is opened and not closed", "close it on the same line");
    }
    if message.starts_with("key with no value") || message.starts_with("missing value") {
        return says("this key has no value", "write it as key = value");
    }
    if ["float", "integer", "number", "radix", "sign", "zero"].iter().any(|word| message.contains(word)) {
        return says("this number cannot be read", "write it like 0.8, or as a text like \"0,8 mm\"");
    }
    if message.contains("boolean") {
        return says(
            "this value cannot be read",
            "write true, false, a number, or a text in quotation marks",
        );
    }
    says("this line cannot be read", "a line is `key = value`, `[section]` or `# a comment`")
}
