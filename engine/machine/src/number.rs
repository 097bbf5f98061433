//! Step numbers, as people read them on a card.

/// The number of a step from its JSON pointer: the fourth step is `4`, the second of its inner steps `4.2`.
#[must_use]
pub fn step_number(pointer: &str) -> String {
    let mut number = String::new();
    for place in pointer.split('/').filter_map(|segment| segment.parse::<usize>().ok()) {
        if !number.is_empty() {
            number.push('.');
        }
        number.push_str(&(place + 1).to_string());
    }
    number
}

#[cfg(test)]
mod tests {
    use super::step_number;

    #[test]
    fn counts_from_one_and_nests() {
        assert_eq!(step_number("/steps/3"), "4");
        assert_eq!(step_number("/steps/3/any_order/1"), "4.2");
        assert_eq!(step_number("/steps/0/repeat/steps/9/any_order/0"), "1.10.1");
    }
}
