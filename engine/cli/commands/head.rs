//! The head of the records, written down and signed: whoever holds it can tell later that nothing up to it was removed or
//! written anew, even by somebody with all rights to the file.

use crate::arguments::Verify;
use crate::clock::now_ms;
use crate::exit::Exit;
use crate::{output, register};
use anyhow::{Context, Result, bail};
use journal::{Head, Journal};
use review::Signers;
use std::fs;
use std::path::{Path, PathBuf};

/// The first line of the file.
const FIRST: &str = "gatewright records";

/// Signs the head, or makes sure of one that was signed before. The records themselves were verified.
pub(super) fn run(journal: &Journal, head: &Head, options: &Verify) -> Result<Exit> {
    let Some(file) = &options.head else { return Ok(Exit::Clean) };
    match (&options.allowed_signers, &options.by) {
        (Some(signers), Some(by)) => check(journal, file, signers, by, options),
        _ => {
            let text = format!("{FIRST}\nrecords {}\nhead {}\n", head.len, head.hash);
            let signature = match &options.sign {
                Some(key) => Some(review::sign(text.as_bytes(), &read(key)?, review::RECORDS)?),
                None => None,
            };
            crate::files::write(file, text.as_bytes())?;
            if let Some(signature) = signature {
                crate::files::write(&beside(file), signature.as_bytes())?;
            }
            output::say(&format!("the head is written to {}\n", file.display()))?;
            Ok(Exit::Clean)
        }
    }
}

fn check(journal: &Journal, file: &Path, signers: &Path, by: &str, options: &Verify) -> Result<Exit> {
    let text = read(file)?;
    let listed = Signers::parse(&read(signers)?)?;
    let on = match options.on {
        Some(on) => on,
        // The keys stand beside procedures, and so does the register that says in which zone.
        None => register::zone_or_utc(signers.to_str())?.day_of(now_ms()),
    };
    let signature = read(&beside(file))?;
    if let Err(why) = review::verify(text.as_bytes(), &signature, by, &listed, &on, review::RECORDS) {
        output::say(&format!("the head in {} does not count: {why}\n", file.display()))?;
        return Ok(Exit::Findings);
    }
    let noted = parse(&text).with_context(|| format!("`{}` is no head of records", file.display()))?;
    if !journal.extends(&noted)? {
        output::say(&format!(
            "not what was signed: the records do not hold the {} that {by} signed\n",
            card::count(usize::try_from(noted.len)?, "record")
        ))?;
        return Ok(Exit::Findings);
    }
    let records = card::count(usize::try_from(noted.len)?, "record");
    output::say(&format!("signed by {by}: the first {records} are what they were\n"))?;
    Ok(Exit::Clean)
}

fn parse(text: &str) -> Result<Head> {
    let lines: Vec<&str> = text.lines().collect();
    let [FIRST, records, head] = lines[..] else { bail!("it has other lines") };
    let (Some(len), Some(hash)) = (records.strip_prefix("records "), head.strip_prefix("head ")) else {
        bail!("it has other lines")
    };
    let hash = hash.parse().map_err(|_| anyhow::anyhow!("its head is no hash"))?;
    Ok(Head { len: len.parse().context("it does not count records")?, hash })
}

/// The signature, as `ssh-keygen -Y sign` names it.
fn beside(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(".sig");
    name.into()
}

fn read(path: &Path) -> Result<String> {
    fs::read_to_string(path).with_context(|| format!("`{}` cannot be read", path.display()))
}
