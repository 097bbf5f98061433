//! A table of tried attacks. Each row says what is sent and what must come back.

use super::device::{Device, encoded, raw};
use super::server::{SMALL, Server};

const HOSTILE: &str = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{ 7919*7907 }}";

#[test]
fn nobody_sees_or_does_anything_without_signing_in() {
    let server = Server::start(&SMALL);
    let walk = Device::signed_in(&server, "Tomas Reeve").begin("strainer-clean");
    let mut stranger = Device::new(&server);
    let inside = [
        "/".to_owned(),
        "/begin/strainer-clean".to_owned(),
        format!("/walks/{walk}"),
        format!("/walks/{walk}/stop"),
        format!("/walks/{walk}/deviate"),
        "/records".to_owned(),
        "/records.json".to_owned(),
        "/records.csv".to_owned(),
        format!("/records/{walk}"),
        format!("/records/{walk}/export.json"),
        format!("/records/{walk}/export.csv"),
        "/verify".to_owned(),
        format!("/photos/{}", "0".repeat(64)),
    ];
    for path in &inside {
        let reply = stranger.get(path);
        assert_eq!(reply.status, 303, "{path}");
        assert!(
            reply.header("location").is_some_and(|to| to.starts_with("/sign-in")),
            "{path}: {}",
            reply.head
        );
        assert!(!reply.body.contains("OSK-0117"), "{path}");
    }
    for token in ["", "0", &"0".repeat(64), "../../etc/passwd", "' OR 1=1 --"] {
        stranger.cookies.insert("gatewright".to_owned(), token.to_owned());
        assert_eq!(stranger.get("/records").status, 303, "{token}");
        let forms =
            ["/begin/strainer-clean".to_owned(), format!("/walks/{walk}"), format!("/walks/{walk}/stop")];
        for path in forms.iter().map(String::as_str).chain(["/lock", "/sign-out"]) {
            let reply =
                stranger.post(path, &[("csrf", token), ("say", "done"), ("key", "k"), ("position", "1")]);
            assert_eq!(reply.status, 303, "{path}");
        }
    }
    // What needs no sign-in gives nothing away.
    for path in ["/assets/style.css", "/assets/page.js", "/assets/icon.svg", "/sign-in"] {
        assert_eq!(Device::new(&server).get(path).status, 200, "{path}");
    }
}

#[test]
fn forms_of_others_are_refused() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    let page = device.get(&path);
    let (position, key) = (page.field("", "position"), page.field("", "key"));
    let mut other = Device::signed_in(&server, "Anneke Voss");
    let theirs = other.get("/").field("", "csrf");
    for csrf in ["", "0", theirs.as_str()] {
        let fields =
            [("csrf", csrf), ("say", "variant"), ("value", "4 m"), ("position", &position), ("key", &key)];
        assert_eq!(device.post(&path, &fields).status, 403, "{csrf}");
        let stop = [("csrf", csrf), ("reason", "x"), ("position", position.as_str()), ("key", key.as_str())];
        assert_eq!(device.post(&format!("{path}/stop"), &stop).status, 403);
    }
    // The right token, but from another site's page.
    let csrf = page.field("", "csrf");
    let body =
        encoded(&[("csrf", &csrf), ("say", "note"), ("value", "x"), ("position", &position), ("key", &key)]);
    for header in ["Origin: http://example.invalid", "Origin: null", "Sec-Fetch-Site: cross-site"] {
        let more = format!("Content-Type: application/x-www-form-urlencoded\r\n{header}\r\n");
        let bytes = device.request("POST", &path, &more, &body);
        assert_eq!(device.send(&bytes).status, 403, "{header}");
    }
    assert_eq!(device.get(&path).field("", "position"), position, "the walk has not moved");
    // Signing somebody in by another site's form does not work either.
    let mut fresh = Device::new(&server);
    let reply = fresh.post("/sign-in", &[("name", "Tomas Reeve"), ("pin", "402917"), ("csrf", "0")]);
    assert_eq!(reply.status, 403);
    assert!(!fresh.cookies.contains_key("gatewright"));
}

#[test]
fn who_is_not_at_a_walk_does_not_answer_in_it() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    let mut other = Device::signed_in(&server, "Anneke Voss");
    let page = other.get(&path);
    assert!(page.body.contains("Take over this walk"), "{}", page.body);
    let position = page.field("", "position");
    let csrf = page.field("", "csrf");
    for say in [
        "variant",
        "look",
        "is",
        "take-back",
        "done",
        "reading",
        "answer",
        "item",
        "timer",
        "limit",
        "note",
        "pause",
    ] {
        let fields = [
            ("csrf", csrf.as_str()),
            ("say", say),
            ("value", "yes"),
            ("position", position.as_str()),
            ("key", "k1"),
        ];
        let reply = other.post(&path, &fields);
        assert_eq!(reply.status, 422, "{say}");
        assert!(reply.body.contains("You are not at this walk"), "{say}: {}", reply.body);
    }
    let page = device.get(&path);
    assert_eq!(page.field("", "position"), position, "the walk has not moved");
    assert!(!page.body.contains("Go on with this walk"), "{}", page.body);
    assert_eq!(device.walk(&walk, 1), 1, "whoever is at it was not sent away");
    for id in ["nothing-there", "..%2f..%2fetc%2fpasswd", "%00", &"a".repeat(300)] {
        assert_eq!(device.get(&format!("/walks/{id}")).status, 404, "{id}");
        assert_eq!(device.get(&format!("/records/{id}")).status, 404, "{id}");
        assert_eq!(device.get(&format!("/records/{id}/export.json")).status, 404, "{id}");
    }
}

