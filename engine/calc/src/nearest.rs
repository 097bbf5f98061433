//! Did-you-mean.

/// The longest word, in characters, that is looked up. A longer one is no slip of the finger.
const WORD_MOST: usize = 64;

/// Gives the candidate a misspelt word was most likely meant to be.
///
/// The measure is the number of letters inserted, dropped, changed or swapped with their neighbour
/// (restricted Damerau-Levenshtein). At most a third of the word's letters may differ, one in a short word.
/// Upper and lower case only decide between candidates otherwise equally near; after that the first one wins,
/// so the answer depends on nothing but the arguments. A word over 64 characters has no nearest one.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters: Vec<char> = word.chars().take(WORD_MOST + 1).collect();
    if letters.is_empty() || letters.len() > WORD_MOST {
        return None;
    }
    let allowed = (letters.len() / 3).max(1);
    let folded = fold(&letters);
    let own = Bag::new(&folded);
    let mut best: Option<((usize, usize), &'a str)> = None;
    for candidate in candidates {
        let other: Vec<char> = candidate.chars().take(WORD_MOST + 1).collect();
        // The difference in length is a lower bound; most candidates end here.
        if other.len().abs_diff(letters.len()) > allowed {
            continue;
        }
        let other_folded = fold(&other);
        let most = best.map_or(allowed, |((held, _), _)| held);
        if own.apart(&Bag::new(&other_folded)) > most {
            continue;
        }
        let apart = distance(&folded, &other_folded);
        if apart > most {
            continue;
        }
        let key = (apart, distance(&letters, &other));
        if best.is_none_or(|(held, _)| key < held) {
            best = Some((key, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// How often letters occur, some kinds of them counted together.
struct Bag([u8; 64]);

impl Bag {
    fn new(letters: &[char]) -> Self {
        let mut counts = [0_u8; 64];
        for &letter in letters {
            let kind = &mut counts[letter as usize % 64];
            *kind = kind.saturating_add(1);
        }
        Self(counts)
    }

    /// At least so many letters have to be inserted, dropped or changed: swapping changes no count.
    fn apart(&self, other: &Self) -> usize {
        let more = |one: &Self, other: &Self| -> usize {
            one.0.iter().zip(&other.0).map(|(one, other)| usize::from(one.saturating_sub(*other))).sum()
        };
        more(self, other).max(more(other, self))
    }
}

fn fold(letters: &[char]) -> Vec<char> {
    letters.iter().flat_map(|letter| letter.to_lowercase()).collect()
}

/// Letters inserted, dropped, changed or swapped with a neighbour to turn one word into the other.
fn distance(from: &[char], to: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=to.len()).collect();
    for i in 1..=from.len() {
        let mut row = vec![i; to.len() + 1];
        for j in 1..=to.len() {
            let changed = above[j - 1] + usize::from(from[i - 1] != to[j - 1]);
            row[j] = changed.min(above[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut above, row);
    }
    above[to.len()]
}

#[cfg(test)]
mod tests {
    use super::{Bag, distance, nearest};

    fn apart(from: &str, to: &str) -> usize {
        distance(&from.chars().collect::<Vec<_>>(), &to.chars().collect::<Vec<_>>())
    }

    #[test]
    fn each_kind_of_slip_counts_one() {
        assert_eq!(apart("strainer", "strainer"), 0);
        assert_eq!(apart("strainer", "strianer"), 1);
        assert_eq!(apart("strainer", "stainer"), 1);
        assert_eq!(apart("strainer", "straineer"), 1);
        assert_eq!(apart("strainer", "strooner"), 2);
        assert_eq!(apart("", "abc"), 3);
    }

    #[test]
    fn finds_the_meant_word_and_leaves_strangers_alone() {
        let names = ["supply", "strainer", "gasket", "guard"];
        assert_eq!(nearest("suply", names), Some("supply"));
        assert_eq!(nearest("gaskte", names), Some("gasket"));
        assert_eq!(nearest("Guard", names), Some("guard"));
        assert_eq!(nearest("battery", names), None);
        assert_eq!(nearest("", names), None);
        assert_eq!(nearest(&"s".repeat(65), names), None);
    }

    #[test]
    fn what_letters_tell_of_a_distance_is_never_more_than_it() {
        let mut all: Vec<Vec<char>> = vec![Vec::new()];
        let mut from = 0;
        for _ in 0..5 {
            let longer = all[from..]
                .iter()
                .flat_map(|word| "abc".chars().map(|letter| [&word[..], &[letter]].concat()));
            let longer: Vec<Vec<char>> = longer.collect();
            from = all.len();
            all.extend(longer);
        }
        let mut told = 0;
        for one in &all {
            for other in &all {
                let (least, apart) = (Bag::new(one).apart(&Bag::new(other)), distance(one, other));
                assert!(least <= apart, "{one:?} {other:?}");
                told += usize::from(least > 0 && least == apart);
            }
        }
        assert!(told > 10_000, "{told}");
    }

    #[test]
    fn ties_go_to_the_same_case_and_then_to_the_first() {
        assert_eq!(nearest("MPA", ["mPa", "MPa"]), Some("MPa"));
        assert_eq!(nearest("cat", ["bat", "hat"]), Some("bat"));
    }
}
