//! A device that speaks HTTP/1.1 by hand: what it sends is exactly what the test says.

use super::server::{PEOPLE, Server};
use std::collections::BTreeMap;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// Longer than anything takes; a test that waits so long has failed.
const PATIENCE: Duration = Duration::from_secs(60);

pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Reply {
    fn read(mut stream: TcpStream) -> Option<Reply> {
        let mut bytes = Vec::new();
        // A reset after the answer is the server's way of not reading on.
        let _ = stream.read_to_end(&mut bytes);
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")?;
        let head = String::from_utf8_lossy(&bytes[..end]).to_lowercase();
        let body = String::from_utf8_lossy(&Self::whole(&head, &bytes[end + 4..])?).into_owned();
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some(Reply { status, head, body })
    }

    /// A body as it is, of one that came in chunks. Source: RFC 9112, section 7.1 (memory).
    fn whole(head: &str, body: &[u8]) -> Option<Vec<u8>> {
        if !head.contains("transfer-encoding: chunked") {
            return Some(body.to_vec());
        }
        let (mut rest, mut whole) = (body, Vec::new());
        loop {
            let end = rest.windows(2).position(|two| two == b"\r\n")?;
            let length = usize::from_str_radix(std::str::from_utf8(&rest[..end]).ok()?, 16).ok()?;
            if length == 0 {
                return Some(whole);
            }
            whole.extend(rest.get(end + 2..end + 2 + length)?);
            rest = rest.get(end + 2 + length + 2..)?;
        }
    }

    /// A header's value.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let start = format!("{name}: ");
        self.head.lines().find_map(|line| line.strip_prefix(start.as_str()))
    }

    /// The value of the first field with that name in a form that says `say`; of any form if that is empty.
    pub(crate) fn field(&self, say: &str, name: &str) -> String {
        let forms = self.body.split("<form ").skip(1);
        let mut forms =
            forms.filter(|form| say.is_empty() || form.contains(&format!("name=\"say\" value=\"{say}\"")));
        let form = forms.find(|form| form.contains(&format!("name=\"{name}\""))).unwrap_or_default();
        let from =
            form.split_once(&format!("name=\"{name}\" value=\"")).map(|(_, rest)| rest).unwrap_or_default();
        from.split('"').next().unwrap_or_default().to_owned()
    }
}

/// Sends bytes and reads the answer to the end of the connection.
/// Nothing comes of a server that is gone.
pub(crate) fn raw(address: &str, bytes: &[u8]) -> Option<Reply> {
    let mut stream = TcpStream::connect(address).ok()?;
    stream.set_read_timeout(Some(PATIENCE)).expect("a time limit");
    // It may answer and close before everything is sent.
    let _ = stream.write_all(bytes);
    Reply::read(stream)
}

pub(crate) fn encoded(fields: &[(&str, &str)]) -> String {
    let quoted = |text: &str| -> String {
        text.bytes()
            .map(|byte| {
                if byte.is_ascii_alphanumeric() {
                    char::from(byte).to_string()
                } else {
                    format!("%{byte:02X}")
                }
            })
            .collect()
    };
    let pairs: Vec<String> =
        fields.iter().map(|(name, value)| format!("{}={}", quoted(name), quoted(value))).collect();
    pairs.join("&")
}

#[derive(Clone)]
pub(crate) struct Device {
    pub(crate) address: String,
    pub(crate) cookies: BTreeMap<String, String>,
}

impl Device {
    pub(crate) fn new(server: &Server) -> Self {
        Self { address: server.address.clone(), cookies: BTreeMap::new() }
    }

    pub(crate) fn signed_in(server: &Server, name: &str) -> Self {
        let mut device = Self::new(server);
        device.sign_in(name);
        device
    }

    pub(crate) fn sign_in(&mut self, name: &str) {
        let pin = PEOPLE.iter().find(|(known, ..)| *known == name).expect("a person").1;
        let reply = self.try_sign_in(name, pin);
        assert_eq!(reply.status, 303, "{}", reply.body);
    }

