//! Tried attacks by people: nobody signed in, somebody else, somebody's old cookie, somebody's browser led astray.

use super::device::Device;
use super::paths::{filled, routes};
use super::server::{PEOPLE, SMALL, Server, add_person};
use serde_json::json;

/// What needs no sign-in. It gives nothing away.
const OPEN: [&str; 5] = ["/sign-in", "/unlock", "/assets/{name}", "/api/openapi.json", "/api/sign-in"];

const FORM: &str = "Content-Type: application/x-www-form-urlencoded\r\n";
const JSON: &str = "Content-Type: application/json\r\n";

/// One request to a route, with a body that could mean something.
fn tried(device: &mut Device, method: &str, path: &str, csrf: &str) -> super::device::Reply {
    let fields =
        [("csrf", csrf), ("say", "note"), ("value", "x"), ("position", "1"), ("key", "k-1"), ("serial", "1")];
    let (more, body) = match (method, path.starts_with("/api")) {
        ("GET", _) => (String::new(), String::new()),
        (_, true) => {
            (format!("{JSON}X-CSRF-Token: {csrf}\r\n"), json!({ "say": "note", "key": "k-1" }).to_string())
        }
        _ if path.ends_with("/photo") => {
            let part = |name: &str, value: &str| {
                format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
            };
            let body = fields.iter().map(|(name, value)| part(name, value)).collect::<String>() + "--b--\r\n";
            ("Content-Type: multipart/form-data; boundary=b\r\n".to_owned(), body)
        }
        _ => (FORM.to_owned(), super::device::encoded(&fields)),
    };
    let bytes = device.request(method, path, &more, &body);
    device.send(&bytes)
}

#[test]
fn no_path_is_open_to_whoever_is_not_signed_in() {
    let server = Server::start(&SMALL);
    let walk = Device::signed_in(&server, "Tomas Reeve").begin("strainer-clean");
    let ended = {
        let mut device = Device::signed_in(&server, "Tomas Reeve");
        let cookies = device.cookies.clone();
        let csrf = device.get("/").field("", "csrf");
        assert_eq!(device.post("/sign-out", &[("csrf", &csrf)]).status, 303);
        cookies["gatewright"].clone()
    };
    let mut tries = 0;
    for token in ["", "0", &"0".repeat(64), "../../etc/passwd", "' OR 1=1 --", &ended] {
        let mut stranger = Device::new(&server);
        stranger.cookies.insert("gatewright".to_owned(), token.to_owned());
        for route in routes().iter().filter(|route| !OPEN.contains(&route.path.as_str())) {
            let path = filled(&route.path, &walk);
            let reply = tried(&mut stranger, route.method, &path, token);
            if path.starts_with("/api") {
                assert_eq!(reply.status, 401, "{route:?}");
            } else {
                assert_eq!(reply.status, 303, "{route:?}");
                let to = reply.header("location").unwrap_or_default();
                assert!(to.starts_with("/sign-in"), "{route:?}: {to}");
            }
            assert!(!reply.body.contains("OSK-0117"), "{route:?}");
            tries += 1;
        }
    }
    assert!(tries > 150, "only {tries} requests");
}

#[test]
fn no_form_is_taken_without_its_token_or_from_another_site() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let before = device.get(&format!("/records/{walk}/export.json")).body;
    let theirs = Device::signed_in(&server, "Anneke Voss").get("/").field("", "csrf");
    let posts: Vec<_> = routes().into_iter().filter(|route| route.method == "POST").collect();
    for route in posts.iter().filter(|route| !OPEN.contains(&route.path.as_str())) {
        let path = filled(&route.path, &walk);
        for csrf in ["", "0", theirs.as_str()] {
            assert_eq!(tried(&mut device, "POST", &path, csrf).status, 403, "{route:?} {csrf}");
        }
    }
    // With the right token, from a page of another site; signing in too.
    let csrf = device.get("/").field("", "csrf");
    for route in &posts {
        let path = filled(&route.path, &walk);
        for header in ["Origin: http://example.invalid", "Origin: null", "Sec-Fetch-Site: cross-site"] {
            let kind = if path.starts_with("/api") { JSON } else { FORM };
            let more = format!("{kind}X-CSRF-Token: {csrf}\r\n{header}\r\n");
            let bytes = device.request("POST", &path, &more, "");
            assert_eq!(device.send(&bytes).status, 403, "{route:?} {header}");
        }
    }
    assert_eq!(device.get(&format!("/records/{walk}/export.json")).body, before, "nothing came of it");
}