#[test]
fn what_people_write_is_shown_and_never_acts() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let csrf = device.get("/").field("", "csrf");
    let serial = &HOSTILE[..60];
    let no_serial = device.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", serial)]);
    assert_eq!(no_serial.status, 422, "{}", no_serial.body);
    let reply = device.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", "OSK-0117")]);
    assert_eq!(reply.status, 303, "{}", reply.body);
    let path = reply.header("location").expect("the walk").to_owned();
    let page = device.get(&path);
    let note = [
        ("csrf", csrf.as_str()),
        ("say", "note"),
        ("value", HOSTILE),
        ("position", &page.field("", "position")),
        ("key", "k1"),
    ];
    assert_eq!(device.post(&path, &note).status, 303);
    let typed = [
        ("csrf", csrf.as_str()),
        ("say", "variant"),
        ("value", HOSTILE),
        ("position", note[3].1),
        ("key", "k2"),
    ];
    let pages = [
        no_serial,
        device.get(&path),
        device.post(&path, &typed),
        device.get(&path.replace("walks", "records")),
        device.get("/records"),
        device.get("/"),
        device.get(&format!("/records?{}", encoded(&[("serial", HOSTILE), ("from", HOSTILE)]))),
        device.get(&format!("/sign-in?next={}", encoded(&[("/x", HOSTILE)]))),
        Device::new(&server).try_sign_in(HOSTILE, "000000"),
    ];
    for (number, page) in pages.iter().enumerate() {
        assert!(!page.body.contains("<script>alert"), "page {number}: {}", page.body);
        assert!(!page.body.contains("<img src=x"), "page {number}");
        assert!(!page.body.contains("62615533"), "page {number} worked the template out");
        let policy = page.header("content-security-policy").expect("a policy");
        assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    }
    assert!(pages[0].body.contains("&lt;script&gt;"), "what was typed can be mended");
    assert!(pages[3].body.contains("&lt;script&gt;"), "the note is shown as it was written");
}

#[test]
fn odd_requests_get_short_answers() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    for path in [
        "/assets/../../Cargo.toml",
        "/assets/..%2f..%2fCargo.toml",
        "/assets/%2e%2e/app.rs",
        "/.env",
        "/photos/..%2frecords.sqlite",
    ] {
        let reply = device.get(path);
        assert_eq!(reply.status, 404, "{path}: {}", reply.body);
    }
    // A name that is not ours: a page elsewhere whose name was pointed here (DNS rebinding).
    for host in ["example.invalid", "localhost.example.invalid", ""] {
        let bytes = format!("GET /sign-in HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
        assert_eq!(raw(&server.address, bytes.as_bytes()).expect("an answer").status, 403, "{host}");
    }
    let csrf = device.get("/").field("", "csrf");
    let large = "x".repeat(3 << 20);
    let reply = device.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", &large)]);
    assert_eq!(reply.status, 413);
    let lying = device.request("POST", "/lock", "Content-Type: application/x-www-form-urlencoded\r\n", "");
    let lying =
        String::from_utf8(lying).expect("text").replace("Content-Length: 0", "Content-Length: 99999999999");
    assert_eq!(raw(&server.address, lying.as_bytes()).expect("an answer").status, 413);
    let head = format!("GET / HTTP/1.1\r\nHost: {}\r\nX: {}\r\n\r\n", server.address, "x".repeat(200_000));
    assert_eq!(raw(&server.address, head.as_bytes()).expect("an answer").status, 431);
    for bytes in [&b"\0\0\0\0\r\n\r\n"[..], b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n"] {
        assert_eq!(raw(&server.address, bytes).map(|reply| reply.status), Some(400));
    }
    // Heads and bodies that never end: closed by the server, while others are served.
    let slow = std::net::TcpStream::connect(&server.address).expect("it listens");
    std::io::Write::write_all(&mut &slow, b"GET / HTTP/1.1\r\nHost: a").expect("sent");
    assert_eq!(device.get("/").status, 200);
    slow.set_read_timeout(Some(std::time::Duration::from_secs(40))).expect("a time limit");
    let mut rest = Vec::new();
    std::io::Read::read_to_end(&mut &slow, &mut rest).expect("the server closes it");
    assert!(!String::from_utf8_lossy(&rest).contains("200 OK"));
}

#[test]
fn wrong_pins_cost_time() {
    let server = Server::start(&SMALL);
    let mut device = Device::new(&server);
    for _ in 0..5 {
        let reply = device.try_sign_in("Tomas Reeve", "000000");
        assert_eq!(reply.status, 422);
        assert!(reply.body.contains("This name and this PIN do not go together"), "{}", reply.body);
    }
    // Not even the right one is taken now; others are not held up.
    assert_eq!(device.try_sign_in("tomas reeve", "402917").status, 429);
    assert_eq!(device.try_sign_in("Anneke Voss", "518263").status, 303);
    // Whoever is not there is told the same as whoever is.
    let mut stranger = Device::new(&server);
    let reply = stranger.try_sign_in("Nobody Known", "000000");
    assert_eq!(reply.status, 422);
    assert!(reply.body.contains("This name and this PIN do not go together"), "{}", reply.body);
}
