//! Devices that send or read so slowly that they hold a place for ever: the server cuts them off, and serves others.

use super::device::Device;
use super::server::{SMALL, Server};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::Duration;

/// Much longer than the server waits for anything.
const PATIENCE: Duration = Duration::from_secs(100);

fn connected(server: &Server) -> TcpStream {
    let stream = TcpStream::connect(&server.address).expect("it listens");
    stream.set_read_timeout(Some(PATIENCE)).expect("a time limit");
    stream
}

/// Sends a byte every second until the server closes; gives what it answered.
fn trickled(mut stream: TcpStream, head: &str) -> String {
    stream.write_all(head.as_bytes()).expect("sent");
    let mut answer = Vec::new();
    stream.set_read_timeout(Some(Duration::from_secs(1))).expect("a time limit");
    for _ in 0..PATIENCE.as_secs() {
        let mut bytes = [0; 4096];
        match stream.read(&mut bytes) {
            Ok(0) => return String::from_utf8_lossy(&answer).into_owned(),
            Ok(count) => answer.extend(&bytes[..count]),
            // Nothing came for a second: a byte more is sent, until nobody takes it.
            Err(error)
                if matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut) =>
            {
                if stream.write_all(b"x").is_err() {
                    return String::from_utf8_lossy(&answer).into_owned();
                }
            }
            Err(_) => return String::from_utf8_lossy(&answer).into_owned(),
        }
    }
    panic!("the server holds on to it: {}", String::from_utf8_lossy(&answer));
}

#[test]
fn whoever_sends_too_slowly_is_cut_off_while_others_are_served() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let cookie = format!("gatewright={}", device.cookies["gatewright"]);
    let form = |path: &str, kind: &str| {
        format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nContent-Type: {kind}\r\nContent-Length: 5000\r\n\r\n",
            server.address
        )
    };
    let heads = [
        ("no request at all", String::new()),
        ("a head", format!("GET / HTTP/1.1\r\nHost: {}\r\nX: ", server.address)),
        ("a form", form("/sign-in", "application/x-www-form-urlencoded")),
        ("an answer", form(&format!("/walks/{walk}"), "application/x-www-form-urlencoded")),
        ("a call", form("/api/sign-in", "application/json")),
        ("a photo", form(&format!("/walks/{walk}/photo"), "multipart/form-data; boundary=b")),
    ];
    std::thread::scope(|scope| {
        let slow: Vec<_> = heads
            .iter()
            .map(|(what, head)| {
                let stream = connected(&server);
                (what, scope.spawn(move || trickled(stream, head)))
            })
            .collect();
        assert_eq!(device.walk(&walk, 5), 5, "others are served meanwhile");
        for (what, one) in slow {
            let answer = one.join().unwrap_or_else(|_| panic!("{what} was not cut off"));
            assert!(!answer.contains("200 OK") && !answer.contains("303"), "{what}: {answer}");
        }
    });
    assert_eq!(device.walk(&walk, 5), 5);
}
