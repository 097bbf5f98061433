//! Two devices, a server that is killed, answers sent twice.

use super::device::{Device, Reply, encoded, raw};
use super::server::{SMALL, Server};
use journal::Journal;
use std::io::Write as _;
use std::net::TcpStream;
use walk::Event;

fn events(server: &Server, walk: &str) -> Vec<Event> {
    let journal = Journal::open_existing(server.journal()).expect("the journal");
    assert!(matches!(journal.verify().expect("read"), journal::Verification::Intact { .. }));
    walk::events(&journal, walk).expect("events").into_iter().map(|(_, event)| event).collect()
}

fn fields(page: &Reply) -> Vec<(String, String)> {
    Device::willing(page).expect("a question")
}

fn borrowed(fields: &[(String, String)]) -> Vec<(&str, &str)> {
    fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect()
}

#[test]
fn two_devices_never_both_advance_a_walk() {
    let server = Server::start(&SMALL);
    let mut one = Device::signed_in(&server, "Tomas Reeve");
    let mut two = Device::signed_in(&server, "Tomas Reeve");
    let walk = one.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    for round in 0..12 {
        let before = events(&server, &walk).len();
        let answers = [fields(&one.get(&path)), fields(&two.get(&path))];
        let post = |device: &Device, fields: &[(String, String)]| {
            let form = "Content-Type: application/x-www-form-urlencoded\r\n";
            device.request("POST", &path, form, &encoded(&borrowed(fields)))
        };
        let requests = [post(&one, &answers[0]), post(&two, &answers[1])];
        let address = &server.address;
        let replies: Vec<Reply> = std::thread::scope(|scope| {
            let both: Vec<_> = requests
                .iter()
                .map(|bytes| scope.spawn(move || raw(address, bytes).expect("an answer")))
                .collect();
            both.into_iter().map(|one| one.join().expect("no panic")).collect()
        });
        let mut statuses: Vec<u16> = replies.iter().map(|reply| reply.status).collect();
        statuses.sort_unstable();
        assert_eq!(statuses, [303, 409], "round {round}");
        let loser = replies.iter().find(|reply| reply.status == 409).expect("a loser");
        assert!(loser.body.contains("somebody answered first"), "{}", loser.body);
        // A wait that starts by itself is a record more.
        let after = events(&server, &walk);
        let answered =
            after[before..].iter().filter(|event| !matches!(event, Event::WaitStarted { .. })).count();
        assert_eq!(answered, 1, "round {round}: {after:?}");
    }
}

#[test]
fn an_answer_sent_again_is_taken_once() {
    let mut server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    device.walk(&walk, 6);
    let answer = fields(&device.get(&path));
    assert_eq!(device.post(&path, &borrowed(&answer)).status, 303);
    let count = events(&server, &walk).len();
    assert_eq!(device.post(&path, &borrowed(&answer)).status, 303, "it is told again that it was taken");
    assert_eq!(events(&server, &walk).len(), count);
    // The same after the server was killed: the key is on record, not in memory.
    server.kill();
    server.start_again();
    device.sign_in("Tomas Reeve");
    device.walk(&walk, 1);
    let count = events(&server, &walk).len();
    let csrf = device.get(&path).field("", "csrf");
    let again: Vec<(&str, &str)> = borrowed(&answer)
        .into_iter()
        .map(|(name, value)| if name == "csrf" { (name, csrf.as_str()) } else { (name, value) })
        .collect();
    assert_eq!(device.post(&path, &again).status, 303);
    assert_eq!(events(&server, &walk).len(), count);
    // Another answer to what was asked then is told that it comes too late.
    let late: Vec<(&str, &str)> = again
        .into_iter()
        .map(|(name, value)| if name == "key" { (name, "another") } else { (name, value) })
        .collect();
    assert_eq!(device.post(&path, &late).status, 409);
    assert_eq!(events(&server, &walk).len(), count);
}

