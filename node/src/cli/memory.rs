//! Keeping a node small that runs for months.

use propagule_files::system::restart_in_place;

/// Read by the GNU C library when a program starts; means nothing to others.
const SETTINGS: &str = "GLIBC_TUNABLES";
/// Blocks larger than this go back to the system when they are freed, now and later; and threads share two heaps, since
/// each of their own keeps what it once needed.
const GIVES_BACK: &str = "glibc.malloc.mmap_threshold=131072:glibc.malloc.arena_max=2";

/// Starts this process anew, once, with an allocator that gives large blocks back to the system.
///
/// Opening an index needs several times the memory that keeping it open does, and the allocator would learn from it to
/// keep such blocks for later. That can only be set when a program starts. The id of the process stays the same. Where it
/// cannot be done the node runs on as it is.
pub(super) fn give_memory_back() {
    if std::env::var_os(SETTINGS).is_some() {
        return;
    }
    let error = restart_in_place(SETTINGS, GIVES_BACK);
    tracing::debug!(%error, "not started anew");
}
