//! The rules of this tree, as tests. Each rule is tried on a bad example too, so that it is known to bite.

mod dependencies;
mod folders;
mod pinned;
mod purity;
mod sizes;
mod start_page;
mod tree;
mod units;