#[test]
fn killed_in_the_middle_of_an_answer_it_goes_on_where_it_was() {
    let mut server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    let mut acknowledged = device.walk(&walk, 5);
    for cut in [0, 1, 2] {
        let answer = fields(&device.get(&path));
        let known = events(&server, &walk);
        let form = "Content-Type: application/x-www-form-urlencoded\r\n";
        let bytes = device.request("POST", &path, form, &encoded(&borrowed(&answer)));
        // Half the answer, all of it, or all of it and a moment more; then the power goes.
        let sent = if cut == 0 { bytes.len() - 9 } else { bytes.len() };
        let mut stream = TcpStream::connect(&server.address).expect("it listens");
        stream.write_all(&bytes[..sent]).expect("sent");
        std::thread::sleep(std::time::Duration::from_millis(30 * cut));
        server.kill();
        server.start_again();
        // Everything acknowledged is there, at most the last answer more, nothing else.
        let found = events(&server, &walk);
        assert_eq!(found[..known.len()], known[..]);
        let more =
            found[known.len()..].iter().filter(|event| !matches!(event, Event::WaitStarted { .. })).count();
        assert!(more <= usize::from(cut > 0), "{found:?}");
        device.sign_in("Tomas Reeve");
        let page = device.get(&path);
        assert!(page.body.contains("The walk was interrupted"), "{}", page.body);
        acknowledged += device.walk(&walk, 4);
    }
    device.walk(&walk, 400);
    assert!(acknowledged > 10);
    let page = device.get(&path);
    assert!(page.body.contains("The walk is completed"), "{}", page.body);
    let resumed = events(&server, &walk)
        .iter()
        .filter(|event| matches!(event, Event::Resumed { unannounced: true, .. }))
        .count();
    assert_eq!(resumed, 3);
}

#[test]
fn whoever_takes_over_is_on_record_and_asked_again() {
    let server = Server::start(&SMALL);
    let mut one = Device::signed_in(&server, "Tomas Reeve");
    let walk = one.begin("strainer-clean");
    let path = format!("/walks/{walk}");
    one.walk(&walk, 10);
    let late = fields(&one.get(&path));
    let mut two = Device::signed_in(&server, "Gwen Adeyi");
    assert!(two.get(&path).body.contains("Take over this walk"));
    assert_eq!(two.walk(&walk, 1), 1);
    assert!(
        matches!(events(&server, &walk).last(), Some(Event::Resumed { person, .. }) if person == "Gwen Adeyi")
    );
    assert!(two.get(&path).body.contains("To be confirmed again"), "what lapsed is asked again");
    let reply = one.post(&path, &borrowed(&late));
    assert_eq!(reply.status, 422);
    assert!(reply.body.contains("You are not at this walk"), "{}", reply.body);
    two.walk(&walk, 400);
    assert!(two.get(&path).body.contains("The walk is completed"));
}

#[test]
fn a_walk_asked_for_twice_is_begun_once() {
    let mut server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let page = device.get("/begin/strainer-clean");
    let (csrf, key) = (page.field("", "csrf"), page.field("", "key"));
    let ask = |device: &mut Device, csrf: &str, key: &str| {
        let fields = [("csrf", csrf), ("serial", "OSK-0117"), ("rehearsal", "yes"), ("key", key)];
        let reply = device.post("/begin/strainer-clean", &fields);
        assert_eq!(reply.status, 303, "{}", reply.body);
        reply.header("location").expect("the walk").to_owned()
    };
    let walk = ask(&mut device, &csrf, &key);
    assert_eq!(ask(&mut device, &csrf, &key), walk);
    // Nor after the program was killed before anybody heard of it.
    server.kill();
    server.start_again();
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let fresh = device.get("/begin/strainer-clean");
    let csrf = fresh.field("", "csrf");
    assert_eq!(ask(&mut device, &csrf, &key), walk);
    assert!(device.get("/records").body.contains("1 found"));
    // Another page asks for another walk, and so does somebody else with the same key.
    assert_ne!(ask(&mut device, &csrf, &fresh.field("", "key")), walk);
    let mut other = Device::signed_in(&server, "Anneke Voss");
    let csrf = other.get("/begin/strainer-clean").field("", "csrf");
    assert_ne!(ask(&mut other, &csrf, &key), walk);
}