    pub(crate) fn try_sign_in(&mut self, name: &str, pin: &str) -> Reply {
        let form = self.get("/sign-in").field("", "csrf");
        self.post("/sign-in", &[("csrf", &form), ("name", name), ("pin", pin), ("next", "/")])
    }

    /// The bytes of a request with this device's cookies.
    pub(crate) fn request(&self, method: &str, path: &str, more: &str, body: &str) -> Vec<u8> {
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nCookie: {}\r\n{more}Content-Length: {}\r\n\r\n{body}",
            self.address,
            cookies.join("; "),
            body.len()
        )
        .into_bytes()
    }

    pub(crate) fn send(&mut self, bytes: &[u8]) -> Reply {
        let reply = raw(&self.address, bytes).expect("an answer");
        for line in reply.head.lines().filter_map(|line| line.strip_prefix("set-cookie: ")) {
            if let Some((name, value)) = line.split(';').next().and_then(|pair| pair.split_once('=')) {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
        reply
    }

    pub(crate) fn get(&mut self, path: &str) -> Reply {
        let bytes = self.request("GET", path, "", "");
        self.send(&bytes)
    }

    pub(crate) fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Reply {
        let form = "Content-Type: application/x-www-form-urlencoded\r\n";
        let bytes = self.request("POST", path, form, &encoded(fields));
        self.send(&bytes)
    }

    /// Begins a rehearsal; gives the walk's name.
    pub(crate) fn begin(&mut self, procedure: &str) -> String {
        let path = format!("/begin/{procedure}");
        let csrf = self.get(&path).field("", "csrf");
        let reply = self.post(&path, &[("csrf", &csrf), ("serial", "OSK-0117"), ("rehearsal", "yes")]);
        assert_eq!(reply.status, 303, "{}", reply.body);
        reply.header("location").expect("the walk").rsplit('/').next().expect("its name").to_owned()
    }

    /// What would answer the question on a walk's page; `None` at its end.
    pub(crate) fn willing(page: &Reply) -> Option<Vec<(String, String)>> {
        let now = page.body.split_once("class=\"now\"")?.1.split("</section>").next()?;
        let value = |name: &str| {
            let from = now.split_once(&format!("name=\"{name}\" value=\"")).map(|(_, rest)| rest)?;
            Some(from.split('"').next().unwrap_or_default().to_owned())
        };
        let say = value("say")?;
        let given = match say.as_str() {
            // Nothing was begun while nobody was there.
            "look" if now.contains("been begun before") => "no".to_owned(),
            "look" => "yes".to_owned(),
            "timer" => "jump".to_owned(),
            "done" | "resume" => String::new(),
            _ => value("value")?,
        };
        let named = |name: &str, value: String| (name.to_owned(), value);
        let fields =
            ["csrf", "position", "key"].into_iter().map(|name| named(name, value(name).unwrap_or_default()));
        Some(fields.chain([named("say", say), named("value", given)]).collect())
    }

    /// Answers as a willing technician, at most so many times; gives how many were taken.
    pub(crate) fn walk(&mut self, walk: &str, most: usize) -> usize {
        for taken in 0..most {
            let page = self.get(&format!("/walks/{walk}"));
            let Some(fields) = Self::willing(&page) else { return taken };
            let fields: Vec<(&str, &str)> =
                fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            let reply = self.post(&format!("/walks/{walk}"), &fields);
            assert_eq!(reply.status, 303, "{fields:?}: {}", reply.body);
        }
        most
    }
}

/// Asks for a page until it says something; the documents are read again within a second or so, and on a busy machine long
/// before they are looked at without a change (30 s).
pub(crate) fn until_said(device: &mut Device, path: &str, said: &str) -> String {
    let asked = Instant::now();
    loop {
        let body = device.get(path).body;
        if body.contains(said) {
            return body;
        }
        assert!(asked.elapsed() < Duration::from_secs(20), "{path} never says {said:?}: {body}");
        std::thread::sleep(Duration::from_millis(100));
    }
}