/// Everybody who is signed in may read records: that is what they are for. Nobody writes into another's walk.
#[test]
fn nobody_writes_into_the_walk_of_somebody_else() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    device.walk(&walk, 3);
    let before = device.get(&format!("/records/{walk}/export.json")).body;
    let mut other = Device::signed_in(&server, "Anneke Voss");
    let page = other.get(&format!("/walks/{walk}"));
    let (csrf, position) = (page.field("", "csrf"), page.field("", "position"));
    let common = [("csrf", csrf.as_str()), ("position", &position), ("key", "k-1")];
    let signed = [("person", "Gwen Adeyi"), ("pin", "730194")];
    for (below, more) in [("/sign", &[][..]), ("/deviate", &[("reason", "x")])] {
        let fields = [&common[..], &signed, more].concat();
        let reply = other.post(&format!("/walks/{walk}{below}"), &fields);
        assert_eq!(reply.status, 422, "{below}: {}", reply.body);
    }
    let answers = [
        "variant",
        "look",
        "is",
        "take-back",
        "done",
        "fasten",
        "reading",
        "answer",
        "item",
        "timer",
        "limit",
        "note",
        "pause",
    ];
    for say in answers {
        let reply =
            other.post(&format!("/walks/{walk}"), &[&common[..], &[("say", say), ("value", "yes")]].concat());
        assert_eq!(reply.status, 422, "{say}");
    }
    let photo = super::hostile::upload(&mut other, &walk, &csrf, &super::hostile::picture(7));
    assert_eq!(photo.status, 422, "{}", photo.body);
    assert_eq!(device.get(&format!("/records/{walk}/export.json")).body, before, "nothing came of it");
    // A key that somebody used does not answer for anybody else's walk.
    let second = other.begin("strainer-clean");
    let reply = other
        .post(&format!("/walks/{second}"), &[&common[..], &[("say", "variant"), ("value", "4 m")]].concat());
    assert!([303, 409].contains(&reply.status), "{}", reply.body);
}

#[test]
fn a_sign_in_is_new_each_time_and_ends() {
    let server = Server::start(&SMALL);
    // A cookie that somebody planted does not become the sign-in.
    let mut device = Device::new(&server);
    let planted = "f".repeat(64);
    device.cookies.insert("gatewright".to_owned(), planted.clone());
    device.sign_in("Tomas Reeve");
    let first = device.cookies["gatewright"].clone();
    assert_ne!(first, planted);
    let mut thief = Device::new(&server);
    thief.cookies.insert("gatewright".to_owned(), planted);
    assert_eq!(thief.get("/").status, 303);
    // The next is another one; what the first left behind opens nothing after it was ended.
    device.sign_in("Tomas Reeve");
    assert_ne!(device.cookies["gatewright"], first);
    thief.cookies.insert("gatewright".to_owned(), first.clone());
    assert_eq!(thief.get("/").status, 303, "signing in anew ends the sign-in that was there");
    let csrf = device.get("/").field("", "csrf");
    thief.cookies.insert("gatewright".to_owned(), device.cookies["gatewright"].clone());
    assert_eq!(device.post("/sign-out", &[("csrf", &csrf)]).status, 303);
    assert_eq!(thief.get("/").status, 303);
    // The cookie is not for scripts and not sent along from other sites.
    let mut fresh = Device::new(&server);
    let reply = fresh.try_sign_in(PEOPLE[0].0, PEOPLE[0].1);
    let cookie = reply.header("set-cookie").expect("a cookie");
    assert!(cookie.contains("httponly") && cookie.contains("samesite=strict"), "{cookie}");
}

#[test]
fn guesses_are_counted_for_each_person_and_each_address() {
    let server = Server::start(&SMALL);
    // Forty at once: no more are looked at than one after the other.
    let tries: Vec<u16> = std::thread::scope(|scope| {
        let guess = |number: usize| {
            let mut device = Device::new(&server);
            scope.spawn(move || device.try_sign_in("Tomas Reeve", &format!("1{number:05}")).status)
        };
        let guesses: Vec<_> = (0..40).map(guess).collect();
        guesses.into_iter().map(|one| one.join().expect("an answer")).collect()
    });
    let looked_at = tries.iter().filter(|&&status| status == 422).count();
    assert_eq!((looked_at, tries.len()), (5, 40), "{tries:?}");
    assert_eq!(Device::new(&server).try_sign_in("Tomas Reeve", "402917").status, 429);
    // Other names from the same address, none of which has to wait yet: after forty wrong PINs in all the address waits,
    // for whomever it says it is.
    assert_eq!(Device::new(&server).try_sign_in("Gwen Adeyi", "730194").status, 303);
    for number in 0..9 {
        let name = format!("Guest {number}");
        add_person(&server.journal(), &name, "518263", "guest");
        for _ in 0..4 {
            assert_eq!(Device::new(&server).try_sign_in(&name, "000001").status, 422, "{name}");
        }
    }
    assert_eq!(Device::new(&server).try_sign_in("Gwen Adeyi", "730194").status, 429, "the address waits");
    // What whoever runs the program reads tells of it, and holds no PIN and no token.
    let log = server.log();
    assert!(log.contains("a PIN was refused"), "{log}");
    for (_, pin, _) in PEOPLE {
        assert!(!log.contains(pin), "{log}");
    }
    assert!(!log.contains("000001") && !log.contains("100000"), "{log}");
}
