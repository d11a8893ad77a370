//! Reads the prose out of a source: string literals, in macros too, that a reader would take for words.

use crate::tokens::{Token, tokens};

/// Methods whose words only a developer reads.
const METHODS: &[&str] = &["expect", "expect_err"];

/// Macros whose words only a developer or a log reads.
const MACROS: &[&str] = &[
    "panic",
    "unreachable",
    "assert",
    "assert_eq",
    "assert_ne",
    "debug_assert",
    "debug_assert_eq",
    "trace",
    "debug",
    "info",
    "warn",
    "error",
    "concat",
    "cfg",
    "env",
    "include_str",
];

/// Attributes that state something about the code; others, such as that of an error's words, are read.
const ABOUT_CODE: &[&str] = &[
    "allow",
    "cfg",
    "cfg_attr",
    "deny",
    "derive",
    "doc",
    "expect",
    "forbid",
    "must_use",
    "non_exhaustive",
    "path",
    "serde",
    "warn",
];

/// Every literal of `source` that reads as prose, without what is only built for tests.
pub(crate) fn prose_of(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    walk(&tokens(source), &mut found);
    found
}

fn walk(tokens: &[Token], found: &mut Vec<String>) {
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        at = match token {
            Token::Sign('#') => attribute(tokens, at, found),
            // The name and what it is called with; a macro has its sign between them.
            Token::Word(name)
                if METHODS.contains(&&**name) && at > 0 && tokens[at - 1] == Token::Sign('.') =>
            {
                at + 2
            }
            Token::Word(name)
                if MACROS.contains(&&**name) && tokens.get(at + 1) == Some(&Token::Sign('!')) =>
            {
                at + 3
            }
            Token::Group(_, inner) => {
                walk(inner, found);
                at + 1
            }
            // What an element looks like is no word to a reader.
            Token::Word(name)
                if name == "class"
                    && tokens.get(at + 1) == Some(&Token::Sign('='))
                    && matches!(tokens.get(at + 2), Some(Token::Text(_))) =>
            {
                at + 3
            }
            Token::Text(text) => {
                found.extend(Some(text.replace("\\n", " \n ")).filter(|text| is_prose(text)));
                at + 1
            }
            Token::Word(_) | Token::Sign(_) => at + 1,
        };
    }
}

/// Reads an attribute; what stands behind one that is only built for tests is passed over. Gives where to read on.
fn attribute(tokens: &[Token], hash: usize, found: &mut Vec<String>) -> usize {
    let at = hash + 1 + usize::from(tokens.get(hash + 1) == Some(&Token::Sign('!')));
    let Some(Token::Group('[', inner)) = tokens.get(at) else { return at };
    let name = match inner.first() {
        Some(Token::Word(name)) => name.as_str(),
        _ => "",
    };
    if name == "cfg" && holds(inner, "test") && !holds(inner, "not") {
        return behind_item(tokens, at + 1);
    }
    if !ABOUT_CODE.contains(&name) {
        // Its name is left out: an attribute may be called as a macro is.
        walk(&inner[1..], found);
    }
    at + 1
}

fn holds(tokens: &[Token], word: &str) -> bool {
    tokens.iter().any(|token| match token {
        Token::Word(found) => found == word,
        Token::Group(_, inner) => holds(inner, word),
        Token::Sign(_) | Token::Text(_) => false,
    })
}

/// Behind the next item or statement: its body, or its semicolon.
fn behind_item(tokens: &[Token], from: usize) -> usize {
    let ends = |token: &Token| matches!(token, Token::Group('{', _) | Token::Sign(';' | ','));
    tokens[from..].iter().position(ends).map_or(tokens.len(), |at| from + at + 1)
}

/// Whether a literal is words to be read, or a piece of them: two words or more, a placeholder counting as one, or a word
/// that leaves room for its neighbour.
pub(crate) fn is_prose(text: &str) -> bool {
    let words = without_braces(&without_marks(text));
    let is_word = |word: &str| {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
        bare.chars().count() >= 2 && bare.chars().all(|c| c.is_alphabetic() || matches!(c, '\'' | '-'))
    };
    let all: Vec<&str> = words.split_whitespace().collect();
    let is_piece = words.starts_with(' ') || words.ends_with(' ');
    let spoken = all.iter().filter(|word| is_word(word)).count();
    let held = all.iter().filter(|word| word.contains(PLACEHOLDER) && !is_word(word)).count();
    spoken >= 1 && (spoken + held >= 2 || (is_piece && all.len() == 1))
}

/// Stands for what a placeholder will hold.
const PLACEHOLDER: char = '\u{fffc}';

/// The text with each placeholder as one sign; doubled braces are braces.
fn without_braces(text: &str) -> String {
    let text = text.replace("{{", "(").replace("}}", ")");
    let mut out = String::new();
    let mut rest = text.as_str();
    while let Some((before, behind)) = rest.split_once('{') {
        out.push_str(before);
        let Some((_, after)) = behind.split_once('}') else { break };
        out.push(PLACEHOLDER);
        rest = after;
    }
    out + rest
}

/// The text without tags: what a browser shows of it.
fn without_marks(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once('<') {
        out.push_str(before);
        match behind.split_once('>') {
            Some((_, after)) => rest = after,
            None => return out,
        }
    }
    out + rest
}
