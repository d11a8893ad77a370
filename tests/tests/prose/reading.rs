//! Reads the prose out of a source: string literals, in macros too, that a reader would take for words.

use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};

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
    let tokens: TokenStream = source.parse().unwrap_or_else(|error| panic!("{error}: {source:.80}"));
    let mut found = Vec::new();
    walk(tokens, &mut found);
    found
}

fn walk(tokens: TokenStream, found: &mut Vec<String>) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let mut at = 0;
    while at < tokens.len() {
        match &tokens[at] {
            TokenTree::Punct(punct) if punct.as_char() == '#' => {
                at = attribute(&tokens, at, found);
                continue;
            }
            // The name and what it is called with; a macro has its sign between them.
            TokenTree::Ident(name)
                if METHODS.iter().any(|known| name == known)
                    && at > 0
                    && is_punct(tokens.get(at - 1), '.') =>
            {
                at += 2;
                continue;
            }
            TokenTree::Ident(name)
                if MACROS.iter().any(|known| name == known) && is_punct(tokens.get(at + 1), '!') =>
            {
                at += 3;
                continue;
            }
            TokenTree::Group(group) => walk(group.stream(), found),
            TokenTree::Literal(literal) => {
                found.extend(text(&literal.to_string()).filter(|text| is_prose(text)))
            }
            _ => {}
        }
        at += 1;
    }
}

/// Reads an attribute; what stands behind one that is only built for tests is passed over. Gives where to read on.
fn attribute(tokens: &[TokenTree], hash: usize, found: &mut Vec<String>) -> usize {
    let at = hash + 1 + usize::from(is_punct(tokens.get(hash + 1), '!'));
    let Some(TokenTree::Group(group)) = tokens.get(at).filter(|token| is_brackets(token)) else { return at };
    let name = group.stream().into_iter().next().map(|token| token.to_string()).unwrap_or_default();
    if name == "cfg" && is_for_tests(group) {
        return behind_item(tokens, at + 1);
    }
    if !ABOUT_CODE.contains(&name.as_str()) {
        // Its name is left out: an attribute may be called as a macro is.
        walk(group.stream().into_iter().skip(1).collect(), found);
    }
    at + 1
}

/// `cfg(test)`, or `cfg` of anything that only tests and fuzz targets switch on.
fn is_for_tests(group: &Group) -> bool {
    let words = group.stream().to_string();
    words.contains("test") && !words.contains("not")
}

/// Behind the next item or statement: its body, or its semicolon.
fn behind_item(tokens: &[TokenTree], from: usize) -> usize {
    let ends = |token: &TokenTree| match token {
        TokenTree::Group(group) => group.delimiter() == Delimiter::Brace,
        TokenTree::Punct(punct) => matches!(punct.as_char(), ';' | ','),
        _ => false,
    };
    tokens[from..].iter().position(ends).map_or(tokens.len(), |at| from + at + 1)
}

fn is_punct(token: Option<&TokenTree>, sign: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == sign)
}

fn is_brackets(token: &TokenTree) -> bool {
    matches!(token, TokenTree::Group(group) if group.delimiter() == Delimiter::Bracket)
}

/// The text between the quotes of a string literal.
fn text(literal: &str) -> impl Iterator<Item = String> {
    let raw = literal.trim_start_matches(['b', 'c', 'r']).trim_matches('#');
    let inner = raw.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    inner.map(|inner| inner.replace("\\n", " \n ")).into_iter()
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
