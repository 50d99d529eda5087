//! A Merkle tree over lines, so that two experts can compare what they hold line by line by one short number.
//!
//! The head is that of RFC 6962, 2.1 (the same in RFC 9162, 2.1.1): SHA-256 over a zero byte and the leaf, over a one byte
//! and two heads; a tree is split at the largest power of two that is smaller than its number of leaves.

use sha2::{Digest as _, Sha256};

use super::Digest;

/// A tree in the making. It keeps one head for every complete subtree, so that lines without number fit in little room.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tree {
    leaves: u64,
    /// Complete subtrees from the left, each smaller than the one before; the sizes are the bits of `leaves`.
    whole: Vec<Digest>,
}

impl Tree {
    /// A tree without leaves.
    #[must_use]
    pub fn new() -> Tree {
        Tree::default()
    }

    /// Adds a leaf behind the others.
    pub fn push(&mut self, leaf: &[u8]) {
        let mut head = hash(0, &[leaf]);
        // Two complete subtrees of one size make one of twice the size.
        for _ in 0..self.leaves.trailing_ones() {
            if let Some(left) = self.whole.pop() {
                head = joined(left, head);
            }
        }
        self.whole.push(head);
        self.leaves += 1;
    }

    /// Number of leaves.
    #[must_use]
    pub fn leaves(&self) -> u64 {
        self.leaves
    }

    /// The tree head.
    #[must_use]
    pub fn head(&self) -> Digest {
        let mut from_the_right = self.whole.iter().rev().copied();
        match from_the_right.next() {
            None => Digest::of(b""),
            Some(last) => from_the_right.fold(last, |right, left| joined(left, right)),
        }
    }
}

fn joined(left: Digest, right: Digest) -> Digest {
    hash(1, &[left.bytes(), right.bytes()])
}

fn hash(prefix: u8, parts: &[&[u8]]) -> Digest {
    let mut hasher = Sha256::new();
    hasher.update([prefix]);
    parts.iter().for_each(|part| hasher.update(part));
    Digest::finish(hasher)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_agree_with_the_published_ones() {
        // The leaves and roots that implementations of RFC 6962 test each other with.
        let leaves: [&[u8]; 8] = [
            b"",
            b"\x00",
            b"\x10",
            b"\x20\x21",
            b"\x30\x31",
            b"\x40\x41\x42\x43",
            b"\x50\x51\x52\x53\x54\x55\x56\x57",
            b"\x60\x61\x62\x63\x64\x65\x66\x67\x68\x69\x6a\x6b\x6c\x6d\x6e\x6f",
        ];
        let heads = [
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
            "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
            "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
            "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
            "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
            "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
            "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
            "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
        ];
        let mut tree = Tree::new();
        assert_eq!(tree.head().to_string(), heads[0]);
        for (leaf, head) in leaves.iter().zip(&heads[1..]) {
            tree.push(leaf);
            assert_eq!(tree.head().to_string(), *head, "{} leaves", tree.leaves());
        }
        assert_eq!(tree.leaves(), 8);
    }

    #[test]
    fn heads_agree_with_the_definition_for_every_number_of_leaves() {
        // RFC 6962, 2.1, word for word, by recursion.
        fn defined(leaves: &[Vec<u8>]) -> Digest {
            match leaves {
                [] => Digest::of(b""),
                [leaf] => Digest::of(&[&[0], leaf.as_slice()].concat()),
                _ => {
                    let half = (leaves.len() - 1).ilog2();
                    let (left, right) = leaves.split_at(1 << half);
                    Digest::of(&[&[1], defined(left).bytes().as_slice(), defined(right).bytes()].concat())
                }
            }
        }
        let leaves: Vec<Vec<u8>> = (0..200_u8).map(|leaf| vec![leaf; usize::from(leaf) % 7]).collect();
        let mut tree = Tree::new();
        for (before, leaf) in leaves.iter().enumerate() {
            tree.push(leaf);
            assert_eq!(tree.head(), defined(&leaves[..=before]), "{} leaves", before + 1);
        }
    }
}
