//! From an event's word to the event in one step: a table without collisions, made from the vocabulary.

use super::{EVENTS, Event};

/// Longest word that the table can hold. A test holds that the vocabulary has none longer.
const LONGEST: usize = 16;
const SLOTS_BITS: u32 = 7;
const SLOTS: usize = 1 << SLOTS_BITS;

/// A word of at most 16 bytes as two numbers: its bytes from the lowest up, zeros behind the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Packed {
    pub(crate) head: u64,
    pub(crate) tail: u64,
}

#[derive(Clone, Copy)]
struct Slot {
    word: Packed,
    event: Event,
}

static INDEX: Index = Index::of_vocabulary();

struct Index {
    multiplier: u64,
    slots: [Slot; SLOTS],
}

impl Index {
    /// Tries multipliers until no two words of the vocabulary share a slot. It runs when the program is compiled.
    #[allow(
        clippy::indexing_slicing,
        reason = "a place out of bounds would stop the compiler, not the program"
    )]
    const fn of_vocabulary() -> Index {
        let mut multiplier: u64 = 0x9E37_79B9_7F4A_7C15;
        'next: loop {
            let empty = Slot { word: Packed { head: 0, tail: 0 }, event: Event::Unknown };
            let mut index = Index { multiplier, slots: [empty; SLOTS] };
            let mut at = 0;
            while at < EVENTS.len() {
                let word = Packed::of_bytes(EVENTS[at].word.as_bytes());
                let slot = word.slot(multiplier);
                if index.slots[slot].word.head != 0 {
                    multiplier = multiplier.wrapping_add(2);
                    continue 'next;
                }
                index.slots[slot] = Slot { word, event: EVENTS[at].event };
                at += 1;
            }
            return index;
        }
    }
}

impl Packed {
    #[allow(
        clippy::indexing_slicing,
        reason = "in bounds by the loop's condition; const code has no iterators"
    )]
    const fn of_bytes(word: &[u8]) -> Packed {
        let mut bytes = [[0u8; 8]; 2];
        let mut at = 0;
        while at < word.len() && at < LONGEST {
            bytes[at / 8][at % 8] = word[at];
            at += 1;
        }
        Packed { head: u64::from_le_bytes(bytes[0]), tail: u64::from_le_bytes(bytes[1]) }
    }

    #[allow(clippy::cast_possible_truncation, reason = "a few bits are left")]
    const fn slot(self, multiplier: u64) -> usize {
        ((self.head ^ self.tail.rotate_left(32)).wrapping_mul(multiplier) >> (64 - SLOTS_BITS)) as usize
    }

    /// The word, where it is not longer than any of the vocabulary.
    pub(super) fn of(word: &[u8]) -> Option<Packed> {
        (word.len() <= LONGEST).then(|| Packed::of_bytes(word))
    }

    /// The event that has this word; [`Event::Unknown`] where none has.
    #[inline]
    pub(crate) fn event(self) -> Event {
        match INDEX.slots.get(self.slot(INDEX.multiplier)) {
            Some(slot) if slot.word == self => slot.event,
            _ => Event::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_the_vocabulary_is_found_and_no_other() {
        for entry in EVENTS {
            let word = entry.word.as_bytes();
            assert!(word.len() <= LONGEST, "{}", entry.word);
            assert_eq!(Event::of_word(word), entry.event);
            for at in 0..word.len() {
                let mut near = word.to_vec();
                near[at] ^= 1;
                for near in [near.as_slice(), &word[..at]] {
                    let expected = EVENTS.iter().find(|other| other.word.as_bytes() == near);
                    assert_eq!(Event::of_word(near), expected.map_or(Event::Unknown, |other| other.event));
                }
            }
            assert_eq!(Event::of_word(&[word, b"-more-than-any"].concat()), Event::Unknown);
            assert_eq!(Event::of_word(&[word, b"\0"].concat()), Event::Unknown);
        }
        assert_eq!(Event::of_word(b""), Event::Unknown);
    }
}
