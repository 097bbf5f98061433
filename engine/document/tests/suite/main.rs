//! The bundled documents, written otherwise: what the hash of a content counts.

mod harmless;
mod identity;

#[path = "../../../../tests/support"]
mod support {
    #[expect(
        dead_code,
        clippy::disallowed_methods,
        reason = "other suites use the rest; bundled files are read"
    )]
    pub(crate) mod demo;
    pub(crate) mod edit;
}

use document::Library;
use std::collections::BTreeMap;
use support::demo;

/// The hash of every bundled procedure.
fn hashes(library: &Library) -> BTreeMap<String, String> {
    let hash = |name: &str| library.content_hash(name).expect("a hash");
    demo::PROCEDURES.into_iter().map(|name| (name.to_owned(), hash(name))).collect()
}
