//! Words in commands that are shown to be pasted.

/// A word as it can be pasted into a shell: quoted where the shell would read it otherwise.
pub fn pasteable(word: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./:,=@%+".contains(c);
    if !word.is_empty() && word.chars().all(is_plain) {
        return word.to_owned();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_shell_would_read_otherwise_is_quoted() {
        assert_eq!(pasteable("/home/ana/records-1"), "/home/ana/records-1");
        assert_eq!(pasteable("my home"), "'my home'");
        assert_eq!(pasteable("it's $5"), r"'it'\''s $5'");
        assert_eq!(pasteable(""), "''");
    }
}
