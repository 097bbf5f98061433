//! The file of allowed signers, in the form that `ssh-keygen -Y verify -f` reads (ssh-keygen(1), ALLOWED SIGNERS: memory).

use document::Day;
use ssh_key::PublicKey;
use ssh_key::public::KeyData;
use std::fmt;

/// Keys with the people who may sign with them.
#[derive(Clone, Debug)]
pub struct Signers {
    lines: Vec<Line>,
}

#[derive(Clone, Debug)]
struct Line {
    principals: Vec<String>,
    namespaces: Option<Vec<String>>,
    after: Option<String>,
    before: Option<String>,
    key: KeyData,
}

/// A line that cannot be read. Such a file is not used at all: a key may have been meant to be left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignersError {
    line: usize,
    fault: String,
}

impl fmt::Display for SignersError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {} of `allowed-signers` cannot be used: {}", self.line, self.fault)
    }
}

impl std::error::Error for SignersError {}

impl Signers {
    /// Reads the file.
    ///
    /// # Errors
    /// At the first line that cannot be used.
    pub fn parse(text: &str) -> Result<Self, SignersError> {
        let mut lines = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let line = line.trim();
            if !line.is_empty() && !line.starts_with('#') {
                lines.push(Line::parse(line).map_err(|fault| SignersError { line: at + 1, fault })?);
            }
        }
        Ok(Self { lines })
    }

    /// Whether a person may sign with a key for a purpose on a day.
    pub(crate) fn may_sign(&self, principal: &str, key: &KeyData, namespace: &str, on: &Day) -> bool {
        // Days compare as their digits do; a day counts from its beginning to its end.
        let day: String = on.to_string().replace('-', "");
        self.lines.iter().any(|line| {
            line.key == *key
                && listed(&line.principals, principal)
                && line.namespaces.as_ref().is_none_or(|names| listed(names, namespace))
                && line
                    .after
                    .as_ref()
                    .is_none_or(|after| after.get(..8).is_some_and(|after| after <= day.as_str()))
                && line
                    .before
                    .as_ref()
                    .is_none_or(|before| before.get(..8).is_some_and(|before| day.as_str() < before))
        })
    }
}

impl Line {
    fn parse(line: &str) -> Result<Self, String> {
        let mut words = split(line, char::is_whitespace).into_iter().filter(|word| !word.is_empty());
        let principals = words.next().ok_or("it is empty")?;
        let mut word = words.next().ok_or("it names no key")?;
        let mut options = Vec::new();
        if !KINDS.iter().any(|kind| word.starts_with(kind)) {
            options = split(&word, |letter| letter == ',');
            word = words.next().ok_or("it names no key")?;
        }
        let data = words.next().ok_or("its key has no data")?;
        let key = PublicKey::from_openssh(&format!("{word} {data}")).map_err(|error| error.to_string())?;
        let mut parsed = Self {
            principals: list(&principals),
            namespaces: None,
            after: None,
            before: None,
            key: key.key_data().clone(),
        };
        for option in options {
            parsed.option(&option)?;
        }
        Ok(parsed)
    }

    fn option(&mut self, option: &str) -> Result<(), String> {
        let (name, value) = option.split_once('=').unwrap_or((option, ""));
        match name.to_ascii_lowercase().as_str() {
            "namespaces" => self.namespaces = Some(list(value)),
            "valid-after" => self.after = Some(day(value)?),
            "valid-before" => self.before = Some(day(value)?),
            "cert-authority" => {
                return Err("certificate authorities are not supported: list each key".to_owned());
            }
            _ => return Err(format!("the option `{name}` is not known")),
        }
        Ok(())
    }
}

/// Beginnings of the names of keys; any other second word of a line is its options.
const KINDS: [&str; 4] = ["ssh-", "ecdsa-", "sk-ssh-", "sk-ecdsa-"];

/// The parts between separators that stand outside quotes, the quotes kept.
fn split(text: &str, separates: impl Fn(char) -> bool) -> Vec<String> {
    let (mut parts, mut quoted) = (vec![String::new()], false);
    for letter in text.chars() {
        quoted ^= letter == '"';
        if !quoted && separates(letter) {
            parts.push(String::new());
        } else if let Some(last) = parts.last_mut() {
            last.push(letter);
        }
    }
    parts
}

fn list(text: &str) -> Vec<String> {
    text.trim_matches('"').split(',').map(str::to_owned).collect()
}

/// The day of a time such as `20261102` or `20261102120000Z`. Only whole days are kept: an approval has no hour.
fn day(text: &str) -> Result<String, String> {
    let digits: String = text.trim_matches('"').chars().take_while(char::is_ascii_digit).collect();
    let fault = || format!("`{text}` is no time such as 20261102");
    let day = digits.get(..8).ok_or_else(fault)?;
    Day::parse(&format!("{}-{}-{}", &day[..4], &day[4..6], &day[6..])).map_err(|_| fault())?;
    Ok(day.to_owned())
}

/// Whether a list of patterns names a text: `*` is any text, `?` any letter, and `!` before a pattern forbids.
fn listed(patterns: &[String], text: &str) -> bool {
    let mut found = false;
    for pattern in patterns {
        match pattern.strip_prefix('!') {
            Some(pattern) if fits(pattern.as_bytes(), text.as_bytes()) => return false,
            Some(_) => {}
            None => found |= fits(pattern.as_bytes(), text.as_bytes()),
        }
    }
    found
}

fn fits(pattern: &[u8], text: &[u8]) -> bool {
    match (pattern.split_first(), text.split_first()) {
        (None, None) => true,
        (Some((b'*', rest)), _) => {
            fits(rest, text) || text.split_first().is_some_and(|(_, text)| fits(pattern, text))
        }
        (Some((b'?', pattern)), Some((_, text))) => fits(pattern, text),
        (Some((letter, pattern)), Some((first, text))) => letter == first && fits(pattern, text),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::{Signers, listed, split};

    #[test]
    fn patterns_as_openssh_reads_them() {
        let is = |patterns: &str, text| listed(&super::list(patterns), text);
        assert!(is("a@b,c@d", "c@d"));
        assert!(is("*@larkmoor.example", "adeyi@larkmoor.example"));
        assert!(is("adey?@*", "adeyi@x"));
        assert!(!is("*,!adeyi@*", "adeyi@x"));
        assert!(!is("a@b", "a@bc"));
        assert!(!is("", "a"));
    }

    #[test]
    fn quotes_keep_together() {
        assert_eq!(split("a \"b c\" d", char::is_whitespace), ["a", "\"b c\"", "d"]);
        assert_eq!(split("x=\"a,b\",y", |letter| letter == ','), ["x=\"a,b\"", "y"]);
    }

    #[test]
    fn a_line_that_cannot_be_used_is_told() {
        let told = |text| Signers::parse(text).unwrap_err().to_string();
        assert!(told("# fine\n\na@b").contains("line 3"));
        assert!(told("a@b colour=red ssh-ed25519 AAAA").contains("line 1"));
        assert!(told("a@b ssh-ed25519 AAAA").contains("line 1"));
    }
}
