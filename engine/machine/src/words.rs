//! A row of words of which there are nearly always few.

use std::fmt;
use std::ops::{Deref, DerefMut};

/// Up to so many words are kept in place: records are copied more often than anything else, and asking for memory takes longer
/// than the copy.
const IN_PLACE: usize = 4;

/// The words of a record: the records of one machine have as many, and are compared word by word.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Words(Kept);

#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Kept {
    /// So many, and zeros after them.
    Few(u8, [u64; IN_PLACE]),
    Many(Box<[u64]>),
}

impl Words {
    /// So many words without a bit.
    #[must_use]
    pub fn clear(count: usize) -> Self {
        Self(match u8::try_from(count) {
            Ok(few) if count <= IN_PLACE => Kept::Few(few, [0; IN_PLACE]),
            Ok(_) | Err(_) => Kept::Many(vec![0; count].into_boxed_slice()),
        })
    }
}

impl Deref for Words {
    type Target = [u64];

    fn deref(&self) -> &[u64] {
        match &self.0 {
            Kept::Few(count, words) => &words[..usize::from(*count)],
            Kept::Many(words) => words,
        }
    }
}

impl DerefMut for Words {
    fn deref_mut(&mut self) -> &mut [u64] {
        match &mut self.0 {
            Kept::Few(count, words) => &mut words[..usize::from(*count)],
            Kept::Many(words) => words,
        }
    }
}

impl<'a> IntoIterator for &'a Words {
    type Item = &'a u64;
    type IntoIter = std::slice::Iter<'a, u64>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a> IntoIterator for &'a mut Words {
    type Item = &'a mut u64;
    type IntoIter = std::slice::IterMut<'a, u64>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

impl From<&[u64]> for Words {
    fn from(words: &[u64]) -> Self {
        let mut row = Self::clear(words.len());
        row.copy_from_slice(words);
        row
    }
}

impl fmt::Debug for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self).finish()
    }
}
