//! Tried attacks by what people write and send: scripts in procedures, names, captions and photos; odd paths and heads.

use super::device::{Device, Reply, raw};
use super::server::{PEOPLE, SMALL, Server, add_person};
use crate::support::run::root;
use image::{ImageFormat, Rgb, RgbImage};
use std::io::Cursor;

const SCRIPT: &str = "<script>alert(1)</script>";
const TEXTS: [&str; 6] = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\"'><svg onload=alert(1)>",
    "[here](javascript:alert(1))",
    "{{ 7919*7907 }}",
    "<iframe srcdoc='<b>'></iframe>",
];

/// A picture of one point, each number another.
pub(crate) fn picture(number: u8) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    RgbImage::from_pixel(1, 1, Rgb([number, 0, 0]))
        .write_to(&mut bytes, ImageFormat::Png)
        .expect("a picture");
    bytes.into_inner()
}

/// Sends bytes as a photo.
pub(crate) fn upload(device: &mut Device, walk: &str, csrf: &str, bytes: &[u8]) -> Reply {
    let part = |name: &str, value: &str| {
        format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
    };
    let mut body =
        (part("csrf", csrf) + &part("key", &format!("p-{}", bytes.len())) + &part("caption", SCRIPT))
            .into_bytes();
    let file = "--b\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"../../x.html\"\r\nContent-Type: image/png\r\n\r\n";
    body.extend(file.bytes().chain(bytes.iter().copied()).chain(*b"\r\n--b--\r\n"));
    let more = "Content-Type: multipart/form-data; boundary=b\r\n";
    let head = device.request("POST", &format!("/walks/{walk}/photo"), more, "");
    let head = String::from_utf8(head)
        .expect("text")
        .replace("Content-Length: 0", &format!("Content-Length: {}", body.len()));
    device.send(&[head.as_bytes(), &body].concat())
}

/// No text acts on a page: nothing of it is markup, no address is a script, no template was worked out.
fn harmless(place: &str, page: &Reply) {
    let body = page.body.to_lowercase();
    for bad in ["<script>alert", "<img src=x", "<svg onload", "<iframe", "href=\"javascript:", "62615533"] {
        assert!(!body.contains(bad), "{place}: {bad} in {}", page.body);
    }
    let policy = page.header("content-security-policy").expect("a policy");
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(page.header("x-content-type-options"), Some("nosniff"));
}

#[test]
fn what_a_procedure_says_never_acts() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in SMALL {
        let mut text = std::fs::read_to_string(root().join(file)).expect("a document");
        // After everything that people read in a title, an act, a question or a note.
        for key in ["title", "purpose", "do", "ask", "expect", "note", "hazard", "consequence", "scope"] {
            let lines: Vec<String> = text
                .lines()
                .enumerate()
                .map(|(number, line)| {
                    let trimmed = line.trim_start().trim_start_matches("- ");
                    let Some(value) = trimmed.strip_prefix(&format!("{key}: ")) else {
                        return line.to_owned();
                    };
                    if value.starts_with(['{', '[', '|', '>', '&', '"']) || !value.contains(' ') {
                        return line.to_owned();
                    }
                    let hostile =
                        format!("{} {}", value.trim_matches('\''), TEXTS[number % 4]).replace('\'', "''");
                    line.replace(value, &format!("'{hostile}'"))
                })
                .collect();
            text = lines.join("\n") + "\n";
        }
        let to = folder.path().join(std::path::Path::new(file).file_name().expect("a name"));
        std::fs::write(to, text).expect("written");
    }
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    harmless("home", &device.get("/"));
    harmless("begin", &device.get("/begin/strainer-clean"));
    let walk = device.begin("strainer-clean");
    let mut seen = 0;
    for _ in 0..80 {
        let page = device.get(&format!("/walks/{walk}"));
        harmless("walk", &page);
        seen += usize::from(page.body.contains("&lt;script&gt;") || page.body.contains("&lt;svg"));
        if device.walk(&walk, 1) == 0 {
            break;
        }
    }
    assert!(seen > 3, "the words stood on {seen} pages only");
    for path in [format!("/records/{walk}"), "/records".to_owned(), format!("/walks/{walk}/stop")] {
        harmless(&path, &device.get(&path));
    }
}

