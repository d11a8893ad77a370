//! One call of the target of the same name.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| propagule_node::fuzzed::gossip(data));
