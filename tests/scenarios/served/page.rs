//! The page of a walk: what it says, and what its forms say.

use super::device::{Device, Reply};

/// A walk in a browser.
pub(crate) struct Page {
    pub(crate) device: Device,
    /// `/walks/` and the walk's name.
    pub(crate) path: String,
    /// As it was last read.
    pub(crate) body: String,
}

impl Page {
    pub(crate) fn of(device: Device, walk: &str) -> Self {
        let mut page = Self { device, path: format!("/walks/{walk}"), body: String::new() };
        page.read();
        page
    }

    pub(crate) fn read(&mut self) -> Reply {
        let reply = self.device.get(&self.path);
        self.body.clone_from(&reply.body);
        reply
    }

    pub(crate) fn says(&self, what: &str) -> bool {
        self.body.contains(what)
    }

    /// Sends what one of the page's forms says.
    pub(crate) fn sent(&mut self, say: &str, value: &str) -> Reply {
        let reply = self.read();
        let field = |name| reply.field(say, name);
        let (csrf, position, key) = (field("csrf"), field("position"), field("key"));
        assert!(!key.is_empty(), "no form says {say}: {}", self.body);
        let fields =
            [("csrf", &*csrf), ("position", &*position), ("key", &*key), ("say", say), ("value", value)];
        self.device.post(&self.path.clone(), &fields)
    }

    /// The same, taken; the page is the next one then.
    pub(crate) fn say(&mut self, say: &str, value: &str) {
        let reply = self.sent(say, value);
        assert_eq!(reply.status, 303, "{say} {value}: {}", reply.body);
        self.read();
    }

    /// Answers the looks of a page.
    pub(crate) fn looks(&mut self, answers: &[&str]) {
        for answer in answers {
            self.say("look", answer);
        }
    }

    /// Goes on as a willing technician, until the page says something.
    pub(crate) fn until(&mut self, what: &str) {
        for _ in 0..100 {
            if self.says(what) {
                return;
            }
            let walk = self.path.trim_start_matches("/walks/").to_owned();
            assert_eq!(self.device.walk(&walk, 1), 1, "{}", self.body);
            self.read();
        }
        panic!("it never says {what}: {}", self.body);
    }

    pub(crate) fn stop(&mut self) {
        let reply = self.device.get(&format!("{}/stop", self.path));
        let (csrf, key) = (reply.field("stop", "csrf"), reply.field("stop", "key"));
        let fields = [("csrf", &*csrf), ("key", &*key), ("say", "stop"), ("reason", "It is not so.")];
        assert_eq!(self.device.post(&format!("{}/stop", self.path), &fields).status, 303);
        self.read();
    }

    /// How many looks can be answered on the page.
    pub(crate) fn ticks(&self) -> usize {
        self.body.matches("name=\"say\" value=\"look\"").count()
    }
}