#[test]
fn what_a_name_a_caption_or_a_note_says_never_acts() {
    let server = Server::start(&SMALL);
    add_person(&server.journal(), TEXTS[1], PEOPLE[0].1, "technician");
    let mut device = Device::new(&server);
    assert_eq!(device.try_sign_in(TEXTS[1], PEOPLE[0].1).status, 303);
    let walk = device.begin("strainer-clean");
    let page = device.get(&format!("/walks/{walk}"));
    let (csrf, position) = (page.field("", "csrf"), page.field("", "position"));
    for (number, text) in TEXTS.iter().enumerate() {
        let key = format!("n-{number}");
        let note = [
            ("csrf", csrf.as_str()),
            ("say", "note"),
            ("value", text),
            ("position", &position),
            ("key", &key),
        ];
        assert_eq!(device.post(&format!("/walks/{walk}"), &note).status, 303);
    }
    assert_eq!(upload(&mut device, &walk, &csrf, &picture(1)).status, 303);
    for path in [
        "/".to_owned(),
        "/records".to_owned(),
        format!("/walks/{walk}"),
        format!("/records/{walk}"),
        "/verify".to_owned(),
    ] {
        harmless(&path, &device.get(&path));
    }
    assert!(
        device.get(&format!("/records/{walk}")).body.contains("&lt;iframe"),
        "it is shown as it was written"
    );
    // A CSV of it does not break out of its cells.
    let csv = device.get(&format!("/records/{walk}/export.csv"));
    assert!(csv.header("content-type").is_some_and(|kind| kind.starts_with("text/csv")), "{}", csv.head);
}

#[test]
fn what_is_no_photo_is_not_kept_and_nothing_hides_in_one() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let csrf = device.get("/").field("", "csrf");
    let html = b"<!doctype html><script>alert(1)</script>".as_slice();
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>".as_slice();
    for bytes in [
        b"".as_slice(),
        html,
        svg,
        b"GIF89a<script>",
        b"\x89PNG\r\n\x1a\n<script>",
        b"%PDF-1.7",
        b"\xff\xd8\xff\xe0<script>",
    ] {
        assert_eq!(
            upload(&mut device, &walk, &csrf, bytes).status,
            422,
            "{}",
            String::from_utf8_lossy(bytes)
        );
    }
    assert!(!device.get(&format!("/records/{walk}/export.json")).body.contains("photographed"));
    // A picture with a page behind it: the picture alone is kept, and is never taken for a page.
    let hidden = [picture(9).as_slice(), html].concat();
    assert_eq!(upload(&mut device, &walk, &csrf, &hidden).status, 303);
    let record = device.get(&format!("/records/{walk}")).body;
    let photo =
        record.split("/photos/").nth(1).expect("a photo").split('"').next().expect("its hash").to_owned();
    let reply = device.get(&format!("/photos/{photo}"));
    assert_eq!((reply.status, reply.header("content-type")), (200, Some("image/jpeg")));
    assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
    assert!(!reply.body.contains("script"));
    assert_eq!(Device::new(&server).get(&format!("/photos/{photo}")).status, 303, "not without a sign-in");
}

