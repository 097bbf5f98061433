//! Who asks.

use crate::day::now_ms;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::random;
use crate::sign_ins::{SignIn, SignInState};
use axum::extract::FromRequestParts;
use axum::http::{HeaderValue, header, request::Parts};
use axum::response::Response;
use std::net::IpAddr;

/// The cookie that a device keeps.
pub(crate) const COOKIE: &str = "gatewright";

/// A person who is signed in and not locked.
#[derive(Clone, Debug)]
pub(crate) struct Visitor {
    pub(crate) token: String,
    /// The name as the credential store has it.
    pub(crate) name: String,
    pub(crate) csrf: String,
    /// Where the request comes from.
    pub(crate) from: Option<IpAddr>,
}

/// A cookie of the request.
pub(crate) fn cookie(parts: &Parts, wanted: &str) -> Option<String> {
    let all = parts.headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut pairs = all.flat_map(|value| value.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(name, _)| *name == wanted).map(|(_, value)| value.to_owned())
}

/// Not for scripts, and not sent along from other sites.
pub(crate) fn set_cookie(response: &mut Response, name: &str, value: &str) {
    let text = format!("{name}={value}; Path=/; HttpOnly; SameSite=Strict");
    if let Ok(value) = HeaderValue::from_str(&text) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}

/// A path of this program to go to next, and no other address.
pub(crate) fn local(next: Option<&str>) -> &str {
    let plain = |path: &&str| {
        path.starts_with('/')
            && !path.starts_with("//")
            && path.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\')
    };
    next.filter(plain).unwrap_or("/")
}

impl FromRequestParts<Handle> for Visitor {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, handle: &Handle) -> Result<Self, Fault> {
        // After a form there is nothing to go back to but the page it stood on.
        let next = match parts.headers.get("x-page").and_then(|page| page.to_str().ok()) {
            Some(page) => local(Some(page)).to_owned(),
            None => parts.uri.path().to_owned(),
        };
        let Some(token) = cookie(parts, COOKIE) else { return Err(Fault::SignIn(next)) };
        let found = handle.sign_ins().find(&token, now_ms());
        let visit: SignIn = match found {
            SignInState::Unknown => return Err(Fault::SignIn(next)),
            SignInState::Locked(_) => return Err(Fault::Locked(next)),
            SignInState::Open(visit) => visit,
        };
        // Whoever was removed meanwhile is not let in any more.
        let key = visit.person.clone();
        let Some(person) = handle.run(move |app| Ok(app.credentials().person(&key)?)).await? else {
            handle.sign_ins().end(&token);
            return Err(Fault::SignIn(next));
        };
        let from = parts.extensions.get().map(|Peer(address)| *address);
        Ok(Self { token, name: person.name, csrf: visit.csrf, from })
    }
}

/// The address that a connection comes from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peer(pub(crate) IpAddr);

/// The address that a request comes from, where it is known.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SentFrom(pub(crate) Option<IpAddr>);

impl FromRequestParts<Handle> for SentFrom {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &Handle) -> Result<Self, Self::Rejection> {
        Ok(Self(parts.extensions.get().map(|Peer(address)| *address)))
    }
}

/// Whether a form carries the token of its sign-in.
pub(crate) fn is_ours(visitor: &Visitor, csrf: &str) -> Result<(), Fault> {
    if random::same(&visitor.csrf, csrf) {
        return Ok(());
    }
    Err(Fault::Forbidden(
        "This form is not one of this sign-in. Open the page again and send it from there.".to_owned(),
    ))
}

#[cfg(test)]
mod tests {
    use super::local;

    #[test]
    fn nobody_is_sent_elsewhere() {
        for path in ["/", "/walks/a-1", "/records/x"] {
            assert_eq!(local(Some(path)), path);
        }
        for path in [
            "",
            "//example.invalid",
            "https://example.invalid",
            "/\\example.invalid",
            "/a\r\nSet-Cookie: b",
            "x",
        ] {
            assert_eq!(local(Some(path)), "/", "{path:?}");
        }
    }
}
