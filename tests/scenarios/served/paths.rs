//! Every path of the program, read off its source: a path that is added is tried without anybody's doing.

use crate::support::run::root;

/// A path as the router has it, and the method.
#[derive(Clone, Debug)]
pub(crate) struct Route {
    pub(crate) method: &'static str,
    pub(crate) path: String,
}

/// All routes of the pages and of the JSON interface.
pub(crate) fn routes() -> Vec<Route> {
    let mut routes = read("engine/web/src/router.rs", "");
    routes.extend(read("engine/web/src/api/mod.rs", "/api"));
    assert!(routes.len() > 35, "only {} routes were found", routes.len());
    routes
}

fn read(file: &str, before: &str) -> Vec<Route> {
    let text = std::fs::read_to_string(root().join(file)).expect("the source");
    let mut routes = Vec::new();
    for route in text.split(".route(").skip(1) {
        let route = route.split(".fallback(").next().expect("a part");
        let path = route.split('"').nth(1).expect("a path");
        for (method, called) in [("GET", "get("), ("POST", "post(")] {
            let is_called = route.match_indices(called).any(|(at, _)| {
                let before = route[..at].chars().next_back();
                before.is_none_or(|letter| !letter.is_alphanumeric() && letter != '_')
            });
            if is_called {
                routes.push(Route { method, path: format!("{before}{path}") });
            }
        }
    }
    routes
}

/// The path with something real in the place of each name; a name without a value here is a path that no test knows.
pub(crate) fn filled(path: &str, walk: &str) -> String {
    let parts =
        path.split('/').map(|part| match part.strip_prefix('{').and_then(|part| part.strip_suffix('}')) {
            None => part.to_owned(),
            Some("procedure") => "strainer-clean".to_owned(),
            Some("walk") => walk.to_owned(),
            Some("hash") => "0".repeat(64),
            Some("name") => "style.css".to_owned(),
            Some(other) => panic!("no test knows what `{{{other}}}` in `{path}` may be: add it here"),
        });
    parts.collect::<Vec<_>>().join("/")
}