#[test]
fn no_path_leads_out_and_no_text_becomes_a_head() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let ways = [
        "../../Cargo.toml",
        "..%2f..%2fCargo.toml",
        "%2e%2e/%2e%2e/etc/passwd",
        "..%5c..%5cx",
        "%2fetc%2fpasswd",
        "%00",
        "style.css%00.js",
    ];
    for folder in ["assets", "photos", "walks", "records", "begin"] {
        for way in ways {
            let reply = device.get(&format!("/{folder}/{way}"));
            assert!([303, 400, 404].contains(&reply.status), "{folder}/{way}: {}", reply.head);
            assert!(!reply.body.contains("[workspace]") && !reply.body.contains("root:"), "{folder}/{way}");
        }
    }
    let breaks = "%0d%0aSet-Cookie:%20planted=1";
    for path in [
        "/sign-in?next=/x",
        "/unlock?next=/x",
        "/walks/x",
        "/records/x",
        "/photos/x",
        "/records/x/export.csv?y=",
    ] {
        let reply = device.get(&format!("{path}{breaks}"));
        assert!(!reply.head.contains("planted"), "{path}: {}", reply.head);
    }
    let csrf = device.get("/sign-in").field("", "csrf");
    for next in
        ["//example.invalid", "https://example.invalid", "/\\example.invalid", "/x\r\nSet-Cookie: planted=1"]
    {
        let reply = device
            .post("/sign-in", &[("csrf", &csrf), ("name", "Tomas Reeve"), ("pin", "402917"), ("next", next)]);
        assert_eq!(reply.header("location"), Some("/"), "{next}: {}", reply.head);
        assert!(!reply.head.contains("planted"));
    }
    let page = format!(
        "GET / HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nX-Page: //example.invalid\r\n\r\n",
        server.address
    );
    let reply = raw(&server.address, page.as_bytes()).expect("an answer");
    assert!(!reply.header("location").unwrap_or_default().contains("example"), "{}", reply.head);
    // Two lengths, or a length and chunks: what a server in front may read otherwise is not read at all.
    for lengths in
        ["Content-Length: 3\r\nContent-Length: 5\r\n", "Content-Length: 3\r\nTransfer-Encoding: chunked\r\n"]
    {
        let bytes = format!("POST /lock HTTP/1.1\r\nHost: {}\r\n{lengths}\r\n0\r\n\r\n", server.address);
        let status = raw(&server.address, bytes.as_bytes()).map(|reply| reply.status);
        assert!(status.is_none_or(|status| status >= 300), "{lengths}: {status:?}");
    }
}

#[test]
fn what_is_too_large_is_refused_everywhere() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let csrf = device.get("/").field("", "csrf");
    let large = "x".repeat(400 << 10);
    for route in super::paths::routes()
        .iter()
        .filter(|route| route.method == "POST" && !route.path.ends_with("/photo"))
    {
        let path = super::paths::filled(&route.path, &walk);
        let (kind, body) = if path.starts_with("/api") {
            ("application/json", format!("{{\"x\":\"{large}\"}}"))
        } else {
            ("application/x-www-form-urlencoded", format!("csrf={csrf}&x={large}"))
        };
        let more = format!("Content-Type: {kind}\r\nX-CSRF-Token: {csrf}\r\n");
        let bytes = device.request("POST", &path, &more, &body);
        assert_eq!(device.send(&bytes).status, 413, "{route:?}");
    }
    assert_eq!(upload(&mut device, &walk, &csrf, &vec![0; 13 << 20]).status, 413);
    // Many small things in place of a large one.
    let fields: String = (0..30_000).map(|number| format!("a{number}=&")).collect();
    let bytes =
        device.request("POST", "/lock", "Content-Type: application/x-www-form-urlencoded\r\n", &fields);
    assert!([400, 403, 413].contains(&device.send(&bytes).status));
    // A picture that is small as sent and large as read: 20,000 x 20,000 points.
    let mut head = vec![0x89, b'P', b'N', b'G', 13, 10, 26, 10, 0, 0, 0, 13];
    head.extend(*b"IHDR");
    head.extend([0, 0, 0x4e, 0x20, 0, 0, 0x4e, 0x20, 8, 2, 0, 0, 0, 0, 0, 0, 0]);
    assert_eq!(upload(&mut device, &walk, &csrf, &head).status, 422);
    assert_eq!(device.get("/").status, 200, "it serves on");
    assert!(server.peak_kb().is_none_or(|peak| peak < 400_000), "{:?} kB", server.peak_kb());
}
