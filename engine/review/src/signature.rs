//! Signatures in the SSH signature format, as `ssh-keygen -Y sign` writes and `ssh-keygen -Y verify` reads them
//! (OpenSSH, PROTOCOL.sshsig: memory).

use crate::signers::Signers;
use document::Day;
use ssh_key::{HashAlg, LineEnding, PrivateKey, SshSig};
use std::fmt;

/// What the signature of an approval is for: one made for anything else does not count.
pub const NAMESPACE: &str = "gatewright-approval";

/// What the signature of the head of the records is for.
pub const RECORDS: &str = "gatewright-records";

/// Why a text is not signed, or a signature does not count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SignatureError {
    /// The key cannot be read.
    Key(String),
    /// The key cannot sign here, and why: it is protected by a passphrase, or of a kind that only `ssh-keygen` signs with; and
    /// what the signature is for.
    Elsewhere(&'static str, &'static str),
    /// The text does not read as a signature.
    Form(String),
    /// It was made for something else than this.
    Namespace(String, &'static str),
    /// It does not fit the text.
    Content,
    /// The key is not listed for this person.
    Signer(String),
}

impl fmt::Display for SignatureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Key(why) => write!(f, "the signing key cannot be used: {why}"),
            Self::Elsewhere(why, namespace) => write!(
                f,
                "the signing key {why}; leave `--sign` away, then run \
                 `ssh-keygen -Y sign -n {namespace} -f KEYFILE` on the file"
            ),
            Self::Form(why) => write!(f, "its signature cannot be read: {why}"),
            Self::Namespace(found, wanted) => {
                write!(f, "its signature was made for `{found}`, not for `{wanted}`")
            }
            Self::Content => f.write_str("its signature does not fit the text"),
            Self::Signer(principal) => {
                write!(f, "`allowed-signers` does not list the key that signed it for `{principal}`")
            }
        }
    }
}

impl std::error::Error for SignatureError {}

/// Signs a text, for an approval or for the records, with a private key in the OpenSSH form.
///
/// # Errors
/// If the key cannot be read, is protected, or is of a kind that cannot sign here.
pub fn sign(text: &[u8], key: &str, namespace: &'static str) -> Result<String, SignatureError> {
    let key = PrivateKey::from_openssh(key).map_err(|error| SignatureError::Key(error.to_string()))?;
    if key.is_encrypted() {
        return Err(SignatureError::Elsewhere("is protected by a passphrase", namespace));
    }
    // The crate reads such keys and verifies what they sign, but cannot sign with them (ssh-key 0.6.7).
    if key.algorithm().is_rsa() {
        return Err(SignatureError::Elsewhere(
            "is an RSA key, with which this program does not sign",
            namespace,
        ));
    }
    let signature = key.sign(namespace, HashAlg::Sha512, text);
    let pem = signature.and_then(|signature| signature.to_pem(LineEnding::LF));
    pem.map_err(|error| SignatureError::Key(error.to_string()))
}

/// Whether `principal` signed this text for that purpose, with a key that may sign on that day.
///
/// # Errors
/// If not, with the reason.
pub fn verify(
    text: &[u8],
    signature: &str,
    principal: &str,
    signers: &Signers,
    on: &Day,
    namespace: &'static str,
) -> Result<(), SignatureError> {
    let signature =
        SshSig::from_pem(signature.trim_end()).map_err(|error| SignatureError::Form(error.to_string()))?;
    if signature.namespace() != namespace {
        return Err(SignatureError::Namespace(signature.namespace().to_owned(), namespace));
    }
    let key = ssh_key::PublicKey::new(signature.public_key().clone(), "");
    key.verify(namespace, text, &signature).map_err(|_| SignatureError::Content)?;
    if signers.may_sign(principal, signature.public_key(), namespace, on) {
        Ok(())
    } else {
        Err(SignatureError::Signer(principal.to_owned()))
    }
}
