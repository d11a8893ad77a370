//! A source as tokens: words, signs, texts in quotes, and what stands between brackets. Comments are left out.

/// A token.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Token {
    /// A name, a keyword or a number.
    Word(String),
    /// A single sign.
    Sign(char),
    /// What stands between the quotes of a string, of any sort, as it is written.
    Text(String),
    /// What stands between brackets, with the sign that opens them.
    Group(char, Vec<Token>),
}

/// The tokens of a source.
///
/// # Panics
/// Where brackets or quotes are not closed: the compiler takes no such source.
pub(crate) fn tokens(source: &str) -> Vec<Token> {
    let mut reader = Reader { rest: source };
    let tokens = reader.until(None);
    assert!(reader.rest.is_empty(), "closed without being opened: {:.60}", reader.rest);
    tokens
}

struct Reader<'a> {
    rest: &'a str,
}

impl<'a> Reader<'a> {
    /// The tokens up to the bracket that closes, which is taken as well.
    fn until(&mut self, close: Option<char>) -> Vec<Token> {
        let mut tokens = Vec::new();
        loop {
            self.skip_comments();
            let Some(first) = self.rest.chars().next() else {
                assert_eq!(close, None, "brackets are closed");
                return tokens;
            };
            match first {
                _ if close == Some(first) => {
                    self.take(1);
                    return tokens;
                }
                ')' | ']' | '}' => return tokens,
                '(' | '[' | '{' => {
                    self.take(1);
                    let close = match first {
                        '(' => ')',
                        '[' => ']',
                        _ => '}',
                    };
                    tokens.push(Token::Group(first, self.until(Some(close))));
                }
                '"' => tokens.push(self.quoted()),
                '\'' => self.skip_letter(),
                c if is_of_word(c) => tokens.push(self.word()),
                sign => {
                    self.take(sign.len_utf8());
                    tokens.push(Token::Sign(sign));
                }
            }
        }
    }

    fn take(&mut self, bytes: usize) -> &'a str {
        let (taken, rest) = self.rest.split_at(bytes);
        self.rest = rest;
        taken
    }

    fn skip_comments(&mut self) {
        loop {
            self.rest = self.rest.trim_start();
            if self.rest.starts_with("//") {
                let line = self.rest.find('\n').unwrap_or(self.rest.len());
                self.take(line);
            } else if self.rest.starts_with("/*") {
                self.skip_block();
            } else {
                return;
            }
        }
    }

    /// A comment between signs; such comments may hold others.
    fn skip_block(&mut self) {
        let mut depth = 0_usize;
        loop {
            let end = self.rest.find("*/").expect("comments are closed");
            let start = self.rest.find("/*").filter(|start| *start < end);
            self.take(start.unwrap_or(end) + 2);
            depth = if start.is_some() { depth + 1 } else { depth - 1 };
            if depth == 0 {
                return;
            }
        }
    }

    /// A name or a number; where it is the sign of a string, that string.
    fn word(&mut self) -> Token {
        let length = self.rest.find(|c| !is_of_word(c)).unwrap_or(self.rest.len());
        let word = self.take(length);
        match word {
            "b" | "c" if self.rest.starts_with('"') => self.quoted(),
            "b" if self.rest.starts_with('\'') => {
                self.skip_letter();
                Token::Word(word.to_owned())
            }
            "r" | "br" | "cr" => self.raw().unwrap_or_else(|| Token::Word(word.to_owned())),
            _ => Token::Word(word.to_owned()),
        }
    }

    /// A string in which a backslash takes the next sign with it.
    fn quoted(&mut self) -> Token {
        self.take(1);
        let mut is_taken = false;
        let end = self.rest.find(|c| {
            let ends = c == '"' && !is_taken;
            is_taken = c == '\\' && !is_taken;
            ends
        });
        let text = self.take(end.expect("quotes are closed"));
        self.take(1);
        Token::Text(text.to_owned())
    }

    /// A string without backslashes, between as many hashes as it is opened with; `None` where none begins here.
    fn raw(&mut self) -> Option<Token> {
        let hashes = self.rest.len() - self.rest.trim_start_matches('#').len();
        let inner = self.rest[hashes..].strip_prefix('"')?;
        let close = format!("\"{}", "#".repeat(hashes));
        let end = inner.find(&close).expect("quotes are closed");
        self.rest = &inner[end + close.len()..];
        Some(Token::Text(inner[..end].to_owned()))
    }

    /// A character in quotes, or the sign of a lifetime.
    fn skip_letter(&mut self) {
        self.take(1);
        let mut signs = self.rest.char_indices();
        let (first, second) = (signs.next(), signs.next());
        match (first, second) {
            (Some((_, '\\')), Some((at, taken))) => {
                let behind = at + taken.len_utf8();
                let end = self.rest[behind..].find('\'').expect("quotes are closed");
                self.take(behind + end + 1);
            }
            (Some(_), Some((at, '\''))) => {
                self.take(at + 1);
            }
            _ => {}
        }
    }
}

fn is_of_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}
