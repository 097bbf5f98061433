//! Source text as the few tokens that paths are made of: no comments, no literals, no tests.

/// What a path, an import or an item is recognised by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token {
    /// A name or a keyword.
    Word(String),
    /// `::`.
    Path,
    /// Any other character that is not white space.
    Mark(char),
}

impl Token {
    pub(super) fn is(&self, mark: char) -> bool {
        *self == Token::Mark(mark)
    }

    pub(super) fn word(&self) -> Option<&str> {
        match self {
            Token::Word(word) => Some(word),
            Token::Path | Token::Mark(_) => None,
        }
    }
}

/// The tokens of a source text, in order.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let text: Vec<char> = text.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(&letter) = text.get(at) {
        let next = text.get(at + 1).copied();
        match letter {
            '/' if next == Some('/') => at = line_end(&text, at),
            '/' if next == Some('*') => at = comment_end(&text, at),
            '"' => at = string_end(&text, at),
            '\'' => at = quote_end(&text, at),
            ':' if next == Some(':') => {
                found.push(Token::Path);
                at += 2;
            }
            _ if letter.is_alphanumeric() || letter == '_' => {
                let end = (at..text.len()).find(|&end| !text[end].is_alphanumeric() && text[end] != '_');
                let end = end.unwrap_or(text.len());
                let word: String = text[at..end].iter().collect();
                at = match raw_string_end(&text, end).filter(|_| ["r", "br", "cr"].contains(&word.as_str())) {
                    Some(end) => end,
                    None => {
                        found.push(Token::Word(word));
                        end
                    }
                };
            }
            _ => {
                if !letter.is_whitespace() {
                    found.push(Token::Mark(letter));
                }
                at += 1;
            }
        }
    }
    found
}

fn line_end(text: &[char], from: usize) -> usize {
    (from..text.len()).find(|&at| text[at] == '\n').unwrap_or(text.len())
}

/// Block comments may stand inside each other.
fn comment_end(text: &[char], from: usize) -> usize {
    let (mut depth, mut at) = (0, from);
    while at + 1 < text.len() {
        match (text[at], text[at + 1]) {
            ('/', '*') => (depth, at) = (depth + 1, at + 2),
            ('*', '/') => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return at;
        }
    }
    text.len()
}

fn string_end(text: &[char], from: usize) -> usize {
    let mut at = from + 1;
    while at < text.len() && text[at] != '"' {
        at += if text[at] == '\\' { 2 } else { 1 };
    }
    at + 1
}

/// Where a raw string ends whose hashes or quotation mark begin here.
fn raw_string_end(text: &[char], from: usize) -> Option<usize> {
    let hashes = text[from..].iter().take_while(|&&letter| letter == '#').count();
    if text.get(from + hashes) != Some(&'"') {
        return None;
    }
    let end = |&at: &usize| {
        text[at] == '"' && text[at + 1..].iter().take_while(|&&letter| letter == '#').count() >= hashes
    };
    (from + hashes + 1..text.len()).find(end).map(|at| at + 1 + hashes)
}

/// The end of a character, or of the mark of a lifetime.
fn quote_end(text: &[char], from: usize) -> usize {
    match (text.get(from + 1), text.get(from + 2)) {
        (Some('\\'), _) => {
            (from + 3..text.len()).find(|&at| text[at] == '\'').map_or(text.len(), |at| at + 1)
        }
        (Some(_), Some('\'')) => from + 3,
        _ => from + 1,
    }
}

/// Leaves out what is compiled for tests alone; gives the modules in other files that are.
pub(super) fn without_tests(all: &[Token]) -> (Vec<Token>, Vec<String>) {
    let (mark, attribute) = (tokens("#[cfg(test)]"), tokens("#[cfg_attr(test,"));
    let (mut kept, mut modules) = (Vec::new(), Vec::new());
    let mut at = 0;
    while at < all.len() {
        if all[at..].starts_with(&mark) {
            let end = item_end(all, at + mark.len());
            if let [.., Token::Word(module), Token::Word(name), Token::Mark(';')] = &all[at..end]
                && module == "mod"
            {
                modules.push(name.clone());
            }
            at = end;
        } else if all[at..].starts_with(&attribute) {
            at = closed(all, at + 1);
        } else {
            kept.push(all[at].clone());
            at += 1;
        }
    }
    (kept, modules)
}

/// Where the brackets end that begin here.
fn closed(tokens: &[Token], from: usize) -> usize {
    let mut depth = 0_usize;
    for (at, token) in tokens.iter().enumerate().skip(from) {
        depth += usize::from(token.is('['));
        depth -= usize::from(token.is(']'));
        if depth == 0 {
            return at + 1;
        }
    }
    tokens.len()
}

/// Where the item ends that begins here: at a semicolon, or with its body.
fn item_end(tokens: &[Token], from: usize) -> usize {
    let mut depth = 0_usize;
    let braces_end = !tokens[from..].iter().take(5).any(|token| token.word() == Some("use"));
    for (at, token) in tokens.iter().enumerate().skip(from) {
        match token {
            Token::Mark('(' | '[' | '{') => depth += 1,
            Token::Mark(')' | ']' | '}') => depth = depth.saturating_sub(1),
            Token::Mark(_) | Token::Path | Token::Word(_) => {}
        }
        if depth == 0 && (token.is(';') || token.is('}') && braces_end) {
            return at + 1;
        }
    }
    tokens.len()
}
