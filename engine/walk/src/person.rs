//! Who is who.

/// Names are compared without regard to case and spaces around them.
#[must_use]
pub fn same_person(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}
